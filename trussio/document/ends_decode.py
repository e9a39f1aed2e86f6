"""What a member's ends do, read: offsets from their joints, slip, play, and turning against the joint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import record
from trussio.document.values import chosen, pair, positive

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Final, TypeVar

    from trussio.document.fields import Fields
    from trussio.document.values import Reader
    from trussio.model.truss import Acts, End

    T = TypeVar("T")

ENDS: Final[tuple[End, ...]] = ("first", "last")
ACTS: Final[tuple[Acts, ...]] = ("tension", "compression")


def _by_end(read: Reader[T]) -> Callable[[Fields], dict[End, T]]:
    """What reads one value for each end that is named."""

    def decode(fields: Fields) -> dict[End, T]:
        found = {end: fields.get(end, read) for end in ENDS}
        return {end: value for end, value in found.items() if value is not None}

    return decode


acts = chosen(ACTS)
OFFSETS = record(_by_end(pair("two numbers, x and y")))
STIFFNESSES = record(_by_end(positive))
