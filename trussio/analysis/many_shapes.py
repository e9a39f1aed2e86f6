"""Where the segments of many variations of a truss lie, the sample index last.

Terms as in `lines`: chord, half, arms. A curved segment keeps its radius and the side that it bulges to.
Shapes: j joints, m segments, s samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.lines import Lines


class Shapes(NamedTuple):
    """`along` (m, 2, s) is the unit vector of a chord, `chord`, `length` and `half` (m, s) are as in `lines`.

    `packed` (m, s) is how much closer together what is placed along a segment has come, where its ends lie beside
    its joints; None where no end does.
    """

    along: Floats
    chord: Floats
    length: Floats
    half: Floats
    packed: Floats | None


def shapes(shape: Lines, measured: Floats, moved: Floats) -> Shapes:
    """The segments of samples whose joints lie `moved` (j, 2, s) from those of `shape`.

    `measured` (m,) are the lengths from joint to joint.
    """
    joints = shape.joints[:, :, None] + moved
    between = joints[shape.ends[:, 1]] - joints[shape.ends[:, 0]]
    if shape.arms is None:
        along, chord, length, half = _placed(shape, between)
        return Shapes(along=along, chord=chord, length=length, half=half, packed=None)
    along, chord, length, half = _placed(shape, between + (shape.arms[:, 1] - shape.arms[:, 0])[:, :, None])
    now = _placed(shape, between)[2]
    packed = now / length / (measured / shape.length)[:, None]
    return Shapes(along=along, chord=chord, length=length, half=half, packed=packed)


def _placed(shape: Lines, across: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Along, chord, length and half of segments from end to end as `across` (m, 2, s)."""
    chord = np.sqrt(across[:, 0] ** 2 + across[:, 1] ** 2)
    length, half = chord.copy(), np.zeros_like(chord)
    curved = np.flatnonzero(shape.half)
    if len(curved):
        radius = shape.length[curved, None] / (2 * shape.half[curved, None])
        half[curved] = np.arcsin(np.clip(chord[curved] / (2 * radius), -1.0, 1.0))
        length[curved] = 2 * radius * half[curved]
    return across / chord[:, None], chord, length, half
