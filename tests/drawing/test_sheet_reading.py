"""The original lines in grey under the model, and a number at every change."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from trussio.drawing.paper import label_box
from trussio.drawing.placing import overlap
from trussio.drawing.reading import Reading, read_drawing
from trussio.drawing.sheet_reading import reading_sheet
from trussio.drawing.svg import render
from trussio.model.basis import Basis
from trussio.model.change import Change

SAMPLES = Path(__file__).parents[2] / "samples"
DIGEST = "sha256:" + "0" * 64


@pytest.fixture(scope="module", params=["hall/hall-truss-2.dxf", "barn/barn-truss-b.dxf"])
def reading(request: pytest.FixtureRequest) -> Reading:
    return read_drawing(SAMPLES / request.param, basis=Basis(name="basis", units=None))


def test_every_change_with_a_place_has_its_number_beside_that_place(reading: Reading) -> None:
    made = reading_sheet(
        reading.trusses[0], reading.linework, reading.placements[0], reading.changes, digest=DIGEST
    )
    shown = {int(n) for label in made.labels if label.boxed for n in label.text.split(", ") if n.isdigit()}
    placed = {n for n, change in enumerate(reading.changes, start=1) if change.where is not None}
    assert placed
    assert shown == placed
    assert made.left_out == ()


def test_places_of_changes_lie_on_the_truss(reading: Reading) -> None:
    xs = [joint.x for joint in reading.trusses[0].joints.values()]
    for change in reading.changes:
        if change.where is not None:
            assert min(xs) - 1 <= change.where[0] <= max(xs) + 1, change


def test_the_lines_lie_under_the_model_and_no_tag_covers_a_label(reading: Reading) -> None:
    made = reading_sheet(
        reading.trusses[0], reading.linework, reading.placements[0], reading.changes, digest=DIGEST
    )
    assert made.strokes[0].pen == "beneath"
    boxes = [label_box(label, made.module) for label in made.labels]
    assert not [(one, other) for n, one in enumerate(boxes) for other in boxes[n + 1 :] if overlap(one, other)]
    assert render(made) == render(made)


def test_changes_at_one_place_share_a_tag_and_those_without_a_place_have_none(reading: Reading) -> None:
    there = Change(kind="end-joined", says="x", where=(0.0, 0.0))
    changes = (there, replace(there, where=None), there)
    made = reading_sheet(reading.trusses[0], reading.linework, reading.placements[0], changes, digest=DIGEST)
    assert [label.text for label in made.labels if label.boxed] == ["1, 3"]
