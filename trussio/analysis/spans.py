"""What loads between joints do to segments that are released: pinned to their joints, free to lengthen and turn.

Released, a segment is a simple beam (an arc a rib on two hinges) whose lengthwise loads go to both joints by the
lever too, so that the force along its chord has the mean zero. From this state and from those of unit basic forces
follow its flexibility and its misfits by the unit-load theorem; added to what the basic forces of the whole frame
do, it is the true state again.
Terms: section forces are those along and across the chord and the moment; the axial force and the shear are those
along and across the slanting axis.
Shapes: s segments, p pieces, q points on a piece, c load cases.

Source for the theorem: O. Mohr, Beitrag zur Theorie des Fachwerks, 1874/75 (cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.pieces import before, over_segments

if TYPE_CHECKING:
    from trussio.analysis.arrays import Flags, Floats, Names
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied, Patch
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.properties import Gives


class Released(NamedTuple):
    """Section forces `along`, `across`, `moment` (c, p, q) and the forces of the joints on the `ends` (c, 4, s).

    Those are x and y at the first joint, then at the last, in the axes of the chord.
    """

    along: Floats
    across: Floats
    moment: Floats
    ends: Floats


def released(shape: Lines, cut: Pieces, load: Floats, points: Floats) -> Released:
    """The state under `load` (2, c, p, q) along and across the chord and `points` (2, c, p) where pieces start."""
    chord, h, upto = shape.chord[cut.segments], cut.length[:, None], cut.rule.upto.T
    run = h * (load @ upto)
    levers = cut.x * load[1] - cut.y * load[0]
    lever_points = cut.x[:, 0] * points[1] - cut.y[:, 0] * points[0]
    turn = h * (levers @ upto)
    force_sum, turn_sum = run[..., -1] + points, turn[..., -1] + lever_points
    pulled = ((cut.x * load[0]) @ upto[:, -1]) * cut.length + cut.x[:, 0] * points[0]
    last_x = -over_segments(cut, pulled) / chord
    last_y = -over_segments(cut, turn_sum) / chord
    first_x, first_y = -over_segments(cut, force_sum) - np.stack([last_x, last_y])
    run += (before(cut, force_sum) + points)[..., None]
    turn += (before(cut, turn_sum) + lever_points)[..., None]
    along = -(first_x[:, cut.of, None] + run[0])
    across = first_y[:, cut.of, None] + run[1]
    moment = cut.x * across + cut.y * along - turn
    return Released(
        along=along, across=across, moment=moment, ends=np.stack([first_x, first_y, last_x, last_y], axis=1)
    )


def softness(cut: Pieces, give: Gives) -> Floats:
    """What a length of each piece gives, shape (3, p): along, in bending and in shear."""
    return np.stack([give.axial, give.bending, give.shear])[:, cut.segments[cut.of]]


def flexibility(shape: Lines, cut: Pieces, soft: Floats) -> Floats:
    """Basic deformations of segments under unit basic forces, shape (s, 3, 3), from what lengths give (3, p)."""
    unit = _unit_states(shape, cut)
    weighed = unit * soft[:, None, :, None] * (cut.length[:, None] * cut.rule.upto[-1])
    return np.asarray(np.add.reduceat(np.einsum("fapq,fbpq->pab", weighed, unit), cut.first), dtype=np.float64)


def misfits(shape: Lines, cut: Pieces, soft: Floats, state: Released) -> Floats:
    """Basic deformations that the loads of a released state would cause, shape (s, 3, c)."""
    force = state.along * cut.cos - state.across * cut.sin
    shear = state.along * cut.sin + state.across * cut.cos
    unit = _unit_states(shape, cut) * soft[:, None, :, None] * (cut.length[:, None] * cut.rule.upto[-1])
    caused = np.einsum("fapq,fcpq->pac", unit, np.stack([force, state.moment, shear]))
    return np.asarray(np.add.reduceat(caused, cut.first), dtype=np.float64)


def _unit_states(shape: Lines, cut: Pieces) -> Floats:
    """Axial force, moment and shear, in this order, under each basic force as a unit, shape (3, 3, p, q)."""
    chord = shape.chord[cut.segments][cut.of, None]
    part = cut.x / chord
    return np.array(
        [
            [cut.cos, cut.sin / chord, -cut.sin / chord],
            [cut.y, 1.0 - part, part],
            [cut.sin, -cut.cos / chord, cut.cos / chord],
        ]
    )


def loads_on(shape: Lines, cut: Pieces, made: Applied, cases: int) -> tuple[Floats, Floats]:
    """Loads (2, c, p, q) and points (2, c, p) on pieces, along and across the chord."""
    load = np.zeros((cases * len(cut.start), 2, cut.place.shape[1]))
    points = np.zeros((2, cases, len(cut.start)))
    starts, middles = cut.start.tolist(), (cut.start + cut.length / 2).tolist()
    by_segment: dict[int, list[int]] = {}
    for piece, segment in enumerate(cut.segments[cut.of].tolist()):
        by_segment.setdefault(segment, []).append(piece)
    pairs = [
        (patch, piece)
        for patch in made.patches
        for piece in by_segment.get(patch.segment, ())
        if patch.start < middles[piece] < patch.end
    ]
    if pairs:
        where = np.array([patch.case * len(starts) + piece for patch, piece in pairs])
        np.add.at(load, where, _intensities(shape, cut, pairs))
    for point in made.points:
        for piece in by_segment.get(point.segment, ()):
            if starts[piece] == point.place:
                cos, sin = shape.along[point.segment]
                points[0, point.case, piece] += point.fx * cos + point.fy * sin
                points[1, point.case, piece] += point.fy * cos - point.fx * sin
    return load.reshape(cases, len(starts), *load.shape[1:]).transpose(2, 0, 1, 3), points


def _intensities(shape: Lines, cut: Pieces, pairs: list[tuple[Patch, int]]) -> Floats:
    """Loads along and across the chord that patches bring to pieces, shape (pairs, 2, q)."""
    piece = np.array([number for _, number in pairs])
    rows = np.array([patch[2:6] for patch, _ in pairs], dtype=np.float64)
    start, end, at_start, at_end = (rows[:, column, None] for column in range(4))
    cos, sin = (shape.along[cut.segments[cut.of[piece]], axis, None] for axis in (0, 1))
    slant_cos, slant_sin = cut.cos[piece], cut.sin[piece]
    size = at_start + (at_end - at_start) * (cut.place[piece] - start) / (end - start)
    plan = np.array([patch.plan for patch, _ in pairs])[:, None]
    kinds = np.array([patch.direction for patch, _ in pairs])[:, None]
    return np.stack(turned(size, kinds, plan, (cos, sin), (slant_cos, slant_sin)), axis=1)


def turned(
    size: Floats, kinds: Names, plan: Flags, chord: tuple[Floats, Floats], slant: tuple[Floats, Floats]
) -> tuple[Floats, Floats]:
    """Loads along and across the chord from their sizes and directions; cosines and sines of chord and slant."""
    (cos, sin), (slant_cos, slant_sin) = chord, slant
    size = np.where(plan, size * np.abs(cos * slant_cos - sin * slant_sin), size)
    down, right = kinds == "down", kinds == "right"
    along = np.where(down, -sin, np.where(right, cos, -slant_sin))
    across = np.where(down, -cos, np.where(right, -sin, slant_cos))
    return size * along, size * across
