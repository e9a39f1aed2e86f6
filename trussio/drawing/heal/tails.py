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
from trussio.drawing.heal.near_joins import extended
from trussio.drawing.heal.net import merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Floats
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
    spots = net.nodes[net.ends.ravel()[ends]]
    beside = near_axes(spots, net.axes, LONGEST_INCHES * reach.inch)
    taken = _outermost(net, contacts)
    nodes: list[Floats] = []
    node: list[int] = []
    axis: list[int] = []
    changes: list[Change] = []
    for number, end in enumerate(ends.tolist()):
        own = end // 2
        found = _crossing(net, end, beside.of(number), float(taken[end]), reach)
        if found is None:
            continue
        spot, host, length = found
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
    return replace(net, nodes=np.concatenate((net.nodes, nodes))), contacts.with_more(node, axis), changes


def _outermost(net: Net, contacts: Contacts) -> Floats:
    """How far each end of each axis lies from the contact nearest to it, (2n,)."""
    nearest = np.repeat(net.axes.lengths, 2)
    np.minimum.at(nearest, 2 * contacts.axis, contacts.at)
    np.minimum.at(nearest, 2 * contacts.axis + 1, net.axes.lengths[contacts.axis] - contacts.at)
    return nearest


def _crossing(
    net: Net, end: int, hosts: np.ndarray[tuple[int], np.dtype[np.intp]], free: float, reach: Reach
) -> tuple[Floats, int, float] | None:
    """Where an axis crosses another first, coming from one end, with that other and the length of the tail."""
    own, side = divmod(end, 2)
    hosts = hosts[hosts != own]
    if not hosts.size or net.axes.sweep[own]:
        return None
    here = net.nodes[net.ends[own, side]]
    ahead = headings(net.axes, np.array([own]), np.array([side == 1]))
    goal, travel = extended(
        net.axes, hosts, np.repeat(here[None], hosts.size, axis=0), np.repeat(ahead, hosts.size, axis=0)
    )
    at, _ = stations(net.axes, hosts, goal)
    longest = min(LONGEST_INCHES * reach.inch, LONGEST_SHARE * float(net.axes.lengths[own]), free)
    fits = (travel < -reach.ask) & (-travel < longest - reach.ask)
    fits &= (at > reach.ask) & (at < net.axes.lengths[hosts] - reach.ask)
    found = np.flatnonzero(fits)
    if not found.size:
        return None
    best = int(found[np.argmax(travel[found])])
    return goal[best], int(hosts[best]), -float(travel[best])
