"""Webs that sleep until snow lies on one side, the chord that they bend, and how the page says so."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from trussio.assess import assess
from trussio.calculation import calculate
from trussio.cli.forces_text import forces_text
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss
from trussio.loads.generate import generate
from trussio.model.assessment import Assessment
from trussio.model.forces import Results
from trussio.model.loading import Loads, RunId
from trussio.model.site import AreaLoad, Site, Surface
from trussio.model.truss import Truss
from trussio.report.page import page
from trussio.report.uneven import GROWN, bent_chords, turned_rows, uneven_lines, uneven_words
from trussio.report.waking import EVEN, IDLE, UNEVEN, runs_of, woken_by_drift

HALL = Path(__file__).parents[2] / "samples" / "hall" / "hall-truss-2.json"
SITE = Site(
    edition="asce7-16",
    spacing=192.0,
    ground_snow=40.0,
    exposure_factor=1.0,
    thermal_factor=1.0,
    importance_factor=1.0,
)


@cache
def hall() -> tuple[Truss, Results]:
    """The sample hall loaded from a site, with its forces."""
    truss = read_truss(HALL.read_bytes(), name="hall.json")
    roof = Surface(kind="roof", role="top-chord", dead={"covering": AreaLoad(12.0)})
    loaded = generate(replace(truss, loads=Loads(), site=SITE, surfaces={"roof": roof}))
    return loaded, calculate(loaded, digest=digest_of_truss(loaded))


@cache
def assessed() -> Assessment:
    truss, _ = hall()
    return assess(truss, name="hall.json", digest=digest_of_truss(truss))


def test_webs_that_even_snow_leaves_idle_are_struts_or_ties_under_uneven_snow() -> None:
    truss, results = hall()
    woken = woken_by_drift(truss, results)
    assert woken
    assert set(woken) <= {s.id for s in truss.segments if s.member.startswith("w")}
    for segment, run in woken.items():
        assert run in runs_of(truss, results, UNEVEN)
        for even in runs_of(truss, results, EVEN):
            forces = results.runs[even].segments
            assert abs(forces[segment].axial) <= IDLE * max(abs(s.axial) for s in forces.values())


def test_runs_are_told_apart_by_what_generated_their_cases() -> None:
    truss, results = hall()
    assert set(runs_of(truss, results, EVEN)) == {RunId("D+S"), RunId("D+Lr")}
    assert RunId("D+S-left") in runs_of(truss, results, UNEVEN)


def test_runs_entered_by_hand_are_told_apart_by_their_reactions() -> None:
    truss = read_truss(HALL.read_bytes(), name="hall.json")
    assert truss.loads.basis is None
    results = calculate(truss, digest=digest_of_truss(truss))
    assert runs_of(truss, results, EVEN) == ("D+S",)
    assert runs_of(truss, results, UNEVEN) == ("D+SL", "D+SR")
    assert woken_by_drift(truss, results)
    assert bent_chords(truss, results)


def test_without_uneven_or_without_even_runs_nothing_is_said_to_wake() -> None:
    truss, results = hall()
    for kept in ("D+S", "D+S-left"):
        alone = {run: factors for run, factors in truss.loads.combinations.items() if run == kept}
        assert woken_by_drift(replace(truss, loads=replace(truss.loads, combinations=alone)), results) == {}


def test_a_web_that_pushes_on_the_bottom_chord_bends_it_under_uneven_snow() -> None:
    truss, results = hall()
    bent = bent_chords(truss, results)
    assert bent
    for one in bent:
        assert one.chord == "bottom"
        assert results.runs[one.run].segments[one.web].axial == one.push < 0
        assert abs(one.moment) > GROWN * abs(one.even)
    growth = [round(abs(one.moment) - abs(one.even), 6) for one in bent]
    assert growth == sorted(growth, reverse=True)
    alone = {run: factors for run, factors in truss.loads.combinations.items() if run == "D+S"}
    assert bent_chords(replace(truss, loads=replace(truss.loads, combinations=alone)), results) == []


def test_the_page_says_so_in_words() -> None:
    truss, results = hall()
    said = list(uneven_words(truss, results))
    assert said[0].startswith("In tension in some runs and in compression in others: ")
    assert said[1].startswith("Near zero under even load, and strut or tie under uneven snow: ")
    assert " pushes on bottom at " in said[2]
    assert " and bottom bends there: " in said[2]
    text = page(assessed())
    assert all(sentence in text for sentence in said)
    assert "Segments whose axial force changes sign between runs" in text


def test_the_text_tells_the_runs_of_the_rarer_sign_and_counts_the_others() -> None:
    truss, results = hall()
    lines = uneven_lines(truss, results)
    assert lines[0] == "axial force changes sign between runs"
    rows = {line.split(": ")[0].strip(): line for line in lines if line.startswith("  ")}
    assert set(rows) == {row.segment for row in turned_rows(truss, results)}
    for row in turned_rows(truss, results):
        rare, many = sorted((row.pulled, row.pushed), key=len)
        assert set(rare) <= set(rows[row.segment].replace(",", "").split())
        assert f"in {len(many)} other run" in rows[row.segment]
    assert forces_text(truss, results).count("axial force changes sign between runs") == 1


def test_one_run_alone_turns_nothing_round() -> None:
    truss, results = hall()
    alone = replace(results, runs={RunId("D"): results.runs[RunId("D")]})
    assert "changes sign" not in forces_text(truss, alone)
    assert turned_rows(truss, alone) == []
