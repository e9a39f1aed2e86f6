"""Reads filled triangles, as solids or hatches: the usual symbol of a support. Every other fill is set aside."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final, Literal

from ezdxf.entities.boundary_paths import EdgePath, LineEdge, PolylinePath
from ezdxf.entities.hatch import Hatch
from ezdxf.math import OCS, Vec2, Vec3

from trussio.drawing.content import SURFACE, Content, Filled, Names, Sign, origin_of, spots

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]

HATCHED: Final = "hatch"


def read_solid(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a SOLID or TRACE: a triangle where its third and fourth corners are one."""
    corners = [Vec3(attributes[f"vtx{number}"]) for number in range(4) if f"vtx{number}" in attributes]
    return None if _add("solid", attributes, corners, content, names) else SURFACE


def read_hatch(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a HATCH: a triangle where one outline of three straight sides bounds it."""
    if not isinstance(entity, Hatch):
        raise TypeError
    level = Vec3(attributes.get("elevation", (0, 0, 0))).z
    corners = [Vec3(spot.x, spot.y, level) for spot in _outline(entity)]
    return None if _add("hatch", attributes, corners, content, names) else HATCHED


def _outline(hatch: Hatch) -> list[Vec2]:
    """The corners of the one straight outline of a hatch; none where it has several or any that bends."""
    if len(hatch.paths.paths) != 1:
        return []
    path = hatch.paths.paths[0]
    if isinstance(path, PolylinePath):
        return [] if path.has_bulge() else [Vec2(x, y) for x, y, _ in path.vertices]
    if not isinstance(path, EdgePath):
        return []
    sides = [edge for edge in path.edges if isinstance(edge, LineEdge)]
    return [Vec2(side.start) for side in sides] if len(sides) == len(path.edges) else []


def _add(
    kind: Literal["solid", "hatch"],
    attributes: Attributes,
    corners: Sequence[Vec3],
    content: Content,
    names: Names,
) -> bool:
    """Add a triangle; False where the corners are not those of one."""
    distinct = list(dict.fromkeys(corner.xyz for corner in corners))
    if len(distinct) != 3:
        return False
    ocs = OCS(attributes.get("extrusion", (0, 0, 1)))
    origin = origin_of(kind.upper(), attributes, names)
    places = spots(*(ocs.to_wcs(Vec3(corner)).xyz for corner in distinct))
    content.fills.append(Sign(what=Filled(kind=kind), origin=origin, points=places, vectors=spots()))
    return True
