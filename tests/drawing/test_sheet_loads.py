"""A load diagram over its truss: to scale, each size once, and readable as text."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.drawing import roofs
from trussio.drawing.paper import label_box
from trussio.drawing.placing import overlap
from trussio.drawing.sheet_loads import TALL, load_sheet
from trussio.drawing.sticks import span_of

TRUSS = roofs.bowstring()
LEFT, _, RIGHT, TOP = span_of(TRUSS)
MIDDLE = (LEFT + RIGHT) / 2
ONE_SIDED = ((LEFT, 50.4), (MIDDLE, 12.6), (MIDDLE, 0.0), (RIGHT, 0.0))


def test_the_outline_is_to_scale_above_the_sticks() -> None:
    drawn = load_sheet(TRUSS, "S-left", ONE_SIDED, largest=100.8)
    outline = drawn.strokes[-1].vertices
    foot = outline[0].y
    assert foot > TOP
    assert outline[1].y - foot == pytest.approx(TALL * drawn.module / 2)
    assert outline[2].y - foot == pytest.approx((outline[1].y - foot) / 4)
    assert {vertex.x for vertex in outline} == {LEFT, MIDDLE, RIGHT}
    assert all(drawn.bottom < vertex.y < drawn.top for stroke in drawn.strokes for vertex in stroke.vertices)


def test_a_bare_side_has_no_lines_in_it() -> None:
    drawn = load_sheet(TRUSS, "S-left", ONE_SIDED, largest=50.4)
    hatch = [stroke.vertices[0].x for stroke in drawn.strokes if stroke.pen == "beneath"]
    assert hatch
    assert max(hatch) <= MIDDLE


def test_each_size_stands_once_and_no_label_covers_another() -> None:
    step = (RIGHT - LEFT) / 8
    panels = tuple((LEFT + k * step, 25.2 if j % 2 else 12.6) for j in range(8) for k in (j, j + 1))
    drawn = load_sheet(TRUSS, "S-part-odd", panels, largest=25.2)
    assert sorted(label.text for label in drawn.labels) == ["12.6", "25.2"]
    boxes = [label_box(label, drawn.module) for label in drawn.labels]
    assert not any(overlap(one, other) for one, other in pairwise(boxes))


def test_it_says_in_words_what_it_shows() -> None:
    drawn = load_sheet(TRUSS, "S", ((LEFT, 25.2), (RIGHT, 25.2)), largest=25.2)
    unit = "psf" if TRUSS.units == "us" else "kPa"
    assert drawn.says.startswith(f"S, load per horizontal area: 25.2 {unit} at 0 from the left end")
