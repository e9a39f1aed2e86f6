"""A table of axial forces in CSV, read line by line: header, unit, one row for each segment of each run.

The header is `run,segment,axial` or `run,member,from,to,axial`, in any order and case; a column `notes` is passed
over. Columns are split by commas, or all by semicolons or by tabs. A unit other than the document's stands behind
`axial` (`axial_kip`, `axial [kN]`) or behind every number; how forces may be written: see `force_cells`. Every
line at fault is named before reading gives up. Factors: see `trussio.units`; 1 kip = 1000 lbf, 1 kgf = 9.80665 N.
"""

from __future__ import annotations

import csv
import io
import re
from decimal import Context, Decimal
from typing import TYPE_CHECKING, Final

from trussio.document.force_cells import CellError, ForceCells
from trussio.document.ledger import MOST_FAULTS, others, printable
from trussio.errors import Fault, UnreadableError
from trussio.model.loading import RunId
from trussio.model.truss import SegmentId
from trussio.units import GRAVITY, KG_PER_POUND

if TYPE_CHECKING:
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem

    Column = dict[RunId, dict[SegmentId, Decimal]]

DIGITS: Final = Context(prec=50)

_GRAVITY: Final = Decimal(str(GRAVITY))
_POUND: Final = DIGITS.multiply(Decimal(str(KG_PER_POUND)), _GRAVITY)

NEWTONS: Final[dict[str, Decimal]] = {
    "n": Decimal(1),
    "dan": Decimal(10),
    "kn": Decimal(1000),
    "kgf": _GRAVITY,
    "tf": 1000 * _GRAVITY,
    "lb": _POUND,
    "lbf": _POUND,
    "kip": 1000 * _POUND,
    "kips": 1000 * _POUND,
}
"""What one of each unit that a header may name is in newtons."""

BASE: Final[dict[UnitSystem, str]] = {"us": "lbf", "si": "n"}
BY_SEGMENT: Final = ("run", "segment", "axial")
BY_JOINTS: Final = ("run", "member", "from", "to", "axial")
HEADERS: Final = f"{','.join(BY_SEGMENT)} or {','.join(BY_JOINTS)}"
OTHER_COLUMNS: Final = f"Begin with {HEADERS}; what only people read goes into a column notes."
OTHER_MARKS: Final = "Put commas between all columns, or semicolons between all."
LARGEST: Final = Decimal("1e30")
AXIAL: Final = r"axial(?:[ _]*[(\[]?([a-z]+)[)\]]?)?"
BARE: Final = re.compile(r"[0-9]+(?:\.[0-9]*)?")
SEP: Final = "sep="
"""So begins the line by which spreadsheets say what splits their columns."""


class TableInCsv:
    """A CSV table on its way in."""

    def __init__(self, text: str, *, name: str, truss: Truss) -> None:
        self._split = _split_of(text)
        self._rows = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=self._split)
        self._line = 1
        self._name = name
        self._units = truss.units
        self._segments = {f"{s.member}:{s.first}-{s.last}": s.id for s in truss.segments}
        self._segments |= {f"{s.member}:{s.last}-{s.first}": s.id for s in truss.segments}
        self._faults: list[Fault] = []

    def read(self) -> tuple[Column, Decimal]:
        """The column of forces as written, and the factor that makes base forces of it.

        Raises UnreadableError `bad-table`.
        """
        rows, broken = self._lines()
        self._line, header = rows.pop(0) if rows else (1, [])
        places, unit = self._header(header)
        axial = [cells[places["axial"]] for _, cells in rows if len(cells) == len(places)]
        forces = ForceCells(axial, decimal_commas=self._split != ",")
        factor = self._factor(self._unit(unit, forces))
        self._raise()
        column: Column = {}
        for self._line, row in rows:
            self._row(row, places, forces, column)
        if broken is not None:
            self._line, what = broken
            self._fault(what, "Save the table as CSV in UTF-8.")
        self._raise()
        return column, factor

    def _lines(self) -> tuple[list[tuple[int, list[str]]], tuple[int, str] | None]:
        """Every line that says something, by its number, as far as it is CSV; then where and why it is none."""
        rows: list[tuple[int, list[str]]] = []
        broken: tuple[int, str] | None = None
        try:
            for cells in map(_stripped, self._rows):
                rows.append((self._rows.line_num, cells))  # noqa: PERF401  # what stands before a fault is kept
        except csv.Error as error:
            broken = max(1, self._rows.line_num), f"this is no CSV: {error}."
        said = [(line, cells) for line, cells in rows if any(cells)]
        return said[1:] if said and said[0][1][0].lower().startswith(SEP) else said, broken

    def _header(self, cells: list[str]) -> tuple[dict[str, int], str | None]:
        """Where each column stands, and the unit that the header names; without them no row means anything."""
        unit: str | None = None
        places: dict[str, int] = {}
        for place, cell in enumerate(cells):
            column = cell.lower()
            axial = re.fullmatch(AXIAL, column)
            if axial is not None:
                column = "axial"
                unit = axial[1]
            if column in places:
                self._fault(f'the column "{cell}" stands twice.', "Take one of the two out.")
            elif column not in {*BY_SEGMENT, *BY_JOINTS, "notes"}:
                what = f'the header names a column "{cell}", which a table of axial forces does not have.'
                self._fault(what, OTHER_MARKS if ";" in cell or "\t" in cell else OTHER_COLUMNS)
            places[column] = place
        if not {*BY_SEGMENT} <= places.keys() and not {*BY_JOINTS} <= places.keys() and not self._faults:
            self._fault("the header does not name all columns.", f"Begin with {HEADERS}.")
        elif {"segment", "member"} <= places.keys():
            self._fault("the header names segments and members.", f"Begin with {HEADERS}.")
        self._raise()
        return places, unit

    def _unit(self, header: str | None, forces: ForceCells) -> str | None:
        """The unit of all forces: that of the header, or the one that stands behind them."""
        if forces.trouble is not None:
            self._fault(forces.trouble.what, forces.trouble.do)
        behind = "kip" if forces.unit == "k" and self._units == "us" else forces.unit
        if header is not None and behind is not None and NEWTONS.get(behind) != NEWTONS.get(header):
            self._fault(f'the header gives forces in "{header}", numbers are in "{behind}".', "Name one unit.")
        return header or behind

    def _factor(self, unit: str | None) -> Decimal:
        base = NEWTONS[BASE[self._units]]
        if unit is None:
            return Decimal(1)
        if unit not in NEWTONS:
            known = ", ".join(f"axial_{known}" for known in NEWTONS)
            self._fault(f'the table gives forces in "{unit}", which is no unit known here.', f"Known are {known}.")
            return Decimal(1)
        return DIGITS.divide(NEWTONS[unit], base)

    def _row(self, cells: list[str], places: dict[str, int], forces: ForceCells, column: Column) -> None:
        if len(cells) != len(places):
            what = f"this line has {len(cells)} cells, the header {len(places)}."
            self._fault(what, "Give every cell; put a cell that holds a comma in quotes.")
            return
        if not "".join(cells).isprintable():
            self._fault("this line holds a control character.", "Save the table as plain CSV in UTF-8.")
            return
        for name, place in places.items():
            if not cells[place] and name != "notes":
                self._fault(f'"{name}" is empty.', "Fill it in, or take the line out.")
                return
        note = places["axial"] + 1
        if self._split == "," and places.get("notes") == note and BARE.fullmatch(cells[note]):
            what = f'behind the force "{cells[note - 1]}" stands "{cells[note]}": a comma in a number?'
            self._fault(what, "Write the force without a comma, and notes in words.")
            return
        row = {name: cells[place] for name, place in places.items()}
        written = row["segment"] if "segment" in row else f"{row['member']}:{row['from']}-{row['to']}"
        segment = self._segments.get(written, SegmentId(written))
        force = self._number(row["axial"], forces)
        run = column.setdefault(RunId(row["run"]), {})
        if segment in run:
            self._fault(f'segment {segment} of run "{row["run"]}" stands twice.', "Keep the line that holds.")
        run[segment] = force

    def _number(self, cell: str, forces: ForceCells) -> Decimal:
        try:
            force = Decimal(forces.force(cell))
        except CellError as error:
            self._fault(error.what, error.do)
            return Decimal(0)
        if abs(force) > LARGEST:
            self._fault(f'the force "{cell}" is beyond 1e30.', "Look for a slip in its exponent.")
        return force

    def _fault(self, what: str, do: str) -> None:
        if len(self._faults) < MOST_FAULTS:
            self._faults.append(Fault(where=self._name, what=printable(what), do=do, line=self._line, column=1))

    def _raise(self) -> None:
        if self._faults:
            first = self._faults[0]
            raise UnreadableError(
                "bad-table",
                where=self._name,
                what=f"line {first.line}: {first.what}",
                do=first.do + others(len(self._faults) - 1),
                faults=tuple(self._faults),
            )


def _stripped(cells: list[str]) -> list[str]:
    return [
        cell.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ").strip() for cell in cells
    ]


def _split_of(text: str) -> str:
    """What splits columns, after the first line that says something."""
    first = next((line for line in io.StringIO(text) if line.strip()), "").strip("\r\n")
    if first.lower().startswith(SEP):
        first = first[len(SEP) :]
    return next((mark for mark in ",;\t" if mark in first), ",")
