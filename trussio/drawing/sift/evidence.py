"""What a drawing says beside its lines, in base lengths: texts, marks, leaders and dimensions.

They join nothing by themselves; they tell what lines are (a bolt, a plate, a leader) and where a support or a
size belongs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, hypot, sin
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.records import Dimension, Leader, Linework, Mark, Point, Text

NEAR_HEIGHTS: Final = 2.0
"""A leader carries a text that stands no further from its tail, in text heights."""


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """Texts, marks, leaders and dimensions of one drawing, in base lengths of its plane."""

    texts: tuple[Text, ...]
    marks: tuple[Mark, ...]
    leaders: tuple[Leader, ...]
    dimensions: tuple[Dimension, ...]


def evidence_of(linework: Linework, factor: float) -> Evidence:
    """The evidence of a drawing, drawing units times `factor`; a text at the tail of a leader is carried by it."""
    texts = [
        replace(
            text,
            at=_scaled(text.at, factor),
            centre=_scaled(text.centre, factor),
            height=text.height * factor,
            width=text.width * factor,
            tips=tuple(_scaled(tip, factor) for tip in text.tips),
        )
        for text in linework.texts
    ]
    pairs = [(_scaled(leader.tip, factor), _scaled(leader.tail, factor)) for leader in linework.leaders]
    return Evidence(
        texts=led(texts, pairs),
        marks=tuple(
            replace(
                mark,
                at=_scaled(mark.at, factor),
                radius=mark.radius * factor,
                box=None if mark.box is None else _scaled_box(mark.box, factor),
                corners=tuple(_scaled(corner, factor) for corner in mark.corners),
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


def led(texts: Sequence[Text], leaders: Iterable[tuple[Point, Point]]) -> tuple[Text, ...]:
    """The texts, each with the tips of the leaders (tip, tail) whose tail ends beside it, nearest text first."""
    found = list(texts)
    for tip, tail in leaders:
        away = [(distance_to(tail, text), number) for number, text in enumerate(found)]
        near = [pair for pair in away if pair[0] <= NEAR_HEIGHTS * found[pair[1]].height]
        if near:
            number = min(near)[1]
            found[number] = replace(found[number], tips=(*found[number].tips, tip))
    return tuple(found)


def distance_to(where: Point, text: Text) -> float:
    """How far a place lies from the box of a text."""
    dx, dy = where[0] - text.centre[0], where[1] - text.centre[1]
    c, s = cos(text.angle), sin(text.angle)
    along, across = abs(dx * c + dy * s), abs(dy * c - dx * s)
    return hypot(max(along - text.width / 2, 0.0), max(across - text.height / 2, 0.0))


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
