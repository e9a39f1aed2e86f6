"""The verb `load`: documents out, talk on stderr, exit codes, and what a person is told of what is missing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import trussio
from trussio.document.decode import read_truss
from trussio.model.loading import RunId

SAMPLES = Path(__file__).parents[2] / "samples"
HALL = SAMPLES / "hall" / "hall-truss-2.dxf"
BASIS = SAMPLES / "hall" / "basis-site.json"


@pytest.fixture
def loaded(tmp_path: Path) -> Path:
    """The sample hall with its generated loads."""
    path = tmp_path / "loaded.json"
    ran = trussio("load", HALL, "--basis", BASIS, "-o", path)
    assert (ran.code, ran.out) == (0, "")
    return path


def changed(path: Path, pointer: str, value: object) -> Path:
    """A document with one value changed, beside the other."""
    document = json.loads(path.read_text("utf-8"))
    *above, last = pointer.strip("/").split("/")
    holder = document
    for part in above:
        holder = holder[int(part) if isinstance(holder, list) else part]
    if value is None:
        del holder[last]
    else:
        holder[last] = value
    made = path.parent / "changed.json"
    made.write_text(json.dumps(document), "utf-8")
    return made


def test_each_case_is_told_with_clause_total_and_mark() -> None:
    ran = trussio("load", HALL, "--basis", BASIS)
    assert ran.code == 0
    assert json.loads(ran.out)["loads"]["basis"]["edition"] == "asce7-16"
    line = next(row for row in ran.err.splitlines() if row.strip().startswith("S-left:"))
    assert "ASCE 7-16 7.6.2" in line
    assert "15.1 k down, the same by area" in line
    assert line.endswith("from memory, check against the licensed text")
    assert "not evaluated: Wind, its uplift included" in ran.err


def test_the_derivation_shows_each_number_once_with_its_source() -> None:
    ran = trussio("load", HALL, "--basis", BASIS, "--derivation")
    rows = [row for row in ran.err.splitlines() if "p_f = 0.7 C_e C_t I_s p_g = 25.2 psf" in row]
    assert len(rows) == 1
    assert "Eq. 7.3-1; read in O'Rourke" in rows[0]
    assert "diagram (x, load on plan): (0, 50.4), (360, 12.6), (360, 0), (720, 0)" in ran.err


def test_the_same_bytes_every_time_and_again_from_the_result(loaded: Path) -> None:
    again = trussio("load", loaded)
    assert again.out.encode() == loaded.read_bytes()


def test_forces_follow_and_are_rechecked(loaded: Path) -> None:
    assert trussio("audit", loaded).code == 0
    for idealisation in ("pinned", "continuous"):
        assert trussio("recheck", loaded, "--idealisation", idealisation).code == 0


@pytest.mark.parametrize("way", ["chord", "panel-points"])
def test_the_way_of_loading_is_recorded(loaded: Path, way: str) -> None:
    ran = trussio("load", loaded, "--as", way)
    truss = read_truss(ran.out.encode(), name="stdout")
    assert truss.loads.basis is not None
    assert truss.loads.basis.spread == way
    kinds = {type(load).__name__ for load in truss.loads.cases[RunId("S")].loads}
    assert kinds == ({"LineLoad"} if way == "chord" else {"JointLoad"})


def test_purlins_that_nobody_named_are_asked_for(loaded: Path) -> None:
    ran = trussio("load", loaded, "--as", "purlins")
    assert ran.code == 4
    assert "/surfaces/roof: loads are to come at purlins" in ran.err


def test_an_edit_is_refused_kept_or_discarded_as_asked(loaded: Path) -> None:
    mine = changed(loaded, "/loads/cases/S/loads/0/down", 500)
    refused = trussio("load", mine)
    assert refused.code == 2
    assert "S: These were edited, or taken out, since they were generated." in refused.err
    kept = trussio("load", mine, "--keep-edited")
    assert kept.code == 0
    assert "EDITED since it was generated" in kept.err
    assert "BY AREA" in kept.err
    discarded = trussio("load", mine, "--discard-edits")
    assert discarded.out.encode() == loaded.read_bytes()


@pytest.mark.parametrize(
    ("pointer", "value", "code", "says"),
    [
        ("/site/ground_snow", -30, 3, "/site/ground_snow"),
        ("/site/spacing", None, 3, 'the field "spacing" is missing'),
        ("/site/edition", "asce716", 3, 'Did you mean "asce7-16"?'),
        ("/surfaces/roof/role", "other", 4, "/surfaces/roof/role: no member has the role other"),
        ("/site", None, 4, "the document has no site"),
        ("/site/hung/unit heater/joint", "Z9", 3, 'no joint is called "Z9"'),
        ("/surfaces/roof/dead/1 in. sheathing/value", -1, 3, "expected a number from 0 up"),
        ("/site/steps", [{"side": "left", "kind": "taller-roof", "height": 48}], 4, "/site/steps/0"),
    ],
)
def test_bad_input_is_told_with_its_place(loaded: Path, pointer: str, value: object, code: int, says: str) -> None:
    ran = trussio("load", changed(loaded, pointer, value))
    assert ran.code == code
    assert says in ran.err
    assert ran.out == ""


def test_nothing_is_written_over_and_a_picture_takes_no_loads(loaded: Path, tmp_path: Path) -> None:
    assert trussio("load", loaded, "-o", loaded).code == 6
    assert trussio("load", loaded, "-o", loaded, "--force").code == 0
    ran = trussio("load", loaded, "-o", tmp_path / "truss.svg")
    assert (ran.code, "A picture holds no loads." in ran.err) == (2, True)


def test_a_drawing_can_carry_the_loaded_document(loaded: Path, tmp_path: Path) -> None:
    drawing = tmp_path / "truss.dxf"
    assert trussio("load", loaded, "-o", drawing).code == 0
    back = tmp_path / "back.json"
    assert trussio("convert", drawing, back).code == 0
    assert back.read_bytes() == loaded.read_bytes()


def test_what_a_basis_hangs_on_something_missing_is_asked_about(tmp_path: Path) -> None:
    basis = json.loads(BASIS.read_text("utf-8"))
    basis["site"]["hung"]["fan"] = {"joint": "Q7", "weight": 10}
    basis["surfaces"]["porch"] = {"kind": "roof", "member": "nowhere"}
    basis["surfaces"]["roof"]["purlins"] = ["T1", "Q8"]
    path = tmp_path / "basis.json"
    path.write_text(json.dumps(basis), "utf-8")
    ran = trussio("load", HALL, "--basis", path)
    assert ran.code == 1
    for where in ("/site/hung/fan", "/surfaces/porch/member", "/surfaces/roof/purlins/1"):
        assert f"{where} of the basis asks for" in ran.err
    document = json.loads(ran.out)
    assert "fan" not in document["site"]["hung"]
    assert document["surfaces"]["roof"]["purlins"] == ["T1"]


def test_json_gives_the_document_beside_a_file_too(tmp_path: Path) -> None:
    path = tmp_path / "loaded.json"
    ran = trussio("load", HALL, "--basis", BASIS, "-o", path, "--json")
    assert ran.code == 0
    assert ran.out == path.read_text("utf-8")


def test_rods_that_drifted_snow_leaves_slack_are_rechecked_beside_sticks_that_bend(tmp_path: Path) -> None:
    document = json.loads((SAMPLES / "barn" / "barn-truss-b.json").read_text("utf-8"))
    document["loads"] = {}
    document["site"] = {"edition": "en1991", "spacing": 4000, "ground_snow": 1.2}
    document["surfaces"] = {"roof": {"kind": "roof", "role": "top-chord", "dead": {"tiles": {"value": 0.65}}}}
    path = tmp_path / "barn.json"
    path.write_text(json.dumps(document), "utf-8")
    loaded = tmp_path / "loaded.json"
    assert trussio("load", path, "-o", loaded).code == 0
    results = json.loads(trussio("analyse", loaded, "--json").out)
    assert any(run.get("slack") for run in results["runs"].values())
    ran = trussio("recheck", loaded)
    assert ran.code == 0
    assert "agrees" in ran.out
