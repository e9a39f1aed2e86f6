"""The condition of a truss from one unit system into the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.condition import Bow, Left, Lost, LostSection, Severed

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from trussio.document.conversion import Conversion
    from trussio.model.condition import Condition
    from trussio.model.truss import JointId


def converted_condition(
    condition: Mapping[str, Condition], convert: Conversion, length: Decimal, area: Decimal, inertia: Decimal
) -> dict[str, Condition]:
    """Every entry with its lengths, areas and inertias by the factors given."""
    return {name: _one(one, convert, (length, area, inertia)) for name, one in condition.items()}


def _one(one: Condition, convert: Conversion, factors: tuple[Decimal, Decimal, Decimal]) -> Condition:
    length = factors[0]
    changed: Condition = one
    if isinstance(one, Severed):
        changed = replace(one, at=convert(one.at, length))
    elif isinstance(one, Bow):
        changed = replace(one, by=convert(one.by, length))
    elif isinstance(one, LostSection):
        start, end = _place(one.start, convert, length), _place(one.end, convert, length)
        changed = replace(one, what=_what(one.what, convert, factors), start=start, end=end)
    return changed


def _place(at: JointId | float | None, convert: Conversion, length: Decimal) -> JointId | float | None:
    return at if at is None or isinstance(at, str) else convert(at, length)


def _what(what: Lost | Left, convert: Conversion, factors: tuple[Decimal, Decimal, Decimal]) -> Lost | Left:
    length, area, inertia = factors
    if isinstance(what, Left):
        return Left(
            area=convert(what.area, area),
            inertia=convert.maybe(what.inertia, inertia),
            shift=convert(what.shift, length),
        )
    return replace(
        what,
        plus_y=convert(what.plus_y, length),
        minus_y=convert(what.minus_y, length),
        width=convert(what.width, length),
    )
