"""Small outlines: blocks, purlins, plates around bolts, support symbols drawn as closed shapes.

A shape is what a closed entity draws, or lines that meet each other end to end and nothing else.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations
from trussio.drawing.heal.cells import points_near_axes
from trussio.drawing.heal.net import components
from trussio.drawing.records import Mark
from trussio.drawing.sift.aside import Aside

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.heal.axes import Floats, Ints
    from trussio.drawing.heal.net import Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Strokes
    from trussio.drawing.sift.aside import Reason

LARGEST_INCHES: Final = 30.0
"""A shape no larger than this in any direction is no member and no frame."""
PLATE_INCHES: Final = 96.0
"""A shape around bolts may be as large as this."""
PARALLEL: Final = 0.05
SQUARE_INCHES: Final = 5.0
"""A closed outline no larger than this can mark a joint where members cross."""
MOST_LINES: Final = 12
MOST_OUTLINES: Final = 3000
"""Lines of a drawing beyond which short members are not told from blocks by their width."""
SLENDER: Final = 4.0
"""A rectangle longer than so many times its width is a member drawn by its outline."""
SHORT_SLENDER: Final = 1.4
SAME_WIDTH: Final = 0.01
"""A shorter one is a member too where it is exactly as wide as a longer member."""


@dataclass(frozen=True, kw_only=True)
class Shape:
    """Lines that close one small figure: rows, and box (left, bottom, right, top)."""

    rows: tuple[int, ...]
    box: tuple[float, float, float, float]

    @property
    def sides(self) -> tuple[float, float]:
        """Width and height of the box."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


def small_outlines(net: Net, strokes: Strokes, marks: tuple[Mark, ...], reach: Reach) -> list[Aside]:
    """Closed shapes too small to be members, and larger ones with bolts inside."""
    widths = _stick_widths(net, strokes, reach)
    groups = [
        Aside(reason=_kind(net, shape), rows=shape.rows)
        for shape in _shapes(net, strokes, LARGEST_INCHES * reach.inch)
        if not _is_stick(net, shape, reach)
        and not _is_held(net, shape, reach)
        and not _is_short_stick(net, shape, widths, marks)
    ]
    taken = {row for group in groups for row in group.rows}
    bolted = any(mark.kind == "circle" for mark in marks)
    groups += [
        Aside(reason="block or plate", rows=shape.rows)
        for shape in (_shapes(net, strokes, PLATE_INCHES * reach.inch) if bolted else ())
        if taken.isdisjoint(shape.rows) and _is_plate(net, shape, marks, reach)
    ]
    return _inside(net, groups, reach)


def _is_plate(net: Net, shape: Shape, marks: tuple[Mark, ...], reach: Reach) -> bool:
    if not _bolts_inside(shape, marks):
        return False
    return not _is_stick(net, shape, reach) or _lies_on_member(net, shape)


def _lies_on_member(net: Net, shape: Shape) -> bool:
    """Whether a longer line runs lengthwise through a shape, or along its edge: then it is a plate on a member."""
    rows = list(shape.rows)
    lengths = net.axes.lengths
    longest = max(rows, key=lambda row: float(lengths[row]))
    middle = np.array(((shape.box[0] + shape.box[2]) / 2, (shape.box[1] + shape.box[3]) / 2))
    others = np.flatnonzero(lengths > 1.2 * lengths[longest])
    at, off = stations(net.axes, others, np.repeat(middle[None], others.size, axis=0))
    one = headings(net.axes, np.array([longest]), np.array([True]))[0]
    two = headings(net.axes, others, np.ones(others.size, dtype=bool))
    along = np.abs(one[0] * two[:, 1] - one[1] * two[:, 0]) <= PARALLEL
    half = float(np.sort(lengths[rows])[0]) * 0.55
    return bool((along & (np.abs(off) <= half) & (at > 0) & (at < lengths[others])).any())


def squares(net: Net, groups: list[Aside], reach: Reach) -> list[Mark]:
    """Outlines small enough to mark a joint, as marks at their middles."""
    found = []
    for group in groups:
        left, bottom, right, top = _box(net, list(group.rows))
        if group.reason == "block or plate" and max(right - left, top - bottom) <= SQUARE_INCHES * reach.inch:
            found.append(
                Mark(
                    kind="block",
                    at=((left + right) / 2, (bottom + top) / 2),
                    radius=0.0,
                    handle=net.axes.handles[group.rows[0]][0],
                    layer="",
                    linetype="",
                    path="",
                    hidden="",
                )
            )
    return found


def _is_held(net: Net, shape: Shape, reach: Reach) -> bool:
    """Whether three corners and more lie on larger lines: then it is a short member between them."""
    nodes = np.unique(net.ends[list(shape.rows)])
    if nodes.size < 4:
        return False
    large = np.flatnonzero(net.axes.lengths > LARGEST_INCHES * reach.inch)
    point, _, _, _ = points_near_axes(net.nodes[nodes], net.axes.take(large), reach.silent)
    return np.unique(point).size >= 3


def _kind(net: Net, shape: Shape) -> Reason:
    """A small triangle is how a support is drawn."""
    nodes = np.unique(net.ends[list(shape.rows)])
    return "support symbol" if nodes.size == 3 else "block or plate"


def _is_stick(net: Net, shape: Shape, reach: Reach) -> bool:
    """Whether a shape is a rectangle slender enough to be a member drawn by its outline."""
    lengths = sorted(net.axes.lengths[list(shape.rows)].tolist())
    return len(lengths) == 4 and lengths[2] > SLENDER * lengths[1] and lengths[3] > 12 * reach.inch


def _stick_widths(net: Net, strokes: Strokes, reach: Reach) -> Floats:
    """The widths of members drawn by outlines of four lines that are too long for blocks, each once."""
    if len(net.axes) > MOST_OUTLINES:
        return np.empty(0)
    closed = strokes.closed[net.axes.row]
    chain = strokes.chain[net.axes.row].astype(np.intp)
    label = components(len(net.nodes), net.ends[:, 0], net.ends[:, 1])[net.ends[:, 0]]
    number = np.where(closed, chain, len(strokes) + label)
    widths = []
    for rows in _by_number(number, np.arange(len(net.axes))):
        lengths = sorted(net.axes.lengths[rows].tolist())
        if len(lengths) == 4 and lengths[2] > max(SLENDER * lengths[1], LARGEST_INCHES * reach.inch):
            widths.append(lengths[1])
    return np.unique(np.array(widths))


def _is_short_stick(net: Net, shape: Shape, widths: Floats, marks: tuple[Mark, ...]) -> bool:
    """Whether a rectangle is as wide as a longer member, longer than wide, and holds no bolt."""
    lengths = sorted(net.axes.lengths[list(shape.rows)].tolist())
    if len(lengths) != 4 or lengths[2] < SHORT_SLENDER * lengths[1] or not widths.size:
        return False
    alike = bool((np.abs(widths / lengths[1] - 1) <= SAME_WIDTH).any())
    return alike and not _bolts_inside(shape, marks)


def _shapes(net: Net, strokes: Strokes, largest: float) -> Iterator[Shape]:
    """Closed entities, then loose lines that close a figure end to end, none larger than `largest`."""
    chain = strokes.chain[net.axes.row].astype(np.intp)
    small = net.axes.lengths <= largest
    closed = strokes.closed[net.axes.row] & small
    for rows in _by_number(chain, np.flatnonzero(closed)):
        box = _box(net, rows)
        if max(box[2] - box[0], box[3] - box[1]) <= largest:
            yield Shape(rows=tuple(rows), box=box)
    loose = np.flatnonzero(small & ~closed)
    if not loose.size:
        return
    label = components(len(net.nodes), net.ends[loose, 0], net.ends[loose, 1])
    large = np.zeros(len(net.nodes), dtype=bool)
    large[net.ends[~small & ~closed].ravel()] = True
    for rows in _by_number(label[net.ends[:, 0]], loose):
        # What hangs on the frame at two places and more is a piece of it.
        touching = int(large[np.unique(net.ends[rows])].sum())
        if touching > 1 or not 3 <= len(rows) <= MOST_LINES:
            continue
        box = _box(net, rows)
        if max(box[2] - box[0], box[3] - box[1]) <= largest and _closes(net, rows):
            yield Shape(rows=tuple(rows), box=box)


def _inside(net: Net, groups: list[Aside], reach: Reach) -> list[Aside]:
    """Short lines within the box of an outline belong to it: crosses of blocks, strokes of plates."""
    taken = {row for group in groups for row in group.rows}
    short = np.flatnonzero(net.axes.lengths <= LARGEST_INCHES * reach.inch)
    grown = []
    for group in groups:
        box = _box(net, list(group.rows))
        spots = np.stack((net.axes.first[short], net.axes.last[short]), axis=1)
        low, high = np.array(box[:2]) - reach.silent, np.array(box[2:]) + reach.silent
        held = ((spots >= low) & (spots <= high)).all(axis=(1, 2))
        rows = [row for row in short[held].tolist() if row not in taken]
        taken.update(rows)
        grown.append(Aside(reason=group.reason, rows=(*group.rows, *rows)))
    return grown


def _by_number(number: Ints, rows: Ints) -> Iterator[list[int]]:
    groups: dict[int, list[int]] = defaultdict(list)
    for row in rows.tolist():
        groups[int(number[row])].append(row)
    yield from groups.values()


def _box(net: Net, rows: list[int]) -> tuple[float, float, float, float]:
    spots = np.concatenate((net.axes.first[rows], net.axes.last[rows]))
    (left, bottom), (right, top) = spots.min(axis=0).tolist(), spots.max(axis=0).tolist()
    return left, bottom, right, top


def _closes(net: Net, rows: list[int]) -> bool:
    count: dict[int, int] = {}
    for node in net.ends[rows].ravel().tolist():
        count[node] = count.get(node, 0) + 1
    return all(ends >= 2 for ends in count.values())


def _bolts_inside(shape: Shape, marks: tuple[Mark, ...]) -> int:
    left, bottom, right, top = shape.box
    return sum(
        1 for mark in marks if mark.kind == "circle" and left < mark.at[0] < right and bottom < mark.at[1] < top
    )
