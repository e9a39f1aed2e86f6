"""Where sticks run on a sheet, and the spots for labels beside them and around joints."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from typing import TYPE_CHECKING

from trussio.drawing.paper import Vertex, arc_bulge
from trussio.drawing.placing import Spot
from trussio.geometry import polyline, segment_arc

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.drawing.layers import Holds
    from trussio.geometry import Arc, Point
    from trussio.model.truss import JointId, MemberId, Segment, Truss

ALONG = (0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72)
AROUND = (1.45, 2.6, 3.4)
AFAR = (2.6, 3.8, 5.0, 6.4, 8.0, 9.6)
LONG = 5.0
"""A text over so many modules is led away before it is stood square on its segment."""


@dataclass(frozen=True, kw_only=True)
class Run:
    """One segment as it runs on the sheet: its ends, its arc where it has one, and points close to its axis."""

    segment: Segment
    first: Point
    last: Point
    arc: Arc | None
    points: tuple[Point, ...]

    @property
    def vertices(self) -> tuple[Vertex, Vertex]:
        """The segment as a stroke."""
        return (Vertex(*self.first, arc_bulge(self.arc)), Vertex(*self.last))

    @property
    def length(self) -> float:
        """Distance between its joints."""
        return hypot(self.last[0] - self.first[0], self.last[1] - self.first[1])

    def at(self, share: float) -> Point:
        """The point at a share of its way."""
        if self.arc is not None:
            return self.arc.at(share)
        (x1, y1), (x2, y2) = self.first, self.last
        return (x1 + share * (x2 - x1), y1 + share * (y2 - y1))

    def direction(self, share: float) -> float:
        """The angle of its axis at a share of its way, turned so that text along it reads from below or right."""
        if self.arc is None:
            angle = atan2(self.last[1] - self.first[1], self.last[0] - self.first[0])
        else:
            turn = pi / 2 if self.arc.sweep > 0 else -pi / 2
            angle = self.arc.start + share * self.arc.sweep + turn
        while angle <= -pi / 2 + 1e-9:
            angle += pi
        while angle > pi / 2 + 1e-9:
            angle -= pi
        return angle


def runs(truss: Truss) -> tuple[Run, ...]:
    """Every segment, in the order of `Truss.segments`."""
    return tuple(_run(truss, segment) for segment in truss.segments)


def _run(truss: Truss, segment: Segment) -> Run:
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    ends = ((first.x, first.y), (last.x, last.y))
    arc = segment_arc(truss, segment)
    points = ends if arc is None else tuple(polyline(arc, arc.radius / 4000))
    return Run(segment=segment, first=ends[0], last=ends[1], arc=arc, points=points)


def member_holds(truss: Truss, member: MemberId) -> Holds:
    """The content of the layer that a member is drawn on: its role, or `rod` for a web of steel."""
    role, material = truss.members[member].role, truss.material_of(member)
    if role == "web" and material is not None and material.kind == "steel":
        return "rod"
    return role or "member"


def span_of(truss: Truss) -> tuple[float, float, float, float]:
    """The left, bottom, right and top of the joints, all 0 where there is none."""
    xs, ys = [j.x for j in truss.joints.values()] or [0.0], [j.y for j in truss.joints.values()] or [0.0]
    return min(xs), min(ys), max(xs), max(ys)


def middle_of(truss: Truss) -> Point:
    """The middle of the truss, from which labels of chords keep away."""
    left, bottom, right, top = span_of(truss)
    return ((left + right) / 2, (bottom + top) / 2)


def beside(run: Run, *, middle: Point, module: float, width: float, long: float) -> Iterator[Spot]:
    """Spots along a segment, first on the side away from `middle`, then square to it, then on a leader.

    `width` is that of the drawn line and `long` that of the text, in modules.
    """
    chord = hypot(run.last[0] - run.first[0], run.last[1] - run.first[1])
    sides = _sides(run, middle)
    for side in sides:
        for share in ALONG:
            if long * module <= chord * 2 * min(share, 1 - share):
                yield _along(run, share, side, module * (0.5 + width / 2 + 0.3), long * module)
    square = [_square(run, side, module * (long / 2 + width / 2 + 0.4)) for side in sides]
    yield from square if long <= LONG else ()
    for far in AFAR:
        for share in (0.5, 0.35, 0.65):
            for side in sides:
                yield _led(run, share, side, far * module, long * module)
    yield from square


def _sides(run: Run, middle: Point) -> tuple[float, float]:
    """Which side of the segment's direction looks away from the middle, and the other one."""
    (x, y), angle = run.at(0.5), run.direction(0.5)
    left = -(middle[0] - x) * sin(angle) + (middle[1] - y) * cos(angle)
    return (-1.0, 1.0) if left > 0 else (1.0, -1.0)


def _along(run: Run, share: float, side: float, off: float, long: float) -> Spot:
    """Beside the segment and along it; further off on the hollow side of an arc by its sagitta under the text."""
    (x, y), angle = run.at(share), run.direction(share)
    if run.arc is not None:
        off += long**2 / (8 * run.arc.radius)
    return Spot(x - side * off * sin(angle), y + side * off * cos(angle), angle)


def _square(run: Run, side: float, off: float) -> Spot:
    """Standing square on the segment's middle."""
    (x, y), angle = run.at(0.5), run.direction(0.5)
    upright = angle + pi / 2 if angle <= 0 else angle - pi / 2
    return Spot(x - side * off * sin(angle), y + side * off * cos(angle), upright)


def _led(run: Run, share: float, side: float, off: float, long: float) -> Spot:
    """Level, away from the segment, on a leader; a text that goes sideways has its near end at half of `off`."""
    (x, y), angle = run.at(share), run.direction(share)
    right, up = -side * sin(angle), side * cos(angle)
    return Spot(x + (off / 2 + long / 2) * right, y + off * up, 0.0, (x, y))


def around(truss: Truss, joint: JointId, arms: Sequence[float], module: float, half: float) -> Iterator[Spot]:
    """Spots around a joint, in the widest gaps between its sticks first, nearest first.

    `arms` are the angles of what meets there, `half` half the width of the text in modules.
    """
    gaps = _gaps(arms)
    tries = [(AROUND[0], angle) for angle in gaps[:3]]
    tries += [(far, gaps[0]) for far in AROUND[1:]]
    tries += [(far, angle) for far in AROUND[:2] for angle in gaps[1:]]
    tries += [(far, step * pi / 12) for far in AFAR for step in range(24)]
    place = truss.joints[joint]
    for far, angle in tries:
        c, s = cos(angle), sin(angle)
        off = far * module + max(0.0, half - 0.5) * abs(c) * module
        foot = (place.x, place.y) if far > 2.0 else None
        yield Spot(place.x + off * c, place.y + off * s, 0.0, foot)


def _gaps(arms: Sequence[float]) -> tuple[float, ...]:
    """The middles of the gaps between arms, widest first; gaps over a half turn give their thirds too."""
    if not arms:
        return (-pi / 2, pi / 2, 0.0, pi)
    turns = sorted(angle % (2 * pi) for angle in arms)
    gaps = [
        (after - before, before)
        for before, after in zip(turns, [*turns[1:], turns[0] + 2 * pi], strict=True)
        if after - before > 0.3
    ]
    gaps.sort(key=lambda gap: (-round(gap[0], 6), round(gap[1], 6)))
    shares = (0.5, 0.3, 0.7)
    return tuple(
        start + share * size for size, start in gaps for share in (shares if size > pi / 2 else shares[:1])
    )


def arms(truss: Truss) -> dict[JointId, list[float]]:
    """The angles at which segments leave each joint."""
    leaving: dict[JointId, list[float]] = {joint: [] for joint in truss.joints}
    for segment in truss.segments:
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        leaving[segment.first].append(atan2(last.y - first.y, last.x - first.x))
        leaving[segment.last].append(atan2(first.y - last.y, first.x - last.x))
    return leaving
