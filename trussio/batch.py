"""A review of many files: what is written for each truss, and one bad file is a row, not an end.

For a truss named `hall` the files are hall.json (the document), hall.findings.json, hall.results.json,
hall.checks.json, hall.recheck.json, hall.svg (the drawing), hall.checks.svg (per cent of allowable),
hall.forces.svg (the run with the largest force), hall.html (the page).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.document.check_record import write_check_record
from trussio.document.checks import write_checks
from trussio.document.encode import write_truss
from trussio.document.findings import write_findings
from trussio.document.results import write_results
from trussio.drawing.sheet import sheet
from trussio.drawing.svg import render
from trussio.model.forces import of_structure
from trussio.report.page import page
from trussio.report.standing_words import counts_words
from trussio.report.summary import summary

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.assessment import Assessment
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.standing import Checks


@dataclass(frozen=True, kw_only=True)
class Row:
    """One truss of a review, or one file that could not be read.

    `outcome` is `calculated`, `stopped`, `disagrees`, `cannot tell` or `not read`; `says` is a sentence;
    `exit_code` is what the command line makes of it.
    """

    name: str
    outcome: str
    says: str
    exit_code: int
    files: tuple[str, ...] = ()
    model: str | None = None


def review_files(name: str, assessment: Assessment) -> dict[str, bytes]:
    """Every file of a review by name, whole; what was not calculated has no file."""
    texts = {
        f"{name}.json": write_truss(assessment.document or assessment.truss),
        f"{name}.svg": render(
            sheet(assessment.truss, digest=assessment.digest, state=assessment.state, findings=assessment.findings)
        ),
        f"{name}.html": page(assessment),
    }
    if assessment.findings is not None:
        texts[f"{name}.findings.json"] = write_findings(assessment.findings)
    if assessment.results is not None and assessment.results.runs:
        texts[f"{name}.results.json"] = write_results(assessment.results)
        texts |= {f"{name}.forces.svg": drawn for drawn in _forces(assessment, assessment.results)}
    if assessment.checks is not None:
        texts[f"{name}.checks.json"] = write_checks(assessment.checks)
        texts[f"{name}.checks.svg"] = _ratios(assessment, assessment.checks)
    if assessment.check_record is not None:
        texts[f"{name}.recheck.json"] = write_check_record(assessment.check_record)
    return {file: text.encode() for file, text in texts.items()}


def row_of(name: str, assessment: Assessment, files: tuple[str, ...]) -> Row:
    """What came out, in a word and an exit code."""
    record = assessment.check_record
    if assessment.results is None:
        outcome, says, code = "stopped", "No force may be believed: see the stops.", 4
    elif record is not None and record.verdict == "disagrees":
        outcome, says, code = "disagrees", record.says, 5
    elif record is None or record.verdict == "cannot tell":
        outcome, says, code = "cannot tell", "Nothing was rechecked." if record is None else record.says, 1
    else:
        checked = "" if assessment.checks is None else f" {counts_words(assessment.checks)}"
        outcome, says, code = "calculated", f"{record.says}{checked}", 1 if assessment.questions else 0
    return Row(name=name, outcome=outcome, says=says, exit_code=code, files=files, model=assessment.digest)


def told(assessment: Assessment) -> str:
    """The summary for a terminal screen."""
    return summary(assessment)


def _forces(assessment: Assessment, results: Results) -> Iterator[str]:
    """The force diagram of the run with the largest axial force, of those that have the sticks of the truss."""
    drawn = [name for name, forces in results.runs.items() if of_structure(assessment.truss, forces)]
    if not drawn:
        return
    run = max(drawn, key=lambda name: _largest(results, name))
    check = None if assessment.check_record is None else assessment.check_record.runs.get(run)
    yield render(
        sheet(
            assessment.truss,
            digest=assessment.digest,
            state=assessment.state,
            idealisation=assessment.idealisation,
            run=run,
            forces=results.runs[run],
            check=check,
        )
    )


def _ratios(assessment: Assessment, checks: Checks) -> str:
    """How near each segment and connection is to its allowable."""
    return render(
        sheet(
            assessment.truss,
            digest=assessment.digest,
            state=assessment.state,
            idealisation=assessment.idealisation,
            checks=checks,
        )
    )


def _largest(results: Results, run: RunId) -> float:
    return max((abs(s.axial) for s in results.runs[run].segments.values()), default=0.0)
