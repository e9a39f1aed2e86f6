"""What a member's ends do, from one unit system into the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal

    from trussio.document.conversion import Conversion
    from trussio.model.truss import End, Member


def converted_ends(
    member: Member, convert: Conversion, length: Decimal, spring: Decimal, moment: Decimal
) -> Member:
    """A member with offsets, slip, play and turning by the factors given."""
    offsets = member.offsets
    return replace(
        member,
        offsets=None
        if offsets is None
        else {end: (convert(x, length), convert(y, length)) for end, (x, y) in offsets.items()},
        slip=_by_end(member.slip, convert, spring),
        play=_by_end(member.play, convert, length),
        turning=_by_end(member.turning, convert, moment),
    )


def _by_end(values: Mapping[End, float] | None, convert: Conversion, factor: Decimal) -> dict[End, float] | None:
    return None if values is None else {end: convert(value, factor) for end, value in values.items()}
