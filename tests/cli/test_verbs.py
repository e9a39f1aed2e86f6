"""The verbs on real input: documents out, exit codes, and the same bytes every time."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import trussio
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.document.encode import digest_of_truss, write_truss
from trussio.document.findings import read_findings
from trussio.document.results import read_results

SAMPLES = Path(__file__).parent.parent.parent / "samples"
HALL, HALL_BASIS = SAMPLES / "hall" / "hall-truss-2.dxf", SAMPLES / "hall" / "basis.json"

TRIANGLE = build(
    joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (1000.0, 1000.0)},
    members={"ab": stick("A", "B"), "bc": stick("B", "C"), "ca": stick("C", "A")},
    supports={"A": PIN, "B": ROLLER},
    cases={"P": (at_joint("C", fy=-1000.0),)},
)
SQUARE = build(
    joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (2000.0, 1000.0), "D": (0.0, 1000.0)},
    members={"ab": stick("A", "B"), "bc": stick("B", "C"), "cd": stick("C", "D"), "da": stick("D", "A")},
    supports={"A": PIN, "B": ROLLER},
    cases={"P": (at_joint("C", fy=-1000.0),)},
)


@pytest.fixture
def triangle(tmp_path: Path) -> Path:
    path = tmp_path / "triangle.json"
    path.write_text(write_truss(TRIANGLE), encoding="utf-8")
    return path


@pytest.fixture
def square(tmp_path: Path) -> Path:
    path = tmp_path / "square.json"
    path.write_text(write_truss(SQUARE), encoding="utf-8")
    return path


def test_analyse_gives_forces_known_on_paper(triangle: Path) -> None:
    ran = trussio("analyse", triangle, "--json")
    assert ran.code == 0
    results = read_results(ran.out.encode(), name="stdout")
    assert results.model == digest_of_truss(TRIANGLE)
    forces = next(iter(results.runs.values())).segments
    assert {name: round(s.axial, 6) for name, s in forces.items()} == {
        "ab:A-B": 500.0,
        "bc:B-C": -707.106781,
        "ca:C-A": -707.106781,
    }


def test_text_of_forces_has_a_letter_with_every_force_and_its_limits(triangle: Path) -> None:
    ran = trussio("analyse", triangle)
    assert "0.500 T" in ran.out
    assert "0.707 C" in ran.out
    assert "per cent of allowable is not evaluated" in ran.out


def test_a_mechanism_stops_analyse_and_recheck_but_not_the_audit(square: Path) -> None:
    for verb in ("analyse", "recheck"):
        ran = trussio(verb, square)
        assert (ran.code, ran.out) == (4, "")
        assert "mechanism" in ran.err
    assert trussio("audit", square).code == 1
    assert trussio("audit", square, "--fail-on", "never").code == 0


def test_review_of_a_mechanism_writes_what_can_be_said_and_exits_4(square: Path, tmp_path: Path) -> None:
    ran = trussio("review", square, "-o", tmp_path / "out")
    assert ran.code == 4
    made = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"square.json", "square.findings.json", "square.html", "square.svg"} == made
    assert "mechanism" in (tmp_path / "out" / "square.html").read_text(encoding="utf-8")


def test_recheck_agrees_with_our_own_analysis(triangle: Path) -> None:
    ran = trussio("recheck", triangle)
    assert ran.code == 0
    assert "VERDICT: agrees" in ran.out


@pytest.mark.parametrize("part", ["-0.1", "1", "nan"])
def test_recheck_refuses_a_tolerance_that_is_no_part(triangle: Path, tmp_path: Path, part: str) -> None:
    table = tmp_path / "forces.csv"
    table.write_text("run,segment,axial\nP,tie:B0-B2,1\n", encoding="utf-8")
    ran = trussio("recheck", triangle, "--against", table, f"--within={part}")
    assert ran.code == 2
    assert "is no part of a force" in ran.err


def test_recheck_shows_every_segment_in_a_table_and_in_a_picture(triangle: Path, tmp_path: Path) -> None:
    table, picture = tmp_path / "record.csv", tmp_path / "record.svg"
    assert trussio("recheck", triangle, "-o", table).code == 0
    header, first, *_ = table.read_text(encoding="utf-8").splitlines()
    assert header == "run,segment,claimed,rechecked,proved_from,proved_to,difference,tolerance,verdict"
    cells = dict(zip(header.split(","), first.split(","), strict=True))
    assert cells["verdict"] == "agrees"
    assert float(cells["proved_from"]) <= float(cells["rechecked"]) <= float(cells["proved_to"])
    assert trussio("recheck", triangle, "-o", picture).code == 0
    assert "What the recheck found" in picture.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("table", "code", "says"),
    [
        ("run,segment,axial\nP,ab:A-B,500\nP,bc:B-C,-707\nP,ca:C-A,-707\n", 0, "agrees"),
        ("run,member,from,to,axial_kN\nP,ab,A,B,.5\nP,bc,B,C,-.707\nP,ca,C,A,-.707\n", 0, "agrees"),
        ("run,segment,axial\nP,ab:A-B,500\nP,bc:B-C,-714\nP,ca:C-A,-707\n", 5, "bc:B-C"),
        ("run,segment,axial\nP,ab:A-B,500\nP,bc:B-C,-707\n", 5, "ca:C-A"),
        ("run,segment,axial\nQ,ab:A-B,500\n", 1, "cannot tell"),
    ],
    ids=["rounded to three figures", "in kN by member", "one force off by 1 %", "one missing", "another run"],
)
def test_recheck_of_a_typed_table(triangle: Path, tmp_path: Path, table: str, code: int, says: str) -> None:
    path = tmp_path / "forces.csv"
    path.write_text(table, encoding="utf-8")
    ran = trussio("recheck", triangle, "--against", path)
    assert (ran.code, says in ran.out) == (code, True), ran


def test_results_of_another_idealisation_conflict_and_of_another_model_are_refused(
    triangle: Path, square: Path, tmp_path: Path
) -> None:
    results = tmp_path / "results.json"
    assert trussio("analyse", triangle, "--idealisation", "pinned", "-o", results).code == 0
    assert trussio("recheck", triangle, "--against", results).code == 0
    ran = trussio("recheck", triangle, "--against", results, "--idealisation", "continuous")
    assert (ran.code, "idealisation" in ran.err) == (2, True)
    braced = tmp_path / "braced.json"
    text = square.read_text(encoding="utf-8").replace(
        '"da":', '"ac": {"through": ["A", "C"], "section": "s", "material": "m"},\n    "da":'
    )
    braced.write_text(text, encoding="utf-8")
    ran = trussio("recheck", braced, "--against", results)
    assert (ran.code, "another model" in ran.err) == (3, True)


def test_findings_as_a_document(square: Path) -> None:
    ran = trussio("audit", square, "--json")
    findings = read_findings(ran.out.encode(), name="stdout")
    assert findings.findings[0].code == "mechanism"
    assert findings.statics["pinned"].mechanisms == 1


def test_findings_as_sarif_have_line_and_column_of_the_file(square: Path, tmp_path: Path) -> None:
    log = json.loads(trussio("audit", square, "--format", "sarif").out)
    first = log["runs"][0]["results"][0]
    place = first["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == f"file://{square}"
    assert first["locations"][0]["logicalLocations"][0]["fullyQualifiedName"] == "/joints/C"
    line = square.read_text(encoding="utf-8").splitlines()[place["region"]["startLine"] - 1]
    assert line[place["region"]["startColumn"] - 1 :].startswith('"C":')
    target = tmp_path / "audit.sarif"
    assert trussio("audit", square, "-o", target).code == 1
    assert json.loads(target.read_text(encoding="utf-8")) == log


def test_the_audit_as_a_picture(square: Path, tmp_path: Path) -> None:
    target = tmp_path / "audit.svg"
    assert trussio("audit", square, "-o", target).code == 1
    assert "What the audit found" in target.read_text(encoding="utf-8")
    assert trussio("audit", square, "--format", "svg").out == target.read_text(encoding="utf-8")


def test_a_drawing_has_no_lines_of_text() -> None:
    log = json.loads(trussio("audit", HALL, "--basis", HALL_BASIS, "--format", "sarif").out)
    places = [where for result in log["runs"][0]["results"] for where in result["locations"]]
    assert places
    assert all("region" not in where["physicalLocation"] for where in places)


def test_two_formats_at_once_are_refused(square: Path) -> None:
    assert trussio("audit", square, "--json", "--format", "json").code == 1
    ran = trussio("audit", square, "--json", "--format", "text")
    assert (ran.code, "format-conflict" in ran.err) == (2, True)


def test_a_document_goes_through_a_drawing_and_comes_back_the_same(triangle: Path, tmp_path: Path) -> None:
    drawing, back = tmp_path / "t.dxf", tmp_path / "back.json"
    assert trussio("convert", triangle, drawing).code == 0
    assert trussio("convert", drawing, back).code == 0
    assert back.read_bytes() == triangle.read_bytes()


def test_units_there_and_back_change_no_coordinate(triangle: Path, tmp_path: Path) -> None:
    us = tmp_path / "us.json"
    assert trussio("convert", triangle, us, "--units", "us").code == 0
    ran = trussio("convert", us, "-", "--units", "si")
    assert json.loads(ran.out)["joints"] == json.loads(triangle.read_text(encoding="utf-8"))["joints"]


def test_a_drawing_becomes_a_document_with_its_assumptions(tmp_path: Path) -> None:
    target = tmp_path / "hall.json"
    ran = trussio("convert", HALL, target, "--basis", HALL_BASIS)
    assert ran.code == 0, ran.err
    document = json.loads(target.read_text(encoding="utf-8"))
    assert len(document["joints"]) == 16
    assert document["members"]["top"]["curve"]["bows"] == "up"
    assert any("lowest outer" in a["what"] for a in document["assumptions"].values())
    assert document["source"]["changes"]


def test_review_writes_the_same_bytes_twice_and_fits_one_screen(tmp_path: Path) -> None:
    made = []
    for name in ("one", "two"):
        ran = trussio("review", HALL, "--basis", HALL_BASIS, "-o", tmp_path / name)
        assert ran.code == 0, ran.err
        lines = ran.out.splitlines()[:-1]
        assert len(lines) <= 24
        assert max(map(len, lines)) <= 80
        made.append({path.name: path.read_bytes() for path in (tmp_path / name).iterdir()})
    assert made[0] == made[1]
    assert len(made[0]) == 9


def test_one_bad_file_is_a_row_and_not_an_end(triangle: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    bad.write_text("{", encoding="utf-8")
    ran = trussio("review", bad, triangle, "-o", tmp_path / "out", "--json")
    assert ran.code == 3
    rows = json.loads(ran.out)["trusses"]
    assert [(row["name"], row["outcome"]) for row in rows] == [
        ("bad.json", "not read"),
        ("triangle", "calculated"),
    ]


def test_explain_knows_the_codes_of_the_audit(square: Path) -> None:
    findings = json.loads(trussio("audit", square, "--json").out)["findings"]
    for finding in findings:
        ran = trussio("explain", finding["code"])
        assert (ran.code, finding["code"] in ran.out) == (0, True)
    assert trussio("explain", "nothing-of-the-kind").code == 2


def test_standard_input_is_a_document(triangle: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with triangle.open(encoding="utf-8") as stream:
        monkeypatch.setattr("trussio.cli.streams.sys.stdin", stream)
        assert trussio("analyse", "-").code == 0


def test_a_drawing_is_the_same_whatever_the_order_of_sets(triangle: Path, tmp_path: Path) -> None:
    made = set()
    for seed in range(6):
        target = tmp_path / f"{seed}.dxf"
        environment = {**os.environ, "PYTHONHASHSEED": str(seed)}
        command = [sys.executable, "-m", "trussio", "convert", str(triangle), str(target)]
        subprocess.run(command, env=environment, check=True, capture_output=True)
        made.add(target.read_bytes())
    assert len(made) == 1


def test_an_open_question_is_exit_1_with_an_answers_file_that_settles_it(tmp_path: Path) -> None:
    drawing, target = tmp_path / "bare.dxf", tmp_path / "bare.json"
    lines = [
        (0, 0, 360, 0),
        (0, 0, 180, 90),
        (180, 90, 360, 0),
        (180, 0, 180, 90),
        (90, 45, 180, 0),
        (270, 45, 180, 0),
    ]
    tags = "".join(f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n" for a, b, c, d in lines)
    drawing.write_text(f"0\nSECTION\n2\nENTITIES\n{tags}0\nENDSEC\n0\nEOF\n", encoding="ascii")
    ran = trussio("convert", drawing, target, "--log", tmp_path / "log.json")
    assert (ran.code, "which-unit" in ran.err) == (1, True)
    assert json.loads((tmp_path / "log.json").read_text(encoding="utf-8"))["format"] == "trussio/log"
    asked = json.loads((tmp_path / "bare.answers.json").read_text(encoding="utf-8"))
    asked["answers"][0] |= {"answer": "cm", "author": "A.B."}
    (tmp_path / "filled.json").write_text(json.dumps(asked), encoding="utf-8")
    ran = trussio("convert", drawing, target, "--answers", tmp_path / "filled.json", "--force")
    assert (ran.code, "question (" in ran.err) == (0, False), ran.err
    document = json.loads(target.read_text(encoding="utf-8"))
    assert document["units"] == "si"
    assert max(joint["x"] for joint in document["joints"].values()) == 3600
    assert trussio("convert", drawing, target, "--units", "in", "--force").code == 0


def test_an_overlay_and_a_log_in_text(tmp_path: Path) -> None:
    ran = trussio("convert", HALL, tmp_path / "overlay.svg", "--log", "-")
    assert ran.code == 0
    assert "end-extended" in ran.err
    assert "lines of the drawing" in (tmp_path / "overlay.svg").read_text(encoding="utf-8")


def test_a_layer_can_be_left_out(tmp_path: Path) -> None:
    ran = trussio("convert", HALL, tmp_path / "a.json", "--layer", "WEBS=nothing")
    assert (ran.code, "WHAT is one of member, ignore, top-chord" in ran.err) == (2, True)
    assert trussio("convert", HALL, tmp_path / "a.json", "--layer", "CHORDS=ignore").code == 3


def test_a_blind_hand_over_holds_the_model_and_no_result(triangle: Path) -> None:
    ran = trussio("recheck", triangle, "--blind")
    given = json.loads(ran.out)
    assert (ran.code, given["format"], given["model"]) == (0, "trussio/handover", digest_of_truss(TRIANGLE))
    assert given["truss"] == json.loads(triangle.read_text(encoding="utf-8"))
    assert "500" not in json.dumps(given["table"])


def test_a_proof_checks_alone_and_fails_for_another_model(triangle: Path, tmp_path: Path) -> None:
    proof, other = tmp_path / "proof.json", tmp_path / "other.json"
    assert trussio("recheck", triangle, "--prove", "-o", proof).code == 0
    other.write_text(triangle.read_text(encoding="utf-8").replace("2000", "2001"), encoding="utf-8")
    checked = [
        subprocess.run(
            [sys.executable, "-m", "trussio.recheck.proof", str(proof), str(document)],
            capture_output=True,
            text=True,
            check=False,
        )
        for document in (triangle, other)
    ]
    assert checked[0].returncode == 0, checked[0].stderr
    assert "axial forces (continuous, as found) proved to" in checked[0].stdout
    assert checked[1].returncode != 0
    assert "Traceback" not in checked[1].stderr


@pytest.mark.parametrize("verb", ["review", "report"])
def test_a_site_without_loads_is_loaded_before_a_review(verb: str, tmp_path: Path) -> None:
    hall, basis = SAMPLES / "hall" / "hall-truss-2.dxf", SAMPLES / "hall" / "basis-site.json"
    target = tmp_path if verb == "review" else tmp_path / "hall-truss-2.html"
    ran = trussio(verb, hall, "--basis", basis, "-o", target)
    assert ran.code == 0
    assert "the document held no loads; 11 cases were generated from its site." in ran.err
    assert "Near zero under even load, and strut or tie under uneven snow" in (
        tmp_path / "hall-truss-2.html"
    ).read_text("utf-8")


def test_a_site_that_lacks_what_a_rule_needs_is_said_and_the_rest_goes_on(tmp_path: Path) -> None:
    document = json.loads(trussio("convert", SAMPLES / "barn" / "barn-truss-b.json", "-").out)
    document |= {"loads": {}, "site": {"edition": "asce7-16", "spacing": 4000, "ground_snow": 1}}
    document |= {"surfaces": {"roof": {"kind": "roof", "role": "web"}}}
    path = tmp_path / "barn.json"
    path.write_text(json.dumps(document), "utf-8")
    ran = trussio("report", path, "-o", tmp_path / "barn.html")
    assert "no loads were generated from the site." in ran.err
    assert "The document holds no loads." in (tmp_path / "barn.html").read_text("utf-8")


def test_explain_gives_the_same_words_as_json() -> None:
    told = json.loads(trussio("explain", "duplicate", "--json").out)
    assert set(told) == {"code", "means", "matters", "cure"}
    assert told["means"] in trussio("explain", "duplicate").out
