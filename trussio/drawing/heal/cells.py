"""Neighbour search: points near points, and points near axes, by a grid of cells held as sorted keys.

Nothing is joined because it falls in the same cell: cells only find candidates, whose true distance decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.extents import lowest
from trussio.drawing.heal.axes import samples, stations
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.heal.axes import Axes, Floats, Ints

CROWD: Final = 60
"""Candidates per point beyond which linework is too dense for the lengths asked for."""


def point_pairs(points: Floats, reach: float) -> tuple[Ints, Ints, Floats]:
    """All pairs first < second of `points` (m, 2) no further apart than `reach`, with their distances."""
    if len(points) < 2 or reach <= 0:
        return _nothing()
    keys, width = _keys(points, reach)
    order = np.argsort(keys, kind="stable")
    keys = keys[order]
    count = keys.size
    firsts, seconds = [], []
    here = np.arange(count)
    for low, high in ((0, 1), (width - 1, width + 1)):
        start = here + 1 if low == 0 else np.searchsorted(keys, keys + low, side="left")
        stop = np.searchsorted(keys, keys + high, side="right")
        ahead, second = _ranges(start, stop)
        firsts.append(ahead)
        seconds.append(second)
    one, other = order[np.concatenate(firsts)], order[np.concatenate(seconds)]
    gap = points[one] - points[other]
    apart = np.hypot(gap[:, 0], gap[:, 1])
    near = apart <= reach
    one, other, apart = one[near], other[near], apart[near]
    return np.minimum(one, other), np.maximum(one, other), apart


def distinct_numbers(numbers: Ints) -> Ints:
    """Each number once, ascending: by sorting, which is far faster here than the library's way by hashing."""
    ordered = np.sort(numbers)
    fresh = np.ones(ordered.size, dtype=bool)
    fresh[1:] = ordered[1:] != ordered[:-1]
    return ordered[fresh]


def points_near_axes(
    points: Floats, axes: Axes, reach: float, own: tuple[Ints, Ints] | None = None
) -> tuple[Ints, Ints, Floats, Floats]:
    """All pairs of a point and an axis no further off than `reach`, between the ends of the axis.

    `own` are the numbers of the points and, (n, 2), of the two points at which each axis ends: an axis is not near
    its own ends. Returns point numbers, axis numbers, stations and signed offsets.

    Raises UnreadableError `linework-too-dense` where the lines lie much closer together than they are long.
    """
    if not len(points) or not len(axes):
        return (*_nothing(), np.empty(0))
    point, axis = _candidates(points, axes, reach)
    if own is not None:
        number = own[0][point]
        strange = (own[1][axis, 0] != number) & (own[1][axis, 1] != number)
        point, axis = point[strange], axis[strange]
    pairs = distinct_numbers(point * len(axes) + axis)
    point, axis = pairs // len(axes), pairs % len(axes)
    at, off = stations(axes, axis, points[point])
    near = (np.abs(off) <= reach) & (at >= 0) & (at <= axes.lengths[axis])
    return point[near], axis[near], at[near], off[near]


def _candidates(points: Floats, axes: Axes, reach: float) -> tuple[Ints, Ints]:
    """Pairs of a point and an axis that has a sample in the point's cell or in one beside it."""
    step = _cell(axes, reach)
    rows, spots = samples(axes, step)
    keys, width, origin = _keys_with_origin(spots, step)
    order = np.argsort(keys)
    keys = keys[order]
    mine = _keys_at(points, step, width, origin)
    sequence = np.argsort(mine)
    mine = mine[sequence]
    starts = [np.searchsorted(keys, mine + (shift - 1), side="left") for shift in (-width, 0, width)]
    stops = [np.searchsorted(keys, mine + (shift + 1), side="right") for shift in (-width, 0, width)]
    crowd = sum(int((stop - start).sum()) for start, stop in zip(starts, stops, strict=True))
    if crowd > CROWD * (len(points) + 1000):
        raise UnreadableError(
            "linework-too-dense",
            what="The lines lie closer together than the distances by which ends are joined.",
            do="Check the unit of the drawing (--units, --scale), or leave out what is no truss.",
        )
    found = [_ranges(start, stop) for start, stop in zip(starts, stops, strict=True)]
    point = np.concatenate([sequence[pair[0]] for pair in found])
    axis = rows[order[np.concatenate([pair[1] for pair in found])]]
    return point, axis


@dataclass(frozen=True, kw_only=True, eq=False)
class Near:
    """What lies near each point asked about: `found[start[k]:start[k + 1]]` for the k-th."""

    start: Ints
    found: Ints

    def of(self, number: int) -> Ints:
        """Numbers of what lies near one point."""
        return self.found[self.start[number] : self.start[number + 1]]


def near_axes(points: Floats, axes: Axes, reach: float) -> Near:
    """Axes that pass each point within `reach`, between their ends."""
    point, axis, _, _ = points_near_axes(points, axes, reach)
    return _grouped(len(points), point, axis)


def near_points(points: Floats, others: Floats, reach: float) -> Near:
    """Those of `others` that lie within `reach` of each point."""
    one, other, _ = point_pairs(np.concatenate((points, others)), reach)
    across = (one < len(points)) & (other >= len(points))
    return _grouped(len(points), one[across], other[across] - len(points))


def _grouped(count: int, point: Ints, found: Ints) -> Near:
    order = np.lexsort((found, point))
    start = np.zeros(count + 1, dtype=np.intp)
    np.cumsum(np.bincount(point, minlength=count), out=start[1:])
    return Near(start=start, found=found[order])


def _cell(axes: Axes, reach: float) -> float:
    """A cell wide enough for the reach, and no finer than some three samples an axis."""
    return max(2 * reach, float(axes.lengths.sum()) / (2 * len(axes)))


def _keys(points: Floats, size: float) -> tuple[Ints, int]:
    keys, width, _ = _keys_with_origin(points, size)
    return keys, width


def _keys_with_origin(points: Floats, size: float) -> tuple[Ints, int, Floats]:
    low = lowest(points)
    columns = np.floor((points - low) / size).astype(np.int64)
    width = int(columns[:, 0].max()) + 4
    return columns[:, 1] * width + columns[:, 0] + 1, width, low


def _keys_at(points: Floats, size: float, width: int, low: Floats) -> Ints:
    columns = np.floor((points - low) / size).astype(np.int64)
    outside = (columns[:, 0] < -1) | (columns[:, 0] > width - 3)
    keys: Ints = np.where(outside, -3 * width, columns[:, 1] * width + columns[:, 0] + 1)
    return keys


def _ranges(start: NDArray[np.intp], stop: NDArray[np.intp]) -> tuple[Ints, Ints]:
    """Number of the range and running index for every index from start to stop."""
    counts = stop - start
    which = np.repeat(np.arange(counts.size), counts)
    offsets = np.cumsum(counts) - counts
    return which, np.arange(which.size) - offsets[which] + start[which]


def _nothing() -> tuple[Ints, Ints, Floats]:
    return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0)
