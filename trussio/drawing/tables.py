"""Reads tables: the words in their cells as texts where they stand; their rules are no members.

A table keeps a picture of itself in a block; where the file lacks that, its cells are set out by the widths and
heights that it states. Cells that state neither are not placed, and told as not read.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import accumulate
from typing import TYPE_CHECKING, Any, Final

from ezdxf.entities.acad_table import AcadTableBlockContent, read_acad_table_content
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from trussio.drawing.annotations import read_paragraph, read_text
from trussio.drawing.content import Content, Names, spots

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]

TABLE: Final = "table"
MOST_CELLS: Final = 2000
LETTER_SHARE: Final = 0.5
"""Height of the letters over that of their row, where cells are set out (own judgement)."""
_ROW_HEIGHT, _COLUMN_WIDTH = 141, 142


def read_table(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str:
    """Read the words of an ACAD_TABLE; the table itself is set aside."""
    if not isinstance(entity, AcadTableBlockContent):
        raise TypeError
    inner = _pictured(entity, names) or _set_out(entity, attributes, names)
    at = spots(attributes.get("insert", (0, 0, 0)))
    for sign in inner.texts[:MOST_CELLS]:
        sign.points[:] += at
        content.texts.append(sign)
        content.seen += 1
    content.tables.append((str(attributes.get("handle") or ""), min(len(inner.texts), MOST_CELLS)))
    return TABLE


def _pictured(table: AcadTableBlockContent, names: Names) -> Content | None:
    """The texts of the block that pictures a table, None where the file holds no such block or it has none."""
    block = None if table.doc is None else table.doc.blocks.get(table.get_block_name())
    inner = Content()
    for entity in block or ():
        if isinstance(entity, MText):
            read_paragraph(entity, vars(entity.dxf), inner, names)
        elif type(entity) is Text:
            read_text(entity, vars(entity.dxf), inner, names)
    return inner if inner.texts else None


def _set_out(table: AcadTableBlockContent, attributes: Attributes, names: Names) -> Content:
    """The cells of a table as texts, row by row down from its corner."""
    tags = table.xtags.get_subclass("AcDbTable")
    heights = [float(tag.value) for tag in tags if tag.code == _ROW_HEIGHT]
    widths = [float(tag.value) for tag in tags if tag.code == _COLUMN_WIDTH]
    inner = Content()
    tops, lefts = accumulate(heights, initial=0.0), list(accumulate(widths, initial=0.0))
    for row, top, high in zip(read_acad_table_content(table), tops, heights, strict=False):
        for says, left in zip(row, lefts, strict=False):
            cell = {
                "handle": attributes.get("handle"),
                "layer": attributes.get("layer", "0"),
                "text": says,
                "insert": Vec3(left, -top - high * (1 + LETTER_SHARE) / 2),
                "height": high * LETTER_SHARE,
            }
            read_text(table, cell, inner, names)
    return inner
