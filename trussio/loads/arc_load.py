"""Loads on an arc: end values that vary evenly along it, so that resultant and moment are those of a diagram.

A diagram is straight on plan; a load along an arc is straight along the arc. The two ends of each piece are chosen
so that the sum of the load, and its moment about any point, are those of the diagram. Own derivation: with the
turn t from the middle of the arc and x = R (sin(m + t) - sin m), all integrals below are closed.
"""

from __future__ import annotations

from math import cos, sin
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from trussio.loads.roof_line import Bow

Ends = tuple[float, float, float, float]
"""From x0 to x1, the load on plan at each."""

FLAT = 1e-4
"""Half of a turn, in radians, below which an arc is taken as straight; the error is its square."""


class Weights(NamedTuple):
    """Resultant and moment, about a place, of a load of one at the first end and of one at the last."""

    force: tuple[float, float]
    moment: tuple[float, float]


def weights(bow: Bow, x0: float, x1: float, about: float) -> Weights:
    """What end values on the arc from x0 to x1 come to."""
    start, end = bow.angle(x0), bow.angle(x1)
    middle, half = (start + end) / 2, (end - start) / 2
    s, c = sin(middle), cos(middle)
    # Integrals over t from -half to half of cos(m + t), t cos(m + t) and both times (sin(m + t) - s).
    plan, tilt = 2 * c * sin(half), -2 * s * (sin(half) - half * cos(half))
    at_end, at_start = (sin(end) - s) ** 2 / 2, (sin(start) - s) ** 2 / 2
    between = (s**2 * (3 * half + sin(2 * half) / 2 - 4 * sin(half)) + c**2 * (half - sin(2 * half) / 2)) / 2
    lever, turned = at_end - at_start, half * (at_end + at_start) - between
    away = bow.x + bow.radius * s - about
    forces = [bow.radius * (plan + way * tilt / half) / 2 for way in (-1, 1)]
    moments = [bow.radius**2 * (lever + way * turned / half) / 2 for way in (-1, 1)]
    return Weights((forces[0], forces[1]), (moments[0] + away * forces[0], moments[1] + away * forces[1]))


def arc_ends(bow: Bow, x0: float, x1: float, load0: float, load1: float) -> list[Ends]:
    """The end values on an arc for a load that is straight on plan, and never below zero.

    Where a load that falls to nothing would come out below zero at that end, the arc is halved there and the end
    kept as it is.
    """
    if bow.angle(x1) - bow.angle(x0) < 2 * FLAT:
        return [(x0, x1, load0, load1)]
    run = x1 - x0
    force, moment = run * (load0 + load1) / 2, run**2 * (load0 + 2 * load1) / 6
    whole = weights(bow, x0, x1, x0)
    first, last = _solved(whole.force, whole.moment, (force, moment))
    if first >= 0 and last >= 0:
        return [(x0, x1, first, last)]
    middle = bow.x + bow.radius * sin((bow.angle(x0) + bow.angle(x1)) / 2)
    one, other = weights(bow, x0, middle, x0), weights(bow, middle, x1, x0)
    inner = (one.force[1] + other.force[0], one.moment[1] + other.moment[0])
    if first < 0:
        rest = (force - load0 * one.force[0], moment - load0 * one.moment[0])
        at_middle, last = _solved((inner[0], other.force[1]), (inner[1], other.moment[1]), rest)
        first = load0
    else:
        rest = (force - load1 * other.force[1], moment - load1 * other.moment[1])
        first, at_middle = _solved((one.force[0], inner[0]), (one.moment[0], inner[1]), rest)
        last = load1
    return [(x0, middle, first, at_middle), (middle, x1, at_middle, last)]


def _solved(
    upper: tuple[float, float], lower: tuple[float, float], right: tuple[float, float]
) -> tuple[float, float]:
    """Two unknowns from two equations."""
    (a, b), (c, d) = upper, lower
    size = a * d - b * c
    return ((right[0] * d - b * right[1]) / size, (a * right[1] - right[0] * c) / size)
