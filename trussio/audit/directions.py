"""Directions of members at joints: angles so small that forces grow, and kinks of straight sticks.

Angles in degrees. A curved segment counts with its tangent at the joint.
"""

from __future__ import annotations

from itertools import combinations, pairwise
from math import atan2, degrees, pi
from typing import TYPE_CHECKING, Final

from trussio.audit.wording import joint_pointers, listed, member_pointers, rounded
from trussio.geometry import segment_arc
from trussio.model.finding import Finding
from trussio.model.idealised import ONE_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, MemberId, Segment, Truss

SMALLEST_ANGLE: Final = 10.0
"""Below this a force across the pair is multiplied by more than 5. Common practice, no source."""
ALONG: Final = 0.5
"""Below this two members lie along each other, which is another question."""


def small_angles(subject: Subject) -> Iterator[Finding]:
    """Two members that meet at less than 10 degrees."""
    arms: dict[JointId, list[tuple[MemberId, float]]] = {name: [] for name in subject.truss.joints}
    for segment in subject.truss.segments:
        for name in (segment.first, segment.last):
            arms[name].append((segment.member, direction(subject.truss, segment, name)))
    for name, meeting in arms.items():
        for (one, first), (other, last) in combinations(meeting, 2):
            angle = degrees(abs((last - first + pi) % (2 * pi) - pi))
            if ALONG < angle < SMALLEST_ANGLE and one != other:
                yield Finding(
                    code="small-angle",
                    level="query",
                    where=(*joint_pointers([name]), *member_pointers([one, other])),
                    says=f"{one} and {other} meet at {name} at only {angle:.1f} degrees: what passes between them "
                    "takes forces many times as large.",
                    do="Measure the joint again; a small error of its place changes the forces much.",
                    evidence={"joint": name, "members": [one, other], "degrees": rounded(angle)},
                )


def kinks(subject: Subject) -> Iterator[Finding]:
    """Straight sticks that change direction at a joint and are taken as continuous there."""
    by_member: dict[MemberId, list[Segment]] = {}
    for segment in subject.truss.segments:
        if subject.truss.members[segment.member].curve is None:
            by_member.setdefault(segment.member, []).append(segment)
    for member, segments in by_member.items():
        bent = [
            (after.first, turn)
            for before, after in pairwise(segments)
            if abs(turn := _turn(subject.truss, before, after)) > degrees(ONE_LINE)
        ]
        if bent:
            each = listed(f"{abs(turn):.1f} degrees at {name}" for name, turn in bent)
            yield Finding(
                code="kink",
                level="note",
                where=(*member_pointers([member]), *joint_pointers(name for name, _ in bent)),
                says=f"{member} kinks by {each} and is taken as one continuous stick there.",
                do="If it is two sticks that meet there, make it two members.",
                evidence={"member": member, "kinks": {name: rounded(turn) for name, turn in bent}},
            )


def direction(truss: Truss, segment: Segment, joint: JointId) -> float:
    """The direction in which a segment leaves a joint, in radians."""
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    line = atan2(last.y - first.y, last.x - first.x)
    arc = segment_arc(truss, segment)
    half = 0.0 if arc is None else arc.sweep / 2
    return line - half if joint == segment.first else line + half + pi


def _turn(truss: Truss, before: Segment, after: Segment) -> float:
    """How far a stick turns from one segment to the next, in degrees, counter-clockwise."""
    arriving = direction(truss, before, before.last) + pi
    return degrees((direction(truss, after, after.first) - arriving + pi) % (2 * pi) - pi)
