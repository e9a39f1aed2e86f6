"""Sticks that end beside their joints: the joint is rigid between, and what runs through it is bent."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.trusses import CLAMP, PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.assembly import assembled
from trussio.analysis.response import respond
from trussio.analysis.run import analyse
from trussio.analysis.twofold import deformations
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.idealised import idealise
from trussio.model.loading import LineLoad, Longer, PointLoad, RunId, Target
from trussio.model.truss import Curve, JointId, MemberId, SegmentId
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import End, Member, Truss

P = RunId("P")


def beside(member: Member, **at: tuple[float, float]) -> Member:
    """A stick whose ends lie beside their joints."""
    offsets: dict[End, tuple[float, float]] = {}
    for end in ("first", "last"):
        if end in at:
            offsets[end] = at[end]
    return replace(member, offsets=offsets)


def of(run: RunForces, name: str) -> tuple[float, float]:
    """Moments at the ends of a segment."""
    return run.segments[SegmentId(name)].moment


def hung(e: float, *, rise: float = 0.0) -> Truss:
    """A beam of 2 x 3 m with 600 N hung from a hanger that ends `e` beside its middle, and `rise` above it."""
    return build(
        joints={"A": (0.0, 0.0), "B": (3000.0, 0.0), "C": (6000.0, 0.0), "D": (3000.0 + e, -1000.0)},
        members={
            "beam": stick("A", "B", "C", role="bottom-chord"),
            "hanger": beside(stick("B", "D", role="web"), first=(e, rise)),
        },
        supports={"A": PIN, "C": ROLLER, "D": replace(PIN, holds=("x",))},
        cases={"P": (at_joint("D", fy=-600.0),)},
    )


@pytest.mark.parametrize("e", [100.0, -250.0])
@pytest.mark.parametrize("rise", [0.0, 60.0])
def test_a_force_beside_the_joint_bends_what_runs_through_by_force_times_offset(e: float, rise: float) -> None:
    """A load and a couple 600 e at midspan: w L / 4 and half of the couple to either side."""
    run = analyse(hung(e, rise=rise))[P]
    left, right = of(run, "beam:A-B")[1], of(run, "beam:B-C")[0]
    assert right - left == pytest.approx(600.0 * e, rel=1e-9)
    assert left == pytest.approx(600.0 * 6000.0 / 4 - 600.0 * e / 2)
    assert right == pytest.approx(600.0 * 6000.0 / 4 + 600.0 * e / 2)
    assert of(run, "hanger:B-D") == pytest.approx((0.0, 0.0), abs=1e-6)
    assert run.segments[SegmentId("hanger:B-D")].axial == pytest.approx(600.0)
    assert run.reactions[JointId("A")].y == pytest.approx(300.0 - 600.0 * e / 6000.0)


def warren(offset: float, *loads: Load, curve: Curve | None = None) -> Truss:
    """Two webs that miss each other on the bottom chord by twice `offset`, as drawn."""
    return build(
        joints={
            "B0": (0.0, 0.0),
            "B1": (3000.0, 0.0),
            "B2": (6000.0, 0.0),
            "T1": (1500.0, 1500.0),
            "T2": (4500.0, 1500.0),
        },
        members={
            "bottom": stick("B0", "B1", "B2", role="bottom-chord", curve=curve),
            "top": stick("T1", "T2", role="top-chord"),
            "e1": stick("B0", "T1", role="web"),
            "e2": stick("T2", "B2", role="web"),
            "w1": beside(stick("T1", "B1", role="web"), last=(-offset, 0.0)),
            "w2": beside(stick("B1", "T2", role="web"), first=(offset, 0.0)),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": loads or (at_joint("T1", fy=-1000.0),)},
    )


def test_webs_that_miss_each_other_bend_the_chord_by_their_forces_across_it() -> None:
    """The sum of moments about B1 of what the webs do to the chord at their ends."""
    offset = 120.0
    run = analyse(warren(offset))[P]
    lower = 1500.0 / hypot(1500.0 - offset, 1500.0)
    pulls = [run.segments[SegmentId(name)].axial * lower for name in ("w1:T1-B1", "w2:B1-T2")]
    jump = of(run, "bottom:B1-B2")[0] - of(run, "bottom:B0-B1")[1]
    assert jump == pytest.approx(-(-pulls[0] * offset + pulls[1] * offset), rel=1e-9)
    assert abs(jump) > 1e4
    assert sum(reaction.y for reaction in run.reactions.values()) == pytest.approx(1000.0)


def test_without_a_distance_nothing_changes() -> None:
    plain = warren(0.0)
    bare = replace(plain, members={name: replace(m, offsets=None) for name, m in plain.members.items()})
    assert analyse(plain) == analyse(bare)


def test_offsets_that_shrink_bring_the_forces_back_to_those_of_the_joints() -> None:
    bare = analyse(warren(0.0))[P].segments[SegmentId("w1:T1-B1")].axial
    near = analyse(warren(0.01))[P].segments[SegmentId("w1:T1-B1")].axial
    assert near != bare
    assert near == pytest.approx(bare, rel=1e-4)


def test_energy_is_the_work_of_the_loads() -> None:
    """Reciprocity (E. Betti, 1872): work of each load on what the other does, with arms as without."""
    truss = warren(120.0)
    two = replace(
        truss,
        loads=replace(
            truss.loads,
            cases={
                RunId("one"): replace(truss.loads.cases[P], loads=(at_joint("T1", fy=-1000.0),)),
                RunId("two"): replace(truss.loads.cases[P], loads=(at_joint("B1", fx=300.0, moment=7e4),)),
            },
        ),
    )
    runs = analyse(two)
    one, other = runs[RunId("one")].joints, runs[RunId("two")].joints
    turn = one[JointId("B1")].turn
    assert turn is not None
    there = -1000.0 * other[JointId("T1")].dy
    assert there == pytest.approx(300.0 * one[JointId("B1")].dx + 7e4 * turn)


def test_a_fixed_end_beside_its_joint_is_clamped_there() -> None:
    """A cantilever 200 mm shorter: P (L - 200) at its root, the rest taken by the bearing."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": beside(stick("A", "B", fixed=("first",)), first=(200.0, 0.0))},
        supports={"A": CLAMP},
        cases={"P": (at_joint("B", fy=-300.0),)},
    )
    run = analyse(truss)[P]
    assert of(run, "beam:A-B") == pytest.approx((-300.0 * 1800.0, 0.0))
    assert run.reactions[JointId("A")].turn == pytest.approx(300.0 * 2000.0)
    assert run.joints[JointId("B")].dy == pytest.approx(-300.0 * 1800.0**3 / 3 / 1e10)


@pytest.mark.parametrize("curve", [None, Curve(radius=4000.0, bows="down")])
def test_loads_along_an_offset_stick_keep_their_sums_and_reach_to_its_ends(curve: Curve | None) -> None:
    on = Target(member=MemberId("w1"))
    length = hypot(1500.0, 1500.0)
    loads = (
        LineLoad(on=on, direction="down", value=2.0, start=0.0, end=length),
        PointLoad(on=on, at=length / 2, fy=-100.0),
        along("bottom", 1.0),
    )
    truss = warren(120.0, *loads, curve=curve)
    run = analyse(truss)[P]
    bare = replace(truss, members={name: replace(m, offsets=None) for name, m in truss.members.items()})
    plain = analyse(bare)[P]
    for axis in ("x", "y"):
        sums = [sum(getattr(r, axis) for r in of.reactions.values()) for of in (run, plain)]
        assert sums[0] == pytest.approx(sums[1], rel=1e-9, abs=1e-6)


def test_an_offset_stick_is_longer_by_what_is_said() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"bar": beside(stick("A", "B", fixed=("first",)), first=(200.0, 0.0))},
        supports={"A": CLAMP, "B": replace(PIN, holds=("y",))},
        cases={"P": (Longer(on=Target(member=MemberId("bar")), by=3.0),)},
    )
    assert analyse(truss)[P].joints[JointId("B")].dx == pytest.approx(3.0)


def test_twice_the_digits_follow_arms_too() -> None:
    """Deformations by pairs of numbers are those of the plain rows."""
    truss = warren(120.0)
    made = assembled(truss, idealise(truss, "continuous"), [P])
    frame = made.frame
    answer = respond(frame, made.loads, made.gaps)
    found = deformations(frame, (answer.movements, np.zeros_like(answer.movements)))
    expected = frame.flexibility @ answer.forces
    assert np.abs(expected[:, 0]).max() > 0.1
    np.testing.assert_allclose(found[:, 0], expected[:, 0], rtol=1e-6, atol=1e-9)


def test_a_slender_truss_with_arms_is_refined_to_the_same_forces() -> None:
    """A pin-jointed lattice but for the bending of its chord, so soft that the solution has to be refined."""
    truss = warren(1.0)
    soft = {name: replace(section, inertia=1e-3) for name, section in truss.sections.items()}
    run = analyse(replace(truss, sections=soft))[P]
    jump = of(run, "bottom:B1-B2")[0] - of(run, "bottom:B0-B1")[1]
    lower = 1500.0 / hypot(1499.0, 1500.0)
    pulls = [run.segments[SegmentId(name)].axial * lower for name in ("w1:T1-B1", "w2:B1-T2")]
    assert jump == pytest.approx(-(-pulls[0] + pulls[1]), rel=1e-6)


def test_in_pinned_sticks_run_from_joint_to_joint() -> None:
    bare, offset = (analyse(warren(by), idealisation="pinned") for by in (0.0, 120.0))
    assert bare == offset


def test_an_offset_where_nothing_shares_the_rotation_is_refused() -> None:
    truss = warren(0.0)
    hinged = replace(
        truss, members={**truss.members, MemberId("top"): beside(truss.members[MemberId("top")], last=(50.0, 0.0))}
    )
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(hinged)
    assert (caught.value.code, caught.value.where) == ("offset-on-hinge", "/members/top/offsets/last")
    assert caught.value.what == "top ends beside T2, where nothing shares the joint's rotation."


def test_the_second_method_agrees() -> None:
    truss, digest = warren(120.0), "sha256:" + "0" * 64
    record = recheck(truss, claims(calculate(truss, digest=digest)), digest=digest)
    assert record.verdict == "agrees"
    pinned = calculate(truss, digest=digest, idealisation="pinned")
    assert recheck(truss, claims(pinned), digest=digest, idealisation="pinned").verdict == "agrees"
