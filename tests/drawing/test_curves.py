"""Circles through points, against an outside solver and against circles that are known."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
from scipy.optimize import least_squares  # type: ignore[import-untyped]  # it ships no types

from trussio.drawing.curves import bulge_arcs, circle_through, conic_points, fit_circle

RADIUS, CENTRE = 723.0, (360.0, -627.0)


def along(start: float, end: float, count: int) -> np.ndarray:
    """Points on the known circle, angles in degrees."""
    turn = np.radians(np.linspace(start, end, count))
    return np.column_stack([CENTRE[0] + RADIUS * np.cos(turn), CENTRE[1] + RADIUS * np.sin(turn)])


@pytest.mark.parametrize(("start", "end"), [(60, 120), (120, 60), (89, 91), (0, 350), (90, 271)])
def test_points_of_a_circle_give_it_back(start: float, end: float) -> None:
    fit = fit_circle(along(start, end, 12))
    assert fit is not None
    assert fit.centre == pytest.approx(CENTRE, abs=1e-6)
    assert fit.radius == pytest.approx(RADIUS, abs=1e-6)
    assert fit.sweep == pytest.approx(radians(end - start))
    assert fit.residual < 1e-6
    assert fit.sagitta == pytest.approx(RADIUS * (1 - cos(min(abs(radians(end - start)) / 2, pi / 2))))


@pytest.mark.parametrize("seed", range(5))
def test_the_nearest_circle_is_that_of_an_outside_solver(seed: int) -> None:
    points = along(60, 120, 30) + np.random.default_rng(seed).normal(0, 0.5, (30, 2))
    outside = least_squares(
        lambda given: np.hypot(*(points - given[:2]).T) - given[2], x0=[*CENTRE, RADIUS], xtol=1e-14, ftol=1e-14
    )
    fit = fit_circle(points)
    assert fit is not None
    assert (*fit.centre, fit.radius) == pytest.approx(tuple(outside.x), rel=1e-6)
    assert fit.residual == pytest.approx(float(np.abs(outside.fun).max()), rel=1e-5)


@pytest.mark.parametrize("points", [[(0, 0), (1, 1)], [(0, 0), (1, 1), (2, 2), (3, 3)], [(5, 5), (5, 5), (5, 5)]])
def test_a_line_has_no_circle(points: list[tuple[float, float]]) -> None:
    assert fit_circle(np.array(points, dtype=float)) is None


def test_three_points_have_one_circle_and_a_line_none() -> None:
    found = circle_through(along(60, 120, 3))
    assert found is not None
    assert found[0] == pytest.approx(CENTRE)
    assert found[1] == pytest.approx(RADIUS)
    assert circle_through(np.array([(0.0, 0.0), (1.0, 1.0), (3.0, 3.0)])) is None


def test_a_bulge_of_one_is_half_a_circle() -> None:
    ((x, y, radius, start, sweep),) = bulge_arcs(np.array([(0.0, 0.0)]), np.array([(4.0, 0.0)]), np.array([1.0]))
    assert (x, y, radius, sweep) == pytest.approx((2.0, 0.0, 2.0, pi))
    assert abs(start) == pytest.approx(pi)


def test_points_of_a_conic_lie_on_it() -> None:
    points = conic_points(np.array([1.0, 2.0]), np.array([5.0, 0.0]), np.array([0.0, 2.0]), 0.3, 2.0)
    assert ((points[:, 0] - 1) ** 2 / 25 + (points[:, 1] - 2) ** 2 / 4) == pytest.approx(np.ones(len(points)))
    assert points[0] == pytest.approx((1 + 5 * cos(0.3), 2 + 2 * sin(0.3)))
