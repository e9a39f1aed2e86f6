"""Second order, read and written: how near each run is to buckling, and what that adds to moments.

Signs and units stand in `schema/second-order.json`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.layout import document_text
from trussio.document.names import member_id, state
from trussio.document.reading import read_document
from trussio.document.results import encode_segment, segment_forces
from trussio.document.values import (
    LARGEST_DOUBLE,
    RUN_ID,
    SEGMENT_ID,
    chosen,
    computed,
    digest,
    ident,
    optional,
    pointer,
    quantity,
    text,
)
from trussio.model.loading import RunId
from trussio.model.second_order import Amplified, SecondOrder, SecondOrderRun, SecondOrderVerdict, Without
from trussio.model.truss import SegmentId

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.document.fields import Fields

VERDICTS: tuple[SecondOrderVerdict, ...] = ("calculated", "exceeded", "not evaluated")

codes = each(text, "a list of codes")
pointers = each(pointer, "a list of JSON Pointers")
segments = each(ident(SegmentId, SEGMENT_ID), "a list of segment ids")
size = quantity(0.0, LARGEST_DOUBLE, "a number from 0 up")


def amplified(fields: Fields) -> Amplified:
    """A segment in compression."""
    return Amplified(
        axial_first=fields.need("axial_first", computed),
        moment_first=fields.need("moment_first", computed),
        axial=fields.need("axial", optional(computed)),
        moment=fields.need("moment", optional(computed)),
        amplification=fields.need("amplification", optional(size)),
    )


def without(fields: Fields) -> Without:
    """A run without one member."""
    return Without(
        member=fields.need("member", member_id),
        segments=fields.need("segments", by_id(SegmentId, record(segment_forces), rule=SEGMENT_ID)),
        reason=fields.need("reason", optional(text)),
    )


def run(fields: Fields) -> SecondOrderRun:
    """One run."""
    return SecondOrderRun(
        verdict=fields.need("verdict", chosen(VERDICTS)),
        factor=fields.need("factor", optional(size)),
        reason=fields.need("reason", optional(text)),
        buckles=fields.need("buckles", segments),
        segments=fields.need("segments", by_id(SegmentId, record(amplified), rule=SEGMENT_ID)),
        without=fields.need("without", optional(record(without))),
    )


def second_order(fields: Fields) -> SecondOrder:
    """The fields of a second-order document."""
    return SecondOrder(
        model=fields.need("model", digest),
        state=fields.need("state", state),
        rests_on=fields.need("rests_on", pointers),
        runs=fields.need("runs", by_id(RunId, record(run), rule=RUN_ID)),
        despite=fields.need("despite", codes),
    )


def read_second_order(data: bytes, *, name: str) -> SecondOrder:
    """What is in the bytes of a second-order document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/second-order", decode=second_order)


def write_second_order(found: SecondOrder) -> str:
    """The text of a second-order document. Raises CannotWriteError where a number is not finite."""
    return document_text(
        {
            "format": "trussio/second-order",
            "version": 1,
            "model": found.model,
            "state": found.state,
            "rests_on": list(found.rests_on),
            "despite": list(found.despite),
            "runs": {name: _run(one) for name, one in found.runs.items()},
        }
    )


def _run(one: SecondOrderRun) -> Object:
    return {
        "verdict": one.verdict,
        "factor": one.factor,
        "reason": one.reason,
        "buckles": list(one.buckles),
        "segments": {name: dict(zip(Amplified._fields, s, strict=True)) for name, s in one.segments.items()},
        "without": None if one.without is None else _without(one.without),
    }


def _without(one: Without) -> Object:
    return {
        "member": one.member,
        "segments": {name: encode_segment(forces) for name, forces in one.segments.items()},
        "reason": one.reason,
    }
