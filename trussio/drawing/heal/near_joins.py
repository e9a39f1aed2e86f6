"""Healing of small gaps and overshoots: ends that nearly meet, and ends that nearly meet an axis.

Ends within the report distance of each other become one joint. An end near an axis that runs past it is brought
onto that axis, by preference along its own line: short of it, it is extended, beyond it, trimmed. What already
lies on the axis, or where most ends meet, stays where it is; the rest comes to it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, places, stations, tangents
from trussio.drawing.heal.cells import distinct_numbers
from trussio.drawing.heal.clusters import clustered, middles
from trussio.drawing.heal.net import Contacts, Net, end_index, merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Axes, Flags, Floats, Ints
    from trussio.drawing.heal.reach import Reach

ON_AXIS: Final = 1000.0
"""Weight of a node that lies on the axis already, against one for every end that meets in a node."""
LEAST_SINE: Final = 0.2
"""An end is brought along its own line onto an axis that it meets at no less than some 12 degrees."""


def joined_near(net: Net, contacts: Contacts, reach: Reach) -> tuple[Net, Contacts, list[Change]]:
    """Joins within the report distance.

    `contacts` are those within that distance. The net that comes back has its ends moved, and the
    contacts lie on their axes.
    """
    cluster = clustered(net.nodes, reach.report)
    contacts = contacts.take(~_points_elsewhere(net, contacts, reach))
    met = _met(net, contacts, cluster)
    nodes, along = _settled(net, met, cluster, reach)
    again = _meeting_again(nodes, met, reach)
    nodes, cluster = middles(nodes, np.ones(len(nodes)), again), again[cluster]
    met = _met(net, contacts, cluster)
    after = Net(axes=net.axes, nodes=nodes, ends=cluster[net.ends])
    after, met = on_axes(after, met, reach)
    shift = np.hypot(*(after.nodes[cluster] - net.nodes).T)
    return after, met, _told(net, shift, along, reach)


def _points_elsewhere(net: Net, contacts: Contacts, reach: Reach) -> Flags:
    """Contacts of loose ends that lie beside an axis but point, along their own line, at an end of that axis."""
    elsewhere = np.zeros(contacts.node.size, dtype=bool)
    beside = np.flatnonzero((np.abs(contacts.off) > reach.silent) & (net.degree[contacts.node] == 1))
    if not beside.size:
        return elsewhere
    index = end_index(net)
    node, host = contacts.node[beside], contacts.axis[beside]
    entry = index.start[node]
    ahead = headings(net.axes, index.axis[entry], index.side[entry] == 1)
    for side in (0, 1):
        away = net.nodes[net.ends[host, side]] - net.nodes[node]
        sideways = np.abs(ahead[:, 0] * away[:, 1] - ahead[:, 1] * away[:, 0])
        near = np.hypot(away[:, 0], away[:, 1]) <= reach.ask
        elsewhere[beside] |= near & (sideways <= np.abs(contacts.off[beside]) / 2)
    return elsewhere


def _met(net: Net, contacts: Contacts, cluster: Ints) -> Contacts:
    """Contacts by cluster: those with an axis that ends in the cluster itself fall away, twins too."""
    node, axis = cluster[contacts.node], contacts.axis
    ends = cluster[net.ends[axis]]
    strange = (ends[:, 0] != node) & (ends[:, 1] != node)
    key = distinct_numbers(node[strange] * len(net.axes) + axis[strange])
    zero = np.zeros(key.size)
    return Contacts(node=key // len(net.axes), axis=key % len(net.axes), at=zero, off=zero)


def _meeting_again(nodes: Floats, met: Contacts, reach: Reach) -> Ints:
    """Clusters brought onto axes that came to one place there, as one."""
    brought = distinct_numbers(met.node)
    group = clustered(nodes[brought], reach.report / 2)
    same = np.arange(len(nodes))
    first = np.full(int(group.max(initial=-1)) + 1, len(nodes))
    np.minimum.at(first, group, brought)
    same[brought] = first[group]
    return np.unique(same, return_inverse=True)[1].reshape(-1)


def _settled(net: Net, met: Contacts, cluster: Ints, reach: Reach) -> tuple[Floats, Floats]:
    """Where each cluster goes, and how far each node moved along its own line to an axis (nan: it did not)."""
    degree = net.degree.astype(float)
    nodes = middles(net.nodes, degree, cluster)
    along = np.full(len(net.nodes), np.nan)
    if not met.node.size:
        return nodes, along
    member, host = _members(met, cluster)
    spots, travel, off = _brought(net, member, host, reach)
    weight = degree[member] + np.where(np.abs(off) <= reach.silent, ON_AXIS, 0.0)
    pair = np.searchsorted(met.node * len(net.axes) + met.axis, cluster[member] * len(net.axes) + host)
    goal = middles(spots, weight, pair)
    single = np.bincount(met.node, minlength=len(nodes))[met.node] == 1
    nodes[met.node[single]] = goal[single]
    along[member] = travel
    for node in np.unique(met.node[~single]).tolist():
        nodes[node] = crossing_of(net.axes, met.axis[met.node == node], nodes[node], reach)
    return nodes, along


def _members(met: Contacts, cluster: Ints) -> tuple[Ints, Ints]:
    """Every node of every cluster that meets an axis, beside that axis."""
    order = np.argsort(cluster, kind="stable")
    start = np.searchsorted(cluster[order], met.node, side="left")
    stop = np.searchsorted(cluster[order], met.node, side="right")
    count = stop - start
    which = np.repeat(np.arange(met.node.size), count)
    offset = np.cumsum(count) - count
    return order[np.arange(which.size) - offset[which] + start[which]], met.axis[which]


def _brought(net: Net, member: Ints, host: Ints, reach: Reach) -> tuple[Floats, Floats, Floats]:
    """Where nodes come to lie on axes, how far along their own line they travel, and how far off they were."""
    at, off = stations(net.axes, host, net.nodes[member])
    spots = places(net.axes, host, at)
    travel = np.full(member.size, np.nan)
    lone = np.flatnonzero((net.degree[member] == 1) & (np.abs(off) > reach.noise))
    if lone.size:
        index = end_index(net)
        entry = index.start[member[lone]]
        ahead = headings(net.axes, index.axis[entry], index.side[entry] == 1)
        goal, gone = extended(net.axes, host[lone], net.nodes[member[lone]], ahead)
        usable = np.abs(gone) <= reach.ask
        spots[lone[usable]] = goal[usable]
        travel[lone[usable]] = gone[usable]
    return spots, travel, off


def extended(axes: Axes, host: Ints, points: Floats, ahead: Floats) -> tuple[Floats, Floats]:
    """Where lines from `points` in the directions `ahead` meet the axes `host`, and at what signed travel.

    The travel is infinite where the two meet at too flat an angle.
    """
    travel = np.zeros(len(points))
    for _ in range(3):
        at, _ = stations(axes, host, points + ahead * travel[:, None])
        foot = places(axes, host, at)
        normal = _normal(axes, host, at)
        rate = (ahead * normal).sum(axis=1)
        flat = np.abs(rate) < LEAST_SINE
        away = ((foot - points - ahead * travel[:, None]) * normal).sum(axis=1)
        travel = np.where(flat, np.inf, travel + away / np.where(flat, 1.0, rate))
        travel = np.where(np.isfinite(travel), travel, 0.0)
        hopeless = flat
    goal = points + ahead * travel[:, None]
    return goal, np.where(hopeless, np.inf, travel)


def _normal(axes: Axes, rows: Ints, at: Floats) -> Floats:
    """Unit normals of axes at stations, to the left of travel."""
    ahead = tangents(axes, rows, at)
    return np.stack((-ahead[:, 1], ahead[:, 0]), axis=1)


def crossing_of(axes: Axes, hosts: Ints, start: Floats, reach: Reach) -> Floats:
    """The point near `start` that lies on several axes at once, in the least-squares sense."""
    point = start.copy()
    for _ in range(4):
        at, off = stations(axes, hosts, np.repeat(point[None], hosts.size, axis=0))
        normal = _normal(axes, hosts, at)
        step, *_ = np.linalg.lstsq(normal, -off, rcond=0.05)
        point = point + step
    far = np.hypot(*(point - start)) > 2 * reach.report
    return start if far else point


def on_axes(net: Net, contacts: Contacts, reach: Reach) -> tuple[Net, Contacts]:
    """The net with every contact on its axis, to noise, and the contacts measured afresh."""
    nodes = net.nodes.copy()
    axes = _with_ends(net.axes, nodes, net.ends)
    single = np.bincount(contacts.node, minlength=len(nodes))[contacts.node] == 1
    at = off = contacts.at
    for _ in range(6):
        at, off = stations(axes, contacts.axis, nodes[contacts.node])
        stray = single & (np.abs(off) > reach.noise)
        if not stray.any():
            break
        nodes[contacts.node[stray]] = places(axes, contacts.axis[stray], at[stray])
        axes = _with_ends(axes, nodes, net.ends)
    met = Contacts(node=contacts.node, axis=contacts.axis, at=at, off=off)
    return replace(net, axes=axes, nodes=nodes), met


def _with_ends(axes: Axes, nodes: Floats, ends: Ints) -> Axes:
    """Axes that end at their nodes; an arc keeps its circle and turns between its new ends."""
    first, last, sweep = nodes[ends[:, 0]], nodes[ends[:, 1]], axes.sweep
    bent = np.flatnonzero(sweep)
    if bent.size:
        one, other = first[bent] - axes.centre[bent], last[bent] - axes.centre[bent]
        turn = np.arctan2(
            one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]
        )
        sign = np.sign(sweep[bent])
        sweep = sweep.copy()
        sweep[bent] = sign * np.mod(turn * sign, 2 * np.pi)
    return replace(axes, first=first, last=last, sweep=sweep)


def _told(net: Net, shift: Floats, along: Floats, reach: Reach) -> list[Change]:
    """One change for every node that moved."""
    moved = np.flatnonzero(shift > reach.noise)
    if not moved.size:
        return []
    index = end_index(net)
    starts, stops = index.start[moved].tolist(), index.start[moved + 1].tolist()
    axis, handles = index.axis.tolist(), net.axes.handles
    columns = (shift[moved].tolist(), along[moved].tolist(), net.nodes[moved].tolist())
    changes = []
    for start, stop, distance, travel, (x, y) in zip(starts, stops, *columns, strict=True):
        if start < stop:
            kind, says = _what(distance, travel, reach)
            names = (
                handles[axis[start]] if stop - start == 1 else merged(*[handles[row] for row in axis[start:stop]])
            )
            changes.append(Change(kind=kind, says=says, where=(x, y), distance=distance, handles=names))
    return changes


def _what(shift: float, along: float, reach: Reach) -> tuple[str, str]:
    """Kind of a move and a sentence for it; `along` is the travel of an end on its own line, nan for none."""
    length = reach.told(shift)
    if shift <= reach.silent:
        return "end-tied", f"An end moved by {length}."
    if along < 0:
        return "overshoot-trimmed", f"An end ran {length} past the line that it meets and was trimmed."
    if along > 0:
        return "end-extended", f"An end stopped {length} short of the line that it meets and was extended."
    return "end-joined", f"An end moved by {length} to the joint beside it."
