"""Symbols of a sheet: supports, joints and arrows.

Common practice, no source: a triangle with its apex at the joint and hatched ground holds both ways, a triangle
on rollers holds across its ground line alone, a zigzag is a spring, a bar across the joint holds its rotation.
Books differ, so a text beside each symbol says what is held, and that decides. Lengths count in modules.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin
from typing import TYPE_CHECKING, NamedTuple

from trussio.drawing.paper import Box, PenStroke, circle, path, pointer

if TYPE_CHECKING:
    from trussio.drawing.layers import Holds
    from trussio.drawing.paper import Pen
    from trussio.geometry import Point
    from trussio.model.truss import Joint, JointId, Support, Truss

FOOT = 1.5
"""Height of a support's triangle."""


@dataclass(frozen=True, kw_only=True)
class Symbol:
    """A support as drawn.

    `box` is what it covers; it reaches `reach` modules from its joint, away from the truss; `says` tells what it
    holds.
    """

    strokes: tuple[PenStroke, ...]
    box: Box
    stand: Stand
    reach: float
    says: str


class Stand(NamedTuple):
    """Where a symbol stands: its joint, the direction away from the truss, and the module."""

    x: float
    y: float
    away: Point
    module: float

    def at(self, out: float, along: float) -> Point:
        """The point `out` modules away from the truss and `along` to the left of that direction."""
        ax, ay = self.away
        return (
            self.x + self.module * (out * ax - along * ay),
            self.y + self.module * (out * ay + along * ax),
        )


def support_symbol(truss: Truss, joint: JointId, module: float) -> Symbol:
    """The symbol of a joint's support, on the side away from the truss."""
    support, place = truss.supports[joint], truss.joints[joint]
    axes = _axes(support)
    stand = Stand(place.x, place.y, _away(truss, joint, axes), module)
    lines, reach = _lines(support, axes, stand)
    of = pointer("supports", joint)
    strokes = tuple(
        PenStroke(vertices=path(points), holds="support", width=0.1, of=of) for points in lines
    ) + _rollers(support, axes, stand, of)
    return Symbol(strokes=strokes, box=_cover(stand, reach), stand=stand, reach=reach, says=held_text(support))


def held_text(support: Support) -> str:
    """What a support holds, in words: `holds x, y`, `holds y, spring x`, `holds along (0.6, 0.8)`."""
    named = [str(hold) for hold in support.holds if hold in {"x", "y"}]
    named += [f"along ({hold[0]:g}, {hold[1]:g})" for hold in support.holds if isinstance(hold, tuple)]
    named += ["rotation"] if "turn" in support.holds else []
    springs = ["rotation" if name == "turn" else str(name) for name in support.springs]
    parts = [f"holds {', '.join(named)}"] if named else []
    parts += [f"spring {', '.join(springs)}"] if springs else []
    return "; ".join(parts) or "holds nothing"


def _axes(support: Support) -> tuple[Point, ...]:
    """Unit directions in which a support holds or springs."""
    named: dict[str, Point] = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
    axes = [named[str(hold)] for hold in (*support.holds, *support.springs) if hold in named]
    sloping = [hold for hold in support.holds if isinstance(hold, tuple)]
    return (*axes, *((x / hypot(x, y), y / hypot(x, y)) for x, y in sloping))


def _away(truss: Truss, joint: JointId, axes: tuple[Point, ...]) -> Point:
    """From the joint away from the truss: below, or along the one direction held, unless all of it lies there."""
    here = truss.joints[joint]
    arms = [
        _direction(here, truss.joints[segment.last if segment.first == joint else segment.first])
        for segment in truss.segments
        if joint in {segment.first, segment.last}
    ]
    axis = axes[0] if len(axes) == 1 else (0.0, 1.0)
    below = (-axis[0], -axis[1]) if (axis[1], axis[0]) > (0.0, 0.0) else axis
    all_there = bool(arms) and all(ax * below[0] + ay * below[1] > 0.2 for ax, ay in arms)
    return (-below[0], -below[1]) if all_there else below


def _direction(start: Joint, end: Joint) -> Point:
    length = hypot(end.x - start.x, end.y - start.y) or 1.0
    return ((end.x - start.x) / length, (end.y - start.y) / length)


def _lines(support: Support, axes: tuple[Point, ...], stand: Stand) -> tuple[list[tuple[Point, ...]], float]:
    """The straight strokes of a symbol, and how far from the joint it reaches."""
    at = stand.at
    if {"x", "y", "turn"} <= set(support.holds):
        return [(at(0, -1.3), at(0, 1.3)), *_hatch(stand, 0.0)], 0.6
    if not support.holds:
        zigzag = [at(0.3 + 0.22 * step, (0.0, 0.45, 0.0, -0.45)[step % 4]) for step in range(7)]
        return [(at(0, 0), *zigzag, at(2.0, 0)), (at(2.0, -1.0), at(2.0, 1.0)), *_hatch(stand, 2.0)], 2.6
    foot = [(at(0, 0), at(FOOT, 0.85), at(FOOT, -0.85), at(0, 0))]
    ground = FOOT if len(axes) > 1 else FOOT + 0.5
    bar = [(at(0.12, -0.8), at(0.12, 0.8))] if "turn" in support.holds else []
    return [*foot, *bar, (at(ground, -1.2), at(ground, 1.2)), *_hatch(stand, ground)], ground + 0.6


def _hatch(stand: Stand, out: float) -> list[tuple[Point, ...]]:
    return [(stand.at(out, s), stand.at(out + 0.5, s - 0.4)) for s in (-0.8, -0.3, 0.2, 0.7, 1.2)]


def _rollers(support: Support, axes: tuple[Point, ...], stand: Stand, of: str) -> tuple[PenStroke, ...]:
    """Two circles under the triangle of a support that holds one direction alone."""
    if len(axes) != 1 or not support.holds:
        return ()
    return tuple(
        PenStroke(
            vertices=circle(*stand.at(FOOT + 0.25, side), 0.25 * stand.module),
            holds="support",
            width=0.1,
            closed=True,
            of=of,
        )
        for side in (-0.5, 0.5)
    )


def _cover(stand: Stand, reach: float) -> Box:
    x, y = stand.at(reach / 2, 0)
    return Box(x, y, 1.3 * stand.module, reach * stand.module / 2, atan2(stand.away[1], stand.away[0]) - pi / 2)


def arrow(
    tail: Point, head: Point, module: float, *, holds: Holds, pen: Pen = "plain", of: str = ""
) -> tuple[PenStroke, PenStroke]:
    """A line with a filled head at its end."""
    angle = atan2(head[1] - tail[1], head[0] - tail[0])
    c, s = cos(angle), sin(angle)
    long, half = 0.9 * module, 0.32 * module
    neck = (head[0] - long * c, head[1] - long * s)
    wings = ((neck[0] - half * s, neck[1] + half * c), head, (neck[0] + half * s, neck[1] - half * c))
    return (
        PenStroke(vertices=path((tail, neck)), holds=holds, pen=pen, width=0.12, of=of),
        PenStroke(vertices=path(wings), holds=holds, pen=pen, width=0.05, closed=True, filled=True, of=of),
    )


def joint_dot(joint: JointId, place: Joint, module: float) -> PenStroke:
    """A small circle at a joint."""
    return PenStroke(
        vertices=circle(place.x, place.y, 0.22 * module),
        holds="joint",
        width=0.05,
        closed=True,
        filled=True,
        of=pointer("joints", joint),
    )
