"""Many trusses on one sheet: every one is read, the question stays short, and the log describes them."""

from __future__ import annotations

import pytest

from tests.drawing.drafting import drawing, saved
from tests.drawing.small_faults import KING_POST
from trussio.drawing.answers import read_answers, write_answers
from trussio.drawing.reading import read_drawing
from trussio.drawing.recognise.judging import MOST_JUDGED
from trussio.drawing.recognise.several import MOST_DESCRIBED


def sheet(count: int) -> bytes:
    """So many trusses in rows of eight, each a little higher than the one before, with its title."""
    made = drawing()
    for number in range(count):
        x, y = 500.0 * (number % 8), -400.0 * (number // 8)
        for (x1, y1), (x2, y2) in KING_POST:
            stretch = 1 + number / 200
            made.modelspace().add_line((x + x1, y + y1 * stretch), (x + x2, y + y2 * stretch))
        made.modelspace().add_text(f"TRUSS {number + 1}", height=12).set_placement((x + 100, y - 60))
    return saved(made)


@pytest.mark.parametrize(
    ("count", "described"),
    [(MOST_DESCRIBED, True), (MOST_DESCRIBED + 1, False), (30, False), (MOST_JUDGED, False)],
)
def test_all_trusses_of_a_sheet_are_read_with_one_short_question(count: int, *, described: bool) -> None:
    reading = read_drawing(sheet(count))
    assert len(reading.trusses) == count
    (asked,) = reading.questions
    assert (asked.code, asked.taken) == ("several-trusses", "all")
    assert ("TRUSS 1, 360 x 90" in asked.asks) == described
    assert len(asked.asks) < 200
    told = [change.says for change in reading.changes if change.kind == "truss-of-a-sheet"]
    assert len(told) == (0 if described else count)
    assert described or told[1] == "Truss 2: TRUSS 2, 360 x 90."


def test_beyond_what_is_looked_at_the_rest_is_counted() -> None:
    reading = read_drawing(sheet(MOST_JUDGED + 2))
    assert len(reading.trusses) == MOST_JUDGED
    (asked,) = reading.questions
    assert asked.asks == (
        f"The sheet holds {MOST_JUDGED} trusses and 2 more parts that may be some, each told in the log. "
        "Which one is meant?"
    )
    assert asked.taken == f"the first {MOST_JUDGED}"


def test_one_of_many_is_picked_by_its_number() -> None:
    data = sheet(30)
    text = write_answers("a", read_drawing(data).questions)
    text = text.replace('"answer": "",\n      "author": ""', '"answer": "30",\n      "author": "A B"')
    (truss,) = read_drawing(data, answers=read_answers(text, "answers.json")).trusses
    assert max(joint.y for joint in truss.joints.values()) == pytest.approx(90 * (1 + 29 / 200))
