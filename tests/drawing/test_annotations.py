"""Texts and leaders: what they say, where they lie, and what they point at."""

from __future__ import annotations

from math import pi, radians

import numpy as np
import pytest
from ezdxf.math import Vec2
from ezdxf.render.mleader import ConnectionSide

from tests.drawing.drafting import bare, drawing, kinds, line, linework, only_text


def test_a_text_has_a_place_by_its_alignment() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    text = made.modelspace().add_text("2x8", height=4, rotation=30)
    text.dxf.halign, text.dxf.valign = 1, 2
    text.dxf.insert, text.dxf.align_point = (99, 99), (10, 20)
    read = only_text(linework(made))
    assert read.at == (10.0, 20.0)
    assert read.centre == pytest.approx((10.0, 20.0))
    assert read.says == "2x8"
    assert read.height == pytest.approx(4.0)
    assert read.angle == pytest.approx(radians(30))


@pytest.mark.parametrize(
    ("attachment", "toward"), [(1, (1, -1)), (3, (-1, -1)), (5, (0, 0)), (7, (1, 1)), (9, (-1, 1))]
)
def test_a_paragraph_lies_to_the_side_of_its_attachment(attachment: int, toward: tuple[int, int]) -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_mtext(
        "2-3x10\\PTYP", dxfattribs={"insert": (50, 50), "char_height": 4, "attachment_point": attachment}
    )
    read = only_text(linework(made))
    assert read.says == "2-3x10\nTYP"
    assert read.height == pytest.approx(4.0)
    assert (np.sign(read.centre[0] - 50), np.sign(read.centre[1] - 50)) == toward


def test_a_paragraph_turns_by_its_direction_before_its_angle() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (9, 9))
    made.modelspace().add_mtext(
        "2x8", dxfattribs={"char_height": 4, "rotation": 10, "text_direction": (0, 1, 0), "insert": (1, 1)}
    )
    assert only_text(linework(made)).angle == pytest.approx(pi / 2)


def test_a_leader_gives_its_tip_to_the_text_that_it_carries() -> None:
    made = drawing()
    space = made.modelspace()
    space.add_line((0, 0), (99, 0))
    label = space.add_mtext("2x8", dxfattribs={"insert": (30, 30), "char_height": 4})
    carrying = space.add_leader([(10, 0), (20, 25), (30, 30)])
    carrying.dxf.annotation_handle = label.dxf.handle
    space.add_leader([(50, 0), (60, 9)])
    read = linework(made)
    assert only_text(read).tips == ((10.0, 0.0),)
    (leader,) = read.leaders
    assert (leader.tip, leader.tail) == ((50.0, 0.0), (60.0, 9.0))
    assert len(read.strokes) == 1


def test_a_multileader_is_a_text_with_its_tip() -> None:
    made = drawing()
    space = made.modelspace()
    space.add_line((0, 0), (99, 0))
    builder = space.add_multileader_mtext("Standard")
    builder.set_content("2-3x10", char_height=4)
    builder.add_leader_line(ConnectionSide.left, [Vec2(10, 0)])
    builder.build(insert=Vec2(30, 30))
    read = only_text(linework(made))
    assert read.says == "2-3x10"
    assert read.tips == ((10.0, 0.0),)
    assert read.kind == "MULTILEADER"


def test_bytes_outside_the_code_page_are_reported() -> None:
    tags = [(0, "TEXT"), (5, "9A"), (8, "0"), (10, 0.0), (20, 0.0), (40, 5.0), (1, "2x8 @@")]
    data = bare([*line((0, 0), (9, 9)), *tags]).replace(b"@@", b"\x8d")
    read = linework(data)
    assert only_text(read).says == "2x8 <byte 0x8D>"
    assert kinds(read) == ["undecodable-text"]
    assert read.changes[0].handles == ("9A",)
