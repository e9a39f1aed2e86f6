"""A truss as a DXF drawing that a drafter can open, mark up and send back.

Full size in the truss's own unit. Every stick is one entity (LINE, ARC, or LWPOLYLINE with a vertex at each joint
and true arcs between), every joint a POINT and a circle; marks and sizes are TEXT. What an entity stands for is
kept in registered application data: strings `v=1`, `kind=member`, `id=w1`, `role=web`. The whole document
travels in the drawing too (`embedding`). No line is dashed: dashes are for what is hidden or to be removed.
"""

from __future__ import annotations

from contextlib import contextmanager
from io import StringIO
from math import degrees, hypot
from typing import TYPE_CHECKING, Final

from ezdxf import units
from ezdxf._options import options
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new
from ezdxf.math import bulge_to_arc

from trussio.drawing.embedding import APPLICATION, embed
from trussio.drawing.layers import LAYERS, layer_name
from trussio.drawing.sheet import sheet
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ezdxf.document import Drawing
    from ezdxf.entities.dxfgfx import DXFGraphic
    from ezdxf.layouts.layout import Modelspace

    from trussio.drawing.paper import Label, PenStroke, Sheet
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem

STYLE: Final = "TRUSSIO"
CAPITALS: Final = 0.72
"""Height of capitals, by which the format measures text, in letter heights of the sheet."""
INCHES, MILLIMETRES, FEET_AND_INCHES, DECIMAL = 1, 4, 4, 2
"""Values of $INSUNITS and of $LUNITS."""


def write(truss: Truss, *, document: str, digest: str) -> bytes:
    """The drawing of a truss as the bytes of a file, the same for the same truss.

    `document` is the text of its document, whose digest is `digest`.
    """
    with _without_clock():
        drawing = _blank(truss.units)
        picture = sheet(truss, digest=digest, full_size=True)
        for stroke in picture.strokes:
            _add_stroke(drawing.modelspace(), truss, stroke)
        for label in picture.labels:
            _add_label(drawing.modelspace(), truss, label, picture.module)
        _show(drawing, picture)
        embed(drawing, document=document, digest=digest)
        _name_classes(drawing)
        stream = StringIO()
        drawing.write(stream)
        return drawing.encode(stream.getvalue())


@contextmanager
def _without_clock() -> Iterator[None]:
    """Keep dates and random identifiers out of the drawing that is made inside."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _name_classes(drawing: Drawing) -> None:
    """Name the classes in use in one order: the writer would take them as a set gives them."""
    for name in sorted(drawing.entitydb.dxf_types_in_use()):
        drawing.classes.add_class(name)


def _blank(system: UnitSystem) -> Drawing:
    """An empty drawing with units, layers, text style and application name."""
    us = system == "us"
    drawing = new("R2010", units=units.IN if us else units.MM)
    drawing.header["$INSUNITS"] = INCHES if us else MILLIMETRES
    drawing.header["$MEASUREMENT"] = 0 if us else 1
    drawing.header["$LUNITS"] = FEET_AND_INCHES if us else DECIMAL
    drawing.header["$LWDISPLAY"] = 1
    drawing.appids.add(APPLICATION)
    drawing.styles.add(STYLE, font="txt", dxfattribs={"width": 0.85})
    for layer in LAYERS:
        entry = drawing.layers.add(layer_name(layer.holds), color=layer.colour, lineweight=layer.weight)
        entry.description = layer.says
    return drawing


def _show(drawing: Drawing, picture: Sheet) -> None:
    """Open on the whole sheet."""
    corners = ((picture.left, picture.bottom, 0.0), (picture.right, picture.top, 0.0))
    space = drawing.modelspace()
    space.reset_extents(*corners)
    space.reset_limits(corners[0][:2], corners[1][:2])
    middle = ((picture.left + picture.right) / 2, (picture.bottom + picture.top) / 2)
    wide, high = picture.right - picture.left, picture.top - picture.bottom
    drawing.set_modelspace_vport(height=max(high, wide / 1.6), center=middle)


def _add_stroke(space: Modelspace, truss: Truss, stroke: PenStroke) -> None:
    """One entity for one stroke, with what it stands for; a joint gets a point besides."""
    attributes = {"layer": layer_name(stroke.holds)}
    identity = _identity(truss, stroke.of)
    first, second = stroke.vertices[0], stroke.vertices[1]
    entity: DXFGraphic
    if len(stroke.vertices) == 2 and stroke.closed:
        middle = ((first.x + second.x) / 2, (first.y + second.y) / 2)
        entity = space.add_circle(middle, hypot(second.x - first.x, second.y - first.y) / 2, attributes)
        if stroke.holds == "joint":
            _say(space.add_point(middle, attributes), identity)
    elif len(stroke.vertices) == 2 and not first.bulge:
        entity = space.add_line((first.x, first.y), (second.x, second.y), attributes)
    elif len(stroke.vertices) == 2:
        entity = _arc(space, stroke, attributes)
    else:
        points = [(vertex.x, vertex.y, vertex.bulge) for vertex in stroke.vertices]
        entity = space.add_lwpolyline(points, format="xyb", close=stroke.closed, dxfattribs=attributes)
    _say(entity, identity)


def _arc(space: Modelspace, stroke: PenStroke, attributes: dict[str, str]) -> DXFGraphic:
    first, last = stroke.vertices
    centre, start, end, radius = bulge_to_arc((first.x, first.y), (last.x, last.y), first.bulge)
    return space.add_arc(centre, radius, degrees(start), degrees(end), dxfattribs=attributes)


def _add_label(space: Modelspace, truss: Truss, label: Label, module: float) -> None:
    text = space.add_text(
        plain_line(label.text),
        height=label.height * module * CAPITALS,
        rotation=degrees(label.angle),
        dxfattribs={"layer": layer_name(label.holds), "style": STYLE},
    )
    middle = label.anchor == "middle"
    align = TextEntityAlignment.MIDDLE_CENTER if middle else TextEntityAlignment.MIDDLE_LEFT
    text.set_placement((label.x, label.y), align=align)
    _say(text, _identity(truss, label.of))


def plain_line(text: str) -> str:
    """A text as the format writes it in one line: its codes escaped, control characters as blanks."""
    line = "".join(c if c.isprintable() else " " for c in text)
    return line.replace("^", "^ ").replace("%%", "%%%%%%").replace("\\U+", "\\U+005CU+")


def _identity(truss: Truss, of: str) -> dict[str, str]:
    """What a pointer stands for: kind, id, and the role of a member."""
    if not of:
        return {}
    kind, name = of.split("/")[1:3]
    plain = name.replace("~0", "~")
    identity = {"kind": kind.removesuffix("s"), "id": plain}
    if kind == "members" and (role := truss.members[MemberId(plain)].role) is not None:
        identity["role"] = role
    return identity


def _say(entity: DXFGraphic, identity: dict[str, str]) -> None:
    """Keep an identity with an entity."""
    if identity:
        strings = ["v=1", *(f"{key}={value}" for key, value in identity.items())]
        entity.set_xdata(APPLICATION, [(1000, string) for string in strings])
