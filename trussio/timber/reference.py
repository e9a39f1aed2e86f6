"""Reference design values of a piece: from the tables, as stated by the user, or as a stamp of its day meant.

Terms: the *size class* of sawn lumber is `dimension` (2 to 4 in thick), `beams-and-stringers` (5 in and thicker,
wider than the thickness by more than 2 in), `posts-and-timbers` (5 in and thicker, otherwise), or `in place`
(graded or tested as this very piece: no size factor); `glulam` is a size class of its own here. Inches and psi;
thickness is the lesser and width the greater dressed dimension. Values go by their symbols: Fb, Ft, Fv, Fc,
Fc_perp, E, Emin, and for glulam Fb_negative, Fby, Fvy, Fc_perp_y, Ey, Emin_y besides.
Source: NDS Supplement tables 4A, 4B, 4D, 5A, 5B as far as the data files give them, with their marks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber import tables
from trussio.timber.working import MEMORY, derived, require_positive, stated

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.timber.tables import SizeClass

BENDING = {"Fb", "Fb_negative", "Fby"}
SYMBOLS = BENDING | {"Ft", "Fv", "Fvy", "Fc", "Fc_perp", "Fc_perp_y", "Fc_perp_tension_face", "Frt"}
SYMBOLS |= {"E", "Emin", "Ey", "Emin_y", "E_axial", "Emin_axial"}
DIMENSION_TO = 4.0
TIMBER_FROM = 4.5
TABULATED = ("dimension", "beams-and-stringers", "posts-and-timbers")
STATED_VALUES = "stated values"
STAMP = re.compile(r"\s*(\d{3,4})\s*[fF]\s*")
"""A stress grade as stamped: `1200f`."""
FIR = re.compile(r"\bdouglas[ -]fir\b", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class ReferenceValues:
    """Reference design values, psi, with what they rest on.

    `name` is species and grade in words; `table` names the edition and table, or whose values they are;
    `source` is the mark that every derivation shows.
    """

    name: str
    species: str
    grade: str
    size_class: SizeClass
    table: str
    source: str
    values: Mapping[str, float]
    specific_gravity: float | None = None

    @property
    def southern_pine(self) -> bool:
        """Whether the rules for Southern Pine hold (size factors built in, CV with the 20th root)."""
        return "southern pine" in self.species.lower()

    def value(self, symbol: str) -> Derivation:
        """One value with its table and mark; UsageError `value-missing` where the source does not give it."""
        if symbol not in self.values:
            raise UsageError(
                "value-missing",
                where=self.name,
                what=f"{symbol} is not given by {self.table}.",
                do=f"Enter {symbol} in psi with its source.",
            )
        return stated(symbol, self.values[symbol], "psi", self.source, self.table)


def size_class(thickness: float, width: float) -> SizeClass:
    """The size class of a dressed or measured section (in).

    Raises UsageError `size-class-unclear` between 4 and 4-1/2 in thick, where measuring alone cannot tell.
    """
    require_positive("size class", {"thickness": thickness, "width": width})
    thickness, width = sorted((thickness, width))
    if thickness <= DIMENSION_TO:
        return "dimension"
    if thickness < TIMBER_FROM:
        raise UsageError(
            "size-class-unclear",
            where="size class",
            what=f"{thickness:g} in thick is neither 2 to 4 in nominal nor 5 in.",
            do="Enter the size class: dimension, beams-and-stringers or posts-and-timbers.",
        )
    return "beams-and-stringers" if width - thickness > 2.0 else "posts-and-timbers"


def same_grade(one: str, other: str) -> bool:
    """Whether two names are of one grade, in whatever order its words stand (`Dense No. 1`, `No.1 Dense`)."""
    return sorted(plain(one).split()) == sorted(plain(other).split())


def plain(text: str) -> str:
    """A name without dots, spaces and capitals, so that `No. 1` is `no.1`."""
    return re.sub(r"[\s.-]+", " ", text.replace("#", "No ")).strip().casefold()


def sawn(
    *, species: str, grade: str, thickness: float, width: float, stated_class: str | None = None
) -> ReferenceValues:
    """Tabulated values of a sawn piece (in) after the NDS-2018 Supplement.

    The size class follows from the section; one that is stated must agree with it. Raises UsageError
    `unknown-species`, `unknown-grade`, `size-class-mismatch` or `size-class-unclear`, each with what to enter.
    """
    if stated_class is not None and stated_class not in TABULATED:
        raise UsageError(
            "size-class-unknown",
            where=f"{species} {grade}",
            what=f"{stated_class} is no size class of the tables.",
            do="Enter dimension, beams-and-stringers or posts-and-timbers, or state this piece's own values.",
        )
    between = DIMENSION_TO < min(thickness, width) < TIMBER_FROM
    found = stated_class if between and stated_class is not None else size_class(thickness, width)
    if stated_class is not None and found != stated_class:
        raise UsageError(
            "size-class-mismatch",
            where=f"{species} {grade}",
            what=f"{thickness:g} x {width:g} in is {found}, not {stated_class}.",
            do=f"Enter size class {found}, or correct the section.",
        )
    return _row_values(_sawn_row(species, grade, found, max(thickness, width)))


def _sawn_row(species: str, grade: str, found: str, width: float) -> tables.SawnRow:
    current = [row for row in tables.sawn_rows() if row["edition"] == "NDS-2018"]
    of_species = [row for row in current if plain(row["species"]) == plain(species)]
    if not of_species:
        names = ", ".join(dict.fromkeys(row["species"] for row in current))
        raise UsageError(
            "unknown-species",
            where=species,
            what="no reference values are tabulated here for this species.",
            do=f"Enter one of {names}, or state the values with their source.",
        )
    of_class = [row for row in of_species if row["size_class"] == found and _fits(row["width"], width)]
    for row in of_class:
        if same_grade(row["grade"], grade):
            return row
    names = ", ".join(row["grade"] for row in of_class) or "no grade at all"
    raise UsageError(
        "unknown-grade",
        where=f"{species} {grade}",
        what=f"the tables here give for {found} of this species: {names}.",
        do="Enter one of these grades, or state the values with their source.",
    )


def _fits(width_class: str, width: float) -> bool:
    """Whether an actual width (in) belongs to a width class of table 4B; the widest takes all beyond."""
    if not width_class:
        return True
    upper = {"2-4": 4.0, "5-6": 6.0, "8": 8.0, "10": 10.0, "12": float("inf")}
    lower = {"2-4": 0.0, "5-6": 4.0, "8": 6.0, "10": 8.0, "12": 10.0}
    return lower[width_class] < width <= upper[width_class]


def _row_values(row: tables.SawnRow) -> ReferenceValues:
    return ReferenceValues(
        name=f"{row['species']} {row['grade']}",
        species=row["species"],
        grade=row["grade"],
        size_class=row["size_class"],
        table=f"{row['edition']} {row['table']}",
        source=row["source"],
        values=row["values"],
        specific_gravity=row["specific_gravity"],
    )


def glulam(*, combination: str, laminations: int | None, depth: float) -> ReferenceValues:
    """Tabulated values of a glulam combination (`24F-V4`, `2`), of so many laminations, `depth` in inches.

    Without the number of laminations an axial combination has no Fc and no Fby; deeper than 15 in it has no Fb.
    Raises UsageError `unknown-combination`, or `outside-table` for fewer than two laminations.
    """
    rows = {plain(row["combination"]): row for row in tables.glulam_rows()}
    row = rows.get(plain(combination))
    if row is None:
        raise UsageError(
            "unknown-combination",
            where=combination,
            what="this glulam combination is not tabulated here.",
            do=f"Enter one of {', '.join(r['combination'] for r in rows.values())}, or state the values.",
        )
    values = _by_laminations(row["values"], combination, laminations)
    if row["table"].endswith("5B"):  # one modulus for both axes, and Fb up to 15 in deep
        values |= {"Ey": values["E"], "Emin_y": values["Emin"]}
        values = {symbol: value for symbol, value in values.items() if symbol != "Fb" or depth <= 15.0}
    return ReferenceValues(
        name=f"glulam {row['combination']}",
        species=row["species"],
        grade=row["combination"],
        size_class="glulam",
        table=f"{row['edition']} {row['table']}",
        source=row["source"],
        values=values,
        specific_gravity=row["specific_gravity"],
    )


def _by_laminations(row: Mapping[str, float], combination: str, laminations: int | None) -> dict[str, float]:
    values = {symbol: value for symbol, value in row.items() if "_or_" not in symbol and symbol[-1] not in "23"}
    if laminations is None:
        return values
    if laminations < 2:
        raise UsageError(
            "outside-table",
            where=combination,
            what=f"{laminations} lamination is no glulam.",
            do="Enter the number of laminations, two or more.",
        )
    few = {"Fc": "Fc_2_or_3", "Fby": f"Fby_{laminations}"}
    many = {"Fc": "Fc_4_or_more", "Fby": "Fby_4_or_more"}
    chosen = few if laminations < 4 else many
    return values | {symbol: row[key] for symbol, key in chosen.items() if key in row}


def as_stated(
    *,
    name: str,
    species: str,
    size_class: SizeClass,
    values: Mapping[str, float],
    source: str,
    grade: str = "",
    specific_gravity: float | None = None,
) -> ReferenceValues:
    """The user's own values (graded in place, tested), which go before every table; psi.

    Raises UsageError `unknown-value`, `value-not-positive` or `source-missing`.
    """
    for symbol, value in values.items():
        if symbol not in SYMBOLS:
            raise UsageError(
                "unknown-value",
                where=name,
                what=f"{symbol} is no reference design value.",
                do=f"Use these symbols: {', '.join(sorted(SYMBOLS))}.",
            )
        if not value > 0:
            raise UsageError(
                "value-not-positive", where=name, what=f"{symbol} is {value:g}.", do="Enter it in psi, above zero."
            )
    if not source.strip():
        raise UsageError(
            "source-missing",
            where=name,
            what="the values have no source.",
            do="Say who graded or tested the piece, when and by which rule.",
        )
    return ReferenceValues(
        name=name,
        species=species,
        grade=grade,
        size_class=size_class,
        table=STATED_VALUES,
        source=source,
        values=values,
        specific_gravity=specific_gravity,
    )


def values_of_its_day(grade: str, species: str) -> dict[str, tuple[float, bool]]:
    """What a stamp or a name counted in its day (psi) by symbol, and whether that is of the list of the 1950s.

    A stamp tells bending and tension of any species; the list is of Douglas fir. Empty for a grade unknown here.
    """
    fir = FIR.search(species) is not None
    rows = [row for row in tables.historic()["rows"] if fir]
    stamp = STAMP.fullmatch(grade)
    if stamp is not None:
        bending = float(stamp[1])
        Fc = next((row["Fc"] for row in rows if row["Fb"] == bending), None)
        listed = {} if Fc is None else {"Fc": (Fc, True)}
        return {"Ft": (bending, False), "Fb": (bending, False), **listed}
    for row in rows:
        if plain(row["grade"]) == plain(grade):
            return {"Ft": (row["Fb"], True), "Fb": (row["Fb"], True), "Fc": (row["Fc"], True)}
    return {}


@dataclass(frozen=True, kw_only=True)
class HistoricGrade:
    """A grade stamp or name of its day (psi).

    `tension_of_its_day` is what the engineer of the time counted on, `tension_later` what later practice made of
    it. `compression` and `modulus` are None where the stamp does not tell them.
    """

    stamp: str
    bending: Derivation
    tension_of_its_day: Derivation
    tension_later: Derivation
    compression: Derivation | None
    modulus: Derivation | None


def historic_grade(stamp: str) -> HistoricGrade:
    """What a stamp (`1200f`) or a grade name of the 1950s (`Dense Construction`) meant, and means now.

    Raises UsageError `unknown-stamp`. Source: the data file, with its marks; tension equal to bending until about
    1965, 0.55 of bending later.
    """
    data = tables.historic()
    numbered = STAMP.fullmatch(stamp)
    row = next((row for row in data["rows"] if plain(row["grade"]) == plain(stamp)), None)
    if numbered:
        bending = stated("Fb", float(numbered[1]), "psi", MEMORY, f"grade stamp {stamp.strip()}")
    elif row is not None:
        bending = stated("Fb", row["Fb"], "psi", data["rows_source"], data["rows_table"])
    else:
        names = ", ".join(known["grade"] for known in data["rows"])
        raise UsageError(
            "unknown-stamp",
            where=stamp,
            what="this is neither a stress stamp such as 1200f nor a grade of the 1950s list.",
            do=f"Enter the stamp as read on the piece, or one of {names}.",
        )
    factor = data["later_factor"]
    equal = derived("Ft", bending.value, "psi", "Fb", "", bending, source=data["equal_until"])
    cut = derived("Ft", factor * bending.value, "psi", f"{factor} Fb", "", bending, source=data["later_source"])
    table, mark = data["rows_table"], data["rows_source"]
    return HistoricGrade(
        stamp=stamp.strip(),
        bending=bending,
        tension_of_its_day=equal,
        tension_later=cut,
        compression=None if row is None else stated("Fc", row["Fc"], "psi", mark, table),
        modulus=None if row is None else stated("E", row["E"], "psi", mark, table),
    )
