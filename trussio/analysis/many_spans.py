"""Loads between joints, and what is curved or worn, in many variations of a truss at once.

Every variation is cut into the same pieces, each at its share of its segment. What stands on them is gathered
once; the pieces of a variation then lie behind those of the one before, as if all were one long truss, and go
through `spans` like any other.
Shapes: p pieces, q points on a piece, c load cases, s segments of a kind, n samples.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.lines import Lines
from trussio.analysis.pieces import axis, chord_line, pieces
from trussio.analysis.spans import flexibility, misfits, released, turned
from trussio.analysis.wear import deviations, displaced

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.loading import Applied
    from trussio.analysis.many_shapes import Shapes
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.spans import Released
    from trussio.analysis.wear import Wear

    Kind = tuple[str, bool]


class Template(NamedTuple):
    """The pieces of segments of one kind, straight or curved, as surveyed, and what stands on them.

    `soft` (3, p) is what a length gives, `off` and `rise` (p, q) as in `wear`; `sizes` (c, p, q) are loads by
    direction and whether they count in plan, `forces` (2, c, p) act where pieces start, right and up.
    """

    cut: Pieces
    curved: bool
    soft: Floats
    off: Floats
    rise: Floats
    sizes: Mapping[Kind, Floats]
    forces: Floats


class Tiles(NamedTuple):
    """The pieces of all samples: their lines, cuts, gives (3, n p) and released states; s segments in each."""

    template: Template
    shape: Lines
    cut: Pieces
    soft: Floats
    state: Released


def template(shape: Lines, segments: Counts, made: Applied, *, wear: Wear, gives: Floats, cases: int) -> Template:
    """What stands on some segments, all straight or all curved, whose lengths give `gives` (3, m)."""
    cut = pieces(shape, segments, cuts_of(made, wear), bowed=bool(wear.bows))
    off, rise, soft = deviations(wear, shape, cut, gives[:, cut.segments[cut.of]])
    middle = cut.start + cut.length / 2
    numbers = cut.segments[cut.of]
    sizes: dict[Kind, Floats] = {}
    for patch in made.patches:
        on = np.flatnonzero((numbers == patch.segment) & (patch.start < middle) & (middle < patch.end))
        part = (cut.place[on] - patch.start) / (patch.end - patch.start)
        kind = (patch.direction, patch.plan)
        held = sizes.setdefault(kind, np.zeros((cases, *cut.place.shape)))
        held[patch.case, on] += patch.at_start + (patch.at_end - patch.at_start) * part
    forces = np.zeros((2, cases, len(numbers)))
    for point in made.points:
        on = np.flatnonzero((numbers == point.segment) & (cut.start == point.place))
        forces[:, point.case, on] += np.array([[point.fx], [point.fy]])
    curved = bool(shape.half[segments].any())
    kept = {kind: size for kind, size in sizes.items() if size.any()}
    return Template(cut=cut, curved=curved, soft=soft, off=off, rise=rise, sizes=kept, forces=forces)


def cuts_of(made: Applied, wear: Wear) -> dict[int, list[float]]:
    """The places at which loads or lost sections begin, end or stand, by segment."""
    cuts: dict[int, list[float]] = {}
    for patch in made.patches:
        cuts.setdefault(patch.segment, []).extend((patch.start, patch.end))
    for stretch in wear.stretches:
        cuts.setdefault(stretch.segment, []).extend((stretch.start, stretch.end))
    for point in made.points:
        cuts.setdefault(point.segment, []).append(point.place)
    return cuts


def tiles(of: Template, surveyed: Lines, now: Shapes, stiffer: Floats) -> Tiles:
    """The pieces of samples that lie as `now` says, by what `stiffer` (m, n) makes of each segment."""
    cut, samples = of.cut, now.chord.shape[1]
    segments, count = cut.segments, len(cut.segments)
    shape = Lines(
        joints=surveyed.joints,
        ends=surveyed.ends,
        along=now.along[segments].transpose(2, 0, 1).reshape(-1, 2),
        chord=now.chord[segments].T.ravel(),
        length=now.length[segments].T.ravel(),
        half=now.half[segments].T.ravel(),
    )
    sample = np.repeat(np.arange(samples), len(cut.of))
    belongs = np.tile(cut.of, samples) + count * sample
    ratio = shape.length[belongs] / np.tile(surveyed.length[segments][cut.of], samples)
    start, length = np.tile(cut.start, samples) * ratio, np.tile(cut.length, samples) * ratio
    place = start[:, None] + length[:, None] * cut.rule.at
    x, y, cos, sin = axis(shape, belongs, place) if of.curved else chord_line(place)
    tiled = cut._replace(
        segments=np.arange(samples * count),
        first=np.tile(cut.first, samples) + np.repeat(np.arange(samples) * len(cut.of), count),
        of=belongs,
        start=start,
        length=length,
        place=place,
        x=x,
        y=y,
        cos=cos,
        sin=sin,
    )
    if of.off.any() or of.rise.any():
        slope = np.tile(of.rise, (samples, 1)) / shape.length[belongs, None]
        tiled = displaced(tiled, np.tile(of.off, (samples, 1)), slope)
    soft = np.tile(of.soft, samples) / stiffer[segments].T.ravel()[belongs]
    load, forces = _loads(of, shape, tiled, now)
    return Tiles(template=of, shape=shape, cut=tiled, soft=soft, state=released(shape, tiled, load, forces))


def _loads(of: Template, shape: Lines, cut: Pieces, now: Shapes) -> tuple[Floats, Floats]:
    """Loads (2, c, p, q) and forces (2, c, p) along and across the chord of the pieces of all samples."""
    samples, cases = now.chord.shape[1], of.forces.shape[1]
    cos, sin = shape.along[cut.of].T
    load = np.zeros((2, cases, *cut.place.shape))
    for (direction, plan), size in of.sizes.items():
        chord, slant = (cos[:, None], sin[:, None]), (cut.cos, cut.sin)
        load += turned(np.tile(size, (1, samples, 1)), np.array(direction), np.array(plan), chord, slant)
    if now.packed is not None:
        load *= now.packed[of.cut.segments].T.ravel()[cut.of][:, None]
    right, up = np.tile(of.forces, samples)
    return load, np.stack([right * cos + up * sin, up * cos - right * sin])


def flexibilities(tile: Tiles, samples: int) -> Floats:
    """Basic deformations under unit basic forces (s, 3, 3, n)."""
    found = flexibility(tile.shape, tile.cut, tile.soft)
    return found.reshape(samples, -1, 3, 3).transpose(1, 2, 3, 0)


def gaps(tile: Tiles, samples: int) -> Floats:
    """Misfits by the loads (s, 3, c, n)."""
    found = misfits(tile.shape, tile.cut, tile.soft, tile.state)
    return found.reshape(samples, -1, *found.shape[1:]).transpose(1, 2, 3, 0)


def on_joints(tile: Tiles, samples: int) -> Floats:
    """What segments put on their joints, right and up, at the first and at the last: (2, 2, s, c, n)."""
    cos, sin = tile.shape.along.T
    ends = tile.state.ends
    found = [
        [-ends[:, x] * cos + ends[:, y] * sin, -ends[:, x] * sin - ends[:, y] * cos] for x, y in ((0, 1), (2, 3))
    ]
    cases = len(ends)
    return np.array(found).reshape(2, 2, cases, samples, -1).transpose(0, 1, 4, 2, 3)


def end_forces(tile: Tiles, segment: int, end: int, samples: int) -> tuple[Floats, Floats]:
    """The axial force at an end of a segment under unit basic forces (3, n), and in the released states (c, n)."""
    cut = tile.cut
    place = np.flatnonzero(tile.template.cut.segments == segment)[0]
    index = place + np.arange(samples) * len(tile.template.cut.segments)
    final = np.append(cut.first[1:], len(cut.of)) - 1
    at, point = (cut.first[index], 0) if end == 0 else (final[index], -1)
    cos, sin, chord = cut.cos[at, point], cut.sin[at, point], tile.shape.chord[index]
    own = np.stack([cos, sin / chord, -sin / chord])
    return own, tile.state.along[:, at, point] * cos - tile.state.across[:, at, point] * sin
