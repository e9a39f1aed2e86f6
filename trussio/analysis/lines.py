"""The lines of the segments as arrays: where they run, how long they are, how they curve.

Terms: the *chord* of a segment is its joint-to-joint line; local x runs along it, local y 90 degrees
counter-clockwise from it. An arc turns by twice its `half` from end to end, positive where it bulges towards +y:
its axis starts at the angle `half` from the chord and ends at `-half`. A straight segment has the half 0.
Angles in radians; m segments.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.geometry import segment_arc

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.model.truss import Truss


class Lines(NamedTuple):
    """`joints` (j, 2) are their places, `ends` (m, 2) their numbers, `along` (m, 2) is the unit vector of a chord.

    `chord` is the length from joint to joint, `length` that along the axis, `half` half of its turn, all (m,).
    Where sticks end beside their joints, `arms` (m, 2, 2) lead from these to the ends, and all else is from end to
    end.
    """

    joints: Floats
    ends: Counts
    along: Floats
    chord: Floats
    length: Floats
    half: Floats
    arms: Floats | None = None


def lines(truss: Truss) -> Lines:
    """The lines of every segment, in the order of `Truss.segments`."""
    number = {name: index for index, name in enumerate(truss.joints)}
    xy = np.array([(joint.x, joint.y) for joint in truss.joints.values()], dtype=np.float64).reshape(-1, 2)
    pairs = [(number[segment.first], number[segment.last]) for segment in truss.segments]
    ends = np.array(pairs, dtype=np.intp).reshape(-1, 2)
    across = xy[ends[:, 1]] - xy[ends[:, 0]]
    chord = np.hypot(across[:, 0], across[:, 1])
    length, half = chord.copy(), np.zeros(len(chord))
    for index, segment in enumerate(truss.segments):
        arc = segment_arc(truss, segment)
        if arc is not None:
            length[index], half[index] = arc.length, -arc.sweep / 2
    return Lines(joints=xy, ends=ends, along=across / chord[:, None], chord=chord, length=length, half=half)
