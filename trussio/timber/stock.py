"""What a member is made of, as the clauses of NDS-2018 need it: one ply in inches, its values in psi, its grade.

A document in mm and MPa is converted exactly at this door. The user's own values go before the tables; a grade
stamp of its day is read with what later practice made of its tension. What cannot be known is a UsageError that
says what to enter; the review turns it into `not evaluated`.
Source: NDS-2018 as marked by the parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.adjustment import adjusted, volume_factor
from trussio.timber.design_values import Use, adjusted_value
from trussio.timber.reference import STAMP, SYMBOLS, ReferenceValues, as_stated, glulam, historic_grade, sawn
from trussio.units import MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Derivation
    from trussio.model.material import Material, Section
    from trussio.timber.tables import SizeClass
    from trussio.timber.working import Figure
    from trussio.units import UnitSystem

INCH: Final[Mapping[UnitSystem, float]] = {"us": 1.0, "si": 1 / MM_PER_INCH}
POUND: Final[Mapping[UnitSystem, float]] = {"us": 1.0, "si": 1 / NEWTON_PER_POUND}
PSI: Final[Mapping[UnitSystem, float]] = {"us": 1.0, "si": MM_PER_INCH**2 / NEWTON_PER_POUND}
CLASS_WORDS: Final[Mapping[str, SizeClass]] = {
    "dimension": "dimension",
    "beams-and-stringers": "beams-and-stringers",
    "posts-and-timbers": "posts-and-timbers",
    "in place": "in place",
}
COLUMN_C: Final = {"sawn": 0.8, "glulam": 0.9}
LEAVES: Final = "{} plies taken as leaves that share the load and each buckle alone"


@dataclass(frozen=True, kw_only=True)
class Stock:
    """One ply of a member: `breadth` across the truss plane, `depth` in it (in), and how many share the load.

    `remarks` are sentences that belong beside every ratio of it. `graded` is the breadth and depth of the whole
    piece where this is what is left of it: decay moves no wood into a better grade or size.
    """

    name: str
    breadth: float
    depth: float
    plies: int
    kind: str
    values: ReferenceValues
    remarks: tuple[str, ...]
    graded: tuple[float, float] | None = None

    @property
    def sizes(self) -> tuple[float, float]:
        """Breadth and depth that its values and size factors go by: those of the whole piece where it is worn."""
        return (self.breadth, self.depth) if self.graded is None else self.graded

    @property
    def flat(self) -> bool:
        """Whether the ply bends in the truss plane about its weak axis."""
        return self.sizes[1] < self.sizes[0]


@dataclass(frozen=True, kw_only=True)
class Design:
    """Adjusted values of a stock under one duration (psi); what the source does not give is in `missing`.

    `Fb` is that of 3.9-1 (with CV, without CL), `Fb_plain` without both. `Emin1` is for bending in the truss
    plane, `Emin2` across it.
    """

    found: Mapping[str, Derivation]
    missing: Mapping[str, str]
    c: float


def stock_of(section: Section | None, material: Material | None, units: UnitSystem) -> Stock:
    """The stock of a member. Raises UsageError that names what is missing and what to enter."""
    if section is None or section.width is None or section.depth is None:
        raise _missing("section", "width and depth of one ply are not given.", "Enter them as measured.")
    if material is None or material.kind is None:
        raise _missing("material", "the material or its kind is not given.", "Enter sawn, glulam, steel or other.")
    if material.kind not in COLUMN_C:
        raise _missing("material", f"kind {material.kind} is no timber.", "Check it by its own standard.")
    width, depth, plies = ply_size(section, section.width, section.depth)
    breadth, depth = width * INCH[units], depth * INCH[units]
    values, remarks = _values(material, breadth, depth, units)
    if plies > 1:
        remarks = (*remarks, LEAVES.format(section.plies))
    return Stock(
        name=values.name,
        breadth=breadth,
        depth=depth,
        plies=plies,
        kind=material.kind,
        values=values,
        remarks=remarks,
    )


def ply_size(section: Section, width: float, depth: float) -> tuple[float, float, int]:
    """Breadth and depth of what acts as one, in the document's unit, and how many of it share the load."""
    if section.joined != "glued":
        return width, depth, section.plies
    beside = section.plies if section.arranged == "beside" else 1
    stacked = section.plies if section.arranged == "stacked" else 1
    return width * beside, depth * stacked, 1


def _missing(where: str, what: str, do: str) -> UsageError:
    return UsageError("value-missing", where=where, what=what, do=do)


def _values(
    material: Material, breadth: float, depth: float, units: UnitSystem
) -> tuple[ReferenceValues, tuple[str, ...]]:
    own = {
        symbol: value * PSI[units]
        for symbol, value in (material.reference or {}).items()
        if symbol in SYMBOLS and value > 0
    }
    if material.grade is not None and STAMP.fullmatch(material.grade):
        return _stamped(material, own)
    try:
        table = _tabulated(material, breadth, depth)
    except UsageError:
        if not own:
            raise
        return _stated(material, own), ()
    if not own:
        return table, ()
    merged = ReferenceValues(
        name=table.name,
        species=table.species,
        grade=table.grade,
        size_class=table.size_class,
        table=f"stated values before {table.table}",
        source=f"{material.source or 'stated in the document'}; the rest {table.source}",
        values={**table.values, **own},
        specific_gravity=table.specific_gravity,
    )
    return merged, ()


def _tabulated(material: Material, breadth: float, depth: float) -> ReferenceValues:
    if material.grade is None:
        raise _missing("material", "the grade is not given.", "Enter species and grade, or reference values.")
    if material.kind == "glulam":
        return glulam(combination=material.grade, laminations=None, depth=depth)
    if material.species is None:
        raise _missing("material", "the species is not given.", "Enter species and grade, or reference values.")
    return sawn(
        species=material.species,
        grade=material.grade,
        thickness=min(breadth, depth),
        width=max(breadth, depth),
        stated_class=material.size_class,
    )


def _stated(material: Material, own: Mapping[str, float]) -> ReferenceValues:
    chosen = CLASS_WORDS.get(material.size_class or "")
    if material.kind == "glulam":
        chosen = "glulam"
    if chosen is None:
        raise UsageError(
            "size-class-unknown",
            where=f"{material.species or ''} {material.grade or ''}".strip() or "material",
            what="reference values are stated without a size class.",
            do=f"Enter one of {', '.join(CLASS_WORDS)} (in place: the values hold for this very piece).",
        )
    return as_stated(
        name=f"{material.species or 'species not said'} {material.grade or ''}".strip(),
        species=material.species or "",
        grade=material.grade or "",
        size_class=chosen,
        values=own,
        source=material.source or "stated in the document",
    )


def _stamped(material: Material, own: Mapping[str, float]) -> tuple[ReferenceValues, tuple[str, ...]]:
    grade = historic_grade(material.grade or "")
    values = {"Fb": grade.bending.value, "Ft": grade.tension_later.value, **own}
    name = f"{material.species or 'species not said'} {grade.stamp}"
    remark = (
        f"stamp {grade.stamp}: tension was {grade.tension_of_its_day.value:.0f} psi in its day; "
        f"later practice made it {grade.tension_later.value:.0f} psi, which is used"
    )
    chosen = CLASS_WORDS.get(material.size_class or "", "in place")
    reference = ReferenceValues(
        name=name,
        species=material.species or "",
        grade=grade.stamp,
        size_class=chosen,
        table=f"grade stamp {grade.stamp}",
        source=grade.tension_later.lines[-1].source,
        values=values,
    )
    return reference, (remark,)


def design_of(stock: Stock, use: Use, *, length: float, bent: Figure | None = None) -> Design:
    """Every adjusted value that the member checks use; `length` (in) is that of the whole stick, for CV.

    `bent` is Cc of laminations that were bent to a curve.
    """
    wanted = {"Ft": "Ft", "Fb_plain": "Fb", "Fv": "Fv", "Fc_star": "Fc", "Emin1": "Emin", "Emin2": "Emin"}
    if stock.kind == "glulam":
        wanted["Emin2"] = "Emin_y"
    if stock.kind == "glulam" and stock.flat:
        wanted |= {"Fb_plain": "Fby", "Emin1": "Emin_y", "Emin2": "Emin", "Fv": "Fvy"}
    found: dict[str, Derivation] = {}
    missing: dict[str, str] = {}
    for name, symbol in wanted.items():
        try:
            found[name] = adjusted_value(
                stock.values,
                symbol,
                use=use,
                thickness=min(stock.sizes),
                width=max(stock.sizes),
                flat=stock.flat and name in ("Fb_plain", "Emin1"),
            )
        except UsageError as fault:
            missing[name] = str(fault)
    if "Fb_plain" in found:
        if bent is not None:
            found["Fb_plain"] = adjusted("Fb* Cc", found["Fb_plain"], {"Cc": bent}, base="Fb*")
        found["Fb"] = found["Fb_plain"]
        if stock.kind == "glulam" and not stock.flat:
            CV = volume_factor(
                length=length, depth=stock.sizes[1], width=stock.sizes[0], southern_pine=stock.values.southern_pine
            )
            found["Fb"] = adjusted("Fb* CV", found["Fb_plain"], {"CV": CV}, base="Fb*")
    return Design(found=found, missing=missing, c=COLUMN_C[stock.kind])
