"""Axes, arcs and Gauss sums against formulas that do not share a line with them."""

from __future__ import annotations

from math import asin, cos, pi, sin, sqrt

import numpy as np
import pytest

from tests.trusses import PIN, build, stick
from trussio.model.truss import Curve, MemberId
from trussio.recheck.axes import CURVED, STRAIGHT, at, gauss, read_axes


@pytest.mark.parametrize("count", [STRAIGHT, CURVED])
def test_gauss_sums_are_exact_for_polynomials(count: int) -> None:
    points, weights, upto = gauss(count)
    assert float(weights.sum()) == pytest.approx(1.0, rel=1e-14)
    for power in range(2 * count):
        assert float(weights @ points**power) == pytest.approx(1 / (power + 1), rel=1e-13)
    for power in range(count):
        assert np.abs(upto @ points**power - points ** (power + 1) / (power + 1)).max() < 1e-14


def test_four_points_do_not_do_for_more() -> None:
    points, weights, _ = gauss(STRAIGHT)
    assert float(weights @ points**8) != pytest.approx(1 / 9, rel=1e-5)


def test_gauss_sums_are_right_for_a_half_circle() -> None:
    points, weights, upto = gauss(CURVED)
    assert float(weights @ (np.sin(pi * points) ** 2 * points)) == pytest.approx(0.25, rel=1e-14)
    assert np.abs(upto @ np.cos(pi * points) - np.sin(pi * points) / pi).max() < 1e-14


@pytest.mark.parametrize(
    ("says", "to", "bows", "middle"),
    [
        ("to the right, bowing up, the middle is above", (8.0, 0.0), "up", (4.0, 2.0)),
        ("to the right, bowing down, the middle is below", (8.0, 0.0), "down", (4.0, -2.0)),
        ("to the left, bowing up, local +y is down, the middle at -y", (-8.0, 0.0), "up", (4.0, -2.0)),
        ("to the left, bowing down, the middle at +y", (-8.0, 0.0), "down", (4.0, 2.0)),
    ],
)
def test_the_middle_of_an_arc(says: str, to: tuple[float, float], bows: str, middle: tuple[float, float]) -> None:
    curve = Curve(radius=5.0, bows="up" if bows == "up" else "down")  # rise 2 over a chord of 8: 5 - 3
    truss = build(
        joints={"A": (0.0, 0.0), "B": to},
        members={"arc": stick("A", "B", curve=curve)},
        supports={"A": PIN, "B": PIN},
        cases={},
    )
    axes = read_axes(truss)
    x, y, angle = at(axes, np.array([0]), np.array([[0.0, axes.length[0] / 2, axes.length[0]]]))
    assert (x[0, 1], y[0, 1]) == pytest.approx(middle), says
    assert (x[0, 2], y[0, 2]) == pytest.approx((8.0, 0.0), abs=1e-14)
    assert abs(angle[0, 0]) == pytest.approx(asin(4 / 5))
    assert angle[0, 1] == pytest.approx(0.0, abs=1e-15)


def test_a_flat_arc_keeps_its_digits() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (8.0, 0.0)},
        members={"arc": stick("A", "B", curve=Curve(radius=4e6, bows="up"))},
        supports={"A": PIN, "B": PIN},
        cases={},
    )
    axes = read_axes(truss)
    _, y, _ = at(axes, np.array([0]), np.array([[axes.length[0] / 2]]))
    assert y[0, 0] == pytest.approx(8.0**2 / 8 / 4e6, rel=1e-11)


def test_a_half_circle_and_places_along_a_stick() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2.0, 0.0), "C": (2.0 + sqrt(2), sqrt(2))},
        members={"arc": stick("A", "B", "C", curve=Curve(radius=1.0, bows="up"))},
        supports={"A": PIN, "C": PIN},
        cases={},
    )
    axes = read_axes(truss)
    assert axes.length == pytest.approx([pi, pi])
    assert axes.begins == pytest.approx([0.0, pi])
    assert axes.stick == {MemberId("arc"): pytest.approx(2 * pi)}
    x, y, _ = at(axes, np.array([0]), np.array([[pi / 3]]))
    assert (x[0, 0], y[0, 0]) == pytest.approx((1 - cos(pi / 3), sin(pi / 3)))
