"""Tendons that a run leaves slack: solved whole without their force, each run with signs that hold.

Closed forms are own derivations; a tendon from joint to joint is held against a stick that acts in tension alone.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.analysis.staged import difference, now, stages, stressed, tendon
from tests.analysis.test_giving import hangers
from tests.analysis.test_one_way import acting
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.run import analyse, analysed
from trussio.errors import CannotAnalyseError
from trussio.model.loading import LoadCase, Longer, RunId, Target
from trussio.model.material import Material, Section
from trussio.model.staging import Add, PutOn, Release, Shore, TakeOff, Tension
from trussio.model.tendon import TendonLoad
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, SegmentId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import RunForces
    from trussio.model.tendon import Tendon
    from trussio.model.truss import Truss

D, UP, PT = RunId("D"), RunId("up"), RunId("PT")
SPAN, W = 8000.0, 2.0


def combined(truss: Truss, combinations: Mapping[str, Mapping[RunId, float]]) -> Truss:
    named = {RunId(name): by for name, by in combinations.items()}
    return replace(truss, loads=replace(truss.loads, combinations=named))


def beam() -> Truss:
    return build(
        joints={"A": (0.0, 0.0), "M": (SPAN / 2, 0.0), "B": (SPAN, 0.0)},
        members={"beam": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (along("beam", W),)},
    )


def trussed(force: float = 5e3) -> Truss:
    """A beam with a rod under it that is turned down at mid-span."""
    rod = tendon("A", "M", "B", on="beam", offsets=(0.0, -600.0, 0.0), area=100.0, E=1e5, sure=True)
    return stressed(beam(), {"t": rod}, force)


def test_a_rod_that_would_push_is_slack_and_the_beam_carries_alone() -> None:
    runs = analyse(combined(trussed(), {"up": {D: -1.0, PT: 1.0}, "down": {D: 1.0, PT: 1.0}}))
    alone = analyse(combined(beam(), {"up": {D: -1.0}}))[UP]
    assert difference(runs[UP], alone) < 1e-9
    assert runs[UP].tendons == {"t": (0.0, 0.0)}
    assert runs[UP].loose["t"] > 0.0
    assert runs[RunId("down")].loose == {}
    assert min(runs[RunId("down")].tendons["t"]) > 5e3


@pytest.mark.parametrize(("by", "slack"), [(0.999, 0), (1.0, 0), (1.001, 1)])
def test_it_is_slack_only_beyond_where_its_force_is_nought(by: float, slack: int) -> None:
    runs = analyse(combined(trussed(), {"one": {D: -1.0, PT: 1.0}, "less": {D: -0.01, PT: 1.0}}))
    lost = (5e3 - min(runs[RunId("less")].tendons["t"])) / 0.01
    at = 5e3 / lost * by
    run = analyse(combined(trussed(), {"at": {D: -at, PT: 1.0}}))[RunId("at")]
    assert len(run.loose) == slack
    assert min(run.tendons["t"]) == pytest.approx(0.0 if slack else 5e3 * (1.0 - by), abs=1e-5)


def test_what_comes_in_while_the_rod_is_slack_carries_from_there_on() -> None:
    """Bar, rod and newcomer of E A / L = 1e4 each, the rod a tendon of 500. 1600 up slacken it.

    When they go off again, bar and newcomer go down together until the rod is tight.
    """
    truss = hangers()
    members = {name: one for name, one in truss.members.items() if name != "rod"}
    cases = {**truss.loads.cases, UP: replace(truss.loads.cases[UP], loads=(at_joint("B", fy=1600.0),))}
    truss = replace(truss, members=members, loads=replace(truss.loads, cases=cases))
    rod = tendon("A", "B", area=100.0, E=1e5, sure=True)
    way = stages(
        stressed(truss, {"t": rod}, 500.0),
        (Tension(("t",)),),
        (PutOn((UP,)),),
        (Add((MemberId("late"),)),),
        (TakeOff((UP,)),),
    )
    runs = analyse(way, idealisation="pinned")
    bar, late = SegmentId("bar:A-B"), SegmentId("late:A-B")
    assert runs[now(1)].tendons["t"] == pytest.approx((500.0,))
    assert runs[now(2)].segments[bar].axial == pytest.approx(-1600.0)
    assert runs[now(2)].tendons["t"] == (0.0,)
    assert runs[now(2)].loose["t"] == pytest.approx((1600.0 - 500.0) / 1e4 - 500.0 / 1e4)
    assert runs[now(3)].segments[late].axial == 0.0
    # from slack by 0.06: bar and newcomer go down 0.06 together, then all three share the rest of 1600
    rest = (1600.0 - 2 * 600.0) / 3
    assert runs[now(4)].tendons["t"] == pytest.approx((rest,))
    assert runs[now(4)].segments[late].axial == pytest.approx(600.0 + rest)
    assert runs[now(4)].segments[bar].axial == pytest.approx(-1600.0 + 600.0 + rest)
    assert runs[now(4)].loose == {}


def test_a_stage_that_is_not_asked_for_is_followed_all_the_same() -> None:
    """The shore under M is lifted off only since the rod is slack: the run of the last stage says so."""
    way = stages(trussed(), (Tension(("t",)),), (PutOn((D,)),), (TakeOff((D,)),))
    assert analyse(way, runs=[now(3)])[now(3)].tendons["t"] == pytest.approx((5e3, 5e3))


def test_stressing_a_slack_tendon_again_takes_up_what_it_was_loose_by() -> None:
    up = replace(trussed().loads.cases[D], loads=(along("beam", -W),))
    truss = trussed()
    truss = replace(truss, loads=replace(truss.loads, cases={**truss.loads.cases, D: up}))
    way = stages(truss, (Tension(("t",)),), (PutOn((D,)),), (Tension(("t",), to=0.5),), (TakeOff((D,)),))
    runs = analyse(way)
    assert runs[now(2)].tendons["t"] == (0.0, 0.0)
    assert runs[now(3)].tendons["t"] == pytest.approx((2.5e3, 2.5e3))
    assert runs[now(3)].loose == {}
    assert min(runs[now(4)].tendons["t"]) > 2.5e3


def uneven() -> Truss:
    """Friction at the deviator leaves the second leg with less than the first; the long term with less still."""
    rod = tendon("A", "M", "B", on="beam", offsets=(0.0, -600.0, 0.0), area=100.0, E=1e5)._replace(friction=0.2)
    return stressed(beam(), {"t": rod}, 5e3)


def test_legs_that_friction_left_uneven_are_all_slack() -> None:
    runs = analyse(combined(uneven(), {"up": {D: -1.0, PT: 1.0}}))
    alone = analyse(combined(beam(), {"up": {D: -1.0}}))[UP]
    for run in (UP, RunId("up (least)")):
        assert runs[run].tendons == {"t": (0.0, 0.0)}
        assert difference(runs[run], alone) < 1e-9
    assert runs[RunId("up (least)")].loose["t"] > runs[UP].loose["t"]


def test_a_leg_that_is_slack_while_another_pulls_is_refused() -> None:
    one, other = analyse(uneven())[PT].tendons["t"]
    lost = (other - analyse(combined(uneven(), {"up": {D: -0.01, PT: 1.0}}))[UP].tendons["t"][1]) / 0.01
    between = (one + 3 * other) / 4 / lost
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(combined(uneven(), {"up": {D: -between, PT: 1.0}}))
    assert str(caught.value).startswith(
        "tendon-slack at /tendons/t: in run up a leg of the tendon t loses all of its force while others pull."
    )


def test_a_tendon_that_acts_as_a_force_never_slackens() -> None:
    truss = trussed()
    truss = replace(truss, tendons={"t": truss.tendons["t"]._replace(acts="force")})
    run = analyse(combined(truss, {"up": {D: -1.0, PT: 1.0}}))[UP]
    assert run.tendons["t"] == pytest.approx((5e3, 5e3))
    assert run.loose == {}


def test_where_nothing_else_holds_no_set_balances() -> None:
    """A joint that only the tendon holds down is lifted off."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (500.0, 800.0)},
        members={"a": stick("A", "C"), "b": stick("C", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("C", fy=1000.0),)},
    )
    rod = tendon("A", "B", area=50.0, E=2e5, sure=True)
    truss = combined(stressed(truss, {"t": rod}, 10.0), {"up": {D: 1.0, PT: 1.0}})
    with pytest.raises(CannotAnalyseError, match=r"mechanism"):
        analyse(truss, idealisation="pinned")
    held = replace(truss, members={**truss.members, MemberId("soft"): stick("A", "B")})
    found = analysed(held, idealisation="pinned")
    assert found.runs[UP].tendons["t"] == (0.0,)


def test_rods_and_a_tendon_are_settled_together() -> None:
    """A rod that acts in tension alone and a tendon beside each other, both slack: the bar carries alone."""
    truss = hangers()
    rod = tendon("A", "B", area=100.0, E=1e5, sure=True)
    truss = combined(stressed(truss, {"t": rod}, 30.0), {"both": {UP: 1.0, PT: 1.0}})
    kept = {name: one for name, one in truss.members.items() if name != "late"}
    run = analyse(replace(truss, members=kept), idealisation="pinned")[RunId("both")]
    assert run.segments[SegmentId("bar:A-B")].axial == pytest.approx(-600.0)
    assert run.tendons["t"] == (0.0,)
    assert [*run.slack] == ["rod:A-B"]


def test_a_shore_is_judged_by_what_it_carries_with_the_tendon_slack() -> None:
    """Up by D, the rod as a member would hold the beam down; slack, it lets the shore at M go."""
    truss = trussed()
    up = replace(truss.loads.cases[D], loads=(along("beam", -W),))
    truss = replace(truss, loads=replace(truss.loads, cases={**truss.loads.cases, D: up}))
    way = stages(truss, (Tension(("t",)), Shore((JointId("M"),))), (PutOn((D,)),), (Release((JointId("M"),)),))
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(way)
    assert str(caught.value).startswith('shore-lifts-off at /stages/1: in stage "s2" the shore at M lifts off')


SEEDS = st.integers(0, 2**32 - 1)


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_a_tendon_from_joint_to_joint_is_a_stick_in_tension_alone(seed: int) -> None:
    """The same truss with a stick made too short by what gives the force that the tendon is jacked to."""
    rng = seeded(seed)
    plain = random_truss(rng, idealisation="pinned", stations=False)
    names = list(plain.joints)
    first, last = rng.sample(names, 2)
    area, stiff = 40.0, 2e5
    rod = replace(stick(first, last), section=SectionId("rod"), material=MaterialId("rod"))
    short = LoadCase(kind="post-tension", loads=(Longer(on=Target(member=MemberId("rod")), by=-1.0),))
    case = next(iter(plain.loads.cases))
    loads = replace(plain.loads, cases={case: plain.loads.cases[case], PT: short})
    sticks = replace(
        plain,
        members={**plain.members, MemberId("rod"): rod},
        sections={**plain.sections, SectionId("rod"): Section(area=area)},
        materials={**plain.materials, MaterialId("rod"): Material(E=stiff, density=0.0, expansion=0.0)},
        loads=loads,
    )
    between = SegmentId(f"rod:{first}-{last}")
    jack = analyse(sticks, idealisation="pinned")[PT].segments[between].axial
    runs = {
        f"c{n}": {case: float(rng.gauss(0.0, 1.0)) * 3, PT: float(rng.uniform(0.2, 3.0)) / max(jack, 1e-9)}
        for n in range(4)
    }
    rods = combined(acting(sticks, "tension", "rod"), runs)
    held = analysed(rods, idealisation="pinned").runs
    tendons = combined(
        stressed(
            replace(plain, loads=replace(loads, cases={case: loads.cases[case]})),
            {"t": tendon(first, last, area=area, E=stiff, sure=True)},
            jack,
        ),
        runs,
    )
    found = analyse(tendons, idealisation="pinned", runs=[RunId(run) for run in runs])
    for run in map(RunId, runs):
        force = held[run].segments[between].axial
        assert found[run].tendons["t"] == pytest.approx((force,), abs=1e-6 * max(1.0, abs(force)))
        without = replace(held[run], segments={n: s for n, s in held[run].segments.items() if n != between})
        assert difference(found[run], without) < 1e-7


def two_tendons(seed: int) -> Truss:
    """A generated truss with two tendons through joints anywhere, under one load in many sizes, and under none."""
    rng = seeded(seed)
    plain = random_truss(rng, idealisation="continuous", stations=False, panels=6)
    us = plain.units == "us"
    names, loaded = list(plain.joints), rng.choice(list(plain.loads.cases))
    tendons, cases, jacked = {}, dict(plain.loads.cases), {}
    for name in ("t", "u"):
        path = tendon(*rng.sample(names, rng.choice([2, 3, 4])), area=0.4 if us else 200.0, E=2.9e7 if us else 2e5)
        tendons[name] = path._replace(friction=rng.choice([0.0, 0.1]), slip=0.0, loss=0.0)
        force = (200.0 if us else 900.0) * rng.uniform(0.1, 10.0)
        cases[RunId(f"P{name}")] = LoadCase(kind="post-tension", loads=(TendonLoad(name, force=force),))
        jacked[RunId(f"P{name}")] = 1.0
    truss = replace(plain, tendons=tendons, loads=replace(plain.loads, cases=cases))
    sizes = {f"c{n}": {loaded: rng.uniform(-3.0, 3.0), **jacked} for n in range(4)}
    return combined(truss, {"jacked": jacked, **sizes})


def stretch(truss: Truss, run: RunForces, path: Tendon) -> float:
    """By how much the points of a tendon have moved apart along it."""
    found = 0.0
    for first, last in pairwise(point.joint for point in path.path):
        start, end = truss.joints[first], truss.joints[last]
        x, y = end.x - start.x, end.y - start.y
        one, other = run.joints[first], run.joints[last]
        found += ((other.dx - one.dx) * x + (other.dy - one.dy) * y) / hypot(x, y)
    return found


def test_tendons_fit_what_they_run_along_whether_they_are_slack_or_not() -> None:
    """Each has stretched with its points since it was jacked, or is loose by what they came nearer beyond that."""
    slack = taut = 0
    for seed in range(24):
        truss = two_tendons(seed)
        try:
            runs = analyse(truss)
        except CannotAnalyseError:
            continue
        jacked = runs[RunId("jacked")]
        for n in range(4):
            run = runs[RunId(f"c{n}")]
            for name, path in truss.tendons.items() if run.loose and not jacked.loose else ():
                places = [truss.joints[point.joint] for point in path.path]
                lengths = [hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(places)]
                rigid = (path.area or 0.0) * (path.E or 0.0)
                further = stretch(truss, run, path) - stretch(truss, jacked, path)
                was = [f * long for f, long in zip(jacked.tendons[name], lengths, strict=True)]
                if name in run.loose:
                    slack += 1
                    assert run.tendons[name] == (0.0,) * len(lengths)
                    assert run.loose[name] == pytest.approx(-further - sum(was) / rigid, rel=1e-9, abs=1e-12)
                else:
                    taut += 1
                    more = rigid * further / sum(lengths)
                    assert run.tendons[name] == pytest.approx([f + more for f in jacked.tendons[name]], rel=1e-9)
    assert slack > 15
    assert taut > 10
