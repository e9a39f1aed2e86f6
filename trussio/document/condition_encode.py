"""The condition of a truss, written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry, entry_with_defaults, free
from trussio.document.positions import escaped
from trussio.model.condition import Bow, Lost, LostSection, Missing, Parted, Released, Severed

if TYPE_CHECKING:
    from collections.abc import Mapping
    from collections.abc import Set as AbstractSet

    from trussio.document.entry import Object
    from trussio.model.condition import Condition, Left

KINDS: dict[type[Condition], str] = {
    Severed: "severed",
    Missing: "missing",
    LostSection: "lost-section",
    Released: "released",
    Parted: "parted",
    Bow: "bow",
}
GONE: Object = {"plus_y": 0, "minus_y": 0, "width": 0, "plies": 0}


def encode_condition(condition: Mapping[str, Condition], written_out: AbstractSet[str]) -> Object:
    """The JSON value of the condition of a truss."""
    return {name: _entry(one, f"/condition/{escaped(name)}", written_out) for name, one in condition.items()}


def _entry(one: Condition, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {"kind": KINDS[type(one)], "member": one.member}
    match one:
        case Severed() | Released() | Parted():
            fields["at"] = one.at
        case LostSection():
            key = "lost" if isinstance(one.what, Lost) else "left"
            fields |= {"from": one.start, "to": one.end, key: _what(one.what, f"{where}/{key}", written_out)}
        case Bow():
            fields |= {"by": one.by, "between": None if one.between is None else list(one.between)}
        case _:
            pass
    return entry(fields | {"seen": one.seen, "notes": free(one.notes)})


def _what(what: Lost | Left, where: str, written_out: AbstractSet[str]) -> Object:
    if isinstance(what, Lost):
        fields: Object = {
            "plus_y": what.plus_y,
            "minus_y": what.minus_y,
            "width": what.width,
            "plies": what.plies,
        }
        return entry_with_defaults(fields, GONE, where, written_out)
    fields = {"area": what.area, "inertia": what.inertia, "shift": what.shift}
    return entry_with_defaults(fields, {"shift": 0}, where, written_out)
