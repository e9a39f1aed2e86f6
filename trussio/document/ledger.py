"""The ledger that reading fills: every fault of a document with its place, then one error for all of them.

Terms: a *place* is a JSON Pointer (RFC 6901), and for a fault of a name the key itself. A container is
*broken* where it is missing or is no object, so that nothing can be said of what it should hold.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.positions import line_and_column, walk
from trussio.errors import Fault, UnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.document.positions import Spot

INVALID = "invalid-document"
MOST_FAULTS = 1000
"""So many faults are listed; the rest are counted."""

MOST_SUGGESTIONS = 50
MOST_CANDIDATES = 500
LONGEST_MISTYPED = 24
LONGEST_TEXT = 400
TORN = "this text holds half of a surrogate pair (\\ud800 to \\udfff), which no character is."


class Ledger:
    """Faults in the order they are met, and what reading must remember beside them.

    `written_out` gathers the pointers of fields that say no more than their absence would.
    """

    def __init__(self) -> None:
        self.code = INVALID
        self.entries: list[tuple[str, bool, str, str]] = []
        self.more = 0
        self.broken: set[str] = set()
        self.written_out: set[str] = set()

    def add(self, where: str, what: str, do: str, *, on_key: bool = False) -> None:
        """Enter a fault at the value that `where` points at, or at its key."""
        if len(self.entries) < MOST_FAULTS:
            self.entries.append((where, on_key, what, do))
        else:
            self.more += 1

    def meant(self, word: str, candidates: Iterable[str]) -> str:
        """`Did you mean "B1"?` where one of the candidates is close to the word, else nothing."""
        if len(self.entries) >= MOST_SUGGESTIONS:
            return ""
        close = nearest(word, candidates)
        return "" if close is None else f'Did you mean "{close}"?'

    def error(self, text: str, name: str, *, odd: bool) -> UnreadableError | None:
        """The one error for all that is wrong in a JSON text, faults in the order of the text, or None.

        `odd` says that the text repeats a key or may hold half a character, which is entered on the way.
        """
        offsets = self._offsets(text, odd=odd)
        if not self.entries:
            return None
        lines = line_and_column(text, offsets.values())
        entries = sorted(self.entries, key=lambda entry: offsets[entry[:2]])
        faults = tuple(_fault(entry, lines[offsets[entry[:2]]]) for entry in entries)
        first = faults[0]
        return UnreadableError(
            self.code,
            where=name,
            what=str(Fault(where=first.where, what=first.what, do="", line=first.line, column=first.column)),
            do=first.do + others(len(faults) + self.more - 1),
            faults=faults,
        )

    def _offsets(self, text: str, *, odd: bool) -> dict[tuple[str, bool], int]:
        """The offset of each fault. A key that stands twice counts where it stands last, as parsing takes it."""
        offsets: dict[tuple[str, bool], int] = {}
        wanted = {entry[:2] for entry in self.entries}
        for spot in walk(text) if wanted or odd else ():
            if spot.repeated or spot.torn:
                self._enter(spot)
                wanted.add((spot.pointer, spot.on_key))
            if (spot.pointer, spot.on_key) in wanted:
                offsets[spot.pointer, spot.on_key] = spot.offset
                if not odd and len(offsets) == len(wanted):
                    break
        return offsets | _enclosing(text, wanted - offsets.keys())

    def _enter(self, spot: Spot) -> None:
        if spot.repeated:
            self.add(spot.pointer, "this key stands twice in its object.", "Take one of the two out.", on_key=True)
        if spot.torn:
            self.add(spot.pointer, TORN, "Write the character itself.", on_key=spot.on_key)


def _enclosing(text: str, missing: set[tuple[str, bool]]) -> dict[tuple[str, bool], int]:
    """The offset of what encloses each place that the text does not have, such as a field left out."""
    if not missing:
        return {}
    every = {spot.pointer: spot.offset for spot in walk(text) if not spot.on_key}
    found: dict[tuple[str, bool], int] = {}
    for pointer, on_key in missing:
        outer = pointer
        while outer and outer not in every:
            outer = outer.rpartition("/")[0]
        found[pointer, on_key] = every.get(outer, 0)
    return found


def nearest(word: str, candidates: Iterable[str]) -> str | None:
    """The candidate that most likely was meant by a mistyped word, or None where none is close."""
    if len(word) > LONGEST_MISTYPED:
        return None
    best: tuple[int, str] | None = None
    allowed = 1 if len(word) < 5 else 2
    for candidate in list(candidates)[:MOST_CANDIDATES]:
        if abs(len(candidate) - len(word)) <= allowed:
            distance = _edits(word.lower(), candidate.lower())
            if distance <= allowed and (best is None or distance < best[0]):
                best = (distance, candidate)
    return None if best is None else best[1]


def _edits(one: str, other: str) -> int:
    """How many letters must be put in, left out or changed to make one word of the other."""
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, start=1):
        above, row[0] = row[0], i
        for j, counterpart in enumerate(other, start=1):
            above, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, above + (letter != counterpart))
    return row[-1]


def printable(text: str) -> str:
    """A text that any terminal can show: control characters and half characters escaped, and cut if over-long."""
    short = text if len(text) <= LONGEST_TEXT else text[: LONGEST_TEXT - 3] + "..."
    if short.isprintable():
        return short
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in short)


def _fault(entry: tuple[str, bool, str, str], place: tuple[int, int]) -> Fault:
    where, _, what, do = entry
    return Fault(where=printable(where), what=printable(what), do=printable(do), line=place[0], column=place[1])


def others(count: int) -> str:
    """How many faults follow the first, in brackets."""
    if count == 0:
        return ""
    return f" (and {count} more {'fault' if count == 1 else 'faults'})"
