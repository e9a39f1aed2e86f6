"""The rules by themselves, with the point exactly on each limit; tables as marked in the sources they name."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trussio.loads.asce_snow import (
    drift_height,
    drift_height_by_wind,
    flat_roof_snow,
    full_snow_slope,
    minimum_snow,
    rain_on_snow,
    slope_factor,
    snow_density,
)
from trussio.loads.curved_roof import CurvedSide, balanced, unbalanced, unbalanced_required, valley
from trussio.loads.eurocode_snow import arch_coefficient, pitched_coefficient
from trussio.loads.pitched_roof import FLATTEST, STEEPEST
from trussio.loads.pitched_roof import unbalanced_required as gable_unbalanced_required
from trussio.loads.roof_live import arch_rise_per_foot, area_factor, roof_live_load, slope_reduction
from trussio.loads.step_drift import governing_height, step_drift


def warm(slope: float) -> float:
    """Cs of a warm roof that is not slippery."""
    return slope_factor(slope, thermal=1.0)


@pytest.mark.parametrize(
    ("thermal", "slippery", "start"),
    [
        (0.85, False, 30.0),
        (1.0, False, 30.0),
        (1.0, True, 5.0),
        (1.01, False, 37.5),
        (1.1, True, 10.0),
        (1.19, False, 37.5),
        (1.2, False, 45.0),
        (1.3, True, 15.0),
    ],
)
def test_full_snow_lies_up_to_a_slope_and_none_from_seventy_degrees(
    *, thermal: float, slippery: bool, start: float
) -> None:
    assert full_snow_slope(thermal, slippery=slippery) == start

    def cs(slope: float) -> float:
        return slope_factor(slope, thermal=thermal, slippery=slippery)

    assert cs(0.0) == cs(start) == 1.0
    assert cs((start + 70) / 2) == pytest.approx(0.5)
    assert cs(70.0) == cs(90.0) == 0.0
    assert cs(70.0 - 1e-6) == pytest.approx(1e-6 / (70 - start))
    assert cs(start + 1e-6) == pytest.approx(1.0, abs=1e-6)
    assert cs(start + 1e-6) < 1.0


def test_the_printing_fault_of_an_older_figure_is_not_followed() -> None:
    """6 on 12, Ct = 1.1, slippery: 0.72 by the equation where some copies of ASCE 7-05 plot about 0.8."""
    assert slope_factor(26.565, thermal=1.1, slippery=True) == pytest.approx(0.72, abs=0.005)


@given(st.floats(0, 90), st.floats(0, 90), st.sampled_from([0.85, 1.0, 1.1, 1.2, 1.3]), st.booleans())
def test_a_steeper_roof_never_holds_more(one: float, other: float, thermal: float, slippery: bool) -> None:  # noqa: FBT001 - hypothesis names it
    low, high = sorted((one, other))
    shallow, steep = (slope_factor(s, thermal=thermal, slippery=slippery) for s in (low, high))
    assert 0.0 <= steep <= shallow <= 1.0


@pytest.mark.parametrize(
    ("ground", "importance", "least"), [(10.0, 1.2, 12.0), (20.0, 1.0, 20.0), (20.1, 1.0, 20.0), (50.0, 0.8, 16.0)]
)
def test_the_minimum_load_stops_growing_at_twenty(ground: float, importance: float, least: float) -> None:
    assert minimum_snow(ground, importance=importance) == pytest.approx(least)


def test_seven_twenty_two_has_no_importance_factor_and_a_cap_by_risk() -> None:
    assert flat_roof_snow(40.0, exposure=1, thermal=1, importance=1.2, edition="asce7-22") == pytest.approx(28.0)
    assert flat_roof_snow(40.0, exposure=1, thermal=1, importance=1.2) == pytest.approx(33.6)
    assert minimum_snow(50.0, edition="asce7-22", risk="II") == 30.0
    assert minimum_snow(30.0, edition="asce7-22", risk="II") == 30.0
    assert minimum_snow(29.0, edition="asce7-22", risk="IV") == 29.0


def test_snow_weighs_no_more_than_thirty_pounds() -> None:
    assert snow_density(0.0) == 14.0
    assert snow_density(16 / 0.13) == pytest.approx(30.0)
    assert snow_density(200.0) == 30.0


def test_drifts_have_a_least_fetch_and_the_root_of_importance_in_seven_sixteen_alone() -> None:
    assert drift_height(30.0, 5.0) == drift_height(30.0, 20.0) < drift_height(30.0, 20.1)
    ten = drift_height(30.0, 50.0, importance=1.2, edition="asce7-10")
    assert ten == drift_height(30.0, 50.0, edition="asce7-10")
    assert drift_height(30.0, 50.0, importance=1.2) == pytest.approx(ten * sqrt(1.2))
    assert drift_height(0.0, 500.0) == 0.0
    assert drift_height(0.1, 20.0) >= 0.0
    assert drift_height_by_wind(30.0, 40.0, 0.5) > drift_height_by_wind(30.0, 40.0, 0.3)


@pytest.mark.parametrize(
    ("ground", "slope", "load"), [(20.0, 0.99, 5.0), (20.0, 1.0, 0.0), (20.1, 0.1, 0.0), (0.0, 0.1, 0.0)]
)
def test_rain_counts_on_little_snow_and_nearly_flat_roofs(ground: float, slope: float, load: float) -> None:
    """W = 50 ft, so that the limit lies at one degree."""
    assert rain_on_snow(ground, slope, 50.0) == load


@pytest.mark.parametrize(
    ("line", "asked"), [(9.99, False), (10.0, True), (15.0, True), (60.0, True), (60.01, False)]
)
def test_unbalanced_snow_on_a_curve_is_asked_for_from_ten_to_sixty_degrees(*, line: float, asked: bool) -> None:
    assert unbalanced_required(line) is asked


@pytest.mark.parametrize(
    ("slope", "asked"),
    [(2.37, False), (FLATTEST, True), (2.39, True), (30.2, True), (STEEPEST, True), (30.3, False)],
)
def test_unbalanced_snow_on_a_gable_is_asked_for_from_half_to_seven_on_twelve(
    *, slope: float, asked: bool
) -> None:
    assert gable_unbalanced_required(slope) is asked


def load_at(points: list[tuple[float, float]], distance: float) -> float:
    """The load of one side at a distance from the crown, by its last point there or between two."""
    before = [point for point in points if point[0] <= distance]
    after = [point for point in points if point[0] > distance]
    if not after:
        return before[-1][1]
    (x0, a), (x1, b) = before[-1], after[0]
    return a + (b - a) * (distance - x0) / (x1 - x0)


def test_the_classes_of_a_curved_roof_meet_at_thirty_and_at_seventy_degrees() -> None:
    """A whisker to either side of each limit the diagrams are as good as the same."""
    below = CurvedSide(eave=30.0, eave_slope=29.999999, at_30=None, at_70=None)
    upon = CurvedSide(eave=30.0, eave_slope=30.0, at_30=30.0, at_70=None)
    steep = CurvedSide(eave=50.0, eave_slope=69.999999, at_30=25.0, at_70=None)
    free = CurvedSide(eave=50.0, eave_slope=70.0, at_30=25.0, at_70=50.0)
    for one, other in ((below, upon), (steep, free)):
        for distance in (0.0, 12.5, 24.9, 29.9, 37.0, 49.9):
            if distance < one.eave:
                pairs = [
                    (balanced(one, 28.0, warm), balanced(other, 28.0, warm)),
                    (unbalanced(one, 28.0, warm, exposure=0.9), unbalanced(other, 28.0, warm, exposure=0.9)),
                ]
                for here, there in pairs:
                    assert load_at(here, distance) == pytest.approx(load_at(there, distance), abs=1e-4)


def test_a_wall_or_roof_near_the_eave_keeps_the_load_of_the_thirty_degree_point() -> None:
    side = CurvedSide(eave=40.0, eave_slope=50.0, at_30=30.0, at_70=None)
    assert unbalanced(side, 20.0, warm, exposure=1.0)[-1][1] == pytest.approx(20.0)
    assert unbalanced(side, 20.0, warm, exposure=1.0, near_eave=True)[-1] == (40.0, 40.0)
    assert valley(side, 20.0, exposure=0.8) == [(0.0, 10.0), (40.0, 50.0)]


@pytest.mark.parametrize(
    ("area", "factor"), [(0.0, 1.0), (200.0, 1.0), (201.0, 0.999), (400.0, 0.8), (600.0, 0.6), (2000.0, 0.6)]
)
def test_roof_live_load_falls_with_area(area: float, factor: float) -> None:
    assert area_factor(area) == pytest.approx(factor)


@pytest.mark.parametrize(("rise", "factor"), [(0.0, 1.0), (4.0, 1.0), (8.0, 0.8), (12.0, 0.6), (20.0, 0.6)])
def test_roof_live_load_falls_with_slope(rise: float, factor: float) -> None:
    assert slope_reduction(rise) == pytest.approx(factor)


def test_roof_live_load_keeps_between_twelve_and_twenty() -> None:
    assert roof_live_load(100.0, 1.0) == 20.0
    assert roof_live_load(5000.0, 20.0) == 12.0
    assert arch_rise_per_foot(8.0385, 60.0) == pytest.approx(4.287, abs=5e-4)


@pytest.mark.parametrize(("slope", "mu"), [(0.0, 0.8), (30.0, 0.8), (45.0, 0.4), (60.0, 0.0), (75.0, 0.0)])
def test_the_coefficient_of_a_pitched_roof(slope: float, mu: float) -> None:
    assert pitched_coefficient(slope) == pytest.approx(mu)
    assert pitched_coefficient(slope, obstructed=True) == 0.8


def test_the_coefficient_of_an_arch_has_a_limit() -> None:
    assert arch_coefficient(0.0, 10.0) == 0.2
    assert arch_coefficient(1.8, 10.0) == pytest.approx(2.0)
    assert arch_coefficient(5.0, 10.0) == 2.0


def test_a_drift_is_cut_off_at_the_step_and_spreads() -> None:
    whole = step_drift(density=20.0, roof_snow=20.0, step=6.0, height=5.0)
    assert (whole.peak, whole.width, whole.height) == (100.0, 20.0, 5.0)
    cut = step_drift(density=20.0, roof_snow=20.0, step=5.0, height=6.0)
    assert (cut.height, cut.width) == (4.0, 32.0)
    assert cut.peak == 80.0
    assert step_drift(density=20.0, roof_snow=20.0, step=1.19, height=6.0).peak == 0.0
    assert step_drift(density=20.0, roof_snow=20.0, step=1.21, height=6.0).peak > 0.0


def test_the_larger_of_windward_and_leeward_counts() -> None:
    assert governing_height(windward=4.0, leeward=2.0, lower=50.0, limited=True) == 3.0
    assert governing_height(windward=1.0, leeward=5.0, lower=5.0, limited=True) == 3.0
    assert governing_height(windward=1.0, leeward=5.0, lower=5.0, limited=False) == 5.0
    assert governing_height(windward=4.0, leeward=None, lower=50.0, limited=True) == 3.0
