"""Faults of as-built line drawings, one function each, put into sheets whose truth is known.

A fault changes a sheet, and the truth where the drawing then says something else; it returns False where the sheet
offers no place for it. `handling` is how a reader should treat it: `silent` heal, `report` heal and tell, `ask` the
surveyor (the best reading still follows the likeliest answer), `refuse`. Distances in inches.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, cos, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Final, Literal

from tests.plans import length
from tests.sheets import Entity, offset

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from tests.plans import Plan, Point
    from tests.sheets import Sheet, Style

Handling = Literal["silent", "report", "ask", "refuse"]


@dataclass(kw_only=True)
class Truth:
    """What a sheet should be read back to: joints, and segments as two joints, role, and size."""

    joints: list[Point]
    segments: list[tuple[int, int, str, str]]
    sized: bool = True

    def add(self, at: Point) -> int:
        """One more joint."""
        self.joints.append(at)
        return len(self.joints) - 1

    def split(self, one: int, other: int, at: int) -> None:
        """A joint on a segment."""
        for row, (first, last, role, size) in enumerate(self.segments):
            if {first, last} == {one, other}:
                self.segments[row] = (first, at, role, size)
                self.segments.append((at, last, role, size))
                return


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One kind of fault; `item` is its number in the list of pathologies, `fits` the styles that can have it."""

    name: str
    item: int
    handling: Handling
    apply: Callable[[Sheet, Truth, Random], bool]
    fits: tuple[Style, ...] = ("single", "double")


def truth_of(plan: Plan, *, sized: bool = True) -> Truth:
    """The truth of an unfaulted sheet."""
    return Truth(
        joints=list(plan.joints),
        segments=[(one, other, stick.role, stick.size) for one, other, stick in plan.segments],
        sized=sized,
    )


FAULTS: Final[list[Fault]] = []


def fault(
    name: str, item: int, handling: Handling, fits: tuple[Style, ...] = ("single", "double")
) -> Callable[[Callable[[Sheet, Truth, Random], bool]], Callable[[Sheet, Truth, Random], bool]]:
    """Enter a fault in the table."""

    def enter(apply: Callable[[Sheet, Truth, Random], bool]) -> Callable[[Sheet, Truth, Random], bool]:
        FAULTS.append(Fault(name=name, item=item, handling=handling, apply=apply, fits=fits))
        return apply

    return enter


SINGLE: Final[tuple[Style, ...]] = ("single",)
DOUBLE: Final[tuple[Style, ...]] = ("double",)


def webs(sheet: Sheet, least: float = 24.0) -> list[int]:
    return [
        row
        for row in sheet.rows("web", "line")
        if length(*sheet.entities[row].points) > least and sheet.entities[row].edge != 2
    ]


def shortened(entity: Entity, by: float, end: int) -> Entity:
    """A line cut short (or made longer) by so much at one end, along itself."""
    points = list(entity.points)
    other = points[1 - end]
    x, y = points[end]
    size = length(points[end], other)
    points[end] = (x + (other[0] - x) / size * by, y + (other[1] - y) / size * by)
    return replace(entity, points=tuple(points))


def pushed(entity: Entity, by: float, end: int, rng: Random) -> Entity:
    """A line with one end moved in any direction."""
    angle = rng.uniform(0, 2 * pi)
    points = list(entity.points)
    points[end] = (points[end][0] + by * cos(angle), points[end][1] + by * sin(angle))
    return replace(entity, points=tuple(points))


def _pick(rng: Random, rows: list[int], most: int = 4) -> list[int]:
    return rng.sample(rows, min(len(rows), rng.randint(1, most)))


# ---- Ends that do not meet


@fault("gaps no tape can read", 1, "silent", SINGLE)
def gaps_silent(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in _pick(rng, rows):
        sheet.entities[row] = pushed(sheet.entities[row], rng.uniform(0.0005, 0.012), rng.randint(0, 1), rng)
    return bool(rows)


@fault("small gaps", 1, "report", SINGLE)
def gaps_small(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in _pick(rng, rows):
        sheet.entities[row] = pushed(sheet.entities[row], rng.uniform(0.05, 0.4), rng.randint(0, 1), rng)
    return bool(rows)


@fault("wide gap", 1, "ask", SINGLE)
def gap_wide(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = webs(sheet, 40.0)
    for row in _pick(rng, rows, 1):
        sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(1.5, 4.0), rng.randint(0, 1))
    sheet.entities = [entity for entity in sheet.entities if entity.what != "text"]
    truth.sized = False
    return bool(rows)


@fault("end left free", 1, "report", SINGLE)
def gap_free(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 60.0) if _meets_many(truth, sheet.entities[row].points[1])]
    for row in _pick(rng, rows, 1):
        entity = sheet.entities[row]
        sheet.entities[row] = cut = shortened(entity, rng.uniform(10, 14), 1)
        retarget(truth, entity.points[1], entity.points[0], cut.points[1])
    return bool(rows)


def node_of(truth: Truth, at: Point) -> int:
    return min(range(len(truth.joints)), key=lambda j: length(truth.joints[j], at))


def _meets_many(truth: Truth, at: Point) -> bool:
    node = node_of(truth, at)
    return sum(node in seg[:2] for seg in truth.segments) >= 4


def retarget(truth: Truth, old: Point, other: Point, new: Point) -> None:
    one, far = node_of(truth, old), node_of(truth, other)
    fresh = truth.add(new)
    for row, (first, last, role, size) in enumerate(truth.segments):
        if {first, last} == {one, far}:
            truth.segments[row] = (fresh, far, role, size)


@fault("webs stop at the chord's edge", 2, "report", SINGLE)
def gap_along(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 50.0)]
    for row in _pick(rng, rows):
        entity = sheet.entities[row]
        (x, y), (u, v) = entity.points
        sine = abs(v - y) / length(entity.points[0], entity.points[1])
        if sine > 0.5:
            end = 0 if y < v else 1
            host = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
            sheet.entities[row] = shortened(entity, host.depth / 2 / sine * 0.9, end)
    return bool(rows)


@fault("small overshoots", 3, "report", SINGLE)
def overshoot(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in _pick(rng, rows):
        sheet.entities[row] = shortened(sheet.entities[row], -rng.uniform(0.05, 0.45), rng.randint(0, 1))
    return bool(rows)


@fault("rafter tail beyond the heel", 3, "ask", SINGLE)
def tail(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = [row for row in sheet.rows("top-chord", "line") if at_heel(sheet, row)]
    if not rows:
        return False
    row = rows[0]
    entity = sheet.entities[row]
    end = 0 if entity.points[0][1] < entity.points[1][1] else 1
    sheet.entities[row] = cut = shortened(entity, -rng.uniform(12, 24), end)
    stick = sheet.plan.sticks[entity.stick]
    truth.segments.append((node_of(truth, entity.points[end]), truth.add(cut.points[end]), "top-chord", stick.size))
    return True


def at_heel(sheet: Sheet, row: int) -> bool:
    span = sheet.plan.span
    return any(length(p, heel) < 0.1 for p in sheet.entities[row].points for heel in ((0.0, 0.0), (span, 0.0)))


@fault("webs miss each other on the chord", 6, "report", SINGLE)
def eccentric(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    """Of the webs that meet on the bottom chord one is shifted along it."""
    shift = rng.uniform(2.5, 5.0)
    for row in webs(sheet, 50.0):
        entity = sheet.entities[row]
        end = 0 if abs(entity.points[0][1]) < 1e-6 else 1
        foot = entity.points[end]
        node = node_of(truth, foot)
        mine = [s for s in truth.segments if node in s[:2] and s[2] == "web"]
        chords = [s for s in truth.segments if node in s[:2] and s[2] == "bottom-chord"]
        upright = abs(entity.points[0][0] - entity.points[1][0]) < 1.0
        if abs(foot[1]) > 1e-6 or len(mine) < 2 or len(chords) < 2 or upright:
            continue
        far = entity.points[1 - end]
        way = 1.0 if far[0] > foot[0] else -1.0
        new = (foot[0] + way * shift, 0.0)
        points = list(entity.points)
        points[end] = new
        sheet.entities[row] = replace(entity, points=tuple(points))
        retarget(truth, foot, far, new)
        fresh = len(truth.joints) - 1
        neighbour = next(
            (a if b == node else b)
            for a, b, *_ in chords
            if (truth.joints[a if b == node else b][0] - foot[0]) * way > 0
        )
        truth.split(node, neighbour, fresh)
        return True
    return False


# ---- Lines drawn too often, or in pieces


@fault("exact duplicates", 7, "silent")
def duplicates(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row, e in enumerate(sheet.entities) if e.what in {"line", "arc"}]
    for row in _pick(rng, rows, 6):
        entity = sheet.entities[row]
        if entity.what == "line" and rng.random() < 0.5:
            entity = replace(entity, points=entity.points[::-1])
        sheet.entities.append(replace(entity, layer=rng.choice(("TRUSS", entity.layer, "0"))))
    return True


@fault("near duplicates", 8, "silent")
def near_duplicates(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in _pick(rng, rows):
        entity = sheet.entities[row]
        by = rng.uniform(0.002, 0.009)
        moved = tuple((x + by, y + by / 2) for x, y in entity.points)
        sheet.entities.append(replace(entity, points=moved))
    return bool(rows)


@fault("chord in overlapping lengths", 9, "report")
def overlapping(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [r for r in sheet.rows("bottom-chord", "line") if length(*sheet.entities[r].points) > 200]
    for row in rows:
        entity = sheet.entities[row]
        (x, y), (u, v) = entity.points
        cut, lap = rng.uniform(0.35, 0.6), rng.uniform(12, 40) / length(entity.points[0], entity.points[1])
        a = (x + (cut + lap) * (u - x), y + (cut + lap) * (v - y))
        b = (x + cut * (u - x), y + cut * (v - y))
        sheet.entities[row] = replace(entity, points=((x, y), a))
        sheet.entities.append(replace(entity, points=(b, (u, v))))
    return bool(rows)


@fault("lines drawn in pieces", 10, "silent")
def pieces(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [r for r in webs(sheet, 60.0) + sheet.rows("bottom-chord", "line")]
    for row in _pick(rng, rows):
        entity = sheet.entities[row]
        (x, y), (u, v) = entity.points
        cut = rng.uniform(0.3, 0.7)
        middle = (x + cut * (u - x), y + cut * (v - y))
        sheet.entities[row] = replace(entity, points=((x, y), middle))
        sheet.entities.append(replace(entity, points=(middle, (u, v))))
    return bool(rows)


@fault("chord drawn panel by panel", 10, "silent", SINGLE)
def panel_by_panel(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = sheet.rows("bottom-chord", "line")
    for row in rows:
        stick = sheet.plan.sticks[sheet.entities[row].stick]
        spots = [sheet.plan.joints[j] for j in stick.through]
        entity = sheet.entities[row]
        sheet.entities[row] = replace(entity, points=(spots[0], spots[1]))
        for one, other in zip(spots[1:], spots[2:], strict=False):
            ends = (one, other) if rng.random() < 0.7 else (other, one)
            sheet.entities.append(replace(entity, points=ends))
    return bool(rows)


@fault("zero-length lines", 14, "silent")
def zero_length(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for _ in range(rng.randint(1, 5)):
        at = rng.choice(truth.joints)
        sheet.add("line", at, at, layer="TRUSS")
    return True


@fault("specks at joints", 15, "silent", SINGLE)
def specks(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for _ in range(rng.randint(1, 4)):
        x, y = rng.choice(truth.joints)
        angle = rng.uniform(0, 2 * pi)
        by = rng.uniform(0.01, 0.05)
        sheet.add("line", (x, y), (x + by * cos(angle), y + by * sin(angle)), layer="TRUSS")
    return True


# ---- Crossings


def _panel(sheet: Sheet) -> tuple[int, int, int, int] | None:
    """Four joints of a panel, bottom left, bottom right, top right, top left, for a cross of braces."""
    plan = sheet.plan
    if plan.kind not in {"bowstring", "pratt", "howe", "segmental"}:
        return None
    uprights = [
        s.through
        for s in plan.sticks
        if s.role == "web" and abs(plan.joints[s.through[0]][0] - plan.joints[s.through[1]][0]) < 1e-6
    ]
    uprights.sort(key=lambda ends: plan.joints[ends[0]][0])
    middle = len(uprights) // 2
    (a, d), (b, c) = uprights[middle - 1], uprights[middle]
    return a, b, c, d


def crossed(sheet: Sheet, truth: Truth) -> tuple[Point, int, int, int, int] | None:
    panel = _panel(sheet)
    if panel is None:
        return None
    a, b, c, d = panel
    size = next(s.size for s in sheet.plan.sticks if s.role == "web")
    there = {frozenset(s[:2]) for s in truth.segments}
    for one, other in ((a, c), (b, d)):
        if frozenset((one, other)) not in there:
            sheet.add("line", truth.joints[one], truth.joints[other], layer="WEBS")
            truth.segments.append((one, other, "web", size))
    truth.sized = False
    (x, y), (u, v) = truth.joints[a], truth.joints[c]
    (p, q), (r, s) = truth.joints[b], truth.joints[d]
    cross = (u - x) * (s - q) - (v - y) * (r - p)
    t = ((p - x) * (s - q) - (q - y) * (r - p)) / cross
    return (x + t * (u - x), y + t * (v - y)), a, b, c, d


@fault("counter-braces cross", 11, "silent", SINGLE)
def crossing(sheet: Sheet, truth: Truth, _: Random) -> bool:
    return crossed(sheet, truth) is not None


@fault("crossing with a bolt", 12, "report", SINGLE)
def crossing_bolted(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    sheet.add("circle", at, radius=0.375, layer="BOLTS")
    node = truth.add(at)
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("crossing with one brace broken", 12, "ask", SINGLE)
def crossing_broken(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    for row, entity in enumerate(sheet.entities):
        if entity.what == "line" and {node_of(truth, p) for p in entity.points} == {b, d}:
            ends = entity.points
            sheet.entities[row] = replace(entity, points=(ends[0], at))
            sheet.entities.append(replace(entity, points=(at, ends[1])))
            break
    node = truth.add(at)
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("hanger below the chord", 17, "report", SINGLE)
def hanger(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    at = rng.choice(chord.through[1:-1])
    x, y = truth.joints[at]
    end = (x, y - rng.uniform(24, 48))
    sheet.add("line", (x, y), end, layer="WEBS")
    truth.segments.append((at, truth.add(end), "other", ""))
    return True


# ---- Curves


def bow(sheet: Sheet) -> int | None:
    return next(
        (
            row
            for row, e in enumerate(sheet.entities)
            if e.stick >= 0 and e.bulge and sheet.plan.sticks[e.stick].role == "top-chord"
        ),
        None,
    )


def on_arc(sheet: Sheet, row: int, count: int) -> list[Point]:
    x, y, radius = sheet.plan.sticks[sheet.entities[row].stick].circle or (0.0, 0.0, 0.0)
    first, last = sheet.entities[row].points[0], sheet.entities[row].points[-1]
    if first[0] > last[0]:
        first, last = last, first
    start, stop = atan2(first[1] - y, first[0] - x), atan2(last[1] - y, last[0] - x)
    return [
        (
            x + radius * cos(start + (stop - start) * i / count),
            y + radius * sin(start + (stop - start) * i / count),
        )
        for i in range(count + 1)
    ]


@fault("chord in several bulges", 20, "silent", SINGLE)
def bulges(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    count = rng.randint(3, 9)
    points = on_arc(sheet, row, count)
    entity = sheet.entities[row]
    circle = sheet.plan.sticks[entity.stick].circle
    assert circle is not None
    half = length(points[0], points[1]) / 2
    bulge = -(circle[2] - sqrt(circle[2] ** 2 - half**2)) / half
    sheet.put(row, what="polyline", points=tuple(points), bulge=(bulge,) * count + (0.0,))
    return True


@fault("chord in several arcs", 20, "silent", SINGLE)
def arcs(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None or not bulges(sheet, truth, rng):
        return False
    entity = sheet.entities.pop(row)
    for one, other in zip(entity.points, entity.points[1:], strict=False):
        sheet.entities.append(replace(entity, what="arc", points=(one, other), bulge=entity.bulge[:1]))
    return True


@fault("chord as a polyline of facets", 21, "report", SINGLE)
def facets(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    points = on_arc(sheet, row, rng.randint(20, 60))
    sheet.put(row, what="polyline", points=tuple(points), bulge=())
    return True


@fault("chord as lines of facets", 21, "report", SINGLE)
def facet_lines(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None or not facets(sheet, truth, rng):
        return False
    entity = sheet.entities.pop(row)
    for one, other in zip(entity.points, entity.points[1:], strict=False):
        sheet.entities.append(replace(entity, what="line", points=(one, other)))
    return True


@fault("chord as a spline", 22, "report", SINGLE)
def spline(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    sheet.put(row, what="spline", points=tuple(on_arc(sheet, row, rng.randint(8, 14))), bulge=())
    return True


@fault("chord straight between panel points", 13, "report", SINGLE)
def straight_between(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    entity = sheet.entities[row]
    spots = [truth.joints[j] for j in sheet.plan.sticks[entity.stick].through]
    if rng.random() < 0.5:
        sheet.put(row, what="polyline", points=tuple(spots), bulge=())
        return True
    sheet.entities.pop(row)
    for one, other in zip(spots, spots[1:], strict=False):
        sheet.entities.append(replace(entity, what="line", points=(one, other), bulge=()))
    return True


# ---- Things that are not structure


@fault("border and title block", 38, "silent")
def border(sheet: Sheet, _: Truth, rng: Random) -> bool:
    span = sheet.plan.span
    left, right, low, high = -120.0, span + 140.0, -200.0, max(y for _, y in sheet.plan.joints) + 120.0
    sheet.add("polyline", (left, low), (right, low), (right, high), (left, high), closed=True, layer="BORDER")
    if rng.random() < 0.5:
        sheet.add(
            "polyline",
            (left - 12, low - 12),
            (right + 12, low - 12),
            (right + 12, high + 12),
            (left - 12, high + 12),
            closed=True,
            layer="BORDER",
        )
    block = right - 240
    for one, other in (
        ((block, low), (block, low + 90)),
        ((block, low + 90), (right, low + 90)),
        ((block, low + 60), (right, low + 60)),
        ((block, low + 30), (right, low + 30)),
        ((block + 120, low), (block + 120, low + 30)),
    ):
        sheet.add("line", one, other, layer="BORDER")
    sheet.add("text", (block + 8, low + 68), text="DEMO HALL, TRUSS 2", height=8.0, layer="TITLE")
    sheet.add("text", (block + 8, low + 38), text="SURVEYED BY A B", height=6.0, layer="TITLE")
    sheet.add("text", (block + 8, low + 8), text="SHEET 3", height=6.0, layer="TITLE")
    return True


def _feet(inches: float) -> str:
    feet, rest = divmod(round(inches), 12)
    return f"{feet}'-{rest}\""


@fault("exploded dimensions", 40, "silent")
def exploded_dimensions(sheet: Sheet, truth: Truth, _: Random) -> bool:
    low = -46.0
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    sheet.add("line", (spots[0][0] - 4, low), (spots[-1][0] + 4, low), layer="DIM")
    clear = 6.0 if sheet.style == "double" else 0.0
    for x, _y in spots:
        sheet.add("line", (x, -2.5 - clear), (x, low - 4), layer="DIM")
        sheet.add("line", (x - 2.5, low - 2.5), (x + 2.5, low + 2.5), layer="DIM")
    for (x, _y), (u, _v) in zip(spots, spots[1:], strict=False):
        says = _feet(u - x)
        sheet.add("text", ((x + u) / 2 - 12, low + 2), text=says, height=5.0, layer="DIM")
    return True


@fault("leaders with arrow strokes", 41, "silent", SINGLE)
def leaders(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    segment = rng.choice([s for s in truth.segments if s[2] == "top-chord"])
    (x, y), (u, v) = truth.joints[segment[0]], truth.joints[segment[1]]
    tip = ((x + 0.4 * (u - x)), (y + 0.4 * (v - y)))
    if sheet.plan.kind in {"bowstring"}:
        stick = next(s for s in sheet.plan.sticks if s.circle)
        cx, cy, radius = stick.circle or (0, 0, 0)
        turn = atan2(tip[1] - cy, tip[0] - cx)
        tip = (cx + radius * cos(turn), cy + radius * sin(turn))
    tail = (tip[0] + 30, tip[1] + 40)
    sheet.add("line", tail, tip, layer="NOTES")
    for spread in (-0.3, 0.3):
        angle = atan2(tail[1] - tip[1], tail[0] - tip[0]) + spread
        sheet.add("line", tip, (tip[0] + 5 * cos(angle), tip[1] + 5 * sin(angle)), layer="NOTES")
    sheet.add("text", (tail[0] + 3, tail[1] - 2), text="CHECK DECAY", height=5.0, layer="NOTES")
    return True


@fault("bolts at joints", 42, "silent")
def bolts(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for x, y in truth.joints:
        if rng.random() < 0.6:
            for step in (-3, 3):
                sheet.add("circle", (x + step, y), radius=0.375, layer="BOLTS")
    return True


@fault("splice plates around bolts", 43, "silent")
def plates(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    one, other = chord.through[1], chord.through[2]
    x = (truth.joints[one][0] + truth.joints[other][0]) / 2 + rng.uniform(-5, 5)
    high = chord.depth / 2
    corners = ((x - 18, -high), (x + 18, -high), (x + 18, high), (x - 18, high))
    sheet.add("polyline", *corners, closed=True, layer="PLATES")
    for step in (-12, -4, 4, 12):
        sheet.add("circle", (x + step, 0.0), radius=0.375, layer="BOLTS")
    return True


@fault("purlins on the chord", 44, "silent")
def purlins(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    lift = 6.0 if sheet.style == "double" else 0.0
    tops = sorted({j for s in truth.segments if s[2] == "top-chord" for j in s[:2]})
    for j in tops:
        x, y = truth.joints[j]
        corners = [(x - 1, y + lift), (x + 1, y + lift), (x + 1, y + lift + 7), (x - 1, y + lift + 7)]
        if rng.random() < 0.5:
            sheet.add("polyline", *corners, closed=True, layer="PURLINS")
        else:
            for one, other in zip(corners, corners[1:] + corners[:1], strict=True):
                sheet.add("line", one, other, layer="PURLINS")
        if rng.random() < 0.5:
            sheet.add("line", corners[0], corners[2], layer="PURLINS")
            sheet.add("line", corners[1], corners[3], layer="PURLINS")
    return True


@fault("support symbols", 45, "ask")
def supports(sheet: Sheet, _: Truth, rng: Random) -> bool:
    drop = 6.0 if sheet.style == "double" else 0.0
    for x in (0.0, sheet.plan.span):
        apex, one, other = (x, -drop), (x - 6, -drop - 10), (x + 6, -drop - 10)
        if rng.random() < 0.5:
            sheet.add("polyline", apex, one, other, closed=True, layer="SUPPORT")
        else:
            for a, b in ((apex, one), (one, other), (other, apex)):
                sheet.add("line", a, b, layer="SUPPORT")
        for step in range(5):
            sheet.add("line", (x - 8 + 4 * step, -drop - 10), (x - 11 + 4 * step, -drop - 14), layer="SUPPORT")
    return True


@fault("exploded hatch", 46, "silent")
def hatch(sheet: Sheet, _: Truth, rng: Random) -> bool:
    x, y = -60.0, -80.0
    for step in range(rng.randint(15, 40)):
        sheet.add("line", (x + 2 * step, y), (x + 2 * step + 20, y + 20), layer="HATCH")
    return True


@fault("revision cloud", 47, "silent")
def cloud(sheet: Sheet, _: Truth, rng: Random) -> bool:
    x, y = sheet.plan.span * rng.uniform(0.3, 0.6), -90.0
    ring = [
        (x, y),
        (x + 15, y),
        (x + 30, y),
        (x + 45, y),
        (x + 45, y - 15),
        (x + 30, y - 15),
        (x + 15, y - 15),
        (x, y - 15),
    ]
    sheet.add("polyline", *ring, bulge=(0.5,) * len(ring), closed=True, layer="REVISION")
    return True


@fault("break line through the chord", 47, "ask", SINGLE)
def break_line(sheet: Sheet, truth: Truth, _: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    x = truth.joints[chord.through[1]][0] * 0.6 + truth.joints[chord.through[2]][0] * 0.4
    zig = [(x, 14.0), (x, 3.0), (x - 4, 1.5), (x + 4, -1.5), (x, -3.0), (x, -14.0)]
    sheet.add("polyline", *zig, layer="BREAK")
    return True


@fault("centre lines and grid", 48, "report")
def grid(sheet: Sheet, truth: Truth, _: Random) -> bool:
    high = max(y for _, y in truth.joints) + 60
    for x in (0.0, sheet.plan.span / 2, sheet.plan.span):
        sheet.add("line", (x, -70.0), (x, high), layer="GRID", linetype="CENTER")
    return True


@fault("existing, demolished and new work", 49, "ask", SINGLE)
def status(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for row, entity in enumerate(sheet.entities):
        if entity.stick >= 0:
            sheet.put(row, layer="S-EXIST")
    rows = webs(sheet, 60.0)
    for row in _pick(rng, rows, 3):
        points = offset((sheet.entities[row].points[0], sheet.entities[row].points[1]), 9.0)
        sheet.add("line", *points, layer="S-NEW")
    return bool(rows)


@fault("lettering as strokes", 50, "report")
def lettering(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    truth.sized = False
    sheet.entities = [entity for entity in sheet.entities if entity.what != "text"]
    for row in range(2):
        for letter in range(rng.randint(8, 16)):
            x, y = 60.0 + 6 * letter, -60.0 - 12 * row
            spots = [(x + rng.uniform(0, 4), y + rng.uniform(0, 6)) for _ in range(rng.randint(3, 5))]
            for one, other in zip(spots, spots[1:], strict=False):
                sheet.add("line", one, other, layer="TEXT")
    return True


@fault("second truss on the sheet", 52, "ask")
def second(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    down = -max(y for _, y in sheet.plan.joints) - 180.0
    for entity in list(sheet.entities):
        sheet.entities.append(replace(entity, points=tuple((x, y + down) for x, y in entity.points)))
    return True


@fault("detail at a larger scale", 52, "report", SINGLE)
def detail(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    x, y = 40.0, -160.0
    for one, other in (((0, 0), (90, 0)), ((0, 0), (70, 42)), ((60, 0), (60, 36))):
        sheet.add("line", (x + one[0], y + one[1]), (x + other[0], y + other[1]), layer="DETAIL")
    sheet.add("text", (x, y - 20), text="HEEL DETAIL 1:8", height=7.0, layer="NOTES")
    return True


# ---- Units, scale, place


@fault("far from the origin", 58, "silent")
def far(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    by = (1834567.25, 612345.5)
    for row, entity in enumerate(sheet.entities):
        sheet.put(row, points=tuple((x + by[0], y + by[1]) for x, y in entity.points))
    sheet.dimensions = [
        replace(
            one,
            first=(one.first[0] + by[0], one.first[1] + by[1]),
            last=(one.last[0] + by[0], one.last[1] + by[1]),
            level=one.level + by[1],
        )
        for one in sheet.dimensions
    ]
    return True


@fault("drawn in feet", 55, "silent")
def in_feet(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits, sheet.per_inch = 2, 1 / 12
    return True


@fault("drawn in millimetres", 55, "silent")
def in_mm(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits, sheet.per_inch = 4, 25.4
    return True


@fault("no unit in the file", 53, "ask")
def unitless(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits = None
    return True


@fault("sagging bottom chord as measured", 64, "silent", SINGLE)
def sag(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    if sheet.plan.kind not in {"howe", "bowstring", "pratt", "fink", "fan", "queen-post", "king-post"}:
        return False
    row = sheet.rows("bottom-chord", "line")[0]
    stick = sheet.plan.sticks[sheet.entities[row].stick]
    span, most = sheet.plan.span, rng.uniform(0.8, 2.5)
    moved = {}
    for j in stick.through[1:-1]:
        x, y = truth.joints[j]
        drop = most * (1 - (2 * x / span - 1) ** 2) + rng.uniform(-0.1, 0.1)
        moved[j] = (x, y - drop)
    for j, at in moved.items():
        old = truth.joints[j]
        for other, entity in enumerate(sheet.entities):
            if entity.what == "line" and other != row:
                points = tuple(at if length(p, old) < 1e-6 else p for p in entity.points)
                sheet.put(other, points=points)
        truth.joints[j] = at
    spots = [truth.joints[j] for j in stick.through]
    entity = sheet.entities[row]
    sheet.put(row, what="polyline", points=tuple(spots), bulge=())
    return True


@fault("half truss with symmetry line", 68, "ask", SINGLE)
def half(sheet: Sheet, truth: Truth, _: Random) -> bool:
    plan = sheet.plan
    if plan.kind not in {"howe", "king-post", "fink", "fan"}:
        return False
    middle = plan.span / 2
    kept = []
    for entity in sheet.entities:
        if entity.what == "text":
            if entity.points[0][0] < middle - 20:
                kept.append(entity)
            continue
        points = tuple(sorted(entity.points))
        if points[0][0] >= middle - 1e-6 and points[-1][0] > middle + 1e-6:
            continue
        if points[-1][0] > middle + 1e-6:
            (x, y), (u, v) = points[0], points[-1]
            share = (middle - x) / (u - x)
            points = ((x, y), (middle, y + share * (v - y)))
        kept.append(replace(entity, points=points))
    sheet.entities = kept
    high = max(y for _, y in truth.joints)
    sheet.add("line", (middle, -40.0), (middle, high + 40), layer="CL", linetype="CENTER")
    sheet.add("text", (middle + 6, high + 30), text="SYM. ABOUT C.L.", height=5.0, layer="NOTES")
    truth.sized = False
    return True


@fault("webs on a layer switched off", 89, "ask")
def hidden_webs(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.off.add("WEBS")
    return True


@fault("everything on layer 0", 90, "silent")
def layer_zero(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    for row in range(len(sheet.entities)):
        sheet.put(row, layer="0")
    return True


# ---- Labels


@fault("sizes spelled in many ways", 92, "silent")
def spellings(sheet: Sheet, _: Truth, rng: Random) -> bool:
    for row, entity in enumerate(sheet.entities):
        if entity.what == "text" and "x" in entity.text:
            plies, _, size = entity.text.rpartition("-")
            width, depth = size.split("x")
            forms = [f"{width} X {depth}", f"{width} x {depth}", f"{width}X{depth} DF", f'{width}"x{depth}"']
            chosen = rng.choice(forms)
            sheet.put(row, text=f"({plies}) {chosen}" if plies else chosen)
    return True


@fault("label halfway between members", 94, "ask", SINGLE)
def between(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """A label across the bisector of two webs that meet."""
    node = next((n for n in range(len(truth.joints)) if len(_web_ways(truth, n)) == 2), None)
    if node is None:
        return False
    (x, y), (one, other) = truth.joints[node], _web_ways(truth, node)
    turn = (other - one) % (2 * pi)
    if not 0.3 < min(turn, 2 * pi - turn) < 1.8:
        return False
    middle = one + turn / 2 if turn < pi else one + turn / 2 + pi
    at = (x + 60 * cos(middle), y + 60 * sin(middle))
    across = (middle + pi / 2 + pi / 2) % pi - pi / 2
    width = 0.8 * 5.0 * 4
    row = next(row for row, e in enumerate(sheet.entities) if e.what == "text" and "x" in e.text)
    corner = (
        at[0] - width / 2 * cos(across) + 2.5 * sin(across),
        at[1] - width / 2 * sin(across) - 2.5 * cos(across),
    )
    sheet.entities.append(replace(sheet.entities[row], text="2x12", angle=across, points=(corner,)))
    truth.sized = False
    return True


def _web_ways(truth: Truth, node: int) -> list[float]:
    """Directions in which webs leave a joint."""
    ways = []
    for one, other, role, _ in truth.segments:
        if role == "web" and node in {one, other}:
            far = truth.joints[other if node == one else one]
            ways.append(atan2(far[1] - truth.joints[node][1], far[0] - truth.joints[node][0]))
    return ways


@fault("two sizes on one member", 98, "ask", SINGLE)
def conflicting(sheet: Sheet, truth: Truth, _: Random) -> bool:
    row = next(row for row, e in enumerate(sheet.entities) if e.what == "text" and "x" in e.text)
    entity = sheet.entities[row]
    x, y = entity.points[0]
    along = 60.0
    sheet.entities.append(
        replace(entity, text="3x14", points=((x + along * cos(entity.angle), y + along * sin(entity.angle)),))
    )
    truth.sized = False
    return True


@fault("field notes", 100, "silent")
def notes(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for says in ("VERIFY", "SPLIT", "SEE PHOTO 12"):
        x, y = rng.choice(truth.joints)
        sheet.add("text", (x + 10, y + 14), text=says, height=4.0, layer="NOTES")
    return True


# ---- Members drawn by both edges


@fault("edges with end caps", 37, "silent", DOUBLE)
def caps(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    ends: dict[int, list[Entity]] = {}
    for entity in sheet.entities:
        if entity.what == "line" and entity.stick >= 0 and sheet.plan.sticks[entity.stick].role == "web":
            ends.setdefault(entity.stick, []).append(entity)
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
def trimmed_chord(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The inner edge of the bottom chord is broken over the width of every web group."""
    rows = [r for r in sheet.rows("bottom-chord", "line")]
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
    (x, y), (u, _) = sorted(sheet.entities[inner].points)
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
    rows = webs(sheet, 40.0)
    sheet.entities.pop(rng.choice(rows))
    return True


@fault("edges of unequal length", 33, "report", DOUBLE)
def unequal(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet, 50.0)
    row = rng.choice(rows)
    sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(6, 14), rng.randint(0, 1))
    return True


@fault("tapered pair", 34, "report", DOUBLE)
def tapered(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet, 50.0)
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
