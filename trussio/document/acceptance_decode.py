"""What a person accepted of an audit, read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.values import free, pointer, refuse, text
from trussio.model.acceptance import Acceptance

if TYPE_CHECKING:
    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.model.truss import Json

pointers = each(pointer, "a list of at least one JSON Pointer", least=1)


def said(value: Json, where: str, ledger: Ledger) -> str:
    """A text that says something: an acceptance without a name or a reason is none."""
    if value == "":
        refuse(value, where, ledger, "a text that is not empty")
        return ""
    return text(value, where, ledger)


def acceptance(fields: Fields) -> Acceptance:
    """The acceptance of a finding."""
    return Acceptance(
        code=fields.need("code", said),
        where=fields.need("where", pointers),
        by=fields.need("by", said),
        on=fields.need("on", said),
        why=fields.need("why", said),
        notes=fields.get("notes", free),
    )


ACCEPTED = by_id(str, record(acceptance))
