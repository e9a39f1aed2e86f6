"""Reads arcs, circles, ellipses and splines. All but splines are exact."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, isclose, isfinite, nan, pi, radians, sin
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from ezdxf.entities.spline import Spline
from ezdxf.math import OCS, Vec3

from trussio.drawing.content import DEGENERATE, Content, Names, Sign, Spotted, origin_of, spots
from trussio.drawing.curves import conic_points

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity
    from numpy.typing import NDArray

    from trussio.drawing.content import Origin

Attributes = Mapping[str, Any]

SPLINE_SAMPLES: Final = (64, 2048)
"""Fewest and most points along a spline."""
FIT_POINTS: Final = 500
"""A spline through more points than this is dense enough to be taken as their polyline."""


def read_arc(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an ARC."""
    radius, start = attributes["radius"], attributes["start_angle"]
    turn = attributes["end_angle"] - start
    if radius <= 0 or turn == 0:
        return DEGENERATE
    sweep = radians(turn % 360) or 2 * pi
    ocs, origin = ocs_of(attributes), origin_of("ARC", attributes, names)
    conic = _Conic(ocs.to_wcs(attributes["center"]), ocs.ux * radius, ocs.uy * radius)
    conic.add(content, origin, radians(start), radians(start) + sweep)
    return None


def read_circle(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a CIRCLE."""
    radius, ocs = attributes["radius"], ocs_of(attributes)
    if radius <= 0:
        return DEGENERATE
    conic = _Conic(ocs.to_wcs(attributes["center"]), ocs.ux * radius, ocs.uy * radius)
    conic.add(content, origin_of("CIRCLE", attributes, names), 0.0, 2 * pi)
    return None


def read_ellipse(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an ELLIPSE, whole or in part."""
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
        """Add the arc from t0 to t1; a full turn of a circle is a mark, of an ellipse a closed outline.

        One with an unsound number is added as it is, to be refused with its name.
        """
        if not all(map(isfinite, (*self.centre.xyz, *self.u.xyz, *self.v.xyz, t0, t1))):
            content.add_row(origin, (nan,) * 6)
            return
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


def read_spline(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a SPLINE."""
    if not isinstance(entity, Spline):
        raise TypeError
    points = spline_points(entity)
    if len(points) < 2 or (points[1:] == points[:-1]).all():
        return DEGENERATE
    flags = int(attributes.get("flags", 0))
    closed = bool(flags & 1) or (len(points) > 3 and bool(np.allclose(points[0], points[-1], rtol=0, atol=1e-12)))
    if closed and (points[0] != points[-1]).any():
        points = np.vstack([points, points[:1]])
    origin = origin_of("SPLINE", attributes, names)
    content.add_smooth(origin, points, closed=closed, anchors=spots(*entity.fit_points))
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


def ocs_of(attributes: Attributes) -> OCS:
    """The coordinate system of an entity, by its extrusion."""
    return OCS(attributes.get("extrusion", (0, 0, 1)))
