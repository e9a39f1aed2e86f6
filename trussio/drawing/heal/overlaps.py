"""Healing of lines drawn over each other: collinear pieces, or arcs of one circle, that partly overlap."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, places, stations, tangents
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import Net, components, end_index, merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Flags, Floats, Handles, Ints
    from trussio.drawing.heal.net import Contacts
    from trussio.drawing.heal.reach import Reach

LEVEL: Final = np.sin(0.2 * np.pi / 180)
"""Sine of the angle up to which two lines are one."""


def without_overlaps(net: Net, contacts: Contacts, reach: Reach) -> tuple[Net, list[Change]]:
    """Axes that run over each other become one axis from the outermost end to the other.

    They can mark a lap splice, so that the length of each overlap is told.
    """
    one, other, length = _overlapping(net, contacts, reach)
    if not one.size:
        return net, []
    label = components(len(net.axes), one, other)
    changes = [
        Change(
            kind="overlap-merged",
            says=f"Two lines that overlap by {reach.told(lap)} became one; it may be a lap splice.",
            where=place(net.axes.first[row]),
            distance=lap,
            handles=merged(net.axes.handles[row], net.axes.handles[with_]),
        )
        for row, with_, lap in sorted({(min(a, b), max(a, b), c) for a, b, c in _rows(one, other, length)})
    ]
    return _joined(net, label, set(one.tolist() + other.tolist())), changes


def _rows(one: Ints, other: Ints, length: Floats) -> list[tuple[int, int, float]]:
    return list(zip(one.tolist(), other.tolist(), np.round(length, 9).tolist(), strict=True))


def _overlapping(net: Net, contacts: Contacts, reach: Reach) -> tuple[Ints, Ints, Floats]:
    """Pairs of axes and the length they share: one ends on the other and runs along it from there."""
    index = end_index(net)
    count = index.start[contacts.node + 1] - index.start[contacts.node]
    which = np.repeat(np.arange(contacts.node.size), count)
    offset = np.cumsum(count) - count
    entry = np.arange(which.size) - offset[which] + index.start[contacts.node[which]]
    mine, side = index.axis[entry], index.side[entry]
    host, at = contacts.axis[which], contacts.at[which]
    outward = headings(net.axes, mine, side == 1)
    ahead = tangents(net.axes, host, at)
    forward = -(outward * ahead).sum(axis=1)
    rest = np.where(forward > 0, net.axes.lengths[host] - at, at)
    shared = np.minimum(net.axes.lengths[mine], rest)
    # Cheap sieve first: what leaves the host at an angle is no overlap.
    likely = np.abs(np.abs(forward) - 1) < 0.02
    likely &= shared > reach.silent
    likely &= _level(net, mine, host, np.abs(forward), reach)
    mine, side, host, shared = mine[likely], side[likely], host[likely], shared[likely]
    along = np.ones(mine.size, dtype=bool)
    for share in (0.5, 1.0):
        step = np.where(side == 0, shared * share, net.axes.lengths[mine] - shared * share)
        _, off = stations(net.axes, host, places(net.axes, mine, step))
        along &= np.abs(off) <= 2 * reach.silent
    return mine[along], host[along], shared[along]


def _level(net: Net, mine: Ints, host: Ints, cosine: Floats, reach: Reach) -> Flags:
    """Which pairs run one way for their whole length, however little of it they share; a curve is not asked."""
    sine = np.sqrt(np.maximum(0.0, 1.0 - cosine**2))
    lengths = net.axes.lengths
    shorter = np.minimum(lengths[mine], lengths[host])
    curved = ~(net.axes.straight[mine] & net.axes.straight[host])
    found: Flags = curved | (sine <= np.maximum(LEVEL, 2 * reach.silent / shorter))
    return found


def _joined(net: Net, label: Ints, touched: set[int]) -> Net:
    """One axis for each group of overlapping ones."""
    axes = net.axes
    first, last, sweep = axes.first.copy(), axes.last.copy(), axes.sweep.copy()
    ends, depth = net.ends.copy(), axes.depth.copy()
    handles: dict[int, Handles] = {}
    gone: set[int] = set()
    groups: dict[int, list[int]] = {}
    for row in sorted(touched):
        groups.setdefault(int(label[row]), []).append(row)
    for rows in groups.values():
        longest = max(rows, key=lambda row: (axes.lengths[row], -row))
        low, high, span = _extremes(net, rows, longest)
        ends[longest] = (low, high)
        first[longest], last[longest] = net.nodes[low], net.nodes[high]
        if sweep[longest]:
            sweep[longest] = np.sign(sweep[longest]) * span / axes.radius[longest]
        known = [depth[row] for row in rows if not np.isnan(depth[row])]
        depth[longest] = max(known, default=np.nan)
        handles[longest] = merged(axes.handles[longest], *(axes.handles[row] for row in rows))
        gone.update(row for row in rows if row != longest)
    grown = replace(axes, first=first, last=last, sweep=sweep, depth=depth).with_handles(handles)
    return Net(axes=grown, nodes=net.nodes, ends=ends).without(gone)


def _extremes(net: Net, rows: list[int], longest: int) -> tuple[int, int, float]:
    """The outermost nodes of a group along its longest axis, and the length between them."""
    nodes = np.unique(net.ends[rows])
    at, _ = stations(net.axes, np.full(nodes.size, longest), net.nodes[nodes])
    low, high = int(np.argmin(at)), int(np.argmax(at))
    return int(nodes[low]), int(nodes[high]), float(at[high] - at[low])
