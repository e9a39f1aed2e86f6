"""Variations of a truss solved side by side, some at a time.

Terms as in `varied`, `many_shapes`, `many_spans` and `many_frames`.
Shapes: r runs, m segments, c load cases, n movements, s samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis import many_beams, many_frames, many_spans
from trussio.analysis.frame import acting
from trussio.analysis.in_common import template
from trussio.analysis.many_shapes import shapes
from trussio.analysis.recovery import ROWS, figures_of
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.in_common import Whole
    from trussio.analysis.many_beams import Carried
    from trussio.analysis.many_frames import Segments
    from trussio.analysis.many_shapes import Shapes
    from trussio.analysis.many_spans import Tiles
    from trussio.analysis.varied import Variation

NUMBERS_AT_ONCE = 2**23
"""So many numbers are held at once, or those of the fewest variations."""
FEWEST, MOST = 8, 384
UNSOUND = 1e-8
"""Where a pivot is smaller than this part of what it comes from, the variation is as good as a mechanism."""


class Slice(NamedTuple):
    """Some variations: by run `axial` (m, s), and on demand all `figures` (m, 9, s) of `recovery`.

    On demand also what bearings push, in x, in y and turning: `pushes` (b, 3, s), in the order of the record.
    """

    axial: Sequence[Floats]
    figures: Callable[[], Sequence[Floats]]
    pushes: Callable[[], Sequence[Floats]]


def at_once(of: Whole) -> int:
    """How many variations are held at once."""
    runs, cases = of.factors.shape
    equations = len(of.pattern.reach) * (of.pattern.width + 2 * cases)
    points = sum(int(template.cut.place.size) for template in of.odd)
    segments = len(of.shape.chord) * (40 + 18 * cases + 60 * runs)
    held = equations + segments + points * (40 + 6 * cases + 8 * runs)
    return int(min(max(NUMBERS_AT_ONCE // held, FEWEST), MOST))


def forces(of: Whole, variation: Variation) -> Slice:
    """The forces of some variations. Raises CannotAnalyseError where one of them is as good as a mechanism."""
    now = shapes(of.shape, of.measured, variation.moved)
    member = {name: index for index, name in enumerate(of.truss.members)}
    stiffer = variation.stiffer[[member[segment.member] for segment in of.truss.segments]]
    tiles = [many_spans.tiles(template, of.shape, now, stiffer) for template in of.odd]
    at = of.beams.segments
    carried = many_beams.carried(of.beams, now, of.soft[:, at, None] / stiffer[at])
    start, gaps = of.start, _gaps(of, now, tiles, carried)
    made, loads = _segments(of, now, stiffer, tiles), _loads(of, now, tiles, carried)
    basic, pivots = many_frames.solved(
        of.pattern,
        made,
        loads=loads,
        gaps=gaps if gaps.any() else None,
        start=start if start.any() else None,
    )
    unsound = int(np.count_nonzero(~(pivots > UNSOUND)))
    if unsound:
        raise _near_mechanism(unsound, len(pivots))
    by_run = np.einsum("mbcs,rc->rmbs", basic, of.factors)
    rows = _rows(of)
    on = np.einsum("ncs,rc->nrs", loads[rows] - of.pushed[rows][..., None], of.factors)
    return Slice(
        axial=list(by_run[:, :, 0]),
        figures=lambda: list(_figures(of, now, stiffer, by_run)),
        pushes=lambda: list(_pushes(of, made, by_run, on)),
    )


def _rows(of: Whole) -> list[int]:
    """The movements of bearings, three by three; the first of all stands where a turn is not held."""
    return [row for one in of.bearings for row in (2 * one.joint, 2 * one.joint + 1, one.turn or 0)]


def _pushes(of: Whole, made: Segments, by_run: Floats, on: Floats) -> Floats:
    """What bearings push (r, b, 3, s), from basic forces (r, m, 3, s) and what stands on their movements."""
    left = many_frames.needed(of.pattern, made, by_run.transpose(1, 2, 0, 3), _rows(of)) - on
    found = left.reshape(len(of.bearings), 3, *left.shape[1:])
    for index, one in enumerate(of.bearings):
        found[index, :2] = np.einsum("ab,brs->ars", one.pushes, found[index, :2])
        if one.turn is None:
            found[index, 2] = 0.0
    return found.transpose(2, 0, 1, 3)


def _segments(of: Whole, now: Shapes, stiffer: Floats, tiles: Sequence[Tiles]) -> Segments:
    """Directions and stiffness of the segments of all samples."""
    e, w = many_frames.directions(now.along, now.chord)
    axial, bending, shear = of.soft[:, :, None]
    springs = np.zeros((3, len(stiffer), 1))
    for segment, end, slip, turning in of.springs:
        springs[0, segment] += 0.0 if slip is None else 1.0 / slip
        springs[1 + end, segment] += 0.0 if turning is None else 1.0 / turning
    length, acts = now.chord, acting(of.frame)
    own = np.zeros((3, 3, *length.shape))
    own[0, 0] = 1.0 / (axial * length / stiffer + springs[0])
    bent = np.flatnonzero(acts[:, 1:].any(axis=1))
    first, last = acts[bent, 1:2], acts[bent, 2:3]
    bend, cut = (part[bent] / stiffer[bent] for part in (bending * length, shear / length))
    f1 = np.where(first, bend / 3 + cut + springs[1, bent], 1.0)
    f2 = np.where(last, bend / 3 + cut + springs[2, bent], 1.0)
    f12 = np.where(first & last, bend / 6 - cut, 0.0)
    over = 1.0 / (f1 * f2 - f12**2)
    own[1, 1, bent], own[2, 2, bent] = f2 * over * first, f1 * over * last
    own[1, 2, bent] = own[2, 1, bent] = -f12 * over
    for tile in tiles:
        own[:, :, tile.template.cut.segments] = _own(of, tile, stiffer.shape[1])
    return many_frames.Segments(e=e, w=w, own=own)


def _own(of: Whole, tile: Tiles, samples: int) -> Floats:
    """The stiffness (3, 3, s, samples) of segments that are curved, worn or bowed."""
    numbers = tile.template.cut.segments
    flexible = many_spans.flexibilities(tile, samples)
    places = {segment: place for place, segment in enumerate(numbers.tolist())}
    for segment, end, slip, turning in of.springs:
        if segment in places and slip is not None:
            own, _ = many_spans.end_forces(tile, segment, end, samples)
            flexible[places[segment]] += own[:, None] * own / slip
        if segment in places and turning is not None:
            flexible[places[segment], 1 + end, 1 + end] += 1.0 / turning
    acts = acting(of.frame)[numbers]
    both = (acts[:, :, None] & acts[:, None])[:, None]
    stiff = np.linalg.inv(np.where(both, flexible.transpose(0, 3, 1, 2), np.eye(3)))
    return np.where(both, stiff, 0.0).transpose(2, 3, 0, 1)


def _loads(of: Whole, now: Shapes, tiles: Sequence[Tiles], carried: Carried) -> Floats:
    """What acts on the movements (n, c, s)."""
    frame, samples = of.frame, now.chord.shape[1]
    loads = np.repeat((of.made.forces + of.pushed)[..., None], samples, axis=2)
    put = [(tile.template.cut.segments, many_spans.on_joints(tile, samples)) for tile in tiles]
    put.append((of.beams.segments, many_beams.on_joints(carried, now, of.beams.segments)))
    for segments, ends in put:
        for place, segment in enumerate(segments.tolist()):
            for end, (right, up) in enumerate(ends[:, :, place]):
                joint = 2 * of.shape.ends[segment, end]
                loads[joint] += right
                loads[joint + 1] += up
                if frame.arms is not None and frame.arms[segment, end].any():
                    x, y = frame.arms[segment, end]
                    loads[frame.turns[segment, end]] += x * up - y * right
    return loads


def _gaps(of: Whole, now: Shapes, tiles: Sequence[Tiles], carried: Carried) -> Floats:
    """The misfits (m, 3, c, s) of all samples."""
    samples = now.chord.shape[1]
    gaps = np.zeros((len(now.chord), 3, of.factors.shape[1], samples))
    longer = now.chord if now.packed is None else now.chord * now.packed
    gaps[:, 0] += of.made.strains[..., None] * longer[:, None]
    gaps[of.beams.segments] += carried.gaps
    for tile in tiles:
        gaps[tile.template.cut.segments] += many_spans.gaps(tile, samples)
    for segment, end, slip, _ in of.springs:
        if slip is not None:
            gaps[segment] += _slipped(of, tiles, carried, segment, end) / slip
    return gaps


def _slipped(of: Whole, tiles: Sequence[Tiles], carried: Carried, segment: int, end: int) -> Floats:
    """How a slip at an end answers (3, c, s) to what is on its segment, by unit stiffness."""
    for tile in tiles:
        if segment in tile.template.cut.segments:
            own, released = many_spans.end_forces(
                tile, segment, end, len(tile.shape.chord) // len(tile.template.cut.segments)
            )
            return own[:, None] * released
    found = np.zeros(carried.gaps.shape[1:])
    if segment in of.beams.segments:
        pushes = carried.pushes[0, end, of.beams.segments.tolist().index(segment)]
        found[0] = pushes if end else -pushes
    return found


def _figures(of: Whole, now: Shapes, stiffer: Floats, basic: Floats) -> Floats:
    """All figures (r, m, 9, s) of some variations from their basic forces (r, m, 3, s)."""
    runs, count, _, samples = basic.shape
    found = np.empty((runs, count, ROWS, samples))
    curved = of.shape.half != 0.0
    for kind in (np.flatnonzero(~curved).tolist(), np.flatnonzero(curved).tolist()):
        if kind:
            tile = many_spans.tiles(template(of, kind), of.shape, now, stiffer)
            flat = basic[:, kind].transpose(3, 1, 2, 0).reshape(-1, 3, runs)
            figures = figures_of(tile.shape, tile.cut, tile.state, flat, of.factors)
            found[:, kind] = figures.reshape(runs, samples, len(kind), ROWS).transpose(0, 2, 3, 1)
    return found


def _near_mechanism(unsound: int, samples: int) -> CannotAnalyseError:
    return CannotAnalyseError(
        "near-mechanism",
        what=f"within the survey tolerance the truss may be a mechanism or next to one: {unsound} of {samples} "
        "variations looked at.",
        do="Measure more closely what hardly holds, or brace it; give less tolerance if the survey is that good.",
    )
