"""Linework: every kind of entity as strokes, marks, texts and counts, in the plane of the drawing."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, radians, sin, tan

import numpy as np
import pytest

from tests.drawing.drafting import aside, bare, codes, drawing, kinds, line, linework
from trussio.drawing.records import Stroke
from trussio.errors import UnreadableError

MIRRORED = (0.0, 0.0, -1.0)


def ends_of(stroke: Stroke) -> tuple[float, ...]:
    return (*stroke.first, *stroke.last)


def test_a_line_keeps_its_ends_layer_handle_and_line_type() -> None:
    made = drawing()
    made.layers.add("WEBS", linetype="DASHED")
    made.linetypes.add("DASHED", [1.0, 0.5, -0.5])
    entity = made.modelspace().add_line((1, 2), (3, 4), dxfattribs={"layer": "WEBS"})
    stroke = linework(made).strokes.row(0)
    assert ends_of(stroke) == (1.0, 2.0, 3.0, 4.0)
    assert (stroke.layer, stroke.linetype, stroke.handle) == ("WEBS", "DASHED", entity.dxf.handle)
    assert (stroke.kind, stroke.path, stroke.hidden, stroke.centre) == ("LINE", "", "", None)


def test_a_line_type_of_its_own_goes_before_that_of_the_layer() -> None:
    made = drawing()
    made.layers.add("WEBS", linetype="DASHED")
    made.modelspace().add_line((0, 0), (1, 0), dxfattribs={"layer": "WEBS", "linetype": "Center"})
    assert linework(made).strokes.row(0).linetype == "CENTER"


def test_an_arc_keeps_its_circle() -> None:
    made = drawing()
    made.modelspace().add_arc((360, -627), 723, 60, 120)
    read = linework(made).strokes
    stroke = read.row(0)
    assert (stroke.centre, stroke.radius, stroke.residual) == ((360.0, -627.0), 723.0, 0.0)
    assert stroke.sweep == pytest.approx(pi / 3)
    assert ends_of(stroke) == pytest.approx(
        (360 + 723 * cos(pi / 3), -627 + 723 * sin(pi / 3), 360 - 723 * cos(pi / 3), -627 + 723 * sin(pi / 3))
    )
    assert read.lengths[0] == pytest.approx(723 * pi / 3)


@pytest.mark.parametrize(("start", "end"), [(30, 150), (300, 60), (350, 10), (-30, 30)])
def test_a_mirrored_arc_lies_where_it_is_seen(start: float, end: float) -> None:
    # The loader's own conversion of the end points is the witness.
    made = drawing()
    arc = made.modelspace().add_arc((-10, 4), 6, start, end, dxfattribs={"extrusion": MIRRORED})
    stroke = linework(made).strokes.row(0)
    assert stroke.centre == (10.0, 4.0)
    assert stroke.first == pytest.approx(tuple(arc.start_point)[:2])
    assert stroke.last == pytest.approx(tuple(arc.end_point)[:2])
    assert stroke.sweep == pytest.approx(-radians((end - start) % 360))


def test_bulges_become_arcs_and_the_vertices_are_one_chain() -> None:
    made = drawing()
    bulge = tan(radians(60) / 4)
    made.modelspace().add_lwpolyline([(0, 0, bulge), (10, 0, 0), (20, 0, 0)], format="xyb")
    made.modelspace().add_line((0, 0), (0, 9))
    read = linework(made).strokes
    curved, straight = read.row(0), read.row(1)
    assert curved.sweep == pytest.approx(radians(60))
    assert curved.radius == pytest.approx(10.0)
    assert curved.centre == pytest.approx((5.0, 10 * cos(radians(30))))
    assert straight.sweep == 0.0
    assert read.chain[0] == read.chain[1] != read.chain[2]


@pytest.mark.parametrize("bulge", [1.0, -1.0, 0.3, -0.3, 2.5, -2.5])
def test_a_bulge_of_any_sign_and_size_bows_to_its_side(bulge: float) -> None:
    made = drawing()
    made.modelspace().add_lwpolyline([(2, 1, bulge), (8, 3, 0)], format="xyb")
    stroke = linework(made).strokes.row(0)
    assert stroke.centre is not None
    away = [hypot(x - stroke.centre[0], y - stroke.centre[1]) for x, y in (stroke.first, stroke.last)]
    assert away == pytest.approx([stroke.radius, stroke.radius])
    start = atan2(stroke.first[1] - stroke.centre[1], stroke.first[0] - stroke.centre[0])
    end = start + stroke.sweep
    reached = (stroke.centre[0] + stroke.radius * cos(end), stroke.centre[1] + stroke.radius * sin(end))
    assert reached == pytest.approx(stroke.last)
    assert stroke.sweep == pytest.approx(4 * np.arctan(bulge))


def test_a_closed_polyline_is_an_outline_without_pieces_of_no_length() -> None:
    made = drawing()
    made.modelspace().add_lwpolyline([(0, 0), (4, 0), (4, 0), (4, 1), (0, 1)], close=True)
    read = linework(made).strokes
    assert len(read) == 4
    assert read.closed.all()
    assert read.row(3).last == (0.0, 0.0)


def test_an_old_polyline_leaves_out_the_frame_of_its_spline_fit() -> None:
    def vertex(x: float, y: float, flags: int) -> list[tuple[int, object]]:
        return [(0, "VERTEX"), (8, "0"), (10, x), (20, y), (30, 0.0), (70, flags)]

    tags = [(0, "POLYLINE"), (8, "0"), (66, 1), (70, 4), (10, 0.0), (20, 0.0), (30, 0.0)]
    frame = [*vertex(0, 0, 16), *vertex(5, 50, 16), *vertex(10, 0, 16)]
    curve = [*vertex(0, 0, 8), *vertex(5, 3, 8), *vertex(10, 0, 8)]
    read = linework(bare([*tags, *frame, *curve, (0, "SEQEND"), (8, "0")])).strokes
    assert len(read) == 2
    assert float(read.last[:, 1].max()) == 3.0


def test_an_old_polyline_has_bulges_too() -> None:
    made = drawing("R12")
    made.modelspace().add_polyline2d([(0, 0, 0.5), (10, 0, 0)], format="xyb")
    assert linework(made).strokes.row(0).sweep == pytest.approx(4 * np.arctan(0.5))


def test_a_polyline_in_space_is_straight_pieces() -> None:
    made = drawing()
    made.modelspace().add_polyline3d([(0, 0, 0), (5, 5, 0), (9, 5, 0)])
    assert len(linework(made).strokes) == 2


@pytest.mark.parametrize(("by", "radius"), [("fit", 723.0), ("control", 719.8)])
def test_a_spline_along_a_circle_is_an_arc_with_its_residual(by: str, radius: float) -> None:
    # A spline flattens toward its ends, so that its control points alone give a little less than 723.
    made = drawing()
    points = [(723 * cos(t), 723 * sin(t)) for t in np.linspace(radians(60), radians(120), 9)]
    if by == "fit":
        made.modelspace().add_spline(points)
    else:
        made.modelspace().add_cad_spline_control_frame(points)
    read = linework(made)
    stroke = read.strokes.row(0)
    assert len(read.strokes) == 1
    assert stroke.radius == pytest.approx(radius, abs=0.1)
    assert 0.1 < stroke.residual < 1.0
    assert kinds(read) == ["curve-read"]
    assert f"is an arc of radius {radius:.0f}" in read.changes[0].says.replace("719.8", "720")


def test_a_spline_along_a_line_is_a_line_and_another_is_facets_of_one_chain() -> None:
    made = drawing()
    made.modelspace().add_spline([(0, 0), (5, 0), (10, 0)])
    made.modelspace().add_spline([(0, 5), (3, 15), (6, -5), (9, 5)])
    read = linework(made).strokes
    assert ends_of(read.row(0)) == pytest.approx((0.0, 0.0, 10.0, 0.0))
    assert len(set(read.chain[1:].tolist())) == 1
    assert len(read) > 30
    assert (read.first[2:] == read.last[1:-1]).all()


def test_a_part_of_an_ellipse_is_asked_about_when_its_axes_differ() -> None:
    made = drawing()
    made.modelspace().add_ellipse((0, 0), (10, 0), 0.5, 0, pi)
    made.modelspace().add_ellipse((0, 0), (10, 0), 0.999, 0, pi)
    read = linework(made)
    assert codes(read) == ["elliptical-arcs"]
    assert "1 arcs are parts of ellipses (shorter axis 0.50 of the longer)" in read.questions[0].asks


def test_a_whole_ellipse_is_an_outline_and_a_round_one_a_mark() -> None:
    made = drawing()
    made.modelspace().add_ellipse((0, 0), (10, 0), 0.5)
    made.modelspace().add_ellipse((50, 0), (10, 0), 1.0)
    read = linework(made)
    assert read.strokes.closed.all()
    (mark,) = read.marks
    assert (mark.kind, mark.at, mark.radius) == ("circle", (50.0, 0.0), 10.0)
    assert codes(read) == []


def test_a_multiline_is_a_chain_for_each_of_its_edges() -> None:
    made = drawing()
    made.modelspace().add_mline([(0, 0), (100, 0), (200, 50)])
    read = linework(made).strokes
    assert len(set(read.chain.tolist())) == 2
    assert len(read) == 4


def test_circles_and_points_are_marks_and_no_strokes() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_circle((3, 4), 0.5)
    made.modelspace().add_point((1, 2))
    read = linework(made)
    assert [(mark.kind, mark.at, mark.radius) for mark in read.marks] == [
        ("circle", (3.0, 4.0), 0.5),
        ("point", (1.0, 2.0), 0.0),
    ]
    assert len(read.strokes) == 1


def test_what_draws_no_member_is_counted_by_reason() -> None:
    made = drawing()
    space = made.modelspace()
    space.add_line((0, 0), (9, 9))
    space.add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1), (0, 1)])
    space.add_3dface([(0, 0), (1, 0), (1, 1)])
    space.add_solid([(0, 0), (1, 0), (0, 1), (1, 1)])
    space.add_xline((0, 0), (1, 0))
    space.add_line((5, 5), (5, 5))
    space.add_text("", height=3)
    space.add_attdef("SIZE", (0, 0), "2x8")
    made.paperspace().add_line((0, 0), (1, 1))
    read = linework(made)
    assert aside(read) == {
        ("hatch", "HATCH"): 1,
        ("surface or solid", "3DFACE"): 1,
        ("surface or solid", "SOLID"): 1,
        ("endless line", "XLINE"): 1,
        ("no extent", "LINE"): 1,
        ("text without words", "TEXT"): 1,
        ("attribute definition", "ATTDEF"): 1,
        ("paper space", "LINE"): 1,
    }
    assert (read.seen, read.used) == (9, 1)


@pytest.mark.parametrize(
    "tags",
    [
        [(0, "ARC"), (8, "0"), (10, 0.0), (20, 0.0), (40, 0.0), (50, 0.0), (51, 90.0)],
        [(0, "ARC"), (8, "0"), (10, 0.0), (20, 0.0), (40, -2.0), (50, 0.0), (51, 90.0)],
        [(0, "ARC"), (8, "0"), (10, 0.0), (20, 0.0), (40, 2.0), (50, 30.0), (51, 30.0)],
        [(0, "CIRCLE"), (8, "0"), (10, 0.0), (20, 0.0), (40, 0.0)],
        [(0, "POLYLINE"), (8, "0"), (66, 1), (0, "SEQEND")],
    ],
)
def test_a_curve_without_extent_is_set_aside_with_a_report(tags: list[tuple[int, object]]) -> None:
    read = linework(bare([*line((0, 0), (9, 9)), *tags]))
    assert aside(read) == {("no extent", str(tags[0][1])): 1}
    assert kinds(read) == ["no-extent"]


@pytest.mark.parametrize(
    ("tags", "reason"),
    [
        ([(0, "LINE"), (8, "0"), (10, 1.0), (20, 1.0)], "its end is missing"),
        ([(0, "ARC"), (8, "0"), (10, 1.0), (20, 1.0), (40, 5.0), (50, 0.0)], "its end_angle is missing"),
        ([(0, "CIRCLE"), (8, "0"), (40, 5.0)], "its center is missing"),
    ],
)
def test_an_entity_without_its_numbers_is_asked_about_and_never_drawn(
    tags: list[tuple[int, object]], reason: str
) -> None:
    read = linework(bare([*line((0, 0), (9, 9)), *tags]))
    assert len(read.strokes) == 1
    assert codes(read) == ["damaged-entities"]
    assert reason in read.questions[0].asks
    assert aside(read) == {("damaged", str(tags[0][1])): 1}


def test_repeated_handles_are_reported() -> None:
    read = linework(bare([*line((0, 0), (9, 9), handle="A1"), *line((0, 0), (9, 0), handle="A1")]))
    assert kinds(read) == ["handles-repeated"]
    assert read.changes[0].handles == ("A1",)


def test_layers_that_the_table_lacks_are_reported_and_read() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9), dxfattribs={"layer": "LOST"})
    read = linework(made)
    assert kinds(read) == ["layer-undefined"]
    assert "'LOST'" in read.changes[0].says


def test_a_layer_that_no_plot_shows_is_reported_and_read() -> None:
    made = drawing()
    made.layers.add("HELP LINES", plot=False)
    made.modelspace().add_line((0, 0), (9, 9), dxfattribs={"layer": "HELP LINES"})
    read = linework(made)
    assert kinds(read) == ["layer-unplotted"]
    assert len(read.strokes) == 1


def test_extended_data_is_counted_and_not_used() -> None:
    made = drawing()
    made.appids.add("SOMEBODY")
    made.modelspace().add_line((0, 0), (9, 9)).set_xdata("SOMEBODY", [(1000, "2x8")])
    read = linework(made)
    assert kinds(read) == ["extended-data"]
    assert read.changes[0].says == "1 entities carry extended data of some program; it was not used."


@pytest.mark.parametrize(
    "tags",
    [
        [(71, 3), (72, 8), (73, 4), *[(40, 0.0)] * 8, *[(10, 1.0), (20, 1.0), (30, 0.0)] * 4],
        [(71, 3), (72, 0), (73, 0), (74, 0)],
        [(71, 3), (72, 2), (73, 2), (40, 0.0), (40, 1.0), (10, 0.0), (20, 0.0), (30, 0.0), (10, 9.0), (20, 9.0)],
        [(71, 900), (72, 0), (73, 2), (10, 0.0), (20, 0.0), (30, 0.0), (10, 9.0), (20, 9.0), (30, 0.0)],
    ],
    ids=["all points alike", "no points", "too few points", "a degree of 900"],
)
def test_a_spline_that_is_none_is_named_and_never_drawn(tags: list[tuple[int, object]]) -> None:
    head: list[tuple[int, object]] = [
        (0, "SPLINE"),
        (5, "7F"),
        (100, "AcDbEntity"),
        (8, "0"),
        (100, "AcDbSpline"),
        (70, 8),
    ]
    read = linework(bare([*line((0, 0), (9, 9)), *head, *tags]))
    assert len(read.strokes) == 1
    assert read.set_aside[0].kind == "SPLINE"
    assert codes(read) == ["damaged-entities"] or kinds(read) == ["no-extent"]


def test_one_layer_in_capitals_and_small_letters_is_one_layer() -> None:
    made = drawing()
    made.layers.add("Webs")
    made.modelspace().add_line((0, 0), (9, 9), dxfattribs={"layer": "Webs"})
    made.modelspace().add_line((0, 0), (9, 0), dxfattribs={"layer": "WEBS"})
    read = linework(made).strokes
    assert read.layer[0] == read.layer[1]


def test_a_stray_line_far_away_is_left_out_with_a_question() -> None:
    made = drawing()
    for x in range(12):
        made.modelspace().add_line((x, 0), (x + 1, 5))
    stray = made.modelspace().add_line((0, 0), (5e9, 1))
    read = linework(made)
    assert codes(read)[:1] == ["far-away-lines"]
    assert read.questions[0].handles == (stray.dxf.handle,)
    assert len(read.strokes) == 12
    assert aside(read) == {("far away", "LINE"): 1}


def test_objects_of_other_programs_are_counted_and_refused_where_they_are_all() -> None:
    custom = [(0, "AEC_WALL"), (5, "77"), (8, "0"), (100, "AecDbWall")]
    with pytest.raises(UnreadableError, match=r"no-linework at test\.dxf") as caught:
        linework(bare(custom))
    assert "1 AEC_WALL (custom object)" in str(caught.value)
    lines = [tag for index in range(4) for tag in line((0, index), (9, index))]
    read = linework(bare([*lines, *custom]))
    assert aside(read) == {("custom object", "AEC_WALL"): 1}
    assert kinds(read) == ["custom-objects"]
