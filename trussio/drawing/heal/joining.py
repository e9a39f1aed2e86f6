"""Sticks: axes joined into physical members, each with all the nodes that it passes, in order.

A chord drawn in stock lengths is one stick; a node at which nothing but the two pieces of one stick meets is
no joint and dissolves. Straight pieces join where they turn by no more than 0.2 degree, or by what the
silent distance makes of short ones; arcs join where they share a circle. Facets of one entity join where they
turn by less than those of a curve do: what follows a parabola or a spline is one stick, told and asked about.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.arcs import LARGEST_TURN
from trussio.drawing.heal.bends import bends_told, offsets
from trussio.drawing.heal.continuing import continuations, runs
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import merged
from trussio.drawing.heal.reach import STRAIGHT
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Flags, Floats, Handles, Ints
    from trussio.drawing.heal.net import Contacts, Net
    from trussio.drawing.heal.reach import Reach


@dataclass(frozen=True, kw_only=True, eq=False)
class Sticks:
    """One row per stick; stick k passes the nodes `node[start[k]:start[k + 1]]`, its ends included.

    `at` is the station of each of those along the stick; `seam` tells where two pieces were joined. `sweep` has
    the sign of the curve's turn along the stick; `centre`, `radius`, `depth`, `residual`, `row` and `handles`
    mean what they mean for axes.
    """

    nodes: Floats
    start: Ints
    node: Ints
    at: Floats
    seam: Flags
    centre: Floats
    radius: Floats
    sweep: Floats
    depth: Floats
    residual: Floats
    row: Ints
    handles: tuple[Handles, ...]

    def __len__(self) -> int:
        return len(self.handles)

    def through(self, stick: int) -> list[int]:
        """The nodes that a stick passes."""
        nodes: list[int] = self.node[self.start[stick] : self.start[stick + 1]].tolist()
        return nodes

    @property
    def owner(self) -> Ints:
        """The stick of each entry of `node`."""
        return np.repeat(np.arange(len(self)), np.diff(self.start))

    def take(self, rows: Ints) -> Sticks:
        """The sticks named, in that order, with all nodes."""
        return self.pieces(rows, self.start[rows], self.start[rows + 1])

    def pieces(self, rows: Ints, first: Ints, stop: Ints) -> Sticks:
        """Pieces of the sticks `rows`: their entries from `first` up to `stop`."""
        count = stop - first
        start = np.zeros(rows.size + 1, dtype=np.intp)
        np.cumsum(count, out=start[1:])
        entry = np.arange(int(start[-1])) - np.repeat(start[:-1] - first, count)
        return Sticks(
            nodes=self.nodes,
            start=start,
            node=self.node[entry],
            at=self.at[entry],
            seam=self.seam[entry],
            centre=self.centre[rows],
            radius=self.radius[rows],
            sweep=self.sweep[rows],
            depth=self.depth[rows],
            residual=self.residual[rows],
            row=self.row[rows],
            handles=tuple([self.handles[row] for row in rows.tolist()]),
        )

    def without_entries(self, gone: Flags) -> Sticks:
        """The sticks without those of their entries that are named; each keeps two at least."""
        kept = ~gone
        start = np.zeros(len(self) + 1, dtype=np.intp)
        np.cumsum(np.bincount(self.owner[kept], minlength=len(self)), out=start[1:])
        return replace(self, start=start, node=self.node[kept], at=self.at[kept], seam=self.seam[kept])

    def without_lonely(self) -> Sticks:
        """The sticks without the inner nodes at which no other of them stands."""
        count = np.bincount(self.node, minlength=len(self.nodes))[self.node]
        lonely = count == 1
        lonely[self.start[:-1]] = lonely[self.start[1:] - 1] = False
        return self.without_entries(lonely)

    def parted(self, entries: Flags) -> Sticks:
        """The sticks, each parted at those of its entries that are named; ends stay ends."""
        inner = entries.copy()
        inner[self.start[:-1]] = inner[self.start[1:] - 1] = False
        cuts = np.flatnonzero(inner)
        if not cuts.size:
            return self
        first = np.sort(np.concatenate((self.start[:-1], cuts)))
        stop = np.sort(np.concatenate((self.start[1:], cuts + 1)))
        return self.pieces(self.owner[first], first, stop)


def joined_sticks(net: Net, contacts: Contacts, reach: Reach) -> tuple[Sticks, list[Change]]:
    """Sticks and the nodes that dissolved."""
    chains = runs(_joinable(net, reach), np.ones(len(net.axes), dtype=bool))
    stick, base, reverse, handles, heads = _numbered(net, chains)
    lengths = net.axes.lengths
    every = np.arange(len(net.axes))
    axis = np.concatenate((every, contacts.axis, every))
    along = np.concatenate((np.zeros(every.size), contacts.at, lengths))
    node = np.concatenate((net.ends[:, 0], contacts.node, net.ends[:, 1]))
    at = base[axis] + np.where(reverse[axis], lengths[axis] - along, along)
    order = np.lexsort((at, stick[axis]))
    owner, node, at = stick[axis][order], node[order], at[order]
    fresh = np.ones(node.size, dtype=bool)
    fresh[1:] = (node[1:] != node[:-1]) | (owner[1:] != owner[:-1])
    seam = np.append(~fresh[1:], values=[False])[fresh]
    owner, node, at = owner[fresh], node[fresh], at[fresh]
    lonely = np.bincount(node, minlength=len(net.nodes))[node] == 1
    inner = np.zeros(node.size, dtype=bool)
    inner[1:-1] = (owner[1:-1] == owner[:-2]) & (owner[1:-1] == owner[2:])
    dissolved = lonely & inner
    off = offsets(net.nodes[node], ~dissolved)
    off[~net.axes.straight[heads][owner]] = 0.0  # on an arc the bends are its own
    bent = bends_told(net.nodes[node], owner, off, handles, reach)
    plain = dissolved & ~np.isin(owner, owner[off > reach.silent])
    changes = [
        Change(
            kind="pseudo-node-dissolved",
            says="Two pieces of one line meet here and nothing else does; they are one stick.",
            where=place(net.nodes[number]),
            distance=0.0,
            handles=handles[which],
        )
        for number, which in zip(node[plain].tolist(), owner[plain].tolist(), strict=True)
    ]
    owner, node, at, seam = owner[~dissolved], node[~dissolved], at[~dissolved], seam[~dissolved]
    start = np.zeros(len(handles) + 1, dtype=np.intp)
    np.cumsum(np.bincount(owner, minlength=len(handles)), out=start[1:])
    sign = np.where(reverse[heads], -1.0, 1.0)
    sticks = Sticks(
        nodes=net.nodes,
        start=start,
        node=node,
        at=at,
        seam=seam,
        centre=net.axes.centre[heads],
        radius=net.axes.radius[heads],
        sweep=net.axes.sweep[heads] * sign,
        depth=_deepest(net, stick, len(handles)),
        residual=net.axes.residual[heads],
        row=net.axes.row[heads],
        handles=handles,
    )
    return sticks, [*changes, *bent]


def _deepest(net: Net, stick: Ints, count: int) -> Floats:
    depth = np.full(count, -1.0)
    np.maximum.at(depth, stick, np.nan_to_num(net.axes.depth, nan=-1.0))
    return np.where(depth < 0, np.nan, depth)


def _joinable(net: Net, reach: Reach) -> Ints:
    """Partner of each end where the two pieces are one stick."""
    links = continuations(net, LARGEST_TURN)
    one, other, turn = links.between()
    first, second = one // 2, other // 2
    axes = net.axes
    lengths = axes.lengths
    allowed = np.maximum(
        STRAIGHT, 2 * reach.silent / np.maximum(np.minimum(lengths[first], lengths[second]), 1e-9)
    )
    straight = axes.straight
    line = straight[first] & straight[second] & ((np.abs(turn) <= allowed) | _bend(net, one, other))
    apart = np.hypot(*np.nan_to_num(axes.centre[first] - axes.centre[second], nan=np.inf).T)
    same = ~straight[first] & ~straight[second]
    with np.errstate(invalid="ignore"):
        same &= (apart + np.abs(axes.radius[first] - axes.radius[second])) <= 8 * reach.silent
    joined = line | same
    partner = np.full(links.partner.size, -1, dtype=np.intp)
    partner[one[joined]], partner[other[joined]] = other[joined], one[joined]
    return partner


def _bend(net: Net, one: Ints, other: Ints) -> Flags:
    """Where two successive pieces of one entity meet and nothing else ends: a curve that is no circle bends so."""
    axes, node = net.axes, net.ends[one // 2, one % 2]
    near = (np.abs(axes.row[one // 2] - axes.row[other // 2]) == 1) & (net.degree[node] == 2)
    for pair in np.flatnonzero(near).tolist():
        near[pair] = axes.handles[one[pair] // 2] == axes.handles[other[pair] // 2]
    found: Flags = near
    return found


def _numbered(net: Net, chains: list[list[int]]) -> tuple[Ints, Floats, Ints, tuple[Handles, ...], Ints]:
    """Stick number, station of the start, and reversal of every axis; handles and leading axis of every stick."""
    count = len(net.axes)
    lead = np.arange(count)
    base = np.zeros(count)
    reverse = np.zeros(count, dtype=bool)
    handles = list(net.axes.handles)
    lengths = net.axes.lengths.tolist()
    for run in chains:
        rows = [end // 2 for end in run]
        at = 0.0
        for end in run:
            lead[end // 2] = rows[0]
            base[end // 2] = at
            reverse[end // 2] = end % 2 == 1
            at += lengths[end // 2]
        handles[rows[0]] = merged(*(net.axes.handles[row] for row in rows))
    heads = np.flatnonzero(lead == np.arange(count))
    number = np.cumsum(lead == np.arange(count)) - 1
    return number[lead], base, reverse, tuple([handles[head] for head in heads.tolist()]), heads
