"""Draws the sample trusses as a drafter would have drawn them from a surveyor's notebook.

Everything here is invented: the buildings, the sizes, the loads. Run `python samples/make_drawings.py` from the
repository root to write the drawings again; the same script gives the same bytes.
"""

from __future__ import annotations

from math import asin, degrees, hypot
from pathlib import Path
from typing import TYPE_CHECKING, Final

from ezdxf import units
from ezdxf._options import options
from ezdxf.filemanagement import new

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

HERE: Final = Path(__file__).parent
Point = tuple[float, float]

HALL_SPAN: Final = 720.0
HALL_RISE: Final = 96.0
HALL_PANELS: Final = 8
HALL_RADIUS: Final = (HALL_SPAN**2 / 4 + HALL_RISE**2) / (2 * HALL_RISE)

BARN_SPAN: Final = 12.0
BARN_RISE: Final = 3.2
BARN_PANELS: Final = 6


def main(folder: Path = HERE) -> None:
    """Write the drawings below a folder, without a clock or a random number in them."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        for drawing, name in (
            (hall(), "hall/hall-truss-2.dxf"),
            (barn(), "barn/barn-truss-b.dxf"),
            (shed(), "shed/shed-sketch.dxf"),
        ):
            for kind in sorted(drawing.entitydb.dxf_types_in_use()):
                drawing.classes.add_class(kind)
            (folder / name).parent.mkdir(exist_ok=True)
            drawing.saveas(folder / name)
    finally:
        options.write_fixed_meta_data_for_testing = before


def hall() -> Drawing:
    """A curved-top truss of 60 ft in inches: one arc, one line, and webs that stop a little short of them."""
    drawing, space = sheet(units.IN, {"CHORDS": 7, "WEBS": 7, "SIZES": 7, "DIMS": 8, "NOTES": 7})
    centre = (HALL_SPAN / 2, HALL_RISE - HALL_RADIUS)
    half = degrees(asin(HALL_SPAN / 2 / HALL_RADIUS))
    space.add_arc(centre, HALL_RADIUS, 90 - half, 90 + half, dxfattribs={"layer": "CHORDS"})
    space.add_line((0, 0), (HALL_SPAN, 0), dxfattribs={"layer": "CHORDS"})
    step = HALL_SPAN / HALL_PANELS
    lower = [(step * i, 0.0) for i in range(HALL_PANELS + 1)]
    upper = [(x, on_arc(x, centre)) for x, _ in lower]
    for i in range(1, HALL_PANELS):
        web(space, lower[i], upper[i], gap=0.25, size="2x6" if i % 2 else "3x6", height=5.0)
    for i in range(1, HALL_PANELS // 2):
        web(space, lower[i], upper[i + 1], gap=0.25, size="3x6", height=5.0)
        web(space, lower[-1 - i], upper[-2 - i], gap=0.25, size="3x6", height=5.0)
    label(space, "2-3x10", (200, -9), angle=0, height=5.0)
    label(space, "2-3x10", (300, 98), angle=0, height=5.0)
    dimension(space, (0, 0), (HALL_SPAN, 0), offset=-40, height=5.0)
    note(space, "TRUSS 2, LOOKING NORTH", (230, -78), 7.0)
    note(space, "INVENTED FOR DEMONSTRATION", (230, -92), 5.0)
    return drawing


def barn() -> Drawing:
    """A pitched truss of 12 m in metres: two rafters, one tie beam, rods and struts."""
    drawing, space = sheet(units.M, {"TIMBER": 7, "ROD": 7, "TEXT": 7, "DIMENSIONS": 8})
    step = BARN_SPAN / BARN_PANELS
    apex = (BARN_SPAN / 2, BARN_RISE)
    lower = [(step * i, 0.0) for i in range(BARN_PANELS + 1)]
    upper = [(x, BARN_RISE * (1 - abs(x - apex[0]) / apex[0])) for x, _ in lower]
    for first, last in (((0.0, 0.0), (BARN_SPAN, 0.0)), ((0.0, 0.0), apex), ((BARN_SPAN, 0.0), apex)):
        space.add_line(first, last, dxfattribs={"layer": "TIMBER"})
    for i in range(1, BARN_PANELS):
        web(space, lower[i], upper[i], gap=0.006, size="ROD 24", height=0.09, layer="ROD", text="TEXT")
    for i in range(1, BARN_PANELS // 2):
        web(space, lower[i + 1], upper[i], gap=0.006, size="100x100", height=0.09, layer="TIMBER", text="TEXT")
        web(
            space,
            lower[-2 - i],
            upper[-1 - i],
            gap=0.006,
            size="100x100",
            height=0.09,
            layer="TIMBER",
            text="TEXT",
        )
    label(space, "2/75x225", (3.0, -0.2), angle=0, height=0.09, layer="TEXT")
    slope = degrees(asin(BARN_RISE / hypot(BARN_RISE, BARN_SPAN / 2)))
    label(space, "125x200", (1.35, 0.82), angle=slope, height=0.09, layer="TEXT")
    label(space, "125x200", (9.9, 1.2), angle=-slope, height=0.09, layer="TEXT")
    dimension(space, (0, 0), (BARN_SPAN, 0), offset=-0.8, height=0.09, layer="DIMENSIONS")
    note(space, "TRUSS B, INVENTED FOR DEMONSTRATION", (4.2, -1.4), 0.12, "TEXT")
    return drawing


def shed() -> Drawing:
    """A queen-post truss of 24 ft drawn in a hurry: no unit, gaps, tails, a line twice, a border round it all."""
    drawing, space = sheet(units.IN, {"0-LINES": 7, "0-TEXT": 7})
    drawing.header["$INSUNITS"] = 0
    line = {"layer": "0-LINES"}
    for first, last in (
        ((0, 0), (150, 0)),
        ((144, 0), (288, 0)),
        ((0, 0), (96, 64)),
        ((96, 64), (192, 64)),
        ((288, 0), (192, 64)),
        ((192, 64), (288, 0)),
        ((96, 0), (96, 63.6)),
        ((192, -0.5), (192, 64)),
        ((96, 0), (191.6, 63.7)),
        ((192, 0), (96.3, 63.8)),
    ):
        space.add_line(first, last, dxfattribs=line)
    space.add_lwpolyline([(-40, -60), (330, -60), (330, 110), (-40, 110)], close=True, dxfattribs=line)
    label(space, "6x8", (30, 36), angle=34, height=5, layer="0-TEXT")
    label(space, "4x6", (99, 26), angle=90, height=5, layer="0-TEXT")
    label(space, "6x8 BOTT.", (40, -9), angle=0, height=5, layer="0-TEXT")
    note(space, "SHED, END BAY, LOOKING EAST - INVENTED", (60, -44), 6, "0-TEXT")
    return drawing


def sheet(unit: int, layers: dict[str, int]) -> tuple[Drawing, Modelspace]:
    """An empty drawing in one unit with its layers."""
    drawing = new("R2010", units=unit)
    drawing.header["$MEASUREMENT"] = 0 if unit == units.IN else 1
    for name, colour in layers.items():
        drawing.layers.add(name, color=colour)
    return drawing, drawing.modelspace()


def on_arc(x: float, centre: Point) -> float:
    """Height of the arc of the hall's top chord over the bottom chord."""
    return centre[1] + float((HALL_RADIUS**2 - (x - centre[0]) ** 2) ** 0.5)


def web(
    space: Modelspace,
    first: Point,
    last: Point,
    *,
    gap: float,
    size: str,
    height: float,
    layer: str = "WEBS",
    text: str = "SIZES",
) -> None:
    """A web drawn short by `gap` at its upper end, with its size written along it."""
    length = hypot(last[0] - first[0], last[1] - first[1])
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    end = (last[0] - gap * along[0], last[1] - gap * along[1])
    space.add_line(first, end, dxfattribs={"layer": layer})
    angle = degrees(asin(along[1])) * (1 if along[0] >= 0 else -1)
    side = (-along[1], along[0]) if along[0] >= 0 else (along[1], -along[0])
    at = (
        first[0] + (last[0] - first[0]) * 0.42 + side[0] * height * 0.6,
        first[1] + (last[1] - first[1]) * 0.42 + side[1] * height * 0.6,
    )
    label(space, size, at, angle=angle, height=height, layer=text)


def label(space: Modelspace, text: str, at: Point, *, angle: float, height: float, layer: str = "SIZES") -> None:
    """A size label."""
    space.add_text(text, height=height, rotation=angle, dxfattribs={"layer": layer, "insert": at})


def note(space: Modelspace, text: str, at: Point, height: float, layer: str = "NOTES") -> None:
    """A line of text that is no size."""
    space.add_text(text, height=height, dxfattribs={"layer": layer, "insert": at})


def dimension(
    space: Modelspace, first: Point, last: Point, *, offset: float, height: float, layer: str = "DIMS"
) -> None:
    """An overall dimension below the truss."""
    style = {"dimtxt": height, "dimasz": height, "dimexe": height / 2, "dimexo": height / 2, "dimlfac": 1}
    dim = space.add_linear_dim(
        base=(0, offset), p1=first, p2=last, dimstyle="Standard", override=style, dxfattribs={"layer": layer}
    )
    dim.render()


if __name__ == "__main__":
    main()
