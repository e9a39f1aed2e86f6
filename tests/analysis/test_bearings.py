"""Bearings that hold, lean, give way and move; lack of fit, warmth, and deformation in shear.

Closed forms of handbooks (common practice, no source) and own derivations, in mm and N with E I = 1e10.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import CLAMP, MATERIAL, PIN, ROLLER, SECTION, P, along, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.model.loading import Longer, SupportMovement, Target, Warmer
from trussio.model.truss import JointId, MemberId, SegmentId, Support

L, EI, EA = 2000.0, 1e10, 1e7
A, B, C = JointId("A"), JointId("B"), JointId("C")
SPAN = SegmentId("beam:A-B")
SHEARED = replace(SECTION, shear_area=500.0)
SHEARING = replace(MATERIAL, G=40.0)
GA = 500.0 * 40.0


def test_a_spring_takes_what_its_stiffness_makes_it() -> None:
    """A built-in beam on a spring at its tip: R = (w L4 / 8 E I) / (L3 / 3 E I + 1 / k), force of the spring."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": Support(springs={"y": 5.0})},
        cases={"P": (along("beam", 2.0),)},
    )
    run = analyse(truss)[P]
    push = 2.0 * L**4 / (8 * EI) / (L**3 / (3 * EI) + 1 / 5.0)
    assert run.reactions[B].x == 0.0
    assert run.reactions[B].y == pytest.approx(push, rel=1e-12)
    assert run.joints[B].dy == pytest.approx(-push / 5.0, rel=1e-12)


def test_a_spring_against_turning_resists_by_the_turn() -> None:
    """A beam built into a spring of k at one end: M = k t, and w L3 / 24 E I = t + M L / 3 E I."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": Support(holds=("x", "y"), springs={"turn": 4e6}), "B": ROLLER},
        cases={"P": (along("beam", 2.0),)},
    )
    run = analyse(truss)[P]
    turn = 2.0 * L**3 / (24 * EI) / (1 + 4e6 * L / (3 * EI))
    assert run.joints[A].turn == pytest.approx(-turn, rel=1e-12)
    assert run.reactions[A].turn == pytest.approx(4e6 * turn, rel=1e-12)


def test_ground_that_sinks_under_a_spring_pulls_by_what_is_left_of_it() -> None:
    """Two springs in a row: the spring and the built-in beam, 3 E I / L3, share a sinking of 10 mm."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": Support(springs={"y": 5.0})},
        cases={"P": (SupportMovement(support=B, moves={"y": -10.0}),)},
    )
    run = analyse(truss)[P]
    pull = 10.0 / (1 / 5.0 + L**3 / (3 * EI))
    assert run.reactions[B].y == pytest.approx(-pull, rel=1e-12)
    assert run.joints[B].dy == pytest.approx(-pull * L**3 / (3 * EI), rel=1e-12)


def test_a_clamp_that_turns_bends_the_beam() -> None:
    """Far end on a roller: M = 3 E I t / L, felt at the near end as the lower face in compression."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": ROLLER},
        cases={"P": (SupportMovement(support=A, moves={"turn": 0.01}),)},
    )
    run = analyse(truss)[P]
    moment = 3 * EI * 0.01 / L
    assert run.reactions[A].turn == pytest.approx(moment, rel=1e-12)
    assert run.segments[SPAN].moment == pytest.approx((-moment, 0.0), rel=1e-12)
    assert run.joints[A].turn == 0.01


@pytest.mark.parametrize("size", [1.0, 5.0, 1e-3])
def test_the_length_of_an_inclined_direction_means_nothing(size: float) -> None:
    """A bar of 45 degrees onto a bearing that is free along (-4, 3), pushed by 100 downwards."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0)},
        members={"bar": stick("A", "C"), "post": stick("B", "C"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": Support(holds=((0.6 * size, 0.8 * size),))},
        cases={"P": (at_joint("C", fy=-100.0),)},
    )
    run = analyse(truss)[P]
    assert (run.reactions[B].x, run.reactions[B].y) == pytest.approx((75.0, 100.0), rel=1e-12)
    assert run.reactions[A].x == pytest.approx(-75.0, rel=1e-12)
    slip = run.joints[B]
    assert 0.6 * slip.dx + 0.8 * slip.dy == pytest.approx(0.0, abs=1e-15)


def test_ground_that_moves_under_an_inclined_bearing_counts_by_its_part_across() -> None:
    """Ground 5 up and 10 to the right under a bearing that holds along (3, 4): 10 along it, no force."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": Support(holds=((3.0, 4.0),))},
        cases={"P": (SupportMovement(support=B, moves={"x": 10.0, "y": 5.0}),)},
    )
    run = analyse(truss)[P]
    assert 0.6 * run.joints[B].dx + 0.8 * run.joints[B].dy == pytest.approx(10.0, rel=1e-12)
    assert (run.joints[B].dx, run.joints[B].dy) == pytest.approx((0.0, 12.5), abs=1e-12)
    assert run.segments[SegmentId("bar:A-B")].axial == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("holds", [("x", (0.6, 0.8)), ((1.0, 1.0), (1.0, 2.0)), ("x", "y", (0.6, 0.8))])
def test_holds_in_two_directions_hold_in_all(holds: tuple[str, ...]) -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (500.0, 1000.0)},
        members={"one": stick("A", "C"), "two": stick("B", "C")},
        supports={"A": PIN, "B": Support(holds=holds)},  # type: ignore[arg-type]  # words and pairs mixed
        cases={"P": (at_joint("C", fy=-100.0), SupportMovement(support=B, moves={"x": 0.0}))},
    )
    run = analyse(truss)[P]
    assert (run.joints[B].dx, run.joints[B].dy) == (0.0, 0.0)
    assert (run.reactions[B].x, run.reactions[B].y) == pytest.approx((-25.0, 50.0), rel=1e-12)


def test_a_turn_hold_where_every_stick_is_pinned_holds_nothing() -> None:
    beam = {"beam": stick("A", "B")}
    joints = {"A": (0.0, 0.0), "B": (L, 0.0)}
    run = analyse(
        build(joints=joints, members=beam, supports={"A": CLAMP, "B": ROLLER}, cases={"P": (along("beam", 2.0),)})
    )[P]
    assert run.reactions[A].turn == 0.0
    assert run.joints[A].turn is None
    assert run.segments[SPAN].moment == (0.0, 0.0)


def test_a_moment_on_a_joint_goes_into_the_stick_that_runs_through() -> None:
    """Over the middle of two spans: half the moment to either side, and M / L at the far bearings."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (2 * L, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (at_joint("B", moment=1000.0),)},
    )
    run = analyse(truss)[P]
    assert run.segments[SPAN].moment[1] == pytest.approx(500.0, rel=1e-12)
    assert run.segments[SegmentId("beam:B-C")].moment[0] == pytest.approx(-500.0, rel=1e-12)
    assert [push.y for push in run.reactions.values()] == pytest.approx([0.25, 0.0, -0.25], abs=1e-12)


def test_two_sticks_bolted_where_they_cross_turn_each_for_itself() -> None:
    """A long and a short beam, crossing: they share the load on the bolt by their stiffness, one to eight."""
    truss = build(
        joints={
            "A": (-1000.0, 0.0),
            "B": (1000.0, 0.0),
            "M": (0.0, 0.0),
            "C": (0.0, -500.0),
            "D": (0.0, 500.0),
        },
        members={"long": stick("A", "M", "B"), "short": stick("C", "M", "D")},
        supports={"A": PIN, "B": PIN, "C": PIN, "D": PIN},
        cases={"P": (at_joint("M", fy=-900.0),)},
    )
    run = analyse(truss)[P]
    assert run.joints[JointId("M")].turn is None
    long, upright = run.segments[SegmentId("long:A-M")], run.segments[SegmentId("short:C-M")]
    bending, stretching = 48 * EI / L**3, 2 * EA / 500.0
    share = bending / (bending + stretching)
    assert long.moment[1] == pytest.approx(900.0 * share * L / 4, rel=1e-9)
    assert upright.axial == pytest.approx(-450.0 * (1 - share), rel=1e-9)


def test_warmth_bends_nothing_that_is_free_to_lengthen() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (2 * L, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (Warmer(on=Target(member=MemberId("beam")), by=30.0),)},
    )
    run = analyse(truss)[P]
    assert run.joints[C].dx == pytest.approx(1e-5 * 30.0 * 2 * L, rel=1e-12)
    assert [forces.axial for forces in run.segments.values()] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert [forces.moment_peak for forces in run.segments.values()] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_a_warm_beam_between_posts_pushes_them_apart() -> None:
    """The beam wants 1e-5 x 30 x L more: F = d / (2 h3 / 3 E I + L / E A), two posts and the beam in a row."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (0.0, 1000.0), "C": (L, 1000.0), "D": (L, 0.0)},
        members={
            "left": stick("A", "B", fixed=("first",)),
            "beam": stick("B", "C"),
            "right": stick("D", "C", fixed=("first",)),
        },
        supports={"A": CLAMP, "D": CLAMP},
        cases={"P": (Warmer(on=Target(member=MemberId("beam")), by=30.0),)},
    )
    push = 1e-5 * 30.0 * L / (2 * 1000.0**3 / (3 * EI) + L / EA)
    assert analyse(truss)[P].segments[SegmentId("beam:B-C")].axial == pytest.approx(-push, rel=1e-10)


def test_a_long_stick_is_longer_by_length_between_its_joints() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1500.0, 0.0), "C": (L, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (Longer(on=Target(member=MemberId("beam")), by=8.0),)},
    )
    run = analyse(truss)[P]
    assert (run.joints[B].dx, run.joints[C].dx) == pytest.approx((6.0, 8.0), rel=1e-12)


def test_shear_deforms_where_it_is_stated_and_nowhere_else() -> None:
    """Cantilever, P at the tip: P L3 / 3 E I + P L / G As; without a shear area or without G the first alone."""
    for section, material, shear in (
        (SHEARED, SHEARING, 300.0 * L / GA),
        (SHEARED, MATERIAL, 0.0),
        (SECTION, SHEARING, 0.0),
    ):
        truss = build(
            joints={"A": (0.0, 0.0), "B": (L, 0.0)},
            members={"beam": stick("A", "B", fixed=("first",))},
            supports={"A": CLAMP},
            cases={"P": (at_joint("B", fy=-300.0),)},
            section=section,
            material=material,
        )
        tip = analyse(truss)[P].joints[B]
        assert -tip.dy == pytest.approx(300.0 * L**3 / (3 * EI) + shear, rel=1e-12)


def test_shear_takes_load_off_the_middle_of_two_spans() -> None:
    """The middle bearing lifts by R what the load lets sag: bending and shear of a beam twice as long in both."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (2 * L, 0.0)},
        members={"beam": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (along("beam", 2.0),)},
        section=SHEARED,
        material=SHEARING,
    )
    sag = 5 * 2.0 * (2 * L) ** 4 / (384 * EI) + 2.0 * (2 * L) ** 2 / (8 * GA)
    lift = (2 * L) ** 3 / (48 * EI) + 2 * L / (4 * GA)
    assert analyse(truss)[P].reactions[B].y == pytest.approx(sag / lift, rel=1e-12)
