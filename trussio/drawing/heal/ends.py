"""The first steps of healing: number the ends of the axes, and drop what is no line or a line drawn twice.

Every step takes a net and gives a net with the changes it made; none moves anything further than the silent
distance.
"""

from __future__ import annotations

from math import dist
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.axes import places
from trussio.drawing.heal.clusters import clustered, distinct, middles
from trussio.drawing.heal.net import Net, merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.heal.axes import Axes, Floats, Ints
    from trussio.drawing.heal.reach import Reach


def tied_ends(axes: Axes, reach: Reach) -> tuple[Net, list[Change]]:
    """Ends that lie within the silent distance of each other become one node."""
    points = np.stack((axes.first, axes.last), axis=1).reshape(-1, 2)
    spots, number, count = distinct(points)
    cluster = clustered(spots, reach.silent)
    nodes = middles(spots, count.astype(float), cluster)
    ends = cluster[number].reshape(-1, 2)
    moved = np.hypot(*(nodes[cluster] - spots).T)
    changes = [
        Change(
            kind="end-tied",
            says=f"An end moved by {reach.told(moved[row // 2, row % 2])} to the ends beside it.",
            where=place(points[row]),
            distance=float(moved[row // 2, row % 2]),
            handles=axes.handles[row // 2],
        )
        for moved in (moved[number].reshape(-1, 2),)
        for row in np.flatnonzero(moved.ravel() > reach.noise).tolist()
    ]
    return Net(axes=axes, nodes=nodes, ends=ends), changes


def without_points(net: Net, reach: Reach, drawn: Floats | None = None) -> tuple[Net, list[Change]]:
    """Lines whose two ends are one node are dropped: zero length, or specks left over from trimming.

    `drawn` are their lengths before ends were joined.
    """
    rows = np.flatnonzero(net.ends[:, 0] == net.ends[:, 1])
    if not rows.size:
        return net, []
    lengths = net.axes.lengths if drawn is None else drawn
    changes = [
        Change(
            kind="speck-dropped" if lengths[row] > reach.noise else "zero-length-dropped",
            says=(
                f"A line {reach.told(lengths[row])} long lay within one joint and was dropped."
                if lengths[row] > reach.noise
                else "A line of no length was dropped."
            ),
            where=place(net.axes.first[row]),
            distance=float(lengths[row]),
            handles=net.axes.handles[row],
        )
        for row in rows.tolist()
    ]
    return net.without(set(rows.tolist())), changes


def without_duplicates(net: Net, reach: Reach) -> tuple[Net, list[Change]]:
    """Of axes with the same two ends and the same shape one stays, with the handles of all."""
    low, high = net.ends.min(axis=1), net.ends.max(axis=1)
    key = low * len(net.nodes) + high
    order = np.argsort(key, kind="stable")
    same = key[order][1:] == key[order][:-1]
    if not same.any():
        return net, []
    twins: dict[int, list[int]] = {}
    for entry in np.flatnonzero(same).tolist():
        twins.setdefault(int(key[order[entry]]), [int(order[entry])]).append(int(order[entry + 1]))
    doubled = np.array([row for rows in twins.values() for row in rows], dtype=np.intp)
    crowns = dict(zip(doubled.tolist(), _crowns(net.axes, doubled), strict=True))
    groups = [group for rows in twins.values() for group in _alike(crowns, rows, reach)]
    handles = {rows[0]: merged(*(net.axes.handles[row] for row in rows)) for rows in groups}
    changes = [
        Change(
            kind="duplicate-dropped",
            says="A line drawn twice was kept once.",
            where=place(crowns[row]),
            distance=0.0,
            handles=net.axes.handles[row] + net.axes.handles[rows[0]],
        )
        for rows in groups
        for row in rows[1:]
    ]
    gone = {row for rows in groups for row in rows[1:]}
    return Net(axes=net.axes.with_handles(handles), nodes=net.nodes, ends=net.ends).without(gone), changes


def _alike(crowns: Mapping[int, Floats], rows: list[int], reach: Reach) -> list[list[int]]:
    """Groups of the same shape among axes that share both ends, by their middles, those of more than one."""
    groups: list[list[int]] = []
    for row in rows:
        spot = place(crowns[row])
        mine = next((g for g in groups if dist(place(crowns[g[0]]), spot) <= 2 * reach.silent), None)
        if mine is None:
            groups.append([row])
        else:
            mine.append(row)
    return [group for group in groups if len(group) > 1]


def _crowns(axes: Axes, rows: Ints) -> Floats:
    """The middles of axes, on the arcs where they are some."""
    return places(axes, rows, axes.lengths[rows] / 2)


def place(point: Floats) -> tuple[float, float]:
    """A point as a place in a change."""
    return (float(point[0]), float(point[1]))
