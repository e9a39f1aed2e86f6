"""What a drawing says beside its lines, in base lengths: texts, marks, leaders and dimensions.

They join nothing by themselves; they tell what lines are (a bolt, a plate, a leader) and where a support or a
size belongs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trussio.drawing.records import Dimension, Leader, Linework, Mark, Point, Text


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """Texts, marks, leaders and dimensions of one drawing, in base lengths of its plane."""

    texts: tuple[Text, ...]
    marks: tuple[Mark, ...]
    leaders: tuple[Leader, ...]
    dimensions: tuple[Dimension, ...]


def evidence_of(linework: Linework, factor: float) -> Evidence:
    """The evidence of a drawing, drawing units times `factor`."""
    return Evidence(
        texts=tuple(
            replace(
                text,
                at=_scaled(text.at, factor),
                centre=_scaled(text.centre, factor),
                height=text.height * factor,
                width=text.width * factor,
                tips=tuple(_scaled(tip, factor) for tip in text.tips),
            )
            for text in linework.texts
        ),
        marks=tuple(
            replace(
                mark,
                at=_scaled(mark.at, factor),
                radius=mark.radius * factor,
                box=None if mark.box is None else _scaled_box(mark.box, factor),
            )
            for mark in linework.marks
        ),
        leaders=tuple(
            replace(leader, tip=_scaled(leader.tip, factor), tail=_scaled(leader.tail, factor))
            for leader in linework.leaders
        ),
        dimensions=tuple(
            replace(
                dimension,
                at=_scaled(dimension.at, factor),
                points=(_scaled(dimension.points[0], factor), _scaled(dimension.points[1], factor)),
            )
            for dimension in linework.dimensions
        ),
    )


def middle_line(text: Text) -> tuple[Point, Point, Point, Point, Point]:
    """Five points along the middle of a text, from its left to its right."""
    half = max(text.width - text.height, 0.0) / 2
    x, y = text.centre
    dx, dy = cos(text.angle) * half, sin(text.angle) * half
    return (
        (x - dx, y - dy),
        (x - dx / 2, y - dy / 2),
        (x, y),
        (x + dx / 2, y + dy / 2),
        (x + dx, y + dy),
    )


def _scaled(at: Point, factor: float) -> Point:
    return (at[0] * factor, at[1] * factor)


def _scaled_box(box: tuple[float, float, float, float], factor: float) -> tuple[float, float, float, float]:
    left, bottom, right, top = box
    return (left * factor, bottom * factor, right * factor, top * factor)
