"""Filled triangles are supports where they look so; every other fill is set aside with its count."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import aside, drawing, linework, saved
from tests.drawing.small_faults import put, truss
from trussio.drawing.reading import read_drawing

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

    from trussio.drawing.records import Point

TRIANGLE = ((-6.0, -10.0), (6.0, -10.0), (0.0, 0.0))


def as_solid(space: BaseLayout, corners: Sequence[Point]) -> None:
    space.add_solid(corners)


def as_trace(space: BaseLayout, corners: Sequence[Point]) -> None:
    space.add_trace(corners)


def as_hatch(space: BaseLayout, corners: Sequence[Point]) -> None:
    space.add_hatch().paths.add_polyline_path(corners, is_closed=True)


def as_edges(space: BaseLayout, corners: Sequence[Point]) -> None:
    path = space.add_hatch().paths.add_edge_path()
    for number, corner in enumerate(corners):
        path.add_line(corner, corners[(number + 1) % len(corners)])


def under_heels(
    draw: Callable[[BaseLayout, Sequence[Point]], None], corners: Sequence[Point] = TRIANGLE
) -> Drawing:
    made = truss()
    for heel in (0.0, 360.0):
        draw(made.modelspace(), [(x + heel, y) for x, y in corners])
    return made


def asked(made: Drawing) -> list[tuple[str, tuple[str, ...]]]:
    return [(one.code, one.handles) for one in read_drawing(saved(made)).questions]


@pytest.mark.parametrize("draw", [as_solid, as_trace, as_hatch, as_edges])
def test_a_filled_triangle_under_a_heel_is_a_support_to_ask_about(
    draw: Callable[[BaseLayout, Sequence[Point]], None],
) -> None:
    made = under_heels(draw)
    handles = [one.dxf.handle for one in made.modelspace() if one.dxftype() != "LINE"]
    assert asked(made) == [("support-symbol", (handle,)) for handle in handles]
    assert aside(linework(made)) == {}


@pytest.mark.parametrize(
    ("corners", "symbol"),
    [
        pytest.param([(-1.05, -3), (1.05, -3), (0, 0)], True, id="the least height, and width over height"),
        pytest.param([(-1.0, -3), (1.0, -3), (0, 0)], False, id="as narrow as an arrow"),
        pytest.param([(-3, -2.9), (3, -2.9), (0, 0)], False, id="too small"),
        pytest.param([(-6, 10), (6, 10), (0, 0)], False, id="on its tip, as a mark of level is"),
        pytest.param([(-6, -10), (6, -8), (0, 0)], False, id="a foot that is not level"),
        pytest.param([(-6, -10), (6, -10), (5, 0)], False, id="a tip to one side"),
        pytest.param([(-6, -60), (6, -60), (0, -50)], False, id="far below the heel"),
    ],
)
def test_what_a_support_looks_like(corners: list[Point], *, symbol: bool) -> None:
    assert bool(asked(under_heels(as_solid, corners))) == symbol


def test_four_corners_and_bent_outlines_are_set_aside_and_counted() -> None:
    made = truss()
    as_solid(made.modelspace(), [(0, 0), (5, 0), (0, 5), (5, 5)])
    as_hatch(made.modelspace(), [(0, 0), (5, 0), (5, 5), (0, 5)])
    bent = made.modelspace().add_hatch().paths.add_edge_path()
    bent.add_arc((0, 0), 5, 0, 360)
    made.modelspace().add_hatch().paths.add_polyline_path([(0, 0, 1), (5, 0), (0, 5)])
    assert aside(linework(made)) == {("surface or solid", "SOLID"): 1, ("hatch", "HATCH"): 3}
    assert asked(made) == []


def test_a_fill_on_a_layer_switched_off_is_no_support() -> None:
    made = truss()
    made.layers.add("SUPPORT").off()
    made.modelspace().add_solid(TRIANGLE, dxfattribs={"layer": "SUPPORT"})
    assert asked(made) == []
    assert aside(linework(made)) == {("layer off", "SOLID"): 1}


def test_a_triangle_where_two_members_cross_is_no_bolt() -> None:
    made = drawing()
    put(made.modelspace())
    made.modelspace().add_line((90, 0), (180, 45))
    before = len(read_drawing(saved(made)).trusses[0].joints)
    made.modelspace().add_solid([(131, 18), (139, 18), (135, 26.5)])
    assert len(read_drawing(saved(made)).trusses[0].joints) == before
