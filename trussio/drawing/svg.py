"""A sheet as SVG: one self-contained picture with a title and a short reading of itself.

No script, no outer reference, generic fonts, every string escaped, fixed digits and attribute order: the same
sheet gives the same bytes. Twelve units of the picture are one module of the sheet.
"""

from __future__ import annotations

from itertools import pairwise
from math import degrees, hypot
from typing import TYPE_CHECKING, Final

from lxml import etree

from trussio.drawing.paper import corners, label_box

if TYPE_CHECKING:
    from trussio.drawing.paper import Label, Pen, PenStroke, Sheet, Vertex

NAMESPACE: Final = "http://www.w3.org/2000/svg"
UNITS_PER_MODULE: Final = 12.0
COLOURS: Final[dict[Pen, str]] = {
    "plain": "#111111",
    "faint": "#6b6b6b",
    "beneath": "#c8c8c8",
    "tension": "#542788",
    "compression": "#b35806",
    "near-zero": "#666666",
}
"""ColorBrewer PuOr ends for tension and compression: apart in print, in grey and for colour blindness."""
THIN: Final = 0.13
"""Lines up to this width (modules) keep their width however small the picture is shown."""


def render(sheet: Sheet, *, prefix: str = "figure") -> str:
    """The picture as a file's text. `prefix` begins every id, so that several pictures share a page."""
    text = etree.tostring(element(sheet, prefix=prefix), encoding="unicode", pretty_print=True)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{text}'


def element(sheet: Sheet, *, prefix: str = "figure") -> etree._Element:
    """The picture as an element that a page can take in."""
    scale = UNITS_PER_MODULE / sheet.module
    wide, high = (sheet.right - sheet.left) * scale, (sheet.top - sheet.bottom) * scale
    root = etree.fromstring(f'<svg xmlns="{NAMESPACE}"/>')
    for key, value in {
        "role": "img",
        "aria-labelledby": f"{prefix}-title {prefix}-desc",
        "width": _number(wide),
        "height": _number(high),
        "viewBox": f"0 0 {_number(wide)} {_number(high)}",
        "font-family": "sans-serif",
        "font-size": _number(UNITS_PER_MODULE),
    }.items():
        root.set(key, value)
    _child(root, "title", {"id": f"{prefix}-title"}).text = printable(sheet.title)
    _child(root, "desc", {"id": f"{prefix}-desc"}).text = printable(sheet.says)
    paper = _Paper(root, sheet.left, sheet.top, scale)
    _child(root, "rect", {"width": "100%", "height": "100%", "fill": "#ffffff"})
    named: set[str] = set()
    for stroke in sheet.strokes:
        named |= _draw(paper, stroke, prefix, named)
    for label in sheet.labels:
        _write(paper, label)
    return root


def printable(text: str) -> str:
    """A text without the characters that XML cannot hold, each replaced by U+FFFD."""
    return "".join(
        c if c in "\t\n\r" or " " <= c < "\ud800" or "\ue000" <= c <= "\ufffd" or c > "\uffff" else "\ufffd"
        for c in text
    )


def identifier(text: str) -> str:
    """A text as part of an id: letters, digits and hyphens stay, all else becomes its number in underscores."""
    return "".join(c if c.isascii() and (c.isalnum() or c == "-") else f"_{ord(c):x}_" for c in text)


class _Paper:
    """The picture under way: turns the sheet's lengths into those of the picture, y down."""

    def __init__(self, root: etree._Element, left: float, top: float, scale: float) -> None:
        self.root = root
        self.left = left
        self.top = top
        self.scale = scale

    def x(self, x: float) -> str:
        return _number((x - self.left) * self.scale)

    def y(self, y: float) -> str:
        return _number((self.top - y) * self.scale)


def _draw(paper: _Paper, stroke: PenStroke, prefix: str, named: set[str]) -> set[str]:
    """One stroke; gives back the id that it took."""
    name = f"{prefix}-{identifier(stroke.of)}"
    takes = {name} if stroke.of and name not in named else set()
    attributes = {"id": name} if takes else {}
    attributes["d"] = _path(paper, stroke)
    colour, width = COLOURS[stroke.pen], stroke.width * UNITS_PER_MODULE
    attributes |= {"fill": colour if stroke.filled else "none", "stroke": colour, "stroke-width": _number(width)}
    if stroke.pen == "compression":
        attributes["stroke-dasharray"] = f"{_number(0.95 * UNITS_PER_MODULE)} {_number(0.5 * UNITS_PER_MODULE)}"
    if stroke.width <= THIN and not stroke.filled:
        attributes["vector-effect"] = "non-scaling-stroke"
    path = _child(paper.root, "path", attributes)
    if takes and stroke.holds not in {"joint", "support", "load"}:
        _child(path, "title", {}).text = printable(stroke.of.rpartition("/")[2])
    return takes


def _path(paper: _Paper, stroke: PenStroke) -> str:
    first = stroke.vertices[0]
    parts = [f"M{paper.x(first.x)} {paper.y(first.y)}"]
    around = [*stroke.vertices, first] if stroke.closed else stroke.vertices
    parts += [_piece(paper, start, end) for start, end in pairwise(around)]
    return " ".join([*parts, "Z"] if stroke.closed else parts)


def _piece(paper: _Paper, start: Vertex, end: Vertex) -> str:
    """A straight piece or a true arc; a bulge counter-clockwise is a negative sweep where y points down."""
    place = f"{paper.x(end.x)} {paper.y(end.y)}"
    if not start.bulge:
        return f"L{place}"
    bulge = abs(start.bulge)
    radius = hypot(end.x - start.x, end.y - start.y) * (1 + bulge**2) / (4 * bulge)
    size = _number(radius * paper.scale)
    return f"A{size} {size} 0 {int(bulge > 1)} {int(start.bulge < 0)} {place}"


def _write(paper: _Paper, label: Label) -> None:
    """One label over a white edge, so that a line under it does not spoil it; a frame where it is boxed."""
    if label.boxed:
        _frame(paper, label)
    size = label.height * UNITS_PER_MODULE
    x, y = paper.x(label.x), paper.y(label.y)
    attributes = {"x": x, "y": y, "dy": _number(0.35 * size), "fill": COLOURS[label.pen]}
    if label.height != 1.0:
        attributes["font-size"] = _number(size)
    if label.bold:
        attributes["font-weight"] = "bold"
    if label.anchor == "middle":
        attributes["text-anchor"] = "middle"
    if label.angle:
        attributes["transform"] = f"rotate({_number(-degrees(label.angle))} {x} {y})"
    attributes |= {
        "stroke": "#ffffff",
        "stroke-width": _number(0.25 * size),
        "stroke-linejoin": "round",
        "paint-order": "stroke",
    }
    _child(paper.root, "text", attributes).text = printable(label.text)


def _frame(paper: _Paper, label: Label) -> None:
    """The frame around a boxed label."""
    points = corners(label_box(label, UNITS_PER_MODULE / paper.scale))
    outline = " ".join(f"{paper.x(x)},{paper.y(y)}" for x, y in points)
    attributes = {"points": outline, "fill": "#ffffff", "stroke": COLOURS["plain"], "stroke-width": "1.2"}
    _child(paper.root, "polygon", attributes)


def _child(parent: etree._Element, tag: str, attributes: dict[str, str]) -> etree._Element:
    child = etree.SubElement(parent, f"{{{NAMESPACE}}}{tag}")
    for key, value in attributes.items():
        child.set(key, value)
    return child


def _number(value: float) -> str:
    """Two decimals at most, no minus before a zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
