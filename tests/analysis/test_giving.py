"""Members that carry one way, and play, through stages and beside tendons: every run whole on its way."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.analysis.staged import difference, now, stages, stressed, tendon
from tests.analysis.test_one_way import acting, loaded, tower
from tests.trusses import PIN, at_joint, build, stick
from trussio.analysis import one_way
from trussio.analysis.run import analyse, analysed
from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, LoadCase, RunId
from trussio.model.staging import Add, PutOn, Release, Remove, Shore, TakeOff, Tension
from trussio.model.truss import JointId, MemberId, SegmentId, Support

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.model.forces import RunForces
    from trussio.model.truss import Acts, Truss

P, UP, DOWN, PT = RunId("P"), RunId("up"), RunId("down"), RunId("PT")


def hangers(acts: Acts = "tension") -> Truss:
    """Three equal bars side by side; `rod` carries one way, `late` comes in later. E A / L is 1e4 each."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (0.0, -1000.0)},
        members={"bar": stick("A", "B"), "rod": stick("A", "B"), "late": stick("A", "B")},
        supports={"A": PIN, "B": Support(holds=("x",))},
        cases={"up": (at_joint("B", fy=600.0),), "down": (at_joint("B", fy=-1800.0),)},
    )
    return acting(truss, acts, "rod")


def forces(run: RunForces) -> list[float]:
    return [run.segments[SegmentId(f"{name}:A-B")].axial for name in ("bar", "rod", "late")]


def test_what_comes_in_while_a_rod_is_slack_carries_from_there_on() -> None:
    """Up: the bar alone, u = 600 / k. Then 1800 down in all: -3 k u + 600 = 1200, u = -200 / k.

    The bar and the rod have 200 each, and the newcomer all the way from 600 to -200: 800.
    """
    truss = stages(hangers(), (PutOn((UP,)),), (Add((MemberId("late"),)),), (PutOn((DOWN,)),))
    runs = analyse(truss)
    first = runs[now(1)]
    assert first.segments[SegmentId("bar:A-B")].axial == pytest.approx(-600.0)
    assert [*first.slack] == ["rod:A-B"]
    assert first.slack[SegmentId("rod:A-B")] == pytest.approx(first.joints[JointId("B")].dy)
    assert forces(runs[now(3)]) == pytest.approx([200.0, 200.0, 800.0])
    assert runs[now(3)].slack == {}


def test_what_comes_in_while_a_rod_is_tight_leaves_it_slack_later() -> None:
    """Down first: bar and rod 900 each, u = -900 / k. Then 600 up, which does not loosen the rod: 200 off each."""
    truss = stages(hangers(), (PutOn((DOWN,)),), (Add((MemberId("late"),)),), (PutOn((UP,)),))
    assert forces(analyse(truss)[now(3)]) == pytest.approx([700.0, 700.0, -200.0])


def test_a_run_of_factors_is_followed_with_them_from_the_start() -> None:
    """Twice up and once down: 1200 up, the bar alone; then 600 up on the bar and the newcomer, the rod slack.

    -2 k u + 1200 = 600, u = 300 / k: the bar has -300 and the newcomer 900.
    """
    truss = stages(hangers(), (PutOn((UP,)),), (Add((MemberId("late"),)),), (PutOn((DOWN,)),))
    twice = {RunId("twice"): {UP: 2.0, DOWN: 1.0}}
    runs = analyse(replace(truss, loads=replace(truss.loads, combinations=twice)))
    run = runs[RunId("s3/twice")]
    assert forces(run) == pytest.approx([-300.0, 0.0, 900.0], abs=1e-9)
    assert run.slack[SegmentId("rod:A-B")] == pytest.approx(run.joints[JointId("B")].dy)


def test_cases_that_are_off_come_on_at_the_end() -> None:
    truss = stages(hangers(), (PutOn((UP,)),), (Add((MemberId("late"),)),))
    both = {RunId("both"): {UP: 1.0, DOWN: 1.0}}
    runs = analyse(replace(truss, loads=replace(truss.loads, combinations=both)))
    assert forces(runs[RunId("s2/both")]) == pytest.approx([200.0, 200.0, 800.0])


def test_a_load_that_came_and_went_leaves_nothing_in_a_structure_that_stayed() -> None:
    truss = acting(hangers(), "compression", "late")
    way = stages(truss, (PutOn((UP,)),), (TakeOff((UP,)), PutOn((DOWN,))))
    assert difference(analyse(truss)[DOWN], analyse(way)[now(2)]) < 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_cases_put_on_the_whole_truss_are_the_bare_run(seed: int) -> None:
    """With nothing coming or going between, the order of loads does not matter to rods either."""
    truss = tower(seed)
    loads = truss.loads.cases[P].loads
    halves = {RunId("one"): LoadCase(loads=loads[::2]), RunId("two"): LoadCase(loads=loads[1::2])}
    whole = replace(truss, loads=replace(truss.loads, cases=halves, combinations={P: dict.fromkeys(halves, 1.0)}))
    bare = analyse(whole)[P]
    assert bare.slack
    for order in ((RunId("one"), RunId("two")), (RunId("two"), RunId("one"))):
        run = analyse(stages(whole, (PutOn(order[:1]),), (PutOn(order[1:]),)))[now(2)]
        assert difference(bare, run) < 1e-8
        assert run.slack == pytest.approx(bare.slack, rel=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_a_tendon_that_is_no_more_than_its_force_is_a_pair_of_loads(seed: int) -> None:
    """Rods give way under it as under the same forces at its anchors."""
    truss = tower(seed)
    pulled = stressed(truss, {"t": tendon("L2", "R2", acts="force", sure=True)}, 2000.0)
    pulled = replace(pulled, loads=replace(pulled.loads, combinations={RunId("all"): {P: 1.0, PT: 1.0}}))
    pair = (JointLoad(joint=JointId("L2"), fx=2000.0), JointLoad(joint=JointId("R2"), fx=-2000.0))
    plain = loaded(truss, {"P": (*truss.loads.cases[P].loads, *pair)})
    found, expected = analyse(pulled)[RunId("all")], analyse(plain)[P]
    assert difference(expected, found) < 1e-8
    assert found.slack == pytest.approx(expected.slack)


def test_a_tendon_shares_with_what_is_tight() -> None:
    """A rod beside the bar, then a tendon of the same stiffness that later loads stretch: 1800 on three.

    Upwards the rod is slack, and 600 go to the bar and the tendon.
    """
    truss = acting(hangers(), "tension", "rod")
    members = {name: member for name, member in truss.members.items() if name != "late"}
    area, modulus = 1e3, 1e4
    rope = tendon("A", "B", area=area, E=modulus, sure=True)
    truss = stressed(replace(truss, members=members), {"t": rope}, 900.0)
    runs = {RunId("d"): {DOWN: 1.0, PT: 1.0}, RunId("u"): {UP: 1.0, PT: 1.0}}
    truss = replace(truss, loads=replace(truss.loads, combinations=runs))
    found = analyse(stages(truss, (Tension(("t",)),)))
    down, up = found[RunId("s1/d")], found[RunId("s1/u")]
    assert found[now(1)].segments[SegmentId("bar:A-B")].axial == pytest.approx(-900.0)
    assert [*found[now(1)].slack] == ["rod:A-B"]
    assert up.tendons["t"][0] == pytest.approx(900.0 - 300.0)
    assert up.segments[SegmentId("bar:A-B")].axial == pytest.approx(-900.0 - 300.0)
    assert down.slack == {}
    assert down.tendons["t"][0] - 900.0 == pytest.approx(down.segments[SegmentId("bar:A-B")].axial + 900.0)
    total = down.tendons["t"][0] + sum(s.axial for s in down.segments.values())
    assert total == pytest.approx(1800.0)


def test_a_sister_that_slips_and_carries_one_way_is_slack_too() -> None:
    truss = acting(hangers(), "tension", "late")
    truss = replace(truss, members={n: m for n, m in truss.members.items() if n != "rod"})
    add = Add((MemberId("late"),), beside=MemberId("bar"), slip=1e4)
    runs = analyse(stages(truss, (add,), (PutOn((UP,)),), (PutOn((DOWN,)),)))
    assert [*runs[now(2)].slack] == ["late:A-B"]
    assert runs[now(2)].segments[SegmentId("bar:A-B")].axial == pytest.approx(-600.0)
    # 1 to 1/3: the sister with a spring of its own stiffness at either end is a third as stiff
    assert runs[now(3)].segments[SegmentId("late:A-B")].axial == pytest.approx(1200.0 / 4)


def test_play_is_taken_up_once_and_stays_so() -> None:
    """A bar with play of 0.03 mm carries from there: 1800 = k (u + (u - 0.03)), u = 0.105; then 600 more."""
    truss = hangers()
    members = {n: m for n, m in truss.members.items() if n != "late"}
    members[MemberId("rod")] = replace(members[MemberId("rod")], acts=None, play={"first": 0.03})
    down = {**truss.loads.cases, RunId("more"): LoadCase(loads=(at_joint("B", fy=-600.0),))}
    truss = replace(truss, members=members, loads=replace(truss.loads, cases=down))
    runs = analyse(stages(truss, (PutOn((DOWN,)),), (PutOn((RunId("more"),)),)))
    of = SegmentId("rod:A-B")
    assert runs[now(1)].segments[of].axial == pytest.approx(1e4 * (0.105 - 0.03))
    assert runs[now(2)].segments[of].axial == pytest.approx(1e4 * (0.135 - 0.03))
    assert runs[now(2)].slip[of] == pytest.approx(1e4 * (0.105 - 0.12))


def test_a_rod_that_is_taken_out_and_put_back_starts_anew() -> None:
    truss = stages(
        hangers(),
        (PutOn((UP,)),),
        (Remove((MemberId("rod"),)),),
        (Add((MemberId("rod"), MemberId("late"))),),
        (PutOn((DOWN,)),),
    )
    assert forces(analyse(truss)[now(4)]) == pytest.approx([0.0, 600.0, 600.0], abs=1e-9)


def test_a_shore_may_leave_a_rod_slack_until_it_goes() -> None:
    """The rod is slack while the shore lifts by the load and more, and tight when it is gone."""
    truss = stages(hangers(), (Shore((JointId("B"),)), PutOn((DOWN,))), (Release((JointId("B"),)),))
    members = {n: m for n, m in truss.members.items() if n != "late"}
    runs = analyse(replace(truss, members=members))
    assert runs[now(1)].reactions[JointId("B")].y == pytest.approx(1800.0)
    assert runs[now(2)].segments[SegmentId("rod:A-B")].axial == pytest.approx(900.0)


def test_a_stage_that_no_set_balances_is_refused_by_stage_and_member() -> None:
    truss = stages(acting(hangers(), "tension", "bar", "rod"), (Remove((MemberId("late"),)), PutOn((UP,))))
    with pytest.raises(CannotAnalyseError) as caught:
        analyse(truss)
    assert caught.value.code == "no-acting-set"
    assert caught.value.what.startswith('in stage "s1": in run s1/now no set of the members that carry one way')
    assert caught.value.where.startswith("/stages/0, /members/")


def test_a_set_that_does_not_hold_is_found_out_on_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the search were wrong, the final forces would say so."""

    def careless(growth: Floats, *_: Floats, **__: object) -> Floats:
        return np.zeros(len(growth))

    monkeypatch.setattr(one_way, "least", careless)
    with pytest.raises(CannotAnalyseError, match="rod would have to carry the other way"):
        analyse(stages(hangers(), (PutOn((UP,)),)))


def lifting(kind: str) -> Truss:
    """Two rods that meet in one joint: snow pulls on them, wind would push, less than the snow pulls."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (1000.0, -1000.0)},
        members={"a": stick("A", "C"), "b": stick("B", "C")},
        supports={"A": PIN, "B": PIN},
        cases={"D": (at_joint("C", fy=-900.0),), "W": (at_joint("C", fy=500.0),)},
    )
    cases = dict(truss.loads.cases)
    cases[RunId("W")] = replace(cases[RunId("W")], kind=kind)  # type: ignore[arg-type]  # one of its words
    loads = replace(truss.loads, cases=cases, combinations={RunId("D+W"): {RunId("D"): 1.0, RunId("W"): 1.0}})
    return acting(replace(truss, loads=loads), "tension", "a", "b")


@pytest.mark.parametrize("staged", [False, True], ids=["plain", "with a tendon"])
def test_a_case_that_cannot_balance_by_itself_is_named_and_the_others_are_reported(*, staged: bool) -> None:
    truss = lifting("wind")
    if staged:
        truss = stressed(truss, {"t": tendon("A", "B", acts="force", sure=True)}, 100.0)
    found = analysed(truss)
    assert [*found.not_evaluated] == ["W"]
    assert found.not_evaluated[RunId("W")].startswith(
        "in run W no set of the members that carry one way balances the loads"
    )
    assert RunId("D+W") in found.runs
    assert RunId("W") not in found.runs


def test_dead_load_that_cannot_balance_is_refused() -> None:
    with pytest.raises(CannotAnalyseError, match="in run W no set"):
        analyse(lifting("dead"))


def test_a_combination_that_cannot_balance_is_refused() -> None:
    truss = lifting("wind")
    loads = replace(truss.loads, combinations={RunId("2W"): {RunId("W"): 2.0}, **truss.loads.combinations})
    with pytest.raises(CannotAnalyseError, match="in run 2W no set"):
        analyse(replace(truss, loads=loads))


def bars(truss: Truss) -> tuple[list[MemberId], Floats, Floats]:
    """The members of a truss of bars, how each lengthens under movements (m, 2 J), and its stiffness (m,)."""
    number = {joint: index for index, joint in enumerate(truss.joints)}
    names, grows, stiff = list(truss.members), np.zeros((len(truss.members), 2 * len(number))), []
    for row, name in enumerate(names):
        first, last = truss.members[name].through
        way = np.array(
            [truss.joints[last].x - truss.joints[first].x, truss.joints[last].y - truss.joints[first].y]
        )
        length = float(np.hypot(*way))
        grows[row, 2 * number[last] : 2 * number[last] + 2] += way / length
        grows[row, 2 * number[first] : 2 * number[first] + 2] -= way / length
        stiff.append(1e7 / length)
    return names, grows, np.array(stiff)


def at_least_energy(grows: Floats, stiff: Floats, reference: Floats, acts: Floats, push: Floats) -> Floats:
    """The movements (n,) at which bars that have grown from `reference` and loads `push` have the least energy.

    `acts` (m,) is 1 for tension alone, -1 for compression alone, 0 for both ways. The energy is convex and smooth:
    Newton's steps, halved until it falls. Nothing of this is shared with the analysis.
    """

    def grown(at: Floats) -> Floats:
        by = grows @ at - reference
        return np.where(acts * by < 0.0, 0.0, by)

    def energy(at: Floats) -> float:
        return float((stiff * grown(at) ** 2).sum() / 2 - push @ at)

    at = np.zeros(grows.shape[1])
    for _ in range(200):
        slope = grows.T @ (stiff * grown(at)) - push
        if np.abs(slope).max() < 1e-9 * np.abs(push).max():
            break
        active = np.where(acts * (grows @ at - reference) < 0.0, 0.0, 1.0)
        whole = grows.T @ (grows * (stiff * active)[:, None]) + 1e-9 * stiff.max() * np.eye(len(at))
        step, size = np.linalg.solve(whole, slope), 1.0
        while energy(at - size * step) > energy(at) and size > 1e-12:
            size /= 2
        at -= size * step
    return at


@pytest.mark.parametrize("seed", range(10))
def test_three_stages_of_rods_have_the_least_energy_of_each_moment(seed: int) -> None:
    """Loads, then bars that come in free of stress, then more loads: forces from energy alone, stage by stage."""
    truss = tower(seed)
    loads = [load for load in truss.loads.cases[P].loads if isinstance(load, JointLoad)]
    late = {MemberId("z1"): stick("L1", "R3"), MemberId("z2"): replace(stick("L0", "R2"), acts="tension")}
    cases = {UP: LoadCase(loads=tuple(loads[::2])), DOWN: LoadCase(loads=tuple(loads[1::2]))}
    joined = replace(truss, members={**truss.members, **late}, loads=replace(truss.loads, cases=cases))
    way = stages(joined, (PutOn((UP,)),), (Add(tuple(late)),), (PutOn((DOWN,)),))
    runs = analyse(way, idealisation="pinned")
    names, grows, stiff = bars(joined)
    free = [
        2 * number + axis
        for number, joint in enumerate(joined.joints)
        for axis in (0, 1)
        if joint not in joined.supports
    ]
    number = {joint: index for index, joint in enumerate(joined.joints)}
    grows = grows[:, free]
    acts = np.array([1.0 if joined.members[name].acts == "tension" else 0.0 for name in names])
    push = np.zeros((2, 2 * len(number)))
    for row, case in enumerate((UP, DOWN)):
        for load in cases[case].loads:
            assert isinstance(load, JointLoad)
            push[row, 2 * number[load.joint] : 2 * number[load.joint] + 2] += load.fx, load.fy
    early = np.array([name not in late for name in names])
    first = at_least_energy(grows, np.where(early, stiff, 0.0), np.zeros(len(names)), acts, push[0, free])
    reference = np.where(early, 0.0, grows @ first)
    last = at_least_energy(grows, stiff, reference, acts, push.sum(axis=0)[free])
    by = grows @ last - reference
    expected = stiff * np.where(acts * by < 0.0, 0.0, by)
    found = runs[now(3)]
    size = np.abs(expected).max()
    for name, force in zip(names, expected, strict=True):
        segment = next(segment.id for segment in joined.segments if segment.member == name)
        assert found.segments[segment].axial == pytest.approx(force, abs=1e-6 * size)
        assert (segment in found.slack) == (acts[names.index(name)] * by[names.index(name)] < -1e-12)
