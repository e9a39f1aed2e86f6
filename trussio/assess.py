"""The whole chain, in the order an engineer would do it.

    truss -> audit -> what it hangs on -> stop? -> forces -> recheck by a second principle ->
    per cent of allowable -> assessment

The page, the pictures and the summary are made from the assessment; each step can be called by itself.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Final

from trussio.audit.load_path import with_sums
from trussio.auditing import audit_in_state
from trussio.calculation import calculate, stopped_runs
from trussio.checking import check
from trussio.errors import CannotAnalyseError
from trussio.late import Job
from trussio.loads.pencil import pencil_checks
from trussio.model.assessment import Assessment
from trussio.recheck.applied import applied_forces, applied_in_stages
from trussio.rechecking import claims, recheck
from trussio.sensitivity import with_swings
from trussio.state import as_ended, in_state, with_condition

if TYPE_CHECKING:
    from trussio.model.change import Question
    from trussio.model.check_record import ForcesTable
    from trussio.model.truss import Idealisation, State, Truss
    from trussio.timber.bench import Conditions

CALLS: Final = "trussio.assess:assess"
sys.modules[__name__].__class__ = Job


def assess(
    truss: Truss,
    *,
    name: str,
    digest: str,
    idealisation: Idealisation = "continuous",
    state: State = "found",
    despite_stops: bool = False,
    against: ForcesTable | None = None,
    questions: tuple[Question, ...] = (),
    conditions: Conditions | None = None,
) -> Assessment:
    """Everything that the jobs say of one truss; after a stop, what could be found without forces.

    `digest` is that of the truss document. `against` are forces to hold the second method against; without it
    they are those of the analysis. `conditions` are what the document does not say of the roof.
    """
    document, made = truss, in_state(truss, state, idealisation=idealisation)
    whole, truss = made.truss, as_ended(made.truss)
    audited = audit_in_state(document, made, idealisation=idealisation, digest=digest)
    findings = with_swings(truss, audited, idealisation=idealisation)
    stopped = [finding for finding in findings.findings if finding.level == "stop"]
    results = record = checks = None
    try:
        results = calculate(
            whole, digest=digest, idealisation=idealisation, state=state, despite_stops=despite_stops
        )
        record = recheck(
            whole,
            against or claims(results),
            digest=digest,
            idealisation=idealisation,
            state=state,
            despite_stops=despite_stops,
        )
        checks = check(document, results, conditions=conditions)
    except CannotAnalyseError:
        if not stopped:
            raise
    left_out = stopped_runs(stopped)
    applied = applied_forces(truss, runs=[run for run in truss.loads.runs if run not in left_out])
    if results is not None and (whole.stages or whole.tendons):
        applied |= applied_in_stages(whole, results.runs)
    if results is not None:
        findings = with_sums(truss, findings, applied, results.runs)
    findings = with_condition(findings, made, document)
    return Assessment(
        name=name,
        truss=truss,
        document=None if truss is document else document,
        digest=digest,
        idealisation=idealisation,
        state=state,
        findings=findings,
        results=results,
        check_record=record,
        checks=checks,
        applied=applied,
        pencil=pencil_checks(document),
        questions=questions,
    )
