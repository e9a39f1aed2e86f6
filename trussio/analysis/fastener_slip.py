"""Slip of a stick's ends from the fasteners that the document states there.

Terms: a *plane* is where two pieces slide on each other; each fastener crosses it once. An end takes the stiffness
of all planes between its own pieces and others; between two sticks that both end there each end takes half of the
slip, so twice the stiffness. Play is the clearance of bolts in their holes, where the hole is stated.
Units inside: mm, N, kg/m3.

Source: EN 1995-1-1 table 7.1 for K_ser, 7.1 (3) for steel plates (twice the value with the timber's density) and
(4) for clearance, which comes on top; all from memory, check against the licensed text. Mean density is taken as
that which the material states.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, Final

from trussio.units import KG_PER_POUND, MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from trussio.model.connection import Connection, Fasteners, Piece
    from trussio.model.truss import End, JointId, Member, MemberId, Truss

DENSITY: Final = {"us": KG_PER_POUND / (12 * MM_PER_INCH * 1e-3) ** 3, "si": 1.0}
"""kg/m3 in one unit of density."""
LENGTH: Final = {"us": MM_PER_INCH, "si": 1.0}
SPRING: Final = {"us": NEWTON_PER_POUND / MM_PER_INCH, "si": 1.0}
"""N/mm in one unit of stiffness."""


def by_fasteners(truss: Truss, *, every: bool = False) -> Truss:
    """A truss whose ends slip by their fasteners where a member says so; with `every` wherever any are stated.

    Ends with a slip or play of their own keep it. An end that asks for it and of which nothing follows goes on
    asking, which the stop rules refuse.
    """
    members = dict(truss.members)
    for name, member in truss.members.items():
        asked: tuple[End, ...] = ("first", "last") if every else member.fastener_slip
        own = {*(member.slip or {}), *(member.play or {})}
        found = {end: _of_end(truss, name, end) for end in asked if end not in own}
        slip = {**(member.slip or {}), **{end: one[0] for end, one in found.items() if one is not None}}
        play = {**(member.play or {}), **{end: one[1] for end, one in found.items() if one is not None and one[1]}}
        asking = tuple(end for end in member.fastener_slip if found.get(end) is None)
        members[name] = replace(member, slip=slip or None, play=play or None, fastener_slip=asking)
    return replace(truss, members=members)


def _of_end(truss: Truss, name: MemberId, end: End) -> tuple[float, float] | None:
    """Stiffness and play of the fasteners at an end, in the document's units; None where nothing follows."""
    joint = _joint(truss.members[name], end)
    stiffness, play = 0.0, 0.0
    for one in truss.connections.values():
        if one.joint != joint or one.fasteners is None:
            continue
        planes = _planes(truss, one, name, joint)
        if planes is None:
            return None
        stiffness += planes * one.fasteners.count
        if planes and one.fasteners.kind == "bolt" and one.fasteners.hole is not None:
            play = max(play, one.fasteners.hole - one.fasteners.diameter)
    return (stiffness / SPRING[truss.units], play) if stiffness else None


def _joint(member: Member, end: End) -> JointId:
    return member.through[0 if end == "first" else -1]


def _planes(truss: Truss, one: Connection, name: MemberId, joint: JointId) -> float | None:
    """The stiffness of one fastener in all planes between a stick and other pieces, N/mm."""
    if one.fasteners is None:
        return None
    total = 0.0
    for first, second in zip(one.pieces, one.pieces[1:], strict=False):
        own, other = (first, second) if first.member == name else (second, first)
        if own.member != name or other.member == name:
            continue
        per_plane = _slip_modulus(truss, one.fasteners, own, other)
        if per_plane is None:
            return None
        total += per_plane * (2.0 if _ends_here(truss, other, joint) else 1.0)
    return total


def _ends_here(truss: Truss, piece: Piece, joint: JointId) -> bool:
    """Whether a piece is a stick that ends at a joint, and so slips there itself."""
    if piece.member is None:
        return False
    through = truss.members[piece.member].through
    return joint in (through[0], through[-1])


def _slip_modulus(truss: Truss, by: Fasteners, own: Piece, other: Piece) -> float | None:
    """K_ser of one fastener in one plane, N/mm."""
    densities = [_density(truss, piece) for piece in (own, other) if piece.plate != "steel"]
    known = [density for density in densities if density is not None]
    if len(known) != len(densities) or not known:
        return None
    density = sqrt(known[0] * known[-1])
    diameter = by.diameter * LENGTH[truss.units]
    if by.kind in {"split ring", "shear plate"}:
        if by.connector is None:
            return None
        modulus = density * by.connector * LENGTH[truss.units] / 2
    elif by.kind == "nail":
        modulus = density**1.5 * diameter**0.8 / 30
    else:
        modulus = density**1.5 * diameter / 23
    return modulus * (2.0 if other.plate == "steel" else 1.0)


def _density(truss: Truss, piece: Piece) -> float | None:
    """The density of a wooden piece, kg/m3."""
    name = truss.members[piece.member].material if piece.member is not None else piece.material
    density = None if name is None else truss.materials[name].density
    return None if density is None else density * DENSITY[truss.units]
