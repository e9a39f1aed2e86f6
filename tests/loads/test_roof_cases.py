"""Which cases a roof gets, and what lies where, from its surveyed line: ASCE 7 and EN 1991-1-3."""

from __future__ import annotations

from dataclasses import replace
from math import atan, degrees, radians, sin, tan

import pytest

from tests.loads.roofs import EUROPE, ONES, at, bowstring, cases, gable, roof, told
from trussio.errors import CannotAnalyseError
from trussio.loads.generate import generate
from trussio.loads.roof_line import roof_line
from trussio.loads.sources import MEMORY
from trussio.model.loading import RunId
from trussio.model.site import AreaLoad, Edition, Site, Step, Surface
from trussio.model.truss import MemberId, Truss

SITE = replace(ONES, ground_snow=40.0)
"""pf = 28 psf."""
PARTS = {f"S-part-{name}" for name in ("left", "right", "middle", "ends", "odd", "even")}


def with_eave_slope(angle: float, site: Site = SITE, span: float = 60.0) -> Truss:
    """A circular roof that is as steep at its eaves."""
    radius = span / 2 / sin(radians(angle))
    return bowstring(site, span=span, rise=radius * (1 - (1 - sin(radians(angle)) ** 2) ** 0.5))


def test_a_bowstring_of_radius_equal_to_span_is_as_steep_as_thirty_degrees_at_the_heel() -> None:
    truss = bowstring(SITE)
    made = generate(truss)
    assert {str(run) for run in made.loads.cases} == {"Lr", "S", "S-left", "S-right"} | PARTS
    slopes = {line.symbol: line.value for line in told(truss, "S").lines}
    assert slopes["eave slope, left"] == pytest.approx(30.0, abs=1e-9)
    assert [(x, load) for x, load in told(truss, "S-right").diagram] == [
        (0.0, 0.0),
        (360.0, 0.0),
        (360.0, pytest.approx(14.0)),
        (720.0, pytest.approx(56.0)),
    ]


def test_the_surveyed_curve_decides_and_not_the_nominal_rise() -> None:
    """A parabola of the same rise is 28.2 degrees at the eave, and its facets are less."""
    rise = 8.038475772933681
    places = [(x, 4 * rise * x * (60 - x) / 60**2) for x in (7.5 * k for k in range(9))]
    truss = roof(places, SITE)
    slopes = {line.symbol: line.value for line in told(truss, "S").lines}
    facet = degrees(atan((places[1][1] - places[0][1]) / 7.5))
    assert slopes["eave slope, left"] == pytest.approx(facet)
    assert facet < degrees(atan(4 * rise / 60)) < 30.0
    assert told(truss, "S-left").diagram[0][1] == pytest.approx(56.0)


@pytest.mark.parametrize("angle", [30.0, 30.001, 41.0, 69.999, 70.0, 75.0])
def test_points_lie_where_the_circle_becomes_so_steep(angle: float) -> None:
    truss = with_eave_slope(angle)
    radius = 360.0 / sin(radians(angle))
    near = at(truss, "S-right", 360.0 + radius * 0.5)
    assert near[0] == pytest.approx(56.0)
    eave = told(truss, "S-right").diagram[-1][1]
    assert eave == pytest.approx(56.0 * max(0.0, min(1.0, (70 - angle) / 40)), abs=1e-6)
    if angle > 70:
        free = 360.0 + radius * sin(radians(70.0))
        assert at(truss, "S", free) == [pytest.approx(0.0)]
        assert at(truss, "S", 720.0) == [0.0]


@pytest.mark.parametrize(("line", "asked"), [(9.99, False), (10.0, True), (10.01, True)])
def test_flat_curves_get_the_minimum_and_no_unbalanced_load(*, line: float, asked: bool) -> None:
    truss = bowstring(SITE, rise=30 * tan(radians(line)))
    assert ({"S-left", "S-right"} <= cases(truss)) is asked
    assert ("S-min" in cases(truss)) is (not asked)
    words = generate(truss).loads.basis
    assert words is not None
    assert any("outside 10 to 60" in line for line in words.not_evaluated) is (not asked)


def test_an_arch_beyond_sixty_degrees_is_not_asked_for_unbalanced_snow() -> None:
    """Facets of a steep pointed vault whose line from eave to crown is at 62 degrees."""
    slopes = (55.0, 61.0, 66.0)
    places, x, y = [(0.0, 0.0)], 0.0, 0.0
    for slope in reversed(slopes):
        x, y = x + 5, y + 5 * tan(radians(slope))
        places.append((x, y))
    truss = roof([*places, *[(2 * x - a, b) for a, b in reversed(places[:-1])]], SITE)
    assert atan(y / x) > radians(60)
    assert "S-left" not in cases(truss)
    assert "S" in cases(truss)


def test_vaults_beside_each_other_keep_all_snow_and_fill_their_valleys() -> None:
    truss = with_eave_slope(50.0, replace(SITE, multiple_vaults=True, exposure_factor=0.8))
    assert [load for _, load in told(truss, "S").diagram] == pytest.approx([22.4, 22.4])
    assert [load for _, load in told(truss, "S-valleys").diagram] == pytest.approx([56.0, 11.2, 56.0])
    assert "7.4.4" in told(truss, "S").clause


def test_a_roof_within_three_feet_of_the_eave_holds_the_drift_there() -> None:
    truss = with_eave_slope(50.0, replace(SITE, near_eave=("right",)))
    assert told(truss, "S-right").diagram[-1] == pytest.approx((720.0, 56.0))
    assert told(truss, "S-left").diagram[0] == pytest.approx((0.0, 28.0))


def test_a_crown_off_the_middle_gives_each_side_its_own_slope() -> None:
    places = [(0.0, 0.0), (20.0, 8.0), (60.0, 0.0)]
    truss = roof(places, replace(SITE, slippery=True), tops=[(0, 1), (1, 2)])
    left, right = degrees(atan(0.4)), degrees(atan(0.2))
    assert at(truss, "S", 0.0) == [pytest.approx(28 * (70 - left) / 65)]
    assert at(truss, "S", 720.0) == [pytest.approx(28 * (70 - right) / 65)]
    assert len(at(truss, "S", 240.0)) == 2


def test_gables_from_half_to_seven_on_twelve_have_drifts_and_no_patterns() -> None:
    assert cases(gable(SITE, run=30.0, slope=4 / 12)) == {"Lr", "S", "S-left", "S-right"}
    steep = cases(gable(SITE, run=30.0, slope=7.1 / 12))
    assert steep == {"Lr", "S"} | PARTS
    assert cases(gable(SITE, run=30.0, slope=7 / 12)) == {"Lr", "S", "S-left", "S-right"}
    assert cases(gable(SITE, run=30.0, slope=0.4 / 12)) == {"Lr", "S", "S-min"} | PARTS


@pytest.mark.parametrize(("slope", "least"), [(14.99, True), (15.0, False)])
def test_the_minimum_load_is_for_gables_under_fifteen_degrees(*, slope: float, least: bool) -> None:
    assert ("S-min" in cases(gable(SITE, run=30.0, slope=tan(radians(slope))))) is least


def test_a_lean_to_has_no_ridge_to_drift_over() -> None:
    truss = roof([(0.0, 0.0), (10.0, 3.0), (20.0, 6.0)], SITE)
    assert "S-left" not in cases(truss)
    assert PARTS - {"S-part-left", "S-part-right"} <= cases(truss) | {"S-part-odd", "S-part-even"}
    assert at(truss, "S", 0.0) == [pytest.approx(28.0)]


def test_rain_falls_on_little_snow_and_a_nearly_flat_roof() -> None:
    truss = gable(replace(ONES, ground_snow=20.0), run=100.0, slope=tan(radians(1.0)))
    assert told(truss, "S-rain").diagram[0][1] == pytest.approx(19.0)
    assert told(truss, "S-rain").mark == MEMORY


def test_a_roof_of_two_slopes_a_side_is_asked_about() -> None:
    places = [(0.0, 0.0), (10.0, 10.0), (30.0, 14.0), (50.0, 10.0), (60.0, 0.0)]
    with pytest.raises(CannotAnalyseError) as caught:
        generate(roof(places, SITE))
    assert (caught.value.code, caught.value.where) == ("roof-shape", "/site/shape")
    assert "S-left" in cases(roof(places, replace(SITE, shape="curved")))
    assert "S" in cases(roof(places, replace(SITE, shape="pitched")))


def test_sag_and_tape_leave_a_pitched_roof_pitched() -> None:
    places = [(0.0, 0.0), (10.0, 3.9), (20.0, 8.1), (30.0, 12.0), (40.0, 8.2), (50.0, 3.8), (60.0, 0.0)]
    assert cases(roof(places, SITE, tops=[(0, 1, 2, 3), (3, 4, 5, 6)])) == {"Lr", "S", "S-left", "S-right"}


@pytest.mark.parametrize(
    ("site", "where"),
    [
        (replace(SITE, edition="asce7-22", winter_wind=None), "/site/winter_wind"),
        (replace(SITE, ground_snow=None, flat_roof_snow=28.0), "/site/ground_snow"),
        (replace(SITE, edition="asce7-22", thermal_factor=None, thermal="heated"), "/site/thermal_factor"),
        (replace(SITE, exposure_factor=None, exposure="windswept"), "/site/exposure"),
        (replace(SITE, exposure_factor=None, terrain="alaska", exposure="sheltered"), "/site/exposure"),
        (replace(SITE, steps=(Step("left", "taller-roof", 60.0),)), "/site/steps/0"),
    ],
)
def test_what_a_rule_cannot_do_without_is_named(site: Site, where: str) -> None:
    with pytest.raises(CannotAnalyseError) as caught:
        generate(gable(site, run=30.0, slope=0.3))
    assert caught.value.where == where


def test_a_stated_flat_roof_load_goes_before_the_rule() -> None:
    truss = bowstring(replace(SITE, ground_snow=None, flat_roof_snow=33.0))
    assert told(truss, "S").diagram[0][1] == 33.0
    assert [line.source for line in told(truss, "S").lines if line.symbol == "p_f"] == ["stated in the document"]


def test_words_choose_factors_and_silence_assumes_them() -> None:
    words = replace(SITE, exposure_factor=None, thermal_factor=None, importance_factor=None)
    said = replace(words, terrain="C", exposure="sheltered", thermal="freezer", risk="IV")
    lines = {line.symbol: line.value for line in told(bowstring(said), "S").lines}
    assert (lines["C_e"], lines["C_t"], lines["I_s"]) == (1.1, 1.3, 1.2)
    assert lines["p_f"] == pytest.approx(0.7 * 1.1 * 1.3 * 1.2 * 40)
    silent = generate(bowstring(words))
    assert set(silent.assumptions) == {"loads-exposure", "loads-thermal", "loads-risk"}
    lines = {line.symbol: line.value for line in told(bowstring(words), "S").lines}
    assert (lines["C_e"], lines["C_t"], lines["I_s"]) == (1.0, 1.2, 1.0)


def test_what_is_from_memory_says_so_with_the_case() -> None:
    made = generate(bowstring(SITE)).loads.basis
    assert made is not None
    assert all(told.mark == MEMORY for run, told in made.cases.items() if run.startswith("S"))


def test_drifts_lie_against_what_is_taller() -> None:
    site = replace(SITE, ground_snow=25.0, steps=(Step("left", "taller-roof", 48.0, 480.0),))
    truss = gable(site, run=30.0, slope=0.03)
    drift = told(truss, "S-drift-left")
    assert drift.diagram[0][1] == pytest.approx(17.5 + 35.83, abs=0.01)
    assert drift.diagram[1][0] == pytest.approx(12 * 8.308, abs=0.01)
    parapets = (Step("left", "parapet", 36.0), Step("right", "parapet", 36.0))
    both = replace(site, steps=(*(site.steps or ()), *parapets))
    assert {"S-drift-left", "S-drift-left-2", "S-drift-right"} <= cases(gable(both, run=30.0, slope=0.03))


@pytest.mark.parametrize(
    ("edition", "balanced", "block", "reach", "least", "factor"),
    [
        ("asce7-10", 30.24, 19.2237, 8.59161, 24.0, 1.0),
        ("asce7-16", 30.24, 21.0585, 9.41164, 24.0, 1.0),
        ("asce7-22", 25.2, 17.3757, 7.76568, 30.0, 0.7),
    ],
)
def test_editions_side_by_side(
    edition: Edition, *, balanced: float, block: float, reach: float, least: float, factor: float
) -> None:
    """Pg 30 psf, Ct 1.2, Is 1.2 or risk IV of 7-22, 4 on 12 with 30 ft to the ridge: by a pocket calculator.

    hd is 0.43 x 30^(1/3) x 40^(1/4) - 1.5 = 1.86014 ft, times root 1.2 by 7-16; by 7-22 1.68132 ft with W2 0.35.
    gamma is 17.9 pcf, S is 3: the block is hd gamma / root 3 over 8/3 hd root 3.
    """
    newest = edition == "asce7-22"
    site = replace(
        ONES,
        edition=edition,
        ground_snow=30.0,
        thermal_factor=1.2,
        importance_factor=None if newest else 1.2,
        risk="IV" if newest else None,
        winter_wind=0.35 if newest else None,
    )
    roofed = gable(site, run=30.0, slope=4 / 12)
    assert at(roofed, "S", 0.0) == pytest.approx([balanced])
    points = [value for point in told(roofed, "S-right").diagram for value in point]
    ridge, toe = 360.0, 360.0 + 12 * reach
    full = balanced + block
    swept = [0.0, 0.3 * balanced, ridge, 0.3 * balanced]
    assert points == pytest.approx([*swept, ridge, full, toe, full, toe, balanced, 720.0, balanced], rel=1e-5)
    low = gable(site, run=30.0, slope=0.02)
    assert at(low, "S-min", 0.0) == pytest.approx([least])
    dead = Surface(kind="roof", role="top-chord", dead={"boards": AreaLoad(3.0)})
    combined = generate(replace(roofed, surfaces={"roof": dead})).loads.combinations
    run = RunId("S-right")
    assert {by[run] for by in combined.values() if run in by} == {factor}


@pytest.mark.parametrize(
    ("slope", "slippery", "asked"),
    [(9.462, None, False), (9.463, None, True), (1.193, True, False), (1.194, True, True), (30.0, False, True)],
)
def test_snow_slides_from_what_is_steep_enough(slope: float, *, slippery: bool | None, asked: bool) -> None:
    """2 on 12 is 9.462 degrees, 1/4 on 12 is 1.1935; 0.4 pf W over 15 ft: 0.4 x 17.5 x 24 / 15 = 11.2 psf."""
    step = Step("right", "taller-roof", 48.0, 480.0, slope=slope, run=288.0, slippery=slippery)
    made = gable(replace(SITE, ground_snow=25.0, steps=(step,)), run=30.0, slope=0.03)
    assert ("S-slide-right" in cases(made)) is asked
    if asked:
        slid = told(made, "S-slide-right")
        points = [value for point in slid.diagram for value in point]
        assert points == pytest.approx([0.0, 17.5, 540.0, 17.5, 540.0, 28.7, 720.0, 28.7])
        assert (slid.clause, slid.mark) == ("ASCE 7-16 7.9", MEMORY)
        left = replace(SITE, ground_snow=25.0, steps=(step._replace(side="left"),))
        other = told(gable(left, run=30.0, slope=0.03), "S-slide-left").diagram
        points = [value for point in other for value in point]
        assert points == pytest.approx([0.0, 28.7, 180.0, 28.7, 180.0, 17.5, 720.0, 17.5])


def test_snow_that_may_slide_and_is_not_reckoned_with_is_told() -> None:
    step = Step("left", "taller-roof", 48.0, 480.0)
    site = replace(SITE, ground_snow=25.0, steps=(step, Step("right", "parapet", 36.0)))
    said = "Snow sliding down from the taller roof on the left"

    def left_out(site: Site) -> list[str]:
        made = generate(gable(site, run=30.0, slope=0.03)).loads.basis
        assert made is not None
        return [why for why in made.not_evaluated if "sliding" in why]

    assert left_out(site) == [f"{said}: its slope and run are not stated (0 where it sheds nothing to this side)."]
    level = replace(site, steps=(step._replace(slope=0.0, run=0.0),))
    assert left_out(level) == []
    newest = replace(level, edition="asce7-22", winter_wind=0.3, steps=(step._replace(slope=40.0, run=90.0),))
    assert left_out(newest) == [f"{said}: the rule of ASCE 7-22 is not here."]


def test_a_drift_wider_than_the_roof_ends_at_the_other_eave() -> None:
    site = replace(SITE, ground_snow=60.0, steps=(Step("right", "taller-roof", 400.0, 6000.0),))
    truss = gable(site, run=8.0, slope=0.03)
    diagram = told(truss, "S-drift-right").diagram
    assert (diagram[0][0], diagram[-1][0]) == (0.0, 192.0)
    assert diagram[-1][1] > diagram[0][1] > 42.0


def test_europe_arches() -> None:
    site = replace(EUROPE, ground_snow=1.0)
    truss = bowstring(site, span=20.0, units="si")
    mu = 0.2 + 10 * (1 - 3**0.5 / 2)
    assert told(truss, "S").diagram == ((0.0, 0.8), (20000.0, 0.8))
    assert [(x, round(load, 9)) for x, load in told(truss, "S-right").diagram] == [
        (0.0, 0.0),
        (5000.0, round(mu / 2, 9)),
        (10000.0, 0.0),
        (15000.0, round(mu, 9)),
        (20000.0, 0.0),
    ]


def test_europe_lets_go_of_snow_beyond_sixty_degrees() -> None:
    site = replace(EUROPE, ground_snow=1.0)
    radius = 10 / sin(radians(75))
    truss = bowstring(site, span=20.0, rise=radius * (1 - (1 - sin(radians(75)) ** 2) ** 0.5), units="si")
    end = 10000 + 1000 * radius * sin(radians(60))
    assert at(truss, "S", end) == [pytest.approx(0.8), 0.0]
    assert told(truss, "S-left").diagram[0] == (0.0, 0.0)


def test_europe_gables_and_exceptional_snow() -> None:
    site = replace(EUROPE, ground_snow=0.65, exceptional=2.0)
    truss = gable(site, run=10.0, slope=tan(radians(8.5)), units="si")
    assert cases(truss) == {"H", "S", "S-left", "S-right", "AS", "AS-left", "AS-right"}
    assert at(truss, "S-left", 10000.0) == [pytest.approx(0.52), pytest.approx(0.26)]
    assert at(truss, "AS-left", 10000.0) == [pytest.approx(1.04), pytest.approx(0.52)]


def test_europe_knows_no_flat_roof_load() -> None:
    site = replace(EUROPE, flat_roof_snow=0.5, ground_snow=0.65)
    with pytest.raises(CannotAnalyseError, match="starts from the ground snow load"):
        generate(gable(site, run=10.0, slope=0.2, units="si"))


def test_the_same_roof_in_either_system_of_units_carries_the_same() -> None:
    psf, foot = 0.04788025898, 0.3048
    us = told(bowstring(SITE), "S-left").diagram
    si_site = replace(SITE, ground_snow=40 * psf, spacing=16 * foot * 1000)
    si = told(bowstring(si_site, span=60 * foot, units="si"), "S-left").diagram
    for (x, load), (metric_x, metric_load) in zip(us, si, strict=True):
        assert metric_x == pytest.approx(x * 25.4)
        assert metric_load == pytest.approx(load * psf, rel=1e-9)


def test_the_line_of_a_chord_tells_its_crown_and_slopes() -> None:
    truss = bowstring(SITE)
    line = roof_line(truss, [MemberId("top-0")], "/surfaces/roof")
    assert line.crown == pytest.approx((360.0, 96.46), abs=0.01)
    left, right = line.sides
    assert left.line_slope() == right.line_slope() == pytest.approx(15.0)
    assert right.first_as_steep(15.0) == pytest.approx(360 + 720 * sin(radians(15)))
    assert left.first_as_steep(30.0) == pytest.approx(0.0, abs=1e-6)
    assert right.first_as_steep(31.0) is None


def test_an_arc_that_hangs_over_is_refused() -> None:
    truss = roof([(0.0, 0.0), (6.0, 10.0), (20.0, 16.0), (34.0, 10.0), (40.0, 0.0)], SITE, radius=5.85)
    with pytest.raises(CannotAnalyseError, match="hangs over"):
        generate(truss)
