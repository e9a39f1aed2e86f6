"""Bearing, washers and notched heels."""

from __future__ import annotations

from math import cos, radians

import pytest

from trussio.errors import UsageError
from trussio.timber import bearing


@pytest.mark.parametrize(("angle", "value"), [(0.0, 2000.0), (90.0, 600.0), (45.0, 2 * 2000 * 600 / 2600)])
def test_hankinson_at_its_ends_and_middle(angle: float, value: float) -> None:
    assert bearing.hankinson(2000.0, 600.0, angle).value == pytest.approx(value)


@pytest.mark.parametrize("angle", [-0.1, 90.1, float("nan")])
def test_an_angle_that_is_none(angle: float) -> None:
    with pytest.raises(UsageError) as fault:
        bearing.hankinson(2000.0, 600.0, angle)
    assert fault.value.do == "Enter the acute angle between the load and the grain."


@pytest.mark.parametrize(
    ("length", "to_end", "Cb"), [(3.0, 3.0, 1.125), (3.0, 2.9, 1.0), (6.0, 12.0, 1.0), (5.99, 12.0, 6.365 / 5.99)]
)
def test_short_bearings_away_from_the_end_gain(length: float, to_end: float, Cb: float) -> None:
    assert bearing.bearing_area_factor(length=length, to_end=to_end).value == pytest.approx(Cb)


@pytest.mark.parametrize(("force", "verdict"), [(6250.0, "met"), (6251.0, "not met")])
def test_bearing_across_the_grain(force: float, verdict: str) -> None:
    assert bearing.bearing_perpendicular_check(force=force, area=10.0, Fc_perp=625.0).verdict == verdict
    assert bearing.bearing_perpendicular_check(force=force, area=10.0, Fc_perp=500.0, Cb=1.25).verdict == verdict


@pytest.mark.parametrize(("force", "verdict"), [(20000.0, "met"), (20001.0, "not met")])
def test_bearing_at_an_angle(force: float, verdict: str) -> None:
    check = bearing.bearing_at_angle_check(force=force, area=10.0, Fc_star=2000.0, Fc_perp=625.0, angle=0.0)
    assert check.verdict == verdict


def test_washers() -> None:
    assert bearing.washer_area(hole=1.0, side=3.0).value == pytest.approx(9 - 0.7853981634)
    assert bearing.washer_area(hole=1.0, diameter=3.0).value == pytest.approx(0.7853981634 * 8)
    with pytest.raises(UsageError, match="leaves nothing of the washer"):
        bearing.washer_area(hole=3.0, diameter=3.0)


@pytest.mark.parametrize(
    ("length", "verdict"),
    [
        pytest.param(10.0, "met", id="ten inches are needed"),
        pytest.param(9.9, "not met", id="a little less"),
    ],
)
def test_the_relish_shears(length: float, verdict: str) -> None:
    check = bearing.relish_check(thrust=6000.0, width=4.0, length=length, notch=1.5, Fv=150.0)
    assert check.verdict == verdict


def test_a_relish_longer_than_eight_notches_gains_nothing() -> None:
    def ratio(length: float) -> float | None:
        return bearing.relish_check(thrust=6000.0, width=4.0, length=length, notch=1.0, Fv=150.0).ratio

    assert ratio(8.0) == ratio(30.0)
    assert (ratio(7.9) or 0.0) > (ratio(8.0) or 0.0)


def test_a_notched_heel() -> None:
    bearing_on_notch, relish, tie = bearing.notched_heel_checks(
        compression=10000.0,
        slope=30.0,
        width=6.0,
        notch=2.0,
        tie_depth=8.0,
        relish=12.0,
        Fc_star=1150.0,
        Fc_perp=625.0,
        Fv=170.0,
        Ft=1000.0,
        Fb_star=1500.0,
    )
    thrust = 10000 * cos(radians(30))
    assert bearing_on_notch.demand == pytest.approx(10000 * cos(radians(30)) / 12)
    assert relish.demand == pytest.approx(thrust / 72)
    expected = thrust / 36 / 1000 + thrust * 1.0 / (6 * 36 / 6) / 1500
    assert tie.ratio == pytest.approx(expected)
    assert tie.interaction
