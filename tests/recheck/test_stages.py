"""Stages and tendons by least energy: against closed forms, against the analysis, and planted errors."""

from __future__ import annotations

from dataclasses import replace
from math import exp, pi
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import now, stages, stressed, tendon
from tests.strategies import random_truss, seeded
from tests.trusses import CLAMP, PIN, ROLLER, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.errors import CannotAnalyseError
from trussio.model.check_record import ForcesTable
from trussio.model.loading import RunId
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.tendon import Point, Tendon
from trussio.model.truss import JointId, MemberId, SegmentId
from trussio.recheck.energy import SecondForces
from trussio.recheck.stages import staged_forces
from trussio.recheck.stressing import Way, leg_forces, way_of
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Truss

DIGEST = "sha256:" + "0" * 64
D, S, PT = RunId("D"), RunId("S"), RunId("PT")
B = (JointId("B"),)


def forces(truss: Truss, run: str, idealisation: Idealisation = "continuous") -> SecondForces:
    found = staged_forces(truss, idealisation)[RunId(run)]
    assert isinstance(found, SecondForces), found
    return found


def hanger() -> Truss:
    """Two equal bars from A to B; each of D and S pulls with 1000."""
    return build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"old": stick("A", "B"), "new": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("B", fx=1000.0),), "S": (at_joint("B", fx=1000.0),)},
    )


NEW, OLD = SegmentId("new:A-B"), SegmentId("old:A-B")


def test_what_comes_in_carries_what_comes_after_it() -> None:
    """D goes to the old bar alone; S is shared by both."""
    truss = stages(hanger(), (PutOn((D,)),), (Add((MemberId("new"),)), PutOn((S,))))
    found = forces(truss, "s2/now").axial
    assert (found[OLD], found[NEW]) == pytest.approx((1500.0, 500.0))
    assert forces(truss, "D").axial[OLD] == pytest.approx(500.0)


def test_what_goes_out_hands_its_force_to_the_rest() -> None:
    truss = stages(hanger(), (PutOn((D,)),), (Remove((MemberId("old"),)),))
    replaced = stages(hanger(), (PutOn((D,)), Replace(MemberId("old"), MemberId("new"))))
    assert forces(truss, "s2/now").axial == {NEW: pytest.approx(1000.0)}
    with pytest.raises(AssertionError, match="There is no member"):
        forces(replaced, "s1/now")


def test_what_a_case_locked_in_stays_when_it_goes_off() -> None:
    """Between the bars 250 stay: the old one was stretched by 1000 when the new one came, and 500 is shared."""
    truss = stages(hanger(), (PutOn((D,)),), (Add((MemberId("new"),)),), (TakeOff((D,)),))
    found = forces(truss, "s3/now").axial
    assert (found[OLD], found[NEW]) == pytest.approx((500.0, -500.0))


def propped() -> Truss:
    return build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP},
        cases={"D": (at_joint("B", fy=-30.0),), "S": (at_joint("B", fy=-16.0),)},
    )


def moment(truss: Truss, run: str) -> float:
    return forces(truss, run).moments[SegmentId("beam:A-B")][0]


def test_a_shore_set_under_a_loaded_tip_takes_what_comes_later() -> None:
    """30 bends the clamp by 60 000; S goes into the shore. Released, the shore hands it back."""
    truss = stages(propped(), (PutOn((D,)), Shore(B)), (PutOn((S,)),), (Release(B),))
    assert moment(truss, "s2/now") == pytest.approx(-60000.0)
    assert forces(truss, "s2/now").moments == forces(truss, "s1/now").moments
    assert moment(truss, "s3/now") == pytest.approx(-92000.0)


@pytest.mark.parametrize(
    ("says", "jack", "left"),
    [
        ("until it carries 10", Jack(B, force=10.0), -40000.0),
        ("by 16, which takes 3 E I / L3 x 16 = 60", Jack(B, by=16.0), 60000.0),
    ],
)
def test_a_jack_lifts(says: str, jack: Jack, left: float) -> None:
    truss = stages(propped(), (PutOn((D,)), Shore(B, both_ways=True), jack))
    assert moment(truss, "s1/now") == pytest.approx(left), says


def test_a_shore_on_a_spring_is_jacked_and_shares_what_comes_later() -> None:
    """3 E I / L3 = 3.75 and a spring as stiff: of 16 each takes 8."""
    shore = Shore(B, holds=(), springs={"y": 3.75})
    truss = stages(propped(), (PutOn((D,)), shore, Jack(B, force=10.0)), (PutOn((S,)),))
    assert moment(truss, "s1/now") == pytest.approx(-40000.0)
    assert moment(truss, "s2/now") == pytest.approx(-56000.0)


def test_a_shore_that_would_have_to_pull_cannot_be_told() -> None:
    lifted = replace(propped(), loads=replace(propped().loads, cases=dict(propped().loads.cases)))
    truss = stages(lifted, (PutOn((D,)), Shore(B)), (TakeOff((D,)),))
    assert staged_forces(truss, "continuous")[RunId("s2/now")] == "The shore at B would have to pull."


def tied(acts: bool) -> Truss:  # noqa: FBT001  # one of two
    """A bar of 2000 with a tendon beside it, as stiff as the bar: E A = 1e7."""
    truss = replace(hanger(), members={MemberId("old"): stick("A", "B")})
    cable = tendon("A", "B", area=1000.0, E=1e4, acts="member" if acts else "force", sure=True)
    return stressed(truss, {"t": cable}, 600.0)


@pytest.mark.parametrize(("acts", "later"), [(True, 500.0), (False, 1000.0)])
def test_a_tendon_shares_what_comes_after_lock_off(acts: bool, later: float) -> None:  # noqa: FBT001  # a column
    truss = stages(tied(acts), (PutOn((D,)), Tension(("t",))), (PutOn((S,)),))
    assert forces(truss, "s1/now").axial[OLD] == pytest.approx(400.0)
    assert forces(truss, "s2/now").axial[OLD] == pytest.approx(400.0 + later)
    assert forces(tied(acts), "D").axial[OLD] == pytest.approx(later)
    assert forces(tied(acts), "PT").axial[OLD] == pytest.approx(-600.0)


def test_a_tendon_off_the_axis_bends_the_stick_that_it_bears_on() -> None:
    """600 at 50 below the axis of a beam, at both ends: a moment of 30 000 all along."""
    truss = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "M", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    cable = tendon("A", "B", on="beam", offsets=(-50.0, -50.0), sure=True)
    found = forces(stressed(truss, {"t": cable}, 600.0), "PT")
    assert found.axial[SegmentId("beam:A-M")] == pytest.approx(-600.0)
    assert found.moments[SegmentId("beam:A-M")] == pytest.approx((-30000.0, -30000.0))


def draped(*, friction: float, slip: float, loss: float) -> tuple[Tendon, Way]:
    """Down at 45 degrees, level, up again: turned twice by pi / 4, legs of 1414, 1000 and 1414."""
    truss = build(
        joints={"A": (0.0, 1000.0), "B": (1000.0, 0.0), "C": (2000.0, 0.0), "D": (3000.0, 1000.0)},
        members={"s": stick("A", "D")},
        supports={"A": PIN, "D": ROLLER},
        cases={},
    )
    made = Tendon(path=tuple(Point(JointId(name)) for name in "ABCD"), area=100.0, E=2e5)
    made = made._replace(friction=friction, slip=slip, loss=loss)
    way = way_of(truss, made)
    assert way is not None
    return made, way


def test_friction_takes_by_the_angle_turned() -> None:
    cable, way = draped(friction=0.2, slip=0.0, loss=0.1)
    shares = [1.0, exp(-0.2 * pi / 4), exp(-0.2 * pi / 2)]
    assert leg_forces(cable, way, 1000.0, least=False) == pytest.approx([1000.0 * part for part in shares])
    assert leg_forces(cable, way, 1000.0, least=True) == pytest.approx([900.0 * part for part in shares])
    back = cable._replace(stressed="last")
    assert leg_forces(back, way, 1000.0, least=False) == pytest.approx([1000.0 * part for part in shares[::-1]])


@pytest.mark.parametrize("slip", [1e-4, 3e-3, 0.012])
def test_draw_in_takes_the_area_between_the_lines(slip: float) -> None:
    cable, way = draped(friction=0.2, slip=slip, loss=0.0)
    before = leg_forces(cable._replace(slip=0.0), way, 1000.0, least=False)
    after = leg_forces(cable, way, 1000.0, least=False)
    assert before is not None
    assert after is not None
    taken = sum(long * (was - now) for long, was, now in zip(way.lengths, before, after, strict=True))
    assert taken == pytest.approx(slip * 2e5 * 100.0, rel=1e-9)
    assert all(now <= was + 1e-9 for was, now in zip(before, after, strict=True))
    assert leg_forces(cable._replace(slip=10.0), way, 1000.0, least=False) is None


def worked_on(seed: int, idealisation: Idealisation) -> Truss:
    """A generated truss that is shored, jacked, opened, strengthened and stressed, stage by stage."""
    truss = random_truss(seeded(seed), idealisation=idealisation, panels=6, stations=False)
    middle, quarter = (JointId(f"B{panel}") for panel in (3, 2))
    gone = next(name for name in truss.members if name.startswith(("r", "f")))
    added = replace(truss.members[gone])
    stiff = Tendon(
        path=tuple(Point(JointId(f"B{k}")) for k in (1, 3, 5)), area=0.4, E=2.9e7 if truss.units == "us" else 2e5
    )
    push = 200.0 if truss.units == "us" else 900.0
    made = stressed(replace(truss, members={**truss.members, MemberId("added"): added}), {"t": stiff}, 10 * push)
    return stages(
        made,
        (PutOn((D,)), Shore((middle,), both_ways=True), Jack((middle,), force=push)),
        (Shore((quarter,), holds=(), springs={"y": push}, both_ways=True), PutOn((S,))),
        (Add((MemberId("added"),)), Remove((gone,)), Tension(("t",), to=0.5)),
        (Release((middle, quarter)), Tension(("t",)), PutOn((RunId("X"),))),
        (TakeOff((S,)),),
    )


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
def test_generated_work_agrees_with_the_analysis(idealisation: Idealisation) -> None:
    """Every run after every stage, and bare, to 1e-11 of the largest number that its forces are made of."""
    compared = 0
    for seed in range(12):
        truss = worked_on(seed, idealisation)
        try:
            analysed = analyse(truss, idealisation=idealisation)
        except CannotAnalyseError:
            continue
        for run, found in staged_forces(truss, idealisation).items():
            if isinstance(found, str) or run not in analysed:
                assert isinstance(found, str) == (run not in analysed), (seed, run, found)
                continue
            compared += 1
            assert found.axial.keys() == analysed[run].segments.keys()
            for name, force in found.axial.items():
                assert abs(analysed[run].segments[name].axial - force) <= 1e-11 * found.size
    assert compared > 60


def test_the_record_of_stages_agrees_and_finds_what_is_planted() -> None:
    truss = stages(tied(acts=True), (PutOn((D,)), Tension(("t",))), (PutOn((S,)),))
    clean = claims(calculate(truss, digest=DIGEST))
    record = recheck(truss, clean, digest=DIGEST)
    assert record.verdict == "agrees"
    assert {run.verdict for run in record.runs.values()} == {"agrees"}
    assert list(record.runs) == list(clean.runs)
    run = now(2)
    off = {**clean.runs, run: {OLD: clean.runs[run][OLD] * 1.01}}
    wrong = recheck(truss, replace(clean, runs=off), digest=DIGEST)
    assert (wrong.verdict, wrong.runs[run].verdict) == ("disagrees", "disagrees")
    assert "old:A-B alone is wrong" in wrong.runs[run].says
    assert wrong.runs[run].not_proved is not None


@pytest.mark.parametrize(
    ("says", "how", "gives"),
    [
        ("fasteners of 500 at both ends: 2 / 500 more", {"slip": 500.0}, 2000.0 / 1e7 + 2 / 500.0),
        ("fasteners all along, 1000 lumped at each end", {"along": 1.0}, 2000.0 / 1e7 + 2 / 1000.0),
        ("held by the joints without slip", {}, 2000.0 / 1e7),
    ],
)
def test_a_sister_takes_what_its_fasteners_let_it(says: str, how: dict[str, float], gives: float) -> None:
    sister = Add((MemberId("new"),), beside=MemberId("old"), slip=how.get("slip"), along=how.get("along"))
    truss = stages(hanger(), (PutOn((D,)),), (sister, PutOn((S,))))
    share = (1 / gives) / (1 / gives + 5000.0)
    assert forces(truss, "s2/now").axial[NEW] == pytest.approx(1000.0 * share, rel=1e-12), says
    record = recheck(truss, claims(calculate(truss, digest=DIGEST)), digest=DIGEST)
    assert record.verdict == "agrees"


def test_a_glued_sister_turns_with_the_stick_that_it_lies_beside() -> None:
    """Two beams of three bays glued together bend as one: each has half of every moment of the load after."""
    names = ("A", "B", "C", "E")
    truss = build(
        joints={name: (1000.0 * k, 0.0) for k, name in enumerate(names)},
        members={"old": stick(*names), "new": stick(*names)},
        supports={"A": PIN, "E": ROLLER},
        cases={"S": (at_joint("B", fy=-600.0),)},
    )
    glued = Add((MemberId("new"),), beside=MemberId("old"), glued=True)
    found = forces(stages(truss, (glued, PutOn((S,)))), "s1/now").moments
    for stick_name in ("old", "new"):
        assert found[SegmentId(f"{stick_name}:A-B")] == pytest.approx((0.0, 200000.0), abs=1e-6)
        assert found[SegmentId(f"{stick_name}:B-C")] == pytest.approx((200000.0, 100000.0))


def test_what_cannot_be_followed_is_never_an_agreement() -> None:
    lifted = stages(propped(), (PutOn((D,)), Shore(B)), (TakeOff((D,)),))
    beam = SegmentId("beam:A-B")
    table = ForcesTable(name="t", digest=None, runs={now(2): {beam: 0.0}}, rounding={now(2): {beam: 0.0}})
    record = recheck(lifted, table, digest=DIGEST)
    assert (record.verdict, record.runs[now(2)].verdict) == ("cannot tell", "cannot tell")
    assert record.says.endswith("The shore at B would have to pull.")


def test_a_stage_that_leaves_a_mechanism_is_named() -> None:
    truss = propped()
    post = replace(stick("A", "B"), fixed=())
    loose = replace(truss, members={**truss.members, MemberId("post"): post})
    told = staged_forces(stages(loose, (PutOn((D,)),), (Remove((MemberId("beam"),)),)), "continuous")
    assert not isinstance(told[now(1)], str)
    assert str(told[now(2)]).startswith('In stage "s2": B can move without strain (1 mechanism')
