"""Chords that break off and go on further along: a stick forgotten in the survey, or gone.

A chord in pieces *breaks off* at a joint where one of its segments ends and neither another chord nor a bearing
is. One such end is how chords end at a post; two that face each other, of different pieces, are a gap.
"""

from __future__ import annotations

from itertools import combinations
from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.audit.graph import parts_of
from trussio.audit.wording import joint_pointers, member_pointers
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, MemberId, Role, Truss

CHORDS: Final[tuple[Role, ...]] = ("bottom-chord", "top-chord")


def chord_gaps(subject: Subject) -> Iterator[Finding]:
    """One finding for each gap, the nearest ends that face each other."""
    truss = subject.truss
    for role in CHORDS:
        loose = _loose_ends(truss, role)
        while len(loose) > 1:
            facing = [
                (_apart(truss, one, other), one, other)
                for one, other in combinations(loose, 2)
                if loose[one][1].isdisjoint(loose[other][1])
            ]
            if not facing:
                break
            _, one, other = min(facing, key=lambda pair: round(pair[0], 6))
            yield _gap(role, one, other, (loose.pop(one)[0], loose.pop(other)[0]))


def _loose_ends(truss: Truss, role: Role) -> dict[JointId, tuple[MemberId, set[JointId]]]:
    """Joints where a chord breaks off, with the stick that ends there and the joints of its piece."""
    graph: dict[JointId, list[JointId]] = {name: [] for name in truss.joints}
    sticks: dict[JointId, MemberId] = {}
    others = set(truss.supports)
    for segment in truss.segments:
        member = truss.members[segment.member]
        if member.role == role:
            graph[segment.first].append(segment.last)
            graph[segment.last].append(segment.first)
            sticks |= {segment.first: segment.member, segment.last: segment.member}
        elif member.role in CHORDS:
            others |= {segment.first, segment.last}
    pieces = parts_of(graph)
    ends = [name for name in truss.joints if len(graph[name]) == 1 and name not in others]
    return {name: (sticks[name], next(piece for piece in pieces if name in piece)) for name in ends}


def _gap(role: Role, one: JointId, other: JointId, sticks: tuple[MemberId, MemberId]) -> Finding:
    chord = "bottom chord" if role == "bottom-chord" else "top chord"
    return Finding(
        code="chord-gap",
        level="query",
        where=(*joint_pointers([one, other]), *member_pointers(sticks)),
        says=f"The {chord} breaks off at {one} and goes on at {other}: no stick of it runs between.",
        do=f"Look for a stick from {one} to {other}: forgotten in the survey, or lost in the roof.",
        evidence={"absent": [one, other], "members": [*sticks]},
    )


def _apart(truss: Truss, one: JointId, other: JointId) -> float:
    first, last = truss.joints[one], truss.joints[other]
    return hypot(last.x - first.x, last.y - first.y)
