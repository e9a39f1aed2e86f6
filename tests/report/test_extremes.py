"""The largest forces and the changes of sign are those of runs that act on the roof."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drawing import roofs
from tests.report import assessments
from trussio.model.forces import Results
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.model.truss import Truss
from trussio.report.extremes import acting_runs, common_scale, largest, reversals

KING = roofs.king_post()
NAMES = [segment.id for segment in KING.segments]


def results(**axial: list[float]) -> Results:
    runs = {RunId(run): roofs.run_forces(KING, forces) for run, forces in axial.items()}
    return Results(model="", idealisation="pinned", state="found", rests_on=(), runs=runs)


def with_runs(cases: dict[str, str], *combinations: str) -> Truss:
    kinds = {"D": "dead", "S": "snow", "W": "wind"}
    assert set(cases.values()) <= set(kinds.values())
    made = {
        RunId(name): LoadCase(kind="dead" if kind == "dead" else "snow" if kind == "snow" else "wind")
        for name, kind in cases.items()
    }
    combined = {RunId(name): {RunId("D"): 1.0} for name in combinations}
    return replace(KING, loads=Loads(cases=made, combinations=combined))


@pytest.mark.parametrize(
    ("cases", "combinations", "acting"),
    [
        ({"D": "dead", "S": "snow"}, ("D+S",), ["D+S", "D"]),
        ({"D": "dead", "S": "snow"}, (), ["D", "S"]),
        ({"S": "snow"}, ("C",), ["C"]),
    ],
)
def test_a_snow_case_acts_by_itself_only_where_nothing_is_combined(
    cases: dict[str, str], combinations: tuple[str, ...], acting: list[str]
) -> None:
    roof = with_runs(cases, *combinations)
    zero = [0.0] * len(NAMES)
    found = results(**dict.fromkeys((*cases, *combinations), zero))
    assert list(acting_runs(roof, found)) == acting


def test_a_run_without_results_is_left_out() -> None:
    roof = with_runs({"D": "dead"}, "D+S")
    assert acting_runs(roof, results(D=[0.0] * len(NAMES))) == ("D",)


def test_each_segment_counts_once_with_its_worst_run_and_the_worst_comes_first() -> None:
    one = [100.0, -200.0, 0.0, 300.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    two = [150.0, -100.0, 0.0, 200.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    found = results(A=one, B=two)
    scale, runs = common_scale(KING, found), (RunId("A"), RunId("B"))
    pulls = [(e.segment, e.run, e.axial) for e in largest(found, runs, sign=1, scale=scale)]
    pushes = [(e.segment, e.run, e.axial) for e in largest(found, runs, sign=-1, scale=scale)]
    assert pulls == [(NAMES[3], "A", 300.0), (NAMES[0], "B", 150.0)]
    assert pushes == [(NAMES[1], "A", -200.0)]


def test_at_most_five_are_told() -> None:
    found = results(A=[float(100 + at) for at in range(9)])
    told = largest(found, (RunId("A"),), sign=1, scale=common_scale(KING, found))
    assert [e.axial for e in told] == [108.0, 107.0, 106.0, 105.0, 104.0]


@pytest.mark.parametrize(
    ("low", "changes"),
    [(-1000.0, True), (-51.0, True), (-49.0, False), (10.0, False)],
)
def test_a_change_of_sign_must_show_in_the_decimals(*, low: float, changes: bool) -> None:
    """With one decimal of a kN, 49 N prints as 0 and 51 N as 0.1."""
    found = results(A=[20000.0] + [0.0] * 8, B=[low] + [0.0] * 8)
    turned = reversals(KING, found, (RunId("A"), RunId("B")), common_scale(KING, found))
    assert [(r.tension.run, r.compression.run, r.tension.segment) for r in turned] == (
        [("A", "B", NAMES[0])] if changes else []
    )


def test_one_sided_snow_turns_webs_of_a_bowstring() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    runs = acting_runs(whole.truss, whole.results)
    turned = reversals(whole.truss, whole.results, runs, common_scale(whole.truss, whole.results))
    assert runs == ("D+S", "D+SL", "D")
    assert turned
    assert {r.tension.segment.split(":")[0][0] for r in turned} == {"w"}
