"""Assumptions ranked by what they move: answers known on paper, and what cannot be varied said so."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.trusses import KING_POST, OPEN_SQUARE, PIN, RAFTER_PAIR
from trussio.audit.rules import audit
from trussio.model.change import Assumption
from trussio.model.loading import RunId
from trussio.model.truss import JointId, MemberId, Truss
from trussio.sensitivity import swings, with_swings

P = RunId("P")
PINNED_BOTH = {JointId("B0"): PIN, JointId("B2"): PIN}


def assuming(truss: Truss, confirmed: str | None = None, **touches: tuple[str, ...]) -> Truss:
    entries = {
        name: Assumption(what=f"{name}.", rests_on="nothing", touches=places, confirmed=confirmed)
        for name, places in touches.items()
    }
    return replace(truss, assumptions=entries)


def summed(truss: Truss) -> Truss:
    """The same with its one case in a combination."""
    return replace(truss, loads=replace(truss.loads, combinations={RunId("sum"): {P: 1.0}}))


def test_a_roller_that_is_held_takes_the_thrust_from_the_tie() -> None:
    """A tie between two rigid bearings cannot lengthen, so it carries nothing: 4000 N becomes 0, of 5000 N."""
    truss = assuming(RAFTER_PAIR.truss, a=("/supports/B2",))
    first = swings(truss, idealisation="pinned", runs=[P])[0]
    assert (first.name, first.says, first.segment) == ("a", "B2 held in x too", "tie:B0-B2")
    assert first.change == pytest.approx(0.8)
    assert first.before == pytest.approx(4000.0)
    assert first.after == pytest.approx(0.0, abs=1e-6)


def test_two_held_bearings_are_tried_with_one_that_rolls() -> None:
    truss = assuming(replace(RAFTER_PAIR.truss, supports=PINNED_BOTH), a=("/supports/B0", "/supports/B2"))
    first = swings(truss, idealisation="pinned", runs=[P])[0]
    assert first.says == "B2 rolling"
    assert first.after == pytest.approx(4000.0)


@pytest.mark.parametrize(
    "place", ["/materials/m", "/members/tie/material", "/sections/s", "/members/left/section"]
)
def test_stiffness_and_size_move_nothing_where_balance_alone_decides(place: str) -> None:
    ranked = swings(assuming(RAFTER_PAIR.truss, a=(place,)), idealisation="pinned", runs=[P])
    assert [swing.change for swing in ranked] == [pytest.approx(0.0, abs=1e-9)] * 2


def test_a_load_moves_forces_by_its_own_share() -> None:
    truss = assuming(summed(RAFTER_PAIR.truss), a=("/loads",))
    first = swings(truss, idealisation="pinned", runs=[RunId("sum")])[0]
    assert (first.name, first.says) == ("a", "P by -20%")
    assert first.change == pytest.approx(0.2)


def test_a_steeper_rafter_thrusts_less() -> None:
    """T1 is raised by 8000 / 500 = 16 mm: the tie takes 3000 x 4000 / 3016."""
    first = swings(assuming(RAFTER_PAIR.truss, a=("/joints/T1",)), idealisation="pinned", runs=[P])[0]
    assert first.says == "T1 16 mm up"
    assert first.segment == "tie:B0-B2"
    assert first.after == pytest.approx(3000 * 4000 / 3016)


def test_the_worst_comes_first_and_what_is_confirmed_is_left() -> None:
    truss = assuming(summed(RAFTER_PAIR.truss), m=("/materials/m",), s=("/supports/B2",), l=("/loads",))
    ranked = swings(truss, idealisation="pinned", runs=[RunId("sum")])
    assert [swing.name for swing in ranked][:2] == ["s", "l"]
    signed = assuming(summed(RAFTER_PAIR.truss), confirmed="EF", s=("/supports/B2",))
    assert [swing.name for swing in swings(signed, idealisation="pinned", runs=[P])] == ["the idealisation"]


def test_the_finding_asks_about_what_moves_and_names_what_does_not() -> None:
    truss = assuming(summed(RAFTER_PAIR.truss), m=("/materials/m",), s=("/supports/B2",), n=())
    findings = with_swings(truss, audit(truss, digest="sha256:0"), idealisation="continuous")
    (finding,) = (finding for finding in findings.findings if finding.code == "hangs-on")
    assert finding.level == "query"
    assert finding.says == (
        "What the forces hang on, each thing varied by itself: s (B2 held in x too) takes tie:B0-B2 from 4 kN T "
        "to 0 kN in sum; m and the idealisation move no force by more than 5%; n was not evaluated: nothing in it "
        "can be varied."
    )


def test_what_moves_nothing_is_a_note() -> None:
    truss = assuming(KING_POST.truss, m=("/materials/m",))
    findings = with_swings(truss, audit(truss, idealisation="pinned", digest="x"), idealisation="pinned")
    (finding,) = (finding for finding in findings.findings if finding.code == "hangs-on")
    assert finding.level == "note"


def test_a_mechanism_is_not_evaluated_and_says_so() -> None:
    truss = assuming(OPEN_SQUARE.truss, a=("/supports/B",))
    findings = with_swings(truss, audit(truss, digest="sha256:0"), idealisation="continuous")
    (finding,) = (finding for finding in findings.findings if finding.code == "hangs-on")
    assert "a was not evaluated: no force can be calculated (mechanism)" in finding.says


def test_a_variation_that_makes_a_mechanism_is_said() -> None:
    """Both bearings of a truss without a tie hold its thrust; letting one roll leaves a mechanism."""
    members = {name: member for name, member in RAFTER_PAIR.truss.members.items() if name != MemberId("tie")}
    truss = replace(RAFTER_PAIR.truss, members=members, supports=PINNED_BOTH)
    (swing,) = (
        swing
        for swing in swings(assuming(truss, a=("/supports/B0", "/supports/B2")), idealisation="pinned", runs=[P])
        if swing.name == "a"
    )
    assert (swing.change, swing.says) == (None, "B2 rolling: no force can be calculated (mechanism)")


def test_without_anything_to_rank_the_findings_stay() -> None:
    plain = audit(RAFTER_PAIR.truss, digest="sha256:0")
    assert with_swings(RAFTER_PAIR.truss, plain, idealisation="pinned") is plain
