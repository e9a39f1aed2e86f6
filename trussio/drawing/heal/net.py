"""The net: axes whose ends are numbered nodes, and the nodes that lie on axes between their ends.

Terms: a *node* is a place where axes end; a *contact* is a node on an axis that does not end there. A node is
a joint only once something meets there; recognition decides that.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.cells import distinct_numbers, points_near_axes

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.heal.axes import Axes, Floats, Handles, Ints


@dataclass(frozen=True, kw_only=True, eq=False)
class Contacts:
    """Nodes on axes between their ends: node and axis numbers, station on the axis, signed offset from it."""

    node: Ints
    axis: Ints
    at: Floats
    off: Floats

    def take(self, rows: NDArray[np.bool_]) -> Contacts:
        """The contacts that the mask names."""
        return Contacts(node=self.node[rows], axis=self.axis[rows], at=self.at[rows], off=self.off[rows])

    def with_more(self, node: Sequence[int], axis: Sequence[int]) -> Contacts:
        """More contacts, not yet measured."""
        return Contacts(
            node=np.concatenate((self.node, np.array(node, dtype=np.intp))),
            axis=np.concatenate((self.axis, np.array(axis, dtype=np.intp))),
            at=np.concatenate((self.at, np.zeros(len(node)))),
            off=np.concatenate((self.off, np.zeros(len(node)))),
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Net:
    """`ends` (n, 2) are the node numbers of the first and last end of each axis; `nodes` (m, 2) their places."""

    axes: Axes
    nodes: Floats
    ends: Ints

    def take(self, rows: Ints) -> Net:
        """The axes named, with all nodes."""
        return replace(self, axes=self.axes.take(rows), ends=self.ends[rows])

    def without(self, rows: set[int]) -> Net:
        """All axes but those named, with all nodes."""
        kept = np.ones(len(self.axes), dtype=bool)
        kept[list(rows)] = False
        return self.take(np.flatnonzero(kept))

    @property
    def degree(self) -> Ints:
        """How many axis ends each node has."""
        counts: Ints = np.bincount(self.ends.ravel(), minlength=len(self.nodes))
        return counts


@dataclass(frozen=True, kw_only=True, eq=False)
class EndIndex:
    """Axis ends sorted by node: `start[v]:start[v + 1]` are the places in `axis` and `side` of node v's ends."""

    start: Ints
    axis: Ints
    side: Ints

    def at(self, node: int) -> list[tuple[int, int]]:
        """Axis and side (0 first, 1 last) of every end at a node."""
        part = slice(int(self.start[node]), int(self.start[node + 1]))
        return list(zip(self.axis[part].tolist(), self.side[part].tolist(), strict=True))


def end_index(net: Net) -> EndIndex:
    """Axis ends by node."""
    flat = net.ends.ravel()
    order = np.argsort(flat, kind="stable")
    start = np.zeros(len(net.nodes) + 1, dtype=np.intp)
    np.cumsum(np.bincount(flat, minlength=len(net.nodes)), out=start[1:])
    return EndIndex(start=start, axis=order // 2, side=order % 2)


def contacts_within(net: Net, distance: float) -> Contacts:
    """Every node that lies no further than `distance` off an axis between its ends and does not end it."""
    used = distinct_numbers(net.ends.ravel())
    point, axis, at, off = points_near_axes(net.nodes[used], net.axes, distance, (used, net.ends))
    return Contacts(node=used[point], axis=axis, at=at, off=off)


@dataclass(frozen=True, kw_only=True, eq=False)
class Touching:
    """Which axes end at each node or pass it, with the entities behind them."""

    start: Ints
    axis: Ints
    handles: tuple[Handles, ...]

    def at(self, nodes: Iterable[int]) -> list[Handles]:
        """The entities at each node, each once."""
        start, axis, handles = self.start.tolist(), self.axis.tolist(), self.handles
        found = []
        for node in nodes:
            names: list[str] = []
            for row in axis[start[node] : start[node + 1]]:
                names += handles[row]
            found.append(tuple(dict.fromkeys(names)))
        return found


def touching(net: Net, contacts: Contacts) -> Touching:
    """What touches each node, in the order of the axes."""
    every = np.arange(len(net.axes))
    node = np.concatenate((net.ends[:, 0], net.ends[:, 1], contacts.node))
    axis = np.concatenate((every, every, contacts.axis))
    order = np.lexsort((axis, node))
    start = np.zeros(len(net.nodes) + 1, dtype=np.intp)
    np.cumsum(np.bincount(node, minlength=len(net.nodes)), out=start[1:])
    return Touching(start=start, axis=axis[order], handles=net.axes.handles)


def without_axes(net: Net, contacts: Contacts, rows: set[int]) -> tuple[Net, Contacts]:
    """All axes but those named, with the contacts between those that stay."""
    if not rows:
        return net, contacts
    kept = np.ones(len(net.axes), dtype=bool)
    kept[list(rows)] = False
    number = np.cumsum(kept) - 1
    after = net.take(np.flatnonzero(kept))
    ending = np.zeros(len(net.nodes), dtype=bool)
    ending[after.ends.ravel()] = True
    still = kept[contacts.axis] & (ending[contacts.node] | _meeting(contacts, kept, len(net.nodes)))
    left = contacts.take(still)
    return after, replace(left, axis=number[left.axis])


def _meeting(contacts: Contacts, kept: NDArray[np.bool_], count: int) -> NDArray[np.bool_]:
    """Contacts at nodes where two and more axes that stay run through."""
    through: NDArray[np.bool_] = (np.bincount(contacts.node[kept[contacts.axis]], minlength=count) > 1)[
        contacts.node
    ]
    return through


def net_parts(net: Net, contacts: Contacts) -> Ints:
    """Number of the connected part of each axis: the least number among its axes."""
    count = len(net.axes)
    every = np.arange(count)
    label = components(
        count + len(net.nodes),
        np.concatenate((every, every, contacts.axis)),
        np.concatenate((net.ends[:, 0], net.ends[:, 1], contacts.node)) + count,
    )
    return label[:count]


def components(count: int, one: Ints, other: Ints) -> Ints:
    """For each of `count` things the smallest number among those that the pairs connect it with."""
    label = np.arange(count)
    while one.size:
        first, second = label[one], label[other]
        apart = first != second
        if not apart.any():
            break
        one, other, first, second = one[apart], other[apart], first[apart], second[apart]
        low = np.minimum(first, second)
        np.minimum.at(label, first, low)
        np.minimum.at(label, second, low)
        while True:
            above = label[label]
            if (above == label).all():
                break
            label = above
    return label


def merged(*groups: Handles) -> Handles:
    """Handles of several things, each once, in the order met."""
    return tuple(dict.fromkeys(name for group in groups for name in group))
