"""Connected parts that are no frame: borders and tables, lettering and other short strokes.

A part is judged by itself, before any wide gap is closed, so that nothing is bridged to it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.cells import distinct_numbers
from trussio.drawing.heal.net import net_parts
from trussio.drawing.sift.aside import Aside, angles

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.net import Contacts, Net
    from trussio.drawing.heal.reach import Reach

STROKE_INCHES: Final = 12.0
"""Parts whose every line is shorter, and that are no larger than this, are lettering or leftovers."""
SMALL_INCHES: Final = 30.0
CLEAR_INCHES: Final = 18.0
"""A border keeps more than a member's depth away from what it surrounds."""
SQUARE: Final = 0.002
"""A line runs along or across another within this angle, in radians."""


def strange_parts(net: Net, contacts: Contacts, reach: Reach) -> list[Aside]:
    """Short strokes, and parts whose lines all run along or across each other where another part is a frame."""
    if not len(net.axes):
        return []
    label = net_parts(net, contacts)
    roots, part = np.unique(label, return_inverse=True)
    part = part.reshape(-1)
    count = roots.size
    size = _sizes(net, part, count)
    order = np.argsort(net.axes.lengths, kind="stable")
    leader = np.zeros(count, dtype=np.intp)
    leader[part[order]] = order
    longest = net.axes.lengths[leader]
    square = np.ones(count, dtype=bool)
    np.logical_and.at(square, part, _is_square(net, leader[part]))
    lines = np.bincount(part, minlength=count)
    loops = lines + np.bincount(part[contacts.axis], minlength=count) - _node_counts(net, part, count) + 1
    frame = ~square & (loops >= 1) & (size > SMALL_INCHES * reach.inch)
    short = (longest < STROKE_INCHES * reach.inch) | ((size <= SMALL_INCHES * reach.inch) & (lines > 1))
    found = _groups("lettering", part, short & ~frame)
    if frame.any():
        found += _groups("border or table", part, square & ~short & (lines > 1))
    return found


def _groups(reason: str, part: Ints, chosen: Flags) -> list[Aside]:
    rows = np.flatnonzero(chosen[part])
    if not rows.size:
        return []
    if reason == "lettering":
        return [Aside(reason="lettering", rows=tuple(rows.tolist()))]
    order = rows[np.argsort(part[rows], kind="stable")]
    breaks = np.flatnonzero(np.diff(part[order])) + 1
    return [Aside(reason="border or table", rows=tuple(group.tolist())) for group in np.split(order, breaks)]


def _sizes(net: Net, part: Ints, count: int) -> Floats:
    """The larger side of the box of each part."""
    low, high = _boxes(net, part, count)
    sides: Floats = (high - low).max(axis=1)
    return sides


def _is_square(net: Net, leader: Ints) -> Flags:
    """Which axes run along or across the longest line of their part."""
    angle = angles(net.axes)
    apart = np.mod(angle - angle[leader] + SQUARE, np.pi / 2)
    square: Flags = (apart <= 2 * SQUARE) & net.axes.straight
    return square


def _node_counts(net: Net, part: Ints, count: int) -> Ints:
    """How many nodes each part has."""
    pairs = np.concatenate((part * len(net.nodes) + net.ends[:, 0], part * len(net.nodes) + net.ends[:, 1]))
    counts: Ints = np.bincount(distinct_numbers(pairs) // len(net.nodes), minlength=count)
    return counts


def borders(net: Net, contacts: Contacts, reach: Reach) -> list[Aside]:
    """Parts along and across that surround everything else at a distance, and what hangs on them.

    For drawings by edges, where a frame of level and upright lines can be the outline of a truss: a border keeps
    clear of what it surrounds on two sides at least.
    """
    if not len(net.axes):
        return []
    label = net_parts(net, contacts)
    roots, part = np.unique(label, return_inverse=True)
    part = part.reshape(-1)
    low, high = _boxes(net, part, roots.size)
    order = np.argsort(net.axes.lengths, kind="stable")
    leader = np.zeros(roots.size, dtype=np.intp)
    leader[part[order]] = order
    square = np.ones(roots.size, dtype=bool)
    np.logical_and.at(square, part, _is_square(net, leader[part]))
    found: list[int] = []
    for number in np.argsort(-(high - low).sum(axis=1), kind="stable").tolist():
        rest = np.array([other for other in range(roots.size) if other != number and other not in found])
        if not square[number] or not rest.size:
            break
        margin = np.concatenate((low[rest].min(axis=0) - low[number], high[number] - high[rest].max(axis=0)))
        if margin.min() < 0 or (margin > CLEAR_INCHES * reach.inch).sum() < 2:
            if (margin >= 0).all() and _nested(low, high, rest):
                found.append(number)
                continue
            break
        found.append(number)
    return [
        Aside(reason="border or table", rows=tuple(np.flatnonzero(part == number).tolist())) for number in found
    ]


def _nested(low: Floats, high: Floats, rest: Ints) -> bool:
    """Whether the next part inward surrounds all the others as well."""
    inner = rest[np.argmax((high[rest] - low[rest]).sum(axis=1))]
    others = rest[rest != inner]
    return bool(others.size and (low[others] >= low[inner]).all() and (high[others] <= high[inner]).all())


def _boxes(net: Net, part: Ints, count: int) -> tuple[Floats, Floats]:
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    for spots in (net.axes.first, net.axes.last):
        np.minimum.at(low, part, spots)
        np.maximum.at(high, part, spots)
    return low, high
