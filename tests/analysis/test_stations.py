"""Stations: joints of a pinned truss that lie on the line between their neighbours."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.trusses import PIN, PURLIN_POINT, ROLLER, P, along, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.model.loading import LineLoad, PointLoad, Target, Warmer
from trussio.model.truss import JointId, MemberId, SegmentId

if TYPE_CHECKING:
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import Truss

LEFT = Target(member=MemberId("left"))


def purlins(*loads: Load, turned: bool = False, kink: float = 0.0) -> Truss:
    """The rafters with purlins at a quarter and at three quarters of the left one, drawn either way."""
    way = ["B0", "S1", "S2", "T1"]
    return build(
        joints={
            "B0": (0.0, 0.0),
            "T1": (4000.0, 3000.0),
            "B2": (8000.0, 0.0),
            "S2": (3000.0, 2250.0 + kink),
            "S1": (1000.0, 750.0),
        },
        members={
            "left": stick(*(reversed(way) if turned else way)),
            "right": stick("T1", "B2"),
            "tie": stick("B0", "B2"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": loads},
    )


def run_of(truss: Truss) -> RunForces:
    return analyse(truss, idealisation="pinned")[P]


def test_segments_beside_a_station_report_the_moment_of_the_whole_rafter() -> None:
    """100 across at 1250 of 5000: a simple beam, 100 x 1250 x 3750 / 5000 there and a third of it at 3750."""
    run = run_of(purlins(at_joint("S1", fx=60.0, fy=-80.0)))
    one, two, three = (run.segments[SegmentId(f"left:{name}")] for name in ("B0-S1", "S1-S2", "S2-T1"))
    there = 100.0 * 1250.0 * 3750.0 / 5000.0
    assert one.moment == pytest.approx((0.0, there), rel=1e-12)
    assert two.moment == pytest.approx((there, there / 3), rel=1e-12)
    assert three.moment == pytest.approx((there / 3, 0.0), rel=1e-12)
    assert [forces.shear[0] for forces in (one, two, three)] == pytest.approx([75.0, -25.0, -25.0], rel=1e-12)
    assert two.moment_peak_at == 0.0


def test_a_rafter_drawn_downwards_has_its_tension_on_the_other_face() -> None:
    load = at_joint("S1", fx=60.0, fy=-80.0)
    up, down = run_of(purlins(load)), run_of(purlins(load, turned=True))
    here, there = up.segments[SegmentId("left:B0-S1")], down.segments[SegmentId("left:S1-B0")]
    assert there.axial == pytest.approx(here.axial, rel=1e-12)
    assert there.moment == pytest.approx((-here.moment[1], 0.0), rel=1e-12)
    assert there.shear == pytest.approx(here.shear, rel=1e-12)


def test_a_load_along_the_rafter_bends_it_as_if_it_had_no_joints_between() -> None:
    """Uniform over all of it: w L2 / 8 across the slope at the middle, in the middle segment."""
    load = LineLoad(on=LEFT, direction="across", value=-2.0)
    run = run_of(purlins(load))
    middle = run.segments[SegmentId("left:S1-S2")]
    assert middle.moment_peak == pytest.approx(2.0 * 5000.0**2 / 8, rel=1e-12)
    assert middle.moment_peak_at == pytest.approx(1250.0, rel=1e-12)
    plain = build(
        joints={"B0": (0.0, 0.0), "T1": (4000.0, 3000.0), "B2": (8000.0, 0.0)},
        members={"left": stick("B0", "T1"), "right": stick("T1", "B2"), "tie": stick("B0", "B2")},
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": (load,)},
    )
    whole = run_of(plain)
    assert middle.axial == pytest.approx(whole.segments[SegmentId("left:B0-T1")].axial, rel=1e-12)
    for joint, push in whole.reactions.items():
        assert run.reactions[joint].y == pytest.approx(push.y, rel=1e-12)


def test_a_station_moves_across_by_the_lever_and_along_by_its_segments() -> None:
    """The rafter warms: along the line a quarter of the way moves by a quarter, across nothing but the lever."""
    run = run_of(purlins(Warmer(on=LEFT, by=30.0)))
    first, station, last = (run.joints[JointId(name)] for name in ("B0", "S1", "T1"))

    def along_and_across(x: float, y: float) -> tuple[float, float]:
        return 0.8 * x + 0.6 * y, 0.8 * y - 0.6 * x

    start, here, end = (along_and_across(joint.dx, joint.dy) for joint in (first, station, last))
    assert here[1] == pytest.approx(0.75 * start[1] + 0.25 * end[1], rel=1e-12, abs=1e-12)
    assert here[0] == pytest.approx(0.75 * start[0] + 0.25 * end[0], rel=1e-12, abs=1e-12)
    assert here[0] == pytest.approx(3e-4 * 1250.0, rel=1e-12)


def test_reactions_bear_what_stations_hand_to_supported_joints() -> None:
    run = run_of(PURLIN_POINT.truss)
    assert run.reactions[JointId("B0")].y == pytest.approx(3000.0, rel=1e-12)


@pytest.mark.parametrize("kink", [0.0, 0.05, -0.1])
def test_a_small_kink_leaves_the_truss_in_balance(kink: float) -> None:
    """Up to a ten-thousandth: forces along the line at the station, and the whole truss, to the last digits."""
    truss = purlins(at_joint("S2", fx=60.0, fy=-80.0), at_joint("S1", fy=-500.0), kink=kink)
    run = run_of(truss)
    pushes = run.reactions.values()
    assert sum(push.x for push in pushes) == pytest.approx(-60.0, rel=1e-11)
    assert sum(push.y for push in pushes) == pytest.approx(580.0, rel=1e-12)
    turning = 8000.0 * run.reactions[JointId("B2")].y
    assert turning == pytest.approx(500.0 * 1000.0 + 80.0 * 3000.0 + 60.0 * (2250.0 + kink), rel=1e-11)
    before, after = run.segments[SegmentId("left:S1-S2")], run.segments[SegmentId("left:S2-T1")]
    assert before.axial == pytest.approx(after.axial, rel=1e-7)


def test_beside_each_other_two_segments_share_the_moment() -> None:
    truss = purlins(at_joint("S1", fx=60.0, fy=-80.0))
    doubled = replace(truss, members={**truss.members, MemberId("scab"): stick("B0", "S1")})
    one, other = (run_of(doubled).segments[SegmentId(name)] for name in ("left:B0-S1", "scab:B0-S1"))
    there = 100.0 * 1250.0 * 3750.0 / 5000.0
    assert one.moment == other.moment == pytest.approx((0.0, there / 2), rel=1e-12)


def test_a_butt_on_a_line_is_a_station_too() -> None:
    """A tie in two sticks, end to end, with a load hung where they meet: a simple beam between the bearings."""
    truss = build(
        joints={"B0": (0.0, 0.0), "T1": (4000.0, 3000.0), "B2": (8000.0, 0.0), "B1": (2000.0, 0.0)},
        members={
            "left": stick("B0", "T1"),
            "right": stick("T1", "B2"),
            "one": stick("B0", "B1"),
            "two": stick("B1", "B2"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": (at_joint("B1", fy=-400.0),)},
    )
    run = run_of(truss)
    assert run.reactions[JointId("B0")].y == pytest.approx(300.0, rel=1e-12)
    assert run.segments[SegmentId("one:B0-B1")].moment == pytest.approx((0.0, 600000.0), rel=1e-12)
    assert run.segments[SegmentId("left:B0-T1")].axial == pytest.approx(0.0, abs=1e-9)


def test_in_pinned_a_load_along_a_segment_goes_to_its_joints_and_still_bends_it() -> None:
    tie = PointLoad(on=Target(member=MemberId("tie")), at=2000.0, fy=-400.0)
    run = run_of(purlins(tie, along("right", 0.0)))
    assert run.reactions[JointId("B0")].y == pytest.approx(300.0, rel=1e-12)
    forces = run.segments[SegmentId("tie:B0-B2")]
    assert (forces.moment_peak, forces.moment_peak_at) == pytest.approx((600000.0, 2000.0), rel=1e-12)
    assert forces.shear == pytest.approx((300.0, -100.0), rel=1e-12)
    assert forces.axial == pytest.approx(0.0, abs=1e-9)


def test_stations_stand_in_pinned_alone() -> None:
    """In continuous the rafter bends, and its stations sink with it."""
    truss = purlins(at_joint("S1", fx=60.0, fy=-80.0))
    bent = analyse(truss)[P].joints[JointId("S1")]
    straight = run_of(truss).joints[JointId("S1")]
    sag = 100.0 * 1250.0**2 * 3750.0**2 / (3 * 1e10 * 5000.0)
    assert (bent.dx - straight.dx, bent.dy - straight.dy) == pytest.approx((0.6 * sag, -0.8 * sag), rel=1e-9)


def test_stations_at_an_inclined_bearing_slide_with_it() -> None:
    truss = purlins(at_joint("S1", fy=-500.0))
    bearing = replace(truss.supports[JointId("B2")], holds=((0.6, 0.8),))
    moved = replace(truss, supports={**truss.supports, JointId("B2"): bearing})
    run = run_of(moved)
    push = run.reactions[JointId("B2")]
    assert push.y == pytest.approx(500.0 * 1000.0 / 8000.0, rel=1e-12)
    assert push.x == pytest.approx(push.y * 0.75, rel=1e-12)


def test_no_load_on_a_station_no_moment() -> None:
    run = run_of(purlins(at_joint("T1", fy=-6000.0)))
    assert [forces.moment_peak for forces in run.segments.values()] == pytest.approx([0.0] * 5, abs=1e-6)
    assert run.segments[SegmentId("left:S1-S2")].axial == pytest.approx(-5000.0, rel=1e-12)
