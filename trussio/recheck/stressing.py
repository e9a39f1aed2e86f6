"""Tendons: where they run, what they pull at, and the force of each leg, for least energy.

A *leg* pulls the two points that it runs between together. A point off the axis of the stick that it bears on
turns that stick there by the lever. A tendon loses force where it turns (as a belt on a drum does), along its way,
where its anchor draws in, and with time; `trussio.model.tendon` says what of it counts in the greatest and in the
least force. Sources: L. Euler's belt friction; draw-in by the area between the lines of force, from memory.
"""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, exp, hypot, pi, sin
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.model.tendon import FRICTION, LOSS, SLIP

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.model.tendon import Point, Tendon
    from trussio.model.truss import JointId, MemberId, Truss
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]
    Place = tuple[float, float]

HALVINGS: Final = 200
SLACK: Final = 1e-9
"""A tendon pushes where one of its legs does, by more than this part of the largest of them."""


class Way(NamedTuple):
    """The points of a tendon, its arms from joints to them, and the lengths of its legs."""

    places: list[Place]
    arms: list[Place]
    lengths: list[float]


def way_of(truss: Truss, tendon: Tendon) -> Way | None:
    """Where a tendon runs; None where two of its points lie on one place."""
    arms = [(0.0, 0.0) if p.bears_on is None or not p.offset else _arm(truss, p) for p in tendon.path]
    places = [
        (truss.joints[p.joint].x + x, truss.joints[p.joint].y + y)
        for p, (x, y) in zip(tendon.path, arms, strict=True)
    ]
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(places)]
    return Way(places, arms, lengths) if min(lengths) > 0 else None


def _of(truss: Truss, name: MemberId, stick: MemberId) -> bool:
    return (truss.members[name].part_of or name) == stick


def _arm(truss: Truss, point: Point) -> Place:
    """Off the axis towards local +y, half way between the directions of the stick on either side of the joint."""
    along_x = along_y = 0.0
    for segment in truss.segments:
        if point.bears_on is None or not _of(truss, segment.member, point.bears_on):
            continue
        if point.joint not in {segment.first, segment.last}:
            continue
        first, last = truss.joints[segment.first], truss.joints[segment.last]
        angle = atan2(last.y - first.y, last.x - first.x)
        curve = truss.members[segment.member].curve
        if curve is not None:
            half = np.arcsin(min(1.0, hypot(last.x - first.x, last.y - first.y) / 2 / curve.radius))
            left = (curve.bows == "up") == (last.x > first.x)
            angle += half * (1 if left == (point.joint == segment.first) else -1)
        along_x, along_y = along_x + cos(angle), along_y + sin(angle)
    size = hypot(along_x, along_y)
    return (-point.offset * along_y / size, point.offset * along_x / size)


def ends_turned(truss: Truss, reading: Reading, tendon: Tendon, way: Way) -> list[tuple[int, int]]:
    """Hinged ends (segment, end) that a tendon turns by its arms, of the stick on the side of its next point."""
    found = []
    for index, (point, arm) in enumerate(zip(tendon.path, way.arms, strict=True)):
        if point.bears_on is None or not any(arm) or _row(truss, reading, point) is not None:
            continue
        other = way.places[index - 1 if index == len(way.lengths) else index + 1]
        toward = other[0] - way.places[index][0], other[1] - way.places[index][1]
        ends = [
            (number, end)
            for number, segment in enumerate(truss.segments)
            for end, joint in enumerate((segment.first, segment.last))
            if joint == point.joint and _of(truss, segment.member, point.bears_on)
        ]
        found.append(max(ends, key=lambda end: float(reading.axes.along[end[0]] @ toward) * (1 - 2 * end[1])))
    return found


def _row(truss: Truss, reading: Reading, point: Point) -> int | None:
    """The equation of the turn that a point turns, None at a hinge."""
    for number, segment in enumerate(truss.segments):
        if point.bears_on is None or not _of(truss, segment.member, point.bears_on):
            continue
        for end, joint in enumerate((segment.first, segment.last)):
            row = reading.equations.turn_at.get((number, end))
            if joint == point.joint and row is not None:
                return row
    return None


def pulls_of(truss: Truss, reading: Reading, tendon: Tendon, way: Way) -> Array:
    """What each leg under unit tension does to the equations (equations, legs)."""
    number: dict[JointId, int] = {joint: index for index, joint in enumerate(truss.joints)}
    pulls = np.zeros((len(reading.equations.forces), len(way.lengths)))
    for leg, length in enumerate(way.lengths):
        start, end = way.places[leg], way.places[leg + 1]
        x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        for index, sign in ((leg, 1.0), (leg + 1, -1.0)):
            point, arm = tendon.path[index], way.arms[index]
            pulls[2 * number[point.joint], leg] += sign * x
            pulls[2 * number[point.joint] + 1, leg] += sign * y
            row = _row(truss, reading, point) if any(arm) else None
            if row is not None:
                pulls[row, leg] += sign * (arm[0] * y - arm[1] * x)
    return pulls


def leg_forces(tendon: Tendon, way: Way, jack: float, *, least: bool) -> list[float] | None:
    """The force of each leg after lock-off; None where the draw-in of the anchor takes all of it."""
    friction = tendon.friction if tendon.friction is not None else FRICTION if least else 0.0
    slip = tendon.slip if tendon.slip is not None else SLIP if least else 0.0
    left = 1 - (tendon.loss if tendon.loss is not None else LOSS) if least else 1.0
    order = range(len(way.lengths)) if tendon.stressed == "first" else range(len(way.lengths))[::-1]
    forces = [0.0] * len(way.lengths)
    turned = done = 0.0
    before: int | None = None
    for leg in order:
        turned += 0.0 if before is None else _angle(way, before, leg)
        forces[leg] = jack * exp(-friction * turned - tendon.wobble * (done + way.lengths[leg] / 2))
        done += way.lengths[leg]
        before = leg
    stretch = slip * (tendon.E or 0.0) * (tendon.area or 0.0) * tendon.strands
    first = forces[order[0]]
    if stretch and first:
        drawn = _drawn_in(forces, way.lengths, first, stretch)
        if drawn is None:
            return [0.0] * len(forces) if least else None
        forces = drawn
    return [left * force for force in forces]


def _angle(way: Way, one: int, other: int) -> float:
    ways = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in ((way.places[k], way.places[k + 1]) for k in (one, other))]
    turned = abs(ways[1] - ways[0]) % (2 * pi)
    return min(turned, 2 * pi - turned)


def _drawn_in(forces: list[float], lengths: list[float], first: float, stretch: float) -> list[float] | None:
    """Forces after the anchor has drawn in: friction the other way, until the lines meet; by halving.

    `stretch` is the draw-in times E A: the area between the lines of force before and after.
    """

    def after(anchor: float) -> list[float]:
        return [min(force, anchor * first / force) for force in forces]

    def area(anchor: float) -> float:
        return sum(long * (was - now) for long, was, now in zip(lengths, forces, after(anchor), strict=True))

    low, high = 0.0, first
    if area(low) < stretch:
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if area(middle) > stretch else (low, middle)
    return after((low + high) / 2)
