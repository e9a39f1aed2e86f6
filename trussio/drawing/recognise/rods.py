"""Rods carry tension alone and struts that only butt compression alone, unless somebody says otherwise.

A rod is a stick of steel, no top chord, whose section is stated by its area and not as a rectangle. A strut butts
where a connection of the basis has it bear on another stick, and no fasteners.
Source: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.change import Assumption

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.connection import Connection
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


def with_butting(
    members: Mapping[MemberId, Member], connections: Mapping[str, Connection]
) -> tuple[dict[MemberId, Member], list[Assumption]]:
    """The members, webs that only butt carrying compression alone, and that this is assumed."""
    struts = [
        name
        for name, member in members.items()
        if member.acts is None
        and member.role == "web"
        and any(_butts(one) and any(piece.member == name for piece in one.pieces) for one in connections.values())
    ]
    if not struts:
        return dict(members), []
    made = {name: replace(one, acts="compression") if name in struts else one for name, one in members.items()}
    assumption = Assumption(
        what=f"{', '.join(struts)}: butted without fasteners, which carry compression alone.",
        rests_on="the reader's default for struts that only butt; delete acts where one is fastened",
        touches=tuple(f"/members/{name}/acts" for name in struts),
    )
    return made, [assumption]


def _butts(one: Connection) -> bool:
    bears = one.butt is not None or (one.seat is not None and not one.seat.washer)
    return one.joint is not None and one.fasteners is None and bears


def _is_rod(
    member: Member, sections: Mapping[SectionId, Section], materials: Mapping[MaterialId, Material]
) -> bool:
    section = None if member.section is None else sections[member.section]
    material = None if member.material is None else materials[member.material]
    steel = material is not None and material.kind == "steel"
    return steel and member.role != "top-chord" and section is not None and section.width is None
