"""The stop rules, then forces: what the quick verbs and the whole chain share.

Nothing heavier than numpy is loaded here, so that a force is quickly had.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.analysis.run import Analysed, analysed
from trussio.audit.stops import stops
from trussio.errors import CannotAnalyseError, Fault
from trussio.late import loaded
from trussio.model.forces import Results
from trussio.model.loading import RunId
from trussio.state import as_ended, every_run, in_state, of_document

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from trussio.model.finding import Finding
    from trussio.model.truss import Idealisation, State, Truss


def calculate(
    truss: Truss,
    *,
    digest: str,
    idealisation: Idealisation = "continuous",
    state: State = "found",
    despite_stops: bool = False,
) -> Results:
    """Forces of every run, or of the runs that can be evaluated where stops are overridden.

    Raises CannotAnalyseError with every stop, first the most urgent. With `despite_stops` the runs that a
    stop touches are left out and the results carry the codes of the stops; a mechanism still raises.
    """
    made = in_state(truss, state, idealisation=idealisation)
    try:
        return _calculated(made.truss, digest, idealisation, state, despite_stops=despite_stops)
    except CannotAnalyseError as error:
        raise of_document(error, made) from None


def _calculated(
    truss: Truss, digest: str, idealisation: Idealisation, state: State, *, despite_stops: bool
) -> Results:
    """The results of a truss in the state asked for."""
    found = refuse_stops(truss, idealisation, despite_stops=despite_stops)
    stopped = stopped_runs(found)
    runs = runs_left(truss, stopped)
    made = analysed(truss, idealisation=idealisation, runs=runs) if runs else Analysed({}, {})
    return Results(
        model=digest,
        idealisation=idealisation,
        state=state,
        rests_on=_assumed(truss),
        runs=made.runs,
        despite=codes_of(found),
        not_evaluated=made.not_evaluated,
    )


def _assumed(truss: Truss) -> tuple[str, ...]:
    """What nobody has confirmed, and what of tendons nobody stated."""
    known = tuple(f"/assumptions/{name}" for name, a in truss.assumptions.items() if not a.confirmed)
    if not truss.tendons:
        return known
    taken: Callable[[Truss], tuple[str, ...]] = loaded("trussio.model.tendon:taken_for_granted")
    return (*known, *taken(truss))


def runs_left(truss: Truss, stopped: set[RunId]) -> list[RunId]:
    """The runs that no stop touches; stages can be followed only where nothing that they put on is stopped."""
    every = every_run(truss)
    if not stopped or every == list(truss.loads.runs):
        return [run for run in every if run not in stopped]
    unhurt: Callable[[Truss, set[RunId]], list[RunId]] = loaded("trussio.model.history:untouched")
    return unhurt(truss, stopped)


def refuse_stops(truss: Truss, idealisation: Idealisation, *, despite_stops: bool) -> tuple[Finding, ...]:
    """The stops, where they are overridden. Raises CannotAnalyseError with all of them where they are not."""
    found = stops(as_ended(truss), idealisation=idealisation)
    if found and not despite_stops:
        if truss.stages:
            since: Callable[[Sequence[Finding], Truss, Idealisation], list[Finding]]
            since = loaded("trussio.audit.staged:since_stage")
            found = tuple(since(found, truss, idealisation))
        faults = tuple(Fault(where=", ".join(f.where), what=f.says, do=f.do) for f in found)
        where, what, do = faults[0].where, faults[0].what, faults[0].do
        raise CannotAnalyseError(found[0].code, where=where, what=what, do=do, faults=faults)
    return found


def stopped_runs(found: Sequence[Finding]) -> set[RunId]:
    """The runs whose loads a stop keeps from being evaluated."""
    return {
        RunId(str(run))
        for finding in found
        if isinstance(runs := finding.evidence.get("runs"), list)
        for run in runs
    }


def codes_of(found: Sequence[Finding]) -> tuple[str, ...]:
    """The codes of the stops that were overridden."""
    return tuple(sorted({finding.code for finding in found}))
