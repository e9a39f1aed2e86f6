"""The check record: verdicts, what is compared and what is not, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.recheck.tables import as_table, checked, own_forces
from tests.strategies import random_truss, seeded
from tests.trusses import CROSSED_SQUARE, PIN, QUEEN_POST, ROLLER, P, along, at_joint, build, stick
from trussio.errors import CannotAnalyseError, UnreadableError, UsageError
from trussio.model.check_record import ForcesTable
from trussio.model.loading import LoadCase, RunId, SelfWeight, Target, Warmer
from trussio.model.material import Material
from trussio.model.truss import MemberId, SegmentId, Truss
from trussio.recheck.agreement import compare

TRUSS = random_truss(seeded(4), idealisation="continuous")
FORCES = own_forces(TRUSS, "continuous")
D, SNOW = RunId("D"), RunId("S")
FIRST = TRUSS.segments[0].id


def test_a_clean_table_agrees_with_every_run_and_segment() -> None:
    record = checked(TRUSS, as_table(FORCES), "continuous")
    assert record.verdict == "agrees"
    assert record.says == "6 of 6 runs compared agree: D, S, W, X, D+S, uplift."
    assert list(record.runs) == list(TRUSS.loads.runs)
    for run in record.runs.values():
        assert run.says == f"All {len(TRUSS.segments)} segments agree."
        assert list(run.segments) == [segment.id for segment in TRUSS.segments]
        assert all(
            check.verdict == "agrees" and check.claimed == check.rechecked for check in run.segments.values()
        )
        assert run.residual is not None
        assert run.residual_allowed is not None
        assert run.residual <= run.residual_allowed


def test_what_was_independent_and_what_was_not_rechecked_is_written_down() -> None:
    record = checked(TRUSS, as_table(FORCES), "continuous")
    assert "no stiffness matrix" in record.independent[1]
    assert [words.split(":")[0].split(" as ")[0] for words in record.not_rechecked] == [
        "the survey",
        "the loads",
        "the idealisation",
        "allowables and per cent of allowable",
        "the decoding of the document",
    ]
    assert (record.originator, record.checker) == ("", "")
    assert (record.model, record.compared, record.compared_digest) == ("sha256:model", "typed.csv", "sha256:table")


def test_a_run_that_the_table_lacks_is_not_compared() -> None:
    record = checked(TRUSS, as_table({D: FORCES[D]}), "continuous")
    assert record.verdict == "agrees"
    assert record.says == "1 of 1 runs compared agrees: D. Runs of the model not compared: S, W, X, D+S, uplift."
    assert (record.runs[SNOW].verdict, record.runs[SNOW].segments) == (None, {})
    assert record.runs[SNOW].says == "The table has no such run."


def test_a_segment_that_the_table_lacks_disagrees() -> None:
    fewer = {name: force for name, force in FORCES[D].items() if name != FIRST}
    record = checked(TRUSS, as_table({D: fewer}), "continuous")
    run = record.runs[D]
    assert (record.verdict, run.verdict, run.slips) == ("disagrees", "disagrees", ("missing",))
    assert run.segments[FIRST].claimed is None
    assert run.segments[FIRST].verdict == "disagrees"
    assert (run.residual, run.residual_at) == (None, None)
    assert run.says == f"1 of {len(TRUSS.segments)} segments disagrees: the table lacks {FIRST}."


def test_a_segment_that_the_model_lacks_is_named_and_disagrees() -> None:
    more = {**FORCES[D], SegmentId("web:Z1-Z2"): 5.0}
    run = checked(TRUSS, as_table({D: more}), "continuous").runs[D]
    assert (run.verdict, run.unknown, run.slips) == ("disagrees", ("web:Z1-Z2",), ("unknown",))
    assert "the model has no web:Z1-Z2" in run.says


def test_a_run_that_the_model_lacks_is_named() -> None:
    record = checked(TRUSS, as_table({D: FORCES[D], RunId("quake"): FORCES[D]}), "continuous")
    assert record.unknown_runs == ("quake",)
    assert "Runs of the table that the model does not have: quake." in record.says


@pytest.mark.parametrize(
    ("says", "table", "truss"),
    [
        ("No run of the table is a run of this model.", as_table({RunId("quake"): FORCES[D]}), TRUSS),
        ("The table has no figures.", as_table({}), TRUSS),
    ],
)
def test_with_no_run_to_compare_nothing_can_be_told(says: str, table: ForcesTable, truss: Truss) -> None:
    record = checked(truss, table, "continuous")
    assert record.verdict == "cannot tell"
    assert record.says.startswith(says)


def test_a_run_that_cannot_be_evaluated_leaves_the_others_compared() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "T": (2000.0, 1500.0), "B": (4000.0, 0.0)},
        members={"l": stick("A", "T"), "r": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"D": (SelfWeight(of="all"),), "P": (along("l", 2.0),)},
        material=Material(E=1e4),
    )
    forces = {"l:A-T": -2083.0 - 1 / 3, "r:T-B": -2083.0 - 1 / 3, "tie:A-B": 5000.0 / 3}
    claims = {SegmentId(name): force for name, force in forces.items()}
    record = checked(truss, as_table({RunId("D"): claims, P: claims}), "continuous")
    assert record.runs[P].verdict == "agrees", record.runs[P]
    assert (record.verdict, record.runs[RunId("D")].verdict) == ("cannot tell", "cannot tell")
    assert "l has no density" in record.runs[RunId("D")].says
    assert record.says == "1 of 2 runs compared cannot be told: D. 1 of 2 runs compared agrees: P."


def test_one_run_that_disagrees_is_not_averaged_away() -> None:
    wrong = {**FORCES, SNOW: {**FORCES[SNOW], FIRST: FORCES[SNOW][FIRST] * 1.01}}
    record = checked(TRUSS, as_table(wrong), "continuous")
    assert record.verdict == "disagrees"
    assert record.says.startswith("1 of 6 runs compared disagrees: S. 5 of 6 runs compared agree")
    assert record.runs[SNOW].largest_at == FIRST


@pytest.mark.parametrize(
    ("says", "by", "agrees"),
    [
        ("exactly what rounding hides", 0.5, True),
        ("a little beyond, within the relative part", 0.5 + 1e-6, True),
        ("plainly beyond", 0.51, False),
    ],
)
def test_the_limit_is_the_rounding(says: str, by: float, agrees: bool) -> None:  # noqa: FBT001  (a column)
    truss = QUEEN_POST.truss
    rounding = {segment.id: 0.5 for segment in truss.segments}
    claims = {SegmentId(name): force for name, force in QUEEN_POST.axial.items()}
    claims[SegmentId("brace:B1-T2")] += by
    table = replace(as_table({P: claims}), rounding={P: rounding})
    assert (checked(truss, table, "pinned").verdict == "agrees") == agrees, says


def test_a_table_rounded_beyond_all_meaning_cannot_tell() -> None:
    truss = QUEEN_POST.truss
    table = ForcesTable(
        name="t",
        digest="d",
        runs={P: {segment.id: 0.0 for segment in truss.segments}},
        rounding={P: {segment.id: 5e4 for segment in truss.segments}},
    )
    record = checked(truss, table, "pinned")
    assert record.verdict == "cannot tell"
    assert record.runs[P].says == "The table is rounded so coarsely that no force could disagree."


def test_small_forces_that_are_differences_of_large_ones_are_not_called_wrong() -> None:
    """A warm bar that is free to move has no force; a stiffness method leaves rounding of E A x strain in it."""
    claims = dict.fromkeys(own_forces(CROSSED_SQUARE.truss, "pinned")[P], 1e-6)
    truss = replace(CROSSED_SQUARE.truss, loads=type(CROSSED_SQUARE.truss.loads)(cases={P: warm_all()}))
    assert checked(truss, as_table({P: claims}), "pinned").verdict == "agrees"
    claims[SegmentId("ac:A-C")] = 1e-2
    assert checked(truss, as_table({P: claims}), "pinned").verdict == "disagrees"


def warm_all() -> LoadCase:
    return LoadCase(
        loads=tuple(Warmer(on=Target(member=MemberId(name)), by=30.0) for name in CROSSED_SQUARE.truss.members)
    )


def test_forces_of_another_run_and_of_another_idealisation_are_named() -> None:
    record = checked(TRUSS, as_table({D: FORCES[SNOW]}), "continuous")
    assert record.runs[D].slips == ("another-run",)
    assert "these are the figures of the run S" in record.runs[D].says
    truss = random_truss(seeded(4), idealisation="pinned")
    pinned = own_forces(truss, "pinned")
    record = checked(truss, as_table({D: pinned[D]}), "continuous")
    assert record.runs[D].slips == ("another-idealisation",)
    assert "these are the forces of the idealisation `pinned`" in record.runs[D].says


def test_a_difference_that_balances_is_said_to_be_one_of_stiffness() -> None:
    truss = CROSSED_SQUARE.truss
    share = {"ab": 9.0, "bc": 9.0, "cd": 9.0, "da": 9.0, "ac": -9.0 * 2**0.5, "bd": -9.0 * 2**0.5}
    claims = {s.id: CROSSED_SQUARE.axial[s.id] + share[s.member] for s in truss.segments}
    run = checked(truss, as_table({P: claims}), "continuous").runs[P]
    assert run.says == (
        "6 of 6 segments disagree. They balance at every joint, so that the difference is one of stiffness, fit, "
        "bearings or bending."
    )


def test_a_wrong_force_is_told_with_the_change_that_restores_balance() -> None:
    claims = {SegmentId(name): force for name, force in QUEEN_POST.axial.items()}
    claims[SegmentId("brace:B1-T2")] = 4750.0
    run = checked(QUEEN_POST.truss, as_table({P: claims}), "pinned").runs[P]
    assert run.says == (
        "1 of 9 segments disagrees: brace:B1-T2 alone is wrong. At B1 they leave 1 kN unbalanced, of which "
        f"rounding explains {run.residual_allowed:.3g} N. A change of brace:B1-T2 by -1 kN alone would restore "
        "balance at every joint. Equilibrium alone settles this truss, and exact arithmetic finds the same forces "
        "as this recheck."
    )
    assert run.largest_difference == pytest.approx(1000.0)


def test_what_belongs_to_another_model_is_refused() -> None:
    with pytest.raises(UnreadableError, match="belong to another model") as caught:
        checked(TRUSS, as_table(FORCES, model="sha256:other"), "continuous")
    assert caught.value.code == "another-model"
    assert checked(TRUSS, as_table(FORCES, model="sha256:model"), "continuous").verdict == "agrees"


def test_a_conflict_of_idealisation_or_state_is_refused() -> None:
    with pytest.raises(UsageError, match="`pinned`, and `continuous` is asked for") as caught:
        checked(TRUSS, replace(as_table(FORCES), idealisation="pinned"), "continuous")
    assert caught.value.code == "idealisation-conflict"
    with pytest.raises(UsageError, match="`built`, and `found` is asked for") as caught:
        checked(TRUSS, replace(as_table(FORCES), state="built"), "continuous")
    assert caught.value.code == "state-conflict"


def test_a_mechanism_is_no_matter_of_agreement() -> None:
    truss = replace(QUEEN_POST.truss, supports={})
    with pytest.raises(CannotAnalyseError, match="can move without strain"):
        compare(truss, as_table({}), idealisation="pinned", state="found", model_digest="sha256:model")


def test_a_truss_without_loads_has_nothing_to_compare() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1.0, 0.0)},
        members={"s": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    assert checked(truss, as_table({P: {}}), "pinned").verdict == "cannot tell"
    loaded = replace(truss, loads=type(truss.loads)(cases={P: LoadCase(loads=(at_joint("A", fy=-5.0),))}))
    assert checked(loaded, as_table({P: {SegmentId("s:A-B"): 0.0}}), "pinned").verdict == "agrees"
