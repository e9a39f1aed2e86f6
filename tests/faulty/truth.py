"""Truth of a faulty sheet, the table of faults, and what several faults do alike.

A fault changes a sheet, and the truth where the drawing then says something else; it returns False where the sheet
offers no place for it. `handling` is how a reader should treat it: `silent` heal, `report` heal and tell, `ask`
the surveyor (the best reading still follows the likeliest answer), `refuse`. Distances in inches.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, cos, pi, sin
from typing import TYPE_CHECKING, Final, Literal

from tests.faulty.plans import length

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from tests.faulty.plans import Plan, Point
    from tests.faulty.sheets import Entity, Sheet, Style

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
    """Entities that draw webs longer than `least`."""
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


def pick(rng: Random, rows: list[int], most: int = 4) -> list[int]:
    """A few of some rows."""
    return rng.sample(rows, min(len(rows), rng.randint(1, most)))


def node_of(truth: Truth, at: Point) -> int:
    return min(range(len(truth.joints)), key=lambda j: length(truth.joints[j], at))


def meets_many(truth: Truth, at: Point) -> bool:
    node = node_of(truth, at)
    return sum(node in seg[:2] for seg in truth.segments) >= 4


def retarget(truth: Truth, old: Point, other: Point, new: Point) -> None:
    one, far = node_of(truth, old), node_of(truth, other)
    fresh = truth.add(new)
    for row, (first, last, role, size) in enumerate(truth.segments):
        if {first, last} == {one, far}:
            truth.segments[row] = (fresh, far, role, size)


def at_heel(sheet: Sheet, row: int) -> bool:
    span = sheet.plan.span
    return any(length(p, heel) < 0.1 for p in sheet.entities[row].points for heel in ((0.0, 0.0), (span, 0.0)))


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
    there = {frozenset(segment[:2]) for segment in truth.segments}
    for one, other in ((a, c), (b, d)):
        if frozenset((one, other)) not in there:
            sheet.add("line", truth.joints[one], truth.joints[other], layer="WEBS")
            truth.segments.append((one, other, "web", size))
    truth.sized = False
    (x, y), (u, v) = truth.joints[a], truth.joints[c]
    (p, q), (r, w) = truth.joints[b], truth.joints[d]
    cross = (u - x) * (w - q) - (v - y) * (r - p)
    t = ((p - x) * (w - q) - (q - y) * (r - p)) / cross
    return (x + t * (u - x), y + t * (v - y)), a, b, c, d


def bow(sheet: Sheet) -> int | None:
    """The row of a curved chord that is still drawn in one piece."""
    return next(
        (
            row
            for row, e in enumerate(sheet.entities)
            if e.stick >= 0 and len(e.points) == 2 and e.bulge and e.what in {"arc", "polyline"}
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


def web_ways(truth: Truth, node: int) -> list[float]:
    """Directions in which webs leave a joint."""
    ways = []
    for one, other, role, _ in truth.segments:
        if role == "web" and node in {one, other}:
            far = truth.joints[other if node == one else one]
            ways.append(atan2(far[1] - truth.joints[node][1], far[0] - truth.joints[node][0]))
    return ways
