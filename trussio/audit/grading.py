"""Materials against their own names: stiffness outside the species' range, values of another size class.

Sources: tabulated E of sawn lumber by species, lowest to highest grade, and size classes by thickness (dimension 2
to 4 in nominal, timbers 5 in and over), NDS-2018 Supplement tables 4A, 4B and 4D (from memory). A sixth beyond
either end is let pass, since single pieces and old tables differ by so much.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.wording import figure, length, listed, member_pointers, pointer
from trussio.model.finding import Finding
from trussio.units import MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.material import Material
    from trussio.model.truss import MaterialId, MemberId, Truss

E_PSI: Final = {
    "douglas fir-larch": (1.3e6, 1.9e6),
    "hem-fir": (1.1e6, 1.6e6),
    "spruce-pine-fir": (1.1e6, 1.5e6),
    "southern pine": (1.2e6, 1.9e6),
}
"""Lowest and highest E, psi, by species as tables name it, in small letters."""
BEYOND: Final = 7 / 6
MPA_PER_PSI: Final = NEWTON_PER_POUND / MM_PER_INCH**2
DIMENSION_TO: Final = 4.0
TIMBERS_FROM: Final = 4.5
"""Inches of thickness as dressed; between the two measuring alone cannot tell."""
TIMBERS: Final = frozenset({"beams-and-stringers", "posts-and-timbers"})


def grading(subject: Subject) -> Iterator[Finding]:
    """Materials of members that do not go with their species or with the size of what is made of them."""
    truss = subject.truss
    for name, material in truss.materials.items():
        members = [member for member, m in truss.members.items() if m.material == name]
        if members:
            yield from _species(truss, name, material)
            yield from _size_class(truss, name, material, members)


def _species(truss: Truss, name: MaterialId, material: Material) -> Iterator[Finding]:
    limits = E_PSI.get((material.species or "").casefold())
    if limits is None or material.E is None or material.kind not in {None, "sawn"}:
        return
    unit, scale = ("psi", 1.0) if truss.units == "us" else ("MPa", MPA_PER_PSI)
    low, high = (limit * scale for limit in limits)
    if not low / BEYOND <= material.E <= high * BEYOND:
        yield Finding(
            code="species-stiffness",
            level="query",
            where=(pointer("materials", name, "E"),),
            says=f"E of {name} is {figure(material.E)} {unit}; the tables give {material.species} {figure(low)} "
            f"to {figure(high)}.",
            do="See for which species and grade it was tabulated, and in which unit.",
            evidence={"material": name, "E": material.E, "species": material.species or ""},
        )


def _size_class(truss: Truss, name: MaterialId, material: Material, members: list[MemberId]) -> Iterator[Finding]:
    inch = 1.0 if truss.units == "us" else MM_PER_INCH
    wrong = []
    for member in members:
        section = truss.section_of(member)
        if section is None or section.width is None or section.depth is None:
            continue
        thin = min(section.width, section.depth) / inch
        if (material.size_class == "dimension" and thin >= TIMBERS_FROM) or (
            material.size_class in TIMBERS and thin <= DIMENSION_TO
        ):
            wrong.append((member, thin * inch))
    if wrong:
        sticks = [member for member, _ in wrong]
        yield Finding(
            code="wrong-size-class",
            level="query",
            where=(pointer("materials", name, "size_class"), *member_pointers(sticks)),
            says=f"The values of {name} are those of {material.size_class}, but {listed(sticks)} "
            f"{'is' if len(sticks) == 1 else 'are'} made of plies {length(wrong[0][1], truss.units)} thick.",
            do="Take the values of the class that goes with the thickness.",
            evidence={"material": name, "size_class": material.size_class or "", "members": [*sticks]},
        )
