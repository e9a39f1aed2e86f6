"""What stands lower than taken where nobody has confirmed size or grade: the low value beside the likely one.

A size that was read from a nominal label may be today's dressed size, in inches or in mm; a sawn size of a
European class may lie at its lower tolerance; a grade or class may be the next lower one of its table. Measured
sizes, confirmed assumptions and values stated for the very piece stay as they are. The forces stay too, so that
this is a measure of strength alone.
Source: dressed sizes of softwood lumber of today and before 1970, tolerances of EN 336 class 1, from memory; own
judgement for the next grade.
"""

from __future__ import annotations

import re
from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING, Final

from trussio.model.check import ratio_words
from trussio.model.standing import Low
from trussio.model.truss import MaterialId, SectionId
from trussio.timber import tables
from trussio.timber.european_checks import MM, is_european
from trussio.timber.limits import SLENDERNESS
from trussio.timber.reference import plain
from trussio.timber.review import all_checks, bench_of
from trussio.timber.stock import INCH

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Check
    from trussio.model.forces import Results
    from trussio.model.material import Material, Section
    from trussio.model.truss import Member, Truss
    from trussio.timber.bench import Conditions

TODAY: Final[Mapping[str, Mapping[float, float]]] = {
    "before-1970": {
        1.625: 1.5,
        2.625: 2.5,
        3.625: 3.5,
        5.625: 5.5,
        7.5: 7.25,
        9.5: 9.25,
        11.5: 11.25,
        13.5: 13.25,
    },
    "full-sawn": {2.0: 1.5, 3.0: 2.5, 4.0: 3.5, 6.0: 5.5, 8.0: 7.25, 10.0: 9.25, 12.0: 11.25, 14.0: 13.25},
}
"""Dressed size of today (in) by the one that was taken."""
LABEL: Final = 0.02
"""Inches within which a size is that of a label: one in mm is written rounded."""
TOLERANCES: Final = ((100.0, 1.0), (inf, 2.0))
"""How much less (mm) sawn wood may measure up to a size (EN 336, tolerance class 1)."""
FAMILY: Final = re.compile(r"(C|D|GL)(\d+)([ch]?)")
"""European classes of one table: softwood, hardwood, glulam of one or of several classes of laminations."""
LOWER: Final = ":low"
"""No id of a document has a colon."""
LESS: Final = ("sizes at the lower tolerance of EN 336", "today's dressed sizes")


def lowered(truss: Truss) -> tuple[Truss, tuple[str, ...]]:
    """The truss with the low value of everything that nobody confirmed, and what was lowered, in words."""
    touched = {pointer for one in truss.assumptions.values() if not one.confirmed for pointer in one.touches}
    sections, materials = dict(truss.sections), dict(truss.materials)
    members, said = {}, []
    for name, member in truss.members.items():
        made = member
        section, material = truss.section_of(name), truss.material_of(name)
        if section is not None and _open(touched, name, member, "section"):
            less = _smaller(truss, section, european=is_european(material))
            if less is not None:
                key = SectionId(f"{member.section}{LOWER}{less.sizing}")
                sections[key], made = less, replace(made, section=key)
                said.append(LESS[less.sizing == "current"])
        if material is not None and section is not None and _open(touched, name, member, "material"):
            grade = _next_grade(material, section)
            if grade is not None:
                other = MaterialId(f"{member.material}{LOWER}{grade}")
                materials[other], made = replace(material, grade=grade), replace(made, material=other)
                said.append(f"grade {grade}")
        members[name] = made
    changed = replace(truss, members=members, sections=sections, materials=materials)
    return changed, tuple(dict.fromkeys(said))


def _open(touched: set[str], name: str, member: Member, what: str) -> bool:
    """Whether an assumption that nobody confirmed decides the section or the material of a member."""
    key = member.section if what == "section" else member.material
    starts = (f"/members/{name}/{what}", f"/{what}s/{key}")
    return any(one == start or one.startswith(f"{start}/") for one in touched for start in starts)


def _smaller(truss: Truss, section: Section, *, european: bool) -> Section | None:
    """The section in today's dressed sizes, or at its lower tolerance; None where measured or never smaller."""
    known = TODAY.get(section.sizing or "", {})
    if not known or section.width is None or section.depth is None:
        return None
    inch = INCH[truss.units]
    width, depth = (_today(known, size, inch) for size in (section.width, section.depth))
    if (width, depth) != (section.width, section.depth):
        return replace(section, width=width, depth=depth, sizing="current")
    if not european:
        return None
    width, depth = (size - _tolerance(size * MM[truss.units]) / MM[truss.units] for size in (width, depth))
    return replace(section, width=width, depth=depth) if min(width, depth) > 0 else None


def _today(known: Mapping[float, float], size: float, inch: float) -> float:
    """Today's dressed size in base lengths of one that was taken; the same where it is no such size."""
    return next((less / inch for old, less in known.items() if abs(size * inch - old) <= LABEL), size)


def _tolerance(size: float) -> float:
    return next(less for up_to, less in TOLERANCES if size <= up_to)


def _next_grade(material: Material, section: Section) -> str | None:
    """The next lower grade of the same table by its bending value, None where there is none."""
    if material.grade is None or material.reference:
        return None
    if is_european(material):
        return _next_class(material.grade)
    if material.kind != "sawn":
        return None
    rows = [
        row
        for row in tables.sawn_rows()
        if row["edition"] == "NDS-2018" and plain(row["species"]) == plain(material.species or "")
    ]
    own = next((row for row in rows if plain(row["grade"]) == plain(material.grade)), None)
    if own is None or section.width is None:
        return None
    alike = [row for row in rows if (row["size_class"], row["width"]) == (own["size_class"], own["width"])]
    below = [row for row in alike if row["values"]["Fb"] < own["values"]["Fb"]]
    return max(below, key=lambda row: row["values"]["Fb"])["grade"] if below else None


def _next_class(grade: str) -> str | None:
    """The next lower European class of the same family, None where there is none."""
    classes = tables.european()["classes"]
    own = FAMILY.match(grade)
    if own is None:
        return None
    below = [
        name
        for name, row in classes.items()
        if (one := FAMILY.fullmatch(name))
        and (one[1], one[3]) == (own[1], own[3])
        and row["fmk"] < classes[grade]["fmk"]
    ]
    return max(below, key=lambda name: classes[name]["fmk"], default=None)


def low_ratios(truss: Truss, results: Results, conditions: Conditions | None = None) -> dict[str, Low]:
    """The worst ratio of each element at its low values, where anything is lower than taken."""
    changed, said = lowered(truss)
    if not said:
        return {}
    bench, _ = bench_of(changed, results, conditions)
    worst: dict[str, Check] = {}
    for check in all_checks(bench):
        known = worst.get(check.element)
        counts = check.verdict == "not met" or not check.what.startswith(SLENDERNESS)
        if check.ratio is not None and counts and (known is None or check.ratio > (known.ratio or 0.0)):
            worst[check.element] = check
    return {element: _low(check, said) for element, check in worst.items()}


def _low(check: Check, said: Sequence[str]) -> Low:
    words = ratio_words(check.ratio, interaction=check.interaction)
    return Low(check.ratio or 0.0, f"{words} with {' and '.join(said)}, which nobody has ruled out")
