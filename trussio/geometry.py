"""Plane geometry of straight and curved segments: lengths, arcs, points along them.

Terms: an *arc* goes from its first point to its last, the lesser arc of its radius; `sweep` is the turn of its
tangent, positive counter-clockwise. Angles in radians, x right, y up.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan2, cos, hypot, sin, sqrt
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.truss import JointId, MemberId, Segment, Truss

Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Arc:
    """A circular arc; `start` is the angle of its first point seen from the centre."""

    centre: Point
    radius: float
    start: float
    sweep: float

    @property
    def length(self) -> float:
        """Length along the arc."""
        return self.radius * abs(self.sweep)

    def at(self, fraction: float) -> Point:
        """The point at a fraction of the arc's length."""
        angle = self.start + fraction * self.sweep
        return (self.centre[0] + self.radius * cos(angle), self.centre[1] + self.radius * sin(angle))


def arc_between(first: Point, last: Point, radius: float, bows: Literal["up", "down"]) -> Arc:
    """The lesser arc of `radius` from `first` to `last` that bulges `up` or `down`.

    The radius must be at least half the distance between the points, and the two not above each other;
    the reader of documents refuses both.
    """
    dx, dy = last[0] - first[0], last[1] - first[1]
    chord = hypot(dx, dy)
    to_left = (bows == "up") == (dx > 0)
    side = -1.0 if to_left else 1.0
    height = sqrt(max(0.0, radius**2 - chord**2 / 4))
    centre = (
        (first[0] + last[0]) / 2 - side * height * dy / chord,
        (first[1] + last[1]) / 2 + side * height * dx / chord,
    )
    return Arc(
        centre=centre,
        radius=radius,
        start=atan2(first[1] - centre[1], first[0] - centre[0]),
        sweep=side * 2 * asin(min(1.0, chord / (2 * radius))),
    )


def segment_arc(truss: Truss, segment: Segment) -> Arc | None:
    """The arc of a curved segment, or None for a straight one."""
    curve = truss.members[segment.member].curve
    if curve is None:
        return None
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    return arc_between((first.x, first.y), (last.x, last.y), curve.radius, curve.bows)


def off_axis(truss: Truss, member: MemberId, joint: JointId, offset: float) -> Point:
    """From a joint of a stick to the point that lies `offset` off the stick's axis there, towards local +y.

    Where the stick runs through, its axis is taken half way between those of its two segments.
    """
    x = y = 0.0
    for segment in truss.segments if offset else ():
        if (truss.members[segment.member].part_of or segment.member) != member or joint not in (
            segment.first,
            segment.last,
        ):
            continue
        arc = segment_arc(truss, segment)
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        angle = atan2(last.y - first.y, last.x - first.x)
        if arc is not None:
            angle += arc.sweep / 2 * (1.0 if joint == segment.last else -1.0)
        x, y = x + cos(angle), y + sin(angle)
    size = hypot(x, y)
    return (-offset * y / size, offset * x / size) if size else (0.0, 0.0)


def segment_length(truss: Truss, segment: Segment) -> float:
    """Length of a segment along its own axis."""
    arc = segment_arc(truss, segment)
    if arc is not None:
        return arc.length
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    return hypot(last.x - first.x, last.y - first.y)


def polyline(arc: Arc, sagitta: float) -> Sequence[Point]:
    """Points along an arc, close enough together that no chord stands off it by more than `sagitta`."""
    step = 2 * sqrt(2 * sagitta / arc.radius)
    count = max(1, int(abs(arc.sweep) / step) + 1)
    return [arc.at(index / count) for index in range(count + 1)]
