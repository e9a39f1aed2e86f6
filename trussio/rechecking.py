"""The stop rules, then the second method, on forces that somebody claims.

Our own results are a claim like any other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from trussio.calculation import codes_of, refuse_stops
from trussio.errors import CannotAnalyseError, UsageError
from trussio.late import loaded
from trussio.model.check_record import ForcesTable, RunCheck
from trussio.recheck.agreement import LOADS, compare, overall, without_forces
from trussio.recheck.claims import check_after
from trussio.state import in_state, of_document

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from trussio.model.check_record import CheckRecord, LoadCheck
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, State, Truss
    from trussio.recheck.other_ways import Others, OtherState
    from trussio.recheck.staged_runs import After

OURS: Final = "our own analysis"
STAGED: Final = (
    "Bounds by energy are proved for one structure that is loaded at once, not through stages and tendons."
)
STANDS: Final = "what stands and what is on after each stage: both methods look it up in the same place"
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
        other = _other_state(truss, state, idealisation)
        at_once = other and (other[0], lambda: _without_work(other[1](), table, idealisation)[0])
        record = compare(
            plain, asked, idealisation=idealisation, state=state, model_digest=digest, other_state=at_once
        )
    except CannotAnalyseError as error:
        raise of_document(error, made) from None
    whole = _with_work(record, made.truss, table, staged, idealisation, other_state=other) if staged else record
    if truss.loads.basis is not None:
        whole = _with_loads(whole, truss)
    return replace(whole, despite=codes_of(found))


def _other_state(truss: Truss, state: State, idealisation: Idealisation) -> OtherState | None:
    """The truss in the state that is not asked for, where the survey found anything."""
    if not truss.condition:
        return None
    other: State = "found" if state == "built" else "built"
    return other, lambda: in_state(truss, other, idealisation=idealisation).truss


def _with_loads(record: CheckRecord, truss: Truss) -> CheckRecord:
    """A record with generated loads tallied again; loads that disagree make the whole disagree."""
    tallied: Callable[[Truss], Mapping[RunId, LoadCheck]] = loaded("trussio.recheck.load_tally:tallied")
    checks = tallied(truss)
    wrong, unsure = (
        [run for run, one in checks.items() if one.verdict == v] for v in ("disagrees", "cannot tell")
    )
    right = len(checks) - len(wrong) - len(unsure)
    told = [f"Generated loads: {right} of {len(checks)} cases agree with a second tally from site and surfaces."]
    if unsure:
        told.append(f"Not tallied a second time: {_few(unsure)}.")
    if wrong:
        said = f"The loads of {_few(wrong)} are not what the site gives."
        words = [said, *told, f"The forces for the loads as they stand: {record.says}"]
    else:
        words = [record.says, *told]
    return replace(
        record,
        loads=checks,
        verdict="disagrees" if wrong else record.verdict,
        says=" ".join(words),
        not_rechecked=tuple(LOADS_SEEN if words == LOADS else words for words in record.not_rechecked),
    )


def _few(runs: list[RunId]) -> str:
    more = f" and {len(runs) - FEW} more" if len(runs) > FEW else ""
    return ", ".join(runs[:FEW]) + more


def _without_work(
    truss: Truss, table: ForcesTable, idealisation: Idealisation
) -> tuple[Truss, ForcesTable, tuple[RunId, ...]]:
    """A truss without tendons and stages, what is claimed of it, and the runs that are more than that."""
    if not truss.tendons and not truss.stages:
        return truss, table, ()
    beyond_it: Callable[[Truss, Idealisation], tuple[Truss, tuple[RunId, ...]]]
    beyond_it = loaded("trussio.model.history:beyond_plain")
    plain, staged = beyond_it(truss, idealisation)
    runs = {run: forces for run, forces in table.runs.items() if run not in staged}
    return plain, replace(table, runs=runs), staged


def _with_work(
    record: CheckRecord,
    truss: Truss,
    table: ForcesTable,
    staged: Collection[RunId],
    idealisation: Idealisation,
    *,
    other_state: OtherState | None,
) -> CheckRecord:
    """A record with the runs that come of stages and tendons; what cannot be told is never an agreement."""
    follow: Callable[[Truss, Idealisation], dict[RunId, After | str]]
    follow = loaded("trussio.recheck.stages:runs_after")
    every = follow(truss, idealisation) if any(run in table.runs for run in staged) else {}
    ways: Callable[[Truss, Idealisation, OtherState | None], Others]
    ways = loaded("trussio.recheck.other_ways:through_stages")
    others = ways(truss, idealisation, other_state)
    after = {run: found for run, found in every.items() if not isinstance(found, str)}
    runs: dict[RunId, RunCheck] = {run: record.runs[run] for run in record.runs if run not in staged}
    reasons: dict[str, None] = {}
    for run in staged:
        why = every.get(run)
        if run not in table.runs:
            runs[run] = without_forces("The table has no such run.", verdict=None)
        elif run in after:
            runs[run] = check_after(after, table, run, not_proved=STAGED, others=others)
        else:
            says = why if isinstance(why, str) else "This run is not known."
            runs[run] = without_forces(says, verdict="cannot tell")
            reasons[says] = None
    ordered = {run: runs[run] for run in (*every, *runs) if run in runs}
    verdict, says = overall(table, ordered, tuple(run for run in table.runs if run not in ordered))
    unknown = tuple(run for run in table.runs if run not in ordered)
    return replace(
        record,
        runs=ordered,
        verdict=verdict,
        says=" ".join([says, *reasons]),
        unknown_runs=unknown,
        not_rechecked=(*record.not_rechecked, STANDS),
    )


def widened(table: ForcesTable, part: float) -> ForcesTable:
    """A table whose figures may be off by a part of their run's largest as well: rounded on the way, or cut off.

    Raises UsageError where the part is not between 0 and 1. The name of the table tells it.
    """
    if not 0 <= part < 1:
        raise UsageError(
            "bad-part",
            where="--within",
            what=f"{part:g} is no part of a force.",
            do="Give one from 0 up to 1, 0.001 say.",
        )
    room = {run: part * max(map(abs, of.values()), default=0.0) for run, of in table.runs.items()}
    return replace(
        table,
        name=f"{table.name} (within {part:g} of the largest force of each run)",
        rounding={
            run: {name: table.rounding.get(run, {}).get(name, 0.0) + room[run] for name in of}
            for run, of in table.runs.items()
        },
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
