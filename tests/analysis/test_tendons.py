"""Tendons: balanced by themselves, stretched by what comes after, and what is lost of them.

Closed forms are own derivations from virtual work unless a source stands beside them.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, exp, pi, sin, sqrt
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.analysis.staged import difference, now, stages, stressed, tendon
from tests.published.statics import ENTRIES
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.as_found import as_found
from trussio.analysis.run import analyse
from trussio.analysis.tendons import path_of
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Missing
from trussio.model.loading import RunId
from trussio.model.material import Material, Section
from trussio.model.staging import Add, PutOn, Remove, Tension
from trussio.model.tendon import FRICTION, LOSS
from trussio.model.truss import Curve, JointId, MaterialId, MemberId, SectionId, SegmentId

if TYPE_CHECKING:
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Idealisation, Truss

D, PT, LEAST = RunId("D"), RunId("PT"), RunId("PT (least)")
SPAN, W = 8000.0, 2.0
EA, EI = 1e7, 1e10
BOTH: tuple[Idealisation, ...] = ("pinned", "continuous")
SEEDS = st.integers(0, 2**32 - 1)


def beam() -> Truss:
    return build(
        joints={"A": (0.0, 0.0), "M": (SPAN / 2, 0.0), "B": (SPAN, 0.0)},
        members={"beam": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (along("beam", W),)},
    )


def howe() -> Truss:
    """A determinate pinned truss of four panels under a load at each inner bottom joint."""
    joints = {f"B{n}": (1000.0 * n, 0.0) for n in range(5)} | {f"T{n}": (1000.0 * n, 800.0) for n in (1, 2, 3)}
    members = {
        "bottom": stick("B0", "B1", "B2", "B3", "B4", role="bottom-chord"),
        "left": stick("B0", "T1"),
        "top": stick("T1", "T2", "T3"),
        "right": stick("T3", "B4"),
        **{f"p{n}": stick(f"B{n}", f"T{n}") for n in (1, 2, 3)},
        "d1": stick("T1", "B2"),
        "d2": stick("T3", "B2"),
    }
    return build(
        joints=joints,
        members=members,
        supports={"B0": PIN, "B4": ROLLER},
        cases={"D": tuple(at_joint(f"B{n}", fy=-1000.0) for n in (1, 2, 3))},
    )


@pytest.mark.parametrize("offset", [-150.0, 80.0])
def test_a_beam_with_eccentric_prestress(offset: float) -> None:
    """Axial force - T, moment T e all along (- for a tendon above), rise - T e L2 / 8 E I at mid-span."""
    force = 5000.0
    runs = analyse(
        stressed(beam(), {"t": tendon("A", "B", on="beam", offsets=(offset, offset), acts="force")}, force)
    )
    run = runs[PT]
    for segment in ("beam:A-M", "beam:M-B"):
        assert run.segments[SegmentId(segment)].axial == pytest.approx(-force)
        assert run.segments[SegmentId(segment)].moment == pytest.approx((force * offset, force * offset))
    assert run.joints[JointId("M")].dy == pytest.approx(-force * offset * SPAN**2 / (8 * EI))
    assert run.reactions[JointId("A")].y == pytest.approx(0.0, abs=1e-9)
    assert run.tendons == {"t": (force,)}


def test_the_published_beam_with_end_forces_off_its_axis() -> None:
    """Entry FR12 (Timoshenko, Strength of Materials I; from memory): N = - 80, M = - 12, rise 0.0108."""
    entry = next(entry for entry in ENTRIES if entry.id == "FR12")
    truss = build(
        joints={"A": (0.0, 0.0), "M": (3.0, 0.0), "B": (6.0, 0.0)},
        members={"beam": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
        section=Section(area=500000.0, inertia=5000.0),
        material=Material(E=1.0),
    )
    path = tendon("A", "B", on="beam", offsets=(-0.15, -0.15), acts="force")
    run = analyse(stressed(truss, {"t": path}, 80.0))[PT]
    first = run.segments[SegmentId("beam:A-M")]
    assert entry.agrees(first.axial, entry.published["LC1.member_end.AM.N_j"])
    assert entry.agrees(first.moment[0], entry.published["LC1.member_end.AM.M_i"])
    assert entry.agrees(run.joints[JointId("M")].dy, entry.published["LC1.displacements.M.uy"])


@pytest.mark.parametrize("steel", [1e5, 1e7, 1e12])
def test_a_trussed_beam_shares_its_load_with_the_tendon_below_it(steel: float) -> None:
    """A saddle h below mid-span: T = (5/96) c h w L3 / E I over c2 h2 L / 3 E I + c2 L / E A + Lt / Et At.

    The load is w, E I and E A the beam's; c is the cosine of the slope of the tendon.
    """
    h = 600.0
    rod = tendon("A", "M", "B", on="beam", offsets=(0.0, -h, 0.0), area=1.0, E=steel, sure=True)
    run = analyse(stressed(beam(), {"t": rod}, 1000.0))[D]
    c = cos(atan(2 * h / SPAN))
    give = c**2 * h**2 * SPAN / (3 * EI) + c**2 * SPAN / EA + SPAN / c / steel
    force = 5 / 96 * c * h * W * SPAN**3 / EI / give
    assert run.tendons["t"] == pytest.approx((force, force))
    assert run.segments[SegmentId("beam:A-M")].axial == pytest.approx(-force * c)
    assert run.segments[SegmentId("beam:A-M")].moment[1] == pytest.approx(W * SPAN**2 / 8 - force * c * h)


@pytest.mark.parametrize("steel", [1e6, 2e8, 1e13])
def test_a_tied_arch_has_the_thrust_of_virtual_work(steel: float) -> None:
    """Semicircle, load P at its crown: H = (P R3 / 2) / (pi R3 / 2 + E I 2 R / Et At), the arch inextensible.

    With a rigid tie that is P / pi: two-hinged arch, Timoshenko (from memory).
    """
    radius, load = 3000.0, 4000.0
    arch = build(
        joints={"A": (-radius, 0.0), "C": (0.0, radius), "B": (radius, 0.0)},
        members={"arch": stick("A", "C", "B", curve=Curve(radius=radius, bows="up"))},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("C", fy=-load),)},
        section=Section(area=1e12, inertia=1e6),
    )
    run = analyse(stressed(arch, {"t": tendon("A", "B", area=1.0, E=steel, sure=True)}, 1.0))[D]
    thrust = load * radius**3 / 2 / (pi * radius**3 / 2 + EI * 2 * radius / steel)
    assert run.tendons["t"] == pytest.approx((thrust,), rel=1e-6)
    if steel == 1e13:
        assert thrust == pytest.approx(load / pi, rel=1e-4)


@pytest.mark.parametrize("idealisation", BOTH)
def test_segments_outside_the_anchors_get_nothing(idealisation: Idealisation) -> None:
    """Straight along the chord of a determinate truss: each panel between the anchors loses T, no other any."""
    short = stressed(howe(), {"t": tendon("B1", "B3", on="bottom", acts="force", sure=True)}, 900.0)
    run = analyse(short, idealisation=idealisation)[PT]
    inside = {"bottom:B1-B2", "bottom:B2-B3"}
    for name, forces in run.segments.items():
        if idealisation == "pinned":
            assert forces.axial == pytest.approx(-900.0 if name in inside else 0.0, abs=1e-9)
    assert run.segments[SegmentId("bottom:B0-B1")].axial == pytest.approx(0.0, abs=5.0)
    assert all(abs(r.x) + abs(r.y) < 1e-6 for r in run.reactions.values())


@pytest.mark.parametrize(("joints", "relieved"), [(("B0", "B4"), 4), (("B1", "B3"), 2)])
def test_heel_to_heel_relieves_the_whole_chord_and_anchored_short_leaves_the_heels(
    joints: tuple[str, str], relieved: int
) -> None:
    truss = stressed(howe(), {"t": tendon(*joints, on="bottom", acts="force", sure=True)}, 900.0)
    truss = replace(truss, loads=replace(truss.loads, combinations={RunId("D+PT"): {D: 1.0, PT: 1.0}}))
    runs = analyse(truss, idealisation="pinned")
    chord = [SegmentId(f"bottom:B{n}-B{n + 1}") for n in range(4)]
    change = [runs[RunId("D+PT")].segments[s].axial - runs[D].segments[s].axial for s in chord]
    assert sorted(change) == pytest.approx([-900.0] * relieved + [0.0] * (4 - relieved), abs=1e-9)
    assert (change[0] == pytest.approx(0.0, abs=1e-9)) == (relieved == 2)


def with_bar(truss: Truss, first: str, last: str, area: float, modulus: float) -> Truss:
    """The truss with a bar between two joints."""
    bar = replace(stick(first, last), section=SectionId("rod"), material=MaterialId("steel"))
    return replace(
        truss,
        members={**truss.members, MemberId("rod"): bar},
        sections={**truss.sections, SectionId("rod"): Section(area=area)},
        materials={**truss.materials, MaterialId("steel"): Material(E=modulus, density=0.0, expansion=0.0)},
    )


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(BOTH), st.floats(1e3, 1e9))
def test_after_lock_off_a_straight_tendon_is_a_bar(
    seed: int, idealisation: Idealisation, stiffness: float
) -> None:
    """Between two joints, without stations between: the same forces as with a bar of the same E A written out."""
    truss = random_truss(seeded(seed), idealisation=idealisation, panels=4, stations=False)
    truss = replace(truss, loads=replace(truss.loads, combinations={}))
    rod = tendon("B0", "T3", area=2.0, strands=3, E=stiffness / 6.0, sure=True)
    tied = analyse(stressed(truss, {"t": rod}, 0.0), idealisation=idealisation)
    barred = analyse(with_bar(truss, "B0", "T3", 6.0, stiffness / 6.0), idealisation=idealisation)
    for case in truss.loads.cases:
        bar = barred[case].segments[SegmentId("rod:B0-T3")].axial
        others = {name: f for name, f in barred[case].segments.items() if name != "rod:B0-T3"}
        largest = max(abs(f.axial) for f in others.values())
        assert tied[case].tendons["t"][0] == pytest.approx(bar, rel=1e-7, abs=1e-8 * largest)
        assert difference(replace(barred[case], segments=others), replace(tied[case], tendons={})) < 1e-7


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(BOTH), st.floats(0.0, 0.5), st.booleans())
def test_a_tendon_is_in_balance_by_itself(
    seed: int,
    idealisation: Idealisation,
    friction: float,
    last: bool,  # noqa: FBT001  # hypothesis hands it over by place
) -> None:
    """Its reactions add up to nothing, in force and moment, whatever friction and offsets do."""
    truss = random_truss(seeded(seed), idealisation=idealisation, panels=4)
    path = tendon("B0", "T2", "B3", acts="force")._replace(friction=friction, wobble=1e-5)
    path = path._replace(stressed="last" if last else "first")
    middle = next(name for name, member in truss.members.items() if JointId("B3") in member.through)
    points = (*path.path[:2], path.path[2]._replace(bears_on=middle, offset=40.0))
    run = analyse(stressed(truss, {"t": path._replace(path=points)}, 5000.0), idealisation=idealisation)[PT]
    fx = sum(r.x for r in run.reactions.values())
    fy = sum(r.y for r in run.reactions.values())
    moment = sum(
        r.turn + truss.joints[joint].x * r.y - truss.joints[joint].y * r.x for joint, r in run.reactions.items()
    )
    reach = max(abs(joint.x) + abs(joint.y) for joint in truss.joints.values())
    size = max(abs(s.axial) for s in run.segments.values())
    assert abs(fx) + abs(fy) + abs(moment) / reach < 1e-7 * size


@pytest.mark.parametrize("idealisation", BOTH)
def test_tension_then_detension_returns_to_the_start(idealisation: Idealisation) -> None:
    base = stressed(howe(), {"t": tendon("B0", "B4", on="bottom", offsets=(-60.0, -60.0), area=1.0, E=2e5)}, 900.0)
    way = stages(base, (PutOn((D,)),), (Tension(("t",)),), (Tension(("t",), to=0.0),))
    runs = analyse(way, idealisation=idealisation)
    assert difference(runs[now(1)], runs[now(3)]) < 1e-12
    assert difference(runs[now(1)], runs[now(2)]) > 1e-3
    assert runs[now(3)].tendons == {}
    assert runs[now(1)].joints[JointId("B2")].dy == pytest.approx(runs[now(3)].joints[JointId("B2")].dy)


def test_stressing_in_steps_ends_where_stressing_at_once_does() -> None:
    base = stressed(howe(), {"t": tendon("B0", "B4", area=50.0, E=2e5, sure=True)}, 900.0)
    steps = stages(base, (PutOn((D,)),), *((Tension(("t",), to=to),) for to in (0.25, 0.5, 1.0)))
    once = stages(base, (PutOn((D,)),), (Tension(("t",)),))
    assert difference(analyse(steps)[now(4)], analyse(once)[now(2)]) < 1e-12
    assert analyse(steps)[now(3)].tendons["t"] == pytest.approx((450.0,))


def test_load_that_comes_after_lock_off_stretches_the_tendon_and_load_before_does_not() -> None:
    """Straight along a chord of the same length in a determinate truss: it shares what each panel would change."""
    rod = {"t": tendon("B0", "B4", on="bottom", area=50.0, E=2e5, sure=True)}
    before = stages(stressed(howe(), rod, 900.0), (PutOn((D,)),), (Tension(("t",)),))
    after = stages(stressed(howe(), rod, 900.0), (Tension(("t",)),), (PutOn((D,)),))
    assert analyse(before, idealisation="pinned")[now(2)].tendons["t"] == pytest.approx((900.0,))
    panels = [
        analyse(howe(), idealisation="pinned")[D].segments[SegmentId(f"bottom:B{n}-B{n + 1}")].axial
        for n in range(4)
    ]
    stretch = sum(force * 1000.0 / EA for force in panels)
    grown = stretch / (4000.0 / 1e7 + 4000.0 / EA)
    assert analyse(after, idealisation="pinned")[now(2)].tendons["t"] == pytest.approx((900.0 + grown,))


def test_a_tendon_that_is_no_more_than_its_force_is_not_stretched() -> None:
    rod = {"t": tendon("B0", "B4", on="bottom", acts="force", sure=True)}
    way = stages(stressed(howe(), rod, 900.0), (Tension(("t",)),), (PutOn((D,)),))
    assert analyse(way)[now(2)].tendons["t"] == pytest.approx((900.0,))


def dropped(*, sure: bool = False) -> Tendon:
    """Over a saddle 3 down in 4 along on both sides: it turns by 2 atan 3/4; each leg is 5000 long."""
    path = tendon("A", "M", "B", on="beam", offsets=(0.0, -3000.0, 0.0), acts="force", sure=sure)
    return path._replace(area=100.0, E=2e5)


def legs_of(path: Tendon, force: float = 1e4) -> tuple[float, ...]:
    """The forces of the legs of a tendon on the beam."""
    return analyse(stressed(beam(), {"t": path}, force))[PT].tendons["t"]


def test_friction_takes_its_part_where_the_tendon_turns() -> None:
    """T2 = T1 exp(- mu alpha), L. Euler; the saddle gets the difference along the beam as well."""
    turn = 2 * atan(3 / 4)
    rough = dropped()._replace(friction=0.3, slip=0.0)
    assert legs_of(rough) == pytest.approx((1e4, 1e4 * exp(-0.3 * turn)))
    assert legs_of(rough._replace(stressed="last"))[::-1] == pytest.approx((1e4, 1e4 * exp(-0.3 * turn)))


def test_a_deviator_is_pushed_by_twice_the_sine_of_half_the_turn() -> None:
    """2 T sin(alpha / 2), upwards; the beam bends as under a point load of that size."""
    run = analyse(stressed(beam(), {"t": dropped(sure=True)}, 1e3))[PT]
    push = 2 * 1e3 * sin(atan(3 / 4))
    assert run.segments[SegmentId("beam:A-M")].moment[1] == pytest.approx(-push * SPAN / 4)


def test_wobble_takes_by_length_each_leg_by_its_middle() -> None:
    found = legs_of(dropped()._replace(friction=0.0, slip=0.0, wobble=1e-5))
    assert found == pytest.approx((1e4 * exp(-0.025), 1e4 * exp(-0.075)))


@pytest.mark.parametrize("slip", [0.1, 1.0, 2.0, 10.0])
def test_the_draw_in_of_an_anchor_is_the_area_between_the_lines_of_force(slip: float) -> None:
    """Lengths times lost forces over E A are the draw-in; beyond where friction holds nothing is lost."""
    turn, steel = 2 * atan(3 / 4), 2e5 * 100.0
    legs = legs_of(dropped()._replace(friction=0.3, slip=slip), 1e5)
    before = (1e5, 1e5 * exp(-0.3 * turn))
    assert sum(5000.0 * (b - a) / steel for a, b in zip(legs, before, strict=True)) == pytest.approx(slip)
    if legs[1] < before[1]:
        assert legs[1] == pytest.approx(legs[0] * exp(0.3 * turn))
    else:
        assert legs[0] >= before[1] * exp(-0.3 * turn)


def test_seating_on_a_straight_tendon() -> None:
    """E A set / L, common practice: a strand of 0.153 in2, drawn in by 1/4 in. on 60 ft, loses 1.51 kip."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (720.0, 0.0)},
        members={"beam": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    strand = tendon("A", "B", area=0.153, E=28.5e6)._replace(slip=0.25, friction=0.0)
    legs = analyse(stressed(truss, {"t": strand}, 20000.0))[PT].tendons["t"]
    assert legs == pytest.approx((20000.0 - 1514.06,), abs=0.01)


def test_the_least_force_has_every_loss_by_default_where_nobody_stated_it() -> None:
    """Friction at the saddle and the loss with time; a stated force is taken for what stays after the draw-in."""
    plain = analyse(stressed(beam(), {"t": dropped()}, 1e5))
    assert plain[PT].tendons["t"] == pytest.approx((1e5, 1e5))
    far = exp(-FRICTION * 2 * atan(3 / 4))
    assert plain[LEAST].tendons["t"] == pytest.approx(((1 - LOSS) * 1e5, (1 - LOSS) * far * 1e5))


def test_stated_losses_leave_nothing_to_defaults() -> None:
    known = tendon("B0", "B4", sure=True)._replace(loss=0.1)
    runs = analyse(stressed(howe(), {"t": known}, 900.0))
    assert runs[LEAST].tendons["t"] == pytest.approx((810.0,))
    low, high = (runs[run].segments[SegmentId("bottom:B1-B2")].axial for run in (LEAST, PT))
    assert low / high == pytest.approx(0.9)


def test_the_last_stage_has_its_least_runs_and_those_before_have_none() -> None:
    known = tendon("B0", "B4", area=50.0, E=2e5, sure=True)._replace(loss=0.2)
    base = stressed(howe(), {"t": known}, 900.0)
    way = stages(base, (PutOn((D,)),), (Tension(("t",)),), ())
    runs = analyse(way)
    assert [run for run in runs if "/" in run] == ["s1/now", "s2/now", "s3/now", "s3/now (least)"]
    assert runs[RunId("s3/now (least)")].tendons["t"] == pytest.approx((720.0,))


def test_a_tendon_stressed_to_a_stress_has_that_times_its_area() -> None:
    base = stressed(howe(), {"t": tendon("B0", "B4", area=2.0, strands=3, sure=True)}, 0.0)
    load = replace(base.loads.cases[PT], loads=(base.loads.cases[PT].loads[0]._replace(force=None, stress=70.0),))  # type: ignore[union-attr]  # of a tendon
    runs = analyse(replace(base, loads=replace(base.loads, cases={**base.loads.cases, PT: load})))
    assert runs[PT].tendons["t"] == pytest.approx((420.0,))


def test_two_tendons_are_stressed_one_after_the_other() -> None:
    """Stressing the second lets the first go slack by what the chord between is pushed together."""
    rods = {name: tendon("B0", "B4", on="bottom", area=50.0, E=2e5, sure=True) for name in ("t", "u")}
    way = stages(stressed(howe(), rods, 900.0), (Tension(("t",)),), (Tension(("u",)),))
    legs = analyse(way, idealisation="pinned")[now(2)].tendons
    assert legs["u"] == pytest.approx((900.0,))
    assert legs["t"] == pytest.approx((900.0 - 900.0 / 2,))


def test_an_offset_on_a_curved_stick_counts_across_its_axis() -> None:
    """A quarter circle from A up to C: its axis leaves A upright, so that + y lies to the left."""
    radius = 3000.0
    arch = build(
        joints={"A": (-radius, 0.0), "C": (0.0, radius), "B": (radius, 0.0)},
        members={
            "l": stick("A", "C", curve=Curve(radius=radius, bows="up")),
            "r": stick("C", "B", curve=Curve(radius=radius, bows="up")),
        },
        supports={"A": PIN, "B": PIN},
        cases={},
    )
    path = tendon("A", "B", acts="force")
    points = tuple(
        point._replace(bears_on=MemberId(on), offset=500.0) for point, on in zip(path.path, "lr", strict=True)
    )
    run = analyse(stressed(arch, {"t": path._replace(path=points)}, 100.0))[PT]
    assert run.segments[SegmentId("l:A-C")].moment[0] == pytest.approx(0.0, abs=1e-6)
    axis = points[0]._replace(offset=0.0, bears_on=None)
    flat = analyse(stressed(arch, {"t": path._replace(path=(axis, points[1]))}, 100.0))[PT]
    assert flat.reactions[JointId("A")].x == pytest.approx(run.reactions[JointId("A")].x, rel=1e-6)


def refused(truss: Truss) -> str:
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(truss)
    return str(caught.value)


def test_what_no_tendon_can_be_is_refused_by_name() -> None:
    gone = stressed(beam(), {"t": dropped()._replace(slip=1e4)}, 1e3)
    assert "tendon-slack at /tendons/t/slip: the draw-in of its anchor takes all of the force of t." in refused(
        gone
    )
    still = replace(howe(), joints={**howe().joints, JointId("T2"): howe().joints[JointId("B2")]})
    with pytest.raises(CannotAnalyseError, match=r"tendon-without-length at /tendons/t/path/1"):
        path_of(replace(still, tendons={"t": tendon("B2", "T2")}), "t")


def test_a_tendon_on_what_goes_in_the_end_is_refused() -> None:
    """The chord that it bears on is replaced, and the runs of the end still ask for it."""
    truss = stressed(howe(), {"t": tendon("B0", "B4", on="bottom", acts="force", sure=True)}, 900.0)
    bottom, new = MemberId("bottom"), MemberId("new")
    truss = replace(truss, members={**truss.members, new: truss.members[bottom]})
    gone = stages(truss, (PutOn((D,)),), (Add((new,)), Remove((bottom,))))
    assert refused(gone).startswith(
        "tendon-on-nothing at /tendons/t: the tendon t bears on a joint or a stick that is not there in the end."
    )


def test_a_tendon_on_what_the_survey_found_gone_is_refused_by_its_stage() -> None:
    truss = stressed(howe(), {"t": tendon("B2", "T2", on="p2", acts="force", sure=True)}, 900.0)
    gone = replace(truss, condition={"c": Missing(member=MemberId("p2"), seen="gone")})
    found, _, _ = as_found(stages(gone, (Tension(("t",)),)), "continuous")
    assert "tensions t, which bears on p2 at B2; that is not there." in refused(found)


def test_pinned_hands_an_anchor_off_the_axis_to_its_segment() -> None:
    """The couple bends the panel at the anchor as a beam: T e at the heel, nothing at the next joint.

    Its shear pushes that joint up, and the post there is pushed together.
    """
    truss = stressed(howe(), {"t": tendon("B0", "B4", on="bottom", offsets=(-50.0, -50.0), acts="force")}, 900.0)
    run = analyse(truss, idealisation="pinned")[PT]
    assert run.segments[SegmentId("bottom:B0-B1")].moment == pytest.approx((-45000.0, 0.0))
    assert run.segments[SegmentId("bottom:B1-B2")].moment == pytest.approx((0.0, 0.0))
    assert run.segments[SegmentId("p1:B1-T1")].axial == pytest.approx(-45000.0 / 1000.0)
    assert sqrt(sum(r.y**2 for r in run.reactions.values())) < 1e-9
