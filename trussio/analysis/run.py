"""Forces of a truss by direct stiffness: from the records of a document to the records of results.

The steps in order: the truss put together under its cases (`assembly`), the response to every case at once
(`response`), and runs as sums of cases (`recovery`). See `frame` for the method, `spans` for loads between joints,
`stations` for purlin points in `pinned`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.assembly import answered, assembled
from trussio.analysis.bearings import reactions
from trussio.analysis.recovery import Cases, recover
from trussio.analysis.stations import handed
from trussio.errors import CannotAnalyseError, UsageError
from trussio.late import loaded
from trussio.model.idealised import idealise
from trussio.model.loading import LEAST, RunId

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Assembly
    from trussio.model.forces import RunForces
    from trussio.model.truss import Idealisation, Truss

    Runs = dict[RunId, RunForces]
    Open = dict[RunId, RunForces | CannotAnalyseError]
    OneWay = Callable[[Truss, Assembly, Sequence[RunId], Floats], Open]


class Analysed(NamedTuple):
    """The forces of the runs that could be evaluated, and why a run could not."""

    runs: Runs
    not_evaluated: dict[RunId, str]


def analyse(
    truss: Truss, *, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> Runs:
    """The forces of some runs (None: of every case and combination), as `analysed` finds them."""
    return analysed(truss, idealisation=idealisation, runs=runs).runs


def analysed(
    truss: Truss, *, idealisation: Idealisation = "continuous", runs: Collection[RunId] | None = None
) -> Analysed:
    """The forces of some runs (None: of every case and combination), in document order.

    Where there are tendons or stages the runs are those of `trussio.model.history.run_factors`. A case that is not
    dead load, and that no members that carry one way balance by itself, is not evaluated where other runs are.
    Raises CannotAnalyseError where a property that counts is missing, a load cannot be evaluated, the truss is
    a mechanism or so near to one that no force can be trusted, or no members balance another run; UsageError where
    a run is not in the document.
    """
    if truss.tendons or truss.stages:
        staged: Callable[[Truss, Idealisation, Collection[RunId] | None], Open]
        staged = loaded("trussio.analysis.staging:analyse_staged")
        return _told(truss, staged(truss, idealisation, runs))
    chosen = _chosen(truss, runs)
    if not chosen:
        return Analysed({}, {})
    found = _told(truss, _forces(truss, idealisation, chosen))
    if any(member.slip or member.play for member in truss.members.values()):
        without_slip: Callable[[Truss], Truss] = loaded("trussio.analysis.slip:without_slip")
        moved_by_slip: Callable[[Runs, Open], Runs] = loaded("trussio.analysis.slip:moved_by_slip")
        rigid = _forces(without_slip(truss), idealisation, chosen)
        found = found._replace(runs=moved_by_slip(found.runs, rigid))
    return found


def _told(truss: Truss, found: Open) -> Analysed:
    """Runs as they are reported. Raises the first error of a run that must be evaluated, or where none is."""
    runs: Runs = {}
    errors: dict[RunId, CannotAnalyseError] = {}
    for run, one in found.items():
        if isinstance(one, CannotAnalyseError):
            errors[run] = one
        else:
            runs[run] = one
    for run, error in errors.items():
        case = truss.loads.cases.get(RunId(run.removesuffix(LEAST)))
        if not runs or case is None or case.kind == "dead":
            raise error
    return Analysed(runs, {run: error.what for run, error in errors.items()})


def _forces(truss: Truss, idealisation: Idealisation, chosen: Mapping[RunId, Mapping[RunId, float]]) -> Open:
    """The forces of some runs, each given as a sum of cases."""
    used = [case for case in truss.loads.cases if any(factors.get(case) for factors in chosen.values())]
    factors = np.array([[run.get(case, 0.0) for case in used] for run in chosen.values()], dtype=np.float64)
    made = assembled(truss, idealise(truss, idealisation), used)
    if any(member.acts or member.play for member in truss.members.values()):
        one_way: OneWay = loaded("trussio.analysis.one_way:one_way")
        every = one_way(truss, made, list(chosen), factors)
        return {run: every[run] for run in chosen}
    held = made.held
    found = answered(truss, made, loads=made.loads, gaps=made.gaps, pushed=held.pushed, start=held.start)
    cases = Cases(
        movements=found.movements,
        basic=found.basic,
        reactions=reactions(held, handed(made.among, found.needed)),
        spans=made.spans,
    )
    records = recover(truss, made.ideal, made.shape, held=held.all, cases=cases, factors=factors)
    return dict(zip(chosen, records, strict=True))


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
