"""What a sheet is made of: pen strokes and labels, in the truss's own lengths and in no file format.

Terms: the *module* of a sheet is the height of its ordinary letters in base lengths of the truss; widths of lines
and heights of letters count in modules, so that a sheet reads alike at any span. x right, y up, one scale for
both. A *bulge* is the tangent of a quarter of an arc's sweep, positive counter-clockwise, 0 for a straight
piece; it belongs to the piece that begins at its vertex.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, tan
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.drawing.layers import Holds
    from trussio.geometry import Arc, Point

Pen = Literal["plain", "faint", "beneath", "tension", "compression", "near-zero"]


class Vertex(NamedTuple):
    """A point of a stroke and the bulge of the piece that begins there."""

    x: float
    y: float
    bulge: float = 0.0


@dataclass(frozen=True, kw_only=True)
class PenStroke:
    """One unbroken stroke. `of` is the JSON Pointer or segment id of what it stands for, empty for dressing."""

    vertices: tuple[Vertex, ...]
    holds: Holds
    pen: Pen = "plain"
    width: float = 0.1
    closed: bool = False
    filled: bool = False
    of: str = ""


@dataclass(frozen=True, kw_only=True)
class Label:
    """A line of text. `x`, `y` is its middle, or the middle of its left edge where `anchor` is `start`.

    `height` counts in modules, `angle` in radians counter-clockwise; `boxed` draws a frame around it.
    """

    text: str
    x: float
    y: float
    holds: Holds
    height: float = 1.0
    angle: float = 0.0
    anchor: Literal["middle", "start"] = "middle"
    pen: Pen = "plain"
    bold: bool = False
    boxed: bool = False
    of: str = ""


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A drawing before any format. `left`, `bottom`, `right`, `top` bound all of it, in base lengths.

    `says` is the short reading of the figure; `left_out` lists the labels for which there was no room.
    """

    title: str
    says: str
    module: float
    left: float
    bottom: float
    right: float
    top: float
    strokes: tuple[PenStroke, ...]
    labels: tuple[Label, ...]
    left_out: tuple[str, ...] = ()


class Box(NamedTuple):
    """A turned rectangle: its middle, half its sides, and the angle of its long side."""

    x: float
    y: float
    half_width: float
    half_height: float
    angle: float = 0.0


_WIDE, _NARROW, _CAPITALS = frozenset("mwMWOQ@%&—…"), frozenset(" .,:;'|!iljtf()[]/-"), frozenset("CTDGHNU")


def text_width(text: str, *, bold: bool = False) -> float:
    """Width of a text in its own letter height, estimated on the wide side of the common sans-serif faces."""
    width = sum(0.4 if c in _NARROW else 0.9 if c in _WIDE else 0.76 if c in _CAPITALS else 0.64 for c in text)
    return width * 1.1 if bold else width


def label_box(label: Label, module: float) -> Box:
    """What a label covers, its frame included."""
    half = text_width(label.text, bold=label.bold) * label.height * module / 2
    margin = 0.25 * module if label.boxed else 0.0
    shift = half if label.anchor == "start" else 0.0
    return Box(
        label.x + shift * cos(label.angle),
        label.y + shift * sin(label.angle),
        half + margin,
        label.height * module / 2 + margin,
        label.angle,
    )


def corners(box: Box) -> tuple[Point, Point, Point, Point]:
    """The four corners of a box, counter-clockwise."""
    c, s = cos(box.angle), sin(box.angle)
    ux, uy = box.half_width * c, box.half_width * s
    vx, vy = -box.half_height * s, box.half_height * c
    return (
        (box.x - ux - vx, box.y - uy - vy),
        (box.x + ux - vx, box.y + uy - vy),
        (box.x + ux + vx, box.y + uy + vy),
        (box.x - ux + vx, box.y - uy + vy),
    )


def pointer(part: str, name: str) -> str:
    """The JSON Pointer of a joint, member or support."""
    return f"/{part}/{name.replace('~', '~0')}"


def path(points: Iterable[Point]) -> tuple[Vertex, ...]:
    """Straight pieces through points."""
    return tuple(Vertex(x, y) for x, y in points)


def arc_bulge(arc: Arc | None) -> float:
    """The bulge of an arc, 0 where there is none."""
    return 0.0 if arc is None else tan(arc.sweep / 4)


def circle(x: float, y: float, radius: float) -> tuple[Vertex, Vertex]:
    """A full circle as two half circles, to be closed."""
    return (Vertex(x - radius, y, 1.0), Vertex(x + radius, y, 1.0))
