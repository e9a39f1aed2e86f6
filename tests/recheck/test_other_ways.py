"""Tables of the same truss taken another way are told from tables that are wrong, at once and through stages."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.analysis.staged import now, stages
from tests.analysis.test_giving import hangers
from tests.recheck.tables import as_table
from tests.recheck.test_levers import worked_on
from tests.strategies import random_truss, seeded
from tests.trusses import CROSSED_SQUARE
from trussio.calculation import calculate
from trussio.model.condition import Left, LostSection
from trussio.model.loading import RunId
from trussio.model.staging import PutOn
from trussio.model.truss import MemberId, SegmentId
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, State, Truss

DIGEST = "sha256:" + "0" * 64


def told(
    truss: Truss, other: Truss, run: RunId, ways: tuple[Idealisation, Idealisation], states: tuple[State, State]
) -> tuple[tuple[str, ...], str]:
    """The slips and the words on forces of one truss as those of another: idealisation and state of each."""
    given = claims(calculate(other, digest=DIGEST, idealisation=ways[1], state=states[1]))
    table = as_table({run: given.runs[run]}, figures=4)
    check = recheck(truss, table, digest=DIGEST, idealisation=ways[0], state=states[0]).runs[run]
    assert check.verdict == "disagrees"
    return check.slips, check.says


PINNED: tuple[Idealisation, Idealisation] = ("pinned", "pinned")
FOUND: tuple[State, State] = ("found", "found")


def rods() -> Truss:
    """The crossed square with diagonals that carry tension alone."""
    members = {
        name: replace(member, acts="tension") if name in {"ac", "bd"} else member
        for name, member in CROSSED_SQUARE.truss.members.items()
    }
    return replace(CROSSED_SQUARE.truss, members=members)


@pytest.mark.parametrize("staged", [False, True])
def test_rods_that_were_taken_to_push_are_told(staged: bool) -> None:  # noqa: FBT001  # one of two
    truss, run = rods(), RunId("P")
    both = CROSSED_SQUARE.truss
    if staged:
        truss, both, run = stages(truss, (PutOn((run,)),)), stages(both, (PutOn((run,)),)), now(1)
    slips, says = told(truss, both, run, PINNED, FOUND)
    assert slips == ("both-ways",)
    assert "these are the forces with every member carrying both ways" in says


@pytest.mark.parametrize("staged", [False, True])
def test_a_table_without_the_slip_of_connections_is_told(staged: bool) -> None:  # noqa: FBT001  # one of two
    rigid, run = CROSSED_SQUARE.truss, RunId("P")
    members = {
        name: replace(member, slip={"first": 2000.0}) if name == "ac" else member
        for name, member in rigid.members.items()
    }
    soft = replace(rigid, members=members)
    if staged:
        soft, rigid, run = stages(soft, (PutOn((run,)),)), stages(rigid, (PutOn((run,)),)), now(1)
    slips, says = told(soft, rigid, run, PINNED, FOUND)
    assert slips == ("no-slip",)
    assert "these are the forces with connections that neither slip nor turn" in says


@pytest.mark.parametrize(("state", "other"), [("found", "built"), ("built", "found")])
@pytest.mark.parametrize("staged", [False, True])
def test_forces_of_the_other_state_are_told(state: State, other: State, staged: bool) -> None:  # noqa: FBT001  # so
    run = RunId("P")
    half = LostSection(member=MemberId("ac"), what=Left(area=500.0, inertia=5e5), seen="decayed")
    truss = replace(CROSSED_SQUARE.truss, condition={"c": half})
    if staged:
        truss, run = stages(truss, (PutOn((run,)),)), now(1)
    slips, says = told(truss, truss, run, PINNED, (state, other))
    assert slips == ("another-state",)
    assert f"these are the forces of the truss as {other}" in says


def test_forces_after_a_stage_of_the_other_idealisation_are_told() -> None:
    truss = worked_on(2)
    for run in (now(1), now(2)):
        slips, says = told(truss, truss, run, ("continuous", "pinned"), FOUND)
        assert slips == ("another-idealisation",)
        assert "these are the forces of the idealisation `pinned`" in says


def test_nothing_is_told_where_another_way_explains_all_but_one_figure() -> None:
    truss, run = rods(), RunId("P")
    forces = claims(calculate(CROSSED_SQUARE.truss, digest=DIGEST, idealisation="pinned")).runs[run]
    off = {**forces, SegmentId("ac:A-C"): 1.02 * forces[SegmentId("ac:A-C")]}
    check = recheck(truss, as_table({run: off}), digest=DIGEST, idealisation="pinned").runs[run]
    assert (check.verdict, check.slips) == ("disagrees", ())


def test_a_table_rounded_but_for_one_figure_is_told() -> None:
    truss = random_truss(seeded(4), idealisation="pinned", stations=False)
    forces = claims(calculate(truss, digest=DIGEST, idealisation="pinned")).runs[RunId("D")]
    table = as_table({RunId("D"): forces}, figures=3)
    exact = replace(table, rounding={RunId("D"): dict.fromkeys(forces, 1e-4)})
    check = recheck(truss, exact, digest=DIGEST, idealisation="pinned").runs[RunId("D")]
    assert (check.verdict, check.slips) == ("disagrees", ("rounded",))
    assert "all figures agree to 3 significant figures, and the table gives some with more" in check.says
    name = max(forces, key=lambda one: abs(forces[one]))
    off = {**exact.runs[RunId("D")], name: 1.02 * forces[name]}
    wrong = recheck(truss, replace(exact, runs={RunId("D"): off}), digest=DIGEST, idealisation="pinned")
    assert wrong.runs[RunId("D")].slips == ()


def test_a_run_of_rods_that_agrees_is_not_looked_at_twice() -> None:
    truss = stages(hangers(), (PutOn((RunId("up"),)),))
    assert MemberId("rod") in truss.members
    assert recheck(truss, claims(calculate(truss, digest=DIGEST)), digest=DIGEST).verdict == "agrees"
