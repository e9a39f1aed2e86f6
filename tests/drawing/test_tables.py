"""Tables of sizes and the scales of viewports: words in cells are evidence, scales are told."""

from __future__ import annotations

import pytest

from tests.drawing.drafting import Tag, as_text, aside, bare, drawing, line, linework, saved
from tests.drawing.small_faults import KING_POST, put
from trussio.drawing.reading import read_drawing

ROWS = (("MARK", "SIZE"), ("B1", "6x8"))


def with_table(*, pictured: bool, sizes: bool = True) -> bytes:
    """The small truss with the mark B1 under its bottom chord, and a table of sizes to its right."""
    made = drawing()
    put(made.modelspace())
    made.modelspace().add_text("B1", height=4).set_placement((60, -8))
    if pictured:
        block = made.blocks.new("*T1")
        for row, cells in enumerate(ROWS):
            for column, says in enumerate(cells):
                block.add_mtext(says, {"char_height": 4, "insert": (30 * column, -10 * row)})
            block.add_line((0, -10 * row), (60, -10 * row))
    data = saved(made)
    tags: list[Tag] = [(0, "ACAD_TABLE"), (5, "F01"), (100, "AcDbEntity"), (8, "0"), (100, "AcDbBlockReference")]
    tags += [(2, "*T1"), (10, 500.0), (20, 50.0), (30, 0.0), (100, "AcDbTable"), (91, 2), (92, 2)]
    tags += [(141, 10.0), (141, 10.0), (142, 30.0), (142, 30.0)] if sizes else []
    tags += [tag for cells in ROWS for says in cells for tag in ((171, 1), (1, says))]
    mark = b"  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS\n"
    assert data.count(mark) == 1
    return data.replace(mark, as_text(tags) + mark)


@pytest.mark.parametrize("pictured", [True, False])
def test_a_table_of_sizes_is_a_schedule_that_is_asked_about(*, pictured: bool) -> None:
    reading = read_drawing(with_table(pictured=pictured))
    assert [asked.code for asked in reading.questions] == ["size-schedule"]
    assert reading.trusses[0].members["bottom"].label == "6x8"  # type: ignore[index]  # the id by its text
    (told,) = [change for change in reading.changes if change.kind == "tables"]
    assert told.says == "1 tables: 4 texts in their cells were read, their lines were not."
    assert told.handles == ("F01",)


def test_the_cells_stand_where_the_table_puts_them() -> None:
    texts = {text.says: text for text in linework(with_table(pictured=False)).texts}
    assert texts["B1"].at != texts["6x8"].at
    assert texts["6x8"].at == pytest.approx((530.0, 50.0 - 10.0 - 7.5))
    assert texts["6x8"].height == pytest.approx(5.0)
    assert aside(linework(with_table(pictured=False))) == {("table", "ACAD_TABLE"): 1}


def test_a_table_that_says_nothing_of_its_places_is_told_as_not_read() -> None:
    read = linework(with_table(pictured=False, sizes=False))
    assert [change.says for change in read.changes if change.kind == "tables"] == [
        "1 tables: 0 texts in their cells were read, their lines were not."
    ]


def test_a_table_kept_as_a_picture_is_told() -> None:
    tags = [tag for pair in KING_POST for tag in line(*pair)]
    blocks: list[Tag] = [(0, "BLOCK"), (8, "0"), (2, "*T1"), (70, 1), (10, 0.0), (20, 0.0), (0, "ENDBLK")]
    read = linework(bare([*tags, (0, "INSERT"), (8, "0"), (2, "*T1"), (10, 0.0), (20, 0.0)], blocks=blocks))
    assert "1 tables stand in the drawing as pictures and were not read." in {
        change.says for change in read.changes
    }


def test_the_scale_of_a_viewport_is_told_and_not_used() -> None:
    made = drawing()
    put(made.modelspace())
    made.paperspace().add_viewport(center=(10, 10), size=(20, 5), view_center_point=(180, 45), view_height=240)
    read = linework(made)
    assert [change.says for change in read.changes if change.kind == "viewport-scale"] == [
        (
            "Sheet 'Layout1' shows the model with 48 model units to one of the sheet; "
            "told for comparison, and not used."
        )
    ]


@pytest.mark.parametrize("height", [0.0, -5.0])
def test_a_viewport_without_a_height_says_nothing(height: float) -> None:
    made = drawing()
    put(made.modelspace())
    made.paperspace().add_viewport(
        center=(10, 10), size=(20, height), view_center_point=(180, 45), view_height=240
    )
    assert not [change for change in linework(made).changes if change.kind == "viewport-scale"]
