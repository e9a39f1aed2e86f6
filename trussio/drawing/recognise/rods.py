"""Rods among the sticks of a drawing: they carry tension alone, unless somebody says otherwise.

A rod is a stick of steel, no top chord, whose section is stated by its area and not as a rectangle.
Source: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.change import Assumption

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.material import Material, Section
    from trussio.model.truss import MaterialId, Member, MemberId, SectionId


def with_rods(
    members: Mapping[MemberId, Member],
    sections: Mapping[SectionId, Section],
    materials: Mapping[MaterialId, Material],
) -> tuple[dict[MemberId, Member], list[Assumption]]:
    """The members, rods among them carrying tension alone, and that this is assumed."""
    rods = [name for name, member in members.items() if _is_rod(member, sections, materials)]
    if not rods:
        return dict(members), []
    made = {name: replace(one, acts="tension") if name in rods else one for name, one in members.items()}
    assumption = Assumption(
        what=f"{', '.join(rods)}: rods, which carry tension alone.",
        rests_on="the reader's default for steel that is no rectangle; delete acts where one can push",
        touches=tuple(f"/members/{name}/acts" for name in rods),
    )
    return made, [assumption]


def _is_rod(
    member: Member, sections: Mapping[SectionId, Section], materials: Mapping[MaterialId, Material]
) -> bool:
    section = None if member.section is None else sections[member.section]
    material = None if member.material is None else materials[member.material]
    steel = material is not None and material.kind == "steel"
    return steel and member.role != "top-chord" and section is not None and section.width is None
