"""Edges in full length: pieces of one straight line or one circle, joined across breaks.

An edge is broken where another member passes in front, or where webs enter a chord. Pieces join when they
touch or overlap, and across a break that is bounded by other lines at both its ends.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, places, stations
from trussio.drawing.heal.cells import near_axes
from trussio.drawing.heal.net import components, merged

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Axes, Flags, Floats, Ints
    from trussio.drawing.heal.reach import Reach

WIDEST_BREAK_INCHES: Final = 40.0
SAME_DIRECTION: Final = 0.004


def edge_lines(axes: Axes, depths: Floats, reach: Reach) -> tuple[Axes, Floats]:
    """Every edge as long as it was before others were drawn over it, with the depth stated of it, nan for none."""
    one, other = _in_line(axes, reach)
    if not one.size:
        return axes, depths
    depths = depths.copy()
    label = components(len(axes), one, other)
    first, last, sweep = axes.first.copy(), axes.last.copy(), axes.sweep.copy()
    handles = dict[int, tuple[str, ...]]()
    gone: set[int] = set()
    groups: dict[int, list[int]] = {}
    for row in sorted({*one.tolist(), *other.tolist()}):
        groups.setdefault(int(label[row]), []).append(row)
    for rows in groups.values():
        longest = max(rows, key=lambda row: (axes.lengths[row], -row))
        low, high = _extremes(axes, rows, longest)
        host = np.array([longest])
        first[longest], last[longest] = places(axes, host, low)[0], places(axes, host, high)[0]
        if sweep[longest]:
            sweep[longest] = np.sign(sweep[longest]) * float(high[0] - low[0]) / axes.radius[longest]
        handles[longest] = merged(*(axes.handles[row] for row in rows))
        depths[longest] = np.fmax.reduce(depths[rows])
        gone.update(row for row in rows if row != longest)
    kept = np.setdiff1d(np.arange(len(axes)), list(gone))
    return replace(axes, first=first, last=last, sweep=sweep).with_handles(handles).take(kept), depths[kept]


def _extremes(axes: Axes, rows: list[int], host: int) -> tuple[Floats, Floats]:
    spots = np.concatenate((axes.first[rows], axes.last[rows]))
    at, _ = stations(axes, np.full(len(spots), host), spots)
    return np.array([at.min()]), np.array([at.max()])


def _in_line(axes: Axes, reach: Reach) -> tuple[Ints, Ints]:
    """Pairs of pieces of one line that follow each other, or overlap."""
    count = len(axes)
    ones, others = [], []
    bounded = _bounded(axes, reach)
    for row in range(count):
        later = np.arange(row + 1, count)
        later = later[axes.straight[later] == axes.straight[row]]
        if not later.size:
            continue
        same = later[_same_line(axes, row, later, reach)]
        same = same[_follow(axes, row, same, bounded, reach)]
        ones.append(np.full(same.size, row))
        others.append(same)
    none = np.empty(0, dtype=np.intp)
    return np.concatenate([none, *ones]), np.concatenate([none, *others])


def _same_line(axes: Axes, row: int, others: Ints, reach: Reach) -> Flags:
    """Which of `others` lie on the line or circle of an axis."""
    host = np.full(others.size, row)
    tolerance = 3 * reach.silent
    _, off_first = stations(axes, host, axes.first[others])
    _, off_last = stations(axes, host, axes.last[others])
    close: Flags = (np.abs(off_first) <= tolerance) & (np.abs(off_last) <= tolerance)
    if axes.straight[row]:
        one = headings(axes, np.array([row]), np.array([True]))[0]
        two = headings(axes, others, np.ones(others.size, dtype=bool))
        close |= (
            (np.abs(one[0] * two[:, 1] - one[1] * two[:, 0]) <= SAME_DIRECTION)
            & (np.minimum(np.abs(off_first), np.abs(off_last)) <= tolerance)
            & (np.maximum(np.abs(off_first), np.abs(off_last)) <= 4 * tolerance)
        )
        return close
    close &= np.abs(axes.radius[others] - axes.radius[row]) <= 8 * tolerance
    return close


def _follow(axes: Axes, row: int, others: Ints, bounded: Flags, reach: Reach) -> Flags:
    """Which pieces of its line touch an axis, overlap it, or part from it at a break that lines bound."""
    host = np.full(others.size, row)
    ends = np.stack([stations(axes, host, spots[others])[0] for spots in (axes.first, axes.last)], axis=1)
    length = float(axes.lengths[row])
    low, high = ends.min(axis=1), ends.max(axis=1)
    beyond = low > length
    touching = (low <= length + reach.silent) & (high >= -reach.silent)
    gap = np.where(beyond, low - length, -high)
    mine = np.where(beyond, bounded[row, 1], bounded[row, 0])
    theirs = bounded[others, np.where(beyond, ends.argmin(axis=1), ends.argmax(axis=1))]
    found: Flags = touching | ((gap <= WIDEST_BREAK_INCHES * reach.inch) & mine & theirs)
    return found


def _bounded(axes: Axes, reach: Reach) -> Flags:
    """For each end of each axis whether another axis passes or ends there, (n, 2)."""
    spots = np.concatenate((axes.first, axes.last))
    count = len(axes)
    passing = near_axes(spots, axes, reach.report / 4)
    found = np.zeros(2 * count, dtype=bool)
    apart = np.hypot(*(spots[:, None, :] - spots[None, :, :]).transpose(2, 0, 1)) <= reach.report / 4
    for number in range(2 * count):
        own = number % count
        found[number] = bool((passing.of(number) != own).any()) or bool(
            apart[number, :own].any()
            or apart[number, own + 1 : own + count].any()
            or apart[number, own + count + 1 :].any()
        )
    return np.stack((found[:count], found[count:]), axis=1)
