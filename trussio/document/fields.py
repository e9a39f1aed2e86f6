"""The fields of one JSON object, handed out by reader; objects keyed by id and lists are read the same way.

`need` is for a field that must be there, `get` for one that may be absent, `default` for one whose absence means
a value; the last remembers in the ledger where a document writes that value out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from trussio.document.ledger import Ledger
from trussio.document.positions import escaped
from trussio.document.values import ANY_ID, is_id, refuse, refuse_id

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.document.values import IdRule, Reader
    from trussio.model.truss import Json

    T = TypeVar("T")
    K = TypeVar("K", bound=str)


class Fields:
    """One JSON object at the place `where`; a value of another kind is entered as a fault and has no fields."""

    __slots__ = ("asked", "ledger", "sound", "value", "where")

    def __init__(self, value: Json, where: str, ledger: Ledger) -> None:
        self.where = where
        self.ledger = ledger
        self.asked: list[str] = []
        self.sound = isinstance(value, dict)
        self.value: dict[str, Json] = value if isinstance(value, dict) else {}
        if not self.sound:
            refuse(value, where, ledger, "an object")

    def get(self, key: str, read: Reader[T]) -> T | None:
        """A field, or None where it is absent."""
        self.asked.append(key)
        if key not in self.value:
            return None
        return read(self.value[key], f"{self.where}/{key}", self.ledger)

    def need(self, key: str, read: Reader[T]) -> T:
        """A field that must be there."""
        self.asked.append(key)
        if key in self.value:
            return read(self.value[key], f"{self.where}/{key}", self.ledger)
        if self.sound:
            self.ledger.add(self.where, f'the field "{key}" is missing.', f'Add "{key}".')
        self.ledger.broken.add(f"{self.where}/{key}")
        return read(None, "", Ledger())

    def default(self, key: str, read: Reader[T], absent: T) -> T:
        """A field whose absence means a value."""
        self.asked.append(key)
        if key not in self.value:
            return absent
        found = read(self.value[key], f"{self.where}/{key}", self.ledger)
        if found == absent:
            self.ledger.written_out.add(f"{self.where}/{key}")
        return found

    def close(self) -> None:
        """Enter a fault for every field that nobody asked for."""
        if not self.value.keys() <= set(self.asked):
            for key in self.value:
                if key not in self.asked:
                    self._unknown(key)

    def _unknown(self, key: str) -> None:
        known = ", ".join(dict.fromkeys(self.asked))
        self.ledger.add(
            f"{self.where}/{escaped(key)}",
            f'no field is called "{key}" here.',
            self.ledger.meant(key, self.asked) or f"Known are: {known}. What only people read goes into notes.",
            on_key=True,
        )


def record(decode: Callable[[Fields], T]) -> Reader[T]:
    """A reader of one object, closed: what `decode` does not ask for is a fault."""

    def read(value: Json, where: str, ledger: Ledger) -> T:
        fields = Fields(value, where, ledger)
        made = decode(fields)
        fields.close()
        return made

    return read


def by_id(kind: Callable[[str], K], item: Reader[T], *, rule: IdRule = ANY_ID) -> Reader[dict[K, T]]:
    """A reader of an object keyed by id, in the order of the document."""

    def read(value: Json, where: str, ledger: Ledger) -> dict[K, T]:
        if not isinstance(value, dict):
            refuse(value, where, ledger, "an object keyed by id")
            ledger.broken.add(where)
            return {}
        found: dict[K, T] = {}
        for name, entry in value.items():
            place = f"{where}/{escaped(name)}"
            if not is_id(name, rule):
                refuse_id(name, place, ledger, rule, on_key=True)
            found[kind(name)] = item(entry, place, ledger)
        return found

    return read


def each(item: Reader[T], expected: str, *, least: int = 0, most: int | None = None) -> Reader[tuple[T, ...]]:
    """A reader of a list of at least `least` and at most `most` things."""

    def read(value: Json, where: str, ledger: Ledger) -> tuple[T, ...]:
        if not isinstance(value, list) or len(value) < least or (most is not None and len(value) > most):
            refuse(value, where, ledger, expected)
            return ()
        return tuple([item(entry, f"{where}/{index}", ledger) for index, entry in enumerate(value)])

    return read


def distinct(item: Reader[T], expected: str, *, least: int = 0) -> Reader[tuple[T, ...]]:
    """A reader of a list in which nothing stands twice."""
    plain = each(item, expected, least=least)

    def read(value: Json, where: str, ledger: Ledger) -> tuple[T, ...]:
        found = plain(value, where, ledger)
        seen: set[str] = set()
        for index, entry in enumerate(value if found and isinstance(value, list) else ()):
            if isinstance(entry, str):
                if entry in seen:
                    ledger.add(f"{where}/{index}", f'"{entry}" stands twice in this list.', "Name it once.")
                seen.add(entry)
        return found

    return read
