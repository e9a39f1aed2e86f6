"""Forces by least energy against answers known on paper, and refusals."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt
from typing import TYPE_CHECKING

import pytest

from tests.strategies import frame
from tests.trusses import (
    CANTILEVER,
    CLAMP,
    OPEN_SQUARE,
    PIN,
    QUEEN_POST,
    ROLLER,
    SOUND,
    TWO_SPANS,
    P,
    along,
    at_joint,
    build,
    stick,
)
from trussio.errors import CannotAnalyseError
from trussio.model.loading import LineLoad, Loads, SelfWeight, SupportMovement, Target, Warmer
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, JointId, MemberId, SectionId, SegmentId, Support
from trussio.recheck.energy import second_forces

if TYPE_CHECKING:
    from tests.trusses import Known
    from trussio.model.truss import Truss


@pytest.mark.parametrize("known", SOUND.values(), ids=SOUND)
def test_answers_known_on_paper(known: Known) -> None:
    found = second_forces(known.truss, idealisation=known.idealisation)[known.run]
    near = 1e-11 * found.size
    for name, axial in known.axial.items():
        assert found.axial[SegmentId(name)] == pytest.approx(axial, rel=1e-12, abs=near), known.says
    for name, reaction in known.reactions.items():
        assert found.reactions[JointId(name)] == pytest.approx(reaction, rel=1e-11, abs=1e-8), known.says
    for name, movement in known.movements.items():
        assert found.movements[JointId(name)][:2] == pytest.approx(movement, rel=1e-9, abs=1e-9), known.says
    if known.idealisation == "continuous":
        for name, moments in known.moments.items():
            assert found.moments[SegmentId(name)] == pytest.approx(moments, rel=1e-11, abs=1e-6), known.says


def moved(truss: Truss, joint: str) -> tuple[float, ...]:
    found = second_forces(truss, idealisation="continuous", runs=[P])[P]
    return tuple(part for part in found.movements[JointId(joint)] if part is not None)


def test_a_turn_is_told_where_the_joint_has_one() -> None:
    assert moved(CANTILEVER.truss, "B") == pytest.approx((0.0, -80.0))
    fixed = replace(CANTILEVER.truss, members={MemberId("beam"): stick("A", "B", fixed=("first", "last"))})
    assert moved(fixed, "B") == pytest.approx((0.0, -80.0, -0.06))  # P L2 / 2 E I


def test_shear_deforms_where_it_is_stated() -> None:
    """P L3 / 3 E I + P L / G A_s = 80 + 300 x 2000 / (600 x 500) = 82."""
    section = Section(area=1000.0, inertia=1e6, shear_area=500.0)
    truss = replace(CANTILEVER.truss, sections={SectionId("s"): section})
    assert moved(truss, "B") == pytest.approx((0.0, -80.0))
    (material,) = truss.materials
    truss = replace(truss, materials={material: Material(E=1e4, G=600.0)})
    assert moved(truss, "B") == pytest.approx((0.0, -82.0))


def arch(*, held: Support, load: LineLoad | None = None, point: float = 0.0, area: float = 1e9) -> Truss:
    """A half circle of radius 1000 in one stick from A to B with a joint C at its crown."""
    return build(
        joints={"A": (0.0, 0.0), "C": (1000.0, 1000.0), "B": (2000.0, 0.0)},
        members={"arch": stick("A", "C", "B", curve=Curve(radius=1000.0, bows="up"))},
        supports={"A": PIN, "B": held},
        cases={"P": (load if load is not None else at_joint("C", fy=-point),)},
        section=Section(area=area, inertia=1e6),
    )


def test_a_two_hinged_half_circle_pushes_out_with_load_over_pi() -> None:
    """Timoshenko, Strength of materials, from memory: H = P / pi for a point load at the crown, EA infinite."""
    found = second_forces(arch(held=PIN, point=1000.0), idealisation="continuous")[P]
    assert found.reactions[JointId("A")] == pytest.approx((1000 / pi, 500.0, 0.0), rel=1e-6)


def test_a_pressure_on_a_circle_bends_nothing() -> None:
    """Uniform pressure p towards the centre is carried by a thrust p R alone, upright at the springings."""
    load = LineLoad(on=Target(member=MemberId("arch")), direction="across", value=-2.0)
    found = second_forces(arch(held=PIN, load=load), idealisation="continuous")[P]
    assert found.reactions[JointId("A")] == pytest.approx((0.0, 2000.0, 0.0), abs=1e-2)
    assert found.moments[SegmentId("arch:A-C")][1] == pytest.approx(0.0, abs=5.0)


def test_a_half_circle_on_a_roller_spreads() -> None:
    """P R3 / 2 E I at the roller: unit thrust gives y, the load P (R - x) / 2, over the half circle."""
    truss = arch(held=ROLLER, point=1000.0)
    assert moved(truss, "B")[0] == pytest.approx(1000.0 * 1000.0**3 / (2 * 1e4 * 1e6), rel=1e-6)


def test_an_arc_grows_by_warmth_without_a_force() -> None:
    truss = arch(held=ROLLER)
    warm = build_case(truss, (Warmer(on=Target(member=MemberId("arch")), by=50.0),))
    found = second_forces(warm, idealisation="continuous")[P]
    assert found.movements[JointId("B")][0] == pytest.approx(2000 * 50e-5)
    assert max(abs(value) for value in found.axial.values()) < 1e-9 * found.size


def build_case(truss: Truss, loads: tuple[Warmer | SupportMovement, ...]) -> Truss:
    case = replace(truss.loads.cases[P], loads=loads)
    return replace(truss, loads=Loads(cases={P: case}))


def test_a_pinned_rib_lengthens_by_its_bending() -> None:
    """A quarter circle in a tie of the same radius shares force by flexibility, the rib's from its closed form."""
    chord, radius, rise = 1000.0 * sqrt(2), 1000.0, 1000.0 * (1 - 1 / sqrt(2))
    truss = build(
        joints={"A": (0.0, 0.0), "B": (chord, 0.0)},
        members={"rib": stick("A", "B", curve=Curve(radius=radius, bows="up")), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", fx=100.0),)},
    )
    found = second_forces(truss, idealisation="pinned")[P].axial
    low = radius - rise  # the chord's distance from the centre: y = R cos a - low
    bending = radius * (radius**2 * (pi / 4 + 1 / 2) - 4 * radius * low / sqrt(2) + low**2 * pi / 2) / 1e10
    stretching = radius * (pi / 4 + 1 / 2) / 1e7
    rib, tie = bending + stretching, chord / 1e7
    assert found[SegmentId("rib:A-B")] == pytest.approx(100 * tie / (rib + tie), rel=1e-10)


@pytest.mark.parametrize("softer", [1.0, 1e-4, 1e-8, 1e-12])
def test_bending_however_soft_leaves_the_axial_forces_of_a_pinned_truss(softer: float) -> None:
    """Queen-post chords that hardly bend carry what pinned ones do; nothing is lost to rounding."""
    truss = replace(QUEEN_POST.truss, sections={SectionId("s"): Section(area=1000.0, inertia=1.0 * softer)})
    found = second_forces(truss, idealisation="continuous")[P].axial
    pinned = second_forces(QUEEN_POST.truss, idealisation="pinned")[P].axial
    assert found == pytest.approx(pinned, rel=0, abs=9000 * max(1e-5 * softer, 1e-9))


def test_a_mechanism_is_refused_with_the_joints_that_move() -> None:
    with pytest.raises(CannotAnalyseError, match=r"C, D can move without strain \(1 mechanism\)") as caught:
        second_forces(OPEN_SQUARE.truss, idealisation="pinned")
    assert (caught.value.code, caught.value.where) == ("mechanism", "/joints/C, /joints/D")


@pytest.mark.parametrize(
    ("says", "supports", "count"),
    [
        ("nothing holds it", {}, 3),
        ("three bearings push the same way", {"B0": ROLLER, "B1": ROLLER, "B2": ROLLER}, 1),
    ],
)
def test_a_truss_that_floats_is_refused(says: str, supports: dict[str, Support], count: int) -> None:
    truss = replace(TWO_SPANS.truss, supports={JointId(name): support for name, support in supports.items()})
    with pytest.raises(CannotAnalyseError, match=rf"\({count} mechanism"):
        second_forces(truss, idealisation="continuous")
    assert says


def test_no_member_is_refused() -> None:
    with pytest.raises(CannotAnalyseError, match="There is no member"):
        second_forces(replace(TWO_SPANS.truss, members={}), idealisation="pinned")


def test_a_load_that_cannot_be_evaluated_stops_its_runs_alone() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4000.0, 0.0)},
        members={"beam": stick("A", "B")},
        supports={"A": CLAMP, "B": ROLLER},
        cases={"D": (SelfWeight(of="all"),), "P": (along("beam", 2.0),)},
        combinations={"D+P": {"D": 1.0, "P": 1.0}, "none of D": {"D": 0.0, "P": 2.0}},
        material=Material(E=1e4),
    )
    runs = [run for run in truss.loads.runs if run in {"P", "none of D"}]
    found = second_forces(truss, idealisation="continuous", runs=runs)
    assert found[runs[1]].reactions[JointId("B")][1] == pytest.approx(8000.0)
    with pytest.raises(CannotAnalyseError, match="no density"):
        second_forces(
            truss, idealisation="continuous", runs=[runs[0], *(r for r in truss.loads.runs if r == "D+P")]
        )


def test_a_spring_on_ground_that_sinks() -> None:
    """A simple beam's end on a spring sinks with the ground under it, by no force; a propped one does not."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": Support(springs={"y": 3.75})},
        cases={"P": (SupportMovement(support=JointId("B"), moves={"y": -10.0}),)},
    )
    found = second_forces(truss, idealisation="continuous")[P]
    tip = 3 * 1e10 / 2000.0**3  # 3.75 per mm, as stiff as the spring: each takes half of the 10 mm
    assert tip == pytest.approx(3.75)
    assert found.movements[JointId("B")][1] == pytest.approx(-5.0)
    assert found.reactions[JointId("B")][1] == pytest.approx(-18.75)


def test_runs_are_sums_of_cases_and_order_is_kept() -> None:
    truss = frame(5)
    found = second_forces(truss, idealisation="continuous")
    assert list(found) == list(truss.loads.runs)
    for run, factors in truss.loads.combinations.items():
        for name, value in found[run].axial.items():
            total = sum(factor * found[case].axial[name] for case, factor in factors.items())
            assert value == pytest.approx(total, rel=0, abs=1e-11 * found[run].size)
