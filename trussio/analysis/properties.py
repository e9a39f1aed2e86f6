"""What the segments of a truss are made of, as statics needs it, and the refusal where something is missing.

Every segment needs E and an area; inertia where it bends, that is where it is curved, worn or out of line, or an
end of it is no hinge.
Shear deforms where G and a shear area are both stated.
Units: base units. What comes back is the *give* of a unit length: 1 / (E A), 1 / (E I) and 1 / (G As).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError, Fault

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.model.idealised import Idealised
    from trussio.model.truss import Member, MemberId, Truss

Lack = tuple[str, Fault]
"""A code and the fault that it heads."""


class Gives(NamedTuple):
    """How much a unit length gives under a unit force or moment, shape (m,) each; zero where it does not count."""

    axial: Floats
    bending: Floats
    shear: Floats


def gives(truss: Truss, ideal: Idealised) -> Gives:
    """The give of every segment.

    Raises CannotAnalyseError with a fault for each thing that is missing; its code is that of the first.
    """
    bending = {
        segment.member
        for segment, ends in zip(truss.segments, ideal.ends, strict=True)
        if ends != (None, None) or _bends(truss.members[segment.member])
    }
    lacks: list[Lack] = []
    by_member = {name: _of_member(truss, name, lacks, bends=name in bending) for name in truss.members}
    if lacks:
        code, first = lacks[0]
        faults = tuple(fault for _, fault in lacks)
        raise CannotAnalyseError(code, where=first.where, what=first.what, do=first.do, faults=faults)
    rows = np.array([by_member[segment.member] for segment in truss.segments]).reshape(-1, 3)
    return Gives(axial=rows[:, 0], bending=rows[:, 1], shear=rows[:, 2])


def _bends(member: Member) -> bool:
    """Whether axial force alone bends a member."""
    return member.curve is not None or bool(member.worn or member.bows)


def pointer(*parts: str | int) -> str:
    """The JSON Pointer (RFC 6901) to a place in a document."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)


def _of_member(truss: Truss, name: MemberId, lacks: list[Lack], *, bends: bool) -> tuple[float, float, float]:
    """The give of a member along, in bending and in shear; what it lacks is added to `lacks`."""
    section, material = truss.section_of(name), truss.material_of(name)
    area, inertia, shear_area, E, G = None, None, None, None, None
    if section is None:
        lacks.append(_lack("no-section", name, "has no section", pointer("members", name, "section")))
    else:
        area, inertia, shear_area = section.gross_area, section.bending_inertia, section.shear_area
        where = pointer("sections", truss.members[name].section or "")
        if not area:
            lacks.append(_lack("no-area", name, "has a section without area", where))
        if bends and not inertia:
            lacks.append(_lack("no-inertia", name, "has to bend, and its section has no inertia", where))
    if material is None:
        lacks.append(_lack("no-material", name, "has no material", pointer("members", name, "material")))
    else:
        E, G = material.E, material.G
        if not E:
            where = pointer("materials", truss.members[name].material or "")
            lacks.append(_lack("no-stiffness", name, "has a material without modulus of elasticity E", where))
    return (
        1.0 / (E * area) if E and area else 0.0,
        1.0 / (E * inertia) if bends and E and inertia else 0.0,
        1.0 / (G * shear_area) if G and shear_area else 0.0,
    )


def _lack(code: str, name: MemberId, what: str, where: str) -> Lack:
    return code, Fault(where=where, what=f"{name} {what}.", do="State it; no force may be believed without it.")
