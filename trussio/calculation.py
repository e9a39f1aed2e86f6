"""The stop rules, then forces: what `analyse`, `recheck` and the whole chain share.

Nothing heavy is loaded here beyond numpy, so that a single force is quickly had.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.analysis.run import analyse
from trussio.audit.stops import stops
from trussio.errors import CannotAnalyseError, Fault
from trussio.model.forces import Results
from trussio.model.loading import RunId

if TYPE_CHECKING:
    from collections.abc import Sequence

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
    found = stops(truss, idealisation=idealisation)
    if found and not despite_stops:
        raise stopped(found)
    runs = [run for run in truss.loads.runs if run not in touched_runs(found)]
    return Results(
        model=digest,
        idealisation=idealisation,
        state=state,
        rests_on=unconfirmed(truss),
        runs=analyse(truss, idealisation=idealisation, runs=runs) if runs else {},
        despite=tuple(sorted({finding.code for finding in found})),
    )


def stopped(found: Sequence[Finding]) -> CannotAnalyseError:
    """The error that carries every stop."""
    faults = tuple(Fault(where=", ".join(f.where), what=f.says, do=f.do) for f in found)
    first = faults[0]
    return CannotAnalyseError(found[0].code, where=first.where, what=first.what, do=first.do, faults=faults)


def touched_runs(found: Sequence[Finding]) -> set[RunId]:
    """The runs whose loads a stop keeps from being evaluated."""
    return {
        RunId(str(run))
        for finding in found
        if isinstance(runs := finding.evidence.get("runs"), list)
        for run in runs
    }


def unconfirmed(truss: Truss) -> tuple[str, ...]:
    """Pointers to the assumptions that nobody has confirmed."""
    return tuple(f"/assumptions/{name}" for name, a in truss.assumptions.items() if not a.confirmed)
