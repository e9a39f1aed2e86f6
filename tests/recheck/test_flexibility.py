"""Flexibility of straight and curved segments against closed forms and Simpson's rule."""

from __future__ import annotations

from math import cos, pi, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.trusses import CLAMP, along, build, stick
from trussio.errors import CannotAnalyseError
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, Truss
from trussio.recheck.flexibility import flexibility, softness_of
from trussio.recheck.reading import Reading, read

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

E, G, AREA, INERTIA, SHEAR = 1e4, 600.0, 1000.0, 1e6, 800.0


def simpson(function: Callable[[float], float], start: float, end: float, panels: int = 2000) -> float:
    """The integral of a smooth function: Simpson's rule, whose error falls with the fourth power of the step."""
    step = (end - start) / (2 * panels)
    values = [function(start + index * step) for index in range(2 * panels + 1)]
    return step / 3 * (values[0] + values[-1] + 4 * sum(values[1:-1:2]) + 2 * sum(values[2:-1:2]))


def clamped(curve: Curve | None, load: float = 0.0) -> Truss:
    return build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"s": stick("A", "B", curve=curve, fixed=("first", "last"))},
        supports={"A": CLAMP, "B": CLAMP},
        cases={"P": (along("s", load),)},
        section=Section(area=AREA, inertia=INERTIA, shear_area=SHEAR),
        material=Material(E=E, G=G),
    )


def flexible(truss: Truss) -> tuple[Reading, NDArray[np.float64], NDArray[np.float64]]:
    reading = read(truss, idealisation="continuous")
    block, start = flexibility(reading.axes, reading.loads, softness_of(truss, np.array([True])))
    return reading, block[0], start[0, 0]


def test_a_straight_segment_by_its_formulas() -> None:
    length, load = 2000.0, 3.0
    _, block, start = flexible(clamped(None, load))
    bend, shear = length / (6 * E * INERTIA), 1 / (G * SHEAR * length)
    expected = [
        [length / (E * AREA), 0, 0],
        [0, 2 * bend + shear, bend - shear],
        [0, bend - shear, 2 * bend + shear],
    ]
    assert block == pytest.approx(np.array(expected), rel=1e-13, abs=1e-20)
    turn = (
        load * length**3 / (24 * E * INERTIA)
    )  # a simple beam's end rotation; shear turns neither end against the chord
    assert start == pytest.approx([0.0, turn, turn], rel=1e-12, abs=1e-12 * turn)


@pytest.mark.parametrize("radius", [1000.0, 1001.0, 1500.0, 40000.0])
@pytest.mark.parametrize("bows", ["up", "down"])
def test_an_arc_by_simpsons_rule(radius: float, bows: str) -> None:
    load = 3.0
    reading, block, start = flexible(clamped(Curve(radius=radius, bows="up" if bows == "up" else "down"), load))
    chord, length = 2000.0, float(reading.axes.length[0])
    half = length / (2 * radius)
    up = 1.0 if bows == "up" else -1.0

    def states(a: float) -> tuple[tuple[float, ...], ...]:
        """Axial force, shear, moment of each unknown at the angle a from the middle, and under the load."""
        x, y = chord / 2 + radius * sin(a), up * radius * (cos(a) - cos(half))
        tangent = (cos(a), -up * sin(a))
        done = radius * (a + half)  # length so far: the load on it is load * done
        first = load * length / 2
        push = load * done - first  # of what lies beyond, upwards
        moment_of_load = load * (radius * radius * (cos(half) - cos(a)) + chord / 2 * done)
        bent = first * x - load * done * x + moment_of_load
        return (
            (tangent[0], tangent[1], y),
            (tangent[1] / chord, -tangent[0] / chord, 1 - x / chord),
            (-tangent[1] / chord, tangent[0] / chord, x / chord),
            (push * tangent[1], -push * tangent[0], bent),
        )

    def together(one: int, other: int) -> float:
        def strained(a: float) -> float:
            first, second = states(a)[one], states(a)[other]
            soft = (1 / (E * AREA), 1 / (G * SHEAR), 1 / (E * INERTIA))
            return radius * sum(f * s * c for f, s, c in zip(first, second, soft, strict=True))

        return simpson(strained, -half, half)

    assert (reading.axes.chord[0], length) == pytest.approx((chord, 2 * radius * half))
    for one in range(3):
        scale = block[one, one]
        for other in range(3):
            assert block[one, other] == pytest.approx(together(one, other), rel=1e-10, abs=1e-10 * scale)
        assert start[one] == pytest.approx(together(one, 3), rel=1e-9, abs=1e-9 * abs(start[1]))
    if radius == 1000.0:
        assert length == pytest.approx(pi * 1000.0)


def test_all_that_is_missing_is_told_at_once() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"s": stick("A", "B", fixed=("first", "last")), "t": stick("A", "B")},
        supports={"A": CLAMP, "B": CLAMP},
        cases={},
        section=Section(area=AREA),
        material=Material(),
    )
    with pytest.raises(CannotAnalyseError, match="s lacks an E and an inertia") as caught:
        softness_of(truss, np.array([True, False]))
    assert caught.value.code == "property-missing"
    assert [fault.where for fault in caught.value.faults] == ["/members/s", "/members/t"]
    assert caught.value.faults[1].what == "t lacks an E."
