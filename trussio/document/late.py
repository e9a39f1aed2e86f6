"""What few documents need, loaded by name when one does, so that the others are read and written without it."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from trussio.late import loaded

if TYPE_CHECKING:
    from trussio.document.ledger import Ledger
    from trussio.document.values import Reader
    from trussio.model.truss import Json

    T = TypeVar("T")


def late(place: str) -> Reader[T]:
    """The reader that `module:name` says."""

    def read(value: Json, where: str, ledger: Ledger) -> T:
        reader: Reader[T] = loaded(place)
        return reader(value, where, ledger)

    return read
