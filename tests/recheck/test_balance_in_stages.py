"""Balance of given forces after stages and with tendons: on what stands then, pinned to one member."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.analysis.staged import now, stages, stressed, tendon
from tests.recheck.test_followed import one_way
from tests.recheck.test_levers import worked_on as at_purlin_points
from tests.recheck.test_stages import worked_on
from tests.strategies import seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.model.check_record import ForcesTable
from trussio.model.loading import RunId
from trussio.model.staging import PutOn, Remove, Tension
from trussio.model.truss import MemberId, SegmentId
from trussio.recheck.balance import Imbalance, balance_of, imbalance
from trussio.recheck.stages import runs_after
from trussio.rechecking import recheck

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.truss import Idealisation, Truss
    from trussio.recheck.staged_runs import After

DIGEST = "sha256:" + "0" * 64
D, S = RunId("D"), RunId("S")


def left_by(after: After, forces: Mapping[SegmentId, float], rounding: float) -> Imbalance:
    balance = balance_of(after.reading, after.loads[:, None], after.stretched)
    claimed = np.array([forces[name] for name in after.forces.axial])
    joints = list(after.reading.truss.joints)
    return imbalance(balance, joints, np.ones(1), claimed, np.full(len(claimed), rounding))


def tied_rafters(*, stretches: bool) -> Truss:
    """Rafters 4 to 3, 8000 over the bearings, a tie, and a tendon of 900 from heel to heel; 1200 at the ridge.

    D goes on, the tendon is stressed, the same again goes on, the tie is cut.
    """
    truss = build(
        joints={"A": (0.0, 0.0), "B": (8000.0, 0.0), "T": (4000.0, 3000.0)},
        members={"left": stick("A", "T"), "right": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (at_joint("T", fy=-1200.0),), "S": (at_joint("T", fy=-1200.0),)},
    )
    rope = tendon("A", "B", area=1000.0, E=1e4, acts="member" if stretches else "force", sure=True)
    work = ((PutOn((D,)),), (Tension(("t",)),), (PutOn((S,)),))
    return stages(stressed(truss, {"t": rope}, 900.0), *work)


LEFT, RIGHT, TIE = SegmentId("left:A-T"), SegmentId("right:T-B"), SegmentId("tie:A-B")


def on_paper(tie: float, down: float, *, left: float = 0.0) -> dict[SegmentId, float]:
    """Each rafter takes 5 / 6 of what is on, tie and tendon together 4 / 6. `left` is too much."""
    return {LEFT: left - down * 5 / 6, RIGHT: -down * 5 / 6, TIE: tie}


@pytest.mark.parametrize(
    ("says", "run", "forces"),
    [
        ("before the tendon", "s1/now", on_paper(800.0, 1200.0)),
        ("jacked", "s2/now", on_paper(-100.0, 1200.0)),
        (
            "what comes later is shared, nobody says how: the tendon may have all",
            "s3/now",
            on_paper(-100.0, 2400.0),
        ),
        ("or the tie", "s3/now", on_paper(700.0, 2400.0)),
    ],
)
def test_forces_on_paper_balance(says: str, run: str, forces: dict[SegmentId, float]) -> None:
    after = runs_after(tied_rafters(stretches=True), "pinned")[RunId(run)]
    assert not isinstance(after, str)
    found = left_by(after, forces, rounding=1e-6)
    assert found.residual <= found.allowed, says


@pytest.mark.parametrize("run", ["s2/now", "s3/now"])
def test_a_tendon_that_is_no_more_than_its_force_leaves_nothing_open(run: str) -> None:
    after = runs_after(tied_rafters(stretches=False), "pinned")[RunId(run)]
    assert not isinstance(after, str)
    down, tie = (1200.0, -100.0) if run == "s2/now" else (2400.0, 700.0)
    found = left_by(after, on_paper(tie + 25.0, down), rounding=1e-6)
    assert found.residual == pytest.approx(25.0)
    ((segment, change),) = found.mends
    assert after.reading.truss.segments[segment].id == TIE
    assert change == pytest.approx(-25.0)


def test_a_table_without_the_tendon_is_out_of_balance_after_it_and_not_before() -> None:
    after = runs_after(tied_rafters(stretches=False), "pinned")
    for run, balanced in ((now(1), True), (now(2), False)):
        one = after[run]
        assert not isinstance(one, str)
        found = left_by(one, on_paper(800.0, 1200.0), rounding=1e-6)
        assert (found.residual <= found.allowed) == balanced


def test_the_record_pins_an_error_after_a_stage_to_its_member() -> None:
    truss = tied_rafters(stretches=True)
    run = now(2)
    claimed = on_paper(-100.0, 1200.0, left=-30.0)
    table = ForcesTable(name="t", digest=None, runs={run: claimed}, rounding={run: dict.fromkeys(claimed, 0.5)})
    check = recheck(truss, table, digest=DIGEST, idealisation="pinned").runs[run]
    assert (check.verdict, check.slips) == ("disagrees", ("one-force",))
    assert "A change of left:A-T by 30 N alone would restore balance at every joint." in check.says
    assert check.residual is not None
    assert check.residual_allowed is not None
    assert check.residual > check.residual_allowed
    right = replace(table, runs={run: on_paper(-100.0, 1200.0)})
    clean = recheck(truss, right, digest=DIGEST, idealisation="pinned").runs[run]
    assert clean.verdict == "agrees"
    assert clean.residual is not None
    assert clean.residual < 1e-9


def test_what_a_stage_took_out_is_no_member_of_the_balance() -> None:
    truss = tied_rafters(stretches=True)
    truss = replace(
        truss, stages=(*truss.stages, truss.stages[0]._replace(id="s4", actions=(Remove((MemberId("tie"),)),)))
    )
    after = runs_after(truss, "pinned")[now(4)]
    assert not isinstance(after, str)
    forces = on_paper(0.0, 2400.0)
    del forces[TIE]
    found = left_by(after, forces, rounding=1e-6)
    assert found.residual <= found.allowed


WORK = [
    *((f"shored and stressed, {how}", how, False) for how in ("pinned", "continuous")),
    *((f"with rods, {how}", how, True) for how in ("pinned", "continuous")),
    ("at purlin points", "points", False),
]


@pytest.mark.parametrize(("says", "how", "rods"), WORK)
def test_own_forces_balance_and_an_error_is_pinned(says: str, how: str, rods: bool) -> None:  # noqa: FBT001  # a column
    """Every run of generated work: without an error nothing is left, one member off by a twentieth is found."""
    runs = pinned = 0
    for seed in range(5):
        idealisation: Idealisation = "continuous" if how == "continuous" else "pinned"
        truss = at_purlin_points(seed) if how == "points" else worked_on(seed, idealisation)
        truss = one_way(truss, seeded(seed)) if rods else truss
        for number, (run, after) in enumerate(runs_after(truss, idealisation).items()):
            if isinstance(after, str):
                continue
            runs, own, room = runs + 1, after.forces.axial, 1e-11 * after.forces.size
            clean = left_by(after, own, room)
            assert clean.residual <= clean.allowed, (says, seed, run)
            names = list(own)
            index = (7 * number + seed) % len(names)
            off = 0.05 * max(abs(force) for force in own.values())
            found = left_by(after, {**own, names[index]: own[names[index]] + off}, room)
            mended = dict(found.mends)
            pinned += list(mended) == [index] and mended[index] == pytest.approx(-off, rel=1e-4)
    assert runs > 30
    assert pinned >= 0.9 * runs
