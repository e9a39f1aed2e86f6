"""Reads texts, attributes and leaders: what they say and the rectangle that they cover.

The rectangle is estimated from the letter height where the file does not state it; fonts are not looked at.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, hypot, radians, sin
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from ezdxf.entities.attrib import Attrib
from ezdxf.entities.leader import Leader
from ezdxf.entities.mleader import MultiLeader
from ezdxf.entities.mtext import MText
from ezdxf.math import OCS, Vec3

from trussio.drawing.content import DEGENERATE, Content, Lettering, Names, Origin, Pointer, Sign, origin_of, spots
from trussio.drawing.text import has_lost_bytes, line_text, paragraph_text

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]

LETTER: Final = 0.85
"""Width of a letter over its height, its space included; common practice, no source."""
LINE_SPACING: Final = 5 / 3
"""From base line to base line over the letter height, as paragraph texts are set unless they say otherwise."""
NO_TEXT: Final = "text without words"
_ALIGNED, _MIDDLE, _FIT = 3, 4, 5


def read_text(_entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a TEXT."""
    return _add_line("TEXT", attributes, content, names, tag=None)


def read_attribute(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an ATTRIB of a block reference."""
    if isinstance(entity, Attrib):
        if entity.is_invisible:
            return "invisible"
        if entity.has_embedded_mtext_entity:
            inner = entity.virtual_mtext_entity()
            given = {**attributes, **{key: value for key, value in vars(inner.dxf).items() if key != "handle"}}
            return _add_paragraph("ATTRIB", given, inner.text, content, names, tag=str(attributes.get("tag", "")))
    return _add_line("ATTRIB", attributes, content, names, tag=str(attributes.get("tag", "")))


def read_paragraph(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an MTEXT."""
    if not isinstance(entity, MText):
        raise TypeError
    return _add_paragraph("MTEXT", attributes, entity.text, content, names)


def read_leader(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a LEADER: from its arrow tip to its tail, and the text that it carries."""
    if not isinstance(entity, Leader):
        raise TypeError
    if len(entity.vertices) < 2:
        return DEGENERATE
    carries = attributes.get("annotation_handle")
    pointer = Pointer(carries=None if carries in {None, "0"} else str(carries))
    _add_pointer(content, origin_of("LEADER", attributes, names), pointer, entity.vertices[0], entity.vertices[-1])
    return None


def read_multileader(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read a MULTILEADER: its text with every arrow tip, or bare leaders where it carries none."""
    if not isinstance(entity, MultiLeader):
        raise TypeError
    context, origin = entity.context, origin_of("MULTILEADER", attributes, names)
    lines = [line.vertices for leader in context.leaders for line in leader.lines if line.vertices]
    tips = [line[0] for line in lines]
    words = context.mtext
    says = paragraph_text(words.default_content) if words is not None else ""
    if words is not None and says:
        along = Vec3(words.text_direction).normalize()
        across = Vec3(words.extrusion).normalize().cross(along)
        attachment = {2: 2, 3: 3}.get(words.alignment, 1)
        block = _Block(says, context.char_height, along, across)
        corner = block.corner(Vec3(words.insert), attachment)
        lost = has_lost_bytes(words.default_content)
        content.texts.append(block.sign(origin, Vec3(words.insert), corner, tips=tips, lost_bytes=lost))
        return None
    for line in lines:
        _add_pointer(content, origin, Pointer(carries=None), line[0], line[-1])
    return None if lines else NO_TEXT


class _Block:
    """The rectangle of a text: lines of words, a letter height, and the directions along and across."""

    def __init__(self, says: str, height: float, along: Vec3, across: Vec3, width: float = 0.0) -> None:
        lines = says.split("\n")
        self.says, self.height, self.along, self.across = says, height, along, across
        self.width = width or LETTER * height * max(len(line) for line in lines)
        self.tall = height * (1 + LINE_SPACING * (len(lines) - 1))

    def corner(self, anchor: Vec3, attachment: int) -> Vec3:
        """The lower left corner, for an anchor at one of nine points (1 top left to 9 bottom right)."""
        row, column = divmod(attachment - 1, 3)
        return anchor - self.along * (self.width * column / 2) - self.across * (self.tall * (2 - row) / 2)

    def sign(
        self,
        origin: Origin,
        anchor: Vec3,
        corner: Vec3,
        *,
        tips: list[Vec3] | None = None,
        tag: str | None = None,
        lost_bytes: bool = False,
    ) -> Sign[Lettering]:
        """The text as a sign."""
        return Sign(
            what=Lettering(says=self.says, height=self.height, tag=tag, lost_bytes=lost_bytes),
            origin=origin,
            points=spots(anchor, corner, *(tips or [])),
            vectors=spots(self.along * self.width, self.across * self.tall),
        )


def _add_line(kind: str, attributes: Attributes, content: Content, names: Names, *, tag: str | None) -> str | None:
    raw = str(attributes.get("text", ""))
    says = line_text(raw)
    if not says:
        return NO_TEXT
    ocs, height = OCS(attributes.get("extrusion", (0, 0, 1))), float(attributes.get("height", 0.0))
    anchor, angle, width, attachment = _placing(attributes)
    block = _Block(says, height, *_directions(ocs, angle), width or _stretched(says, height, attributes))
    at = ocs.to_wcs(anchor)
    origin = origin_of(kind, attributes, names)
    sign = block.sign(origin, at, block.corner(at, attachment), tag=tag, lost_bytes=has_lost_bytes(raw))
    content.texts.append(sign)
    return None


def _placing(attributes: Attributes) -> tuple[Vec3, float, float, int]:
    """Anchor in the text's own system, angle, width where two points fix it, and which of nine points it is."""
    across, up = int(attributes.get("halign", 0)), int(attributes.get("valign", 0))
    insert, second = attributes.get("insert"), attributes.get("align_point")
    anchor = Vec3(insert if insert is not None else attributes["align_point"])
    angle = radians(attributes.get("rotation", 0.0))
    if second is None or (across == 0 and up == 0):
        return anchor, angle, 0.0, 7
    second = Vec3(second)
    if across in {_ALIGNED, _FIT}:
        span = second - anchor
        return anchor, span.angle if span else angle, hypot(span.x, span.y), 7
    column = {1: 2, 2: 3, _MIDDLE: 2}.get(across, 1)
    row = 2 if across == _MIDDLE else {2: 2, 3: 1}.get(up, 3)
    return second, angle, 0.0, 3 * (row - 1) + column


def _stretched(says: str, height: float, attributes: Attributes) -> float:
    return LETTER * height * len(says) * float(attributes.get("width", 1.0))


def _add_paragraph(
    kind: str, attributes: Attributes, raw: str, content: Content, names: Names, *, tag: str | None = None
) -> str | None:
    says = paragraph_text(raw)
    if not says:
        return NO_TEXT
    normal = OCS(attributes.get("extrusion", (0, 0, 1)))
    direction = attributes.get("text_direction")
    if direction is not None:
        along = Vec3(direction).normalize()
        across = normal.uz.cross(along)
    else:
        along, across = _directions(normal, radians(attributes.get("rotation", 0.0)))
    height = float(attributes.get("char_height", attributes.get("height", 0.0)))
    block = _Block(says, height, along, across, float(attributes.get("rect_width", 0.0)))
    at = Vec3(attributes["insert"])
    corner = block.corner(at, int(attributes.get("attachment_point", 1)))
    origin = origin_of(kind, attributes, names)
    content.texts.append(block.sign(origin, at, corner, tag=tag, lost_bytes=has_lost_bytes(raw)))
    return None


def _add_pointer(content: Content, origin: Origin, pointer: Pointer, tip: Vec3, tail: Vec3) -> None:
    sign = Sign(what=pointer, origin=origin, points=spots(Vec3(tip), Vec3(tail)), vectors=np.empty((0, 3)))
    content.pointers.append(sign)


def _directions(ocs: OCS, angle: float) -> tuple[Vec3, Vec3]:
    along = ocs.ux * cos(angle) + ocs.uy * sin(angle)
    return along, ocs.uz.cross(along)
