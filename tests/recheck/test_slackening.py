"""Tendons that a run leaves slack, by least energy: closed forms, and the analysis, which shares no line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import stages, stressed, tendon
from tests.analysis.test_giving import hangers
from tests.analysis.test_slackening import combined, trussed
from tests.recheck.test_followed import one_by_one, one_way
from tests.recheck.test_stages import worked_on
from tests.strategies import seeded
from trussio.calculation import calculate
from trussio.model.loading import RunId
from trussio.model.staging import Add, PutOn, TakeOff, Tension
from trussio.model.tendon import TendonLoad
from trussio.model.truss import MemberId, SegmentId
from trussio.recheck.energy import SecondForces
from trussio.recheck.stages import staged_forces
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Truss

DIGEST = "sha256:" + "0" * 64
D, S, PT, UP = (RunId(name) for name in ("D", "S", "PT", "up"))


def forces(truss: Truss, run: str) -> SecondForces:
    found = staged_forces(truss, "continuous")[RunId(run)]
    assert isinstance(found, SecondForces), found
    return found


def hung() -> Truss:
    """A bar, a tendon of 100 as stiff as it and a newcomer, side by side; 600 up, which slacken the tendon."""
    truss = hangers()
    members = {name: one for name, one in truss.members.items() if name != "rod"}
    rope = tendon("A", "B", area=100.0, E=1e5, sure=True)
    return stressed(replace(truss, members=members), {"t": rope}, 100.0)


def bars(truss: Truss, run: str) -> list[float]:
    found = forces(truss, run).axial
    return [found.get(SegmentId(f"{name}:A-B"), 0.0) for name in ("bar", "late")]


def test_a_tendon_that_is_slack_leaves_all_to_the_bar() -> None:
    """Stressed: -100. Then 600 up: tight it would take 300 of them and has 100, so that the bar alone has -600.

    The newcomer comes in there. When the 600 go off, bar and newcomer bring the joint down until they balance: 300
    each. The tendon would be tight only where the bar has no more than -200, and stays slack.
    """
    way = stages(
        hung(),
        (Tension(("t",)),),
        (PutOn((UP,)),),
        (Add((MemberId("late"),)),),
        (TakeOff((UP,)),),
    )
    assert bars(way, "s1/now") == pytest.approx([-100.0, 0.0])
    assert bars(way, "s2/now") == pytest.approx([-600.0, 0.0])
    assert bars(way, "s3/now") == pytest.approx([-600.0, 0.0], abs=1e-9)
    assert bars(way, "s4/now") == pytest.approx([-300.0, 300.0]), "none of it in the tendon"
    came_and_went = stages(hung(), (Tension(("t",)), PutOn((UP,)), TakeOff((UP,))), (Add((MemberId("late"),)),))
    assert bars(came_and_went, "s1/now")[0] == pytest.approx(-100.0), "tight again, with all of its force"


@pytest.mark.parametrize(("by", "slack"), [(0.999, False), (1.001, True)])
def test_a_rod_under_a_beam_is_slack_beyond_where_its_force_is_nought(by: float, slack: bool) -> None:  # noqa: FBT001 - a parameter of cases
    """Then the beam carries alone: W l2 / 8 at its middle, upwards."""
    truss = trussed()
    spread = {"one": {D: -1.0, PT: 1.0}, "none": {PT: 1.0}}
    beam = SegmentId("beam:A-M")
    one = calculate(combined(truss, {"down": {D: 1.0, PT: 1.0}, **spread}), digest=DIGEST).runs
    gained = one[RunId("down")].tendons["t"][0] - one[PT].tendons["t"][0]
    at = 5e3 / gained * by
    whole = forces(combined(truss, {"at": {D: -at, PT: 1.0}}), "at")
    alone = -at * 2.0 * 8000.0**2 / 8
    assert (whole.moments[beam][1] == pytest.approx(alone, rel=1e-9)) == slack
    assert whole.axial[beam] == pytest.approx(0.0, abs=1e-6 if slack else 10.0)


def barely(seed: int, idealisation: Idealisation) -> Truss:
    """Generated work with a tendon that is stressed so little that later loads slacken it; friction or none."""
    rng = seeded(seed)
    truss = worked_on(seed, idealisation)
    rope = truss.tendons["t"]._replace(friction=rng.choice([0.0, 0.1, None]))
    pull = TendonLoad("t", force=rng.choice([20.0, 100.0, 500.0]) * (1.0 if truss.units == "us" else 4.5))
    cases = {**truss.loads.cases, PT: replace(truss.loads.cases[PT], loads=(pull,))}
    runs = {**truss.loads.combinations, UP: {PT: 1.0, S: -1.0}, RunId("all"): {PT: 1.0, D: 1.0, S: 1.0}}
    loads = replace(truss.loads, cases=cases, combinations=runs)
    return replace(truss, tendons={"t": rope}, loads=loads)


@pytest.mark.parametrize("rods", [False, True])
@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
def test_generated_work_with_slack_tendons_agrees_with_the_analysis(
    idealisation: Idealisation,
    rods: bool,  # noqa: FBT001  # one of two
) -> None:
    compared = loose = 0
    for seed in range(4):
        truss = barely(seed, idealisation)
        truss = one_way(truss, seeded(seed)) if rods else truss
        analysed = one_by_one(truss, idealisation)
        for run, found in staged_forces(truss, idealisation).items():
            theirs = analysed[run]
            if isinstance(found, str) or theirs is None:
                assert not isinstance(found, str) or theirs is None, (seed, run, found)
                continue
            compared, loose = compared + 1, loose + bool(theirs.loose)
            for name, force in found.axial.items():
                assert abs(theirs.segments[name].axial - force) <= 1e-11 * found.size, (seed, run, name)
    assert compared > 20
    assert loose > (0 if rods else 4)


def test_the_record_of_a_slack_tendon_agrees_and_finds_a_tendon_that_was_taken_to_push() -> None:
    truss = combined(trussed(), {"up": {D: -40.0, PT: 1.0}})
    clean = claims(calculate(truss, digest=DIGEST))
    assert recheck(truss, clean, digest=DIGEST).runs[UP].verdict == "agrees"
    beam = SegmentId("beam:A-M")
    pushed = {name: force + 2e3 if name == beam else force for name, force in clean.runs[UP].items()}
    wrong = recheck(truss, replace(clean, runs={UP: pushed}), digest=DIGEST)
    assert (wrong.verdict, wrong.runs[UP].verdict) == ("disagrees", "disagrees")
