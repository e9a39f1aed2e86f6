"""What forces alone can tell an audit: loads against reactions in every run, and what keeps forces from being had.

A shore that would lift off, a tendon that would have to push or members of one way of which no set balances a run
stop the analysis; here they are told among everything else. Loads are read by the recheck and reactions come from
the analysis, so that the two sides of a sum have been through different hands.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.analysis.run import analysed
from trussio.audit.load_path import sums, sums_agree
from trussio.audit.rules import MOST_JOINTS as MOST_AUDITED
from trussio.audit.wording import listed, pointer
from trussio.calculation import codes_of, refuse_stops, runs_left, stopped_runs
from trussio.errors import CannotAnalyseError
from trussio.model.finding import Finding
from trussio.model.loading import LEAST
from trussio.recheck.applied import applied_forces, applied_in_stages
from trussio.state import as_ended

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, Truss

FORESEEN: Final = frozenset(
    {
        "shore-lifts-off",
        "stage-impossible",
        "tendon-slack",
        "tendon-on-nothing",
        "tendon-without-length",
        "no-acting-set",
    }
)
"""Codes with which the analysis refuses what no look at the form alone shows."""
MOST_JOINTS: Final = 100
"""Unasked, a truss of no more joints is calculated."""


def tally(truss: Truss, *, idealisation: Idealisation, asked: bool) -> list[Finding]:
    """What the forces of a truss in its state tell, where no stop keeps them from being calculated."""
    if len(truss.joints) > MOST_AUDITED:
        return []  # the audit itself refuses
    if len(truss.joints) > MOST_JOINTS and not asked:
        return [_open(f"more than {MOST_JOINTS} joints take their time, and nobody asked with --forces")]
    stopped = refuse_stops(truss, idealisation, despite_stops=True)
    runs = runs_left(truss, stopped_runs(stopped))
    if any("runs" not in stop.evidence for stop in stopped):
        return [_open(f"no force is to be believed while a stop stands ({listed(codes_of(stopped))})")]
    try:
        made = analysed(truss, idealisation=idealisation, runs=runs) if runs else None
    except CannotAnalyseError as error:
        return [_refused(error)]
    if made is None:
        return []
    open_runs = [_not_balanced(run, why) for run, why in made.not_evaluated.items()]
    return [*_slack(made.runs), *open_runs, *_sums(truss, made.runs)]


def _slack(runs: Mapping[RunId, RunForces]) -> Iterator[Finding]:
    """Every tendon that some run leaves slack."""
    for name in dict.fromkeys(name for forces in runs.values() for name in forces.loose):
        there = [run for run, forces in runs.items() if name in forces.loose]
        yield Finding(
            code="tendon-slack",
            level="query",
            where=(pointer("tendons", name),),
            says=f"The tendon {name} is slack in {listed(there)}: it would have to push and carries nothing.",
            do="Stress it higher, or see that the truss carries these runs without it.",
            evidence={"runs": [*there]},
        )


def _sums(truss: Truss, runs: Mapping[RunId, RunForces]) -> Iterator[Finding]:
    """The runs whose sums disagree, then those whose sums agree."""
    applied = _applied(truss, runs)
    yield from sums(truss, applied, runs)
    agreeing = sums_agree(truss, applied, runs)
    if agreeing is not None:
        yield agreeing


def _applied(truss: Truss, runs: Mapping[RunId, RunForces]) -> dict[RunId, dict[JointId, tuple[float, float]]]:
    """The loads of every run on the joints."""
    ended = as_ended(truss)
    found = applied_forces(ended, runs=[run for run in runs if run in truss.loads.runs])
    return found | applied_in_stages(truss, runs) if truss.stages or truss.tendons else found


def _refused(error: CannotAnalyseError) -> Finding:
    if error.code not in FORESEEN:
        return _open(error.what[0].lower() + error.what[1:].removesuffix("."))
    return Finding(
        code=error.code,
        level="query",
        where=tuple(error.where.split(", ")) if error.where else ("",),
        says=f"No force can be calculated: {error.what}",
        do=error.do,
    )


def _not_balanced(run: RunId, why: str) -> Finding:
    return Finding(
        code="no-acting-set",
        level="note",
        where=(pointer("loads", "cases", run.removesuffix(LEAST)),),
        says=f"{run} is not evaluated by itself: {why}",
        do="Nothing, if it never acts without the dead load; else ask what holds the truss in it.",
        evidence={"runs": [run]},
    )


def _open(why: str) -> Finding:
    return Finding(
        code="not-evaluated",
        level="note",
        where=("/loads",),
        says=f"Loads were not held against reactions: {why}.",
        do="Settle that, then audit again with --forces.",
        evidence={"rule": "loads against reactions"},
    )
