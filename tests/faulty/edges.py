"""Faults of members drawn by both their edges."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, hypot, pi, sin
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.sheets import Entity, offset
from tests.faulty.truth import (
    DOUBLE,
    Truth,
    crossed,
    fault,
    node_of,
    shortened,
    webs,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.plans import Point
    from tests.faulty.sheets import Sheet


@fault("edges with end caps", 37, "silent", DOUBLE)
def caps(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    ends: dict[int, list[Entity]] = {}
    for entity in sheet.entities:
        if entity.what == "line" and entity.stick >= 0 and sheet.plan.sticks[entity.stick].role == "web":
            ends.setdefault(entity.stick, []).append(entity)
    if any(len(pair) != 2 for pair in ends.values()):
        return False
    for number, (one, other) in ends.items():
        (a, b), (c, d) = one.points, other.points
        if length(a, c) > length(a, d):
            c, d = d, c
        for start, stop in ((a, c), (b, d)):
            sheet.add("line", start, stop, layer="WEBS", stick=number, edge=2)
    return True


@fault("webs as closed rectangles", 31, "silent", DOUBLE)
def rectangles(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    pairs: dict[int, list[int]] = {}
    for row, entity in enumerate(sheet.entities):
        if entity.what == "line" and entity.stick >= 0 and sheet.plan.sticks[entity.stick].role == "web":
            pairs.setdefault(entity.stick, []).append(row)
    gone = set()
    for rows in pairs.values():
        if len(rows) != 2:
            return False
        one, other = (sheet.entities[row] for row in rows)
        (a, b), (c, d) = one.points, other.points
        if length(a, c) > length(a, d):
            c, d = d, c
        # Cut square: both edges end where the shorter one does.
        size = length(a, b)
        along = ((b[0] - a[0]) / size, (b[1] - a[1]) / size)
        at = [(p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1] for p in (a, b, c, d)]
        low, high = max(at[0], at[2]), min(at[1], at[3])
        side = hypot(*(c[k] - a[k] - along[k] * at[2] for k in (0, 1)))
        normal = tuple((c[k] - a[k] - along[k] * at[2]) / side for k in (0, 1))
        spots = [
            (a[0] + along[0] * t + normal[0] * n, a[1] + along[1] * t + normal[1] * n)
            for t, n in ((low, 0.0), (high, 0.0), (high, side), (low, side))
        ]
        sheet.entities[rows[0]] = replace(one, what="polyline", points=tuple(spots), closed=True, bulge=())
        gone.add(rows[1])
    sheet.entities = [e for row, e in enumerate(sheet.entities) if row not in gone]
    return True


@fault("chord edges trimmed where webs enter", 29, "silent", DOUBLE)
def trimmed_chord(sheet: Sheet, _truth: Truth, _: Random) -> bool:
    """The inner edge of the bottom chord is broken over the width of every web group."""
    rows = sheet.rows("bottom-chord", "line")
    inner = max(rows, key=lambda r: sheet.entities[r].points[0][1])
    level = sheet.entities[inner].points[0][1]
    hits = sorted(
        p[0]
        for e in sheet.entities
        if e.what == "line" and e.stick >= 0 and sheet.plan.sticks[e.stick].role == "web" and e.edge != 2
        for p in e.points
        if abs(p[1] - level) < 1e-6
    )
    if len(hits) < 4:
        return False
    (x, y), (u, _same) = sorted(sheet.entities[inner].points)
    groups: list[list[float]] = []
    for hit in hits:
        if groups and hit - groups[-1][-1] < 16:
            groups[-1].append(hit)
        else:
            groups.append([hit])
    entity = sheet.entities.pop(inner)
    start = x
    for group in groups:
        if group[0] > start:
            sheet.entities.append(replace(entity, points=((start, y), (group[0], y))))
        start = group[-1]
    sheet.entities.append(replace(entity, points=((start, y), (u, y))))
    return True


@fault("edge missing", 33, "ask", DOUBLE)
def edge_missing(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 40.0) if sheet.entities[row].edge]
    if not rows:
        return False
    sheet.entities.pop(rng.choice(rows))
    return True


@fault("edges of unequal length", 33, "report", DOUBLE)
def unequal(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 50.0) if sheet.entities[row].edge]
    if not rows:
        return False
    row = rng.choice(rows)
    sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(6, 14), rng.randint(0, 1))
    return True


@fault("tapered pair", 34, "report", DOUBLE)
def tapered(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 50.0) if sheet.entities[row].edge]
    if not rows:
        return False
    row = rng.choice(rows)
    (x, y), (u, v) = sheet.entities[row].points
    turn = rng.choice((-1, 1)) * rng.uniform(1.0, 1.6) * pi / 180
    mx, my = (x + u) / 2, (y + v) / 2
    spots = tuple(
        (mx + (px - mx) * cos(turn) - (py - my) * sin(turn), my + (px - mx) * sin(turn) + (py - my) * cos(turn))
        for px, py in ((x, y), (u, v))
    )
    sheet.put(row, points=spots)
    return True


@fault("webs as single lines among edges", 36, "ask", DOUBLE)
def mixed(sheet: Sheet, truth: Truth, _: Random) -> bool:
    kept = [e for e in sheet.entities if e.stick < 0 or sheet.plan.sticks[e.stick].role != "web"]
    sheet.entities = kept
    for number, stick in enumerate(sheet.plan.sticks):
        if stick.role == "web":
            sheet.entities.append(
                Entity(
                    what="line",
                    points=(truth.joints[stick.through[0]], truth.joints[stick.through[-1]]),
                    layer="CHORDS",
                    stick=number,
                )
            )
    return True


@fault("webs of two plies", 30, "ask", DOUBLE)
def plies(sheet: Sheet, truth: Truth, _: Random) -> bool:
    sheet.entities = [e for e in sheet.entities if e.what != "text"]
    for entity in list(sheet.entities):
        if entity.what == "line" and entity.stick >= 0 and entity.edge == 1:
            stick = sheet.plan.sticks[entity.stick]
            if stick.role == "bottom-chord":
                by = -stick.depth / 2 * 0.6
                first, last = entity.points
                if first[0] > last[0]:
                    first, last = last, first
                for share in (0.45, 0.55):
                    sheet.entities.append(
                        replace(entity, points=offset((first, last), -stick.depth * share), edge=3)
                    )
                del by
    truth.sized = False
    return True


@fault("braces that cross, by edges", 32, "silent", DOUBLE)
def occluded(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The rear brace's edges break where the front brace passes."""
    found = crossed(sheet, truth)
    if found is None:
        return False
    _at, a, b, c, d = found
    kept = []
    for entity in sheet.entities:
        ends = {node_of(truth, p) for p in entity.points} if entity.what == "line" else set()
        if entity.stick < 0 and ends in ({a, c}, {b, d}):
            continue
        near = {a, c}, {b, d}
        stick = sheet.plan.sticks[entity.stick] if entity.stick >= 0 else None
        if stick is not None and {*stick.through} in near:
            continue
        kept.append(entity)
    sheet.entities = kept
    size = next(s.depth for s in sheet.plan.sticks if s.role == "web")
    front = (truth.joints[a], truth.joints[c])
    rear = (truth.joints[b], truth.joints[d])
    for by in (size / 2, -size / 2):
        one, other = _inset(offset(front, by))
        sheet.add("line", one, other, layer="WEBS")
        one, other = _inset(offset(rear, by))
        cuts = sorted(_share(one, other, offset(front, side)) for side in (size / 2, -size / 2))
        spots = [(one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1])) for t in cuts]
        sheet.add("line", one, spots[0], layer="WEBS")
        sheet.add("line", spots[1], other, layer="WEBS")
    truth.sized = False
    return True


def _inset(line: tuple[Point, Point]) -> tuple[Point, Point]:
    (x, y), (u, v) = line
    size = hypot(u - x, v - y)
    dx, dy = (u - x) / size * 8.0, (v - y) / size * 8.0
    return (x + dx, y + dy), (u - dx, v - dy)


def _share(one: Point, other: Point, line: tuple[Point, Point]) -> float:
    (x, y), (u, v) = line
    dx, dy = other[0] - one[0], other[1] - one[1]
    cross = dx * (v - y) - dy * (u - x)
    return ((x - one[0]) * (v - y) - (y - one[1]) * (u - x)) / cross


@fault("chords cut off at the heel", 29, "silent", DOUBLE)
def cut_heel(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The bottom chord ends at the lower edge of the top chord."""
    if sheet.plan.kind not in {"howe", "king-post", "queen-post", "fink", "fan"}:
        return False
    top = next(s for s in sheet.plan.sticks if s.role == "top-chord" and 0 in s.through)
    base = (truth.joints[top.through[0]], truth.joints[top.through[-1]])
    slope = atan2(base[1][1] - base[0][1], base[1][0] - base[0][0])
    shift = top.depth / 2 / sin(slope)
    span = sheet.plan.span
    for row in sheet.rows("bottom-chord", "line"):
        entity = sheet.entities[row]
        level = entity.points[0][1]
        inset = shift + level / (sin(slope) / cos(slope))
        points = tuple(sorted(entity.points))
        sheet.put(row, points=((points[0][0] + inset, level), (points[1][0] - (span - (span - inset)), level)))
    return degrees(slope) > 15


@fault("webs drawn over the chords", 29, "report", DOUBLE)
def over_chords(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    """Webs lie on the face of the chords and run to their far edges."""
    for row in [row for row in webs(sheet, 30.0) if sheet.entities[row].edge]:
        for end in (0, 1):
            sheet.entities[row] = shortened(sheet.entities[row], -5.0, end)
    return True
