"""Connections that slip, have play, or turn against a spring: closed forms, and what slip does to the forces."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.trusses import CLAMP, LONG_DIAGONAL, PIN, ROLLER, WARM_BAR, along, at_joint, build, stick
from trussio.analysis.as_found import as_found
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.model.condition import Parted
from trussio.model.loading import LineLoad, RunId, Target
from trussio.model.truss import Curve, JointId, MemberId, SegmentId
from trussio.recheck.energy import second_forces
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.forces import RunForces
    from trussio.model.truss import End, Idealisation, Truss

P = RunId("P")
EA, EI = 1e7, 1e10
DIGEST = "sha256:" + "0" * 64


def given(
    truss: Truss,
    name: str,
    *,
    slip: dict[End, float] | None = None,
    play: dict[End, float] | None = None,
    turning: dict[End, float] | None = None,
) -> Truss:
    """A truss one of whose members slips, has play, or turns against springs."""
    member = replace(truss.members[MemberId(name)], slip=slip, play=play, turning=turning)
    return replace(truss, members={**truss.members, MemberId(name): member})


def axial(run: RunForces, name: str) -> float:
    return run.segments[SegmentId(name)].axial


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_a_warm_bar_between_walls_pushes_less_where_its_ends_give(idealisation: Idealisation) -> None:
    """3000 N of E A 1e-5 x 30 without slip; the ends give 1 / 8000 and 1 / 4000 beside L / E A = 1 / 5000."""
    slipping = given(WARM_BAR.truss, "bar", slip={"first": 8000.0, "last": 4000.0})
    run = analyse(slipping, idealisation=idealisation)[P]
    expected = -3000.0 * (1 / 5000) / (1 / 5000 + 1 / 8000 + 1 / 4000)
    assert axial(run, "bar:A-B") == pytest.approx(expected)
    assert run.slip[SegmentId("bar:A-B")] == pytest.approx(expected + 3000.0)


def test_slip_of_a_determinate_truss_moves_its_joints_and_not_its_forces() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", fx=1000.0),)},
    )
    run = analyse(given(truss, "bar", slip={"last": 500.0}))[P]
    assert run.joints[JointId("B")].dx == pytest.approx(1000.0 * (2000.0 / EA + 1 / 500.0))
    assert run.slip == {"bar:A-B": pytest.approx(0.0, abs=1e-9)}


def test_a_spring_takes_the_force_of_its_own_end() -> None:
    """A bar between walls under 0.5 N/mm along it: N L / EA - q L2 / 2 EA + N / k = 0 with N at the spring."""
    load = LineLoad(on=Target(member=MemberId("bar")), direction="right", value=0.5)
    truss = replace(
        WARM_BAR.truss,
        loads=replace(WARM_BAR.truss.loads, cases={P: replace(WARM_BAR.truss.loads.cases[P], loads=(load,))}),
    )
    length, k = 2000.0, 3000.0
    expected = 0.5 * length**2 / (2 * EA) / (length / EA + 1 / k)
    run = analyse(given(truss, "bar", slip={"first": k}))[P]
    assert run.segments[SegmentId("bar:A-B")].axial_ends[0] == pytest.approx(expected)
    mirrored = analyse(given(truss, "bar", slip={"last": k}))[P]
    assert mirrored.segments[SegmentId("bar:A-B")].axial_ends[1] == pytest.approx(-expected)


def test_a_spring_at_the_end_of_an_arc_acts_along_the_arc_there() -> None:
    """Two quarter circles: at its lower end each runs upright, so that only the upright force slips, V / k."""
    truss = build(
        joints={"A": (-3000.0, 0.0), "C": (0.0, 3000.0), "B": (3000.0, 0.0)},
        members={
            "left": stick("A", "C", curve=Curve(radius=3000.0, bows="up")),
            "right": stick("C", "B", curve=Curve(radius=3000.0, bows="up")),
        },
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("C", fy=-4000.0),)},
    )
    one, slipping = (
        analyse(each)[P].joints[JointId("C")] for each in (truss, given(truss, "left", slip={"first": 1e3}))
    )
    # the rib sinks 2000 / 1000 along its lower tangent; C goes with it, turning about B
    assert (slipping.dx - one.dx, slipping.dy - one.dy) == pytest.approx((-1.0, -1.0), rel=1e-9)


@pytest.mark.parametrize(("play", "carried"), [(0.2, -3000.0 * (0.6 - 0.4) / 0.6), (0.3, 0.0), (0.4, 0.0)])
def test_play_is_taken_up_before_a_warm_bar_pushes(play: float, carried: float) -> None:
    """The bar grows by 0.6 mm; both ends have play, so that twice it is taken up first."""
    run = analyse(given(WARM_BAR.truss, "bar", play={"first": play, "last": play}))[P]
    assert axial(run, "bar:A-B") == pytest.approx(carried, abs=1e-6)
    assert run.slip[SegmentId("bar:A-B")] == pytest.approx(carried + 3000.0)
    assert run.slack == {}


@pytest.mark.parametrize("play", [0.4, 1e-7])
def test_play_without_any_load_carries_nothing(play: float) -> None:
    """Rounding of the play itself is no force that a set would have to balance."""
    bars = {name: replace(stick(*name.upper()), play={"first": play}) for name in ("ad", "bd", "cd")}
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (2100.0, 100.0), "D": (900.0, -1300.0)},
        members={**bars, "bar": stick("A", "D"), "beside": stick("C", "D")},
        supports={"A": PIN, "B": PIN, "C": PIN},
        cases={"P": (at_joint("D", fx=0.0),)},
    )
    (run,) = analyse(truss, idealisation="pinned").values()
    (again,) = second_forces(truss, idealisation="pinned").values()
    assert max(abs(segment.axial) for segment in run.segments.values()) < 1e-9
    assert max(abs(force) for force in again.axial.values()) < 1e-9


def test_play_works_both_ways_and_makes_runs_whole() -> None:
    """Warmed it pushes 3000 less 1000 for 0.2 mm; warmed twice as much 6000 less the same; cooled it pulls."""
    truss = given(WARM_BAR.truss, "bar", play={"first": 0.2})
    runs = analyse(
        replace(
            truss,
            loads=replace(truss.loads, combinations={RunId("twice"): {P: 2.0}, RunId("cold"): {P: -1.0}}),
        )
    )
    assert axial(runs[P], "bar:A-B") == pytest.approx(-3000.0 + 1000.0)
    assert axial(runs[RunId("twice")], "bar:A-B") == pytest.approx(-6000.0 + 1000.0)
    assert axial(runs[RunId("cold")], "bar:A-B") == pytest.approx(3000.0 - 1000.0)


def test_play_shifts_force_between_diagonals() -> None:
    """A diagonal too long by 2 mm of which half is taken up by play does as one too long by 1 mm."""
    truss = LONG_DIAGONAL.truss
    played = analyse(given(truss, "bd", play={"first": 0.5, "last": 0.5}))[P]
    assert axial(played, "bd:B-D") == pytest.approx(LONG_DIAGONAL.axial["bd:B-D"] / 2)


@pytest.mark.parametrize(
    ("stiffness", "share"),
    [(1e16, 1.0), (3 * EI / 4000.0, 0.5), (1.0, 0.0)],
)
def test_a_fixed_end_turns_against_its_spring(stiffness: float, share: float) -> None:
    """Fixed at one end: w L2 / 8 over 1 + 3 EI / (L k); from full moment to hinge."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP, "B": ROLLER},
        cases={"P": (along("beam", 2.0),)},
    )
    run = analyse(given(truss, "beam", turning={"first": stiffness}))[P]
    moment = run.segments[SegmentId("beam:A-B")].moment[0]
    assert moment == pytest.approx(-share * 2.0 * 4000.0**2 / 8, rel=1e-6, abs=1e3)
    assert run.slip == {}, "turning is no slip along the stick"


def test_a_chord_splice_goes_from_hinge_to_full_moment() -> None:
    """Two sticks over three supports, spliced over the middle: w L2 / 8 over 1 + 3 EI / (2 L k)."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4000.0, 0.0), "C": (8000.0, 0.0)},
        members={"left": stick("A", "B", fixed=("last",)), "right": stick("B", "C", fixed=("first",))},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (along("left", 2.0), along("right", 2.0))},
    )
    k = 2e6
    run = analyse(given(truss, "left", turning={"last": k}))[P]
    expected = -(2.0 * 4000.0**2 / 8) / (1 + 3 * EI / (2 * 4000.0 * k))
    assert run.segments[SegmentId("left:A-B")].moment[1] == pytest.approx(expected)


def test_a_stick_that_came_away_takes_its_spring_with_it() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4000.0, 0.0), "C": (8000.0, 0.0)},
        members={
            "beam": replace(
                stick("A", "B", "C", fixed=("last",)),
                slip={"first": 1.0, "last": 2.0},
                turning={"last": 3.0},
                offsets={"last": (0.0, 9.0)},
                play={"first": 4.0},
            )
        },
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": ()},
    )
    entry = Parted(member=MemberId("beam"), at=JointId("C"), seen="")
    member = as_found(replace(truss, condition={"c1": entry}), "continuous")[0].members[MemberId("beam")]
    assert (member.slip, member.play, member.turning, member.offsets) == ({"first": 1.0}, {"first": 4.0}, {}, {})


def test_the_second_method_agrees() -> None:
    by: dict[End, float] = {"first": 0.2}
    for truss in (given(WARM_BAR.truss, "bar", slip=by), given(WARM_BAR.truss, "bar", play=by)):
        record = recheck(truss, claims(calculate(truss, digest=DIGEST)), digest=DIGEST)
        assert record.verdict == "agrees"
