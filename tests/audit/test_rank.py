"""Count and rank: every published entry with its printed numbers, and what stations do to the count."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.audit.forms import pitched
from tests.published.statics import ENTRIES, UNSTABLE, Published
from tests.trusses import KING_POST, PURLIN_POINT, SOUND, TWO_SPANS, Known
from trussio.audit.rank import statics
from trussio.model.finding import Statics
from trussio.model.truss import Idealisation


def by_id(entry: Published) -> str:
    return entry.id


@pytest.mark.parametrize("entry", UNSTABLE, ids=by_id)
def test_unstable_entries_have_the_mechanisms_and_self_stress_that_are_published(entry: Published) -> None:
    found = statics(entry.truss, "continuous")
    known = entry.stability
    if entry.id != "US06":  # its source prints the verdict alone; the numbers are those of `recomputed`
        assert (found.mechanisms, found.self_stress) == (known.mechanisms, known.self_stress)
        assert known.moving is None or set(found.moving) == known.moving


@pytest.mark.parametrize("entry", ENTRIES, ids=by_id)
def test_every_entry_has_the_rank_that_an_independent_solver_found(entry: Published) -> None:
    found = statics(entry.truss, "continuous")
    known = entry.recomputed_stability
    assert (found.mechanisms, found.self_stress) == (known.mechanisms, known.self_stress)
    assert known.moving is not None
    assert set(found.moving) == known.moving
    assert found.mechanisms - found.self_stress == -found.count


@pytest.mark.parametrize("entry", [entry for entry in UNSTABLE if entry.stability.mechanisms == 0], ids=by_id)
def test_a_stable_control_becomes_a_mechanism_when_a_member_goes(entry: Published) -> None:
    for name in entry.truss.members:
        members = {other: member for other, member in entry.truss.members.items() if other != name}
        found = statics(replace(entry.truss, members=members), "continuous")
        assert found.mechanisms == (0 if entry.id == "US19" else 1)


@pytest.mark.parametrize(
    ("entry", "mechanisms", "self_stress"),
    [
        ("US09", 0, 1),
        ("US10", 0, 1),
        ("US20", 0, 0),
        ("US08", 0, 1),
    ],
)
def test_as_pinned_joints_of_one_line_are_stations_and_no_mechanism(
    entry: str, mechanisms: int, self_stress: int
) -> None:
    (known,) = (each for each in UNSTABLE if each.id == entry)
    assert statics(known.truss, "continuous").mechanisms > 0
    found = statics(known.truss, "pinned")
    assert (found.mechanisms, found.self_stress, found.moving) == (mechanisms, self_stress, ())


@pytest.mark.parametrize(
    ("says", "known", "idealisation", "expected"),
    [
        ("a king post: 5 pieces and 3 holds for 4 joints, none of them a station", KING_POST, "pinned",
         Statics(joints=4, segments=5, holds=3, count=0, rank=8, mechanisms=0, self_stress=0, moving=())),
        ("a purlin point is no joint of the count, and the rafter through it one member", PURLIN_POINT, "pinned",
         Statics(joints=3, segments=3, holds=3, count=0, rank=6, mechanisms=0, self_stress=0, moving=())),
        ("the same as it bends: 4 axial forces, 2 moments at the purlin, 3 holds; 4 x 2 + 1 equations",
         PURLIN_POINT, "continuous",
         Statics(joints=4, segments=4, holds=3, count=0, rank=9, mechanisms=0, self_stress=0, moving=())),
        ("two spans: 2 axial, 2 moments, 4 holds; 3 x 2 + 1 equations: one too many", TWO_SPANS, "continuous",
         Statics(joints=3, segments=2, holds=4, count=1, rank=7, mechanisms=0, self_stress=1, moving=())),
    ],
)  # fmt: skip
def test_the_count_is_the_one_by_hand(
    says: str, known: Known, idealisation: Idealisation, expected: Statics
) -> None:
    assert statics(known.truss, idealisation) == expected, says


@pytest.mark.parametrize("name", list(SOUND))
def test_trusses_known_on_paper_stand(name: str) -> None:
    found = statics(SOUND[name].truss, SOUND[name].idealisation)
    assert found.mechanisms == 0
    assert found.moving == ()


def test_a_pitched_truss_has_what_it_needs_and_no_more() -> None:
    assert statics(pitched(), "pinned") == Statics(
        joints=12, segments=21, holds=3, count=0, rank=24, mechanisms=0, self_stress=0, moving=()
    )


def test_a_truss_without_its_brace_moves_as_pinned_and_says_which_joints() -> None:
    found = statics(pitched(skipped="d2"), "pinned")
    assert (found.count, found.mechanisms) == (-1, 1)
    assert {"T2", "B2"} <= set(found.moving)
    assert not {"B0"} & set(found.moving)
