"""The outer boundary of a frame, and the ways of which it consists.

Terms: the *heels* are the lowest outer joints, left and right; the *upper way* and the *lower way* are the two
halves of the boundary between them. Near-vertical pieces at the ends of the upper way are end posts, no chord.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.cells import distinct_numbers

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Floats, Ints
    from trussio.drawing.recognise.frame import Frame

OUTER_SHARE: Final = 0.02
"""A joint is outer when it lies within this share of the span of the leftmost or rightmost one."""
INWARD: Final = 0.3
"""An outer joint further in must lie lower by this share of the distance to be the heel."""
UPRIGHT: Final = 0.2
"""A piece leans by less than this, sideways over upwards, where it is an end post."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Outline:
    """Both ways from the left heel to the right one: nodes in order, and the edges between them.

    The upper way has no end posts.
    """

    left: int
    right: int
    upper: Ints
    upper_edges: Ints
    lower: Ints
    lower_edges: Ints


def outline_of(frame: Frame) -> Outline | None:
    """The outline of a frame that stands upright, None where it has no simple one."""
    edges = np.flatnonzero(frame.core)
    if edges.size < 3:
        return None
    walk = boundary(frame, edges)
    if walk is None:
        return None
    nodes, walked = walk
    left, right = _heels(frame.places[nodes])
    if left == right:
        return None
    count = nodes.size
    down = (left + np.arange((right - left) % count + 1)) % count
    up = (right + np.arange((left - right) % count + 1)) % count
    upper, upper_edges = nodes[up][::-1], walked[up[:-1]][::-1]
    first, last = _posts(frame.places[upper])
    return Outline(
        left=int(nodes[left]),
        right=int(nodes[right]),
        upper=upper[first : upper.size - last],
        upper_edges=upper_edges[first : upper_edges.size - last],
        lower=nodes[down],
        lower_edges=walked[down[:-1]],
    )


def boundary(frame: Frame, edges: Ints) -> tuple[Ints, Ints] | None:
    """Nodes and edges around the outside, counter-clockwise from the lowest node; None where it crosses itself.

    The k-th edge runs from the k-th node to the next one.
    """
    forward, backward = frame.headings()
    start = np.concatenate((frame.one[edges], frame.other[edges]))
    stop = np.concatenate((frame.other[edges], frame.one[edges]))
    angle = np.mod(np.concatenate((forward[edges], backward[edges])), 2 * np.pi)
    spots = frame.places[start]
    lowest = np.lexsort((np.mod(angle + np.pi / 2, 2 * np.pi), spots[:, 0], spots[:, 1]))[0]
    onward = _onward(start, angle, edges.size).tolist()
    halves = [int(lowest)]
    while True:
        half = onward[halves[-1]]
        if half == halves[0]:
            break
        halves.append(half)
        if len(halves) > start.size:
            return None
    way = np.array(halves)
    nodes: Ints = start[way]
    if distinct_numbers(nodes).size != nodes.size or (stop[way] != np.roll(nodes, -1)).any():
        return None
    return nodes, edges[way % edges.size]


def _onward(start: Ints, angle: Floats, count: int) -> Ints:
    """For each half edge the one by which the walk around the outside goes on at its end.

    At every node the walk takes the first edge counter-clockwise from the one that it came by.
    """
    order = np.lexsort((angle, start))
    place = np.empty(order.size, dtype=np.intp)
    place[order] = np.arange(order.size)
    sorted_start = start[order]
    first = np.searchsorted(sorted_start, sorted_start, side="left")
    last = np.searchsorted(sorted_start, sorted_start, side="right")
    after = np.where(np.arange(order.size) + 1 < last, np.arange(order.size) + 1, first)
    twin = np.concatenate((np.arange(count) + count, np.arange(count)))
    onward: Ints = order[after[place[twin]]]
    return onward


def _heels(spots: Floats) -> tuple[int, int]:
    """The lowest outer nodes of a walk, left and right, by their place in it."""
    x, y = spots.T
    reach = OUTER_SHARE * float(np.ptp(x))
    left, right = np.flatnonzero(x <= x.min() + reach), np.flatnonzero(x >= x.max() - reach)
    return (
        int(left[np.argmin(y[left] + INWARD * (x[left] - x.min()))]),
        int(right[np.argmin(y[right] + INWARD * (x.max() - x[right]))]),
    )


def _posts(upper: Floats) -> tuple[int, int]:
    """How many pieces at the left and at the right end of the upper way are upright."""
    step = np.abs(np.diff(upper, axis=0))
    leaning = np.flatnonzero(step[:, 0] > UPRIGHT * step[:, 1])
    if not leaning.size:
        return 0, 0
    return int(leaning[0]), int(step.shape[0] - 1 - leaning[-1])
