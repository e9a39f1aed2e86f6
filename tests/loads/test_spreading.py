"""Loads along the chord, at panel points and at purlins: the same total and the same moment about a heel.

The totals are taken by the recheck's reading of the loads, which shares nothing with their making.
"""

from __future__ import annotations

from dataclasses import replace
from math import asin, cos, hypot, sin

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad  # type: ignore[import-untyped]  # it carries no types

from tests.loads.roofs import ONES, bowstring, covered, gable, mirrored, roof
from trussio.errors import CannotAnalyseError
from trussio.loads.arc_load import arc_ends, weights
from trussio.loads.diagram import moment, total
from trussio.loads.generate import generate
from trussio.loads.roof_line import Bow
from trussio.model.loading import JointLoad, LineLoad, PointLoad, RunId
from trussio.model.site import Spread, Surface
from trussio.model.truss import JointId, MemberId, Truss
from trussio.recheck.applied import applied_forces

SITE = replace(ONES, ground_snow=40.0)
WAYS: tuple[Spread, ...] = ("chord", "panel-points", "purlins")
PURLINS = (37.5, 133.0, 240.0, 301.25, 360.0, 444.4, 590.0, 700.0)


def resultant(truss: Truss, run: str) -> tuple[float, float]:
    """Downward force of a case, and its moment about the left heel, clockwise.

    The recheck brings a load on an arc to the joints with level parts as well, which have a moment of their own.
    """
    name = RunId(run)
    forces = applied_forces(truss, [name])[name]
    left = min(joint.x for joint in truss.joints.values())
    down = -sum(fy for _, fy in forces.values())
    heel = min(truss.joints.values(), key=lambda joint: joint.x).y
    around = sum(
        fx * (truss.joints[joint].y - heel) - fy * (truss.joints[joint].x - left)
        for joint, (fx, fy) in forces.items()
    )
    return down, around


def places_with_purlins(truss: Truss) -> tuple[float, ...]:
    """Purlins that fit a roof of any span and place."""
    xs = [joint.x for joint in truss.joints.values()]
    return tuple(min(xs) + x / 720 * (max(xs) - min(xs)) for x in PURLINS)


def assert_conserved(truss: Truss) -> None:
    """Every roof case and the dead load have one resultant, however they are brought to the sticks."""
    truss = covered(truss, purlins=places_with_purlins(truss), covering=10.0, deck=3.5)
    made = {way: generate(truss, spread=way) for way in WAYS}
    basis = made["chord"].loads.basis
    assert basis is not None
    unit = 192.0 / 144
    left = min(joint.x for joint in truss.joints.values())
    for run, told in basis.cases.items():
        found = {way: resultant(made[way], run) for way in WAYS}
        for way in WAYS:
            assert found[way] == pytest.approx(found["chord"], rel=1e-9), (run, way)
        if told.diagram:
            by_hand = (total(told.diagram) * unit, moment(told.diagram, left) * unit)
            assert found["chord"] == pytest.approx(by_hand, rel=1e-9), run


def test_a_bowstring_conserves_totals_and_moments_in_every_way() -> None:
    assert_conserved(bowstring(SITE))


def test_a_steep_curve_with_points_at_thirty_and_seventy_degrees_does_too() -> None:
    assert_conserved(bowstring(SITE, rise=29.0, panels=5))


def test_a_gable_does_too() -> None:
    assert_conserved(gable(SITE, run=30.0, slope=0.4, panels=3))


@settings(max_examples=25, deadline=None)
@given(st.floats(1.0, 29.9), st.integers(2, 9), st.floats(20.0, 90.0))
@example(8.038475772933681, 8, 60.0)
def test_any_curve_conserves_totals_and_moments(rise: float, panels: int, span: float) -> None:
    assert_conserved(bowstring(SITE, span=span, rise=min(rise, 0.49 * span), panels=panels))


@settings(max_examples=25, deadline=None)
@given(st.floats(0.05, 1.2), st.integers(1, 5), st.floats(5.0, 60.0))
def test_any_gable_conserves_totals_and_moments(slope: float, panels: int, run: float) -> None:
    assert_conserved(gable(SITE, run=run, slope=slope, panels=panels))


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 29.9), st.integers(2, 9), st.sampled_from(WAYS))
def test_no_load_is_ever_upwards(rise: float, panels: int, way: Spread) -> None:
    truss = covered(bowstring(SITE, rise=rise, panels=panels), purlins=PURLINS, covering=10.0)
    for run, case in generate(truss, spread=way).loads.cases.items():
        for load in case.loads:
            if isinstance(load, LineLoad):
                values = load.value if isinstance(load.value, tuple) else (load.value,)
                assert min(values) >= 0.0, run
            else:
                assert isinstance(load, (JointLoad, PointLoad))
                assert load.fy <= 0.0, run


@settings(max_examples=25, deadline=None)
@given(st.floats(1.0, 29.0), st.sampled_from(WAYS))
def test_the_unbalanced_load_of_the_mirrored_truss_is_the_mirrored_load(rise: float, way: Spread) -> None:
    truss = covered(bowstring(SITE, rise=rise), purlins=PURLINS)
    other = covered(mirrored(bowstring(SITE, rise=rise)), purlins=tuple(-x for x in PURLINS))
    one, two = generate(truss, spread=way), generate(other, spread=way)
    swapped = {"S-left": "S-right", "S-right": "S-left", "S-part-left": "S-part-right", "S": "S", "Lr": "Lr"}
    for run, seen in swapped.items():
        if RunId(run) not in one.loads.cases:
            continue
        here = applied_forces(one, [RunId(run)])[RunId(run)]
        there = applied_forces(two, [RunId(seen)])[RunId(seen)]
        for joint, (fx, fy) in here.items():
            assert there[joint] == pytest.approx((-fx, fy), rel=1e-9, abs=1e-6), (run, joint)


def test_a_chord_drawn_from_right_to_left_gets_the_same_load() -> None:
    truss = bowstring(SITE)
    turned = {
        name: replace(member, through=member.through[::-1]) if name.startswith("top") else member
        for name, member in truss.members.items()
    }
    for run in ("S-left", "S-part-odd"):
        here = applied_forces(generate(truss), [RunId(run)])[RunId(run)]
        there = applied_forces(generate(replace(truss, members=turned)), [RunId(run)])[RunId(run)]
        assert {joint: pytest.approx(force) for joint, force in here.items()} == there


@settings(max_examples=200, deadline=None)
@given(
    st.floats(-1.4, 1.4),
    st.floats(0.001, 1.2),
    st.floats(1.0, 1000.0),
    st.sampled_from([(0.0, 1.0), (1.0, 0.0), (1.0, 1.0), (1.0, 4.0), (3.0, 0.5)]),
)
def test_end_values_on_an_arc_are_exact_by_an_outside_integration(
    middle: float, half: float, radius: float, loads: tuple[float, float]
) -> None:
    start, end = max(-1.45, middle - half), min(1.45, middle + half)
    if end - start < 1e-3:
        return
    bow = Bow(7.0, radius, up=True)
    x0, x1 = 7 + radius * sin(start), 7 + radius * sin(end)
    force = around = 0.0
    for a, b, first, last in arc_ends(bow, x0, x1, *loads):
        assert min(first, last) >= 0.0
        low, high = bow.angle(a), bow.angle(b)

        def down(turn: float, a: float = low, b: float = high, ends: tuple[float, float] = (first, last)) -> float:
            return (ends[0] + (ends[1] - ends[0]) * (turn - a) / (b - a)) * radius * cos(turn)

        force += quad(down, low, high)[0]
        around += quad(lambda turn, down=down: down(turn) * (7 + radius * sin(turn) - x0), low, high)[0]
    run = x1 - x0
    assert force == pytest.approx(run * sum(loads) / 2, rel=1e-7)
    assert around == pytest.approx(run**2 * (loads[0] + 2 * loads[1]) / 6, rel=1e-7)


def test_weights_far_from_the_crown_are_those_of_the_chord_when_the_arc_is_short() -> None:
    bow = Bow(0.0, 100.0, up=True)
    x0, x1 = 50.0, 50.1
    made = weights(bow, x0, x1, x0)
    assert sum(made.force) == pytest.approx(0.1)
    assert made.force[0] == pytest.approx(0.05, rel=1e-3)
    assert bow.angle(x1) > bow.angle(x0) == asin(0.5)


def test_purlins_take_the_load_of_half_a_bay_each_where_it_is_even() -> None:
    truss = covered(gable(SITE, run=30.0, slope=1e-9, panels=1), purlins=(180.0, 360.0, 540.0))
    loads = generate(truss).loads.cases[RunId("S")].loads
    down = sorted(-load.fy for load in loads if isinstance(load, (JointLoad, PointLoad)))
    per_foot = 28.0 * 16
    assert down == pytest.approx([7.5 * per_foot] * 2 + [15 * per_foot] * 3)
    assert len(loads) == 5


def test_loads_on_an_upright_reach_its_joints() -> None:
    """Dead load per slope on a chord with a raised heel: the upright weighs as well, and half goes to each end."""
    places = [(0.0, 0.0), (0.0, 4.0), (20.0, 8.0), (40.0, 4.0), (40.0, 0.0)]
    truss = covered(roof(places, replace(SITE, ground_snow=None, roof_live=0.0)), covering=10.0)
    slant = hypot(20.0, 4.0)
    expected = 10.0 * 16 * (2 * slant + 8)
    for way in ("chord", "panel-points"):
        made = generate(truss, spread=way)
        assert resultant(made, "D")[0] == pytest.approx(expected)
    forces = applied_forces(made, [RunId("D")])[RunId("D")]
    assert -forces[next(iter(truss.joints))][1] == pytest.approx(10.0 * 16 * 2)


@pytest.mark.parametrize(
    ("surface", "code", "where"),
    [
        (Surface(kind="roof", role="web"), "surface-without-members", "/surfaces/roof/role"),
        (Surface(kind="roof", role="top-chord", purlins=(900.0,)), "purlin-off-chord", "/surfaces/roof/purlins/0"),
    ],
)
def test_what_lies_on_nothing_is_refused_with_its_place(surface: Surface, code: str, where: str) -> None:
    truss = replace(bowstring(SITE), surfaces={"roof": surface})
    with pytest.raises(CannotAnalyseError) as caught:
        generate(truss)
    assert (caught.value.code, caught.value.where) == (code, where)


def test_purlins_must_be_named_to_be_asked_for() -> None:
    with pytest.raises(CannotAnalyseError, match="this surface names none"):
        generate(bowstring(SITE), spread="purlins")


def test_chords_that_leave_a_gap_or_lie_above_each_other_are_refused() -> None:
    truss = gable(SITE, run=30.0, slope=0.4)
    far = replace(truss.members[MemberId("top-1")], through=(JointId("T3"), JointId("T4")))
    with pytest.raises(CannotAnalyseError, match="leave a gap between T2 and T3"):
        generate(replace(truss, members={**truss.members, MemberId("top-1"): far}))
    both = replace(truss, surfaces={"low": Surface(kind="roof", role="bottom-chord"), **truss.surfaces})
    with pytest.raises(CannotAnalyseError, match="lie above each other"):
        generate(both)
