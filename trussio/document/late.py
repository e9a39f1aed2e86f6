"""Readers that few documents need, loaded by name when one does, so that the others are read without them."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from trussio.document.ledger import Ledger
    from trussio.document.values import Reader
    from trussio.model.truss import Json

    T = TypeVar("T")


def late(place: str) -> Reader[T]:
    """The reader that `module:name` says."""
    module, name = place.split(":")

    def read(value: Json, where: str, ledger: Ledger) -> T:
        reader: Reader[T] = getattr(import_module(module), name)
        return reader(value, where, ledger)

    return read
