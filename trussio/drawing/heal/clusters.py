"""Clusters of points that are one place: the widest distance within a cluster is limited.

"A near B, B near C" does not make A and C one place: the closest two merge first, and two clusters merge
only when every point of one is within the limit of every point of the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.cells import point_pairs
from trussio.drawing.heal.net import components

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Floats, Ints


def distinct(points: Floats) -> tuple[Floats, Ints, Ints]:
    """Points that differ by a bit at least, the number of each given point among them, and their counts."""
    order = np.lexsort((points[:, 1], points[:, 0]))
    rows = points[order]
    fresh = np.ones(len(rows), dtype=bool)
    fresh[1:] = (rows[1:] != rows[:-1]).any(axis=1)
    number = np.empty(len(rows), dtype=np.intp)
    number[order] = np.cumsum(fresh) - 1
    return rows[fresh], number, np.bincount(number)


def clustered(points: Floats, limit: float) -> Ints:
    """Cluster number of each point, counting from 0; no two points of a cluster are further apart than `limit`."""
    one, other, apart = point_pairs(points, limit)
    if not one.size:
        return np.arange(len(points))
    label = components(len(points), one, other)
    groups = label[one]
    for root in np.unique(groups[_wide(points, label, one, groups, limit)]).tolist():
        mine = groups == root
        _split(label, one[mine], other[mine], apart[mine])
    return np.unique(label, return_inverse=True)[1].reshape(-1)


def _wide(points: Floats, label: Ints, one: Ints, groups: Ints, limit: float) -> Ints:
    """Numbers of pairs whose component has a box wider than a cluster may be."""
    touched = np.unique(label[one])
    low = np.full((len(points), 2), np.inf)
    high = np.full((len(points), 2), -np.inf)
    inside = np.isin(label, touched)
    np.minimum.at(low, label[inside], points[inside])
    np.maximum.at(high, label[inside], points[inside])
    size = np.hypot(*(high[groups] - low[groups]).T)
    return np.flatnonzero(size > limit)


def _split(label: Ints, one: Ints, other: Ints, apart: Floats) -> None:
    """Label the points of one component afresh, merging the closest first."""
    near = {(a, b) for a, b in zip(one.tolist(), other.tolist(), strict=True)}
    home = {point: [point] for pair in near for point in pair}
    for index in np.lexsort((other, one, apart)).tolist():
        mine, theirs = home[int(one[index])], home[int(other[index])]
        if mine is not theirs and all((min(a, b), max(a, b)) in near for a in mine for b in theirs):
            mine.extend(theirs)
            for point in theirs:
                home[point] = mine
    for point, cluster in home.items():
        label[point] = min(cluster)


def middles(points: Floats, weight: Floats, cluster: Ints) -> Floats:
    """Where each cluster is: the mean of those of its points that have the largest weight."""
    count = int(cluster.max()) + 1 if cluster.size else 0
    best = np.zeros(count)
    np.maximum.at(best, cluster, weight)
    heavy = weight >= best[cluster]
    total = np.zeros((count, 2))
    np.add.at(total, cluster[heavy], points[heavy])
    return total / np.bincount(cluster[heavy], minlength=count)[:, None]
