"""Reads dimensions: what they say against what lies between their definition points.

A dimension draws lines, arrows and a text in a block of its own; none of that is ever taken for a member. The
measured value is computed from the points, since the stored one is often absent or stale.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, degrees, isfinite, radians, sin
from typing import TYPE_CHECKING, Any, Final

from ezdxf.entities.dimension import Dimension
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.math import OCS, Vec3

from trussio.drawing.content import Content, Measured, Names, Sign, origin_of, spots
from trussio.drawing.feet_inches import write_feet_inches
from trussio.drawing.signature import LOADER_FAULTS
from trussio.drawing.text import line_text, paragraph_text

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]
Style = Mapping[str, Any]

_KINDS: Final = ("linear", "aligned", "angular", "diameter", "radius", "angular", "ordinate")
_ARCHITECTURAL: Final = 4
_ALONG_X: Final = 64
"""Flag of an ordinate dimension that states an x."""
PLACEHOLDER: Final = "<>"


def read_dimension(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a DIMENSION."""
    if not isinstance(entity, Dimension):
        raise TypeError
    number = int(attributes.get("dimtype", 0))
    kind = "radius" if entity.dxftype() == "LARGE_RADIAL_DIMENSION" else _KINDS[number & 7]
    style = _style(entity)
    factor = float(style.get("dimlfac") or 1.0)
    first, last, between, turn = _measured(kind, number, attributes)
    length = turn if turn is not None else between.magnitude * max(factor, 0.0)
    override = str(attributes.get("text", "")) or None
    ocs = OCS(attributes.get("extrusion", (0, 0, 1)))
    middle = attributes.get("text_midpoint")
    sign = Sign(
        what=Measured(
            kind=kind,
            says=_shown(entity, override, length, style),
            override=None if override in {None, PLACEHOLDER} else override,
            factor=factor if factor > 0 else 1.0,
            degrees=turn,
        ),
        origin=origin_of("DIMENSION", attributes, names),
        points=spots(first, last, ocs.to_wcs(middle) if middle is not None else (first + last) / 2),
        vectors=spots(between),
    )
    content.dimensions.append(sign)
    return None


def _measured(kind: str, number: int, attributes: Attributes) -> tuple[Vec3, Vec3, Vec3, float | None]:
    """The two points, what lies between them as measured, and the degrees of an angle."""
    if kind in {"radius", "diameter"}:
        first, last = Vec3(attributes["defpoint"]), Vec3(attributes["defpoint4"])
        return first, last, last - first, None
    first = Vec3(attributes["defpoint2"])
    if kind == "ordinate":
        origin = Vec3(attributes["defpoint"])
        away = first - origin
        return origin, first, Vec3(away.x, 0, 0) if number & _ALONG_X else Vec3(0, away.y, 0), None
    last = Vec3(attributes["defpoint3"])
    if kind == "angular":
        base, corner = Vec3(attributes["defpoint"]), Vec3(attributes["defpoint4"])
        two_lines = number & 7 == 2
        arms = (last - first, base - corner) if two_lines else (first - corner, last - corner)
        return first, last, last - first, degrees(arms[0].angle_between(arms[1]))
    if kind == "aligned":
        return first, last, last - first, None
    angle = radians(attributes.get("angle", 0.0))
    along = OCS(attributes.get("extrusion", (0, 0, 1))).to_wcs(Vec3(cos(angle), sin(angle)))
    return first, last, along * (last - first).dot(along), None


def _style(dimension: Dimension) -> Style:
    """What a dimension's style says, its own overrides put in; empty where the file lacks the style."""
    try:
        held = dimension.override()
        return {name: held.get(name) for name in ("dimlfac", "dimlunit", "dimdec", "dimpost")}
    except LOADER_FAULTS:
        return {}


def _shown(dimension: Dimension, override: str | None, length: float, style: Style) -> str | None:
    """The text as a person sees it; None where it was suppressed or nothing tells."""
    if override is not None and not override.strip():
        return None
    drawn = _drawn_text(dimension)
    if override is None or override == PLACEHOLDER:
        return drawn or _written(length, style)
    if PLACEHOLDER not in override:
        return paragraph_text(override)
    parts = [paragraph_text(part) for part in override.split(PLACEHOLDER)]
    if drawn and all(part in drawn for part in parts):
        return drawn
    return line_text((_written(length, style) or "").join(parts))


def _drawn_text(dimension: Dimension) -> str | None:
    """The text in the dimension's own block, None where it has none."""
    block = dimension.get_geometry_block()
    for entity in block if block is not None else ():
        if isinstance(entity, MText):
            return paragraph_text(entity.text) or None
        if isinstance(entity, Text):
            return line_text(str(vars(entity.dxf).get("text", ""))) or None
    return None


def _written(length: float, style: Style) -> str:
    """A length as the style writes it: feet and inches, or a number with its decimals."""
    if not isfinite(length):
        return ""
    if int(style.get("dimlunit") or 2) == _ARCHITECTURAL:
        return write_feet_inches(length)
    number = f"{length:.{min(max(int(style.get('dimdec', 2) or 0), 0), 8)}f}"
    around = str(style.get("dimpost", "") or "")
    return around.replace(PLACEHOLDER, number) if PLACEHOLDER in around else f"{number}{around}"
