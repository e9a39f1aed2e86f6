"""The geometry of sticks that a document must have right: segments of some length, curves that fit, loads on them.

Terms: a *stretch* is the part of a stick that a line load covers. Distances run along the stick from its first
joint, along the arcs where it is curved. Limits: a segment has no length below 1e-9 of its coordinates; a stick
turns straight back where the sine of the turn is below 1e-4; a segment is vertical where it runs sideways
by less than 1e-6 of its length; distances are compared within 1e-9 of the stick.
"""

from __future__ import annotations

from math import hypot, isfinite
from typing import TYPE_CHECKING

from trussio.geometry import arc_between

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.document.ledger import Ledger
    from trussio.model.loading import LineLoad, PointLoad, Target
    from trussio.model.truss import Curve, Joint, JointId, Member, MemberId, Truss

NO_LENGTH = 1e-9
STRAIGHT_BACK = 1e-4
VERTICAL = 1e-6
ON_STICK = 1e-9


OTHER_WAY = "Swap the two, and two values with them; leave both out for the whole stick."


class Sticks:
    """The sticks of a truss, with the distance of each joint along them worked out once where it is asked for."""

    def __init__(self, truss: Truss) -> None:
        self._truss = truss
        self._known: dict[MemberId, dict[JointId, float]] = {}

    def check_stretch(self, load: LineLoad, where: str, ledger: Ledger) -> None:
        """That a line load begins and ends on its stick, in this order."""
        for name in self._sticks(load.on) if load.start is not None or load.end is not None else ():
            start = self.distance(name, load.start, f"{where}/from", ledger)
            end = self.distance(name, load.end, f"{where}/to", ledger)
            if start is None or end is None:
                return
            if end - start <= ON_STICK * self._length(name):
                place = "from" if load.start is not None else "to"
                ledger.add(f"{where}/{place}", f'the load does not run forward along "{name}".', OTHER_WAY)
                return

    def check_point(self, load: PointLoad, where: str, ledger: Ledger) -> None:
        """That a point load acts on its stick."""
        for name in self._sticks(load.on):
            if self.distance(name, load.at, f"{where}/at", ledger) is None:
                return

    def _sticks(self, on: Target) -> list[MemberId]:
        if on.member is not None:
            return [on.member]
        return [name for name, member in self._truss.members.items() if member.role == on.role]

    def distance(self, name: MemberId, place: JointId | float | None, where: str, ledger: Ledger) -> float | None:
        """How far along its stick a place lies; None, and where it is new a fault, where that cannot be said.

        Absence means the stick's own end, the first or, for `to`, the last.
        """
        along, length = self.along(name), self._length(name)
        if isinstance(place, str):
            joints = along or self._truss.members[name].through
            if place and joints and place not in joints:
                what = f'joint "{place}" is not on "{name}".'
                ledger.add(where, what, "Name a joint that the stick runs through, or a distance along it.")
            return along.get(place)
        if not along:
            return None
        if place is None:
            return length if where.endswith("/to") else 0.0
        if place > length * (1 + ON_STICK):
            what = f'"{name}" is {length:.6g} long, so nothing lies {place:.6g} along it.'
            ledger.add(where, what, "Measure from the first joint of the stick, or leave it out for the far end.")
            return None
        return place

    def _length(self, name: MemberId) -> float:
        along = self.along(name)
        return along[self._truss.members[name].through[-1]] if along else 0.0

    def along(self, name: MemberId) -> dict[JointId, float]:
        """The distance of each joint along a stick; empty where the stick itself is at fault."""
        if name not in self._known:
            member = self._truss.members[name]
            sound = bool(member.through) and all(joint in self._truss.joints for joint in member.through)
            sound = sound and len(set(member.through)) == len(member.through)
            sound = sound and next(stick_faults(self._truss, member), None) is None
            self._known[name] = distances(self._truss, member) if sound else {}
        return self._known[name]


def distances(truss: Truss, member: Member) -> dict[JointId, float]:
    """The distance of each joint of a stick from its first joint, along the stick."""
    found = {member.through[0]: 0.0}
    total = 0.0
    for first, last in zip(member.through, member.through[1:], strict=False):
        total += _length(truss.joints[first], truss.joints[last], member.curve)
        found[last] = total
    return found if isfinite(total) else {}


def stick_faults(truss: Truss, member: Member) -> Iterator[tuple[str, str, str]]:
    """Place within the member, what and what to do, for each fault of its geometry. Its joints are all known.

    A stick that passes a joint twice is at fault already and not judged.
    """
    if len(set(member.through)) < len(member.through):
        return
    before: tuple[float, float] | None = None
    for index, (first, last) in enumerate(zip(member.through, member.through[1:], strict=False), start=1):
        start, end = truss.joints[first], truss.joints[last]
        run = (end.x - start.x, end.y - start.y)
        length = hypot(*run)
        if length <= NO_LENGTH * max(abs(start.x), abs(start.y), abs(end.x), abs(end.y)):
            what = f'"{first}" and "{last}" lie on the same place, so the segment between them has no length.'
            yield f"through/{index}", what, "Leave one of the two out, or put it right."
            before = None
            continue
        if before is not None and _straight_back(before, run):
            what = f'from "{first}" the stick goes straight back to "{last}" over itself.'
            yield f"through/{index}", what, "Put the joints in the order in which the stick meets them."
        if member.curve is not None:
            yield from _curve_faults(member.curve, f"{first}-{last}", run, length)
        before = run


def _curve_faults(
    curve: Curve, segment: str, run: tuple[float, float], length: float
) -> Iterator[tuple[str, str, str]]:
    if curve.radius < length / 2 * (1 - ON_STICK):
        what = f"the radius {curve.radius:.6g} is under half of segment {segment}, which is {length:.6g} long."
        yield "curve/radius", what, "Give the true radius, or more joints along the curve."
    if abs(run[0]) <= VERTICAL * length:
        what = f'segment {segment} is vertical, where "{curve.bows}" does not say to which side it bows.'
        yield "curve/bows", what, "Move a joint, or make a stick of its own of this segment."


def _straight_back(before: tuple[float, float], run: tuple[float, float]) -> bool:
    along = before[0] * run[0] + before[1] * run[1]
    across = before[0] * run[1] - before[1] * run[0]
    return along < 0 and abs(across) < STRAIGHT_BACK * hypot(*before) * hypot(*run)


def _length(start: Joint, end: Joint, curve: Curve | None) -> float:
    if curve is None:
        return hypot(end.x - start.x, end.y - start.y)
    return arc_between((start.x, start.y), (end.x, end.y), curve.radius, curve.bows).length
