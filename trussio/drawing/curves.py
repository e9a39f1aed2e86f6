"""Arcs of a drawing: bulged pieces as arcs, a circle through points, points along a conic.

Terms: *bulge* is the tangent of a quarter of the angle that a polyline's piece turns through, 0 for a straight
one; a *conic* is centre + u cos t + v sin t for t from t0 to t1, which an affine map leaves of the same kind:
the one form for circles, arcs and ellipses, however a block was scaled or mirrored; *residual* is the
largest distance of a point from the circle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.records import Point

FACETS_PER_TURN: Final = 96
REFINEMENTS: Final = 8


@dataclass(frozen=True, kw_only=True)
class CircleFit:
    """A circle through points in order; `sweep` turns from the first to the last, positive counter-clockwise."""

    centre: Point
    radius: float
    sweep: float
    residual: float

    @property
    def sagitta(self) -> float:
        """How far the arc stands off its chord; the radius from half a turn on."""
        return self.radius * (1 - float(np.cos(min(abs(self.sweep) / 2, pi / 2))))


def fit_circle(points: NDArray[np.float64]) -> CircleFit | None:
    """The circle nearest to points (n, 2) by least squares of their distances; None for a line or under three.

    Starts from the algebraic fit and refines by Gauss-Newton, since the algebraic one shrinks short arcs.
    """
    if len(points) < 3:
        return None
    middle = points.mean(axis=0)
    size = float(np.abs(points - middle).max())
    if not size or not np.isfinite(size):
        return None
    near = (points - middle) / size
    start = _algebraic(near)
    if start is None:
        return None
    centre, radius = _refined(near, *start)
    found = CircleFit(
        centre=(float(middle[0] + size * centre[0]), float(middle[1] + size * centre[1])),
        radius=radius * size,
        sweep=0.0,
        residual=0.0,
    )
    return judged(found, points)


def judged(circle: CircleFit, points: NDArray[np.float64]) -> CircleFit:
    """A circle with the sweep and the residual of other points."""
    away = points - np.array(circle.centre)
    residual = float(np.abs(np.hypot(*away.T) - circle.radius).max())
    return replace(circle, sweep=_sweep(away), residual=residual)


def circle_through(three: NDArray[np.float64]) -> tuple[NDArray[np.float64], float] | None:
    """Centre and radius of the circle through three points (3, 2); None where they lie on a line."""
    one, two = three[1] - three[0], three[2] - three[0]
    area = 2 * float(one[0] * two[1] - one[1] * two[0])
    if not area:
        return None
    square, other = float(one @ one), float(two @ two)
    away = np.array([two[1] * square - one[1] * other, one[0] * other - two[0] * square]) / area
    return three[0] + away, float(np.hypot(*away))


def _algebraic(near: NDArray[np.float64]) -> tuple[NDArray[np.float64], float] | None:
    system = np.column_stack([2 * near, np.ones(len(near))])
    answer, _, rank, sizes = np.linalg.lstsq(system, (near**2).sum(axis=1), rcond=None)
    if rank < 3 or sizes[-1] < 1e-9 * sizes[0]:
        return None
    centre = answer[:2]
    square = float(answer[2] + centre @ centre)
    return (centre, float(np.sqrt(square))) if square > 0 else None


def _refined(
    near: NDArray[np.float64], centre: NDArray[np.float64], radius: float
) -> tuple[NDArray[np.float64], float]:
    for _ in range(REFINEMENTS):
        away = near - centre
        off = np.hypot(*away.T)
        if not off.all():
            break
        slope = np.column_stack([-away / off[:, None], -np.ones(len(near))])
        step = np.linalg.lstsq(slope, radius - off, rcond=None)[0]
        centre, radius = centre + step[:2], radius + float(step[2])
        if float(np.abs(step).max()) < 1e-14:
            break
    return centre, radius


def _sweep(away: NDArray[np.float64]) -> float:
    before, after = away[:-1], away[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return float(np.arctan2(cross, (before * after).sum(axis=1)).sum())


def bulge_arcs(
    first: NDArray[np.float64], last: NDArray[np.float64], bulge: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Centre x and y, radius, start angle and sweep (n, 5) of bulged pieces with ends (n, 2).

    No bulge and no chord is zero.
    """
    chord = last - first
    lift = (1 - bulge * bulge) / (4 * bulge)
    centre = (first + last) / 2 + lift[:, None] * np.column_stack([-chord[:, 1], chord[:, 0]])
    radius = np.hypot(*chord.T) * (1 + bulge * bulge) / (4 * np.abs(bulge))
    start = np.arctan2(first[:, 1] - centre[:, 1], first[:, 0] - centre[:, 0])
    return np.column_stack([centre, radius, start, 4 * np.arctan(bulge)])


def conic_points(
    centre: NDArray[np.float64], u: NDArray[np.float64], v: NDArray[np.float64], t0: float, t1: float
) -> NDArray[np.float64]:
    """Points along a conic, close together, from t0 to t1."""
    count = max(8, int(abs(t1 - t0) / (2 * pi) * FACETS_PER_TURN) + 1)
    t = np.linspace(t0, t1, count + 1)[:, None]
    points: NDArray[np.float64] = centre + np.cos(t) * u + np.sin(t) * v
    return points
