"""The stop rules, then the second method, on forces that somebody claims.

Our own results are a claim like any other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.calculation import codes_of, refuse_stops
from trussio.model.check_record import ForcesTable
from trussio.recheck.agreement import compare

if TYPE_CHECKING:
    from trussio.model.check_record import CheckRecord
    from trussio.model.forces import Results
    from trussio.model.truss import Idealisation, State, Truss

OURS: Final = "our own analysis"


def recheck(
    truss: Truss,
    table: ForcesTable,
    *,
    digest: str,
    idealisation: Idealisation = "continuous",
    state: State = "found",
    despite_stops: bool = False,
) -> CheckRecord:
    """What the second method says of forces that somebody claims, after the stop rules.

    Raises as `calculate` does, and where the table belongs to another model, idealisation or state.
    """
    found = refuse_stops(truss, idealisation, despite_stops=despite_stops)
    record = compare(truss, table, idealisation=idealisation, state=state, model_digest=digest)
    return replace(record, despite=codes_of(found))


def claims(results: Results) -> ForcesTable:
    """Our own results as a table of claims, without any rounding."""
    return ForcesTable(
        name=OURS,
        digest=None,
        runs={run: {name: s.axial for name, s in of.segments.items()} for run, of in results.runs.items()},
        rounding={run: dict.fromkeys(of.segments, 0.0) for run, of in results.runs.items()},
        idealisation=results.idealisation,
        model=results.model,
        state=results.state,
    )
