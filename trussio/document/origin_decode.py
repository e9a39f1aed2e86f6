"""Where a model came from and what was assumed, read: assumptions and source."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.values import JOINT_ID, digest, free, nonnegative, pair, pointer, text
from trussio.model.change import Assumption, Change, Source
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from trussio.document.fields import Fields


point = pair("a place as two numbers, x and y")
handles = each(text, "a list of DXF handles")
pointers = each(pointer, "a list of JSON Pointers")


def assumption(fields: Fields) -> Assumption:
    """An assumption."""
    return Assumption(
        what=fields.need("what", text),
        rests_on=fields.need("rests_on", text),
        touches=fields.default("touches", pointers, ()),
        confirmed=fields.get("confirmed", text),
        notes=fields.get("notes", free),
    )


def change(fields: Fields) -> Change:
    """A step by which reading altered the linework."""
    return Change(
        kind=fields.need("kind", text),
        says=fields.need("says", text),
        where=fields.get("where", point),
        distance=fields.get("distance", nonnegative),
        handles=fields.default("handles", handles, ()),
    )


def source(fields: Fields) -> Source:
    """The drawing that a truss was read from."""
    return Source(
        drawing=fields.need("drawing", text),
        digest=fields.need("digest", digest),
        scale=fields.need("scale", text),
        linework=fields.get("linework", digest),
        joints=fields.default("joints", by_id(JointId, handles, rule=JOINT_ID), {}),
        members=fields.default("members", by_id(MemberId, handles), {}),
        changes=fields.default("changes", each(record(change), "a list of changes"), ()),
        notes=fields.get("notes", free),
    )
