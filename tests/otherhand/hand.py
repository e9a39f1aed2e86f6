"""How another drafter draws a plan: by axes or by outlines, with curves, layers, blocks and labels of their own.

A `Pen` holds one document; faulty or plain, what it draws of a plan has the plan as its truth.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from io import BytesIO, StringIO
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Final, Literal

from ezdxf import math as curves
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from tests.otherhand.roofs import apart

if TYPE_CHECKING:
    from random import Random

    from ezdxf.document import Drawing
    from ezdxf.layouts.base import BaseLayout

    from tests.faulty.plans import Plan, Point, Stick

Style = Literal["single", "double"]
Edge = tuple["Point", "Point"]

LAYERS: Final = (
    {"chord": "Gurte", "web": "St\u00e4be", "size": "Querschnitte", "note": "Text", "dim": "Bemassung"},
    {"chord": "CORDES", "web": "\u00c2ME", "size": "SECTIONS", "note": "NOTES", "dim": "COTES"},
    {"chord": "A-FRAM-1", "web": "A-FRAM-2", "size": "A-ANNO-TEXT", "note": "A-ANNO-NOTE", "dim": "A-ANNO-DIMS"},
    {"chord": "0", "web": "0", "size": "0", "note": "0", "dim": "0"},
    {"chord": "\u0412\u0435\u0440\u0445", "web": "\u0421\u0442\u043e\u0439\u043a\u0438", "size": "T", "note": "T",
     "dim": "D"},
    {"chord": "L1", "web": "L1", "size": "L2", "note": "L3", "dim": "L4"},
)  # fmt: skip
CURVES: Final = ("arc", "bulge", "several bulges", "spline", "control spline", "ellipse", "facets", "facet lines")
ALONG: Final = ("stick", "segment", "polyline", "old polyline")
OUTLINES: Final = (
    "trimmed",
    "rectangles",
    "rectangles by lines",
    "blocks",
    "hatched",
    "multilines",
    "to the axis",
)
UNITS: Final = ((1, 1.0), (1, 1.0), (2, 1 / 12), (4, 25.4), (6, 0.0254))
VERSIONS: Final = ("R12", "R2000", "R2004", "R2007", "R2010", "R2018")


@dataclass(kw_only=True)
class Pen:
    """One document that is being drawn; lengths are given in inches."""

    document: Drawing
    space: BaseLayout
    plan: Plan
    rng: Random
    style: Style
    factor: float
    layers: dict[str, str]
    version: str
    drawn: list[str] = field(default_factory=list)

    @property
    def modern(self) -> bool:
        """Whether the version knows more than lines, arcs and old polylines."""
        return self.version != "R12"

    def at(self, point: Point) -> Point:
        """A place in drawing units."""
        return point[0] * self.factor, point[1] * self.factor

    def attribs(self, what: str, **more: object) -> dict[str, object]:
        """Attributes of an entity on one of the layers, or on a layer of its own name."""
        return {"layer": self.layers.get(what, what), **more}

    def line(self, one: Point, other: Point, what: str = "note", **more: object) -> None:
        """A line."""
        self.space.add_line(self.at(one), self.at(other), dxfattribs=self.attribs(what, **more))

    def way(self, *points: Point, what: str = "note", close: bool = False, loose: bool = False) -> None:
        """A polyline, or lines one by one."""
        if loose:
            for one, other in pairwise((*points, points[0]) if close else points):
                self.line(one, other, what)
        elif self.modern:
            self.space.add_lwpolyline([self.at(p) for p in points], close=close, dxfattribs=self.attribs(what))
        else:
            self.space.add_polyline2d([self.at(p) for p in points], close=close, dxfattribs=self.attribs(what))

    def circle(self, at: Point, radius: float, what: str = "note") -> None:
        """A circle."""
        self.space.add_circle(self.at(at), radius * self.factor, dxfattribs=self.attribs(what))

    def text(self, says: str, at: Point, height: float = 5.0, what: str = "note", *, angle: float = 0.0,
             middle: bool = False) -> None:  # fmt: skip
        """A text from its lower left corner, or around its middle."""
        if self.modern and self.rng.random() < 0.4:
            point = 5 if middle else 7
            more = {"char_height": height * self.factor, "rotation": degrees(angle), "attachment_point": point}
            self.space.add_mtext(says, dxfattribs=self.attribs(what, insert=self.at(at), **more))
            return
        made = self.space.add_text(
            says, height=height * self.factor, rotation=degrees(angle), dxfattribs=self.attribs(what)
        )
        align = TextEntityAlignment.MIDDLE_CENTER if middle else TextEntityAlignment.LEFT
        made.set_placement(self.at(at), align=align)

    def solid(self, *points: Point, what: str = "note") -> None:
        """A filled triangle or quadrangle."""
        self.space.add_solid([self.at(p) for p in points], dxfattribs=self.attribs(what))


def pen(plan: Plan, rng: Random, style: Style, *, version: str | None = None) -> Pen:
    """A new document, its unit, layers and, where none is given, its version chosen by chance."""
    version = version or rng.choice(VERSIONS)
    unit, factor = rng.choice(UNITS) if version != "R12" else (0, 1.0)
    document = new(version)
    if version != "R12":
        document.header["$INSUNITS"] = unit
    for name, pattern in (
        ("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25]),
        ("DASHDOT", [1.0, 0.5, -0.25, 0.0, -0.25]),
        ("HIDDEN", [0.375, 0.25, -0.125]),
    ):
        document.linetypes.add(name, pattern)
    return Pen(
        document=document, space=document.modelspace(), plan=plan, rng=rng, style=style, factor=factor,
        layers=dict(rng.choice(LAYERS)), version=version,
    )  # fmt: skip


def saved(held: Pen, *, binary: bool = False) -> bytes:
    """The document as the bytes of its file."""
    if binary:
        raw = BytesIO()
        held.document.write(raw, fmt="bin")
        return raw.getvalue()
    stream = StringIO()
    held.document.write(stream)
    return stream.getvalue().encode(held.document.output_encoding, errors="dxfreplace")


def draw(held: Pen) -> None:
    """The plan, in one of the ways of the style."""
    if held.style == "single":
        _by_axes(held)
    else:
        _by_outlines(held)


def _what(stick: Stick) -> str:
    return "web" if stick.role == "web" else "chord"


def _ends(plan: Plan, stick: Stick) -> Edge:
    return plan.joints[stick.through[0]], plan.joints[stick.through[-1]]


def _by_axes(held: Pen) -> None:
    manner, curve = held.rng.choice(ALONG), held.rng.choice(CURVES)
    held.drawn += [manner, *([curve] if any(stick.circle for stick in held.plan.sticks) else [])]
    sticks = list(held.plan.sticks)
    held.rng.shuffle(sticks)
    for stick in sticks:
        spots = [held.plan.joints[joint] for joint in stick.through]
        if held.rng.random() < 0.5:
            spots.reverse()
        if stick.circle is not None:
            curved(held, spots[0], spots[-1], stick.circle, curve)
        elif manner == "segment":
            for one, other in pairwise(spots):
                held.line(one, other, _what(stick))
        elif manner == "stick":
            held.line(spots[0], spots[-1], _what(stick)) if straight(spots) else held.way(
                *spots, what=_what(stick)
            )
        else:
            held.way(*spots, what=_what(stick))


def straight(spots: list[Point]) -> bool:
    """Whether places lie on one line."""
    (x, y), (u, v) = spots[0], spots[-1]
    size = hypot(u - x, v - y)
    return all(abs((u - x) * (q - y) - (v - y) * (p - x)) / size < 0.01 for p, q in spots)


def arc_points(first: Point, last: Point, circle: tuple[float, float, float], count: int) -> list[Point]:
    """Places along the shorter arc of a circle between two of its points."""
    x, y, _ = circle
    radius = apart(first, (x, y))
    start, stop = atan2(first[1] - y, first[0] - x), atan2(last[1] - y, last[0] - x)
    turn = (stop - start + pi) % (2 * pi) - pi
    return [
        (x + radius * cos(start + turn * i / count), y + radius * sin(start + turn * i / count))
        for i in range(count + 1)
    ]


def curved(held: Pen, first: Point, last: Point, circle: tuple[float, float, float], curve: str) -> None:
    """A chord along its circle, in one of the ways to draw a curve."""
    if not held.modern and curve in {"spline", "control spline", "ellipse"}:
        curve = "facets"
    radius = apart(first, circle[:2])
    if curve == "arc":
        one, other = (first, last) if first[0] > last[0] else (last, first)
        start, end = (degrees(atan2(p[1] - circle[1], p[0] - circle[0])) for p in (one, other))
        held.space.add_arc(held.at(circle[:2]), radius * held.factor, start, end, dxfattribs=held.attribs("chord"))
    elif curve in {"bulge", "several bulges"}:
        spots = arc_points(first, last, circle, 1 if curve == "bulge" else held.rng.randint(2, 7))
        half = apart(spots[0], spots[1]) / 2
        bulge = (radius - sqrt(radius**2 - half**2)) / half * (1 if first[0] > last[0] else -1)
        rows = [(*held.at(spot), bulge) for spot in spots]
        if held.modern:
            held.space.add_lwpolyline(rows, format="xyb", dxfattribs=held.attribs("chord"))
        else:
            held.space.add_polyline2d(rows, format="xyb", dxfattribs=held.attribs("chord"))
    elif curve == "spline":
        spots = [held.at(spot) for spot in arc_points(first, last, circle, held.rng.randint(9, 21))]
        held.space.add_spline(spots, dxfattribs=held.attribs("chord"))
    elif curve == "control spline":
        spots = [held.at(spot) for spot in arc_points(first, last, circle, held.rng.randint(9, 21))]
        made = held.space.add_spline(dxfattribs=held.attribs("chord"))
        made.apply_construction_tool(curves.global_bspline_interpolation(spots))
    elif curve == "ellipse":
        one, other = (first, last) if first[0] > last[0] else (last, first)
        start, end = (atan2(p[1] - circle[1], p[0] - circle[0]) for p in (one, other))
        held.space.add_ellipse(
            held.at(circle[:2]), (radius * held.factor, 0), 1.0, start, end, dxfattribs=held.attribs("chord")
        )
    else:
        spots = arc_points(first, last, circle, held.rng.randint(16, 48))
        held.way(*spots, what="chord", loose=curve == "facet lines")


def _offset(line: Edge, by: float) -> Edge:
    (x, y), (u, v) = line
    size = hypot(u - x, v - y)
    dx, dy = -(v - y) / size * by, (u - x) / size * by
    return (x + dx, y + dy), (u + dx, v + dy)


def _by_outlines(held: Pen) -> None:
    manner, curve = held.rng.choice(OUTLINES), held.rng.choice(CURVES)
    if not held.modern and manner in {"hatched", "multilines"}:
        manner = "rectangles by lines"
    held.drawn += [manner, *([curve] if any(stick.circle for stick in held.plan.sticks) else [])]
    for stick in held.plan.sticks:
        if stick.circle is not None:
            _ring(held, stick, curve)
        elif manner == "trimmed":
            _trimmed(held, stick)
        else:
            _outline(held, stick, manner)


def _ring(held: Pen, stick: Stick, curve: str) -> None:
    assert stick.circle is not None
    x, y, radius = stick.circle
    for by in (stick.depth / 2, -stick.depth / 2):
        first, last = (
            (x + (p - x) / radius * (radius + by), y + (q - y) / radius * (radius + by))
            for p, q in _ends(held.plan, stick)
        )
        curved(held, first, last, stick.circle, curve)


def _outline(held: Pen, stick: Stick, manner: str) -> None:
    """A rectangle around the axis from joint to joint, whole, over whatever it meets."""
    for one, other in _pieces(held.plan, stick):
        size = apart(one, other)
        upper, lower = (_offset((one, other), by) for by in (stick.depth / 2, -stick.depth / 2))
        corners = (*upper, lower[1], lower[0])
        what = _what(stick)
        if manner == "blocks":
            name = f"M{len(held.document.blocks)}"
            block = held.document.blocks.new(name)
            half = stick.depth / 2
            box = [held.at(p) for p in ((0.0, -half), (size, -half), (size, half), (0.0, half))]
            for p, q in pairwise((*box, box[0])):
                block.add_line(p, q)
            turn = degrees(atan2(other[1] - one[1], other[0] - one[0]))
            held.space.add_blockref(name, held.at(one), dxfattribs=held.attribs(what, rotation=turn))
        elif manner == "multilines":
            made = held.space.add_mline(dxfattribs=held.attribs(what))
            made.set_scale_factor(stick.depth * held.factor)
            made.set_justification(1)
            made.extend([held.at(one), held.at(other)])
        elif manner == "to the axis":
            held.line(*upper, what)
            held.line(*lower, what)
        else:
            held.way(*corners, what=what, close=True, loose=manner == "rectangles by lines")
            if manner == "hatched":
                hatch = held.space.add_hatch(dxfattribs=held.attribs("note"))
                hatch.paths.add_polyline_path([held.at(p) for p in corners])


def _pieces(plan: Plan, stick: Stick) -> list[Edge]:
    spots = [plan.joints[joint] for joint in stick.through]
    return [(spots[0], spots[-1])] if straight(spots) else list(pairwise(spots))


def _trimmed(held: Pen, stick: Stick) -> None:
    """Both edges, chords mitred with each other, webs cut where they enter a chord or another web's joint."""
    for piece in _pieces(held.plan, stick):
        for by in (stick.depth / 2, -stick.depth / 2):
            edge = _offset(piece, by)
            cut = [_stop(held, stick, piece, edge, side) for side in (0, 1)]
            if held.rng.random() < 0.5:
                cut.reverse()
            held.line(cut[0], cut[1], _what(stick))


def _stop(held: Pen, stick: Stick, piece: Edge, edge: Edge, side: int) -> Point:
    """Where an edge ends: a web at the near edge of the chord that it meets, a chord at the far one."""
    joint, end, far = piece[side], edge[side], edge[1 - side]
    ahead = ((end[0] - far[0]) / apart(end, far), (end[1] - far[1]) / apart(end, far))
    hits: list[float] = []
    for host in held.plan.sticks:
        if host is stick or not host.role.endswith("chord"):
            continue
        if host.circle is not None:
            x, y, radius = host.circle
            if abs(apart(joint, (x, y)) - radius) < 0.1:
                hits += _circle_hits(far, ahead, (x, y), radius - host.depth / 2)[:1]
            continue
        for other in _pieces(held.plan, host):
            if not _on(joint, other) or (stick.role.endswith("chord") and joint not in other):
                continue
            cuts = [c for by in (host.depth / 2, -host.depth / 2) if (c := _cross(far, ahead, _offset(other, by)))]
            if cuts:
                hits.append(min(cuts) if stick.role == "web" else max(cuts))
    size = apart(end, far)
    near = [hit for hit in hits if 0.3 * size < hit < size + 3 * stick.depth]
    travel = (min(near) if stick.role == "web" else max(near)) if near else size
    return far[0] + ahead[0] * travel, far[1] + ahead[1] * travel


def _on(spot: Point, line: Edge) -> bool:
    (x, y), (u, v) = line
    size = apart(*line)
    along = ((spot[0] - x) * (u - x) + (spot[1] - y) * (v - y)) / size
    off = abs((u - x) * (spot[1] - y) - (v - y) * (spot[0] - x)) / size
    return off < 0.1 and -0.1 <= along <= size + 0.1


def _cross(far: Point, ahead: Point, line: Edge) -> float | None:
    (x, y), (u, v) = line
    cross = ahead[0] * (v - y) - ahead[1] * (u - x)
    size = apart(*line)
    if abs(cross) < 0.1 * size:
        return None
    travel = ((x - far[0]) * (v - y) - (y - far[1]) * (u - x)) / cross
    return travel if travel > 0 else None


def _circle_hits(far: Point, ahead: Point, centre: Point, radius: float) -> list[float]:
    dx, dy = far[0] - centre[0], far[1] - centre[1]
    half = dx * ahead[0] + dy * ahead[1]
    rest = half * half - (dx * dx + dy * dy - radius * radius)
    return sorted(root for root in (-half - sqrt(rest), -half + sqrt(rest)) if root > 0) if rest > 0 else []


def write_sizes(held: Pen) -> None:
    """The size of every stick: along it, or level with a leader to it."""
    forms = [
        "{p}{w}x{d}", "{p}{w} x {d}", "{p}{w}X{d}", "{p}{w} X {d} D.F.", '{p}{w}" x {d}"', "{p}{w}\u00d7{d}",
        "{p}{w} by {d}",
    ]  # fmt: skip
    form = held.rng.choice(forms if held.modern else forms[:-2])
    how = held.rng.choice(("leaders", "loose leaders", "arrows", *("sizes along",) * 5))
    how = "loose leaders" if how == "leaders" and not held.modern else how
    held.drawn.append(how)
    for stick in held.plan.sticks:
        plies, _, size = stick.size.rpartition("-")
        width, depth = size.split("x")
        says = form.format(p=f"({plies}) " if plies else "", w=width, d=depth)
        spot, angle = _label_spot(held, stick)
        if how != "sizes along":
            _leader(held, says, spot, stick, how)
            continue
        clear = 4.0 + (stick.depth / 2 if held.style == "double" else 0.0)
        if stick.role == "bottom-chord":
            clear = -clear
        at = (spot[0] - sin(angle) * clear, spot[1] + cos(angle) * clear)
        held.text(says, at, 5.0, "size", angle=angle, middle=True)


def _label_spot(held: Pen, stick: Stick) -> tuple[Point, float]:
    """A place on a stick away from its joints, and the stick's direction there."""
    number = (len(stick.through) - 1) // 2 if len(stick.through) > 3 else 0
    one, other = (held.plan.joints[joint] for joint in stick.through[number : number + 2])
    if one[0] > other[0]:
        one, other = other, one
    share = held.rng.uniform(0.4, 0.6)
    spot = (one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1]))
    angle = atan2(other[1] - one[1], other[0] - one[0])
    if stick.circle is not None:
        x, y, radius = stick.circle
        away = apart(spot, (x, y))
        spot = (x + (spot[0] - x) / away * radius, y + (spot[1] - y) / away * radius)
    return spot, angle


def _leader(held: Pen, says: str, tip: Point, stick: Stick, how: str) -> None:
    lift = 30.0 if stick.role != "bottom-chord" else -30.0
    tail = (tip[0] + 18.0, tip[1] + lift)
    if how != "leaders":
        held.line(tip, tail, "size")
        held.line(tail, (tail[0] + 8, tail[1]), "size")
        if how == "arrows":
            angle = atan2(tail[1] - tip[1], tail[0] - tip[0])
            for spread in (-0.25, 0.25):
                held.line(tip, (tip[0] + 4 * cos(angle + spread), tip[1] + 4 * sin(angle + spread)), "size")
        held.text(says, (tail[0] + 10, tail[1] - 2.5), 5.0, "size")
        return
    if held.version in {"R2007", "R2010", "R2018"} and held.rng.random() < 0.5:
        builder = held.space.add_multileader_mtext("Standard", dxfattribs=held.attribs("size"))
        builder.set_content(says, char_height=5.0 * held.factor)
        side = curves.Vec2(held.at(tip))
        from ezdxf.render.mleader import ConnectionSide

        builder.add_leader_line(ConnectionSide.left, [side])
        builder.build(insert=curves.Vec2(held.at((tail[0] + 8, tail[1]))))
        return
    held.space.add_leader([held.at(tip), held.at(tail), held.at((tail[0] + 8, tail[1]))],
                          dxfattribs=held.attribs("size"))  # fmt: skip
    held.text(says, (tail[0] + 10, tail[1] - 2.5), 5.0, "size")
