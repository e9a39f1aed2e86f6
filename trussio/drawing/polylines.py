"""Reads polylines old and new and multilines: straight and bulged pieces of one chain each."""

from __future__ import annotations

from collections.abc import Mapping
from math import nan
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.mline import MLine
from ezdxf.entities.polyline import Polyline
from ezdxf.math import OCS

from trussio.drawing.content import DEGENERATE, SURFACE, Content, Names, origin_of, spots
from trussio.drawing.curves import bulge_arcs
from trussio.drawing.drawn_curves import ocs_of

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity
    from numpy.typing import NDArray

    from trussio.drawing.content import Origin

Attributes = Mapping[str, Any]

CONTROL_FRAME: Final = 16
"""Flag of a vertex of the frame of an old spline fit; the curve itself follows it in the same polyline."""


def read_lwpolyline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an LWPOLYLINE."""
    if not isinstance(entity, LWPolyline):
        raise TypeError
    values: NDArray[np.float64] = entity.lwpoints.values
    flat = np.column_stack([values[:, :2], np.full(len(values), attributes.get("elevation", 0.0))])
    closed = bool(attributes.get("flags", 0) & 1)
    origin = origin_of("LWPOLYLINE", attributes, names)
    return _add_polyline(content, origin, flat, values[:, 4], closed=closed, ocs=ocs_of(attributes))


def read_polyline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a POLYLINE of the old form, in the plane or in space."""
    if not isinstance(entity, Polyline):
        raise TypeError
    if entity.is_polygon_mesh or entity.is_poly_face_mesh:
        return SURFACE
    drawn = [
        vars(vertex.dxf) for vertex in entity.vertices if not vars(vertex.dxf).get("flags", 0) & CONTROL_FRAME
    ]
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
    """Add the pieces of a polyline, those without length left out.

    One with an unsound number is added as it is, to be refused with its name.
    """
    if not (np.isfinite(flat).all() and np.isfinite(bulges).all()):
        content.add_row(origin, (nan,) * 6)
        return None
    if closed:
        flat, bulges = np.vstack([flat, flat[:1]]), np.append(bulges, 0.0)
    long = (flat[1:] != flat[:-1]).any(axis=1)
    if not long.any():
        return DEGENERATE
    outline = closed or bool(np.count_nonzero(long) > 2 and (flat[0] == flat[-1]).all())
    chosen = np.flatnonzero(long)
    axes = np.array([ocs.ux.xyz, ocs.uy.xyz, ocs.uz.xyz])
    placed = flat @ axes if ocs.transform else flat
    rows = content.add_rows(origin, np.stack([placed[chosen], placed[chosen + 1]], axis=1), closed=outline)
    bent = np.flatnonzero(bulges[chosen])
    if len(bent):
        pieces = chosen[bent]
        content.add_conics(rows + bent, _bulged(flat[pieces], flat[pieces + 1], bulges[pieces], axes))
    return None


def _bulged(
    first: NDArray[np.float64], last: NDArray[np.float64], bulge: NDArray[np.float64], axes: NDArray[np.float64]
) -> NDArray[np.float64]:
    """The conics (n, 11) of bulged pieces in a plane with these axes, their ends (n, 3) in its own coordinates."""
    with np.errstate(all="ignore"):  # what overflows here is refused with the name of its polyline
        arcs = bulge_arcs(first[:, :2], last[:, :2], bulge)
        centre = np.column_stack([arcs[:, :2], first[:, 2]]) @ axes
        radius, start, sweep = arcs[:, 2, None], arcs[:, 3, None], arcs[:, 4, None]
        return np.hstack([centre, radius * axes[0], radius * axes[1], start, start + sweep])


def read_mline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
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
