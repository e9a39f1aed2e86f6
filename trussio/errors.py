"""The one error of trussio: a code, a place, what is wrong and what to do.

Terms: a *fault* is one thing wrong in an input; an error carries every fault that was found, since a
person wants to mend a file once. The classes below the base say what kind of trouble it is, so that the
command line can choose its exit code; they add nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing wrong in an input.

    `where` is a JSON Pointer, a file name or a DXF handle; `line` and `column` count from 1 and are None
    where the place has none.
    """

    where: str
    what: str
    do: str
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        place = self.where or "the whole document"
        if self.line is not None:
            place += f" (line {self.line}, column {self.column})"
        return f"{place}: {self.what} {self.do}".rstrip()


class TrussioError(Exception):
    """Base of everything that trussio raises on purpose.

    `code` is a slug (`mechanism`, `not-json`), stable between releases; `where`, `what` and `do` speak to a
    person. `faults` holds one entry or more; the first is the one that the message tells first.
    """

    def __init__(self, code: str, *, where: str = "", what: str, do: str, faults: tuple[Fault, ...] = ()) -> None:
        self.code = code
        self.where = where
        self.what = what
        self.do = do
        self.faults = faults or (Fault(where=where, what=what, do=do),)
        super().__init__(f"{code} at {where}: {what} {do}" if where else f"{code}: {what} {do}")


class UsageError(TrussioError):
    """What was asked for contradicts itself or the files given."""


class UnreadableError(TrussioError):
    """An input cannot be read, or is not what it says it is."""


class CannotAnalyseError(TrussioError):
    """The input is valid, and no force may be believed: a mechanism, no support, a missing property."""


class CannotWriteError(TrussioError):
    """An output could not be written; nothing was left half written."""
