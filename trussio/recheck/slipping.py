"""Connections that give at the ends of a stick, for the checker of proofs: they slip along it, or turn.

What a connection gives is a deformation more of the segment there: along the axis at that end the axial force over
the stiffness, in turning the end moment over the stiffness. Only the standard library is needed.
"""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING

from trussio.late import loaded
from trussio.recheck.ribs import flexibility, handed, place

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.recheck.ribs import Rib, Triple
    from trussio.recheck.statement import Entry, Segment

    Flexible = tuple[Triple, Triple, Triple]


def as_joined(truss: Entry, s: Segment, joints: Sequence[str], begins: float) -> Segment:
    """A segment as its connections and what a survey found leave it; its axis begins so far along the stick."""
    member, rib, along = truss["members"][s.stick], s.rib, s.along
    if "worn" in member:
        worn = loaded("trussio.recheck.survey:worn_between")(truss, member, joints, begins, rib)
        rib = rib._replace(worn=worn)
    if s.ends != joints:
        along = loaded("trussio.recheck.following:between")(truss, member, joints)
    flexible, slips = softened(rib, flexibility(rib), member, joints)
    return s._replace(rib=rib, flexible=flexible, along=along, slips=slips)


def softened(
    rib: Rib, flexible: Flexible, member: Entry, joints: Sequence[str]
) -> tuple[Flexible, tuple[tuple[int, float], ...]]:
    """Flexibility with what the connections of a segment give, and those that slip: (end, stiffness)."""
    ends = [("first", 0), ("last", 1)]
    here = [(name, end) for name, end in ends if joints[end] == member["through"][-end]]
    slips = tuple((end, stiff) for name, end in here if (stiff := member.get("slip", {}).get(name)))
    rows = [list(row) for row in flexible]
    for end, stiff in slips:
        own = along_axis(rib, end)
        for i in range(3):
            for j in range(3):
                rows[i][j] += own[i] * own[j] / stiff
    for name, end in here:
        if stiff := member.get("turning", {}).get(name):
            rows[1 + end][1 + end] += 1 / stiff
    first, second, third = ((row[0], row[1], row[2]) for row in rows)
    return (first, second, third), slips


def along_axis(rib: Rib, end: int) -> Triple:
    """The force along the axis at an end by a unit of each force of the segment."""
    _, _, angle = place(rib, rib.length * end)
    return cos(angle), sin(angle) / rib.chord, -sin(angle) / rib.chord


def slipped(s: Segment, at: float, pull: float, push: float) -> Iterator[tuple[Triple, Triple]]:
    """Deformations of connections that slip by a force at a place, on simple supports, and their sizes."""
    last_pull, last_push = handed(s.rib, at, pull, push)
    for end, stiff in s.slips:
        own = along_axis(s.rib, end)
        own_pull, own_push = (-last_pull, -last_push) if end else (pull - last_pull, push - last_push)
        force = (own_pull * own[0] + own_push * own[1] * s.rib.chord) / stiff
        size = (abs(pull) + abs(push)) * (1 + s.rib.length / s.rib.chord) / stiff
        (a, b, c) = own
        yield (force * a, force * b, force * c), (size, size / s.rib.chord, size / s.rib.chord)
