"""Reads each drawn entity of a block or layout into rows and signs: lines, arcs, polylines, curves, points.

Only attributes that stand in the file are used; the loader would put a default where a coordinate is missing, and
a line would run to the origin. What cannot be read is kept as damaged, with the reason.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Final

from trussio.drawing.annotations import read_attribute, read_leader, read_multileader, read_paragraph, read_text
from trussio.drawing.content import SURFACE, Content, Damaged, Names, Sign, Spotted, origin_of, spots
from trussio.drawing.dimensions import read_dimension
from trussio.drawing.drawn_curves import read_arc, read_circle, read_ellipse, read_spline
from trussio.drawing.fills import read_hatch, read_solid
from trussio.drawing.polylines import read_lwpolyline, read_mline, read_polyline
from trussio.drawing.references import read_reference
from trussio.drawing.signature import LOADER_FAULTS
from trussio.drawing.tables import read_table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]
Reader = Callable[["DXFEntity", Attributes, Content, Names], "str | None"]
"""Reads one entity; gives the reason where it is set aside."""

PICTURE: Final = "picture or mask"
_ASIDE: Final = {
    "MPOLYGON": "hatch",
    **dict.fromkeys(("IMAGE", "WIPEOUT", "OLEFRAME", "OLE2FRAME"), PICTURE),
    **dict.fromkeys(("PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY", "PDFREFERENCE"), PICTURE),
    **dict.fromkeys(("3DFACE", "MESH", "REGION", "3DSOLID", "BODY", "SURFACE"), SURFACE),
    **dict.fromkeys(("EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE", "SWEPTSURFACE", "HELIX"), SURFACE),
    **dict.fromkeys(("RAY", "XLINE"), "endless line"),
    **dict.fromkeys(("VIEWPORT", "LIGHT", "SUN", "CAMERA", "GEOPOSITIONMARKER"), "view"),
    "ATTDEF": "attribute definition",
    "TOLERANCE": "tolerance symbol",
    "SHAPE": "font symbol",
    "ARC_DIMENSION": "dimension along a curve",
}
CUSTOM: Final = "custom object"


def read_content(space: Iterable[DXFEntity], names: Names) -> Content:
    """What a block or layout draws."""
    content = Content()
    layers, linetypes, line = names.layers, names.linetypes, names.kinds["LINE"]
    for entity in space:
        attributes = vars(entity.dxf)
        content.extended += entity.xdata is not None
        content.seen += 1
        content.chains += 1
        kind = entity.dxftype()
        if kind == "LINE" and "start" in attributes and "end" in attributes:
            content.ends += attributes["start"].xyz
            content.ends += attributes["end"].xyz
            content.entity.append(content.seen)
            content.chain.append(content.chains)
            content.kind.append(line)
            content.layer.append(layers[attributes.get("layer", "0")])
            content.linetype.append(linetypes[attributes.get("linetype", "BYLAYER")])
            content.invisible.append("invisible" in attributes and bool(attributes["invisible"]))
            content.closed.append(False)
            content.handles.append(attributes["handle"] or "")
        else:
            _read(kind, entity, attributes, content, names)
    return content


def _read(kind: str, entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> None:
    reader = _READERS.get(kind)
    if reader is None:
        content.aside[_ASIDE.get(kind, CUSTOM), kind] += 1
        return
    try:
        reason = reader(entity, attributes, content, names)
    except LOADER_FAULTS as fault:
        missing = f"its {fault.args[0]} is missing" if type(fault) is KeyError and fault.args else "it is damaged"
        handle, layer = str(attributes.get("handle") or ""), str(attributes.get("layer", "0"))
        content.damaged.append(Damaged(kind=kind, handle=handle, layer=layer, reason=missing))
        reason = "damaged"
    if reason is not None:
        content.aside[reason, kind] += 1


def _read_line(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> None:
    ends = (*attributes["start"].xyz, *attributes["end"].xyz)
    content.add_row(origin_of("LINE", attributes, names), ends)


def _read_point(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> None:
    sign = Sign(
        what=Spotted(circle=False),
        origin=origin_of("POINT", attributes, names),
        points=spots(attributes["location"]),
        vectors=spots(),
    )
    content.spots.append(sign)


_READERS: Final[dict[str, Reader]] = {
    "LINE": _read_line,
    "POINT": _read_point,
    "ARC": read_arc,
    "CIRCLE": read_circle,
    "ELLIPSE": read_ellipse,
    "LWPOLYLINE": read_lwpolyline,
    "POLYLINE": read_polyline,
    "SPLINE": read_spline,
    "MLINE": read_mline,
    "TEXT": read_text,
    "SOLID": read_solid,
    "TRACE": read_solid,
    "HATCH": read_hatch,
    "ACAD_TABLE": read_table,
    "MTEXT": read_paragraph,
    "ATTRIB": read_attribute,
    "LEADER": read_leader,
    "MULTILEADER": read_multileader,
    "MLEADER": read_multileader,
    "DIMENSION": read_dimension,
    "LARGE_RADIAL_DIMENSION": read_dimension,
    "INSERT": read_reference,
}
