"""The condition of a truss, read: one entry for each thing that the survey found wrong with a stick."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, record
from trussio.document.loads_decode import place
from trussio.document.names import joint_id, member_id
from trussio.document.values import chosen, free, nonnegative, number, positive, refuse, text, whole
from trussio.model.condition import Bow, Left, Lost, LostSection, Missing, Parted, Released, Severed

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Final

    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.model.condition import Condition
    from trussio.model.truss import JointId, Json, MemberId, Notes

MOST_PLIES = 98


def two_joints(value: Json, where: str, ledger: Ledger) -> tuple[JointId, JointId] | None:
    """Two joints."""
    if not isinstance(value, list) or len(value) != 2:
        refuse(value, where, ledger, "a list of two joint ids")
        return None
    return (joint_id(value[0], f"{where}/0", ledger), joint_id(value[1], f"{where}/1", ledger))


def lost(fields: Fields) -> Lost:
    """What is gone of a rectangle."""
    return Lost(
        plus_y=fields.default("plus_y", nonnegative, 0.0),
        minus_y=fields.default("minus_y", nonnegative, 0.0),
        width=fields.default("width", nonnegative, 0.0),
        plies=fields.default("plies", PLIES, 0),
    )


def left(fields: Fields) -> Left:
    """What is left of a section."""
    return Left(
        area=fields.need("area", positive),
        inertia=fields.get("inertia", positive),
        shift=fields.default("shift", number, 0.0),
    )


def _of(fields: Fields) -> tuple[MemberId, str, Notes | None]:
    """What every entry says: of which stick, what was seen, notes."""
    return fields.need("member", member_id), fields.need("seen", text), fields.get("notes", free)


def severed(fields: Fields) -> Severed:
    """A stick cut or broken through."""
    member, seen, notes = _of(fields)
    return Severed(member=member, at=fields.need("at", nonnegative), seen=seen, notes=notes)


def missing(fields: Fields) -> Missing:
    """A stick that is not there."""
    member, seen, notes = _of(fields)
    return Missing(member=member, seen=seen, notes=notes)


def lost_section(fields: Fields) -> LostSection:
    """A stick that has lost part of its section."""
    member, seen, notes = _of(fields)
    gone, rest = fields.get("lost", LOST), fields.get("left", LEFT)
    if fields.sound and ("lost" in fields.value) == ("left" in fields.value):
        both = "lost" in fields.value
        what = "this tells what is lost and what is left." if both else "this tells neither loss nor rest."
        fields.ledger.add(fields.where, what, 'Give one of the two, "lost" or "left".')
    return LostSection(
        member=member,
        what=gone or rest or Lost(),
        seen=seen,
        start=fields.get("from", place),
        end=fields.get("to", place),
        notes=notes,
    )


def released(fields: Fields) -> Released:
    """A joint at which a stick passes on no moment."""
    member, seen, notes = _of(fields)
    return Released(member=member, at=fields.need("at", joint_id), seen=seen, notes=notes)


def parted(fields: Fields) -> Parted:
    """A joint that a stick is no longer fastened to."""
    member, seen, notes = _of(fields)
    return Parted(member=member, at=fields.need("at", joint_id), seen=seen, notes=notes)


def bow(fields: Fields) -> Bow:
    """A segment out of line."""
    member, seen, notes = _of(fields)
    return Bow(
        member=member,
        by=fields.need("by", number),
        between=fields.get("between", two_joints),
        seen=seen,
        notes=notes,
    )


def condition(fields: Fields) -> Condition:
    """An entry of whatever kind."""
    return KINDS[fields.need("kind", kind)](fields)


KINDS: Final[dict[str, Callable[[Fields], Condition]]] = {
    "severed": severed,
    "missing": missing,
    "lost-section": lost_section,
    "released": released,
    "parted": parted,
    "bow": bow,
}
"""What reads an entry of each kind."""
kind = chosen(tuple(KINDS))
PLIES = whole(0, MOST_PLIES, "a whole number from 0 to 98")
LOST = record(lost)
LEFT = record(left)
CONDITION = by_id(str, record(condition))
