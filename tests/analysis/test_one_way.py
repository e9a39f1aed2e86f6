"""Members that carry one way: each run whole, with the set that balances it, or an error that names the run."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.strategies import seeded
from tests.trusses import CROSSED_SQUARE, PIN, RAFTER_PAIR, ROLLER, at_joint, build, stick
from trussio.analysis import one_way
from trussio.analysis.contact import NoBalanceError, least
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, LoadCase, Longer, RunId, Target
from trussio.model.truss import JointId, MemberId, SegmentId
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.analysis.arrays import Floats
    from trussio.model.forces import RunForces
    from trussio.model.loading import Load
    from trussio.model.truss import Acts, Idealisation, Member, Truss

P = RunId("P")
DIGEST = "sha256:" + "0" * 64


def acting(truss: Truss, acts: Acts, *names: str) -> Truss:
    """A truss some of whose members carry one way."""
    members = {
        name: replace(member, acts=acts) if name in names else member for name, member in truss.members.items()
    }
    return replace(truss, members=members)


def without(truss: Truss, *names: str) -> Truss:
    """A truss without some members."""
    return replace(truss, members={name: m for name, m in truss.members.items() if name not in names})


def loaded(truss: Truss, cases: Mapping[str, tuple[Load, ...]], **combinations: Mapping[str, float]) -> Truss:
    """A truss with other loads."""
    return replace(
        truss,
        loads=replace(
            truss.loads,
            cases={RunId(name): LoadCase(loads=loads) for name, loads in cases.items()},
            combinations={
                RunId(name): {RunId(case): factor for case, factor in factors.items()}
                for name, factors in combinations.items()
            },
        ),
    )


def axial(run: RunForces) -> dict[str, float]:
    """Axial force by segment."""
    return {str(name): forces.axial for name, forces in run.segments.items()}


KING_LOADS = [("D", 0.0, -12345.678), ("E", 77.0, -5432.1), ("F", -77.0, -5432.1)]
SQUARE = acting(CROSSED_SQUARE.truss, "tension", "ac", "bd")


@pytest.mark.parametrize(("push", "slack", "tight"), [(1000.0, "bd:B-D", "ac"), (-1000.0, "ac:A-C", "bd")])
@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_crossed_rods_are_one_diagonal(push: float, slack: str, tight: str, idealisation: Idealisation) -> None:
    """The square with the one diagonal that is pulled: 1000 sqrt 2 in it, nothing in the other."""
    truss = loaded(SQUARE, {"P": (at_joint("D", fx=push),)})
    run = analyse(truss, idealisation=idealisation)[P]
    single = analyse(without(truss, {"ac": "bd", "bd": "ac"}[tight]), idealisation=idealisation)[P]
    assert [*run.slack] == [slack]
    assert run.segments[SegmentId(slack)].axial == pytest.approx(0.0, abs=1e-9)
    for name, force in axial(single).items():
        assert axial(run)[name] == pytest.approx(force, rel=1e-9, abs=1e-9)
    assert max(axial(run).values()) == pytest.approx(1000.0 * sqrt(2))
    for joint, moved in single.joints.items():
        assert run.joints[joint].dx == pytest.approx(moved.dx, rel=1e-9, abs=1e-12)


def test_struts_that_only_butt_are_the_other_diagonal() -> None:
    run = analyse(acting(CROSSED_SQUARE.truss, "compression", "ac", "bd"))[P]
    assert [*run.slack] == ["ac:A-C"]
    assert axial(run)["bd:B-D"] == pytest.approx(-1000.0 * sqrt(2))


def test_the_slack_is_how_far_the_ends_have_come_together() -> None:
    truss = loaded(SQUARE, {"P": (at_joint("D", fx=1000.0),)})
    run = analyse(truss)[P]
    b, d = run.joints[JointId("B")], run.joints[JointId("D")]
    longer = ((d.dx - b.dx) * -1.0 + (d.dy - b.dy) * 1.0) / sqrt(2)
    assert run.slack[SegmentId("bd:B-D")] == pytest.approx(-longer)


def test_runs_are_solved_whole_and_never_summed() -> None:
    """Pushed either way a diagonal works; pushed both ways at once neither does."""
    truss = loaded(
        SQUARE,
        {"L": (at_joint("D", fx=1000.0),), "R": (at_joint("D", fx=-600.0),)},
        both={"L": 1.0, "R": 1.0},
        none={"L": 0.6, "R": 1.0},
    )
    runs = analyse(truss)
    left, right, both, none = (axial(runs[RunId(name)]) for name in ("L", "R", "both", "none"))
    assert both["ac:A-C"] == pytest.approx(400.0 * sqrt(2))
    assert both["bd:B-D"] == pytest.approx(0.0, abs=1e-9)
    assert left["bd:B-D"] + right["bd:B-D"] == pytest.approx(600.0 * sqrt(2))
    assert max(map(abs, none.values())) == pytest.approx(0.0, abs=1e-9)
    assert runs[RunId("none")].slack == {}


def test_rods_that_were_tightened_stay_tight_until_their_tension_is_gone() -> None:
    """Each rod 2 mm short. Half of 1414 goes into each rod while both act; then one goes slack."""
    tight = (
        Longer(on=Target(member=MemberId("ac")), by=-2.0),
        Longer(on=Target(member=MemberId("bd")), by=-2.0),
    )
    truss = loaded(
        SQUARE,
        {"T": tight, "P": (at_joint("D", fx=1000.0),)},
        small={"T": 1.0, "P": 1.0},
        large={"T": 1.0, "P": 30.0},
    )
    runs = analyse(truss)
    pre = axial(runs[RunId("T")])["ac:A-C"]
    assert pre == pytest.approx(axial(runs[RunId("T")])["bd:B-D"])
    assert 1000.0 / sqrt(2) < pre < 30.0 * 1000.0 / sqrt(2)
    small, large = axial(runs[RunId("small")]), axial(runs[RunId("large")])
    assert (small["ac:A-C"], small["bd:B-D"]) == pytest.approx((pre + 1000 / sqrt(2), pre - 1000 / sqrt(2)))
    assert runs[RunId("small")].slack == {}
    assert [*runs[RunId("large")].slack] == ["bd:B-D"]
    assert large["ac:A-C"] == pytest.approx(30.0 * 1000.0 * sqrt(2))


def test_a_run_that_no_set_balances_is_refused_by_name() -> None:
    truss = acting(RAFTER_PAIR.truss, "compression", "tie")
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(truss)
    assert (caught.value.code, caught.value.where) == ("no-acting-set", "/members/tie")
    assert caught.value.what == (
        "in run P no set of the members that carry one way balances the loads: "
        "tie would have to carry the other way."
    )
    lifted = loaded(truss, {"P": (at_joint("T1", fy=6000.0),)})
    assert axial(analyse(lifted)[P])["tie:B0-B2"] == pytest.approx(-4000.0)


def test_a_member_at_exactly_no_force_is_neither_slack_nor_wrong() -> None:
    truss = acting(RAFTER_PAIR.truss, "tension", "tie")
    held = replace(truss, supports={JointId("B0"): PIN, JointId("B2"): PIN})
    run = analyse(held)[P]
    assert axial(run)["tie:B0-B2"] == pytest.approx(0.0, abs=1e-9)
    assert run.slack == {}


@pytest.mark.parametrize("rise", [1731.0, 1732.1, 1777.7, 1811.3])
def test_a_rod_that_carries_no_more_than_rounding_is_no_contradiction(rise: float) -> None:
    """A king rod at whose foot nothing hangs: zero by joint M, and rounding by the computer, of either sign."""
    joints = {"B0": (0.0, 0.0), "M": (3000.0, 0.0), "B2": (6000.0, 0.0), "T1": (3000.0, rise)}
    sticks = {
        "tie": stick("B0", "M", "B2"),
        "l": stick("B0", "T1"),
        "r": stick("T1", "B2"),
        "rod": stick("M", "T1"),
    }
    cases = {name: (at_joint("T1", fx=fx, fy=fy),) for name, fx, fy in KING_LOADS}
    truss = build(joints=joints, members=sticks, supports={"B0": PIN, "B2": ROLLER}, cases=cases)
    runs = analyse(acting(truss, "tension", "rod"), idealisation="pinned")
    assert [axial(run)["rod:M-T1"] for run in runs.values()] == pytest.approx([0.0] * len(cases), abs=1e-9)


def test_a_set_that_does_not_hold_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the search were wrong, the final forces would say so."""

    def careless(growth: Floats, *_: Floats, **__: object) -> Floats:
        return np.zeros(len(growth))

    monkeypatch.setattr(one_way, "least", careless)
    with pytest.raises(CannotAnalyseError, match="bd would have to carry the other way"):
        analyse(loaded(SQUARE, {"P": (at_joint("D", fx=1000.0),)}))


def tower(seed: int) -> Truss:
    """Crossed panels on each other with rods as diagonals, pushed about at random."""
    draw = seeded(seed)
    panels = 4
    joints = {
        f"{side}{level}": (1000.0 * (side == "R"), 800.0 * level) for level in range(panels + 1) for side in "LR"
    }
    members: dict[str, Member] = {}
    for level in range(panels):
        members |= {
            f"l{level}": stick(f"L{level}", f"L{level + 1}"),
            f"r{level}": stick(f"R{level}", f"R{level + 1}"),
            f"h{level}": stick(f"L{level + 1}", f"R{level + 1}"),
            f"x{level}": replace(stick(f"L{level}", f"R{level + 1}"), acts="tension"),
            f"y{level}": replace(stick(f"R{level}", f"L{level + 1}"), acts="tension"),
        }
    loads: list[Load] = [
        JointLoad(joint=JointId(f"{side}{level}"), fx=draw.uniform(-1e3, 1e3), fy=draw.uniform(-1e3, 0.0))
        for level in range(1, panels + 1)
        for side in "LR"
    ]
    loads += [
        Longer(on=Target(member=MemberId(f"{way}{level}")), by=draw.uniform(-1.0, 0.3))
        for level in range(panels)
        for way in "xy"
    ]
    return build(joints=joints, members=members, supports={"L0": PIN, "R0": PIN}, cases={"P": tuple(loads)})


@pytest.mark.parametrize("seed", range(12))
def test_the_set_is_the_one_that_trying_all_sets_finds(seed: int) -> None:
    """Of every set of rods, analysed as a truss of its own, just one has tension in it and slack outside."""
    truss = tower(seed)
    run = analyse(truss)[P]
    rods = [name for name, member in truss.members.items() if member.acts]
    plain = replace(truss, members={name: replace(m, acts=None) for name, m in truss.members.items()})
    sound = []
    for count in range(len(rods) + 1):
        for gone in combinations(rods, count):
            if any({f"x{level}", f"y{level}"} <= {*gone} for level in range(4)):
                continue  # a panel without a diagonal is a mechanism
            forces = analyse(without_rods(plain, gone))[P]
            tight = all(f.axial >= -1e-6 for name, f in forces.segments.items() if str(name)[:2] in rods)
            if tight and all(closing(plain, forces, name) <= 1e-9 for name in gone):
                sound.append((gone, axial(forces)))
    assert len(sound) == 1
    gone, expected = sound[0]
    assert {str(name)[:2] for name in run.slack} == {*gone}
    for name, force in expected.items():
        assert axial(run)[name] == pytest.approx(force, rel=1e-8, abs=1e-6)


def without_rods(truss: Truss, names: tuple[str, ...]) -> Truss:
    """A truss without some rods and what tightens them."""
    loads = tuple(
        load for load in truss.loads.cases[P].loads if not (isinstance(load, Longer) and load.on.member in names)
    )
    bare = without(truss, *names)
    return replace(bare, loads=replace(bare.loads, cases={P: LoadCase(loads=loads)}))


def closing(truss: Truss, forces: RunForces, name: str) -> float:
    """By how much the ends of a rod that is not there lie further apart than the rod is long."""
    member = truss.members[MemberId(name)]
    one, other = (truss.joints[joint] for joint in member.through)
    moved = [forces.joints[joint] for joint in member.through]
    x, y = other.x - one.x, other.y - one.y
    apart = ((moved[1].dx - moved[0].dx) * x + (moved[1].dy - moved[0].dy) * y) / sqrt(x**2 + y**2)
    longer = sum(
        load.by for load in truss.loads.cases[P].loads if isinstance(load, Longer) and load.on.member == name
    )
    return apart - longer


def test_bounds_on_both_sides_are_kept() -> None:
    growth = np.array([[2.0, 1.0], [1.0, 2.0]])
    low, high = np.array([-1.0, 0.0]), np.array([1.0, np.inf])
    own = np.array([2.0, 2.0])
    found = least(growth, np.array([5.0, -1.0]), low, high, own=own, nothing=1e-12)
    assert found == pytest.approx([-1.0, 1.0]), "the first pulls on its lower bound, the second gives way"
    found = least(growth, np.array([-0.5, -1.0]), low, high, own=own, nothing=1e-12)
    assert growth @ found + [-0.5, -1.0] == pytest.approx([0.0, 0.0])


def test_two_that_can_take_each_other_s_place_are_settled() -> None:
    """A singular case: two slack rods in one gap. One of them takes it all, and the truss still stands."""
    growth = np.ones((2, 2))
    found = least(growth, np.array([-3.0, -3.0]), np.zeros(2), np.full(2, np.inf), own=np.ones(2), nothing=1e-12)
    assert found.sum() == pytest.approx(3.0)
    assert min(found) == 0.0


def test_what_goes_on_without_end_is_told() -> None:
    with pytest.raises(NoBalanceError) as caught:
        least(
            np.diag([1.0, 0.0]),
            np.array([1.0, -1.0]),
            np.zeros(2),
            np.full(2, np.inf),
            own=np.ones(2),
            nothing=1e-12,
        )
    assert caught.value.direction == pytest.approx([0.0, 1.0])


def test_the_second_method_agrees() -> None:
    truss = loaded(SQUARE, {"P": (at_joint("D", fx=1000.0),)})
    record = recheck(truss, claims(calculate(truss, digest=DIGEST)), digest=DIGEST)
    assert record.verdict == "agrees"


def test_a_rolling_end_may_be_tied_by_a_rod_that_never_pulls() -> None:
    """A rod that the loads leave without work is slack or not, and harms nothing."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (500.0, 500.0)},
        members={
            "ab": stick("A", "B"),
            "ac": stick("A", "C"),
            "bc": stick("B", "C"),
            "rod": replace(stick("A", "B"), acts="compression"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fy=-1000.0),)},
    )
    run = analyse(truss)[P]
    assert [*run.slack] == ["rod:A-B"]
    assert axial(run)["ab:A-B"] == pytest.approx(500.0)
