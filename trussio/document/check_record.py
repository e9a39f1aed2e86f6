"""The check record, read and written: what a second method says of forces that somebody claims.

A run that was not compared has the verdict `not compared`. What could not be said is null.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.layout import document_text
from trussio.document.names import idealisation, segment_id, state
from trussio.document.reading import read_document
from trussio.document.values import RUN_ID, SEGMENT_ID, chosen, computed, digest, optional, pair, text
from trussio.model.check_record import CheckRecord, LoadCheck, RunCheck, SegmentCheck, Total
from trussio.model.loading import RunId
from trussio.model.truss import SegmentId

if TYPE_CHECKING:
    from typing import Final

    from trussio.document.entry import Object
    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.model.check_record import Verdict
    from trussio.model.truss import Json

VERDICTS: Final[tuple[Verdict, ...]] = ("agrees", "disagrees", "cannot tell")
NOT_COMPARED = "not compared"

verdict = chosen(VERDICTS)
maybe = optional(computed)
bounds = pair("the least and the greatest of a force", computed)
sentences = each(text, "a list of texts")


def run_verdict(value: Json, where: str, ledger: Ledger) -> Verdict | None:
    """The verdict on a run; None where it was not compared."""
    return None if value == NOT_COMPARED else verdict(value, where, ledger)


def segment_check(fields: Fields) -> SegmentCheck:
    """What is said of one segment in one run."""
    return SegmentCheck(
        claimed=fields.need("claimed", maybe),
        rechecked=fields.need("rechecked", computed),
        difference=fields.need("difference", maybe),
        tolerance=fields.need("tolerance", computed),
        proved=fields.get("proved", bounds),
        verdict=fields.need("verdict", verdict),
    )


SEGMENTS = by_id(SegmentId, record(segment_check), rule=SEGMENT_ID)


def run_check(fields: Fields) -> RunCheck:
    """What is said of one run."""
    return RunCheck(
        verdict=fields.need("verdict", run_verdict),
        says=fields.need("says", text),
        largest_difference=fields.need("largest_difference", maybe),
        largest_at=fields.need("largest_at", optional(segment_id)),
        residual=fields.need("residual", maybe),
        residual_at=fields.need("residual_at", optional(text)),
        residual_allowed=fields.need("residual_allowed", maybe),
        slips=fields.need("slips", sentences),
        unknown=fields.need("unknown", sentences),
        not_proved=fields.get("not_proved", text),
        segments=fields.need("segments", SEGMENTS),
    )


def total(fields: Fields) -> Total:
    """The sum of a case and its place."""
    return Total(down=fields.need("down", computed), at=fields.need("at", maybe))


def load_check(fields: Fields) -> LoadCheck:
    """What is said of one generated case."""
    return LoadCheck(
        stated=fields.need("stated", optional(record(total))),
        tallied=fields.need("tallied", optional(record(total))),
        verdict=fields.need("verdict", verdict),
        says=fields.need("says", text),
    )


LOADS = by_id(RunId, record(load_check), rule=RUN_ID)


def check_record(fields: Fields) -> CheckRecord:
    """The fields of a check record."""
    return CheckRecord(
        model=fields.need("model", digest),
        idealisation=fields.need("idealisation", idealisation),
        state=fields.need("state", state),
        compared=fields.need("compared", text),
        compared_digest=fields.need("compared_digest", optional(digest)),
        verdict=fields.need("verdict", verdict),
        says=fields.need("says", text),
        independent=fields.need("independent", sentences),
        not_rechecked=fields.need("not_rechecked", sentences),
        unknown_runs=fields.need("unknown_runs", sentences),
        despite=fields.need("despite", sentences),
        originator=fields.need("originator", text),
        checker=fields.need("checker", text),
        loads=fields.get("loads", LOADS) or {},
        runs=fields.need("runs", by_id(RunId, record(run_check), rule=RUN_ID)),
    )


def read_check_record(data: bytes, *, name: str) -> CheckRecord:
    """The check record in the bytes of a document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/recheck", decode=check_record)


def write_check_record(checked: CheckRecord) -> str:
    """The text of a check record. Raises CannotWriteError where a number is not finite."""
    return document_text(encode_check_record(checked))


def encode_check_record(checked: CheckRecord) -> Object:
    """The JSON value of a check record."""
    return {
        "format": "trussio/recheck",
        "version": 1,
        "model": checked.model,
        "idealisation": checked.idealisation,
        "state": checked.state,
        "compared": checked.compared,
        "compared_digest": checked.compared_digest,
        "verdict": checked.verdict,
        "says": checked.says,
        "independent": list(checked.independent),
        "not_rechecked": list(checked.not_rechecked),
        "unknown_runs": list(checked.unknown_runs),
        "despite": list(checked.despite),
        "originator": checked.originator,
        "checker": checked.checker,
        **({"loads": {run: _load(one) for run, one in checked.loads.items()}} if checked.loads else {}),
        "runs": {run: _run(check) for run, check in checked.runs.items()},
    }


def _load(check: LoadCheck) -> Object:
    return {
        "stated": None if check.stated is None else {"down": check.stated.down, "at": check.stated.at},
        "tallied": None if check.tallied is None else {"down": check.tallied.down, "at": check.tallied.at},
        "verdict": check.verdict,
        "says": check.says,
    }


def _run(check: RunCheck) -> Object:
    return {
        "verdict": NOT_COMPARED if check.verdict is None else check.verdict,
        "says": check.says,
        "largest_difference": check.largest_difference,
        "largest_at": check.largest_at,
        "residual": check.residual,
        "residual_at": check.residual_at,
        "residual_allowed": check.residual_allowed,
        "slips": list(check.slips),
        "unknown": list(check.unknown),
        **({} if check.not_proved is None else {"not_proved": check.not_proved}),
        "segments": {segment: _segment(one) for segment, one in check.segments.items()},
    }


def _segment(check: SegmentCheck) -> Object:
    return {
        "claimed": check.claimed,
        "rechecked": check.rechecked,
        "difference": check.difference,
        "tolerance": check.tolerance,
        **({} if check.proved is None else {"proved": [*check.proved]}),
        "verdict": check.verdict,
    }
