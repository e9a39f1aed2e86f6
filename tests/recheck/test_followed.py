"""Members that carry one way, and play, through stages and beside tendons: closed forms, and the analysis."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import now, stages, stressed, tendon
from tests.analysis.test_giving import hangers
from tests.recheck.test_stages import worked_on
from tests.strategies import seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.analysis.staging import analyse_staged
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.history import run_factors
from trussio.model.loading import RunId
from trussio.model.staging import Add, PutOn, Remove, Shore, TakeOff, Tension
from trussio.model.truss import JointId, MemberId, SegmentId
from trussio.recheck.energy import SecondForces
from trussio.recheck.stages import staged_forces
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from random import Random

    from trussio.model.forces import RunForces
    from trussio.model.truss import Idealisation, Truss

DIGEST = "sha256:" + "0" * 64
UP, DOWN = RunId("up"), RunId("down")
LATE = (Add((MemberId("late"),)),)


def forces(truss: Truss, run: str) -> list[float]:
    """Of the three bars that hang side by side: `bar`, `rod` (tension alone) and `late`, which comes in."""
    found = staged_forces(truss, "continuous")[RunId(run)]
    assert isinstance(found, SecondForces), found
    return [found.axial.get(SegmentId(f"{name}:A-B"), 0.0) for name in ("bar", "rod", "late")]


@pytest.mark.parametrize(
    ("says", "order", "left"),
    [
        ("600 up on the bar alone, then 800 / k down on three of k", (UP, DOWN), [200.0, 200.0, 800.0]),
        ("900 / k down on two, then 200 / k up on three: the rod stays tight", (DOWN, UP), [700.0, 700.0, -200.0]),
    ],
)
def test_what_comes_in_carries_what_changes_from_there(
    says: str, order: tuple[RunId, RunId], left: list[float]
) -> None:
    truss = stages(hangers(), (PutOn(order[:1]),), LATE, (PutOn(order[1:]),))
    assert forces(truss, "s3/now") == pytest.approx(left), says


def test_a_rod_is_slack_while_nothing_pulls_it_and_comes_tight_again() -> None:
    truss = stages(hangers(), (PutOn((UP,)),), (TakeOff((UP,)), PutOn((DOWN,))), LATE)
    assert forces(truss, "s1/now") == pytest.approx([-600.0, 0.0, 0.0], abs=1e-9)
    assert forces(truss, "s2/now") == pytest.approx([900.0, 900.0, 0.0])
    assert forces(truss, "s3/now") == pytest.approx([900.0, 900.0, 0.0], abs=1e-9)


def test_a_run_of_factors_is_followed_with_them_from_the_start() -> None:
    """Twice up: 1200 on the bar alone; then 600 up in all, the rod still slack: 300 / k with the newcomer."""
    runs = {RunId("twice"): {UP: 2.0, DOWN: 1.0}, RunId("both"): {UP: 1.0, DOWN: 1.0}}
    truss = replace(hangers(), loads=replace(hangers().loads, combinations=runs))
    followed = stages(truss, (PutOn((UP,)),), LATE, (PutOn((DOWN,)),))
    assert forces(followed, "s3/twice") == pytest.approx([-300.0, 0.0, 900.0], abs=1e-9)
    at_the_end = stages(truss, (PutOn((UP,)),), LATE)
    assert forces(at_the_end, "s2/both") == pytest.approx([200.0, 200.0, 800.0]), "a case that was off comes on"


def test_a_tendon_shares_with_what_is_tight() -> None:
    """A tendon as stiff as a bar, stressed by 900: the rod is slack under it, and tight again under 1800."""
    truss = hangers()
    members = {name: member for name, member in truss.members.items() if name != "late"}
    rope = tendon("A", "B", area=1e3, E=1e4, sure=True)
    truss = stressed(replace(truss, members=members), {"t": rope}, 900.0)
    runs = {RunId("d"): {DOWN: 1.0, RunId("PT"): 1.0}, RunId("u"): {UP: 1.0, RunId("PT"): 1.0}}
    truss = stages(replace(truss, loads=replace(truss.loads, combinations=runs)), (Tension(("t",)),))
    assert forces(truss, "s1/now")[:2] == pytest.approx([-900.0, 0.0], abs=1e-9)
    assert forces(truss, "s1/u")[:2] == pytest.approx([-1200.0, 0.0], abs=1e-9)
    bar, rod, _ = forces(truss, "s1/d")
    assert bar + rod + 900.0 + (bar + 900.0) == pytest.approx(1800.0)
    assert rod == pytest.approx(bar), "both are as stiff and came tight at one length"


def test_what_no_set_of_rods_balances_is_named_by_its_run() -> None:
    truss = hangers("compression")
    rods = {n: replace(m, acts="compression") for n, m in truss.members.items()}
    told = staged_forces(stages(replace(truss, members=rods), (PutOn((DOWN,)),), LATE, (PutOn((UP,)),)), "pinned")
    says = "In run s1/now no set of the members that carry one way was found that balances the loads."
    assert told[now(1)] == says
    assert told[now(3)] == says, "what came before it cannot be balanced, so nobody knows what it starts from"


def one_way(truss: Truss, rng: Random) -> Truss:
    """Some webs carry one way, some have play."""
    members = dict(truss.members)
    for name, member in members.items():
        if name.startswith(("r", "f", "p", "added")) and rng.random() < 0.35:
            members[name] = replace(member, acts=rng.choice(["tension", "compression"]))
        elif name.startswith(("r", "f", "p")) and rng.random() < 0.2:
            members[name] = replace(member, play={"first": 0.001 if truss.units == "us" else 0.02})
    return replace(truss, members=members)


def one_by_one(truss: Truss, idealisation: Idealisation) -> dict[RunId, RunForces | None]:
    """Every run that the analysis gives alone; None where it refuses."""
    found: dict[RunId, RunForces | None] = {}
    for run in run_factors(truss):
        try:
            forces = analyse_staged(truss, idealisation, [run])[run]
        except CannotAnalyseError as error:
            forces = error
        found[run] = None if isinstance(forces, CannotAnalyseError) else forces
    return found


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_generated_work_with_rods_agrees_with_the_analysis(idealisation: Idealisation) -> None:
    """Shored, jacked, opened, strengthened, stressed; each run to 1e-11 of the largest number it is made of."""
    compared = slack = 0
    for seed in range(7):
        truss = one_way(worked_on(seed, idealisation), seeded(seed))
        analysed = one_by_one(truss, idealisation)
        for run, found in staged_forces(truss, idealisation).items():
            theirs = analysed[run]
            if isinstance(found, str) or theirs is None:
                continue
            compared, slack = compared + 1, slack + len(theirs.slack)
            assert found.axial.keys() == theirs.segments.keys()
            for name, force in found.axial.items():
                assert abs(theirs.segments[name].axial - force) <= 1e-11 * found.size, (seed, run, name)
    assert compared > 50
    assert slack > 50


def test_the_record_of_rods_after_stages_agrees_and_finds_what_is_planted() -> None:
    truss = stages(hangers(), (PutOn((UP,)),), LATE, (PutOn((DOWN,)),))
    clean = claims(calculate(truss, digest=DIGEST))
    record = recheck(truss, clean, digest=DIGEST)
    assert (record.verdict, record.runs[now(3)].verdict) == ("agrees", "agrees")
    run, bar = now(3), SegmentId("bar:A-B")
    off = {**clean.runs, run: {**clean.runs[run], bar: clean.runs[run][bar] * 1.01}}
    wrong = recheck(truss, replace(clean, runs=off), digest=DIGEST)
    assert wrong.runs[run].slips == ("one-force",)
    both_ways = {name: replace(member, acts=None) for name, member in truss.members.items()}
    linear = claims(calculate(replace(truss, members=both_ways), digest=DIGEST))
    assert recheck(truss, replace(linear, model=None), digest=DIGEST).runs[run].verdict == "disagrees"


def test_a_shore_that_pulls_under_what_is_on_loses_all_that_follows() -> None:
    shore = Shore((JointId("B"),))
    truss = stages(hangers(), (PutOn((DOWN,)), shore), (TakeOff((DOWN,)),), (Remove((MemberId("late"),)),))
    members = {name: member for name, member in truss.members.items() if name != "late"}
    truss = replace(truss, members=members, stages=truss.stages[:2])
    told = staged_forces(truss, "continuous")
    assert isinstance(told[now(1)], SecondForces)
    assert told[now(2)] == "The shore at B would have to pull."


@pytest.mark.parametrize("rods", [False, True])
def test_a_load_that_cannot_be_evaluated_loses_its_own_runs_alone(rods: bool) -> None:  # noqa: FBT001  # one of two
    """A moment at M, which two sticks run through once the sister is in, is nothing's; D is what it was."""
    names = ("A", "M", "B")
    truss = build(
        joints={name: (1000.0 * place, 0.0) for place, name in enumerate(names)},
        members={"old": stick(*names), "new": stick(*names)},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("M", fy=-10.0),), "Q": (at_joint("M", moment=5.0),)},
        combinations={"D+Q": {"D": 1.0, "Q": 1.0}},
    )
    if rods:
        tie = replace(stick("A", "B"), acts="tension")
        truss = replace(truss, members={**truss.members, MemberId("tie"): tie})
    work = stages(truss, (PutOn((RunId("D"),)),), (Add((MemberId("new"),), beside=MemberId("old")),))
    told = staged_forces(work, "continuous")
    says = "This run cannot be evaluated: "
    lost = {run for run, found in told.items() if isinstance(found, str) and found.startswith(says)}
    assert lost == {"Q", "D+Q", "s2/D+Q"}
    assert all(isinstance(found, SecondForces) for run, found in told.items() if run not in lost)
    put_on = staged_forces(stages(work, (PutOn((RunId("Q"),)),), work.stages[1].actions), "continuous")
    assert {run for run, found in put_on.items() if not isinstance(found, str)} == {"D"}
