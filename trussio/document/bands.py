"""Bands, read and written: what each force lies between, since no survey is exact.

Signs, units and what is varied stand in `schema/bands.json`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry_with_defaults
from trussio.document.fields import by_id, each, record
from trussio.document.layout import document_text
from trussio.document.names import idealisation, state
from trussio.document.reading import read_document
from trussio.document.values import (
    JOINT_ID,
    LARGEST_DOUBLE,
    RUN_ID,
    SEGMENT_ID,
    computed,
    digest,
    ident,
    pointer,
    quantity,
    text,
    whole,
)
from trussio.model.bands import Band, Bands, ReactionBands, SegmentBands
from trussio.model.loading import RunId
from trussio.model.truss import JointId, SegmentId

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.document.fields import Fields

MOST = 2**53

codes = each(text, "a list of codes")
pointers = each(pointer, "a list of JSON Pointers")
segments = each(ident(SegmentId, SEGMENT_ID), "a list of segment ids")
REASONS = by_id(RunId, text, rule=RUN_ID)
part = quantity(0.0, 1.0, "a number from 0 to 1")
size = quantity(0.0, LARGEST_DOUBLE, "a number from 0 up")


def band(fields: Fields) -> Band:
    """What a figure lies between."""
    return Band(
        low=fields.need("low", computed),
        likely=fields.need("likely", computed),
        high=fields.need("high", computed),
    )


def segment_bands(fields: Fields) -> SegmentBands:
    """The bands of a segment."""
    return SegmentBands(
        axial=fields.need("axial", record(band)),
        moment_size=fields.need("moment_size", record(band)),
        tension=fields.need("tension", part),
        compression=fields.need("compression", part),
    )


def reaction_bands(fields: Fields) -> ReactionBands:
    """The bands of a bearing."""
    return ReactionBands(
        x=fields.need("x", record(band)),
        y=fields.need("y", record(band)),
        turn=fields.need("turn", record(band)),
        down=fields.need("down", part),
    )


def bands(fields: Fields) -> Bands:
    """The fields of a bands document; the list of uncertain segments says again what the runs say."""
    fields.need("sign_not_certain", segments)
    return Bands(
        model=fields.need("model", digest),
        idealisation=fields.need("idealisation", idealisation),
        state=fields.need("state", state),
        rests_on=fields.need("rests_on", pointers),
        tolerance=fields.need("tolerance", size),
        stiffness=fields.need("stiffness_spread", part),
        samples=fields.need("samples", whole(1, MOST, "a whole number from 1 up")),
        runs=fields.need(
            "runs", by_id(RunId, by_id(SegmentId, record(segment_bands), rule=SEGMENT_ID), rule=RUN_ID)
        ),
        reactions=fields.default(
            "reactions", by_id(RunId, by_id(JointId, record(reaction_bands), rule=JOINT_ID), rule=RUN_ID), {}
        ),
        despite=fields.need("despite", codes),
        not_evaluated=fields.default("not_evaluated", REASONS, {}),
    )


def read_bands(data: bytes, *, name: str) -> Bands:
    """The bands in the bytes of a bands document; `name` is what messages call the file.

    Raises UnreadableError with every fault that was found.
    """
    return read_document(data, name=name, form="trussio/bands", decode=bands)


def write_bands(bands: Bands) -> str:
    """The text of a bands document. Raises CannotWriteError where a number is not finite."""
    fields: Object = {
        "format": "trussio/bands",
        "version": 1,
        "model": bands.model,
        "idealisation": bands.idealisation,
        "state": bands.state,
        "rests_on": list(bands.rests_on),
        "despite": list(bands.despite),
        "tolerance": bands.tolerance,
        "stiffness_spread": bands.stiffness,
        "samples": bands.samples,
        "sign_not_certain": list(bands.uncertain),
        "not_evaluated": {str(run): why for run, why in bands.not_evaluated.items()},
        "runs": {
            run: {name: _segment(one) for name, one in by_segment.items()}
            for run, by_segment in bands.runs.items()
        },
        "reactions": {
            run: {name: _reaction(one) for name, one in by_joint.items()}
            for run, by_joint in bands.reactions.items()
        },
    }
    return document_text(entry_with_defaults(fields, {"not_evaluated": {}, "reactions": {}}, "", frozenset()))


def _reaction(one: ReactionBands) -> Object:
    return {"x": _band(one.x), "y": _band(one.y), "turn": _band(one.turn), "down": one.down}


def _segment(one: SegmentBands) -> Object:
    return {
        "axial": _band(one.axial),
        "moment_size": _band(one.moment_size),
        "tension": one.tension,
        "compression": one.compression,
    }


def _band(one: Band) -> Object:
    return {"low": one.low, "likely": one.likely, "high": one.high}
