"""Labels keep clear of each other, of symbols, and of lines where they can."""

from __future__ import annotations

from math import pi

import pytest

from trussio.drawing.paper import Box, Label, label_box
from trussio.drawing.placing import Spot, Wish, line_boxes, overlap, place


def label(text: str = "12.3 T") -> Label:
    return Label(text=text, x=0.0, y=0.0, holds="mark")


@pytest.mark.parametrize(
    ("other", "meets", "says"),
    [
        (Box(0, 0, 1, 1), True, "the same place"),
        (Box(3.9, 0, 2, 1), True, "a little over the edge"),
        (Box(4, 0, 2, 1), False, "edge on edge is no overlap"),
        (Box(0, 2, 2, 1), False, "edge on edge above"),
        (Box(0, 0, 0.1, 0.1, 1.0), True, "wholly inside"),
        (Box(2.4, 0.8, 2, 0.2, -pi / 4), True, "turned, over the corner"),
        (Box(2.7, 0.8, 2, 0.2, -pi / 4), False, "turned, upright rectangles meet and the boxes do not"),
        (Box(0, 0, 9, 0.01, pi / 2), True, "a line through the middle"),
    ],
)
def test_turned_boxes_overlap_where_no_axis_parts_them(*, other: Box, meets: bool, says: str) -> None:
    box = Box(0, 0, 2, 1)
    assert overlap(box, other) is meets, says
    assert overlap(other, box) is meets, says


def test_a_label_takes_the_first_free_spot() -> None:
    spots = (Spot(0, 0), Spot(10, 0), Spot(20, 0))
    placed = place([Wish(label=label(), spots=spots)], boxes=[Box(0, 0, 1, 1)], lines=[], module=1.0)
    assert (placed.labels[0].x, placed.left_out) == (10, ())


def test_a_second_label_avoids_the_first() -> None:
    spots = (Spot(0, 0), Spot(0, 3))
    placed = place([Wish(label=label(), spots=spots)] * 2, boxes=[], lines=[], module=1.0)
    assert [(one.x, one.y) for one in placed.labels] == [(0, 0), (0, 3)]


def test_a_line_is_covered_only_where_no_other_spot_is_left() -> None:
    line = line_boxes(((-9, 0), (9, 0)), 0.1)
    free = place([Wish(label=label(), spots=(Spot(0, 0), Spot(0, 5)))], boxes=[], lines=line, module=1.0)
    assert free.labels[0].y == 5
    forced = place([Wish(label=label(), spots=(Spot(0, 0),))], boxes=[], lines=line, module=1.0)
    assert forced.labels[0].y == 0


def test_a_symbol_is_never_covered_and_what_finds_no_room_is_named() -> None:
    placed = place([Wish(label=label("B7"), spots=(Spot(0, 0),))], boxes=[Box(0, 0, 1, 1)], lines=[], module=1.0)
    assert placed.labels == ()
    assert [one.text for one in placed.left_out] == ["B7"]


def test_a_leader_runs_from_its_foot_to_the_edge_of_the_label() -> None:
    wish = Wish(label=label(), spots=(Spot(0, 6, 0.0, (0, 0)),))
    placed = place([wish], boxes=[], lines=[], module=1.0)
    start, end = placed.leaders[0].vertices
    assert (start.x, start.y) == pytest.approx((0, 0))
    assert (end.x, end.y) == pytest.approx((0, 5.5))


def test_a_leader_does_not_cross_a_line_where_another_spot_is_free() -> None:
    line = line_boxes(((-9, 3), (9, 3)), 0.1)
    spots = (Spot(0, 6, 0.0, (0, 0)), Spot(0, -6, 0.0, (0, 0)))
    placed = place([Wish(label=label(), spots=spots)], boxes=[], lines=line, module=1.0)
    assert placed.labels[0].y == -6


def test_a_leader_passes_over_no_label() -> None:
    first = Wish(label=label(), spots=(Spot(0, 3),))
    second = Wish(label=label(), spots=(Spot(0, 6, 0.0, (0, 0)), Spot(0, -6, 0.0, (0, 0))))
    placed = place([first, second], boxes=[], lines=[], module=1.0)
    assert placed.labels[1].y == -6


def test_a_label_is_as_wide_as_its_text_and_its_frame() -> None:
    plain = label_box(Label(text="10", x=0, y=0, holds="mark"), 2.0)
    boxed = label_box(Label(text="10", x=0, y=0, holds="mark", boxed=True), 2.0)
    bold = label_box(Label(text="10", x=0, y=0, holds="mark", bold=True), 2.0)
    started = label_box(Label(text="10", x=0, y=0, holds="mark", anchor="start"), 2.0)
    assert plain.half_width == pytest.approx(1.28)
    assert boxed.half_width == pytest.approx(1.78)
    assert bold.half_width == pytest.approx(1.408)
    assert started.x == pytest.approx(1.28)
