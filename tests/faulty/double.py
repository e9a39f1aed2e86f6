"""Sheets of members drawn by both edges: chords run through, webs stop at their edges."""

from __future__ import annotations

from functools import partial
from math import sqrt
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.sheets import Entity, Sheet, bulge_of, offset, write_labels

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.plans import Plan, Point, Stick


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
        bulge = -bulge_of(ends[0], ends[1], grown)
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
            ends[side] = min(cuts, key=partial(length, far))
    return ends[0], ends[1]


def _cut(plan: Plan, host: Stick, end: Point, far: Point) -> Point | None:
    """Where the line from `far` to `end` meets the nearer edge of a chord."""
    half = host.depth / 2
    size = length(far, end)
    ahead = ((end[0] - far[0]) / size, (end[1] - far[1]) / size)
    if host.circle is not None:
        x, y, radius = host.circle
        return _on_circle(far, ahead, (x, y), radius - half)
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
