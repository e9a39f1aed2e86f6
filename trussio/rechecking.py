"""The stop rules, then the second method, on forces that somebody claims.

Our own results are a claim like any other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.calculation import codes_of, refuse_stops
from trussio.errors import CannotAnalyseError
from trussio.model.check_record import ForcesTable, RunCheck
from trussio.recheck.agreement import compare
from trussio.state import in_state, of_document

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
    made = in_state(truss, state, idealisation=idealisation)
    try:
        found = refuse_stops(made.truss, idealisation, despite_stops=despite_stops)
        record = compare(made.truss, table, idealisation=idealisation, state=state, model_digest=digest)
    except CannotAnalyseError as error:
        raise of_document(error, made) from None
    return replace(_without_claim(record, beyond(made.truss, idealisation)), despite=codes_of(found))


def beyond(truss: Truss, idealisation: Idealisation) -> tuple[str, ...]:
    """What of a truss the second method does not know, in words."""
    members = truss.members.items()
    bends = idealisation == "continuous"
    known = (
        ("ends beside their joints", [name for name, m in members if bends and m.offsets]),
        ("section lost over a stretch or to one side", [name for name, m in members if m.worn]),
        ("a bow", [name for name, m in members if m.bows]),
    )
    return tuple(f"{what} ({', '.join(names)})" for what, names in known if names)


def _without_claim(record: CheckRecord, unknown: tuple[str, ...]) -> CheckRecord:
    """A record that claims nothing where the truss has what the second method does not know."""
    if not unknown:
        return record
    says = f"The second method does not know {'; '.join(unknown)}: it cannot tell whether these forces are right."
    nothing = RunCheck(
        verdict="cannot tell", says=says, largest_difference=None, largest_at=None, residual=None, residual_at=None
    )
    runs = {run: check if check.verdict is None else nothing for run, check in record.runs.items()}
    return replace(record, verdict="cannot tell", says=says, runs=runs)


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
