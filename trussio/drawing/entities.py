"""Reads each drawn entity of a block or layout into rows and signs: lines, arcs, polylines, curves, points.

Only attributes that stand in the file are used; the loader would put a default where a coordinate is missing, and
a line would run to the origin. What cannot be read is kept as damaged, with the reason.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import cos, isclose, pi, radians, sin
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.mline import MLine
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.spline import Spline
from ezdxf.math import OCS, Vec3

from trussio.drawing.annotations import read_attribute, read_leader, read_multileader, read_paragraph, read_text
from trussio.drawing.content import Content, Damaged, Names, Sign, Spotted, origin_of, spots
from trussio.drawing.curves import bulge_arc, conic_points
from trussio.drawing.dimensions import read_dimension
from trussio.drawing.references import read_reference
from trussio.drawing.signature import LOADER_FAULTS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ezdxf.entities.dxfentity import DXFEntity
    from numpy.typing import NDArray

    from trussio.drawing.content import Origin

Attributes = Mapping[str, Any]
Reader = Callable[["DXFEntity", Attributes, Content, Names], "str | None"]
"""Reads one entity; gives the reason where it is set aside."""

DEGENERATE: Final = "no extent"
SURFACE: Final = "surface or solid"
PICTURE: Final = "picture or mask"
_ASIDE: Final = {
    **dict.fromkeys(("HATCH", "MPOLYGON"), "hatch"),
    **dict.fromkeys(("IMAGE", "WIPEOUT", "OLEFRAME", "OLE2FRAME"), PICTURE),
    **dict.fromkeys(("PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY", "PDFREFERENCE"), PICTURE),
    **dict.fromkeys(("3DFACE", "SOLID", "TRACE", "MESH", "REGION", "3DSOLID", "BODY", "SURFACE"), SURFACE),
    **dict.fromkeys(("EXTRUDEDSURFACE", "LOFTEDSURFACE", "REVOLVEDSURFACE", "SWEPTSURFACE", "HELIX"), SURFACE),
    **dict.fromkeys(("RAY", "XLINE"), "endless line"),
    **dict.fromkeys(("VIEWPORT", "LIGHT", "SUN", "CAMERA", "GEOPOSITIONMARKER"), "view"),
    "ATTDEF": "attribute definition",
    "ACAD_TABLE": "table",
    "TOLERANCE": "tolerance symbol",
    "SHAPE": "font symbol",
    "ARC_DIMENSION": "dimension along a curve",
}
CUSTOM: Final = "custom object"
SPLINE_SAMPLES: Final = (64, 2048)
"""Fewest and most points along a spline."""
FIT_POINTS: Final = 500
"""A spline through more points than this is dense enough to be taken as their polyline."""


def read_content(space: Iterable[DXFEntity], names: Names) -> Content:
    """What a block or layout draws."""
    content = Content()
    layers, linetypes, line = names.layers, names.linetypes, names.kinds["LINE"]
    for entity in space:
        attributes = vars(entity.dxf)
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


def _read_arc(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    radius, start = attributes["radius"], attributes["start_angle"]
    turn = attributes["end_angle"] - start
    if radius <= 0 or turn == 0:
        return DEGENERATE
    sweep = radians(turn % 360) or 2 * pi
    ocs, origin = ocs_of(attributes), origin_of("ARC", attributes, names)
    conic = _Conic(ocs.to_wcs(attributes["center"]), ocs.ux * radius, ocs.uy * radius)
    conic.add(content, origin, radians(start), radians(start) + sweep)
    return None


def _read_circle(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    radius, ocs = attributes["radius"], ocs_of(attributes)
    if radius <= 0:
        return DEGENERATE
    conic = _Conic(ocs.to_wcs(attributes["center"]), ocs.ux * radius, ocs.uy * radius)
    conic.add(content, origin_of("CIRCLE", attributes, names), 0.0, 2 * pi)
    return None


def _read_ellipse(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    major = Vec3(attributes["major_axis"])
    normal = Vec3(attributes.get("extrusion", (0, 0, 1))).normalize()
    minor = normal.cross(major) * attributes["ratio"]
    start, end = attributes.get("start_param", 0.0), attributes.get("end_param", 2 * pi)
    if not major.magnitude or not minor.magnitude or start == end:
        return DEGENERATE
    sweep = (end - start) % (2 * pi) or 2 * pi
    if isclose(sweep, 2 * pi, rel_tol=1e-9) or sweep < 1e-9:
        sweep = 2 * pi
    conic = _Conic(Vec3(attributes["center"]), major, minor)
    conic.add(content, origin_of("ELLIPSE", attributes, names), start, start + sweep)
    return None


class _Conic:
    """Centre and two conjugate radii, in space."""

    def __init__(self, centre: Vec3, u: Vec3, v: Vec3) -> None:
        self.centre, self.u, self.v = centre, u, v

    def add(self, content: Content, origin: Origin, t0: float, t1: float) -> None:
        """Add the arc from t0 to t1; a full turn of a circle is a mark, of an ellipse a closed outline."""
        if t1 - t0 < 2 * pi - 1e-12:
            row = content.add_row(origin, (*self._at(t0), *self._at(t1)))
            content.add_conic(row, (*self.centre.xyz, *self.u.xyz, *self.v.xyz, t0, t1))
        elif isclose(self.u.magnitude, self.v.magnitude, rel_tol=1e-9):
            sign = Sign(
                what=Spotted(circle=True), origin=origin, points=spots(self.centre), vectors=spots(self.u, self.v)
            )
            content.spots.append(sign)
        else:
            points = conic_points(*self._arrays(), 0.0, 2 * pi)
            content.add_smooth(origin, points, closed=True)

    def _at(self, t: float) -> tuple[float, float, float]:
        place: Vec3 = self.centre + self.u * cos(t) + self.v * sin(t)
        return (place.x, place.y, place.z)

    def _arrays(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        return np.array(self.centre.xyz), np.array(self.u.xyz), np.array(self.v.xyz)


def _read_lwpolyline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    if not isinstance(entity, LWPolyline):
        raise TypeError
    values: NDArray[np.float64] = entity.lwpoints.values
    flat = np.column_stack([values[:, :2], np.full(len(values), attributes.get("elevation", 0.0))])
    closed = bool(attributes.get("flags", 0) & 1)
    origin = origin_of("LWPOLYLINE", attributes, names)
    return _add_polyline(content, origin, flat, values[:, 4], closed=closed, ocs=ocs_of(attributes))


def _read_polyline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    if not isinstance(entity, Polyline):
        raise TypeError
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:
        return SURFACE
    # Flag 16 marks the control frame of an old spline fit; the curve itself follows it.
    drawn = [vars(vertex.dxf) for vertex in entity.vertices if not vars(vertex.dxf).get("flags", 0) & 16]
    flat = spots(*(vertex["location"] for vertex in drawn))
    in_space = entity.is_3d_polyline
    bulges = np.array([0.0 if in_space else vertex.get("bulge", 0.0) for vertex in drawn])
    origin, closed = origin_of("POLYLINE", attributes, names), bool(attributes.get("flags", 0) & 1)
    ocs = OCS() if in_space else ocs_of(attributes)
    return _add_polyline(content, origin, flat, bulges, closed=closed, ocs=ocs)


def _add_polyline(
    content: Content,
    origin: Origin,
    flat: NDArray[np.float64],
    bulges: NDArray[np.float64],
    *,
    closed: bool,
    ocs: OCS,
) -> str | None:
    """Add the pieces of a polyline, those without length left out."""
    if closed:
        flat, bulges = np.vstack([flat, flat[:1]]), np.append(bulges, 0.0)
    long = (np.diff(flat, axis=0) != 0).any(axis=1) if len(flat) > 1 else np.zeros(0, dtype=bool)
    if not long.any():
        return DEGENERATE
    outline = closed or bool(np.count_nonzero(long) > 2 and (flat[0] == flat[-1]).all())
    placed = [ocs.to_wcs(Vec3(point)).xyz for point in flat.tolist()] if ocs.transform else flat.tolist()
    for index in np.flatnonzero(long).tolist():
        row = content.add_row(origin, (*placed[index], *placed[index + 1]), closed=outline)
        if bulges[index]:
            content.add_conic(row, _bulged(flat[index], flat[index + 1], float(bulges[index]), ocs))
    return None


def _bulged(first: NDArray[np.float64], last: NDArray[np.float64], bulge: float, ocs: OCS) -> Sequence[float]:
    (x, y), radius, start, sweep = bulge_arc(
        (float(first[0]), float(first[1])), (float(last[0]), float(last[1])), bulge
    )
    centre = ocs.to_wcs(Vec3(x, y, float(first[2])))
    return (*centre.xyz, *(ocs.ux * radius).xyz, *(ocs.uy * radius).xyz, start, start + sweep)


def _read_spline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    if not isinstance(entity, Spline):
        raise TypeError
    points = spline_points(entity)
    if len(points) < 2 or not (np.diff(points, axis=0) != 0).any():
        return DEGENERATE
    flags = int(attributes.get("flags", 0))
    closed = bool(flags & 1) or (len(points) > 3 and bool(np.allclose(points[0], points[-1], rtol=0, atol=1e-12)))
    if closed and (points[0] != points[-1]).any():
        points = np.vstack([points, points[:1]])
    origin = origin_of("SPLINE", attributes, names)
    content.add_smooth(origin, points, closed=closed)
    return None


def spline_points(spline: Spline) -> NDArray[np.float64]:
    """Points (n, 3) along a spline, also where it has fit points alone."""
    controls, fits = spots(*spline.control_points), spots(*spline.fit_points)
    for given in (controls, fits):
        if not np.isfinite(given).all():
            return given
    if not len(controls) and len(fits) > FIT_POINTS:
        return fits
    tool = spline.construction_tool()
    least, most = SPLINE_SAMPLES
    count = min(most, max(least, 16 * (len(controls) or len(fits))))
    knots = tool.knots()
    along = np.linspace(knots[tool.order - 1], knots[-tool.order], count + 1)
    return spots(*tool.points(along.tolist()))


def _read_mline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Each element of a multiline is a chain of its own: a member drawn as its edges."""
    if not isinstance(entity, MLine):
        raise TypeError
    origin, closed = origin_of("MLINE", attributes, names), bool(attributes.get("flags", 0) & 2)
    elements = min((len(vertex.line_params) for vertex in entity.vertices), default=0)
    rows = len(content.handles)
    for element in range(elements):
        edge = spots(
            *(
                vertex.location + vertex.miter_direction * vertex.line_params[element][0]
                for vertex in entity.vertices
                if vertex.line_params[element]
            )
        )
        _add_polyline(content, origin, edge, np.zeros(len(edge)), closed=closed, ocs=OCS())
        content.chains += 1
    return DEGENERATE if len(content.handles) == rows else None


def ocs_of(attributes: Attributes) -> OCS:
    """The coordinate system of an entity, by its extrusion."""
    return OCS(attributes.get("extrusion", (0, 0, 1)))


_READERS: Final[dict[str, Reader]] = {
    "LINE": _read_line,
    "POINT": _read_point,
    "ARC": _read_arc,
    "CIRCLE": _read_circle,
    "ELLIPSE": _read_ellipse,
    "LWPOLYLINE": _read_lwpolyline,
    "POLYLINE": _read_polyline,
    "SPLINE": _read_spline,
    "MLINE": _read_mline,
    "TEXT": read_text,
    "MTEXT": read_paragraph,
    "ATTRIB": read_attribute,
    "LEADER": read_leader,
    "MULTILEADER": read_multileader,
    "MLEADER": read_multileader,
    "DIMENSION": read_dimension,
    "LARGE_RADIAL_DIMENSION": read_dimension,
    "INSERT": read_reference,
}
