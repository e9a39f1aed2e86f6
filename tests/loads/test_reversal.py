"""Segments that turn round between runs, and webs that sleep until snow lies on one side."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.loads.roofs import ONES
from trussio.calculation import calculate
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss
from trussio.loads.generate import generate
from trussio.loads.reversal import EVEN, UNEVEN, Turn, force_reversals, runs_of, woken_by_drift
from trussio.model.forces import Results
from trussio.model.loading import Loads, RunId
from trussio.model.site import AreaLoad, Surface
from trussio.model.truss import SegmentId, Truss

HALL = Path(__file__).parents[2] / "samples" / "hall" / "hall-truss-2.json"


def hall() -> tuple[Truss, Results]:
    """The sample hall loaded from a site, with its forces."""
    truss = read_truss(HALL.read_bytes(), name="hall.json")
    site = replace(ONES, ground_snow=40.0, self_weight=True)
    roof = Surface(kind="roof", role="top-chord", dead={"covering": AreaLoad(12.0)})
    loaded = generate(replace(truss, loads=Loads(), site=site, surfaces={"roof": roof}))
    return loaded, calculate(loaded, digest=digest_of_truss(loaded))


def test_one_sided_snow_turns_webs_round() -> None:
    truss, results = hall()
    turned = force_reversals(truss, results, results.runs)
    assert turned
    for turn in turned:
        for run in turn.pulled:
            assert results.runs[run].segments[turn.segment].axial > 0
        for run in turn.pushed:
            assert results.runs[run].segments[turn.segment].axial < 0
        assert truss.members[next(s.member for s in truss.segments if s.id == turn.segment)].role == "web"


def test_webs_that_even_snow_leaves_idle_are_struts_or_ties_under_uneven_snow() -> None:
    truss, results = hall()
    woken = woken_by_drift(truss, results)
    assert woken
    assert {turn.segment for turn in woken} <= {s.id for s in truss.segments if s.member.startswith("w")}
    for turn in woken:
        assert {RunId("D+S"), RunId("D+Lr")} <= set(turn.idle)


def test_a_chord_that_stays_in_tension_does_not_turn() -> None:
    truss, results = hall()
    segments = {turn.segment for turn in force_reversals(truss, results, results.runs)}
    assert not any(segment.startswith(("bottom", "top")) for segment in segments)


def test_runs_are_told_apart_by_what_generated_their_cases() -> None:
    truss, _ = hall()
    assert set(runs_of(truss.loads, EVEN)) == {RunId("D+S"), RunId("D+Lr")}
    assert RunId("D+S-left") in runs_of(truss.loads, UNEVEN)
    assert runs_of(Loads(combinations=truss.loads.combinations), EVEN) == ()


def test_without_uneven_runs_nothing_is_said_to_wake() -> None:
    truss, results = hall()
    alone = {run: f for run, f in truss.loads.combinations.items() if run == "D+S"}
    even = replace(truss, loads=replace(truss.loads, combinations=alone))
    assert woken_by_drift(even, results) == ()


def test_a_segment_reverses_only_with_both_signs() -> None:
    pulled = Turn(SegmentId("a:b-c"), (RunId("D"),), (), ())
    assert not pulled.reverses
    assert pulled._replace(pushed=(RunId("W"),)).reverses
