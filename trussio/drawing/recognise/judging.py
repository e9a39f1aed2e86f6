"""Which connected parts of a sheet are trusses, and what the others are.

A truss has two chords that run from heel to heel without turning back, most joints on them, and some piece that
is neither level nor upright. Sizes of parts are compared with the largest truss found: a smaller one is a
detail, not a second truss.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.drawing.recognise.frame import core_of
from trussio.drawing.recognise.roles import recognised

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.recognise.frame import Frame
    from trussio.drawing.recognise.roles import Recognised

LEAST_SLENDERNESS: Final = 1.2
"""Span over height of a truss, at least."""
CHORD_SHARE: Final = 0.5
"""At least this share of its joints lies on the chords."""
BACKWARD: Final = 0.02
"""A chord may run back by this share of the span (measured shapes)."""
DETAIL: Final = 0.5
"""A part whose span is smaller than this share of the largest truss is no truss of the same sheet."""
LEAST_MEMBERS: Final = 3


@dataclass(frozen=True, kw_only=True)
class Judged:
    """Trusses, from left to right and then from top to bottom, and the parts that are none."""

    trusses: tuple[Recognised, ...]
    others: tuple[Frame, ...]


def judged(parts: Sequence[Frame]) -> Judged:
    """Every part judged."""
    trusses: list[Recognised] = []
    others: list[Frame] = []
    for frame in parts:
        truss = recognised(frame) if len(frame.sticks) >= LEAST_MEMBERS else None
        if truss is not None and is_truss(truss):
            trusses.append(truss)
        else:
            others.append(frame)
    widest = max((span_of(truss) for truss in trusses), default=0.0)
    small = [truss for truss in trusses if span_of(truss) < DETAIL * widest]
    kept = [truss for truss in trusses if span_of(truss) >= DETAIL * widest]
    kept.sort(key=lambda truss: (-round(truss.frame.box[3] / widest, 2), truss.frame.box[0]))
    return Judged(trusses=tuple(kept), others=(*others, *(truss.frame for truss in small)))


def span_of(truss: Recognised) -> float:
    """Distance between the heels, sideways."""
    places = truss.frame.places
    return places[truss.outline.right][0] - places[truss.outline.left][0]


def is_truss(truss: Recognised) -> bool:
    """Whether a part with an outline looks like a truss."""
    frame, outline = truss.frame, truss.outline
    span = span_of(truss)
    core, _ = core_of(frame.edges())
    inner = {node for edge in core for node in (edge.one, edge.other)}
    height = max(frame.places[node][1] for node in inner) - min(frame.places[node][1] for node in inner)
    on_chords = len({*outline.upper, *outline.lower})
    return (
        height > 0
        and span >= LEAST_SLENDERNESS * height
        and on_chords >= CHORD_SHARE * len(inner)
        and _forward(frame, outline.upper, span)
        and _forward(frame, outline.lower, span)
        and _leans(frame)
    )


def _forward(frame: Frame, way: Sequence[int], span: float) -> bool:
    """Whether a way runs from left to right without turning back."""
    reached = frame.places[way[0]][0]
    for node in way:
        x = frame.places[node][0]
        if x < reached - BACKWARD * span:
            return False
        reached = max(reached, x)
    return True


def _leans(frame: Frame) -> bool:
    """Whether some piece is neither level nor upright."""
    for edge in frame.edges():
        (x, y), (to_x, to_y) = frame.places[edge.one], frame.places[edge.other]
        dx, dy = abs(to_x - x), abs(to_y - y)
        if min(dx, dy) > 0.05 * max(dx, dy) or frame.sticks[edge.stick].turn:
            return True
    return False
