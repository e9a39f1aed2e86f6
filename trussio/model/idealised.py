"""What turns with what, and which joints are stations: the meaning of `pinned` and `continuous`.

Terms: a *rotation* is an unknown turn that one or more segment ends share; an end without one is a hinge. A
*station* is a joint of a pinned truss where only segments of one line meet (a purlin point, a butt): it stays
on the line between its neighbours, and what loads it there goes to them by the lever.

In `continuous` every stick has a rotation of its own at each joint that it runs through. Fixed ends, and the
stick that runs through if it is the only one, share the joint's rotation; where two or more run through
(a bolted crossing), each keeps its own and fixed ends still share the joint's. In `pinned` nothing turns.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Idealisation, JointId, MemberId, Segment, Truss

ONE_LINE = 2e-3
"""Two segments lie on one line when the sine of the angle between them is below this: places are read to 1/16 in.
or to the millimetre, and a purlin point of a chord stands off its line by as much."""


class Rotation(NamedTuple):
    """An unknown turn: that of a joint, or where `member` is given of that stick at the joint."""

    joint: JointId
    member: MemberId | None = None


@dataclass(frozen=True, kw_only=True)
class Station:
    """A joint on the line from `before` to `after`, at the fraction `share` of the way."""

    before: JointId
    after: JointId
    share: float


@dataclass(frozen=True, kw_only=True)
class Idealised:
    """A truss under one idealisation.

    `ends` gives for each segment, in the order of `Truss.segments`, the number in `rotations` that its first and
    last end turn with, None for a hinge. `shared` gives the number of the joint's own rotation where it
    has one. `stations` is empty in `continuous`.
    """

    idealisation: Idealisation
    rotations: tuple[Rotation, ...]
    ends: tuple[tuple[int | None, int | None], ...]
    shared: Mapping[JointId, int]
    stations: Mapping[JointId, Station]


def idealise(truss: Truss, idealisation: Idealisation) -> Idealised:
    """The rotations and stations of a truss under one idealisation."""
    if idealisation == "pinned":
        hinges: tuple[tuple[int | None, int | None], ...] = ((None, None),) * len(truss.segments)
        return Idealised(
            idealisation=idealisation, rotations=(), ends=hinges, shared={}, stations=_stations(truss)
        )
    rotations = _rotations(truss)
    number = {rotation: index for index, rotation in enumerate(rotations)}
    shared = {r.joint: index for r, index in number.items() if r.member is None}
    ends = tuple(
        (
            _turns_with(truss, number, segment, segment.first),
            _turns_with(truss, number, segment, segment.last),
        )
        for segment in truss.segments
    )
    return Idealised(idealisation=idealisation, rotations=rotations, ends=ends, shared=shared, stations={})


def _rotations(truss: Truss) -> tuple[Rotation, ...]:
    passing: dict[JointId, list[MemberId]] = {}
    fixed: set[JointId] = set()
    for name, member in truss.members.items():
        for joint in member.through[1:-1]:
            passing.setdefault(joint, []).append(name)
        fixed.update(member.through[0 if end == "first" else -1] for end in member.fixed)
    rotations: list[Rotation] = []
    for joint in truss.joints:
        sticks = passing.get(joint, [])
        if joint in fixed or len(sticks) == 1:
            rotations.append(Rotation(joint=joint))
        if len(sticks) > 1:
            rotations += [Rotation(joint=joint, member=name) for name in sticks]
    return tuple(rotations)


def _turns_with(truss: Truss, number: Mapping[Rotation, int], segment: Segment, joint: JointId) -> int | None:
    member = truss.members[segment.member]
    if joint == member.through[0]:
        return number[Rotation(joint=joint)] if "first" in member.fixed else None
    if joint == member.through[-1]:
        return number[Rotation(joint=joint)] if "last" in member.fixed else None
    own = number.get(Rotation(joint=joint, member=segment.member))
    return number[Rotation(joint=joint)] if own is None else own


def _stations(truss: Truss) -> dict[JointId, Station]:
    """Every station with the nearest joints on either side of it that are none."""
    beside: dict[JointId, list[JointId]] = {joint: [] for joint in truss.joints}
    curved: set[JointId] = set()
    for segment in truss.segments:
        beside[segment.first].append(segment.last)
        beside[segment.last].append(segment.first)
        if truss.members[segment.member].curve is not None:
            curved |= {segment.first, segment.last}
    lines = {
        joint: sides
        for joint, others in beside.items()
        if joint not in curved
        and joint not in truss.supports
        and (sides := _sides(truss, joint, others)) is not None
    }
    return {joint: _station(truss, joint, lines) for joint in lines}


def _sides(truss: Truss, joint: JointId, others: list[JointId]) -> tuple[JointId, JointId] | None:
    """The nearest joints on the two sides of a joint whose segments all lie on one line, else None."""
    here = truss.joints[joint]
    arms = [(truss.joints[o].x - here.x, truss.joints[o].y - here.y, o) for o in others]
    if len(arms) < 2:
        return None
    x, y, _ = arms[0]
    sides: tuple[list[tuple[float, JointId]], list[tuple[float, JointId]]] = ([], [])
    for dx, dy, other in arms:
        length = hypot(dx, dy)
        if abs(x * dy - y * dx) > ONE_LINE * length * hypot(x, y):
            return None
        sides[x * dx + y * dy < 0].append((length, other))
    if not sides[0] or not sides[1]:
        return None
    return min(sides[0])[1], min(sides[1])[1]


def _station(truss: Truss, joint: JointId, lines: Mapping[JointId, tuple[JointId, JointId]]) -> Station:
    before, after = (_walk(truss, joint, toward, lines) for toward in lines[joint])
    here, start, end = (truss.joints[name] for name in (joint, before, after))
    along_x, along_y = end.x - start.x, end.y - start.y
    share = ((here.x - start.x) * along_x + (here.y - start.y) * along_y) / (along_x**2 + along_y**2)
    return Station(before=before, after=after, share=share)


def _walk(
    truss: Truss, came_from: JointId, joint: JointId, lines: Mapping[JointId, tuple[JointId, JointId]]
) -> JointId:
    """The first joint from `joint` on, going away from `came_from`, that is no station."""
    start = truss.joints[came_from]
    while joint in lines:
        here = truss.joints[joint]
        first = truss.joints[lines[joint][0]]
        ahead = (first.x - here.x) * (here.x - start.x) + (first.y - here.y) * (here.y - start.y) > 0
        joint = lines[joint][0 if ahead else 1]
    return joint
