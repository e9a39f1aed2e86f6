"""Ends that run far past the line that they cross: the two meet at the crossing, and the rest is a tail.

Only an end with nothing at it and nothing between it and the crossing counts, and only over a short stretch of its
own axis: braces that cross in the middle are no joint.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations
from trussio.drawing.heal.cells import near_axes
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.near_joins import extended, on_axes
from trussio.drawing.heal.net import merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Floats, Ints
    from trussio.drawing.heal.net import Contacts, Net
    from trussio.drawing.heal.reach import Reach

LONGEST_INCHES: Final = 48.0
LONGEST_SHARE: Final = 1 / 3
"""A tail is no longer than this share of its axis."""


def with_tails(net: Net, contacts: Contacts, reach: Reach) -> tuple[Net, Contacts, list[Change]]:
    """The net with a node where an axis with a loose end crosses another shortly before that end."""
    lone = net.degree == 1
    lone[contacts.node] = False
    ends = np.flatnonzero(lone[net.ends.ravel()])
    if not ends.size:
        return net, contacts, []
    nodes: list[Floats] = []
    node: list[int] = []
    axis: list[int] = []
    changes: list[Change] = []
    for own, host, spot, length in _crossings(net, contacts, ends, reach):
        new = len(net.nodes) + len(nodes)
        nodes.append(spot)
        node += [new, new]
        axis += [own, host]
        changes.append(
            Change(
                kind="crossing-joined",
                says=f"A line runs {reach.told(length)} past one that it crosses; they meet at the crossing.",
                where=place(spot),
                distance=0.0,
                handles=merged(net.axes.handles[own], net.axes.handles[host]),
            )
        )
    if not nodes:
        return net, contacts, []
    net, contacts = on_axes(
        replace(net, nodes=np.concatenate((net.nodes, nodes))), contacts.with_more(node, axis), reach
    )
    return net, contacts, changes


def _outermost(net: Net, contacts: Contacts) -> Floats:
    """How far each end of each axis lies from the contact nearest to it, (2n,)."""
    nearest = np.repeat(net.axes.lengths, 2)
    np.minimum.at(nearest, 2 * contacts.axis, contacts.at)
    np.minimum.at(nearest, 2 * contacts.axis + 1, net.axes.lengths[contacts.axis] - contacts.at)
    return nearest


def _crossings(net: Net, contacts: Contacts, ends: Ints, reach: Reach) -> list[tuple[int, int, Floats, float]]:
    """For each end that crosses an axis: its own axis, that axis, the place, and the length of the tail."""
    spots = net.nodes[net.ends.ravel()[ends]]
    beside = near_axes(spots, net.axes, LONGEST_INCHES * reach.inch)
    number = np.repeat(np.arange(ends.size), np.diff(beside.start))
    host, own = beside.found, ends[number] // 2
    kept = (host != own) & net.axes.straight[own]
    number, host, own = number[kept], host[kept], own[kept]
    ahead = headings(net.axes, own, ends[number] % 2 == 1)
    goal, travel = extended(net.axes, host, spots[number], ahead)
    at, _ = stations(net.axes, host, goal)
    longest = np.minimum(LONGEST_INCHES * reach.inch, LONGEST_SHARE * net.axes.lengths[own])
    longest = np.minimum(longest, _outermost(net, contacts)[ends[number]])
    fits = (travel < -reach.ask) & (-travel < longest - reach.ask)
    fits &= (at > reach.ask) & (at < net.axes.lengths[host] - reach.ask)
    first: dict[int, int] = {}
    for row in np.flatnonzero(fits).tolist():
        key = int(number[row])
        if key not in first or travel[row] > travel[first[key]]:
            first[key] = row
    return [(int(own[row]), int(host[row]), goal[row], -float(travel[row])) for row in first.values()]
