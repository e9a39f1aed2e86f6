"""What holds a joint: bearings, and in a pinned truss the line that a station stands on.

A station is a joint where only straight segments of one line meet, on both sides of it, and no bearing stands: it
stays on the straight line between the nearest joints that are none. Standard library only.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.truss import Direction, JointId, Truss

    Station = tuple[JointId, JointId, float]
    """The joints that carry a station, and its share of the way from the first to the second."""

ON_LINE: Final = 2e-3
"""Sine of the angle up to which two segments lie on one line; places are read to 1/16 in. or to the millimetre."""


def held_directions(truss: Truss, joint: JointId) -> list[tuple[Direction | None, float, float]]:
    """The rigidly held directions in the plane at a joint, as unit vectors, named where they have a name."""
    support = truss.supports.get(joint)
    directions: list[tuple[Direction | None, float, float]] = []
    for hold in support.holds if support is not None else ():
        if not isinstance(hold, str):
            size = hypot(*hold)
            directions.append((None, hold[0] / size, hold[1] / size))
        elif hold != "turn":
            directions.append((hold, float(hold == "x"), float(hold == "y")))
    return directions


def stations_of(truss: Truss) -> dict[JointId, Station]:
    """Every station with the joints that carry it and its share of the way between them."""
    arms: dict[JointId, list[JointId]] = {joint: [] for joint in truss.joints if joint not in truss.supports}
    for segment in truss.segments:
        for joint, other in ((segment.first, segment.last), (segment.last, segment.first)):
            if truss.members[segment.member].curve is not None:
                arms.pop(joint, None)
            elif joint in arms:
                arms[joint].append(other)
    beside = {joint: sides for joint, others in arms.items() if (sides := _two_sides(truss, joint, others))}
    stations: dict[JointId, Station] = {}
    for joint, (one, other) in beside.items():
        before, after = _walk(truss, beside, joint, one), _walk(truss, beside, joint, other)
        here, start, end = (truss.joints[name] for name in (joint, before, after))
        dx, dy = end.x - start.x, end.y - start.y
        share = ((here.x - start.x) * dx + (here.y - start.y) * dy) / (dx * dx + dy * dy)
        stations[joint] = (before, after, share)
    return stations


def _two_sides(truss: Truss, joint: JointId, others: Sequence[JointId]) -> tuple[JointId, JointId] | None:
    """The nearest joint on either side, where all segments at a joint lie on one line and go both ways."""
    here = truss.joints[joint]
    ahead: list[tuple[float, JointId]] = []
    behind: list[tuple[float, JointId]] = []
    first_x = first_y = first = 0.0
    for name in others:
        x, y = truss.joints[name].x - here.x, truss.joints[name].y - here.y
        size = hypot(x, y)
        if not ahead:
            first_x, first_y, first = x, y, size
        elif abs(first_x * y - first_y * x) > ON_LINE * size * first:
            return None
        (ahead if first_x * x + first_y * y > 0 else behind).append((size, name))
    return (min(ahead)[1], min(behind)[1]) if ahead and behind else None


def _walk(
    truss: Truss, beside: Mapping[JointId, tuple[JointId, JointId]], start: JointId, step: JointId
) -> JointId:
    """The first joint from `step` on, going away from `start`, that is no station."""
    origin, toward = truss.joints[start], truss.joints[step]
    x, y = toward.x - origin.x, toward.y - origin.y
    while step in beside:
        here = truss.joints[step]
        one, other = beside[step]
        onwards = truss.joints[one]
        step = one if x * (onwards.x - here.x) + y * (onwards.y - here.y) > 0 else other
    return step
