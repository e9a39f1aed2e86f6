"""How the forces of a table are written: signs or letters, units behind numbers, points or commas before decimals.

One cell alone may mean two things; what is taken is shown by the column as a whole, or the column is refused.
T and C, before or behind a number, say tension and compression; then every force but nought has a letter and none
a sign. A unit behind numbers stands behind all of them but noughts. Where a comma does not split columns it may
stand before decimals; it may also stand between thousands, and so may a point there: only a number that cannot be
meant otherwise tells which.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

NUMBER: Final = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
_CELL: Final = re.compile(
    r"(?:([TC]) ?)?"
    r"([+-]?[0-9.,]+(?:[eE][+-]?[0-9]{1,3})?)"
    r"(?: ?([A-Za-z]{1,4}?))??"
    r"(?: ?(?:\(([TC])\)|([TC])))?"
)
_MAYBE_THOUSANDS: Final = re.compile(r"[+-]?[1-9][0-9]{0,2}[.,][0-9]{3}")
PLAIN: Final = "Write a plain number such as -18400.5: tension positive, no spaces or commas in it."


class CellError(Exception):
    """What is wrong with a cell, and what to do."""

    def __init__(self, what: str, do: str) -> None:
        self.what, self.do = what, do
        super().__init__(what)


class _Written(NamedTuple):
    """A cell in its parts; `letter` is T, C or nothing, `unit` in small letters."""

    number: str
    letter: str
    unit: str


class ForceCells:
    """A column of forces; `decimal_commas` says that a comma in it is no end of a column.

    `trouble` says why no cell of it can be read; `unit` is the one that stands behind the numbers.
    """

    def __init__(self, cells: Iterable[str], *, decimal_commas: bool) -> None:
        written = [one for cell in cells if (one := _written(cell)) is not None]
        self.trouble: CellError | None = None
        self._comma = decimal_commas and self._is_comma([one.number for one in written])
        self._lettered = any(one.letter for one in written)
        units = dict.fromkeys(one.unit for one in written if one.unit)
        self.unit = next(iter(units), None)
        if len(units) > 1:
            what = f"forces of this table are in {' and in '.join(units)}."
            self.trouble = CellError(what, "Bring them to one unit, and name it in the header.")

    def _is_comma(self, numbers: list[str]) -> bool:
        commas = [number for number in numbers if "," in number]
        points = [number for number in numbers if "." in number]
        if commas and points:
            what = f"{commas[0]} has a comma and {points[0]} a point."
            self.trouble = CellError(
                what, "Write all of them with a point before decimals, and thousands without."
            )
        marked = commas or points
        if marked and all(_MAYBE_THOUSANDS.fullmatch(number) for number in marked):
            what = f"{marked[0]} may be a number with three decimals or one of thousands."
            self.trouble = CellError(what, "Write thousands without a mark, or put commas between the columns.")
        return bool(commas)

    def force(self, cell: str) -> str:
        """The number that a cell means, tension positive, with a point before decimals. Raises CellError."""
        one = _written(cell)
        number = "" if one is None else one.number.replace(",", ".") if self._comma else one.number
        if one is None or not re.fullmatch(NUMBER, number):
            raise CellError(f'the force "{cell}" is no number.', PLAIN)
        nought = not number.partition("e")[0].partition("E")[0].strip("+-.0")
        if one.letter and number[0] in "+-" and not nought:
            raise CellError(f'the force "{cell}" has a sign and a letter.', "Say it by one of the two.")
        if self._lettered and not one.letter and not nought:
            raise CellError(f'the force "{cell}" has no letter, and others have.', "Write T or C behind each.")
        if self.unit and not one.unit and not nought:
            raise CellError(f'the force "{cell}" has no unit, and others have.', "Name one unit in the header.")
        return f"-{number}" if one.letter == "C" else number


def _written(cell: str) -> _Written | None:
    """A cell in its parts, None where it has none."""
    found = _CELL.fullmatch(cell.replace("\N{MINUS SIGN}", "-"))
    if found is None:
        return None
    before, number, unit, *behind = found.groups(default="")
    letters = f"{before}{''.join(behind)}"
    return None if len(letters) > 1 else _Written(number, letters, unit.lower())
