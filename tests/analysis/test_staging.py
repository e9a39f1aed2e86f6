"""Stages: what is locked in, and that it is what statics and the order of work say.

Closed forms are own derivations unless a source stands beside them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.analysis.staged import difference, now, stages, summed, without_peaks
from tests.strategies import random_truss, seeded
from tests.trusses import CLAMP, PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.as_found import as_found
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError, UsageError
from trussio.model.condition import Missing, Severed
from trussio.model.history import final, run_factors
from trussio.model.idealised import idealise
from trussio.model.loading import RunId, SelfWeight
from trussio.model.material import Material, Section
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff
from trussio.model.truss import Joint, JointId, MaterialId, Member, MemberId, SectionId, SegmentId, Support

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Truss

D, S = RunId("D"), RunId("S")
SPAN, W = 8000.0, 2.0
EA, EI = 1e7, 1e10
BOTH: tuple[Idealisation, ...] = ("pinned", "continuous")
SEEDS = st.integers(0, 2**32 - 1)


def ids(*names: str) -> tuple[MemberId, ...]:
    return tuple(MemberId(name) for name in names)


def at(*names: str) -> tuple[JointId, ...]:
    return tuple(JointId(name) for name in names)


def test_a_cantilever_propped_after_its_first_load() -> None:
    """Cantilever w1 L2/2, propped cantilever 3 w2 L/8; entry SP03 in tests/published has the same."""
    beam = build(
        joints={"a": (0.0, 0.0), "b": (4.0, 0.0)},
        members={"ab": stick("a", "b", fixed=("first",))},
        supports={"a": CLAMP},
        cases={"D": (along("ab", 5.0),), "S": (along("ab", 8.0),)},
        section=Section(area=1e9, inertia=8000.0),
        material=Material(E=1.0),
    )
    runs = analyse(stages(beam, (PutOn((D,)),), (Shore(at("b")), PutOn((S,)))))
    assert runs[now(1)].reactions[JointId("a")].turn == pytest.approx(40.0)
    last = runs[now(2)]
    assert last.reactions[JointId("b")].y == pytest.approx(12.0)
    assert last.reactions[JointId("a")].turn == pytest.approx(56.0)
    assert last.joints[JointId("b")].dy == pytest.approx(-0.02)
    at_once = runs[D].reactions[JointId("b")].y + runs[S].reactions[JointId("b")].y
    assert at_once == pytest.approx(3 / 8 * 13 * 4)


def two_bars(*, new_density: float = 0.0) -> Truss:
    """A hanger of two bars beside each other between A and B; the second comes in later. E A is 1e7 and 2e7."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (0.0, -1000.0)},
        members={"old": stick("A", "B"), "new": stick("A", "B")},
        supports={"A": PIN, "B": Support(holds=("x",))},
        cases={
            "D": (at_joint("B", fy=-3000.0), SelfWeight(of=(MemberId("new"),))),
            "S": (at_joint("B", fy=-6000.0),),
        },
    )
    stiff, heavy = SectionId("stiff"), MaterialId("heavy")
    return replace(
        truss,
        members={
            **truss.members,
            MemberId("new"): replace(truss.members[MemberId("new")], section=stiff, material=heavy),
        },
        sections={**truss.sections, stiff: Section(area=2000.0)},
        materials={**truss.materials, heavy: Material(E=1e4, density=new_density)},
    )


def hanging(run: RunId, truss: Truss) -> tuple[float, float]:
    """The force of both bars; that of one which is not there is 0."""
    segments = analyse(truss)[run].segments
    old, new = (segments.get(SegmentId(f"{name}:A-B")) for name in ("old", "new"))
    return 0.0 if old is None else old.axial, 0.0 if new is None else new.axial


def test_a_sister_added_under_dead_load_has_none_of_it() -> None:
    """Locked: 3000 stays in the old bar; of 6000 more each takes by stiffness, 1 to 2."""
    truss = stages(two_bars(), (PutOn((D,)),), (Add(ids("new")),), (PutOn((S,)),))
    assert hanging(now(2), truss) == pytest.approx((3000.0, 0.0), abs=1e-9)
    assert hanging(now(3), truss) == pytest.approx((3000.0 + 2000.0, 4000.0))


def test_the_weight_of_a_sister_makes_the_old_member_worse() -> None:
    """Its weight comes with it: 2000 x 1000 mm3 at 500 kg/m3; half of it at B, shared 1 to 2."""
    truss = stages(two_bars(new_density=500.0), (PutOn((D,)),), (Add(ids("new")),))
    weight = 2000.0 * 1000.0 * 500.0 * 9.80665e-9
    old, new = hanging(now(2), truss)
    assert old == pytest.approx(3000.0 + weight / 2 / 3)
    assert new == pytest.approx(weight / 2 * 2 / 3)
    assert old > hanging(now(1), truss)[0]


def test_shoring_then_sistering_then_lowering_shares_what_was_relieved_by_stiffness() -> None:
    """A jack takes 1800 of 3000; when it goes, the 1800 are shared 1 to 2: 1200 + 600, and 1200."""
    truss = stages(
        two_bars(),
        (PutOn((D,)),),
        (Shore(at("B")), Jack(at("B"), force=1800.0)),
        (Add(ids("new")),),
        (Release(at("B")),),
    )
    assert hanging(now(2), truss) == pytest.approx((1200.0, 0.0), abs=1e-9)
    assert hanging(now(3), truss) == pytest.approx((1200.0, 0.0), abs=1e-9)
    assert hanging(now(4), truss) == pytest.approx((1800.0, 1200.0))
    shored = analyse(truss)[now(2)].reactions[JointId("B")].y
    assert shored == pytest.approx(1800.0)


def test_jacking_by_a_movement_is_jacking_by_the_force_that_it_takes() -> None:
    """The old bar gives 1000 / 1e7 a newton: 0.18 mm take 1800 N off it."""
    up, down = Jack(at("B"), by=0.18), Jack(at("B"), by=-0.18)
    truss = stages(two_bars(), (PutOn((D,)),), (Shore(at("B")), up), (down,), (Add(ids("new")),))
    assert hanging(now(2), truss)[0] == pytest.approx(1200.0)
    assert hanging(now(3), truss)[0] == pytest.approx(3000.0)


def test_a_replaced_bar_hands_its_force_on_before_the_new_one_comes() -> None:
    """Three bars: left and right carry; the middle is exchanged under load and its share stays in the others."""
    fan = build(
        joints={"A": (-1000.0, 1000.0), "B": (0.0, 1000.0), "C": (1000.0, 1000.0), "P": (0.0, 0.0)},
        members={"a": stick("A", "P"), "b": stick("B", "P"), "c": stick("C", "P"), "new": stick("B", "P")},
        supports={"A": PIN, "B": PIN, "C": PIN},
        cases={"D": (at_joint("P", fy=-3000.0),), "S": (at_joint("P", fy=-1000.0),)},
    )
    runs = analyse(stages(fan, (PutOn((D,)),), (Replace(MemberId("b"), MemberId("new")),), (PutOn((S,)),)))
    after = runs[now(2)].segments
    assert SegmentId("b:B-P") not in after
    assert after[SegmentId("new:B-P")].axial == pytest.approx(0.0, abs=1e-9)
    assert after[SegmentId("a:A-P")].axial == pytest.approx(3000.0 / 2**0.5)
    both = analyse(replace(final(fan), members={n: m for n, m in fan.members.items() if n != "b"}))
    assert runs[now(3)].segments[SegmentId("new:B-P")].axial == pytest.approx(
        both[S].segments[SegmentId("new:B-P")].axial
    )


def composite(*, glued: bool) -> Truss:
    """A beam that carries its load alone, then with a second of twice its inertia beside it."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (SPAN / 2, 0.0), "B": (SPAN, 0.0)},
        members={"old": stick("A", "M", "B"), "new": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (along("old", W),), "S": (at_joint("M", fy=-9000.0),)},
    )
    deep = SectionId("deep")
    new = replace(truss.members[MemberId("new")], section=deep)
    truss = replace(
        truss,
        members={**truss.members, MemberId("new"): new},
        sections={**truss.sections, deep: Section(area=1000.0, inertia=2e6)},
    )
    return stages(truss, (PutOn((D,)),), (Add(ids("new"), beside=MemberId("old"), glued=glued),), (PutOn((S,)),))


@pytest.mark.parametrize("glued", [True, False])
def test_two_stages_of_composite_action(*, glued: bool) -> None:
    """W L2 / 8 stays in the old beam; P L / 4 is shared 1 to 2, glued or not: both are held at mid-span alone."""
    last = analyse(composite(glued=glued))[now(3)].segments
    dead, snow = W * SPAN**2 / 8, 9000.0 * SPAN / 4
    assert last[SegmentId("old:A-M")].moment[1] == pytest.approx(dead + snow / 3)
    assert last[SegmentId("new:A-M")].moment[1] == pytest.approx(snow * 2 / 3)


def test_glued_sticks_turn_together_and_others_do_not() -> None:
    """Under the load of one panel a glued stick takes part in the turn at mid-span, a loose one in its sag."""
    found = {}
    for glued in (True, False):
        truss = composite(glued=glued)
        half = replace(along("old", W), end=JointId("M"))
        cases = {**truss.loads.cases, S: replace(truss.loads.cases[S], loads=(half,))}
        truss = replace(truss, loads=replace(truss.loads, cases=cases))
        run = analyse(truss)[now(3)].segments
        found[glued] = [run[SegmentId(name)].moment[1] for name in ("new:A-M", "new:M-B")]
    assert found[False] != pytest.approx(found[True], rel=1e-3)


@pytest.mark.parametrize("stiffness", [50.0, 2000.0, 1e7])
def test_a_sister_that_slips_takes_what_its_fasteners_let_it(stiffness: float) -> None:
    """One segment between two groups: 1/k = L/EA + 2/K, beside E A / L of the old one."""
    truss = two_bars()
    truss = stages(
        truss, (PutOn((D,)),), (Add(ids("new"), beside=MemberId("old"), slip=stiffness),), (PutOn((S,)),)
    )
    sister = 1 / (1000.0 / (2 * EA) + 2 / stiffness)
    share = sister / (sister + EA / 1000.0)
    exact = pytest.approx((3000.0 + 6000.0 * (1 - share), 6000.0 * share), rel=1e-13)
    assert hanging(now(3), truss) == exact


def in_line(*, twin: bool, slip: float) -> Truss:
    """Three joints in a line under loads along it; the sister tied there, or written out with springs as bars."""
    xs = {"A": 0.0, "B": 1000.0, "C": 3000.0}
    cases = {"S": (at_joint("B", fx=4000.0), at_joint("C", fx=1000.0))}
    joints = {name: (x, 0.0) for name, x in xs.items()}
    members = {"old": stick("A", "B", "C"), "new": stick("A", "B", "C")}
    supports = {"A": PIN, "B": ROLLER, "C": ROLLER}
    if not twin:
        return build(joints=joints, members=members, supports=supports, cases=cases)
    joints |= {f"{name}1": (x + 1.0, 0.0) for name, x in xs.items()}
    members["new"] = stick("A1", "B1", "C1")
    supports |= dict.fromkeys(["A1", "B1", "C1"], ROLLER)
    truss = build(joints=joints, members=members, supports=supports, cases=cases)
    spring = Member(through=at("A", "A1"), section=SectionId("k"), material=MaterialId("m"))
    ties = {MemberId(f"k{n}"): replace(spring, through=at(n, f"{n}1")) for n in "ABC"}
    return replace(
        truss,
        members={**truss.members, **ties},
        sections={**truss.sections, SectionId("k"): Section(area=slip / 1e4)},
    )


@pytest.mark.parametrize("idealisation", BOTH)
def test_slip_along_several_joints_is_that_of_springs_written_out(idealisation: Idealisation) -> None:
    """Fastener groups as bars of length 1 with the stiffness of a group, sister joints aside by that length."""
    slip = 3000.0
    tied = stages(
        in_line(twin=False, slip=slip), (Add(ids("new"), beside=MemberId("old"), slip=slip),), (PutOn((S,)),)
    )
    written = analyse(in_line(twin=True, slip=slip), idealisation=idealisation)[S].segments
    found = analyse(tied, idealisation=idealisation)[now(2)].segments
    for mine, theirs in (("new:A-B", "new:A1-B1"), ("new:B-C", "new:B1-C1"), ("old:A-B", "old:A-B")):
        assert found[SegmentId(mine)].axial == pytest.approx(written[SegmentId(theirs)].axial, rel=1e-12)


def test_fasteners_all_along_are_lumped_at_the_joints() -> None:
    """Of 2 N/mm per mm the joints get 1000, 3000 and 2000 N/mm: by half of the lengths beside them."""
    base = in_line(twin=False, slip=0.0)
    add = Add(ids("new"), beside=MemberId("old"), along=2.0)
    axial = analyse(stages(base, (add,), (PutOn((S,)),)))[now(2)].segments
    twin = in_line(twin=True, slip=1000.0)
    sections = {**twin.sections} | {SectionId(f"k{n}"): Section(area=k / 1e4) for n, k in (("B", 3e3), ("C", 2e3))}
    members = {**twin.members}
    for name in "BC":
        members[MemberId(f"k{name}")] = replace(members[MemberId(f"k{name}")], section=SectionId(f"k{name}"))
    written = analyse(replace(twin, members=members, sections=sections))[S].segments
    for mine, theirs in (("new:A-B", "new:A1-B1"), ("new:B-C", "new:B1-C1")):
        assert axial[SegmentId(mine)].axial == pytest.approx(written[SegmentId(theirs)].axial, rel=1e-12)


def settled(truss: Truss) -> tuple[Truss, RunId, RunId]:
    """A random truss with nothing that depends on a stage, and two of its cases."""
    first, second, *_ = truss.loads.cases
    return truss, first, second


@settings(max_examples=40, deadline=None)
@given(SEEDS, st.sampled_from(BOTH))
def test_cases_put_on_the_whole_truss_are_the_bare_cases(seed: int, idealisation: Idealisation) -> None:
    truss, first, second = settled(random_truss(seeded(seed), idealisation=idealisation))
    loads = replace(truss.loads, combinations={RunId("sum"): {first: 1.0, second: 1.0}})
    truss = replace(truss, loads=loads)
    for order in ((first, second), (second, first)):
        runs = analyse(stages(truss, (PutOn(order[:1]),), (PutOn(order[1:]),)), idealisation=idealisation)
        assert difference(analyse(truss, idealisation=idealisation)[RunId("sum")], runs[now(2)]) < 1e-9
        assert difference(runs[RunId("s2/sum")], runs[now(2)]) < 1e-9


def spare(truss: Truss, idealisation: Idealisation) -> MemberId | None:
    """A web without which the truss still stands."""
    for name, member in truss.members.items():
        left = {other: one for other, one in truss.members.items() if other != name}
        touched = {joint for one in left.values() for joint in one.through}
        if member.role == "web" and touched >= set(truss.joints):
            try:
                analyse(final(stages(truss, (Remove((name,)),))), idealisation=idealisation)
            except CannotAnalyseError:
                continue
            return name
    return None


def within(idealisation: Idealisation, *structures: Truss) -> float:
    """How near results must be: a joint that becomes a station may stand off its line by the reading of a tape."""
    stations = [idealise(truss, idealisation).stations.keys() for truss in structures]
    return 1e-8 if all(one == stations[0] for one in stations) else 1e-4


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(BOTH))
def test_what_is_taken_out_leaves_the_rest_as_if_it_had_not_been(seed: int, idealisation: Idealisation) -> None:
    """Elastic parts have no memory: the end does not depend on when a stick went."""
    truss, first, second = settled(random_truss(seeded(seed), idealisation=idealisation, panels=4))
    web = spare(truss, idealisation)
    if web is None:
        return
    orders = (
        ((PutOn((first, second)),), (Remove((web,)),)),
        ((PutOn((first,)),), (Remove((web,)), PutOn((second,)))),
        ((Remove((web,)),), (PutOn((second, first)),)),
    )
    ends = [analyse(stages(truss, *order), idealisation=idealisation)[now(2)] for order in orders]
    near = within(idealisation, truss, final(stages(truss, (Remove((web,)),))))
    assert difference(ends[0], ends[1]) < near
    assert difference(ends[0], ends[2]) < near


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(BOTH))
def test_what_comes_in_carries_only_what_comes_after(seed: int, idealisation: Idealisation) -> None:
    """The sum of two analyses: the first case on the truss without a web, the second on the truss with it."""
    truss, first, second = settled(random_truss(seeded(seed), idealisation=idealisation, panels=4, stations=False))
    web = spare(truss, idealisation)
    if web is None:
        return
    staged = stages(truss, (PutOn((first,)),), (Add((web,)), PutOn((second,))))
    before = final(stages(truss, (Remove((web,)),)))
    one = analyse(before, idealisation=idealisation)[first]
    two = analyse(truss, idealisation=idealisation)[second]
    brought = analyse(stages(truss, (PutOn((first,)),), (Add((web,)),)), idealisation=idealisation)[now(2)]
    alone = analyse(stages(truss, (Remove((web,)), PutOn((first,)))), idealisation=idealisation)[now(1)]
    assert difference(one, alone) < 1e-9
    found = analyse(staged, idealisation=idealisation)[now(2)]
    assert difference(without_peaks(found), summed(brought, two)) < 1e-8


@settings(max_examples=60, deadline=None)
@given(SEEDS, st.sampled_from(BOTH))
def test_a_shore_that_came_and_went_leaves_nothing(seed: int, idealisation: Idealisation) -> None:
    truss, first, second = settled(random_truss(seeded(seed), idealisation=idealisation, panels=4))
    joint = JointId("B2")
    if joint in truss.supports or joint not in truss.joints:
        return
    shore = Shore((joint,), both_ways=True)
    shored = stages(
        truss, (PutOn((first,)), shore), (Jack((joint,), by=3.0), PutOn((second,))), (Release((joint,)),)
    )
    plain = stages(truss, (PutOn((first, second)),))
    one = analyse(shored, idealisation=idealisation)[now(3)]
    near = within(idealisation, truss, final(stages(truss, (shore,))))
    assert difference(analyse(plain, idealisation=idealisation)[now(1)], one) < near


@settings(max_examples=40, deadline=None)
@given(SEEDS, st.sampled_from(BOTH))
def test_two_stages_that_commute_give_the_same_end(seed: int, idealisation: Idealisation) -> None:
    """A load and a stick taken out, on a truss that is shored."""
    truss, first, _ = settled(random_truss(seeded(seed), idealisation=idealisation, panels=6))
    web, joint = spare(truss, idealisation), JointId("B4")
    if web is None or joint in truss.supports:
        return
    shore, load, out = Shore((joint,), both_ways=True), PutOn((first,)), Remove((web,))
    ends = [
        analyse(stages(truss, (shore,), (one,), (other,)), idealisation=idealisation)[now(3)]
        for one, other in ((load, out), (out, load))
    ]
    shored = stages(truss, (shore,))
    near = within(idealisation, truss, final(shored), final(stages(truss, (shore, out))))
    assert difference(*ends) < near


def test_a_case_taken_off_leaves_what_it_locked_in() -> None:
    """Snow on while the sister came: when it goes, the sister is pushed together by its share, and stays so."""
    truss = stages(two_bars(), (PutOn((D, S)),), (Add(ids("new")),), (TakeOff((S,)),), (PutOn((S,)),))
    assert hanging(now(3), truss) == pytest.approx((9000.0 - 2000.0, -4000.0))
    assert hanging(now(4), truss) == pytest.approx((9000.0, 0.0), abs=1e-9)


def test_factors_scale_what_the_way_of_their_case_locked_in() -> None:
    truss, run = two_bars(), RunId("0.6D+S")
    truss = replace(truss, loads=replace(truss.loads, combinations={run: {D: 0.6, S: 1.0}}))
    truss = stages(truss, (PutOn((D,)),), (Add(ids("new")),))
    assert hanging(RunId("s2/0.6D+S"), truss) == pytest.approx((0.6 * 3000.0 + 2000.0, 4000.0))
    assert hanging(run, truss) == pytest.approx((7800.0 / 3, 7800.0 * 2 / 3))


def test_runs_after_stages_are_what_is_on_what_is_asked_for_and_in_the_end_every_combination() -> None:
    truss = two_bars()
    truss = replace(truss, loads=replace(truss.loads, combinations={RunId("D+S"): {D: 1.0, S: 1.0}}))
    truss = stages(truss, (PutOn((D,)),), (Add(ids("new")),))
    asked = replace(truss, stages=(truss.stages[0]._replace(runs=(S,)), truss.stages[1]))
    assert list(run_factors(asked)) == ["D", "S", "D+S", "s1/now", "s1/S", "s2/now", "s2/D+S"]
    assert list(analyse(asked)) == list(run_factors(asked))
    assert list(analyse(asked, runs=[RunId("s2/now"), S])) == ["S", "s2/now"]


def test_every_run_after_a_stage_says_which() -> None:
    truss = stages(two_bars(), (PutOn((D,)),), (Add(ids("new")), PutOn((S,))))
    told = {run: forces.stage for run, forces in analyse(truss).items()}
    assert told == {D: None, S: None, now(1): "s1", now(2): "s2"}


def test_stations_keep_what_was_locked_in_when_a_web_comes_under_them() -> None:
    """A purlin point of a pinned rafter hands 1600 to each end; a post put under it later starts with nothing."""
    truss = build(
        joints={
            "B0": (0.0, 0.0),
            "T0": (2000.0, 1500.0),
            "T1": (4000.0, 3000.0),
            "B1": (2000.0, 0.0),
            "B2": (8000.0, 0.0),
        },
        members={
            "left": stick("B0", "T0", "T1"),
            "right": stick("T1", "B2"),
            "tie": stick("B0", "B1", "B2"),
            "post": stick("B1", "T0"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"D": (at_joint("T0", fy=-4000.0),), "S": (at_joint("T0", fy=-4000.0),)},
    )
    way = stages(
        truss, (PutOn((D,)),), (Shore(at("B1")), Add(ids("post"))), (PutOn((S,)),), (Remove(ids("post")),)
    )
    runs = analyse(way, idealisation="pinned")
    post = SegmentId("post:B1-T0")
    assert runs[now(2)].segments[post].axial == pytest.approx(0.0, abs=1e-9)
    assert runs[now(2)].segments[SegmentId("left:B0-T0")].moment[1] == pytest.approx(4e6)
    assert runs[now(3)].segments[post].axial < -1000.0
    assert runs[now(3)].segments[SegmentId("left:B0-T0")].moment[1] == pytest.approx(4e6)
    assert runs[now(4)].segments[SegmentId("left:B0-T0")].moment[1] == pytest.approx(8e6)


@pytest.mark.parametrize("idealisation", BOTH)
def test_every_joint_is_in_balance_after_every_stage(idealisation: Idealisation) -> None:
    """Sums over the whole truss: reactions, shores among them, carry what is on."""
    truss = two_bars(new_density=800.0)
    way = stages(
        truss, (PutOn((D,)),), (Shore(at("B")), Jack(at("B"), force=500.0)), (Add(ids("new")), PutOn((S,)))
    )
    weight = 2000.0 * 1000.0 * 800.0 * 9.80665e-9
    runs = analyse(way, idealisation=idealisation)
    for stage, total in ((1, 3000.0), (2, 3000.0), (3, 9000.0 + weight)):
        assert sum(r.y for r in runs[now(stage)].reactions.values()) == pytest.approx(total)


def refused(truss: Truss, idealisation: Idealisation = "continuous") -> str:
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(truss, idealisation=idealisation)
    return str(caught.value)


def test_a_shore_that_would_have_to_pull_is_refused() -> None:
    """A shore under a beam that is lifted by a load that came after it."""
    truss = two_bars()
    up = {**truss.loads.cases, S: replace(truss.loads.cases[S], loads=(at_joint("B", fy=500.0),))}
    truss = replace(truss, loads=replace(truss.loads, cases=up))
    way = stages(truss, (PutOn((D,)), Shore(at("B"))), (PutOn((S,)),))
    assert refused(way) == (
        'shore-lifts-off at /stages/1: in stage "s2" the shore at B lifts off: it would have to pull with 500 N. '
        "Release it before, jack it higher, or say that it works both ways."
    )
    tied = stages(truss, (PutOn((D,)), Shore(at("B"), both_ways=True)), (PutOn((S,)),))
    assert analyse(tied)[now(2)].reactions[JointId("B")].y == pytest.approx(-500.0)


def test_a_shore_that_lifts_off_in_a_combination_alone_is_refused_with_the_run() -> None:
    truss = two_bars()
    up = {**truss.loads.cases, S: replace(truss.loads.cases[S], loads=(at_joint("B", fy=500.0),))}
    truss = replace(truss, loads=replace(truss.loads, cases=up, combinations={RunId("D+S"): {D: 1.0, S: 1.0}}))
    assert "in run s1/D+S the shore at B lifts off" in refused(stages(truss, (PutOn((D,)), Shore(at("B")))))


def test_a_mechanism_on_the_way_names_its_stage_and_joint() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)},
        members={
            "ab": stick("A", "B"),
            "bc": stick("B", "C"),
            "cd": stick("C", "D"),
            "da": stick("D", "A"),
            "ac": stick("A", "C"),
            "bd": stick("B", "D"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("C", fy=-1000.0),)},
    )
    way = stages(truss, (PutOn((D,)),), (Remove(ids("ac")),), (Remove(ids("bd")),), (Add(ids("ac")),))
    said = refused(way)
    assert said.startswith('mechanism at /stages/2, /joints/C: in stage "s3": C and D can move (1 mechanism).')


def test_what_cannot_be_done_is_refused_from_python_too() -> None:
    said = refused(stages(two_bars(), (Remove(ids("new")),), (Remove(ids("new")),)))
    assert said.startswith(
        'stage-impossible at /stages/1/actions/0/remove/0: stage "s2" takes out new, which is not'
    )
    with pytest.raises(UsageError, match=r"unknown-run: the document has no run s9/now\."):
        analyse(stages(two_bars(), (PutOn((D,)),)), runs=[RunId("s9/now")])


def test_a_joint_that_comes_with_its_sticks_is_free_of_movement_until_then() -> None:
    """A post and a stub below a beam, put in under load; the new joint moves only with what comes later."""
    beam = build(
        joints={"A": (0.0, 0.0), "M": (4000.0, 0.0), "B": (8000.0, 0.0), "C": (4000.0, -1000.0)},
        members={
            "beam": stick("A", "M", "B"),
            "post": stick("M", "C"),
            "l": stick("A", "C"),
            "r": stick("C", "B"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("M", fy=-1000.0),), "S": (at_joint("M", fy=-1000.0),)},
    )
    runs = analyse(stages(beam, (PutOn((D,)),), (Add(ids("post", "l", "r")),), (PutOn((S,)),)))
    assert JointId("C") not in runs[now(1)].joints
    assert runs[now(2)].joints[JointId("C")].dy == 0.0
    assert runs[now(2)].segments[SegmentId("l:A-C")].axial == pytest.approx(0.0, abs=1e-9)
    assert runs[now(3)].joints[JointId("C")].dy < 0.0
    assert runs[now(3)].segments[SegmentId("l:A-C")].axial == pytest.approx(
        runs[S].segments[SegmentId("l:A-C")].axial
    )


def test_a_shore_on_a_spring() -> None:
    """The spring shares with the bars by stiffness: 1e4 beside 3e4 N/mm."""
    spring = Shore(at("B"), holds=(), springs={"y": 1e4})
    truss = stages(two_bars(), (PutOn((D,)), spring), (PutOn((S,)),), (Release(at("B")),))
    runs = analyse(truss)
    assert runs[now(2)].reactions[JointId("B")].y == pytest.approx(6000.0 / 4)
    assert runs[now(3)].segments[SegmentId("old:A-B")].axial == pytest.approx(9000.0 / 3)
    assert runs[now(3)].reactions[JointId("B")].y == 0.0


def test_movements_are_those_of_the_structures_that_there_were() -> None:
    """A bar of 1000 / 1e7 mm a newton under 3000, then three times as stiff under 6000 more."""
    runs = analyse(stages(two_bars(), (PutOn((D,)),), (Add(ids("new")),), (PutOn((S,)),)))
    assert np.array([runs[now(stage)].joints[JointId("B")].dy for stage in (1, 2, 3)]) == pytest.approx(
        [-0.3, -0.3, -0.3 - 0.2]
    )


def test_a_shore_beside_a_bearing_goes_without_it() -> None:
    """B is held sideways for good; the shore there holds it up and leaves the sideways push alone."""
    truss = two_bars()
    push = {**truss.loads.cases, S: replace(truss.loads.cases[S], loads=(at_joint("B", fx=70.0, fy=-600.0),))}
    truss = replace(truss, loads=replace(truss.loads, cases=push))
    truss = stages(truss, (Shore(at("B")), PutOn((S,))), (Release(at("B")),))
    runs = analyse(truss)
    at_b = [
        (runs[now(stage)].reactions[JointId("B")].x, runs[now(stage)].reactions[JointId("B")].y)
        for stage in (1, 2)
    ]
    assert at_b == [pytest.approx((-70.0, 600.0)), pytest.approx((-70.0, 0.0))]


def test_a_joint_of_the_document_that_no_stick_ever_touches_stays_a_mechanism() -> None:
    truss = two_bars()
    truss = replace(truss, joints={**truss.joints, JointId("Z"): Joint(x=5.0, y=5.0)})
    assert "Z can move" in refused(stages(truss, (PutOn((D,)),)))


def cut(*, at: float) -> Truss:
    """A stick through A, M and B, severed, and another to lie beside it; pulled at B by 900."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"old": stick("A", "M", "B"), "new": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"S": (at_joint("B", fx=900.0),)},
    )
    condition = {"c1": Severed(member=MemberId("old"), at=at, seen="cut through")}
    return replace(truss, condition=condition)


@pytest.mark.parametrize(
    "tie",
    [
        Add(ids("new"), beside=MemberId("old")),
        Add(ids("new"), beside=MemberId("old"), glued=True),
        Add(ids("new"), beside=MemberId("old"), slip=1e12),
    ],
    ids=["tied", "glued", "slipping"],
)
def test_a_sister_bridges_what_is_severed(tie: Add) -> None:
    """It takes all of the force in the panel of the cut, and half of it where the old stick is whole."""
    truss = stages(cut(at=500.0), (tie, PutOn((S,))))
    found, _, _ = as_found(truss, "continuous")
    run = analyse(found)[now(1)].segments
    assert run[SegmentId("new:A-M")].axial == pytest.approx(900.0)
    assert run[SegmentId("new:M-B")].axial == pytest.approx(450.0)
    assert run[SegmentId("old:M-B")].axial == pytest.approx(450.0)


@pytest.mark.parametrize("gone", [Missing(member=MemberId("b"), seen="gone"), None], ids=["missing", "severed"])
def test_what_the_survey_found_gone_is_taken_out_already(gone: Missing | None) -> None:
    """A hanger that is not there any more is replaced: the new one comes in free of stress."""
    fan = build(
        joints={"A": (-600.0, 800.0), "B": (0.0, 800.0), "C": (600.0, 800.0), "J": (0.0, 0.0)},
        members={"a": stick("A", "J"), "b": stick("B", "J"), "c": stick("C", "J"), "new": stick("B", "J")},
        supports={"A": PIN, "B": PIN, "C": PIN},
        cases={"D": (at_joint("J", fy=-1600.0),)},
    )
    one = gone or Severed(member=MemberId("b"), at=400.0, seen="cut through")
    way = stages(
        replace(fan, condition={"c": one}),
        (PutOn((D,)),),
        (Replace(MemberId("b"), MemberId("new")),),
    )
    found, _, _ = as_found(way, "pinned")
    runs = analyse(found, idealisation="pinned")
    for stage in (1, 2):
        assert runs[now(stage)].segments[SegmentId("a:A-J")].axial == pytest.approx(1000.0)
    assert runs[now(2)].segments[SegmentId("new:B-J")].axial == pytest.approx(0.0, abs=1e-9)
