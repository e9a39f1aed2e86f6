"""The stop rules, then the second method, on forces that somebody claims.

Our own results are a claim like any other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.calculation import codes_of, refuse_stops
from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.model.check_record import ForcesTable, RunCheck
from trussio.recheck.agreement import LOADS, compare
from trussio.state import in_state, of_document

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.model.check_record import CheckRecord, LoadCheck
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, State, Truss

OURS: Final = "our own analysis"
LOADS_SEEN: Final = "site and surfaces as the document states them, and loads that were not generated from them"
FEW: Final = 6
"""So many runs are named in a sentence; each stands in the record."""


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
        plain, asked, staged = _without_work(made.truss, table, idealisation)
        record = compare(plain, asked, idealisation=idealisation, state=state, model_digest=digest)
    except CannotAnalyseError as error:
        raise of_document(error, made) from None
    whole = _with_work(record, table, staged) if staged else record
    if truss.loads.basis is not None:
        whole = _with_loads(whole, truss)
    return replace(whole, despite=codes_of(found))


def _with_loads(record: CheckRecord, truss: Truss) -> CheckRecord:
    """A record with generated loads tallied again; loads that disagree make the whole disagree."""
    tallied: Callable[[Truss], Mapping[RunId, LoadCheck]] = loaded("trussio.recheck.load_tally:tallied")
    checks = tallied(truss)
    wrong, unsure = (
        [run for run, one in checks.items() if one.verdict == v] for v in ("disagrees", "cannot tell")
    )
    right = len(checks) - len(wrong) - len(unsure)
    told = [f"Generated loads: {right} of {len(checks)} cases agree with a second tally from site and surfaces."]
    told += (
        [f"{_few(wrong)} disagree{'' if len(wrong) > 1 else 's'}: the loads are not what the site gives."]
        if wrong
        else []
    )
    told += [f"Not tallied a second time: {_few(unsure)}."] if unsure else []
    return replace(
        record,
        loads=checks,
        verdict="disagrees" if wrong else record.verdict,
        says=f"{record.says} {' '.join(told)}",
        not_rechecked=tuple(LOADS_SEEN if words == LOADS else words for words in record.not_rechecked),
    )


def _few(runs: list[RunId]) -> str:
    more = f" and {len(runs) - FEW} more" if len(runs) > FEW else ""
    return ", ".join(runs[:FEW]) + more


def _without_work(
    truss: Truss, table: ForcesTable, idealisation: Idealisation
) -> tuple[Truss, ForcesTable, Mapping[RunId, str]]:
    """A truss without tendons and stages, what is claimed of it, and why each other run cannot be told."""
    if not truss.tendons and not truss.stages:
        return truss, table, {}
    beyond_it: Callable[[Truss, Idealisation], tuple[Truss, dict[RunId, str]]]
    beyond_it = loaded("trussio.model.history:beyond_plain")
    plain, staged = beyond_it(truss, idealisation)
    runs = {run: forces for run, forces in table.runs.items() if run not in staged}
    return plain, replace(table, runs=runs), staged


def _with_work(record: CheckRecord, table: ForcesTable, staged: Mapping[RunId, str]) -> CheckRecord:
    """A record with the runs that cannot be told; none of them is ever an agreement."""
    runs = {}
    for run, why in staged.items():
        claimed = run in table.runs
        runs[run] = RunCheck(
            verdict="cannot tell" if claimed else None,
            says=why if claimed else "Not compared: the table has no such run.",
            largest_difference=None,
            largest_at=None,
            residual=None,
            residual_at=None,
        )
    open_ones = [run for run in staged if run in table.runs]
    if not open_ones:
        return replace(record, runs={**record.runs, **runs})
    reasons = " ".join(dict.fromkeys(staged[run] for run in open_ones))
    more = f" and {len(open_ones) - FEW} more" if len(open_ones) > FEW else ""
    runs_say = "1 run cannot" if len(open_ones) == 1 else f"{len(open_ones)} runs cannot"
    says = f"{runs_say} be told: {', '.join(open_ones[:FEW])}{more}. {reasons}"
    told = any(check.verdict is not None for check in record.runs.values())
    return replace(
        record,
        verdict="disagrees" if record.verdict == "disagrees" else "cannot tell",
        says=f"{record.says} {says}" if told or record.unknown_runs else says,
        runs={run: record.runs[run] for run in record.runs if run not in staged} | runs,
    )


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
