"""Sums along a piece of a segment: values at a few points stand for everything between them.

Terms: the points lie at `at` on the way from 0 to 1, both ends among them, closer together towards the ends.
`upto` gives the integral from 0 to each point of what has given values at the points, and `slope` its derivative
there, exact for polynomials of a degree below the number of points; `weights` serves to read between the points.

Sources, cited from memory: C. W. Clenshaw and A. R. Curtis, A method for numerical integration on an automatic
computer, Numer. Math. 2 (1960); J.-P. Berrut and L. N. Trefethen, Barycentric Lagrange interpolation, SIAM Review
46 (2004).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats


class Rule(NamedTuple):
    """Points `at` (q,), matrices `upto` and `slope` (q, q), and the `weights` (q,) of interpolation."""

    at: Floats
    upto: Floats
    slope: Floats
    weights: Floats


def rule(points: int) -> Rule:
    """The rule of so many points, two or more."""
    angles = np.pi * np.arange(points) / (points - 1)
    at = np.sin(angles / 2) ** 2
    degrees = np.arange(points + 1)
    # Chebyshev polynomials T_m at x = 2 at - 1 and their integrals, which for m > 1 are
    # T_(m+1) / (2 m + 2) - T_(m-1) / (2 m - 2).
    values = np.cos(np.outer(np.pi - angles, degrees))
    integrals = values[:, :points].copy()
    integrals[:, 0], integrals[:, 1] = values[:, 1], values[:, 1] ** 2 / 2
    m = degrees[2:points]
    integrals[:, 2:] = values[:, 3:] / (2 * m + 2) - values[:, 1:-2] / (2 * m - 2)
    upto = (integrals - integrals[0]) @ np.linalg.inv(values[:, :points]) / 2
    weights = np.where(np.arange(points) % 2 == 0, 1.0, -1.0)
    weights[[0, -1]] /= 2
    apart = at[:, None] - at + np.eye(points)
    slope = weights / weights[:, None] / apart
    np.fill_diagonal(slope, 0.0)
    np.fill_diagonal(slope, -slope.sum(axis=1))
    return Rule(at=at, upto=upto, slope=slope, weights=weights)


def between(rule: Rule, values: Floats, place: Floats) -> Floats:
    """What has `values` (k, q) at the points, read at one `place` (k,) each."""
    away = place[:, None] - rule.at
    hit = away == 0.0
    shares = rule.weights / np.where(hit, 1.0, away)
    shares = np.where(hit.any(axis=1)[:, None], hit, shares)
    return np.asarray((shares * values).sum(axis=1) / shares.sum(axis=1), dtype=np.float64)
