"""A plane frame as arrays: its segments, the movements of its joints, and how the one follows from the other.

Terms: a *movement* is a shift of a joint in x or y or an unknown turn. A segment carries three *basic forces*: its
axial force along the joint-to-joint line and the moments at its first and last end; all else follows by statics.
Its *basic deformations* go with them: the lengthening of that line, and the rotations of its ends against it.
Signs: tension positive, moments positive with the face to the right of the segment's direction in tension.
Shapes: j joints, m segments, n movements, k unknowns.

Source: J. H. Argyris, Energy theorems and structural analysis, 1960 (cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Flags, Floats


class Frame(NamedTuple):
    """Segments between joints.

    `joints` (j, 2) are their places and `ends` (m, 2) the joints of each segment by number; movements 2 i and
    2 i + 1 are those of joint i in x and y, turns come after, `total` in all. `turns` (m, 2) gives the movement
    that each end turns with, `total` for a hinge. `flexibility` (m, 3, 3) is the basic deformations that unit
    basic forces cause. `free` (k,) lists the unknown movements; where `ties` (n, k) is given instead, the
    movements are `ties` times the unknowns. `springs` (n,) hold movements, zero where there is none; `watched`
    (w,) lists the movements at which the pull of the segments is asked for. Where ends lie beside their joints,
    rigid `arms` (m, 2, 2) that turn with the joints lead to them, and those `hinged` (m, 2) carry no moment.
    """

    joints: Floats
    ends: Counts
    turns: Counts
    total: int
    flexibility: Floats
    free: Counts
    springs: Floats
    watched: Counts
    ties: Floats | None = None
    arms: Floats | None = None
    hinged: Flags | None = None


def across(frame: Frame) -> Floats:
    """From the first end of each segment to the last, shape (m, 2)."""
    between = frame.joints[frame.ends[:, 1]] - frame.joints[frame.ends[:, 0]]
    return between if frame.arms is None else between + frame.arms[:, 1] - frame.arms[:, 0]


def movements_of(frame: Frame) -> Counts:
    """The movements of each segment: x, y, turn of its first end, then of its last; shape (m, 6)."""
    found = np.empty((len(frame.ends), 6), dtype=np.intp)
    found[:, (0, 3)], found[:, (1, 4)], found[:, (2, 5)] = 2 * frame.ends, 2 * frame.ends + 1, frame.turns
    return found


def acting(frame: Frame) -> Flags:
    """Which basic forces a segment carries: the axial one, and the moment of an end that is no hinge; (m, 3)."""
    rigid = frame.turns < frame.total if frame.hinged is None else (frame.turns < frame.total) & ~frame.hinged
    return np.concatenate([np.ones((len(frame.ends), 1), dtype=bool), rigid], axis=1)


def deformation_rows(frame: Frame) -> Floats:
    """The basic deformations of each segment by its own six movements, shape (m, 3, 6)."""
    x, y = across(frame).T
    length = np.hypot(x, y)
    rows = np.zeros((len(x), 3, 6))
    rows[:, 0, 3], rows[:, 0, 4] = x / length, y / length
    rows[:, 2, 3], rows[:, 2, 4] = rows[:, 0, 4] / length, -rows[:, 0, 3] / length
    rows[:, 1, 3:5] = -rows[:, 2, 3:5]
    rows[:, :, 0:2] = -rows[:, :, 3:5]
    rows[:, 1, 2], rows[:, 2, 5] = -1.0, 1.0
    if frame.arms is not None:
        for end, turn in ((0, 2), (1, 5)):
            # a turn of 1 moves the end by (-y, x) of its arm
            arm_x, arm_y = frame.arms[:, end, 0, None], frame.arms[:, end, 1, None]
            rows[:, :, turn] += arm_x * rows[:, :, turn - 1] - arm_y * rows[:, :, turn - 2]
    return rows


def deformation_matrix(frame: Frame) -> Floats:
    """The basic deformations of all segments by all movements (3 m, n); its transpose gives the pulls."""
    rows, movements = deformation_rows(frame), movements_of(frame)
    whole = np.zeros((len(rows), 3, frame.total + 1))
    segment = np.arange(len(rows))
    for column in range(6):
        whole[segment, :, movements[:, column]] += rows[:, :, column]
    return whole[:, :, : frame.total].reshape(3 * len(rows), frame.total)


def unknown_part(frame: Frame, values: Floats) -> Floats:
    """What forces at the movements (n, c) do on the unknowns (k, c)."""
    return values[frame.free] if frame.ties is None else frame.ties.T @ values
