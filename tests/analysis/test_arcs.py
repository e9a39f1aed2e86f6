"""Arcs that bend as arcs: closed forms and integrals by an outside library.

An arc of radius R and half angle a, seen from the middle: with t from -a to a a point lies at x = R sin t along
the chord and y = R (cos t - cos a) off it, and the axis slants by -t. Own derivations from the unit-load theorem.
"""

from __future__ import annotations

from dataclasses import replace
from math import asin, cos, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Literal

import pytest

from tests.analysis.summing import integral
from tests.trusses import CLAMP, MATERIAL, PIN, ROLLER, SECTION, P, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.model.loading import LineLoad, Longer, PointLoad, SelfWeight, Target, Warmer
from trussio.model.truss import Curve, JointId, MemberId, SegmentId

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import Idealisation, Truss

R = 3000.0
EA, EI, GA = 1e7, 1e10, 2e6
ON = Target(member=MemberId("arch"))
SHEARED = replace(SECTION, shear_area=500.0)
SHEARING = replace(MATERIAL, G=4000.0)


def arch(*loads: Load, half: float, roller: bool = False, clamped: bool = False, shear: bool = False) -> RunForces:
    """One arc from A to B, level, bowing up."""
    reach = R * sin(half)
    end = ROLLER if roller else PIN
    truss = build(
        joints={"A": (-reach, 0.0), "B": (reach, 0.0)},
        members={
            "arch": stick(
                "A",
                "B",
                curve=Curve(radius=R, bows="up"),
                fixed=("first", "last") if clamped else (),
            )
        },
        supports={"A": CLAMP if clamped else PIN, "B": CLAMP if clamped else end},
        cases={"P": loads},
        section=SHEARED if shear else SECTION,
        material=SHEARING if shear else MATERIAL,
    )
    return analyse(truss)[P]


def closing(half: float, *, shear: bool = False) -> float:
    """How far the ends of an arc come together under a unit thrust, in closed form."""
    a, s, c = half, sin(half), cos(half)
    bending = R**3 * (a * (1 + 2 * c**2) - 3 * s * c) / EI
    return bending + R * (a + s * c) / EA + (R * (a - s * c) / GA if shear else 0.0)


@pytest.mark.parametrize("half", [0.05, 0.6, pi / 2])
@pytest.mark.parametrize("shear", [False, True], ids=["stiff in shear", "soft in shear"])
def test_two_hinges_thrust_what_warmth_would_spread(half: float, *, shear: bool) -> None:
    """An arc 30 degrees warmer grows alike all over: its chord by 3e-4 of its length."""
    run = arch(Warmer(on=ON, by=30.0), half=half, shear=shear)
    thrust = 3e-4 * 2 * R * sin(half) / closing(half, shear=shear)
    assert run.reactions[JointId("A")].x == pytest.approx(thrust, rel=1e-11)
    forces = run.segments[SegmentId("arch:A-B")]
    assert forces.axial == pytest.approx(-thrust, rel=1e-11)
    assert forces.moment_peak == pytest.approx(-thrust * R * (1 - cos(half)), rel=1e-11)
    assert forces.moment_peak_at == pytest.approx(R * half, rel=1e-9)


def test_an_arc_made_longer_grows_as_a_warm_one_does() -> None:
    long = 2 * R * 0.6 * 3e-4
    one, other = arch(Longer(on=ON, by=long), half=0.6), arch(Warmer(on=ON, by=30.0), half=0.6)
    assert one.reactions[JointId("A")].x == pytest.approx(other.reactions[JointId("A")].x, rel=1e-12)


Push = tuple[float, float]
LOADS: dict[str, tuple[Load, Callable[[float, float], Push]]] = {
    "down along the arc": (
        LineLoad(on=ON, direction="down", value=2.0),
        lambda _t, _s: (0.0, -2.0),
    ),
    "down in plan": (
        LineLoad(on=ON, direction="down", value=2.0, per="plan"),
        lambda t, _s: (0.0, -2.0 * cos(t)),
    ),
    "right in plan": (
        LineLoad(on=ON, direction="right", value=2.0, per="plan"),
        lambda t, _s: (2.0 * cos(t), 0.0),
    ),
    "right along the arc": (
        LineLoad(on=ON, direction="right", value=2.0),
        lambda _t, _s: (2.0, 0.0),
    ),
    "outwards": (
        LineLoad(on=ON, direction="across", value=2.0),
        lambda t, _s: (2.0 * sin(t), 2.0 * cos(t)),
    ),
    "down, growing along the arc": (
        LineLoad(on=ON, direction="down", value=(1.0, 4.0)),
        lambda _t, s: (0.0, -(1.0 + 3.0 * s)),
    ),
    "down in plan, growing along the arc": (
        LineLoad(on=ON, direction="down", value=(1.0, 4.0), per="plan"),
        lambda t, s: (0.0, -(1.0 + 3.0 * s) * cos(t)),
    ),
}
HALVES = [0.3, 1.2, pi / 2]


def ends_apart(half: float, push: Callable[[float, float], Push]) -> tuple[float, float]:
    """On a roller: the far reaction, and how much further apart the ends come; s is the share of the way."""
    reach = R * sin(half)

    def at(t: float) -> Push:
        return push(t, (t + half) / (2 * half))

    def y(t: float) -> float:
        return R * (cos(t) - cos(half))

    right = integral(lambda t: R * (at(t)[1] * (R * sin(t) + reach) - at(t)[0] * y(t)), -half, half)
    far = -right / (2 * reach)

    def beyond(t: float, what: Callable[[float], float]) -> float:
        return integral(what, t, half) if t < half else 0.0

    def rate(t: float) -> float:
        h = beyond(t, lambda u: R * at(u)[0])
        v = -far - beyond(t, lambda u: R * at(u)[1])
        lever = beyond(t, lambda u: R * (at(u)[1] * R * (sin(u) - sin(t)) - at(u)[0] * R * (cos(u) - cos(t))))
        moment = far * (reach - R * sin(t)) + lever
        axial = h * cos(t) + v * sin(t)
        return R * (axial * cos(t) / EA + moment * y(t) / EI)

    return far, integral(rate, -half, half)


@pytest.mark.parametrize("half", HALVES)
@pytest.mark.parametrize("name", LOADS)
def test_loads_push_ends_apart_as_the_unit_load_theorem_has_it(name: str, half: float) -> None:
    load, push = LOADS[name]
    far, spread = ends_apart(half, push)
    rolling = arch(load, half=half, roller=True)
    assert rolling.reactions[JointId("B")].y == pytest.approx(far, rel=1e-11)
    assert rolling.joints[JointId("B")].dx == pytest.approx(spread, rel=1e-10)
    held = arch(load, half=half)
    assert held.reactions[JointId("B")].x == pytest.approx(-spread / closing(half), rel=1e-10)


@pytest.mark.parametrize("half", HALVES)
def test_pressure_from_inside_is_held_by_tension_alone(half: float) -> None:
    """On three hinges (a ring bursting): p R all along, no moment, no shear; statics knows no stiffness here."""
    reach, middle = R * sin(half), R * (1 - cos(half))
    truss = build(
        joints={"A": (-reach, 0.0), "C": (0.0, middle), "B": (reach, 0.0)},
        members={
            "arch": stick("A", "C", curve=Curve(radius=R, bows="up")),
            "other": stick("C", "B", curve=Curve(radius=R, bows="up")),
        },
        supports={"A": PIN, "B": PIN},
        cases={
            "P": (
                LineLoad(on=ON, direction="across", value=2.0),
                LineLoad(on=Target(member=MemberId("other")), direction="across", value=2.0),
            )
        },
    )
    for forces in analyse(truss)[P].segments.values():
        assert forces.axial_ends == pytest.approx((2.0 * R, 2.0 * R), rel=1e-11)
        assert forces.shear == pytest.approx((0.0, 0.0), abs=1e-8)
        assert forces.moment_peak == pytest.approx(0.0, abs=1e-4 * R)


def test_the_force_along_the_chord_is_averaged_over_the_chord() -> None:
    """A right quarter of three hinges under w in plan: H = w (2R)2 / 8 R, V grows from the crown outwards."""
    truss = build(
        joints={"A": (-R, 0.0), "C": (0.0, R), "B": (R, 0.0)},
        members={
            "left": stick("A", "C", curve=Curve(radius=R, bows="up"), role="top-chord"),
            "right": stick("C", "B", curve=Curve(radius=R, bows="up"), role="top-chord"),
        },
        supports={"A": PIN, "B": PIN},
        cases={"P": (LineLoad(on=Target(role="top-chord"), direction="down", value=2.0, per="plan"),)},
    )
    forces = analyse(truss)[P].segments[SegmentId("right:C-B")]
    thrust, chord = 2.0 * (2 * R) ** 2 / (8 * R), R * sqrt(2)

    def along(t: float) -> float:
        """The chord falls at 45 degrees; what lies beyond an angle t from the crown presses along it."""
        return -(thrust + 2.0 * R * sin(t)) / sqrt(2)

    def advance(t: float) -> float:
        return R * (cos(t) + sin(t)) / sqrt(2)

    mean = integral(lambda t: along(t) * advance(t), 0.0, pi / 2) / chord
    assert forces.axial == pytest.approx(mean, rel=1e-12)
    assert forces.axial_ends == pytest.approx((-thrust, -2.0 * R), rel=1e-12)
    assert forces.shear == pytest.approx((0.0, thrust), rel=1e-12, abs=1e-8)


def test_a_bent_cantilever_sinks_as_the_handbook_has_it() -> None:
    """Quarter ring, built in upright, P down at its level tip: own derivation, bending, stretching and shear.

    Down: P R3 pi / 4 E I + P R pi / 4 E A + P R pi / 4 G As; outwards: P R3 / 2 E I - P R / 2 E A + P R / 2 G As.
    """
    truss = build(
        joints={"A": (0.0, 0.0), "B": (R, R)},
        members={"arch": stick("A", "B", curve=Curve(radius=R, bows="up"), fixed=("first",))},
        supports={"A": CLAMP},
        cases={"P": (at_joint("B", fy=-100.0),)},
        section=SHEARED,
        material=SHEARING,
    )
    tip = analyse(truss)[P].joints[JointId("B")]
    assert -tip.dy == pytest.approx(100.0 * R * pi / 4 * (R**2 / EI + 1 / EA + 1 / GA), rel=1e-12)
    assert tip.dx == pytest.approx(100.0 * R / 2 * (R**2 / EI - 1 / EA + 1 / GA), rel=1e-12)


@pytest.mark.parametrize("per", ["slope", "plan"])
def test_part_of_an_arc_is_loaded_by_distances_along_it(per: Literal["slope", "plan"]) -> None:
    """From a fifth to half way, growing; reactions by moments about the other bearing."""
    half, start, end = 0.6, 0.2, 0.5
    total = 2 * R * half
    load = LineLoad(on=ON, direction="down", value=(1.0, 4.0), start=start * total, end=end * total, per=per)
    run = arch(load, half=half, roller=True)
    reach = R * sin(half)

    def weight(t: float) -> float:
        share = (t + half) / (2 * half)
        size = 1.0 + 3.0 * (share - start) / (end - start)
        return R * size * (cos(t) if per == "plan" else 1.0)

    here, there = (2 * half * share - half for share in (start, end))
    far = integral(lambda t: weight(t) * (R * sin(t) + reach), here, there) / (2 * reach)
    near = integral(weight, here, there) - far
    assert run.reactions[JointId("B")].y == pytest.approx(far, rel=1e-12)
    assert run.reactions[JointId("A")].y == pytest.approx(near, rel=1e-12)


def test_the_peak_under_part_of_a_load_is_the_largest_anywhere() -> None:
    """Against the moment at ten thousand places, from the load and the reactions that the run itself reports."""
    half = 1.2
    total, reach = 2 * R * half, R * sin(half)
    run = arch(LineLoad(on=ON, direction="down", value=2.0, end=total / 2), half=half)
    push = run.reactions[JointId("A")]

    def moment(t: float) -> float:
        x, y = R * sin(t) + reach, R * (cos(t) - cos(half))
        loaded = min(t, 0.0)
        lever = integral(lambda u: 2.0 * R * (R * sin(t) - R * sin(u)), -half, loaded)
        return push.y * x - push.x * y - lever

    forces = run.segments[SegmentId("arch:A-B")]
    places = [-half + 2 * half * part / 2000 for part in range(2001)]
    found = max((abs(moment(t)), t) for t in places)
    assert abs(forces.moment_peak) == pytest.approx(found[0], rel=1e-5)
    assert abs(forces.moment_peak) >= found[0]
    assert forces.moment_peak_at == pytest.approx(R * (found[1] + half), abs=total / 1000)
    assert moment(forces.moment_peak_at / R - half) == pytest.approx(forces.moment_peak, rel=1e-9)


def test_weight_and_point_loads_on_an_arc_go_to_the_bearings() -> None:
    half = 0.8
    weight = 500e-9 * 9.80665 * 1000.0 * 2 * R * half
    heavy = arch(SelfWeight(of="all"), half=half)
    assert heavy.reactions[JointId("A")].y == pytest.approx(weight / 2, rel=1e-12)
    quarter = R * half / 2
    pushed = arch(PointLoad(on=ON, at=quarter, fx=30.0, fy=-100.0), half=half, roller=True)
    x, y = R * (sin(half) - sin(half / 2)), R * (cos(half / 2) - cos(half))
    far = (100.0 * x + 30.0 * y) / (2 * R * sin(half))
    assert pushed.reactions[JointId("B")].y == pytest.approx(far, rel=1e-12)
    assert pushed.reactions[JointId("A")].x == pytest.approx(-30.0, rel=1e-12)


def test_a_joint_on_an_arc_that_nothing_holds_changes_nothing() -> None:
    half = 0.9
    reach, t = R * sin(half), 0.3
    load = LineLoad(on=ON, direction="down", value=(1.0, 4.0), start=500.0, end=4000.0, per="plan")
    whole = arch(load, half=half, clamped=True)
    truss = build(
        joints={"A": (-reach, 0.0), "M": (R * sin(t), R * (cos(t) - cos(half))), "B": (reach, 0.0)},
        members={"arch": stick("A", "M", "B", curve=Curve(radius=R, bows="up"), fixed=("first", "last"))},
        supports={"A": CLAMP, "B": CLAMP},
        cases={"P": (load,)},
    )
    parts = analyse(truss)[P]
    one, two, all_of_it = (*parts.segments.values(), whole.segments[SegmentId("arch:A-B")])
    assert (one.moment[0], two.moment[1]) == pytest.approx(all_of_it.moment, rel=1e-9)
    assert (one.axial_ends[0], two.axial_ends[1]) == pytest.approx(all_of_it.axial_ends, rel=1e-9)
    assert one.moment[1] == pytest.approx(two.moment[0], rel=1e-9)
    assert one.axial_ends[1] == pytest.approx(two.axial_ends[0], rel=1e-9)


def test_an_arc_that_bows_down_is_the_mirror_image_of_one_that_bows_up() -> None:
    """Drawn from the right as well, local y points down and the moment keeps its sign."""
    joints = {"A": (0.0, 0.0), "B": (4000.0, 1000.0)}
    pushed = {}
    for bows, way, fy in (("up", ("A", "B"), -1.0), ("down", ("B", "A"), 1.0)):
        y = 1.0 if bows == "up" else -1.0
        truss = build(
            joints={name: (x, y * height) for name, (x, height) in joints.items()},
            members={"arch": stick(*way, curve=Curve(radius=R, bows="up" if y > 0 else "down"))},
            supports={"A": PIN, "B": PIN},
            cases={"P": (PointLoad(on=ON, at=2500.0 if y > 0 else _length() - 2500.0, fy=fy * 100.0),)},
        )
        pushed[bows] = analyse(truss)[P]
    up, down = pushed["up"], pushed["down"]
    for joint in (JointId("A"), JointId("B")):
        assert down.reactions[joint].x == pytest.approx(up.reactions[joint].x, rel=1e-9)
        assert down.reactions[joint].y == pytest.approx(-up.reactions[joint].y, rel=1e-9)
    one, other = up.segments[SegmentId("arch:A-B")], down.segments[SegmentId("arch:B-A")]
    assert other.moment_peak == pytest.approx(one.moment_peak, rel=1e-9)
    assert other.axial == pytest.approx(one.axial, rel=1e-9)


def _length() -> float:
    return 2 * R * asin(hypot(4000.0, 1000.0) / (2 * R))


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_a_rib_beside_a_bar_takes_by_its_flexibility(idealisation: Idealisation) -> None:
    """Pushed together, both shorten alike: the rib takes the share of the bar's L / E A in the sum of both."""
    half = 0.4
    truss = rib_and_bar(half, at_joint("B", fx=-1000.0))
    run = analyse(truss, idealisation=idealisation)[P]
    bar = 2 * R * sin(half) / EA
    rib = run.segments[SegmentId("arch:A-B")]
    assert rib.axial == pytest.approx(-1000.0 * bar / (bar + closing(half)), rel=1e-12)
    assert rib.moment == (0.0, 0.0)
    assert rib.moment_peak == pytest.approx(rib.axial * R * (1 - cos(half)), rel=1e-12)


def test_loads_on_a_rib_spread_it_in_pinned_too() -> None:
    half = 0.4
    load, push = LOADS["down in plan"]
    truss = rib_and_bar(half, load)
    tied = analyse(truss, idealisation="pinned")[P].segments[SegmentId("bar:A-B")]
    _, spread = ends_apart(half, push)
    assert tied.axial == pytest.approx(spread / (2 * R * sin(half) / EA + closing(half)), rel=1e-11)


def rib_and_bar(half: float, load: Load) -> Truss:
    reach = R * sin(half)
    return build(
        joints={"A": (-reach, 0.0), "B": (reach, 0.0)},
        members={"arch": stick("A", "B", curve=Curve(radius=R, bows="up")), "bar": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (load,)},
    )
