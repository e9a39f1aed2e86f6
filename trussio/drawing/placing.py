"""Labels put where nothing is in their way, each at the first of its spots that is free.

Terms: a *spot* is a place and angle that a label may take, best first, with the foot of a leader line where it
stands away from what it names. Lines are thin boxes. A label never covers another label or a symbol. Its leader
crosses a line, and at the worst the label itself covers one, only where no other spot is left; it is left out and
named where even that fails.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise, product
from math import atan2, cos, floor, hypot, sin
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple

from trussio.drawing.paper import Box, PenStroke, corners, label_box, path

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from trussio.drawing.paper import Label
    from trussio.geometry import Point


CELL = 12.0
"""Side of the cells by which boxes are found, in modules: about two panels."""


class Spot(NamedTuple):
    """A place for the middle of a label; `foot` is where its leader line begins, None for no leader."""

    x: float
    y: float
    angle: float = 0.0
    foot: Point | None = None


@dataclass(frozen=True, kw_only=True)
class Wish:
    """A label with the spots that it may take, best first; it keeps `gap` modules from all else."""

    label: Label
    spots: tuple[Spot, ...]
    gap: float = 0.15


@dataclass(frozen=True, kw_only=True)
class Placed:
    """Labels in the order of the wishes, their leader lines, and the wishes that found no room."""

    labels: tuple[Label, ...]
    leaders: tuple[PenStroke, ...]
    left_out: tuple[Label, ...]


class _Bounded(NamedTuple):
    """A box with the upright rectangle around it, by which most comparisons end."""

    box: Box
    left: float
    bottom: float
    right: float
    top: float


class _Ground:
    """Boxes already there, found again by the square cells that they lie in."""

    def __init__(self, boxes: Iterable[Box], cell: float) -> None:
        self.cell = cell
        self.cells: dict[tuple[int, int], list[_Bounded]] = {}
        for box in boxes:
            self.add(box)

    def add(self, box: Box) -> None:
        bounded = _bounded(box)
        for key in self._keys(bounded):
            self.cells.setdefault(key, []).append(bounded)

    def meets(self, box: Box) -> bool:
        """Whether any of the boxes overlaps this one."""
        own = _bounded(box)
        return any(
            own.left < other.right
            and other.left < own.right
            and own.bottom < other.top
            and other.bottom < own.top
            and overlap(box, other.box)
            for key in self._keys(own)
            for other in self.cells.get(key, ())
        )

    def _keys(self, bounded: _Bounded) -> Iterator[tuple[int, int]]:
        columns = range(floor(bounded.left / self.cell), floor(bounded.right / self.cell) + 1)
        rows = range(floor(bounded.bottom / self.cell), floor(bounded.top / self.cell) + 1)
        return product(columns, rows)


def place(wishes: Iterable[Wish], *, boxes: Iterable[Box], lines: Iterable[Box], module: float) -> Placed:
    """Every label at its first free spot; `boxes` are never covered, `lines` only as a last resort."""
    firm, soft = _Ground(boxes, CELL * module), _Ground(lines, CELL * module)
    labels: list[Label] = []
    leaders: list[PenStroke] = []
    left_out: list[Label] = []
    for wish in wishes:
        found = _free(wish, firm, soft, module)
        if found is None:
            left_out.append(wish.label)
            continue
        label, box, leader = found
        labels.append(label)
        firm.add(box)
        if leader is not None:
            soft.add(leader)
            leaders.append(_leader_stroke(leader))
    return Placed(labels=tuple(labels), leaders=tuple(leaders), left_out=tuple(left_out))


def _free(wish: Wish, firm: _Ground, soft: _Ground, module: float) -> tuple[Label, Box, Box | None] | None:
    """The first spot with nothing in its way, else the first whose leader crosses lines, else any that can be."""
    second: list[tuple[bool, Label, Box, Box | None]] = []
    gap = wish.gap * module
    for spot in wish.spots:
        label = replace(wish.label, x=spot.x, y=spot.y, angle=spot.angle)
        box = label_box(label, module)
        kept = box._replace(half_width=box.half_width + gap, half_height=box.half_height + gap)
        leader = None if spot.foot is None else _leader(spot.foot, box)
        ahead = None if leader is None else _beyond(leader, 0.4 * module)
        if firm.meets(kept) or (ahead is not None and firm.meets(ahead)):
            continue
        covers = soft.meets(kept)
        if not covers and (ahead is None or not soft.meets(ahead)):
            return label, box, leader
        second.append((covers, label, box, leader))
    return min(second, key=itemgetter(0))[1:] if second else None


def _beyond(leader: Box, skipped: float) -> Box:
    """A leader without its beginning, which lies on the line that it comes from."""
    half = max(0.0, leader.half_width - skipped / 2)
    shift = leader.half_width - half
    return leader._replace(
        x=leader.x + shift * cos(leader.angle), y=leader.y + shift * sin(leader.angle), half_width=half
    )


def line_boxes(points: Sequence[Point], width: float) -> list[Box]:
    """The pieces of a line through points as thin boxes."""
    return [
        Box(
            (x1 + x2) / 2,
            (y1 + y2) / 2,
            hypot(x2 - x1, y2 - y1) / 2,
            width / 2,
            atan2(y2 - y1, x2 - x1),
        )
        for (x1, y1), (x2, y2) in pairwise(points)
    ]


def overlap(one: Box, other: Box) -> bool:
    """Whether two turned rectangles have an inner point in common (no axis of either parts them)."""
    return not (_parted(one, other) or _parted(other, one))


def _parted(one: Box, other: Box) -> bool:
    """Whether an axis of the first box parts the two."""
    c, s = cos(one.angle), sin(one.angle)
    turn = other.angle - one.angle
    tc, ts = abs(cos(turn)), abs(sin(turn))
    dx, dy = other.x - one.x, other.y - one.y
    along, across = abs(dx * c + dy * s), abs(dy * c - dx * s)
    return (
        along >= one.half_width + other.half_width * tc + other.half_height * ts
        or across >= one.half_height + other.half_width * ts + other.half_height * tc
    )


def _bounded(box: Box) -> _Bounded:
    xs, ys = zip(*corners(box), strict=True)
    return _Bounded(box, min(xs), min(ys), max(xs), max(ys))


def _leader(foot: Point, box: Box) -> Box:
    """The line from the foot to the label's edge, as a thin box."""
    dx, dy = box.x - foot[0], box.y - foot[1]
    length = hypot(dx, dy)
    c, s = abs(dx * cos(box.angle) + dy * sin(box.angle)), abs(dy * cos(box.angle) - dx * sin(box.angle))
    inside = min(
        box.half_width * length / c if c else length,
        box.half_height * length / s if s else length,
    )
    share = max(0.0, 1 - inside / length) if length else 0.0
    end = (foot[0] + dx * share, foot[1] + dy * share)
    return line_boxes((foot, end), 0.05 * box.half_height)[0]


def _leader_stroke(leader: Box) -> PenStroke:
    """The leader as it is drawn."""
    dx, dy = leader.half_width * cos(leader.angle), leader.half_width * sin(leader.angle)
    return PenStroke(
        vertices=path(((leader.x - dx, leader.y - dy), (leader.x + dx, leader.y + dy))),
        holds="mark",
        pen="faint",
        width=0.05,
    )
