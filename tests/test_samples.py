"""The samples are what the programs make of the drawings today, byte for byte."""

from __future__ import annotations

from pathlib import Path

import pytest

from samples.make_drawings import main
from tests.cli.running import trussio

SAMPLES = Path(__file__).parent.parent / "samples"
BOTH = pytest.mark.parametrize(("folder", "name"), [("hall", "hall-truss-2"), ("barn", "barn-truss-b")])


@BOTH
def test_a_sample_document_and_its_pictures_are_up_to_date(folder: str, name: str, tmp_path: Path) -> None:
    source = SAMPLES / folder
    ran = trussio("review", source / f"{name}.dxf", "--basis", source / "basis.json", "-o", tmp_path)
    assert ran.code == 0, ran.err
    for file in (f"{name}.json", f"{name}.svg", f"{name}.forces.svg"):
        assert (tmp_path / file).read_bytes() == (source / file).read_bytes(), file


@BOTH
def test_a_sample_audits_without_a_stop_and_rechecks(folder: str, name: str) -> None:
    document = SAMPLES / folder / f"{name}.json"
    for idealisation in ("pinned", "continuous"):
        assert trussio("audit", document, "--idealisation", idealisation).code == 0
        assert trussio("recheck", document, "--idealisation", idealisation).code == 0


def test_every_sample_says_that_it_is_invented() -> None:
    for path in SAMPLES.rglob("*.json"):
        assert "invented" in path.read_text(encoding="utf-8"), path


def test_the_sketch_asks_for_its_unit_and_is_settled_by_its_answers(tmp_path: Path) -> None:
    sketch, target = SAMPLES / "shed" / "shed-sketch.dxf", tmp_path / "shed.json"
    asked = trussio("convert", sketch, target)
    assert (asked.code, "which-unit" in asked.err) == (1, True)
    answers = ("--answers", SAMPLES / "shed" / "answers.json")
    told = trussio("convert", sketch, target, "--force", "--log", "-", *answers)
    assert told.code == 0
    for kind in ("duplicate-dropped", "overlap-merged", "end-joined", "overshoot-trimmed", "crossing-kept-apart"):
        assert kind in told.err
    overlay = tmp_path / "shed.svg"
    assert trussio("convert", sketch, overlay, *answers).code == 0
    assert overlay.read_bytes() == (SAMPLES / "shed" / "shed-overlay.svg").read_bytes()


def test_the_drawings_are_drawn_the_same_again(tmp_path: Path) -> None:
    main(tmp_path)
    for name in ("hall/hall-truss-2.dxf", "barn/barn-truss-b.dxf", "shed/shed-sketch.dxf"):
        assert (tmp_path / name).read_bytes() == (SAMPLES / name).read_bytes(), name


def test_the_repaired_truss_is_analysed_stage_by_stage() -> None:
    document = SAMPLES / "hall" / "hall-truss-2-repaired.json"
    ran = trussio("analyse", document)
    assert ran.code == 0, ran.err
    assert "\n  sistered: sister put in beside bottom, fasteners of 60.0 k/in. along it at each joint\n" in ran.out
    assert "\nrun stressed/D+SL (least), after stage stressed\n" in ran.out
    assert trussio("audit", document).code == 0
