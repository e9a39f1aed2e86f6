"""Loads along straight sticks: built-in moments, simple beams, slopes, parts of sticks that cross joints.

Formulas of handbooks (common practice, no source): P a b2 / L2 at a built-in end under a point load, w L2 / 12
under a uniform one, w L2 / 20 and w L2 / 30 under a triangle. Partial and trapezoidal loads are the first of them
summed up by scipy's quadrature.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, sin, sqrt
from typing import TYPE_CHECKING, Literal

import pytest

from tests.analysis.summing import integral
from tests.trusses import CLAMP, PIN, ROLLER, P, build, stick
from trussio.analysis.run import analyse
from trussio.model.loading import LineLoad, PointLoad, SelfWeight, Target
from trussio.model.truss import JointId, MemberId, SegmentId

if TYPE_CHECKING:
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import Member, Support

L = 4000.0
ON = Target(member=MemberId("beam"))
SPAN = SegmentId("beam:A-B")


def down(value: float | tuple[float, float], start: float | None = None, end: float | None = None) -> LineLoad:
    return LineLoad(on=ON, direction="down", value=value, start=start, end=end)


def beam(*loads: Load, clamped: bool = True, tip: tuple[float, float] = (L, 0.0)) -> RunForces:
    """A beam from A at the origin to B at its tip, both ends built in or on two supports."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": tip},
        members={"beam": stick("A", "B", fixed=("first", "last")) if clamped else stick("A", "B")},
        supports={"A": CLAMP, "B": CLAMP} if clamped else {"A": PIN, "B": ROLLER},
        cases={"P": loads},
    )
    return analyse(truss)[P]


@pytest.mark.parametrize(
    ("values", "reach", "says"),
    [
        ((2.0, 2.0), (0.0, L), "uniform"),
        ((3.0, 3.0), (1000.0, 1500.0), "on a short part"),
        ((0.0, 3.0), (0.0, L), "rising"),
        ((3.0, 0.0), (0.0, L), "falling"),
        ((1.0, 4.0), (500.0, 2500.0), "a trapezoid on a part"),
        ((-2.0, 2.0), (0.0, L), "changing its sign"),
    ],
)
@pytest.mark.parametrize("backwards", [False, True])
def test_built_in_moments_are_those_of_point_loads_summed_up(
    values: tuple[float, float], reach: tuple[float, float], says: str, *, backwards: bool
) -> None:
    """Of a load given from its far place to its near one the values change places with the places."""

    def w(x: float) -> float:
        return values[0] + (values[1] - values[0]) * (x - reach[0]) / (reach[1] - reach[0])

    first = integral(lambda a: w(a) * a * (L - a) ** 2 / L**2, *reach)
    last = integral(lambda a: w(a) * a**2 * (L - a) / L**2, *reach)
    given = down((values[1], values[0]), reach[1], reach[0]) if backwards else down(values, *reach)
    run = beam(given)
    assert run.segments[SPAN].moment == pytest.approx((-first, -last), rel=1e-10), says
    assert run.reactions[JointId("A")].turn == pytest.approx(first, rel=1e-10), says
    pushed = run.reactions[JointId("A")].y + run.reactions[JointId("B")].y
    assert pushed == pytest.approx(sum(values) / 2 * (reach[1] - reach[0]), abs=1e-9), says


def test_built_in_moments_under_a_uniform_load_and_a_triangle_are_those_of_the_handbook() -> None:
    assert beam(down(2.0)).segments[SPAN].moment == pytest.approx((-2 * L**2 / 12, -2 * L**2 / 12), rel=1e-12)
    triangle = beam(down((0.0, 3.0))).segments[SPAN].moment
    assert triangle == pytest.approx((-3 * L**2 / 30, -3 * L**2 / 20), rel=1e-12)


def test_built_in_moments_under_a_point_load_are_those_of_the_handbook() -> None:
    forces = beam(PointLoad(on=ON, at=1000.0, fy=-600.0)).segments[SPAN]
    assert forces.moment == pytest.approx((-600 * 1000 * 3000**2 / L**2, -600 * 1000**2 * 3000 / L**2), rel=1e-12)
    assert forces.shear[0] - forces.shear[1] == pytest.approx(600.0, rel=1e-12)
    under = forces.moment[0] + forces.shear[0] * 1000
    assert under == pytest.approx(2 * 600 * 1000**2 * 3000**2 / L**3, rel=1e-12)
    assert max(abs(under), *map(abs, forces.moment)) == pytest.approx(abs(forces.moment_peak), rel=1e-12)


def test_the_peak_of_a_part_load_lies_where_the_shear_is_zero() -> None:
    """Uniform w from a to b on two supports: x0 = a + R / w and M = R (a + R / 2 w), R the near reaction."""
    w, a, b = 2.0, 600.0, 2600.0
    reaction = w * (b - a) * (L - (a + b) / 2) / L
    forces = beam(down(w, a, b), clamped=False).segments[SPAN]
    assert forces.shear == pytest.approx((reaction, reaction - w * (b - a)), rel=1e-12)
    assert forces.moment_peak == pytest.approx(reaction * (a + reaction / (2 * w)), rel=1e-13)
    assert forces.moment_peak_at == pytest.approx(a + reaction / w, rel=1e-13)


def test_the_peak_of_a_triangle_lies_at_the_root_of_a_third() -> None:
    forces = beam(down((0.0, 3.0)), clamped=False).segments[SPAN]
    assert forces.moment_peak == pytest.approx(3.0 * L**2 / (9 * sqrt(3)), rel=1e-13)
    assert forces.moment_peak_at == pytest.approx(L / sqrt(3), rel=1e-13)


def test_the_peak_under_a_point_load_lies_under_it() -> None:
    forces = beam(PointLoad(on=ON, at=1000.0, fy=-600.0), clamped=False).segments[SPAN]
    assert forces.moment_peak == pytest.approx(600 * 1000 * 3000 / L, rel=1e-13)
    assert forces.moment_peak_at == pytest.approx(1000.0, rel=1e-13)


def test_an_uplift_has_a_negative_peak() -> None:
    forces = beam(down(-2.0), clamped=False).segments[SPAN]
    assert (forces.moment_peak, forces.moment_peak_at) == pytest.approx((-2.0 * L**2 / 8, L / 2), rel=1e-13)


def test_of_two_like_moments_the_nearer_one_counts() -> None:
    assert beam(down(2.0)).segments[SPAN].moment_peak_at == 0.0


def test_peaks_are_looked_for_anew_in_a_combination() -> None:
    """Two part loads, each with a peak of its own; together the peak lies at neither."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (down(2.0, 0.0, 2000.0),), "Q": (down(2.0, 2000.0, 4000.0),)},
        combinations={"P+Q": {"P": 1.0, "Q": 1.0}},
    )
    runs = {str(run): found.segments[SPAN] for run, found in analyse(truss).items()}
    assert (runs["P"].moment_peak_at, runs["Q"].moment_peak_at) == pytest.approx((1500.0, 2500.0), rel=1e-13)
    assert runs["P+Q"].moment_peak == pytest.approx(2.0 * L**2 / 8, rel=1e-13)
    assert runs["P+Q"].moment_peak_at == pytest.approx(L / 2, rel=1e-13)


SLOPE = (4000.0, 3000.0)


@pytest.mark.parametrize(
    ("per", "total"),
    [("slope", 2.0 * 5000.0), (None, 2.0 * 5000.0), ("plan", 2.0 * 4000.0)],
)
def test_on_a_slope_the_load_counts_along_it_or_in_plan(
    per: Literal["slope", "plan"] | None, total: float
) -> None:
    """What acts across, total x 4/5, bends a beam of 5000; what acts along, total x 3/5, presses it."""
    load = LineLoad(on=ON, direction="down", value=2.0, per=per)
    run = beam(load, tip=SLOPE, clamped=False)
    forces = run.segments[SPAN]
    assert run.reactions[JointId("A")].y == pytest.approx(total / 2, rel=1e-12)
    assert forces.moment_peak == pytest.approx(total * 0.8 * 5000.0 / 8, rel=1e-12)
    along = total * 0.6
    assert forces.axial_ends[1] - forces.axial_ends[0] == pytest.approx(along, rel=1e-12)
    assert forces.axial == pytest.approx(sum(forces.axial_ends) / 2, rel=1e-12, abs=1e-9)


def test_an_upright_stick_gets_nothing_of_a_plan_load() -> None:
    load = LineLoad(on=ON, direction="down", value=2.0, per="plan")
    truss = build(
        joints={"A": (0.0, 0.0), "B": (0.0, L)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP},
        cases={"P": (load,)},
    )
    assert analyse(truss)[P].reactions[JointId("A")].y == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("direction", "push"),
    [("right", (2.0, 0.0)), ("down", (0.0, -2.0)), ("across", (-2.0 * 0.6, 2.0 * 0.8))],
)
def test_directions_are_those_of_the_drawing_but_across_is_that_of_the_stick(
    direction: Literal["right", "down", "across"], push: tuple[float, float]
) -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": SLOPE},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP},
        cases={"P": (LineLoad(on=ON, direction=direction, value=2.0),)},
    )
    reaction = analyse(truss)[P].reactions[JointId("A")]
    x, y = (5000.0 * part for part in push)
    assert (reaction.x, reaction.y) == pytest.approx((-x, -y), abs=1e-9)
    assert reaction.turn == pytest.approx(-(2000.0 * y - 1500.0 * x), rel=1e-12)


def pieces_of(*joints: float) -> tuple[dict[str, tuple[float, float]], Member, dict[str, Support]]:
    names = [f"J{index}" for index in range(len(joints))]
    places = {name: (x, 0.0) for name, x in zip(names, joints, strict=True)}
    return places, stick(*names, fixed=("first", "last")), {names[0]: CLAMP, names[-1]: CLAMP}


@pytest.mark.parametrize("load", [down((1.0, 4.0), 500.0, 3500.0), PointLoad(on=ON, at=1500.0, fy=-100.0)])
def test_joints_that_nothing_holds_change_nothing_for_a_load_that_crosses_them(load: Load) -> None:
    """The same beam in one piece and in three: at the joints the moments of the whole, and its peak somewhere."""
    joints, member, supports = pieces_of(0.0, 1500.0, 1501.0, L)
    parts = analyse(build(joints=joints, members={"beam": member}, supports=supports, cases={"P": (load,)}))[P]
    whole = beam(load).segments[SPAN]
    segments = list(parts.segments.values())
    assert (segments[0].moment[0], segments[-1].moment[1]) == pytest.approx(whole.moment, rel=1e-9)
    best = max(segments, key=lambda forces: abs(forces.moment_peak))
    assert best.moment_peak == pytest.approx(whole.moment_peak, rel=1e-9)
    for before, after in pairwise(segments):
        assert before.moment[1] == pytest.approx(after.moment[0], rel=1e-9)


def test_a_force_on_a_stick_at_one_of_its_joints_is_a_force_on_the_joint() -> None:
    joints, member, supports = pieces_of(0.0, 1500.0, L)
    found = [
        analyse(build(joints=joints, members={"beam": member}, supports=supports, cases={"P": (load,)}))[P]
        for load in (
            PointLoad(on=ON, at=JointId("J1"), fy=-100.0),
            PointLoad(on=ON, at=1500.0, fy=-100.0),
            PointLoad(on=ON, at=1500.0 + 1e-7, fy=-100.0),
        )
    ]
    assert found[0] == found[1] == found[2]
    assert found[0].segments[SegmentId("beam:J0-J1")].shear[0] == pytest.approx(
        100.0 * 2500.0**2 * (L + 2 * 1500.0) / L**3, rel=1e-12
    )


def test_a_role_loads_every_stick_that_has_it() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (2 * L, 0.0)},
        members={"one": stick("A", "B", role="web"), "two": stick("B", "C", role="web")},
        supports={"A": PIN, "B": PIN, "C": PIN},
        cases={"P": (LineLoad(on=Target(role="web"), direction="down", value=(0.0, 3.0)),)},
    )
    reactions = analyse(truss)[P].reactions
    assert [push.y for push in reactions.values()] == pytest.approx([2000.0, 6000.0, 4000.0], rel=1e-12)


def test_the_weight_of_a_stick_is_area_times_density_in_the_units_of_the_document() -> None:
    """500 kg/m3 x 1000 mm2 x 5000 mm: 2.5 kg, 24.516625 N; on a slope its own length counts."""
    run = beam(SelfWeight(of="all"), tip=SLOPE, clamped=False)
    pushes = [reaction.y for reaction in run.reactions.values()]
    assert pushes == pytest.approx([24.516625 / 2, 24.516625 / 2], rel=1e-12)


def test_a_hanging_post_is_pulled_by_what_hangs_below() -> None:
    truss = build(
        joints={"A": (0.0, L), "B": (0.0, 0.0)},
        members={"post": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP},
        cases={"P": (SelfWeight(of=(MemberId("post"),)),)},
    )
    weight = 500e-9 * 9.80665 * 1000.0 * L
    forces = analyse(truss)[P].segments[SegmentId("post:A-B")]
    assert forces.axial_ends == pytest.approx((weight, 0.0), abs=1e-12)
    assert forces.axial == pytest.approx(weight / 2, rel=1e-12)


def test_a_force_along_a_bar_between_walls_is_shared_by_the_lengths_on_either_side() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B")},
        supports={"A": PIN, "B": PIN},
        cases={"P": (PointLoad(on=ON, at=1000.0, fx=100.0),)},
    )
    run = analyse(truss)[P]
    assert run.segments[SPAN].axial_ends == pytest.approx((75.0, -25.0), rel=1e-12)
    assert run.segments[SPAN].axial == pytest.approx(0.0, abs=1e-12)
    assert [push.x for push in run.reactions.values()] == pytest.approx([-75.0, -25.0], rel=1e-12)


@pytest.mark.parametrize("angle", [0.3, 2.0, -2.5])
def test_a_turned_beam_bears_a_load_across_it_as_a_level_one_does(angle: float) -> None:
    tip = (L * cos(angle), L * sin(angle))
    load = LineLoad(on=ON, direction="across", value=(-1.0, -4.0), start=500.0, end=2500.0)
    turned, level = beam(load, tip=tip).segments[SPAN], beam(load).segments[SPAN]
    assert turned.moment == pytest.approx(level.moment, rel=1e-12)
    assert turned.shear == pytest.approx(level.shear, rel=1e-12)
    assert turned.moment_peak == pytest.approx(level.moment_peak, rel=1e-12)
