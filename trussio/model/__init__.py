"""Records that the jobs hand to each other: frozen, keyword-only, no behaviour beyond look-up."""
