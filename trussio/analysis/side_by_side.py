"""Variations of a truss solved side by side: what they have in common, then the forces of some at a time.

Terms as in `varied`, `many_shapes`, `many_spans` and `many_frames`.
Shapes: r runs, m segments, c load cases, n movements, s samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis import many_frames, many_spans
from trussio.analysis.assembly import assembled, placed
from trussio.analysis.end_springs import ends_of
from trussio.analysis.frame import acting
from trussio.analysis.lines import lines
from trussio.analysis.many_shapes import shapes
from trussio.analysis.properties import gives
from trussio.analysis.recovery import ROWS, figures_of
from trussio.analysis.wear import Wear, wear_of
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Assembly
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.analysis.many_frames import Pattern, Segments
    from trussio.analysis.many_shapes import Shapes
    from trussio.analysis.many_spans import Template, Tiles
    from trussio.analysis.varied import Variation
    from trussio.model.idealised import Idealised
    from trussio.model.loading import RunId
    from trussio.model.truss import End, Truss

    Springs = Sequence[tuple[int, int, float | None, float | None]]
    Standing = Sequence[tuple[Tiles, bool]]

NUMBERS_AT_ONCE = 2**23
"""So many numbers are held at once, or those of the fewest variations."""
FEWEST, MOST = 8, 512
UNSOUND = 1e-8
"""Where a pivot is smaller than this part of what it comes from, the variation is as good as a mechanism."""


class Slice(NamedTuple):
    """Some variations: by run `axial` (m, s), and on demand all `figures` (m, 9, s) of `recovery`."""

    axial: Sequence[Floats]
    figures: Callable[[], Sequence[Floats]]


class Whole(NamedTuple):
    """What all variations have in common: the truss as surveyed, under some cases, of which runs are sums.

    `soft` (3, m) is what a length of each segment gives. `standing` are segments with something on them or bent
    out of line, and whether they deform otherwise than a straight stick does; `springs` give at ends of segments.
    """

    truss: Truss
    factors: Floats
    shape: Lines
    measured: Floats
    made: Applied
    assembly: Assembly
    soft: Floats
    wear: Wear
    pattern: Pattern
    standing: Sequence[tuple[Template, bool]]
    springs: Springs


def whole(truss: Truss, ideal: Idealised, runs: Mapping[RunId, Mapping[RunId, float]]) -> Whole:
    """What all variations have in common. Raises CannotAnalyseError where a property that counts is missing."""
    used = [case for case in truss.loads.cases if any(factors.get(case) for factors in runs.values())]
    factors = np.array([[run.get(case, 0.0) for case in used] for run in runs.values()], dtype=np.float64)
    assembly = assembled(truss, ideal, used)
    shape, made = placed(truss, ideal, used)
    give, wear = gives(truss, ideal), wear_of(truss, shape)
    soft = np.stack([give.axial, give.bending, give.shear])
    found = Whole(
        truss=truss,
        factors=factors.reshape(len(runs), len(used)),
        shape=shape,
        measured=lines(truss).length,
        made=made,
        assembly=assembly,
        soft=soft,
        wear=wear,
        pattern=many_frames.pattern(assembly.frame),
        standing=[],
        springs=list(_springs(truss)),
    )
    curved = {*np.flatnonzero(shape.half).tolist()}
    worn = {one.segment for one in wear.stretches} | set(wear.bows)
    stood_on = {patch.segment for patch in made.patches} | {point.segment for point in made.points}
    stood_on -= worn | curved
    kinds = [(kind, kind is not stood_on) for kind in (curved, worn, stood_on) if kind]
    return found._replace(standing=[(_template(found, sorted(kind)), own) for kind, own in kinds])


def _template(of: Whole, segments: Sequence[int]) -> Template:
    numbers, cases = np.array(segments, dtype=np.intp), of.factors.shape[1]
    return many_spans.template(of.shape, numbers, of.made, wear=of.wear, gives=of.soft, cases=cases)


def _springs(truss: Truss) -> Iterator[tuple[int, int, float | None, float | None]]:
    """The ends of segments that slip or turn: segment, end, and the stiffness of either."""
    end: End
    for segment, number, end in ends_of(truss):
        member = truss.members[truss.segments[segment].member]
        slip, turning = (member.slip or {}).get(end), (member.turning or {}).get(end)
        if slip is not None or turning is not None:
            yield segment, number, slip, turning


def at_once(of: Whole) -> int:
    """How many variations are held at once."""
    runs, cases = of.factors.shape
    equations = len(of.pattern.reach) * (of.pattern.width + 2 * cases)
    points = sum(int(template.cut.place.size) for template, _ in of.standing)
    segments = len(of.shape.chord) * (40 + 12 * cases + 60 * runs)
    held = equations + segments + points * (40 + 6 * cases + 8 * runs)
    return int(min(max(NUMBERS_AT_ONCE // held, FEWEST), MOST))


def forces(of: Whole, variation: Variation) -> Slice:
    """The forces of some variations. Raises CannotAnalyseError where one of them is as good as a mechanism."""
    now = shapes(of.shape, of.measured, variation.moved)
    member = {name: index for index, name in enumerate(of.truss.members)}
    stiffer = variation.stiffer[[member[segment.member] for segment in of.truss.segments]]
    tiles = [(many_spans.tiles(template, of.shape, now, stiffer), own) for template, own in of.standing]
    made = _segments(of, now, stiffer, tiles)
    held = of.assembly.held
    gaps = _gaps(of, now, tiles)
    basic, pivots = many_frames.solved(
        of.pattern,
        made,
        loads=_loads(of, tiles, stiffer.shape[1]),
        gaps=gaps if gaps.any() else None,
        start=held.start if held.start.any() else None,
    )
    unsound = int(np.count_nonzero(~(pivots > UNSOUND)))
    if unsound:
        raise _near_mechanism(unsound, len(pivots))
    by_run = np.einsum("mbcs,rc->rmbs", basic, of.factors)
    return Slice(axial=list(by_run[:, :, 0]), figures=lambda: list(_figures(of, now, stiffer, by_run)))


def _segments(of: Whole, now: Shapes, stiffer: Floats, tiles: Standing) -> Segments:
    """Directions and stiffness of the segments of all samples."""
    e, w = many_frames.directions(now.along, now.chord)
    axial, bending, shear = of.soft[:, :, None]
    springs = np.zeros((3, len(stiffer), 1))
    for segment, end, slip, turning in of.springs:
        springs[0, segment] += 0.0 if slip is None else 1.0 / slip
        springs[1 + end, segment] += 0.0 if turning is None else 1.0 / turning
    length, acts = now.chord, acting(of.assembly.frame)
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
    for tile, differs in tiles:
        if differs:
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
    acts = acting(of.assembly.frame)[numbers]
    both = (acts[:, :, None] & acts[:, None])[:, None]
    stiff = np.linalg.inv(np.where(both, flexible.transpose(0, 3, 1, 2), np.eye(3)))
    return np.where(both, stiff, 0.0).transpose(2, 3, 0, 1)


def _loads(of: Whole, tiles: Standing, samples: int) -> Floats:
    """What acts on the movements (n, c, s)."""
    frame, shape = of.assembly.frame, of.shape
    loads = np.repeat((of.made.forces + of.assembly.held.pushed)[..., None], samples, axis=2)
    for tile, _ in tiles:
        for end, (right, up) in enumerate(many_spans.on_joints(tile, samples)):
            for place, segment in enumerate(tile.template.cut.segments.tolist()):
                joint = 2 * shape.ends[segment, end]
                loads[joint] += right[place]
                loads[joint + 1] += up[place]
                if frame.arms is not None and frame.arms[segment, end].any():
                    x, y = frame.arms[segment, end]
                    loads[frame.turns[segment, end]] += x * up[place] - y * right[place]
    return loads


def _gaps(of: Whole, now: Shapes, tiles: Standing) -> Floats:
    """The misfits (m, 3, c, s) of all samples."""
    samples = now.chord.shape[1]
    gaps = np.zeros((len(now.chord), 3, of.factors.shape[1], samples))
    longer = now.chord if now.packed is None else now.chord * now.packed
    gaps[:, 0] += of.made.strains[..., None] * longer[:, None]
    for tile, _ in tiles:
        numbers = tile.template.cut.segments
        gaps[numbers] += many_spans.gaps(tile, samples)
        for segment, end, slip, _ in of.springs:
            if slip is not None and segment in numbers:
                own, released = many_spans.end_forces(tile, segment, end, samples)
                gaps[segment] += own[:, None] * released / slip
    return gaps


def _figures(of: Whole, now: Shapes, stiffer: Floats, basic: Floats) -> Floats:
    """All figures (r, m, 9, s) of some variations from their basic forces (r, m, 3, s)."""
    runs, count, _, samples = basic.shape
    found = np.empty((runs, count, ROWS, samples))
    curved = of.shape.half != 0.0
    for kind in (np.flatnonzero(~curved).tolist(), np.flatnonzero(curved).tolist()):
        if kind:
            tile = many_spans.tiles(_template(of, kind), of.shape, now, stiffer)
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
