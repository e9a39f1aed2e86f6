"""A group of fasteners under a force off its centre: what each fastener gets, elastically.

Terms: places are x, y from any origin; force components right and up, the moment counter-clockwise about the
group's centroid. Any consistent units. Source: statics of an elastic group, F_i = P/n + M r_i / sum r^2.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import TYPE_CHECKING

from trussio.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, kw_only=True)
class FastenerForce:
    """Force on one fastener: its components, its size, and its angle to the x axis, 0 to 90 degrees."""

    x: float
    y: float
    size: float
    angle: float


def fastener_forces(
    places: Sequence[tuple[float, float]], *, force: tuple[float, float], moment: float
) -> tuple[FastenerForce, ...]:
    """The force on every fastener, in the order of `places`; with x along the grain `angle` is that to the grain.

    `moment` is about the centroid of the group. Raises UsageError `no-fasteners`, or `no-lever` where a moment
    meets a single fastener.
    """
    count = len(places)
    if not count:
        raise UsageError(
            "no-fasteners",
            where="bolt group",
            what="there is no fastener.",
            do="Enter the place of each fastener.",
        )
    middle = (sum(x for x, _ in places) / count, sum(y for _, y in places) / count)
    arms = [(x - middle[0], y - middle[1]) for x, y in places]
    polar = sum(x**2 + y**2 for x, y in arms)
    if moment and not polar:
        raise UsageError(
            "no-lever",
            where="bolt group",
            what="one fastener cannot take a moment.",
            do="Enter the other fasteners, or release the moment.",
        )
    turn = moment / polar if moment else 0.0
    return tuple(_force(force[0] / count - turn * y, force[1] / count + turn * x) for x, y in arms)


def _force(x: float, y: float) -> FastenerForce:
    return FastenerForce(x=x, y=y, size=hypot(x, y), angle=degrees(atan2(abs(y), abs(x))))


def polar_sum(places: Sequence[tuple[float, float]]) -> float:
    """Sum of the squared distances from the centroid; times K_ser it is the group's stiffness in turning."""
    count = len(places)
    middle = (sum(x for x, _ in places) / count, sum(y for _, y in places) / count)
    return sum((x - middle[0]) ** 2 + (y - middle[1]) ** 2 for x, y in places)
