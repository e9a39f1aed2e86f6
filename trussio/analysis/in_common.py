"""What all variations of a truss have in common, found once before they are solved side by side.

Terms as in `many_spans`, `many_beams` and `many_frames`.
Shapes: r runs, m segments, c load cases, n movements.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis import many_beams, many_frames, many_spans
from trussio.analysis.assembly import assembled, placed
from trussio.analysis.end_springs import ends_of
from trussio.analysis.lines import lines
from trussio.analysis.properties import gives
from trussio.analysis.wear import Wear, wear_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.bearings import Bearing
    from trussio.analysis.frame import Frame
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.analysis.many_beams import Beams
    from trussio.analysis.many_frames import Pattern
    from trussio.analysis.many_spans import Template
    from trussio.model.idealised import Idealised
    from trussio.model.loading import RunId
    from trussio.model.truss import End, Truss

    Springs = Sequence[tuple[int, int, float | None, float | None]]


class Whole(NamedTuple):
    """What all variations have in common: the truss as surveyed, under some cases, of which runs are sums.

    Where there are fewer runs than cases, each run stands for a case. Bearings prescribe movements `start` (n, c),
    springs on moving ground push by `pushed` (n, c).
    `bearings` are what they hold. `soft` (3, m) is what a length of each segment gives. `odd` are segments that
    are curved, worn or bowed, `beams` others with loads on them; `springs` give at ends of segments.
    """

    truss: Truss
    factors: Floats
    shape: Lines
    measured: Floats
    made: Applied
    pushed: Floats
    start: Floats
    bearings: Sequence[Bearing]
    frame: Frame
    soft: Floats
    wear: Wear
    pattern: Pattern
    odd: Sequence[Template]
    beams: Beams
    springs: Springs


def whole(truss: Truss, ideal: Idealised, runs: Mapping[RunId, Mapping[RunId, float]]) -> Whole:
    """What all variations have in common. Raises CannotAnalyseError where a property that counts is missing."""
    used = [case for case in truss.loads.cases if any(factors.get(case) for factors in runs.values())]
    factors = np.array([[run.get(case, 0.0) for case in used] for run in runs.values()], dtype=np.float64)
    assembly = assembled(truss, ideal, used)
    held, (shape, made) = assembly.held, placed(truss, ideal, used)
    pushed, start = held.pushed, held.start
    if len(runs) < len(used):
        made, pushed, start = _summed(made, factors), pushed @ factors.T, start @ factors.T
        factors = np.eye(len(runs))
    give, wear = gives(truss, ideal), wear_of(truss, shape)
    soft = np.stack([give.axial, give.bending, give.shear])
    found = Whole(
        truss=truss,
        factors=factors.reshape(len(runs), -1),
        shape=shape,
        measured=lines(truss).length,
        made=made,
        pushed=pushed,
        start=start,
        bearings=held.all,
        frame=assembly.frame,
        soft=soft,
        wear=wear,
        pattern=many_frames.pattern(assembly.frame),
        odd=[],
        beams=many_beams.NONE,
        springs=list(_springs(truss)),
    )
    curved = {*np.flatnonzero(shape.half).tolist()}
    worn = {one.segment for one in wear.stretches} | set(wear.bows)
    stood_on = {patch.segment for patch in made.patches} | {point.segment for point in made.points}
    return found._replace(
        odd=[template(found, sorted(kind)) for kind in (curved, worn) if kind],
        beams=many_beams.beams(template(found, sorted(stood_on - worn - curved)), shape.length),
    )


def template(of: Whole, segments: Sequence[int]) -> Template:
    """What stands on some segments, all straight or all curved."""
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


def _summed(made: Applied, factors: Floats) -> Applied:
    """The loads of runs from those of cases, `factors` (r, c)."""
    shares = [(run, case, float(by)) for (run, case), by in np.ndenumerate(factors) if by]
    return made._replace(
        forces=made.forces @ factors.T,
        patches=[
            patch._replace(case=run, at_start=by * patch.at_start, at_end=by * patch.at_end)
            for run, case, by in shares
            for patch in made.patches
            if patch.case == case
        ],
        points=[
            point._replace(case=run, fx=by * point.fx, fy=by * point.fy)
            for run, case, by in shares
            for point in made.points
            if point.case == case
        ],
        strains=made.strains @ factors.T,
    )
