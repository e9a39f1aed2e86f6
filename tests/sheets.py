"""Sheets: drawings of plans as a drafter makes them, by single lines or by both edges of every member.

A sheet is a list of entities in inches that faults may change before it is written as a DXF file; nothing in it
names what it is, except by layers.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from io import StringIO
from math import atan2, cos, degrees, hypot, pi, sin, sqrt
from random import Random
from typing import TYPE_CHECKING, Literal

import ezdxf

from tests.plans import length

if TYPE_CHECKING:
    from ezdxf.layouts import Modelspace
    from ezdxf.layouts.base import BaseLayout

    from tests.plans import Plan, Point, Stick

Style = Literal["single", "double"]
What = Literal["line", "arc", "polyline", "circle", "point", "text", "mtext", "spline", "ellipse"]


@dataclass(frozen=True, kw_only=True)
class Entity:
    """One entity. `points` are its vertices; an arc has its two ends, `bulge` says how it bends between them.

    `stick` is the member that it draws, -1 for none; `edge` the side of it in a double-line drawing.
    """

    what: What
    points: tuple[Point, ...]
    layer: str = "TRUSS"
    linetype: str = "BYLAYER"
    bulge: tuple[float, ...] = ()
    closed: bool = False
    radius: float = 0.0
    text: str = ""
    height: float = 0.0
    angle: float = 0.0
    stick: int = -1
    edge: int = 0


@dataclass(frozen=True, kw_only=True)
class Copies:
    """A block of some entities, by their rows in the sheet, and where it is inserted: place, scale in x, turn, copies."""

    rows: frozenset[int]
    inserts: tuple[tuple[Point, float, float], ...]
    columns: int = 1
    spacing: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A dimension entity: two points, the height of its line, and a text written over the measured one."""

    first: Point
    last: Point
    level: float
    text: str = "<>"


@dataclass(kw_only=True)
class Sheet:
    """A drawing to be written: its entities, and how its file says its units."""

    plan: Plan
    style: Style
    entities: list[Entity] = field(default_factory=list)
    insunits: int | None = 1
    per_inch: float = 1.0
    version: str = "R2010"
    height: float = 5.0
    frozen: set[str] = field(default_factory=set)
    off: set[str] = field(default_factory=set)
    turned: float = 0.0
    upright_plane: bool = False
    depth_noise: float = 0.0
    blocks: list[Copies] = field(default_factory=list)
    dimensions: list[Measured] = field(default_factory=list)

    def rows(self, role: str, what: str = "") -> list[int]:
        """Entities that draw members of one role."""
        return [
            row
            for row, entity in enumerate(self.entities)
            if entity.stick >= 0
            and self.plan.sticks[entity.stick].role == role
            and (not what or entity.what == what)
        ]

    def put(self, row: int, **changed: object) -> None:
        """Change one entity."""
        self.entities[row] = replace(self.entities[row], **changed)  # type: ignore[arg-type]  # names of fields

    def add(self, what: What, *points: Point, **given: object) -> None:
        """Add an entity."""
        self.entities.append(Entity(what=what, points=points, **given))  # type: ignore[arg-type]  # names of fields


def single_lines(plan: Plan, rng: Random, *, labels: bool = True) -> Sheet:
    """Every member by its axis."""
    sheet = Sheet(plan=plan, style="single")
    for number, stick in enumerate(plan.sticks):
        sheet.entities.append(_axis(plan, stick, number, rng))
    if labels:
        write_labels(sheet, rng)
    return sheet


def _axis(plan: Plan, stick: Stick, number: int, rng: Random) -> Entity:
    first, last = plan.joints[stick.through[0]], plan.joints[stick.through[-1]]
    layer = "CHORDS" if stick.role.endswith("chord") else "WEBS"
    if stick.circle is None:
        ends = (first, last) if rng.random() < 0.5 else (last, first)
        return Entity(what="line", points=ends, layer=layer, stick=number)
    bulge = -_bulge(first, last, stick.circle[2])
    if rng.random() < 0.5:
        return Entity(what="arc", points=(first, last), bulge=(bulge,), layer=layer, stick=number)
    return Entity(what="polyline", points=(first, last), bulge=(bulge, 0.0), layer=layer, stick=number)


def _bulge(first: Point, last: Point, radius: float) -> float:
    half = length(first, last) / 2
    return (radius - sqrt(radius * radius - half * half)) / half


def offset(points: tuple[Point, Point], by: float) -> tuple[Point, Point]:
    """A line moved to its left."""
    (x, y), (u, v) = points
    size = hypot(u - x, v - y)
    dx, dy = -(v - y) / size * by, (u - x) / size * by
    return (x + dx, y + dy), (u + dx, v + dy)


def write_labels(sheet: Sheet, rng: Random) -> None:
    """A size along every member."""
    plan, height = sheet.plan, sheet.height
    for stick in plan.sticks:
        share = rng.uniform(0.38, 0.46)
        first, last = plan.joints[stick.through[0]], plan.joints[stick.through[-1]]
        if first[0] > last[0]:
            first, last = last, first
        angle = atan2(last[1] - first[1], last[0] - first[0])
        at = (first[0] + share * (last[0] - first[0]), first[1] + share * (last[1] - first[1]))
        if stick.circle is not None:
            x, y, radius = stick.circle
            turn = atan2(at[1] - y, at[0] - x)
            at, angle = (x + radius * cos(turn), y + radius * sin(turn)), turn - pi / 2
        gap = height * 0.6 + (stick.depth / 2 if sheet.style == "double" else 0.0)
        side = -gap - height if stick.role == "bottom-chord" else gap
        at = (at[0] - sin(angle) * side, at[1] + cos(angle) * side)
        sheet.add("text", at, text=stick.size, height=height, angle=angle, layer="SIZES")


def double_lines(plan: Plan, rng: Random, *, labels: bool = True, caps: bool = False) -> Sheet:
    """Every member by two edges; chords run through, webs stop at their edges."""
    sheet = Sheet(plan=plan, style="double")
    for number, stick in enumerate(plan.sticks):
        half = stick.depth / 2
        for edge in (1, -1):
            sheet.entities.append(_edge(plan, stick, number, edge * half, rng))
        if caps and stick.role == "web":
            ends = [entity.points for entity in sheet.entities[-2:]]
            _add_caps(sheet, number, ends)
    if labels:
        write_labels(sheet, rng)
    return sheet


def _add_caps(sheet: Sheet, number: int, ends: list[tuple[Point, ...]]) -> None:
    (a, b), (c, d) = ends
    if length(a, c) > length(a, d):
        c, d = d, c
    for one, other in ((a, c), (b, d)):
        sheet.add("line", one, other, layer="WEBS", stick=number, edge=2)


def _edge(plan: Plan, stick: Stick, number: int, by: float, rng: Random) -> Entity:
    first, last = plan.joints[stick.through[0]], plan.joints[stick.through[-1]]
    layer = "CHORDS" if stick.role.endswith("chord") else "WEBS"
    edge = 1 if by > 0 else -1
    if stick.circle is not None:
        x, y, radius = stick.circle
        grown = radius + by
        ends = tuple((x + (px - x) / radius * grown, y + (py - y) / radius * grown) for px, py in (first, last))
        bulge = -_bulge(ends[0], ends[1], grown)
        return Entity(what="arc", points=ends, bulge=(bulge,), layer=layer, stick=number, edge=edge)
    line = offset((first, last), by)
    if stick.role == "web":
        line = _trimmed(plan, stick, line)
    if rng.random() < 0.5:
        line = line[::-1]
    return Entity(what="line", points=line, layer=layer, stick=number, edge=edge)


def _trimmed(plan: Plan, web: Stick, line: tuple[Point, Point]) -> tuple[Point, Point]:
    """An edge of a web cut off where it enters the chord at either end."""
    ends = list(line)
    for side in (0, 1):
        joint = web.through[0 if side == 0 else -1]
        hosts = [s for s in plan.sticks if joint in s.through and s.role.endswith("chord")]
        cuts = [cut for host in hosts if (cut := _cut(plan, host, ends[side], ends[1 - side])) is not None]
        if cuts:
            far = ends[1 - side]
            ends[side] = min(cuts, key=lambda cut, far=far: length(cut, far))  # type: ignore[misc]
    return ends[0], ends[1]


def _cut(plan: Plan, host: Stick, end: Point, far: Point) -> Point | None:
    """Where the line from `far` to `end` meets the nearer edge of a chord."""
    half = host.depth / 2
    size = length(far, end)
    ahead = ((end[0] - far[0]) / size, (end[1] - far[1]) / size)
    if host.circle is not None:
        x, y, radius = host.circle
        found = _on_circle(far, ahead, (x, y), radius - half)
        return found
    base = plan.joints[host.through[0]], plan.joints[host.through[-1]]
    best: Point | None = None
    for by in (half, -half):
        one, other = offset(base, by)
        hit = _meet(far, ahead, one, other)
        if hit is not None and (best is None or length(far, hit) < length(far, best)):
            best = hit
    return best


def _on_circle(far: Point, ahead: Point, centre: Point, radius: float) -> Point | None:
    dx, dy = far[0] - centre[0], far[1] - centre[1]
    half = dx * ahead[0] + dy * ahead[1]
    rest = half * half - (dx * dx + dy * dy - radius * radius)
    if rest < 0:
        return None
    roots = [root for root in (-half - sqrt(rest), -half + sqrt(rest)) if root > 0]
    if not roots:
        return None
    travel = min(roots)
    return far[0] + ahead[0] * travel, far[1] + ahead[1] * travel


def _meet(far: Point, ahead: Point, one: Point, other: Point) -> Point | None:
    ux, uy = other[0] - one[0], other[1] - one[1]
    cross = ahead[0] * uy - ahead[1] * ux
    if abs(cross) < 1e-9:
        return None
    travel = ((one[0] - far[0]) * uy - (one[1] - far[1]) * ux) / cross
    return (far[0] + ahead[0] * travel, far[1] + ahead[1] * travel) if travel > 0 else None


def written(sheet: Sheet) -> bytes:
    """The sheet as the bytes of a DXF file."""
    document = ezdxf.new(sheet.version)
    document.header["$INSUNITS"] = sheet.insunits or 0
    for name, pattern in (("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25]), ("HIDDEN", [0.375, 0.25, -0.125])):
        document.linetypes.add(name, pattern)
    for layer in dict.fromkeys(entity.layer for entity in sheet.entities):
        if layer != "0":
            made = document.layers.add(layer)
            if layer in sheet.frozen:
                made.freeze()
            if layer in sheet.off:
                made.off()
    space = document.modelspace()
    in_blocks: set[int] = set()
    for number, copies in enumerate(sheet.blocks):
        block = document.blocks.new(f"PART{number}")
        for row in sorted(copies.rows):
            _write(block, sheet.entities[row], sheet.per_inch)
        for (x, y), scale, turn in copies.inserts:
            attribs = {"xscale": scale, "rotation": turn}
            if copies.columns > 1:
                attribs |= {"column_count": copies.columns, "column_spacing": copies.spacing * sheet.per_inch}
            space.add_blockref(f"PART{number}", (x * sheet.per_inch, y * sheet.per_inch), dxfattribs=attribs)
        in_blocks |= copies.rows
    for row, entity in enumerate(sheet.entities):
        if row not in in_blocks:
            _write(space, entity, sheet.per_inch)
    for measured in sheet.dimensions:
        _measure(space, measured, sheet)
    _place(space, sheet)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode("utf-8")


def _measure(space: Modelspace, measured: Measured, sheet: Sheet) -> None:
    factor = sheet.per_inch
    style = {"dimtxt": 5.0 * factor, "dimasz": 4.0 * factor, "dimexo": 2.5 * factor, "dimlfac": 1.0}
    space.add_linear_dim(
        base=(0.0, measured.level * factor),
        p1=(measured.first[0] * factor, measured.first[1] * factor),
        p2=(measured.last[0] * factor, measured.last[1] * factor),
        text=measured.text,
        override=style,
        dxfattribs={"layer": "DIMS"},
    ).render()


def _place(space: Modelspace, sheet: Sheet) -> None:
    """Turn the whole sheet in its plane, stand it upright, or scatter its depths."""
    rng = Random(7)
    for entity in list(space):
        if sheet.turned:
            entity.rotate_z(sheet.turned)
        if sheet.depth_noise and entity.dxftype() == "LINE":
            for name in ("start", "end"):
                spot = entity.dxf.get(name)
                entity.dxf.set(name, (spot.x, spot.y, rng.uniform(0, sheet.depth_noise) * sheet.per_inch))
        if sheet.upright_plane:
            entity.rotate_axis((1, 0, 0), pi / 2)


def _write(space: BaseLayout, entity: Entity, factor: float) -> None:
    points = [(x * factor, y * factor) for x, y in entity.points]
    attribs: dict[str, object] = {"layer": entity.layer}
    if entity.linetype != "BYLAYER":
        attribs["linetype"] = entity.linetype
    if entity.what == "line":
        space.add_line(points[0], points[1], dxfattribs=attribs)
    elif entity.what == "arc":
        _write_arc(space, points[0], points[1], entity.bulge[0], attribs)
    elif entity.what == "polyline":
        bulges = entity.bulge or (0.0,) * len(points)
        rows = [(x, y, bulge) for (x, y), bulge in zip(points, bulges, strict=True)]
        space.add_lwpolyline(rows, format="xyb", close=entity.closed, dxfattribs=attribs)
    elif entity.what == "circle":
        space.add_circle(points[0], entity.radius * factor, dxfattribs=attribs)
    elif entity.what == "point":
        space.add_point(points[0], dxfattribs=attribs)
    elif entity.what == "spline":
        space.add_spline(fit_points=points, dxfattribs=attribs).apply_construction_tool(_through(points))
    elif entity.what == "ellipse":
        centre, major = points[0], points[1]
        space.add_ellipse(
            centre,
            (major[0] - centre[0], major[1] - centre[1]),
            entity.radius,
            entity.bulge[0],
            entity.bulge[1],
            dxfattribs=attribs,
        )
    elif entity.what == "mtext":
        space.add_mtext(
            entity.text,
            dxfattribs={
                **attribs,
                "insert": points[0],
                "char_height": entity.height * factor,
                "rotation": degrees(entity.angle),
                "attachment_point": 7,
            },
        )
    elif entity.what == "text":
        space.add_text(
            entity.text,
            height=entity.height * factor,
            rotation=degrees(entity.angle),
            dxfattribs={**attribs, "insert": points[0]},
        )


def _through(points: list[Point]) -> ezdxf.math.BSpline:
    return ezdxf.math.fit_points_to_cad_cv(points)


def _write_arc(space: BaseLayout, first: Point, last: Point, bulge: float, attribs: dict[str, object]) -> None:
    centre, start, end, radius = ezdxf.math.bulge_to_arc(first, last, bulge)
    space.add_arc(centre, radius, degrees(start), degrees(end), dxfattribs=attribs)
