"""What turns with what, what is a station and what is held: as the document says, read by the recheck itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.trusses import CLAMP, PIN, ROLLER, build, stick
from trussio.model.truss import Curve, JointId, MemberId, Support, Truss
from trussio.recheck.axes import read_axes
from trussio.recheck.equilibrium import Equilibrium, equations

CROSS = {"A": (0.0, 0.0), "B": (4.0, 0.0), "M": (2.0, 1.0), "C": (0.0, 2.0), "D": (4.0, 2.0)}


def of(truss: Truss, idealisation: str = "continuous") -> Equilibrium:
    return equations(truss, read_axes(truss), "pinned" if idealisation == "pinned" else "continuous")


def test_a_stick_alone_at_a_joint_turns_with_it_and_ends_are_hinges() -> None:
    truss = build(
        joints=CROSS,
        members={"ab": stick("A", "M", "D"), "web": stick("C", "M")},
        supports={"A": PIN, "D": PIN, "C": PIN},
        cases={},
    )
    eq = of(truss)
    assert list(eq.turns) == [(JointId("M"), None)]
    assert list(eq.moments) == [(0, 1), (1, 0)]


def test_two_sticks_that_cross_turn_each_for_itself_and_a_fixed_end_with_the_joint() -> None:
    truss = build(
        joints={**CROSS, "E": (2.0, 3.0)},
        members={
            "one": stick("A", "M", "D"),
            "other": stick("C", "M", "B"),
            "post": stick("E", "M", fixed=("last",)),
        },
        supports=dict.fromkeys("ABCDE", PIN),
        cases={},
    )
    eq = of(truss)
    assert list(eq.turns) == [("M", None), ("M", "one"), ("M", "other")]
    assert eq.forces[eq.turns[JointId("M"), None]].any()
    assert not of(truss, "pinned").turns


def test_a_turning_hold_where_nothing_turns_is_no_hold() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": CLAMP, "B": Support(holds=("y",), springs={"turn": 5.0})},
        cases={},
    )
    eq = of(truss)
    assert (eq.turns, list(eq.springs), eq.free.shape) == ({}, [], (4, 1))


@pytest.mark.parametrize(
    ("says", "support", "free"),
    [
        ("both directions", Support(holds=("x", "y")), []),
        ("an inclined bearing holds along (3, 4)", Support(holds=((3.0, 4.0),)), [(-0.8, 0.6)]),
        ("two that are no right angle", Support(holds=((3.0, 4.0), "x")), []),
        ("the same one twice", Support(holds=((0.0, 5.0), "y")), [(-1.0, 0.0)]),
        ("a spring leaves it free", Support(springs={"x": 2.0}), [(1.0, 0.0), (0.0, 1.0)]),
    ],
)
def test_directions_that_a_bearing_leaves_free(
    says: str, support: Support, free: list[tuple[float, float]]
) -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": support},
        cases={},
    )
    found = of(truss).free[2:].T
    assert found.shape == (len(free), 2), says
    assert found.ravel() == pytest.approx([part for direction in free for part in direction]), says


def rafters(*extra: str, at: tuple[float, float] = (2000.0, 1500.0)) -> Truss:
    """A rafter pair with a purlin point P on the left rafter, and joints Q half way to it if asked for."""
    joints = {"B0": (0.0, 0.0), "Q": (1000.0, 750.0), "P": at, "T": (4000.0, 3000.0), "B1": (8000.0, 0.0)}
    left = ["B0", *(["Q"] if "Q" in extra else []), "P", "T"]
    members = {"left": stick(*left), "right": stick("T", "B1"), "tie": stick("B0", "B1")}
    if "web" in extra:
        members["web"] = stick("P", "B1")
    if "Q" not in extra:
        del joints["Q"]
    return build(joints=joints, members=members, supports={"B0": PIN, "B1": ROLLER}, cases={})


def carried(truss: Truss, joint: str) -> dict[str, float]:
    """How much of a unit load across the rafter (-3, 4) / 5 at a joint goes to each other joint."""
    eq = of(truss, "pinned")
    row = 2 * list(truss.joints).index(JointId(joint))
    handed = (np.array([-0.6, 0.8]) @ eq.carry[row : row + 2]).reshape(-1, 2) @ np.array([-0.6, 0.8])
    return {name: part for name, part in zip(truss.joints, handed.tolist(), strict=True) if abs(part) > 1e-12}


def test_a_purlin_point_hands_its_load_on_by_the_lever() -> None:
    assert carried(rafters(), "P") == pytest.approx({"B0": 0.5, "T": 0.5})


def test_two_purlin_points_in_a_row_hand_on_to_the_joints_beyond() -> None:
    assert carried(rafters("Q"), "Q") == pytest.approx({"B0": 0.75, "T": 0.25})
    assert carried(rafters("Q"), "P") == pytest.approx({"B0": 0.5, "T": 0.5})


@pytest.mark.parametrize(
    ("says", "truss"),
    [
        ("a web meets it", rafters("web")),
        ("it stands off the line by more than a tape is read", rafters(at=(2000.0, 1505.0))),
    ],
)
def test_what_is_no_station(says: str, truss: Truss) -> None:
    assert carried(truss, "P") == pytest.approx({"P": 1.0}), says


def test_a_station_stands_on_no_bearing_and_on_no_arc() -> None:
    held = rafters()
    on_bearing = replace(held, supports={**held.supports, JointId("P"): ROLLER})
    assert carried(on_bearing, "P") == pytest.approx({"P": 1.0})
    bent = stick("B0", "P", "T", curve=Curve(radius=9e5, bows="up"))
    assert carried(replace(held, members={**held.members, MemberId("left"): bent}), "P") == pytest.approx(
        {"P": 1.0}
    )


def test_the_lever_of_sticks_that_lie_over_each_other() -> None:
    """A short stick doubles part of the rafter: its end P is nearest to Q on one stick and to B0 on the other."""
    base = rafters("Q")
    doubled = replace(base, members={**base.members, MemberId("lap"): stick("B0", "P")})
    assert carried(doubled, "Q") == pytest.approx({"B0": 0.75, "T": 0.25})
    assert carried(doubled, "P") == pytest.approx({"B0": 0.5, "T": 0.5})


def test_a_column_holds_what_one_unknown_does_to_the_joints() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (3.0, 4.0)},
        members={"bar": stick("A", "B", fixed=("first", "last"))},
        supports={"A": CLAMP},
        cases={},
    )
    eq = of(truss)
    axial, first, last = eq.forces.T
    assert axial == pytest.approx([0.6, 0.8, -0.6, -0.8, 0, 0])
    assert first == pytest.approx([-0.16, 0.12, 0.16, -0.12, 1, 0])
    assert last == pytest.approx([0.16, -0.12, -0.16, 0.12, 0, -1])
