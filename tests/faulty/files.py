"""Sheets written as DXF files."""

from __future__ import annotations

from io import StringIO
from math import degrees, pi
from random import Random
from typing import TYPE_CHECKING

from ezdxf import math as curves
from ezdxf.filemanagement import new

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout
    from ezdxf.layouts.layout import Modelspace

    from tests.faulty.plans import Point
    from tests.faulty.sheets import Entity, Measured, Sheet


def written(sheet: Sheet) -> bytes:
    """The sheet as the bytes of a DXF file."""
    document = new(sheet.version)
    document.header["$INSUNITS"] = sheet.insunits or 0
    for name, pattern in (("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25]), ("HIDDEN", [0.375, 0.25, -0.125])):
        document.linetypes.add(name, pattern)
    _add_layers(document, sheet)
    space = document.modelspace()
    in_blocks = _add_blocks(document, sheet)
    for row, entity in enumerate(sheet.entities):
        if row not in in_blocks:
            _write(space, entity, sheet.per_inch)
    for measured in sheet.dimensions:
        _measure(space, measured, sheet)
    _place(space, sheet)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def _add_layers(document: Drawing, sheet: Sheet) -> None:
    for layer in dict.fromkeys(entity.layer for entity in sheet.entities):
        if layer != "0":
            made = document.layers.add(layer)
            if layer in sheet.frozen:
                made.freeze()
            if layer in sheet.off:
                made.off()


def _add_blocks(document: Drawing, sheet: Sheet) -> set[int]:
    """Put blocks and their inserts into a document; the rows that they hold."""
    held: set[int] = set()
    for number, copies in enumerate(sheet.blocks):
        block = document.blocks.new(f"PART{number}")
        for row in sorted(copies.rows):
            _write(block, sheet.entities[row], sheet.per_inch)
        for (x, y), scale, turn in copies.inserts:
            attribs = {"xscale": scale, "rotation": turn}
            if copies.columns > 1:
                attribs |= {"column_count": copies.columns, "column_spacing": copies.spacing * sheet.per_inch}
            place = (x * sheet.per_inch, y * sheet.per_inch)
            document.modelspace().add_blockref(f"PART{number}", place, dxfattribs=attribs)
        held |= copies.rows
    return held


def _measure(space: Modelspace, measured: Measured, sheet: Sheet) -> None:
    factor = sheet.per_inch
    style = {"dimtxt": 5.0 * factor, "dimasz": 4.0 * factor, "dimexo": 2.5 * factor, "dimlfac": 1.0}
    space.add_linear_dim(
        base=(0.0, measured.level * factor),
        p1=(measured.first[0] * factor, measured.first[1] * factor),
        p2=(measured.last[0] * factor, measured.last[1] * factor),
        text=measured.text,
        override=style,
        dxfattribs={"layer": "DIMS"},
    ).render()


def _place(space: Modelspace, sheet: Sheet) -> None:
    """Turn the whole sheet in its plane, stand it upright, or scatter its depths."""
    rng = Random(7)  # noqa: S311  # not for secrets: every run scatters alike
    for entity in list(space):
        if sheet.turned:
            entity.rotate_z(sheet.turned)
        if sheet.depth_noise and entity.dxftype() == "LINE":
            for name in ("start", "end"):
                spot = entity.dxf.get(name)
                entity.dxf.set(name, (spot.x, spot.y, rng.uniform(0, sheet.depth_noise) * sheet.per_inch))
        if sheet.upright_plane:
            entity.rotate_axis((1, 0, 0), pi / 2)


def _write(space: BaseLayout, entity: Entity, factor: float) -> None:
    points = [(x * factor, y * factor) for x, y in entity.points]
    attribs: dict[str, object] = {"layer": entity.layer}
    if entity.linetype != "BYLAYER":
        attribs["linetype"] = entity.linetype
    if entity.what in {"text", "mtext"}:
        _write_text(space, entity, points[0], entity.height * factor, attribs)
    elif entity.what in {"circle", "point"}:
        _write_mark(space, entity, points[0], entity.radius * factor, attribs)
    else:
        _write_line(space, entity, points, attribs)


def _write_line(space: BaseLayout, entity: Entity, points: list[Point], attribs: dict[str, object]) -> None:
    if entity.what == "line":
        space.add_line(points[0], points[1], dxfattribs=attribs)
    elif entity.what == "arc":
        _write_arc(space, points[0], points[1], entity.bulge[0], attribs)
    elif entity.what == "polyline":
        bulges = entity.bulge or (0.0,) * len(points)
        rows = [(x, y, bulge) for (x, y), bulge in zip(points, bulges, strict=True)]
        space.add_lwpolyline(rows, format="xyb", close=entity.closed, dxfattribs=attribs)
    elif entity.what == "spline":
        control = curves.fit_points_to_cad_cv(points)
        space.add_spline(fit_points=points, dxfattribs=attribs).apply_construction_tool(control)
    else:
        (x, y), (u, v) = points
        low, high = entity.bulge
        space.add_ellipse((x, y), (u - x, v - y), entity.radius, low, high, dxfattribs=attribs)


def _write_mark(space: BaseLayout, entity: Entity, at: Point, radius: float, attribs: dict[str, object]) -> None:
    if entity.what == "circle":
        space.add_circle(at, radius, dxfattribs=attribs)
    else:
        space.add_point(at, dxfattribs=attribs)


def _write_text(space: BaseLayout, entity: Entity, at: Point, height: float, attribs: dict[str, object]) -> None:
    attribs |= {"insert": at, "rotation": degrees(entity.angle)}
    if entity.what == "text":
        space.add_text(entity.text, height=height, dxfattribs=attribs)
    else:
        space.add_mtext(entity.text, dxfattribs={**attribs, "char_height": height, "attachment_point": 7})


def _write_arc(space: BaseLayout, first: Point, last: Point, bulge: float, attribs: dict[str, object]) -> None:
    centre, start, end, radius = curves.bulge_to_arc(first, last, bulge)
    space.add_arc(centre, radius, degrees(start), degrees(end), dxfattribs=attribs)
