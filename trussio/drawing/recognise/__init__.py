"""Recognition: from sticks that meet at joints to a truss, its chords, names, supports and sizes."""
