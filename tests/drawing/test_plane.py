"""The plane of a drawing: elevations lie down, stand up, lean or float, and come out upright."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.drawing.drafting import codes, drawing, kinds, linework

if TYPE_CHECKING:
    from collections.abc import Callable

    from ezdxf.document import Drawing

TRUSS = [
    ((0, 0), (720, 0)),
    ((0, 0), (360, 96)),
    ((360, 96), (720, 0)),
    ((360, 0), (360, 96)),
    ((180, 48), (360, 0)),
]
Place = tuple[float, float, float]


def standing(put: Callable[[float, float], Place]) -> Drawing:
    """A truss of straight lines put into space."""
    made = drawing()
    for first, last in TRUSS:
        made.modelspace().add_line(put(*first), put(*last))
    return made


def same_truss(first: np.ndarray, last: np.ndarray) -> bool:
    """Whether the strokes are the truss above, wherever it was moved."""
    wanted = np.array(TRUSS, dtype=float)
    found = np.stack([first, last], axis=1)
    return bool(np.allclose(found - found[0, 0], wanted - wanted[0, 0], atol=1e-6))


@pytest.mark.parametrize(
    "put",
    [
        lambda x, y: (x, y, 0),
        lambda x, y: (x, y, 500),
        lambda x, y: (x, 0, y),
        lambda x, y: (x, -30, y),
        lambda x, y: (0, x, y),
        lambda x, y: (x + 2e6, y + 5e5, 0),
        lambda x, y: (x + 2e6, 777, y + 5e5),
    ],
    ids=["xy", "xy high", "xz", "xz behind", "yz", "far away", "far away standing"],
)
def test_the_planes_of_the_axes_are_read_in_silence(put: Callable[[float, float], Place]) -> None:
    read = linework(standing(put))
    assert same_truss(read.strokes.first, read.strokes.last)
    assert (kinds(read), codes(read)) == ([], [])
    assert read.frame.in_drawing((float(read.strokes.last[0, 0]), float(read.strokes.last[0, 1]))) == put(720, 0)


def test_a_far_offset_is_removed_without_a_digit_lost() -> None:
    read = linework(standing(lambda x, y: (x + 2000000.25, y + 500000.5, 0)))
    assert float(np.abs(read.strokes.first).max()) < 1000
    assert float(read.strokes.last[0, 0] - read.strokes.first[0, 0]) == 720.0


def test_an_upright_plane_at_an_odd_angle_is_reported() -> None:
    read = linework(standing(lambda x, y: (x * cos(0.6), x * sin(0.6), y)))
    assert same_truss(read.strokes.first, read.strokes.last)
    assert (kinds(read), codes(read)) == (["plane"], [])


def test_a_tilted_plane_is_a_question_which_way_is_up() -> None:
    tilt = radians(30)
    made = standing(lambda x, y: (x, y * cos(tilt), y * sin(tilt)))
    read = linework(made)
    assert same_truss(read.strokes.first, read.strokes.last)
    assert (kinds(read), codes(read)) == (["plane"], ["which-way-up"])
    assert "a plane at 30.0 degrees to the xy plane" in read.changes[0].says
    told = linework(made, up=(0, cos(tilt), sin(tilt)))
    assert codes(told) == ["which-way-up"]
    assert told.questions[0].taken == "0 0.866025 0.5"
    assert same_truss(told.strokes.first, told.strokes.last)


@pytest.mark.parametrize(
    ("depth", "kind"),
    [(1 / 64, []), (0.02, ["flattened"]), (1.0, ["flattened"])],
    ids=["silent", "report", "limit"],
)
def test_depth_below_a_tape_is_silent_and_up_to_an_inch_reported(depth: float, kind: list[str]) -> None:
    read = linework(standing(lambda x, y: (x, y, depth if x == 360 else 0.0)))
    assert same_truss(read.strokes.first, read.strokes.last)
    assert (kinds(read), codes(read)) == (kind, [])


def test_lines_in_no_one_plane_are_a_question() -> None:
    read = linework(standing(lambda x, y: (x, y, 40.0 * sin(x + 3 * y))))
    assert codes(read) == ["not-one-plane"]


def test_one_end_picked_at_the_wrong_depth_is_reported_by_its_handle() -> None:
    made = standing(lambda x, y: (x, y, 0))
    slip = made.modelspace().add_line((180, 48, 0), (180, 0, 1e5))
    read = linework(made)
    assert kinds(read) == ["off-plane"]
    assert read.changes[0].handles == (slip.dxf.handle,)
    assert read.changes[0].distance == 1e5
    assert read.strokes.row(5).last == (180.0, 0.0)


def test_arcs_and_texts_stand_up_with_their_plane() -> None:
    made = standing(lambda x, y: (x, 0, y))
    toward = {"extrusion": (0, -1, 0)}
    made.modelspace().add_arc((360, -627, 0), 723, 60, 120, dxfattribs=toward)
    text = made.modelspace().add_text("2x8", height=5, dxfattribs=toward)
    text.set_placement((100, 20, 0))
    read = linework(made)
    arc = read.strokes.row(5)
    assert arc.centre == pytest.approx((360.0, -627.0))
    assert arc.sweep == pytest.approx(radians(60))
    assert read.texts[0].at == pytest.approx((100.0, 20.0))
    assert read.texts[0].angle == pytest.approx(0.0, abs=1e-12)
