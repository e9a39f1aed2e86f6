"""Sizes in centimetres and millimetres: with a slash, a decimal comma, or plain beside others that tell."""

from __future__ import annotations

import pytest

from tests.drawing.drafting import drawing, saved
from tests.drawing.small_faults import KING_POST, put
from trussio.drawing.answers import read_answers, write_answers
from trussio.drawing.metric_sizes import either, metric_sizes
from trussio.drawing.reading import Reading, read_drawing
from trussio.drawing.sizes import read_sizes
from trussio.model.truss import MemberId

BOTTOM = MemberId("bottom")


def labelled(*texts: str, units: int = 5) -> bytes:
    """The small truss in centimetres (9 m wide), or in inches, with texts under its bottom chord."""
    made = drawing(units=units)
    put(made.modelspace(), scale=2.5 if units == 5 else 1.0)
    for number, says in enumerate(texts):
        place = (60.0 + 15.0 * number, -8.0 - 12.0 * number)
        made.modelspace().add_text(says, height=4).set_placement(place)
    return saved(made)


def told(reading: Reading) -> tuple[str | None, set[str], set[str]]:
    """The label of the bottom chord, the kinds of all changes and the codes of all questions."""
    label = reading.trusses[0].members[BOTTOM].label
    return label, {change.kind for change in reading.changes}, {asked.code for asked in reading.questions}


@pytest.mark.parametrize(
    ("text", "name", "in_inches"),
    [
        ("16/20", "160x200", "doubtful"),
        ("6/16", "60x160", "doubtful"),
        ("2x 4/20", "2/40x200", "doubtful"),
        ("(2) 6/16", "2/60x160", "doubtful"),
        ("7,5x15", "75x150", "doubtful"),
        ("15x7,5", "150x75", "doubtful"),
        ("60/60", "600x600", "doubtful"),  # the largest in centimetres
        ("61/160", "61x160", "doubtful"),  # and the least that makes both millimetres
        ("8x16 cm", "80x160", "cm"),
        ("60/160 mm", "60x160", ""),
        ("9/16", "90x160", None),  # on a tape a fraction
        ("6/12", "60x120", None),  # on an American roof its pitch
        ("KVH 8/18", "80x180", "doubtful"),
    ],
)
def test_a_metric_size(text: str, name: str, in_inches: str | None) -> None:
    (label,) = metric_sizes(text, metric=True)
    assert label.name == name
    assert label.metric != "doubtful"
    assert not label.nominal
    assert [size.metric for size in metric_sizes(text, metric=False)] == ([] if in_inches is None else [in_inches])


@pytest.mark.parametrize(
    "text",
    ["3/4", "1/20", "2x8", "2/50x150", "1/2x8", "2x8,2x10", "BOLT 16/20", "12/12/24", "4/60", '5/16"', "x" * 501],
)
def test_what_is_no_metric_size_is_left_to_others(text: str) -> None:
    assert metric_sizes(text, metric=True) == ()


@pytest.mark.parametrize("text", ["2x 4/20", "2x6/16"])
def test_no_timber_is_a_fraction_of_an_inch_deep(text: str) -> None:
    assert read_sizes(text) == ()


@pytest.mark.parametrize(
    ("texts", "names"),
    [
        pytest.param(["8x16"], [("80x160", "8x16")], id="nothing tells"),
        pytest.param(["8x16", "60x160"], [("80x160",), ("60x160",)], id="another in millimetres"),
        pytest.param(["8x16", "2x6"], [("8x16",), ("2x6",)], id="another that is no timber in centimetres"),
        pytest.param(["8x16", "2x6", "60x160"], [("80x160", "8x16"), ("2x6",), ("60x160",)], id="others disagree"),
        pytest.param(['8"x16"'], [("8x16",)], id="with its unit"),
        pytest.param(["4x8"], [("40x80", "4x8")], id="the least that a timber measures in centimetres"),
        pytest.param(["3x8"], [("3x8",)], id="less than that"),
    ],
)
def test_the_other_labels_tell_what_a_plain_one_counts(texts: list[str], names: list[tuple[str, ...]]) -> None:
    found = either([read_sizes(text) for text in texts])
    assert [tuple(size.name for size in sizes) for sizes in found] == names


def test_a_metric_drawing_is_read_in_centimetres_and_says_so() -> None:
    reading = read_drawing(labelled("16/20"))
    assert told(reading) == ("160x200", {"size-in-centimetres"}, set())
    assert reading.changes[0].says == "'16/20' was read as centimetres: 160x200 in millimetres."


def test_a_plain_size_that_nothing_settles_is_asked_about() -> None:
    label, _, asked = told(read_drawing(labelled("8x16")))
    assert (label, asked) == ("80x160", {"size-reads-two-ways"})


def test_a_drawing_in_inches_asks_and_takes_no_size_meanwhile() -> None:
    data = labelled("6/16", units=1)
    reading = read_drawing(data)
    assert told(reading) == (None, set(), {"size-doubtful"})
    assert "stands '6/16'. Is it a size of 60x160 mm?" in reading.questions[0].asks
    text = write_answers("a", reading.questions)
    text = text.replace('"answer": "",\n      "author": ""', '"answer": "60x160",\n      "author": "A B"')
    again = read_drawing(data, answers=read_answers(text, "answers.json"))
    assert told(again) == ("60x160", set(), set())


@pytest.mark.parametrize(
    ("deep", "label", "asked"),
    [
        pytest.param(16.0, "80x160", set(), id="drawn 16 cm deep"),
        pytest.param(40.64, "8x16", set(), id="drawn 16 in deep"),
        pytest.param(24.0, "80x160", {"size-reads-two-ways", "label-against-depth"}, id="drawn neither"),
    ],
)
def test_the_depth_drawn_tells_what_a_plain_size_counts(deep: float, label: str, asked: set[str]) -> None:
    """By edges, in centimetres; the bottom chord alone has a label."""
    made = drawing(units=5)
    for number, pair in enumerate(KING_POST):
        (x1, y1), (x2, y2) = ((2.5 * x, 2.5 * y) for x, y in pair)
        size = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        half = (deep if number == 0 else 16.0) / 2
        across, up = half * (y1 - y2) / size, half * (x2 - x1) / size
        for side in (1, -1):
            ends = (x1 + side * across, y1 + side * up), (x2 + side * across, y2 + side * up)
            made.modelspace().add_line(*ends)
    made.modelspace().add_text("8x16", height=6).set_placement((150, -deep / 2 - 10))
    read, _, codes = told(read_drawing(saved(made)))
    assert read == label
    assert codes >= asked
    assert ("size-reads-two-ways" in codes) == ("size-reads-two-ways" in asked)
