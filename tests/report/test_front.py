"""The first screen says what is so in its order, and what is not evaluated in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drawing import roofs
from tests.report import assessments
from trussio.model.assessment import Assessment
from trussio.model.finding import Finding
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.report.entry import Entry
from trussio.report.front import front


def entry(assessment: Assessment, heading: str) -> Entry:
    return next(one for one in front(assessment) if one.heading == heading)


def says(assessment: Assessment, heading: str) -> str:
    return " ".join(entry(assessment, heading).lines)


@pytest.mark.parametrize(
    "assessment",
    [assessments.complete(), assessments.bare(roofs.nameless()), assessments.troubled()],
    ids=["complete", "bare", "troubled"],
)
def test_the_order_is_always_the_same(assessment: Assessment) -> None:
    assert [one.heading for one in front(assessment)] == [
        "Truss",
        "Danger",
        "Not evaluated",
        "To settle",
        "Loads",
        "Recheck",
        "Largest",
        "Limits",
    ]
    assert all(one.lines for one in front(assessment))


def test_what_is_not_stated_is_said() -> None:
    told = says(assessments.complete(), "Truss")
    assert "document 0123456789ab. Read from hall-truss-2.dxf. Taken as found" in told
    assert "60'-0\" wide and 8'-0\" high between joints: 16 joints, 15 sticks in 29 segments." in told
    assert "View and survey date: not stated in the document." in told


def test_danger_says_that_damage_and_overload_are_not_evaluated() -> None:
    calm = entry(assessments.complete(), "Danger")
    assert calm.urgent == 0
    assert "over its allowable under dead load alone: not evaluated" in calm.lines[0]
    assert "ask the engineer now about shoring and closing the area" in calm.lines[0]


def test_a_part_of_its_own_and_an_overridden_stop_are_dangers() -> None:
    alarmed = entry(assessments.troubled(), "Danger")
    assert alarmed.urgent == 2
    assert alarmed.lines[:2] == (
        "Calculated over a stop (no-material): no force here may be relied on.",
        (
            "T7 is a part of its own: no member joins it to the rest. "
            "Ask the engineer now about shoring and closing the area."
        ),
    )


@pytest.mark.parametrize("code", ["severed", "missing"])
def test_what_the_survey_found_severed_or_gone_is_a_danger(code: str) -> None:
    """It is taken so in the forces, and the roof stands on what is left."""
    whole = assessments.complete()
    assert whole.findings is not None
    broken = Finding(
        code=code, level="query", where=("/condition/c1",), says=f"bottom is {code} 1'-6\" from B0.", do="See it."
    )
    findings = replace(whole.findings, findings=(*whole.findings.findings, broken))
    alarmed = entry(replace(whole, findings=findings), "Danger")
    assert alarmed.urgent == 1
    assert alarmed.lines[0] == (
        f"bottom is {code} 1'-6\" from B0. Ask the engineer now about shoring and closing the area."
    )


def test_everything_not_done_is_not_evaluated() -> None:
    told = says(assessments.bare(roofs.nameless()), "Not evaluated")
    for words in (
        "Per cent of allowable of members and connections",
        "Condition of the wood",
        "Snow: no load case of that kind.",
        "Wind, not evaluated: uplift and all else; no load case of that kind.",
        "The audit of the model.",
        "Forces, reactions and movements: not calculated.",
        "The recheck by a second method.",
    ):
        assert words in told


def test_what_was_done_is_not_called_not_evaluated() -> None:
    told = says(assessments.complete(), "Not evaluated")
    assert "Wind, not evaluated: uplift and all else; no load case of that kind." in told
    for words in ("Snow", "audit", "recheck", "not calculated"):
        assert words not in told
    windy = replace(
        assessments.hall(),
        loads=Loads(cases={RunId("W"): LoadCase(kind="wind"), RunId("S"): LoadCase(kind="snow")}),
    )
    assert "load case of that kind" not in says(assessments.bare(windy), "Not evaluated")


def test_a_run_that_could_not_be_calculated_is_named() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    runs = {run: forces for run, forces in whole.results.runs.items() if run != "D+SL"}
    less = replace(whole, results=replace(whole.results, runs=runs))
    assert "Forces in 1 run: D+SL." in says(less, "Not evaluated")


def test_a_rule_that_could_not_be_evaluated_is_named() -> None:
    whole = assessments.complete()
    assert whole.findings is not None
    lost = replace(whole.findings.findings[0], code="not-evaluated", says="Not evaluated: parts (overflow).")
    less = replace(whole, findings=replace(whole.findings, findings=(lost,)))
    assert "Not evaluated: parts (overflow)." in entry(less, "Not evaluated").lines
    assert "Query:" not in says(less, "To settle")


def test_stops_come_first_and_many_queries_are_counted() -> None:
    settle = entry(assessments.troubled(), "To settle")
    assert settle.urgent == 1
    assert settle.lines[:2] == (
        "Stop: w3 has no material. State one.",
        "1 stop, 2 queries, 1 note; 1 open question to the surveyor.",
    )
    whole = assessments.complete()
    assert whole.findings is not None
    many = replace(whole.findings, findings=(whole.findings.findings[0],) * 5)
    told = entry(replace(whole, findings=many), "To settle").lines
    assert [line for line in told if line.startswith("Query:")] == ["Query: w2 and w3 cross without a joint."] * 3
    assert "And 2 more below." in told


def test_only_unconfirmed_assumptions_are_to_settle() -> None:
    told = says(assessments.complete(), "To settle")
    assert "Assumed, not confirmed: The left bearing is held and the right one rolls." in told
    assert "Invented fir" not in told


def test_loads_have_totals_and_a_pencil_check() -> None:
    loads = entry(assessments.complete(), "Loads")
    assert loads.urgent == 0
    assert loads.lines == (
        "D+S (1 D + 1 S): loads 27.3 k down; the reactions balance them.",
        "D+SL (1 D + 1 SL): loads 28.6 k down; the reactions balance them.",
        "D: loads 10.5 k down; the reactions balance them.",
        (
            "Pencil check, run D+SL: moment about T4 over depth, 257.6 ft-k / 8'-0\", "
            "gives 32.2 k T in bottom:B3-B4; model 32.2 k T."
        ),
        "Edition of the load rules: not stated; loads are as the document gives them.",
    )


def test_loads_that_do_not_balance_come_first() -> None:
    loads = entry(assessments.troubled(), "Loads")
    assert loads.urgent == 3
    assert loads.lines[0] == "D+S (1 D + 1 S): loads 54.6 k down and reactions 27.3 k up do not balance."


@pytest.mark.parametrize(("share", "urgent"), [(1.0009, 0), (1.003, 2)])
def test_balance_is_held_to_a_thousandth_of_the_largest_force(share: float, urgent: int) -> None:
    """The largest force is a little larger than the sum of the loads, so 0.9 in a thousand passes, 3 do not."""
    whole = assessments.complete()
    nearly = {
        run: {joint: (x, share * y) for joint, (x, y) in loads.items()}
        for run, loads in whole.applied.items()
        if run in {"D+S", "D+SL"}
    }
    assert entry(replace(whole, applied=nearly), "Loads").urgent == urgent


def test_without_loads_handed_over_the_totals_are_not_evaluated() -> None:
    told = says(replace(assessments.complete(), applied={}), "Loads")
    assert "D+S (1 D + 1 S): reactions 27.3 k up; total of the loads not evaluated." in told
    assert "Pencil check of a chord force: not evaluated" in told


def test_without_forces_the_totals_are_not_evaluated() -> None:
    assert "Totals and pencil check: not evaluated" in says(assessments.bare(assessments.hall()), "Loads")
    assert "The document holds no loads." in says(assessments.bare(roofs.nameless()), "Loads")


def test_the_recheck_says_what_it_is_and_what_it_is_not() -> None:
    assert entry(assessments.complete(), "Recheck").lines == (
        (
            "Agrees with our own analysis. The forces follow from this model by a second method; "
            "survey, loads, idealisation and allowables are not rechecked."
        ),
    )
    wrong = entry(assessments.troubled(), "Recheck")
    assert wrong.urgent == 1
    assert wrong.lines[0].startswith(
        "Disagrees with our own analysis: Run D+S: w3:B2-T2 is off by 12 %. Do not use these forces"
    )
    assert says(assessments.bare(assessments.hall()), "Recheck").startswith("Not evaluated")


def test_a_recheck_that_cannot_tell_is_no_agreement() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    record = assessments.checked(whole.truss, dict(whole.results.runs), "cannot tell")
    told = entry(replace(whole, check_record=record), "Recheck")
    assert told.urgent == 1
    assert told.lines[0].startswith("Cannot tell of our own analysis: ")


def test_the_largest_forces_are_not_called_the_worst_members() -> None:
    told = entry(assessments.complete(), "Largest").lines
    assert (
        told[0]
        == "How near each is to what it may carry is not evaluated: these are forces, not the worst members."
    )
    assert told[1] == "Tension 35.3 k in bottom:B0-B1, run D+SL."
    assert sum(line.startswith("Tension") for line in told) == 5
    assert sum(line.startswith("Compression") for line in told) == 5
    assert any(line.startswith("Change sign between runs: ") and "w3:B2-T2" in line for line in told)
    assert entry(assessments.bare(assessments.hall()), "Largest").lines == ("Not evaluated.",)
