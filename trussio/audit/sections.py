"""Sections and materials that look wrong: sizes, labels, stiffness, density, slenderness.

Ranges are wide on purpose: outside them a unit or a digit is likelier to be wrong than the timber to be odd.
Sources: slenderness l/d of 50 for compression members, ANSI/AWC NDS-2018 3.7.1.4 (from memory); dressed sizes
between three quarters of the nominal size and the full size, and the ranges of E, density, specific gravity and
expansion of timber and steel: common practice, no source.
"""

from __future__ import annotations

from math import hypot
from re import fullmatch
from typing import TYPE_CHECKING, Final

from trussio.audit.wording import counted, figure, length, listed, member_pointers, pointer, rounded
from trussio.model.finding import Finding
from trussio.units import KG_PER_POUND, MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.material import Section
    from trussio.model.truss import MaterialId, MemberId, SectionId, Truss

MPA_PER_PSI: Final = NEWTON_PER_POUND / MM_PER_INCH**2
PLY: Final = (10.0, 1500.0)
"""Width and depth of one ply, mm."""
STIFFNESS: Final = {"sawn": (4000.0, 20000.0), "glulam": (6000.0, 20000.0), "steel": (180000.0, 220000.0)}
"""E in MPa by kind of material."""
DENSITY: Final = {"sawn": (250.0, 1200.0), "glulam": (300.0, 900.0), "steel": (7000.0, 8100.0)}
"""Density in kg/m3 by kind of material."""
EXPANSION: Final = {"sawn": (2e-6, 9e-6), "glulam": (2e-6, 9e-6), "steel": (1e-5, 1.4e-5)}
"""Expansion along the grain per kelvin by kind of material."""
GRAVITY: Final = {"sawn": (0.25, 1.3), "glulam": (0.3, 0.9), "other": (0.25, 1.3), "": (0.25, 1.3)}
"""Specific gravity, oven-dry, of woods by kind; where no kind is stated, of any wood."""
KG_M3_PER_PCF: Final = KG_PER_POUND / (12 * MM_PER_INCH / 1000) ** 3
SLENDER: Final = 50.0
COMPACT: Final = (1e-3, 50.0)
"""Inertia over area squared; a square has 1/12, a deep joist about 1."""
FLAT: Final = 1.5
"""A ply this many times as wide as deep lies flat."""
LABEL: Final = r"(?:(\d+)\s*-\s*)?(\d+(?:\.\d+)?)\s*[xX]\s*(\d+(?:\.\d+)?)"


def sections(subject: Subject) -> Iterator[Finding]:
    """Sections that look wrong."""
    truss = subject.truss
    for name, section in truss.sections.items():
        members = [member for member, m in truss.members.items() if m.section == name]
        if not members:
            continue
        yield from _odd_ply(truss, name, section)
        yield from _odd_inertia(name, section)
        yield from _area_disagrees(name, section)
        yield from _lies_flat(truss, name, section, members)
        yield from _label_disagrees(truss, name, section)
    yield from _member_labels(truss)


def materials(subject: Subject) -> Iterator[Finding]:
    """Materials whose values lie outside the range of their kind."""
    truss = subject.truss
    us = truss.units == "us"
    for name, material in truss.materials.items():
        if not any(member.material == name for member in truss.members.values()):
            continue
        for what, value, factor, unit, ranges in (
            ("E", material.E, MPA_PER_PSI if us else 1.0, "psi" if us else "MPa", STIFFNESS),
            ("density", material.density, KG_M3_PER_PCF if us else 1.0, "pcf" if us else "kg/m3", DENSITY),
            ("expansion", material.expansion, 1.8 if us else 1.0, "per F" if us else "per C", EXPANSION),
            ("specific_gravity", material.specific_gravity, 1.0, "times water", GRAVITY),
        ):
            limits = ranges.get(material.kind or "")
            if value is not None and limits is not None and not limits[0] <= value * factor <= limits[1]:
                usual = (
                    f"{material.kind or 'wood'} has {figure(limits[0] / factor)} to {figure(limits[1] / factor)}"
                )
                yield _out_of_range(name, what, value, f"{figure(value)} {unit}; {usual}")


def slenderness(subject: Subject) -> Iterator[Finding]:
    """Timber webs and top chords longer than 50 times their depth or width, segment by segment."""
    truss = subject.truss
    slender: dict[MemberId, tuple[float, float, float]] = {}
    unknown: list[MemberId] = []
    for name, reach in _longest(subject).items():
        section = truss.section_of(name)
        material = truss.material_of(name)
        rod = material is not None and material.kind == "steel"
        if section is None or rod or truss.members[name].role == "bottom-chord":
            continue
        if section.width is None or section.depth is None:
            unknown.append(name)
            continue
        thin = min(section.width, section.depth)
        if reach > SLENDER * thin:
            slender[name] = (reach / thin, reach, thin)
    if slender:
        yield _slender(subject, slender)
    if unknown:
        yield Finding(
            code="not-evaluated",
            level="note",
            where=member_pointers(unknown),
            says=f"Slenderness was not evaluated for {listed(unknown)}: width and depth are not stated.",
            do="State width and depth, or look at it by hand.",
            evidence={"rule": "slenderness", "members": [*unknown]},
        )


def _longest(subject: Subject) -> dict[MemberId, float]:
    """The longest segment of each member, joint to joint."""
    longest: dict[MemberId, float] = {}
    for segment in subject.truss.segments:
        first, last = subject.truss.joints[segment.first], subject.truss.joints[segment.last]
        reach = hypot(last.x - first.x, last.y - first.y)
        longest[segment.member] = max(longest.get(segment.member, 0.0), reach)
    return longest


def _slender(subject: Subject, slender: dict[MemberId, tuple[float, float, float]]) -> Finding:
    worst = max(slender, key=lambda name: slender[name][0])
    ratio, reach, thin = slender[worst]
    units = subject.truss.units
    what = (
        f"{worst} is" if len(slender) == 1 else f"{counted(len(slender), 'member')} are over the limit; {worst} is"
    )
    return Finding(
        code="slender",
        level="note",
        where=member_pointers(slender),
        says=f"{what} {ratio:.0f} times as long between joints as it is thin ({length(reach, units)} to "
        f"{length(thin, units)}); above {SLENDER:.0f} it may take no compression.",
        do="See that such members stay in tension in every run, or say what braces them sideways.",
        evidence={"ratios": {name: rounded(each[0]) for name, each in slender.items()}, "limit": SLENDER},
    )


def _odd_ply(truss: Truss, name: SectionId, section: Section) -> Iterator[Finding]:
    scale = MM_PER_INCH if truss.units == "us" else 1.0
    for what, value in (("width", section.width), ("depth", section.depth)):
        if value is not None and not PLY[0] <= value * scale <= PLY[1]:
            yield Finding(
                code="odd-section",
                level="query",
                where=(pointer("sections", name, what),),
                says=f"The {what} of {name} is {length(value, truss.units)}: no roof timber is like that.",
                do=f"See in which unit it was measured; the document counts in {'in' if scale > 1 else 'mm'}.",
                evidence={"section": name, what: value},
            )


def _odd_inertia(name: SectionId, section: Section) -> Iterator[Finding]:
    if section.area is None or section.inertia is None:
        return
    ratio = section.inertia / section.area**2
    if not COMPACT[0] <= ratio <= COMPACT[1]:
        yield Finding(
            code="odd-inertia",
            level="query",
            where=(pointer("sections", name),),
            says=f"Area {section.area:g} and inertia {section.inertia:g} of {name} do not go together: no "
            "usual shape has both.",
            do="See that both are in the document's unit of length, and the inertia that in the truss plane.",
            evidence={"section": name, "inertia_over_area_squared": rounded(ratio)},
        )


def _area_disagrees(name: SectionId, section: Section) -> Iterator[Finding]:
    if section.area is None or section.width is None or section.depth is None:
        return
    rectangle = section.plies * section.width * section.depth
    if abs(section.area - rectangle) > 0.02 * rectangle:
        yield Finding(
            code="area-disagrees",
            level="query",
            where=(pointer("sections", name),),
            says=f"{name} states an area of {section.area:g}, but its rectangle has {rectangle:g}; the stated one "
            "is used.",
            do="Delete the area, or say in the notes why it differs (holes, wane, decay).",
            evidence={"section": name, "area": section.area, "rectangle": rounded(rectangle)},
        )


def _lies_flat(truss: Truss, name: SectionId, section: Section, members: list[MemberId]) -> Iterator[Finding]:
    """Much wider than deep, or at all where its label gives the lesser side first, as labels do."""
    if section.width is None or section.depth is None or section.arranged == "stacked":
        return
    read = _read(section.label)
    upright = read is not None and read[1] < read[2] and section.width > 1.02 * section.depth
    if section.width >= FLAT * section.depth or upright:
        units = truss.units
        labelled = f"is labelled {section.label}, but " if upright else ""
        yield Finding(
            code="section-lies-flat",
            level="query",
            where=(pointer("sections", name), *member_pointers(members)),
            says=f"{name} {labelled}is {length(section.width, units)} wide out of the truss plane and only "
            f"{length(section.depth, units)} deep in it: {listed(members)} would lie flat.",
            do="Swap width and depth if the section was entered the other way round.",
            evidence={"section": name, "width": section.width, "depth": section.depth},
        )


def _label_disagrees(truss: Truss, name: SectionId, section: Section) -> Iterator[Finding]:
    if section.label and _differs(truss, section, section.label):
        size = f"{section.plies} of {section.width:g} x {section.depth:g}"
        yield Finding(
            code="label-disagrees",
            level="query",
            where=(pointer("sections", name, "label"),),
            says=f"{name} is labelled {section.label}, but its size is {size}.",
            do="Measure again; correct the size or the label.",
            evidence={"section": name, "label": section.label, "size": size},
        )


def _member_labels(truss: Truss) -> Iterator[Finding]:
    """Sticks whose own label, as the drawing writes it, does not go with the section that they are given."""
    for name, member in truss.members.items():
        section = truss.section_of(name)
        if section is None or not member.label or member.label == section.label:
            continue
        if _differs(truss, section, member.label):
            size = f"{section.plies} of {section.width:g} x {section.depth:g}"
            yield Finding(
                code="label-disagrees",
                level="query",
                where=(pointer("members", name, "label"), *member_pointers([name])),
                says=f"The drawing labels {name} {member.label}, but its section {member.section} is {size}.",
                do="Measure again; give the stick the section of its label, or correct the label.",
                evidence={"member": name, "section": member.section, "label": member.label, "size": size},
            )


def _differs(truss: Truss, section: Section, label: str) -> bool:
    """Whether a size differs from what a label writes: in plies, or beyond how far wood is dressed or shrinks."""
    read = _read(label)
    if read is None or section.width is None or section.depth is None:
        return False
    plies, *nominal = read
    lowest = 0.75 if truss.units == "us" else 0.9
    pairs = zip(sorted((section.width, section.depth)), sorted(nominal), strict=True)
    return (plies or section.plies) != section.plies or not all(
        lowest * n <= size <= 1.02 * n for size, n in pairs
    )


def _read(label: str | None) -> tuple[int | None, float, float] | None:
    """Plies, where a label tells them, and its two nominal sides in their order."""
    read = fullmatch(LABEL, label.strip()) if label else None
    return None if read is None else (int(read[1]) if read[1] else None, float(read[2]), float(read[3]))


def _out_of_range(name: MaterialId, what: str, value: float, says: str) -> Finding:
    code = {
        "E": "odd-stiffness",
        "density": "odd-density",
        "expansion": "odd-expansion",
        "specific_gravity": "odd-gravity",
    }[what]
    return Finding(
        code=code,
        level="query",
        where=(pointer("materials", name, what),),
        says=f"{what.replace('_', ' ')} of {name} is {says}.",
        do="See the table it was taken from, and the unit.",
        evidence={"material": name, what: value},
    )
