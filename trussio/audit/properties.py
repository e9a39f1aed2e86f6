"""Stops over properties: a section or material value missing that the idealisation uses.

Every segment needs E and an area. Inertia is needed where a segment bends: where it is curved, or in `continuous`
where an end of it is no hinge. One finding for each kind of gap, with every member and record it touches.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.wording import listed, member_pointers, pointer
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.idealised import Idealised
    from trussio.model.truss import MemberId, Truss


def missing_properties(truss: Truss, idealised: Idealised) -> Iterator[Finding]:
    """What is missing, sections before materials."""
    yield from _missing_of_sections(truss, bending_members(truss, idealised))
    yield from _missing_of_materials(truss)


def _missing_of_sections(truss: Truss, bending: set[MemberId]) -> Iterator[Finding]:
    known = [(name, section) for name in truss.members if (section := truss.section_of(name)) is not None]
    bare = [name for name in truss.members if truss.section_of(name) is None]
    no_area = [name for name, section in known if not section.gross_area]
    no_inertia = [name for name, section in known if name in bending and not section.bending_inertia]
    if bare:
        yield _finding(
            "no-section",
            member_pointers(bare),
            bare,
            says=f"{_have(bare)} no section.",
            do="Measure them, or give the size by label with a basis file; then name the section in each member.",
        )
    if no_area:
        yield _finding(
            "no-area",
            _records(truss, no_area, "sections"),
            no_area,
            says=f"{_have(no_area)} a section without area: neither `area` nor `width` and `depth` are given.",
            do="Measure width (out of the plane of the truss) and depth (in it), or state the area.",
        )
    if no_inertia:
        yield _finding(
            "no-inertia",
            _records(truss, no_inertia, "sections"),
            no_inertia,
            says=f"{_have(no_inertia)} to bend, and a section without inertia: neither `inertia` nor `width` and "
            "`depth` are given.",
            do="Measure width and depth, or state the inertia for bending in the plane of the truss.",
        )


def _missing_of_materials(truss: Truss) -> Iterator[Finding]:
    known = [(name, material) for name in truss.members if (material := truss.material_of(name)) is not None]
    bare = [name for name in truss.members if truss.material_of(name) is None]
    no_stiffness = [name for name, material in known if not material.E]
    if bare:
        yield _finding(
            "no-material",
            member_pointers(bare),
            bare,
            says=f"{_have(bare)} no material.",
            do="Have the species and grade found, or assume them in a basis file; then name the material.",
        )
    if no_stiffness:
        yield _finding(
            "no-stiffness",
            _records(truss, no_stiffness, "materials"),
            no_stiffness,
            says=f"{_have(no_stiffness)} a material without modulus of elasticity E.",
            do="State E for the species and grade, with the table it is taken from.",
        )


def bending_members(truss: Truss, idealised: Idealised) -> set[MemberId]:
    """The members of which a segment bends: curved, or with an end that is no hinge."""
    return {
        segment.member
        for segment, ends in zip(truss.segments, idealised.ends, strict=True)
        if ends != (None, None) or truss.members[segment.member].curve is not None
    }


def _finding(code: str, where: tuple[str, ...], members: list[MemberId], *, says: str, do: str) -> Finding:
    return Finding(code=code, level="stop", where=where, says=says, do=do, evidence={"members": [*members]})


def _have(members: list[MemberId]) -> str:
    if len(members) > 1:
        return f"{len(members)} members ({listed(members)}) have"
    return f"{members[0]} has"


def _records(truss: Truss, members: list[MemberId], kind: str) -> tuple[str, ...]:
    """Pointers to the sections or materials of members, then to the members."""
    used = [
        truss.members[name].section if kind == "sections" else truss.members[name].material for name in members
    ]
    records = (pointer(kind, record) for record in dict.fromkeys(used) if record is not None)
    return (*records, *member_pointers(members))
