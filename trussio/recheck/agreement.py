"""Whether forces that somebody claims are those that follow from the model: the check record.

Agreement is never averaged: one segment outside its tolerance, missing, or unknown to the model, and its run
disagrees; one run that disagrees, and the table does. What cannot be compared never counts as agreement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import CannotAnalyseError, UnreadableError, UsageError
from trussio.late import loaded
from trussio.model.check_record import CheckRecord, RunCheck
from trussio.recheck.balance import balance_of
from trussio.recheck.claims import check_run
from trussio.recheck.energy import factors_of, forces_of, minimum, no_set
from trussio.recheck.problem import problem_of
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    import numpy as np
    from numpy.typing import NDArray

    from trussio.model.check_record import ForcesTable, Verdict
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, SegmentId, State, Truss
    from trussio.recheck.energy import Found
    from trussio.recheck.naming import Slip
    from trussio.recheck.other_ways import Others, OtherState
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]

INDEPENDENT: Final = (
    "forces by least complementary energy over unknown forces, another principle than the analysis's",
    "no stiffness matrix, and no code of the analysis, of its loads or of its geometry",
    "joints, arcs, turning, stations, bearings and loads, taken from the document a second time",
    "the balance of the claimed forces at every joint, without any stiffness",
)
LOADS: Final = "the loads as the document states them"
NOT_RECHECKED: Final = (
    "the survey: positions, sizes, species, grades and condition as the document states them",
    LOADS,
    "the idealisation: a plane truss, linear elastic, ends and bearings as stated",
    "allowables and per cent of allowable",
    "the decoding of the document: both methods are given the same record",
)


TOO_SOFT: Final = "Rounding leaves too much open, since parts of this truss are very soft against others."


def compare(
    truss: Truss,
    table: ForcesTable,
    *,
    idealisation: Idealisation,
    state: State,
    model_digest: str,
    other_state: OtherState | None = None,
) -> CheckRecord:
    """The check record of a table of forces; where it disagrees, what `other_state` gives is looked at as well.

    Raises UnreadableError `another-model` when the table belongs to another document, UsageError
    `idealisation-conflict` or `state-conflict` when it says that it was made for another one than is asked for,
    CannotAnalyseError when no force of this model may be believed (`mechanism`, `property-missing`).
    """
    _refuse_conflicts(table, idealisation, state, model_digest)
    reading, refused = _readable(truss, idealisation)
    problem = problem_of(reading)
    found = minimum(reading, problem)
    factors = factors_of(reading, problem, found)
    forces = forces_of(reading, found, factors)
    proved = _proved(reading, problem, found, {run: row for run, row in factors.items() if run in table.runs})
    balance = balance_of(reading)

    def others(run: RunId) -> Iterator[tuple[Slip, Mapping[SegmentId, float]]]:
        at_once: Callable[[Truss, Idealisation, OtherState | None], Others]
        at_once = loaded("trussio.recheck.other_ways:at_once")
        yield from at_once(truss, idealisation, other_state)(run)

    runs: dict[RunId, RunCheck] = {}
    for run in truss.loads.runs:
        if run not in table.runs:
            runs[run] = without_forces("The table has no such run.", verdict=None)
        elif run in refused:
            runs[run] = without_forces(f"This run cannot be evaluated: {refused[run]}", verdict="cannot tell")
        elif run not in forces:
            runs[run] = without_forces(no_set(run), verdict="cannot tell")
        else:
            runs[run] = check_run(reading, balance, forces, table, run, proved=proved[run], others=others)
    unknown = tuple(run for run in table.runs if run not in runs)
    verdict, says = overall(table, runs, unknown)
    return CheckRecord(
        model=model_digest,
        idealisation=idealisation,
        state=state,
        compared=table.name,
        compared_digest=table.digest,
        verdict=verdict,
        says=says,
        runs=runs,
        independent=INDEPENDENT,
        not_rechecked=NOT_RECHECKED,
        unknown_runs=unknown,
    )


def _proved(
    reading: Reading, problem: Problem, found: Found, factors: Mapping[RunId, Array]
) -> Mapping[RunId, Array | str]:
    """How far each axial force of some runs may be off, or why nothing is proved."""
    if not factors:
        return {}
    if problem.yielding:
        acting: Callable[[Reading, Problem, Array, Array], Array | str]
        acting = loaded("trussio.recheck.acting:acting_widths")
        return {run: acting(reading, problem, found.forces @ row, row) for run, row in factors.items()}
    half_widths: Callable[[Reading, Problem, Found, Mapping[RunId, Array]], dict[RunId, Array] | None]
    half_widths = loaded("trussio.recheck.interval:half_widths")
    widths = half_widths(reading, problem, found, factors)
    return dict.fromkeys(factors, TOO_SOFT) if widths is None else widths


def _refuse_conflicts(table: ForcesTable, idealisation: Idealisation, state: State, model_digest: str) -> None:
    if table.model is not None and table.model != model_digest:
        raise UnreadableError(
            "another-model",
            where=table.name,
            what=f"These forces belong to another model ({table.model}); this one is {model_digest}.",
            do="Give the forces of this model, or the model that they were found for.",
        )
    for what, said, asked in (
        ("idealisation", table.idealisation, idealisation),
        ("state", table.state, state),
    ):
        if said is not None and said != asked:
            raise UsageError(
                f"{what}-conflict",
                where=table.name,
                what=f"These forces were found for the {what} `{said}`, and `{asked}` is asked for.",
                do=f"Leave out --{what}, or give --{what} {said}.",
            )


def _readable(truss: Truss, idealisation: Idealisation) -> tuple[Reading, Mapping[RunId, CannotAnalyseError]]:
    """The truss with every run that can be evaluated, and why the others cannot."""
    try:
        return read(truss, idealisation=idealisation), {}
    except CannotAnalyseError as error:
        if error.code != "load":
            raise
    refused: dict[RunId, CannotAnalyseError] = {}
    for run in truss.loads.runs:
        try:
            read(truss, idealisation=idealisation, runs=[run])
        except CannotAnalyseError as error:
            refused[run] = error
    return read(truss, idealisation=idealisation, runs=[r for r in truss.loads.runs if r not in refused]), refused


def without_forces(says: str, *, verdict: Verdict | None) -> RunCheck:
    """A run of which no force is held against another."""
    return RunCheck(
        verdict=verdict, says=says, largest_difference=None, largest_at=None, residual=None, residual_at=None
    )


def overall(table: ForcesTable, runs: Mapping[RunId, RunCheck], unknown: tuple[str, ...]) -> tuple[Verdict, str]:
    """The verdict on a table by those on its runs, in a sentence; `unknown` are runs that the model lacks."""
    by_verdict: dict[Verdict | None, list[str]] = {}
    for run, check in runs.items():
        by_verdict.setdefault(check.verdict, []).append(run)
    wrong, unsure, right = (by_verdict.get(v, []) for v in ("disagrees", "cannot tell", "agrees"))
    notes = [f"Runs of the table that the model does not have: {_list(unknown)}."] if unknown else []
    if by_verdict.get(None):
        notes.append(f"Runs of the model not compared: {_list(by_verdict[None])}.")
    if not (wrong or unsure or right):
        first = "The table has no figures." if not table.runs else "No run of the table is a run of this model."
        return "cannot tell", " ".join([first, *notes])
    told = [
        f"{len(group)} of {len(runs) - len(by_verdict.get(None, []))} runs compared {verb}: {_list(group)}."
        for group, verb in (
            (wrong, "disagree" if len(wrong) > 1 else "disagrees"),
            (unsure, "cannot be told"),
            (right, "agree" if len(right) > 1 else "agrees"),
        )
        if group
    ]
    verdict: Verdict = "disagrees" if wrong else "cannot tell" if unsure else "agrees"
    return verdict, " ".join([*told, *notes])


def _list(names: list[str] | tuple[str, ...]) -> str:
    return ", ".join(names)
