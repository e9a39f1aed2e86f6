"""Purlin points of a pinned truss that come and go with the work: closed forms, and the analysis."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import now, stages
from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.calculation import calculate
from trussio.model.loading import RunId
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Shore, TakeOff
from trussio.model.truss import JointId, MemberId, SegmentId
from trussio.recheck.energy import SecondForces
from trussio.recheck.holding import stations_of
from trussio.recheck.stages import staged_forces
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.staging import Action
    from trussio.model.truss import Truss

DIGEST = "sha256:" + "0" * 64
D, S, X = RunId("D"), RunId("S"), RunId("X")
POST, RAFTER = SegmentId("post:S-T"), SegmentId("left:A-T")
PUT_POST = Add((MemberId("post"),))


def king_post() -> Truss:
    """Rafters over a tie whose middle S is a purlin point until the post comes in; D is 100 there, S is 80."""
    return build(
        joints={"A": (0.0, 0.0), "S": (1000.0, 0.0), "B": (2000.0, 0.0), "T": (1000.0, 1000.0)},
        members={
            "tie": stick("A", "S", "B"),
            "left": stick("A", "T"),
            "right": stick("T", "B"),
            "post": stick("S", "T"),
            "other": stick("A", "S", "B"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("S", fy=-100.0),), "S": (at_joint("S", fy=-80.0),)},
    )


def axial(truss: Truss, run: str, segment: SegmentId) -> float:
    found = staged_forces(truss, "pinned")[RunId(run)]
    assert isinstance(found, SecondForces), found
    return found.axial[segment]


OTHER = Add((MemberId("other"),))
TIE_OUT = Remove((MemberId("tie"),))


@pytest.mark.parametrize(
    ("says", "work", "post"),
    [
        ("what the tie carried as a beam stays with it", (PutOn((D,)), PUT_POST, PutOn((S,))), 80.0),
        ("there from the start the post has all", (PUT_POST, PutOn((D,)), PutOn((S,))), 180.0),
        ("what the tie gave the post back comes too", (PutOn((D,)), PUT_POST, PutOn((S,)), TakeOff((D,))), -20.0),
        ("the tie goes: what it carried comes free", (PutOn((D,)), PUT_POST, PutOn((S,)), OTHER, TIE_OUT), 180.0),
    ],
)
def test_a_post_under_a_purlin_point(says: str, work: tuple[Action, ...], post: float) -> None:
    truss = stages(king_post(), work)
    if not any(action is OTHER for action in work):
        members = {name: member for name, member in truss.members.items() if name != "other"}
        truss = replace(truss, members=members)
    assert axial(truss, "s1/now", POST) == pytest.approx(post), says
    assert axial(truss, "s1/now", RAFTER) == pytest.approx(-post / 2**0.5), says


def test_what_a_post_carried_goes_to_the_tie_when_it_is_taken_out() -> None:
    truss = stages(king_post(), (PutOn((D,)), PUT_POST, PutOn((S,))), (Remove((MemberId("post"),)),))
    members = {name: member for name, member in truss.members.items() if name != "other"}
    found = staged_forces(replace(truss, members=members), "pinned")[now(2)]
    assert isinstance(found, SecondForces)
    assert list(found.axial.values()) == pytest.approx([0.0] * 4, abs=1e-9)
    assert [found.reactions[JointId(name)][1] for name in "AB"] == pytest.approx([90.0, 90.0])


def worked_on(seed: int) -> Truss:
    """A generated truss in which a purlin point is shored, jacked, let go and tied to a new web."""
    rng = seeded(1000 + seed)
    truss = random_truss(seeded(seed), idealisation="pinned", panels=5)
    small = 0.01 if truss.units == "us" else 0.2
    points = list(stations_of(truss))
    members, first, second, last = dict(truss.members), [PutOn((D,))], [PutOn((S,))], [TakeOff((S,))]
    point = rng.choice(points) if points else JointId("B2")
    lift = Jack((point,), force=500.0) if rng.random() < 0.5 else Jack((point,), by=small)
    work: list[Action] = [*first, Shore((point,), both_ways=True), lift]
    far = [
        joint
        for joint in truss.joints
        if joint.startswith("T") and not any({joint, point} <= {*one.through} for one in members.values())
    ]
    after: list[Action] = [*last]
    later: list[Action] = [*second]
    if points and far:
        members[MemberId("web")] = replace(members[MemberId("p1")], through=(point, rng.choice(far)), fixed=())
        later.insert(0, Add((MemberId("web"),)))
        after.append(Remove((MemberId("web"),)))
    return stages(
        replace(truss, members=members),
        tuple(work),
        tuple(later),
        (Release((point,)), PutOn((X,))),
        tuple(after),
    )


def test_generated_work_at_purlin_points_agrees_with_the_analysis() -> None:
    """Every run after every stage, and bare, to 1e-11 of the largest number that its forces are made of."""
    compared = came = 0
    for seed in range(16):
        truss = worked_on(seed)
        came += "web" in truss.members
        analysed = analyse(truss, idealisation="pinned")
        for run, found in staged_forces(truss, "pinned").items():
            assert isinstance(found, SecondForces), found
            compared += 1
            for name, force in found.axial.items():
                assert abs(analysed[run].segments[name].axial - force) <= 1e-11 * found.size, (seed, run, name)
            for joint, (x, y, _) in found.reactions.items():
                theirs = analysed[run].reactions[joint]
                assert max(abs(theirs.x - x), abs(theirs.y - y)) <= 1e-11 * found.size, (seed, run, joint)
    assert compared > 150
    assert came > 8


def test_the_record_of_a_purlin_point_that_came_and_went() -> None:
    members = {name: member for name, member in king_post().members.items() if name != "other"}
    truss = stages(replace(king_post(), members=members), (PutOn((D,)), PUT_POST, PutOn((S,))))
    clean = claims(calculate(truss, digest=DIGEST, idealisation="pinned"))
    assert recheck(truss, clean, digest=DIGEST, idealisation="pinned").verdict == "agrees"
    whole = {**clean.runs[now(1)], POST: 180.0}
    wrong = replace(clean, runs={**clean.runs, now(1): whole})
    record = recheck(truss, wrong, digest=DIGEST, idealisation="pinned")
    assert record.runs[now(1)].slips == ("one-force",)
