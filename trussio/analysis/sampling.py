"""The forces of many variations of a truss: joints within survey tolerance, stiffness of sticks spread.

Where nothing but joints and stiffness changes from one variation to the next they are solved side by side. Where
each has to find its own way - play, tendons, stages, inclined bearings, stations of a pinned truss, members that
would have to act the other way - each is analysed by itself, which takes some hundred times as long.
Shapes: m segments, s samples.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.in_common import whole
from trussio.analysis.lines import lines
from trussio.analysis.recovery import ROWS, segment_forces
from trussio.analysis.run import analyse
from trussio.analysis.side_by_side import Slice, at_once, forces
from trussio.analysis.sticks import sticks
from trussio.analysis.varied import Variation, on_their_lines, variations, varied
from trussio.model.forces import RunForces
from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.varied import Places, Spread, Variation
    from trussio.model.forces import SegmentForces
    from trussio.model.idealised import Idealised
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Joint, JointId, Truss

BY_ITSELF = 64
NOTHING = 1e-9
"""A force of this part of the largest of its variation is none."""


def sampled(
    truss: Truss, *, idealisation: Idealisation, runs: Sequence[RunId], spread: Spread, samples: int
) -> Iterator[Slice]:
    """The forces of so many variations under some runs, a slice at a time; the same every time.

    A run that nothing balances in a variation has no numbers there.
    Raises CannotAnalyseError where a variation is a mechanism or so near to one that no force can be trusted.
    """
    ideal = idealise(truss, idealisation)
    if not side_by_side(truss, ideal):
        for variation in variations(truss, spread, samples, BY_ITSELF):
            yield _by_themselves(truss, ideal, runs, variation)
        return
    every = truss.loads.runs
    common = whole(truss, ideal, {run: every[run] for run in runs})
    for variation in variations(truss, spread, samples, at_once(common)):
        part = forces(common, variation)
        wrong = _with_slack(truss, part)
        if len(wrong):
            part = _mended(part, wrong, _by_themselves(truss, ideal, runs, _some(variation, wrong)))
        yield part


def side_by_side(truss: Truss, ideal: Idealised) -> bool:
    """Whether all variations can be solved at once, as if members that act one way acted both."""
    inclined = any(isinstance(hold, tuple) for support in truss.supports.values() for hold in support.holds)
    play = any(member.play for member in truss.members.values())
    return not (truss.tendons or truss.stages or ideal.stations or inclined or play)


def _with_slack(truss: Truss, part: Slice) -> Counts:
    """The variations in which a member would have to act the other way in some run."""
    signs = {"tension": 1.0, "compression": -1.0}
    ways = [signs.get(truss.members[segment.member].acts or "", 0.0) for segment in truss.segments]
    one_way = np.flatnonzero(ways)
    wrong = np.zeros(part.axial[0].shape[1] if part.axial else 0, dtype=bool)
    for axial in part.axial if len(one_way) else ():
        nothing = NOTHING * np.abs(axial).max(axis=0, initial=0.0)
        wrong |= (np.array(ways)[one_way, None] * axial[one_way] < -nothing).any(axis=0)
    return np.flatnonzero(wrong)


def _some(variation: Variation, which: Counts) -> Variation:
    return variation._replace(moved=variation.moved[:, :, which], stiffer=variation.stiffer[:, which])


def _mended(part: Slice, which: Counts, known: Slice) -> Slice:
    """A slice with some of its variations as they are known."""

    def mended(all_of_them: Sequence[Floats], some: Sequence[Floats]) -> list[Floats]:
        found = [values.copy() for values in all_of_them]
        for values, right in zip(found, some, strict=True):
            values[..., which] = right if right.size else np.nan
        return found

    return Slice(
        axial=mended(part.axial, known.axial),
        figures=lambda: mended(part.figures(), known.figures()),
        pushes=lambda: mended(part.pushes(), known.pushes()),
    )


def _by_themselves(truss: Truss, ideal: Idealised, runs: Sequence[RunId], variation: Variation) -> Slice:
    """The forces of some variations, each analysed by itself."""
    trusses = each(truss, ideal, variation)
    return _together([analyse(one, idealisation=ideal.idealisation, runs=runs) for one in trusses], runs)


def each(truss: Truss, ideal: Idealised, variation: Variation) -> Iterator[Truss]:
    """The trusses of some variations, one by one."""
    before = _places(truss, ideal)
    for sample in range(variation.moved.shape[2]):
        joints = moved_joints(truss, ideal, variation, sample)
        stiffer = dict(zip(truss.members, variation.stiffer[:, sample].tolist(), strict=True))
        after = _places(replace(truss, joints=joints), ideal)
        yield varied(truss, joints, stiffer, before=before, after=after)


def moved_joints(truss: Truss, ideal: Idealised, variation: Variation, sample: int) -> dict[JointId, Joint]:
    """Where the joints of one variation lie."""
    shifts = variation.moved[:, :, sample].tolist()
    joints = {
        name: replace(joint, x=joint.x + dx, y=joint.y + dy)
        for (name, joint), (dx, dy) in zip(truss.joints.items(), shifts, strict=True)
    }
    return on_their_lines(truss, ideal, joints)


def run_forces(surveyed: Mapping[RunId, RunForces], part: Slice) -> Iterator[dict[RunId, RunForces]]:
    """The records of each variation of a slice of the runs `surveyed`: forces of segments alone.

    A run that nothing balances in a variation is left out of it.
    """
    figures = part.figures()
    for sample in range(part.axial[0].shape[1] if part.axial else 0):
        yield {
            run: RunForces(
                segments=segment_forces(list(forces.segments), rows[..., sample].tolist()), joints={}, reactions={}
            )
            for (run, forces), rows in zip(surveyed.items(), figures, strict=True)
            if rows.size and not np.isnan(rows[..., sample]).any()
        }


def _places(truss: Truss, ideal: Idealised) -> Places:
    return sticks(truss, ideal, lines(truss)).places


def _together(found: Sequence[Mapping[RunId, RunForces]], runs: Sequence[RunId]) -> Slice:
    """Variations that were analysed one by one as one slice; runs after different stages have other segments."""
    figures = [_of_run([each_one.get(run) for each_one in found]) for run in runs]
    pushes = [_pushes([each_one.get(run) for each_one in found]) for run in runs]
    return Slice(axial=[of[:, 0] for of in figures], figures=lambda: figures, pushes=lambda: pushes)


def _of_run(found: Sequence[RunForces | None]) -> Floats:
    """The figures (m, 9, s) of one run; not a number in the variations in which nothing balances it."""
    return _rows(found, lambda one: [_row(part) for part in one.segments.values()], ROWS)


def _pushes(found: Sequence[RunForces | None]) -> Floats:
    """What bearings push (b, 3, s) in one run; the same where nothing balances it."""
    return _rows(found, lambda one: [list(push) for push in one.reactions.values()], 3)


def _rows(found: Sequence[RunForces | None], told: Callable[[RunForces], list[list[float]]], width: int) -> Floats:
    known = next((told(one) for one in found if one is not None), [])
    missing = [[float("nan")] * width] * len(known)
    rows = [missing if one is None else told(one) for one in found]
    return np.array(rows, dtype=np.float64).reshape(len(rows), -1, width).transpose(1, 2, 0)


def _row(one: SegmentForces) -> list[float]:
    """The figures of a segment, in the order of `recovery`."""
    pairs = chain(one.axial_ends, one.shear, one.moment)
    return [one.axial, *pairs, one.moment_peak, one.moment_peak_at]
