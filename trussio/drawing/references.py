"""Reads block references: which block, and where each copy of an array of it stands.

A reference may be nested, turned, mirrored, scaled by unequal amounts and repeated in rows and columns. Its
copies are counted before any is made.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from ezdxf.entities.insert import Insert
from ezdxf.math import Vec3

from trussio.drawing.annotations import read_attribute
from trussio.drawing.content import Content, Names, Reference, origin_of

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity

Attributes = Mapping[str, Any]

NOTHING_LEFT: Final = "block scaled to nothing"


def read_reference(entity: DXFEntity, attributes: Attributes, content: Content, names: Names) -> str | None:
    """Read an INSERT and the attributes attached to it."""
    if not isinstance(entity, Insert):
        raise TypeError
    block = str(attributes["name"])
    scale = (float(attributes.get("xscale", 1.0)), float(attributes.get("yscale", 1.0)))
    if not scale[0] or not scale[1]:
        return NOTHING_LEFT
    rows, columns = _count(attributes, "row"), _count(attributes, "column")
    placed = Vec3(attributes["insert"])
    content.references.append(
        Reference(
            block=block,
            origin=origin_of("INSERT", attributes, names),
            matrix=np.array(list(entity.matrix44()), dtype=np.float64).reshape(4, 4),
            steps=_steps(entity, attributes),
            repeats=(rows, columns),
            at=entity.ocs().to_wcs(placed).xyz,
            scale=scale,
        )
    )
    for attribute in entity.attribs:
        content.seen += 1
        reason = read_attribute(attribute, vars(attribute.dxf), content, names)
        if reason is not None:
            content.aside[reason, "ATTRIB"] += 1
    return None


def _count(attributes: Attributes, along: str) -> int:
    """Rows or columns; copies that fall on each other are one."""
    count = int(attributes.get(f"{along}_count", 1))
    return max(count, 1) if attributes.get(f"{along}_spacing", 0.0) else 1


def _steps(entity: Insert, attributes: Attributes) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The step from row to row and from column to column; scaling does not touch them, turning does."""
    turn = float(attributes.get("rotation", 0.0))
    ocs = entity.ocs()
    up = Vec3(0, float(attributes.get("row_spacing", 0.0))).rotate_deg(turn)
    right = Vec3(float(attributes.get("column_spacing", 0.0)), 0).rotate_deg(turn)
    return np.array([ocs.to_wcs(up).xyz, ocs.to_wcs(right).xyz], dtype=np.float64)
