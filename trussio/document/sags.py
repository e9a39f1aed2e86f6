"""Sag records of a truss: read, written, into the other unit system, and what a schema cannot say of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry_with_defaults, free
from trussio.document.fields import by_id, record
from trussio.document.names import joint_id
from trussio.document.positions import escaped
from trussio.document.values import LARGEST, chosen, number, quantity, text
from trussio.document.values import free as anything
from trussio.model.loading import RunId
from trussio.model.sag import Sag

if TYPE_CHECKING:
    from collections.abc import Mapping
    from collections.abc import Set as AbstractSet
    from decimal import Decimal
    from typing import Final, Literal

    from trussio.document.conversion import Conversion
    from trussio.document.entry import Object
    from trussio.document.fields import Fields
    from trussio.document.ledger import Ledger
    from trussio.model.truss import Truss

LINES: Final[tuple[Literal["string-line", "plumb"], ...]] = ("string-line", "plumb")

UPRIGHT = 0.1
"""A string line that goes sideways by no more than this part of its rise has no below."""

line = chosen(LINES)
growth = quantity(1.0, LARGEST, "a number from 1 up")
LOAD = by_id(RunId, number)


def sag(fields: Fields) -> Sag:
    """One measurement."""
    return Sag(
        by=fields.need("by", line),
        start=fields.need("from", joint_id),
        end=fields.get("to", joint_id),
        at=fields.need("at", joint_id),
        off=fields.need("off", number),
        date=fields.need("date", text),
        load=fields.get("load", LOAD),
        camber=fields.default("camber", number, 0.0),
        creep=fields.get("creep", growth),
        notes=fields.get("notes", anything),
    )


SAGS = by_id(str, record(sag))


def encode_sags(sags: Mapping[str, Sag], written_out: AbstractSet[str]) -> Object:
    """The JSON value of the sag records of a truss."""
    return {name: _entry(one, f"/sags/{escaped(name)}", written_out) for name, one in sags.items()}


def _entry(one: Sag, where: str, written_out: AbstractSet[str]) -> Object:
    fields: Object = {
        "by": one.by,
        "from": one.start,
        "to": one.end,
        "at": one.at,
        "off": one.off,
        "date": one.date,
        "load": None if one.load is None else {str(case): factor for case, factor in one.load.items()},
        "camber": one.camber,
        "creep": one.creep,
        "notes": free(one.notes),
    }
    return entry_with_defaults(fields, {"camber": 0}, where, written_out)


def converted_sags(sags: Mapping[str, Sag], convert: Conversion, length: Decimal) -> dict[str, Sag]:
    """Every record with its lengths by the factor given."""
    return {
        name: one._replace(off=convert(one.off, length), camber=convert(one.camber, length))
        for name, one in sags.items()
    }


def check_sags(truss: Truss, ledger: Ledger) -> None:
    """That the line of every record is one and what was measured stands beside it."""
    for name, one in truss.sags.items():
        where = f"/sags/{escaped(name)}"
        if one.by == "string-line" and one.end is None:
            what = "a string line is stretched between two joints, and only one is named."
            ledger.add(where, what, 'Name the other with "to".')
        elif one.by == "plumb" and one.end is not None:
            ledger.add(
                f"{where}/to", "a plumb line hangs from one joint.", 'Leave "to" out, or measure by string-line.'
            )
        elif one.at and (one.at in {one.start, one.end} or one.start == one.end):
            ledger.add(
                f"{where}/at", f'"{one.at}" is a joint of the line itself.', "Name the joint that was measured."
            )
        elif _upright(truss, one):
            what = f'"{one.start}" and "{one.end}" stand above each other, so that nothing lies below their line.'
            ledger.add(f"{where}/to", what, "Measure what stands upright by plumb.")


def _upright(truss: Truss, one: Sag) -> bool:
    """Whether a string line is all but upright."""
    start, end = truss.joints.get(one.start), None if one.end is None else truss.joints.get(one.end)
    return start is not None and end is not None and abs(end.x - start.x) <= UPRIGHT * abs(end.y - start.y)
