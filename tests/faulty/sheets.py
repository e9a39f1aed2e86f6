"""Sheets: drawings of plans as a drafter makes them, by single lines or by both edges of every member.

A sheet is a list of entities in inches that faults may change before it is written as a DXF file; nothing in it
names what it is, except by layers.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import atan2, cos, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Literal

from tests.faulty.plans import length

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.plans import Plan, Point, Stick

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
    """A block of some entities, by their rows in the sheet, and its inserts: place, scale in x, turn, copies."""

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
    bulge = -bulge_of(first, last, stick.circle[2])
    if rng.random() < 0.5:
        return Entity(what="arc", points=(first, last), bulge=(bulge,), layer=layer, stick=number)
    return Entity(what="polyline", points=(first, last), bulge=(bulge, 0.0), layer=layer, stick=number)


def bulge_of(first: Point, last: Point, radius: float) -> float:
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
