"""What a truss stands on: symbols, walls, posts and plates that hang together under an end of it.

Told by place alone, whatever they are made of: upright lines and small ones that meet the rest of the drawing at
their top only, at the outer end of larger lines of which none there runs lower. No member of a truss hangs so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.drawing.heal.net import components, contacts_within, net_parts
from trussio.drawing.sift.aside import Aside

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.net import Contacts, Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Point

MOST_LINES: Final = 3000
"""A drawing of more lines than this is not looked at for supports by place."""
SMALL_INCHES: Final = 30.0
TALLEST_INCHES: Final = 160.0
WIDEST_INCHES: Final = 44.0
CLEAR_INCHES: Final = 18.0
LEAN: Final = 0.18
"""Sideways over downwards of an upright line, at most."""
TOP_INCHES: Final = 3.0
"""The rest of the drawing is met no further than this below the top."""
OUTER_INCHES: Final = 20.0
"""Sideways from the outermost place of the lines that stand on it."""


class Group(NamedTuple):
    """Lines that hang together, and the box around them."""

    rows: Ints
    low: Floats
    high: Floats


class Above(NamedTuple):
    """The larger lines, the nodes that they end at or pass, and how far the part of each reaches sideways."""

    rows: Ints
    carried: Flags
    outer: dict[int, tuple[float, float]]


def standing(net: Net, reach: Reach) -> list[Aside]:
    """Every group of lines on which the larger lines of the drawing stand, each with the place of the heel."""
    axes = net.axes
    if not 4 <= len(axes) <= MOST_LINES:
        return []
    along = np.abs(axes.last - axes.first)
    upright = axes.straight & (along[:, 0] <= LEAN * along[:, 1])
    upright &= axes.lengths <= TALLEST_INCHES * reach.inch
    light = upright | (axes.lengths <= SMALL_INCHES * reach.inch)
    if not light.any() or light.all():
        return []
    contacts = contacts_within(net, reach.silent)
    heavy = np.flatnonzero(~light)
    carried = _carried(net, contacts, light)
    above = Above(heavy, carried, _outer(net, contacts, heavy, CLEAR_INCHES * reach.inch))
    found = []
    for group in _groups(net, contacts, light, carried):
        heel = _heel(net, group, above, reach)
        if heel is not None:
            found.append(Aside(reason="support symbol", rows=tuple(group.rows.tolist()), where=heel))
    return _by_heel(found, reach)


def _carried(net: Net, contacts: Contacts, light: Flags) -> Flags:
    """Nodes at which a larger line ends or passes."""
    nodes = np.zeros(len(net.nodes), dtype=bool)
    nodes[net.ends[~light].ravel()] = True
    nodes[contacts.node[~light[contacts.axis]]] = True
    return nodes


def _groups(net: Net, contacts: Contacts, light: Flags, carried: Flags) -> Iterator[Group]:
    """Light lines that meet each other elsewhere than on larger lines."""
    rows = np.flatnonzero(light)
    count = len(net.axes)
    ends = net.ends[rows]
    axis = np.concatenate((rows, rows, contacts.axis))
    node = np.concatenate((ends[:, 0], ends[:, 1], contacts.node))
    kept = light[axis] & ~carried[node]
    label = components(count + len(net.nodes), axis[kept], node[kept] + count)[:count]
    order = rows[np.argsort(label[rows], kind="stable")]
    for group in np.split(order, np.flatnonzero(np.diff(label[order])) + 1):
        spots = np.concatenate((net.axes.first[group], net.axes.last[group]))
        yield Group(group, spots.min(axis=0), spots.max(axis=0))


def _outer(net: Net, contacts: Contacts, heavy: Ints, clear: float) -> dict[int, tuple[float, float]]:
    """Leftmost and rightmost place of what each larger line belongs to.

    Parts whose boxes overlap are one, but for what surrounds another at a distance `clear`.
    """
    part = net_parts(net, contacts)[heavy]
    roots, number = np.unique(part, return_inverse=True)
    first, last = net.axes.first[heavy], net.axes.last[heavy]
    low, high = np.full((roots.size, 2), np.inf), np.full((roots.size, 2), -np.inf)
    np.minimum.at(low, number, np.minimum(first, last))
    np.maximum.at(high, number, np.maximum(first, last))
    inside = (low[:, None] >= low[None] + clear).all(axis=2) & (high[:, None] <= high[None] - clear).all(axis=2)
    around = np.any(inside, axis=0)
    one, other = np.nonzero(((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2))
    kept = ~around[one] & ~around[other]
    group = components(roots.size, one[kept], other[kept])
    left, right = np.full(roots.size, np.inf), np.full(roots.size, -np.inf)
    np.minimum.at(left, group, low[:, 0])
    np.maximum.at(right, group, high[:, 0])
    mine = group[number]
    return dict(zip(heavy.tolist(), zip(left[mine].tolist(), right[mine].tolist(), strict=True), strict=True))


def _heel(net: Net, group: Group, above: Above, reach: Reach) -> Point | None:
    """The end of a larger line that stands on a group; None where none does, or where it is held elsewhere."""
    inch = reach.inch
    width, height = (group.high - group.low).tolist()
    if width > WIDEST_INCHES * inch or not TOP_INCHES * inch < height <= TALLEST_INCHES * inch:
        return None
    nodes = np.unique(net.ends[group.rows])
    touched = net.nodes[nodes[above.carried[nodes]]]
    if (touched[:, 1] < group.high[1] - TOP_INCHES * inch).any():
        return None
    heavy = above.rows
    if _passed_below(net, group, heavy, reach):
        return None
    ends = np.concatenate((net.axes.first[heavy], net.axes.last[heavy]))
    near = (ends[:, 0] >= group.low[0] - reach.ask) & (ends[:, 0] <= group.high[0] + reach.ask)
    near &= np.abs(ends[:, 1] - group.high[1]) <= (TOP_INCHES * inch if touched.size else reach.report)
    for number in np.flatnonzero(near).tolist():
        row = int(heavy[number % heavy.size])
        x, y = ends[number].tolist()
        left, right = above.outer[row]
        if min(x - left, right - x) <= OUTER_INCHES * inch:
            return (x, y)
    return None


def _passed_below(net: Net, group: Group, heavy: Ints, reach: Reach) -> bool:
    """Whether a larger line passes through a group below its top, or close under it."""
    first, last = net.axes.first[heavy], net.axes.last[heavy]
    left, right = np.minimum(first[:, 0], last[:, 0]), np.maximum(first[:, 0], last[:, 0])
    middle = (group.low[0] + group.high[0]) / 2
    run = np.where(last[:, 0] == first[:, 0], 1.0, last[:, 0] - first[:, 0])
    share = np.clip((middle - first[:, 0]) / run, 0.0, 1.0)
    level = first[:, 1] + share * (last[:, 1] - first[:, 1])
    low, high = group.low[1] - SMALL_INCHES * reach.inch, group.high[1] - TOP_INCHES * reach.inch
    beside = (left - reach.ask <= middle) & (right + reach.ask >= middle)
    return bool((beside & (level >= low) & (level < high)).any())


def _by_heel(found: list[Aside], reach: Reach) -> list[Aside]:
    """The groups, those at one heel as one."""
    at: dict[Point, list[int]] = {}
    for group in found:
        if group.where is not None:
            here = group.where
            beside = (place for place in at if np.hypot(*np.subtract(place, here)) <= OUTER_INCHES * reach.inch)
            at.setdefault(next(beside, here), []).extend(group.rows)
    return [Aside(reason="support symbol", rows=tuple(sorted(rows)), where=place) for place, rows in at.items()]
