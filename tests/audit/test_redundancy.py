"""The count in words, the spare shared out, and the members on which all hangs."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest

from tests.audit.forms import pitched
from tests.published.statics import ENTRIES, Published
from tests.trusses import CROSSED_SQUARE, PIN, ROLLER, TWO_SPANS, build, stick
from trussio.audit.rank import statics
from trussio.audit.redundancy import count, count_in_words, single_sticks, spare
from trussio.audit.subject import subject_of
from trussio.model.truss import Idealisation, MemberId, Truss

BAR: Final = build(
    joints={"a": (0.0, 0.0), "b": (4000.0, 0.0)},
    members={"ab": stick("a", "b")},
    supports={"a": PIN, "b": ROLLER},
    cases={},
)


def test_of_one_member_nothing_is_said_of_its_loss() -> None:
    """Its joints go with it, so that nothing is left to move."""
    (found,) = count(subject_of(BAR, "continuous"))
    assert "loss" not in found.says


STABLE = [entry for entry in ENTRIES if entry.recomputed_stability.mechanisms == 0]
KNOWN = {entry.id: entry.truss for entry in ENTRIES}


@pytest.mark.parametrize(
    ("says", "truss", "idealisation", "words"),
    [
        ("just enough", pitched(), "pinned", "21 members + 3 holds = 24, 2 x 12 joints = 24: just enough"),
        ("one too many", CROSSED_SQUARE.truss, "pinned",
         "6 members + 3 holds = 9, 2 x 4 joints = 8: 1 more than needed"),
        ("one too few", pitched(skipped="d2"), "pinned",
         "20 members + 3 holds = 23, 2 x 12 joints = 24: 1 too few"),
        ("enough and badly placed", KNOWN["US04"], "pinned",
         "32 members + 4 holds = 36, 2 x 18 joints = 36: just enough, but badly placed"),
        ("moments and turns", TWO_SPANS.truss, "continuous",
         "2 axial forces + 2 moments + 4 holds = 8, 2 x 3 joints + 1 turn = 7: 1 more than needed"),
    ],
)  # fmt: skip
def test_the_count_is_said_as_by_hand(says: str, truss: Truss, idealisation: Idealisation, words: str) -> None:
    assert count_in_words(statics(truss, idealisation), idealisation) == words, says


@pytest.mark.parametrize("entry", STABLE, ids=lambda entry: entry.id)
def test_shares_of_members_and_holds_add_up_to_the_degree(entry: Published) -> None:
    truss = entry.truss
    view = subject_of(truss, "continuous").view
    holds = view.rank.stresses[len(view.rank.stresses) - len(view.compat.holds) :]
    total = sum(spare(truss, view).values()) + float((holds**2).sum())
    assert total == pytest.approx(view.statics.self_stress, abs=1e-9)


def test_the_crossed_square_shares_its_one_spare_by_the_known_self_stress() -> None:
    """Sides 1, diagonals - sqrt 2 (US19): squares 1 and 2 of 8."""
    view = subject_of(CROSSED_SQUARE.truss, "pinned").view
    shares = spare(CROSSED_SQUARE.truss, view)
    assert shares[MemberId("ab")] == pytest.approx(1 / 8)
    assert shares[MemberId("ac")] == pytest.approx(2 / 8)


@pytest.mark.parametrize("entry", STABLE, ids=lambda entry: entry.id)
def test_members_that_must_not_go_are_those_whose_removal_makes_a_mechanism(entry: Published) -> None:
    truss = entry.truss
    needed = set(single_sticks(truss, subject_of(truss, "continuous").view))
    for name in truss.members if len(truss.members) > 1 else ():
        members = {other: member for other, member in truss.members.items() if other != name}
        left = {joint for member in members.values() for joint in member.through}
        rest = replace(
            truss,
            members=members,
            joints={joint: place for joint, place in truss.joints.items() if joint in left},
            supports={joint: support for joint, support in truss.supports.items() if joint in left},
        )
        assert (name in needed) == (statics(rest, "continuous").mechanisms > 0)


def test_of_the_pitched_truss_every_member_is_needed_as_pinned_and_only_chords_as_continuous() -> None:
    assert set(single_sticks(pitched(), subject_of(pitched(), "pinned").view)) == set(pitched().members)
    assert single_sticks(pitched(), subject_of(pitched(), "continuous").view) == ["bottom", "left", "right"]


def test_the_count_note_says_both_idealisations_and_what_hangs_on_a_single_stick() -> None:
    (finding,) = count(subject_of(pitched(), "pinned"))
    assert finding.says == (
        "As pinned 21 members + 3 holds = 24, 2 x 12 joints = 24: just enough; as continuous 21 axial forces + "
        "18 moments + 3 holds = 42, 2 x 12 joints + 9 turns = 33: 9 more than needed. As pinned the loss of any "
        "one member makes a mechanism."
    )
    assert finding.evidence["counts"] == {"pinned": 0, "continuous": 9}
