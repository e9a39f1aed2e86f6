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
    from collections.abc import Sequence

    from trussio.recheck.ribs import Rib, Triple
    from trussio.recheck.statement import Entry, Segment
    from trussio.recheck.tally import Loads

    Ends = tuple[tuple[int, float], ...]
    Flexible = tuple[Triple, Triple, Triple]


def as_joined(truss: Entry, s: Segment, joints: Sequence[str], begins: float) -> Segment:
    """A segment as its connections and what a survey found leave it; its axis begins so far along the stick."""
    member, rib, along = truss["members"][s.stick], s.rib, s.along
    if "worn" in member:
        worn = loaded("trussio.recheck.survey:worn_between")(truss, member, joints, begins, rib)
        rib = rib._replace(worn=worn)
    if s.ends != joints:
        along = loaded("trussio.recheck.following:between")(truss, member, joints)
    slips, plays, turning = (_at_ends(member, joints, what) for what in ("slip", "play", "turning"))
    flexible = softened(rib, flexibility(rib), slips, turning)
    return s._replace(rib=rib, flexible=flexible, along=along, slips=slips, plays=plays)


def _at_ends(member: Entry, joints: Sequence[str], what: str) -> Ends:
    """What is stated of the ends of a stick that a segment has: (0 its first or 1 its last, number)."""
    here = [(name, end) for name, end in (("first", 0), ("last", 1)) if joints[end] == member["through"][-end]]
    return tuple((end, by) for name, end in here if (by := member.get(what, {}).get(name)))


def softened(rib: Rib, flexible: Flexible, slips: Ends, turning: Ends) -> Flexible:
    """Flexibility with what the connections of a segment give."""
    rows = [list(row) for row in flexible]
    for end, stiff in slips:
        own = along_axis(rib, end)
        for i in range(3):
            for j in range(3):
                rows[i][j] += own[i] * own[j] / stiff
    for end, stiff in turning:
        rows[1 + end][1 + end] += 1 / stiff
    first, second, third = ((row[0], row[1], row[2]) for row in rows)
    return first, second, third


def along_axis(rib: Rib, end: int) -> Triple:
    """The force along the axis at an end by a unit of each force of the segment."""
    _, _, angle = place(rib, rib.length * end)
    return cos(angle), sin(angle) / rib.chord, -sin(angle) / rib.chord


def slipped(out: Loads, s: Segment, at: float, pull: float, push: float) -> None:
    """Enter what a force at a place does along the axis at ends that slip or have play, on simple supports."""
    last_pull, last_push = handed(s.rib, at, pull, push)
    size = (abs(pull) + abs(push)) * (1 + s.rib.length / s.rib.chord)
    for end, stiff in (*s.slips, *((end, None) for end, _ in s.plays)):
        own = along_axis(s.rib, end)
        own_pull, own_push = (-last_pull, -last_push) if end else (pull - last_pull, push - last_push)
        force = own_pull * own[0] + own_push * own[1] * s.rib.chord
        if stiff is None:
            out.ends[s.id, end].append((force, size))
            continue
        by, most = force / stiff, size / stiff
        a, b, c = own
        out.misfit[s.id].append(((by * a, by * b, by * c), (most, most / s.rib.chord, most / s.rib.chord)))
