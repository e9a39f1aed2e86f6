"""Forces of a truss by direct stiffness: from the records of a document to the records of results.

The steps in order: what the members are made of, where the segments run, what the loads put on them, what holds
the truss, the frame and its response to every case at once, and runs as sums of cases. See `frame` for the method,
`spans` for loads between joints, `stations` for purlin points in `pinned`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.bearings import bearings, reactions
from trussio.analysis.frame import Frame
from trussio.analysis.lines import lines
from trussio.analysis.loading import applied
from trussio.analysis.mechanism import refusal
from trussio.analysis.pieces import pieces
from trussio.analysis.properties import gives
from trussio.analysis.recovery import Cases, recover
from trussio.analysis.response import respond
from trussio.analysis.spans import flexibility, loads_on, misfits, released
from trussio.analysis.stations import carried, chain_moments, handed, stops, ties
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.arrays import Floats
    from trussio.analysis.bearings import Bearings
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.properties import Gives
    from trussio.analysis.spans import Released
    from trussio.analysis.stations import Stop
    from trussio.model.forces import RunForces
    from trussio.model.idealised import Idealised
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, Truss


def analyse(
    truss: Truss, *, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> dict[RunId, RunForces]:
    """The forces of some runs (None: of every case and combination), in document order.

    Raises CannotAnalyseError where a property that counts is missing, a load cannot be evaluated, or the truss is
    a mechanism or so near to one that no force can be trusted; UsageError where a run is not in the document.
    """
    chosen = _chosen(truss, runs)
    if not chosen:
        return {}
    used = [case for case in truss.loads.cases if any(factors.get(case) for factors in chosen.values())]
    factors = np.array([[run.get(case, 0.0) for case in used] for run in chosen.values()], dtype=np.float64)
    ideal, shape = idealise(truss, idealisation), lines(truss)
    give, made = gives(truss, ideal), applied(truss, ideal, shape, used)
    held = bearings(truss, ideal, made.ground)
    cases = _respond(truss, ideal, shape, give=give, made=made, held=held)
    return dict(
        zip(chosen, recover(truss, ideal, shape, held=held.all, cases=cases, factors=factors), strict=True)
    )


def _chosen(truss: Truss, runs: Collection[RunId] | None) -> dict[RunId, Mapping[RunId, float]]:
    every = truss.loads.runs
    unknown = [] if runs is None else sorted(set(runs) - set(every))
    if unknown:
        raise UsageError(
            "unknown-run",
            what=f"the document has no case or combination {', '.join(unknown)}.",
            do=f"Choose among {', '.join(every) or 'none: it has no loads'}.",
        )
    return {run: factors for run, factors in every.items() if runs is None or run in runs}


def _respond(truss: Truss, ideal: Idealised, shape: Lines, *, give: Gives, made: Applied, held: Bearings) -> Cases:
    """What every case does."""
    cases = made.forces.shape[1]
    spans = [(cut, released(shape, cut, *loads_on(shape, cut, made, cases))) for cut in _kinds(shape, made)]
    flexible, gaps = np.zeros((len(shape.chord), 3, 3)), np.zeros((len(shape.chord), 3, cases))
    loads = made.forces.copy()
    for cut, state in spans:
        flexible[cut.segments] = flexibility(shape, cut, give)
        gaps[cut.segments] = misfits(shape, cut, give, state)
        _add_ends(shape, cut, state, loads)
    gaps[:, 0] += made.strains * shape.chord[:, None]
    among = stops(truss, ideal)
    frame = _frame(ideal, shape, held, flexible, among)
    try:
        response = respond(frame, loads + held.pushed, gaps, carried(held.start, among))
    except CannotAnalyseError:
        raise refusal(truss, frame) from None
    needed = np.zeros_like(loads)
    needed[frame.watched] = response.pulls - loads[frame.watched]
    response.forces[:, 1:] += chain_moments(shape, among, -needed)
    return Cases(
        movements=response.movements,
        basic=response.forces,
        reactions=reactions(held, handed(among, needed)),
        spans=spans,
    )


def _kinds(shape: Lines, made: Applied) -> list[Pieces]:
    """The pieces of all straight segments, and those of all arcs, where there are any."""
    cuts: dict[int, list[float]] = {}
    for patch in made.patches:
        cuts.setdefault(patch.segment, []).extend((patch.start, patch.end))
    for point in made.points:
        cuts.setdefault(point.segment, []).append(point.place)
    curved = shape.half != 0.0
    kinds = (np.flatnonzero(~curved), np.flatnonzero(curved))
    return [pieces(shape, segments, cuts) for segments in kinds if len(segments)]


def _add_ends(shape: Lines, cut: Pieces, state: Released, loads: Floats) -> None:
    """Add to the loads (n, c) what released segments put on their joints."""
    cos, sin = shape.along[cut.segments].T
    for end, (x, y) in enumerate(((0, 1), (2, 3))):
        along, across = -state.ends[:, x], -state.ends[:, y]
        joint = 2 * shape.ends[cut.segments, end]
        np.add.at(loads, joint, (along * cos - across * sin).T)
        np.add.at(loads, joint + 1, (along * sin + across * cos).T)


def _frame(ideal: Idealised, shape: Lines, held: Bearings, flexible: Floats, among: list[Stop]) -> Frame:
    total = len(held.held)
    first = total - len(ideal.rotations)
    turns = [[total if end is None else first + end for end in ends] for ends in ideal.ends]
    joints = np.array([*(bearing.joint for bearing in held.all), *(stop.joint for stop in among)], dtype=np.intp)
    turning = np.array([bearing.turn for bearing in held.all if bearing.turn is not None], dtype=np.intp)
    return Frame(
        joints=shape.joints,
        ends=shape.ends,
        turns=np.array(turns, dtype=np.intp).reshape(-1, 2),
        total=total,
        flexibility=flexible,
        free=np.flatnonzero(~held.held),
        springs=held.springs,
        watched=np.concatenate([2 * joints, 2 * joints + 1, turning]),
        ties=ties(held, among),
    )
