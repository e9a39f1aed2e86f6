"""Which axis goes on where another ends: pairs of ends that leave a node in opposite directions.

Terms: the *turn* of a pair is the angle by which one departs from the straight continuation of the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.axes import headings
from trussio.drawing.heal.net import end_index

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.heal.axes import Floats, Ints
    from trussio.drawing.heal.net import Net


@dataclass(frozen=True, kw_only=True, eq=False)
class Continuations:
    """`partner` (2n,) is the end that continues each end, -1 for none; end 2 i + side belongs to axis i.

    `turn` is the angle between them, positive where the way bends to the left.
    """

    partner: Ints
    turn: Floats

    def between(self) -> tuple[Ints, Ints, Floats]:
        """Every pair once: the two ends and their turn."""
        one = np.flatnonzero(self.partner > np.arange(self.partner.size))
        return one, self.partner[one], self.turn[one]


def continuations(net: Net, limit: float) -> Continuations:
    """Every end's straightest continuation within `limit`, where the choice is mutual."""
    ends = 2 * len(net.axes)
    partner = np.full(ends, -1, dtype=np.intp)
    turn = np.zeros(ends)
    one, other = _pairs(net)
    out = headings(net.axes, np.arange(ends) // 2, np.arange(ends) % 2 == 1)
    # Arriving by `one` the way goes in its outward direction, and leaves by the opposite of `other`'s.
    cross = out[other, 0] * out[one, 1] - out[other, 1] * out[one, 0]
    dot = -(out[one, 0] * out[other, 0] + out[one, 1] * out[other, 1])
    bend = np.arctan2(cross, dot)
    small = np.abs(bend) <= limit
    one, other, bend = one[small], other[small], bend[small]
    best = np.full(ends, np.inf)
    size = np.abs(bend)
    np.minimum.at(best, one, size)
    np.minimum.at(best, other, size)
    chosen = (size == best[one]) & (size == best[other])
    one, other, bend = one[chosen], other[chosen], bend[chosen]
    partner[one], partner[other] = other, one
    mutual = (partner[one] == other) & (partner[other] == one)
    lost = ~mutual
    partner[one[lost]] = partner[other[lost]] = -1
    turn[one[mutual]] = bend[mutual]
    turn[other[mutual]] = -bend[mutual]
    return Continuations(partner=partner, turn=turn)


def _pairs(net: Net) -> tuple[Ints, Ints]:
    """All pairs of different ends at the same node."""
    index = end_index(net)
    count = np.diff(index.start)
    order = 2 * index.axis + index.side
    stop = np.repeat(index.start[1:], count)
    first = np.arange(order.size)
    ones, others = [], []
    for step in range(1, int(count.max(initial=1))):
        # Entry k pairs with entry k + step while both belong to one node.
        first = first[first + step < stop[first]]
        ones.append(order[first])
        others.append(order[first + step])
    if not ones:
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    return np.concatenate(ones), np.concatenate(others)


def runs(partner: Ints, wanted: NDArray[np.bool_]) -> list[list[int]]:
    """Chains of ends through partners, as the ends by which each axis is entered.

    Only wanted axes that have a partner are followed. A ring starts at its lowest axis.
    """
    seen: set[int] = set()
    links = partner.tolist()
    rows = [row for row in np.flatnonzero(wanted).tolist() if links[2 * row] >= 0 or links[2 * row + 1] >= 0]
    found = []
    open_ends = [2 * row + side for row in rows for side in (0, 1) if links[2 * row + side] < 0]
    for start in (*open_ends, *(2 * row for row in rows)):
        if start // 2 in seen:
            continue
        run = []
        end = start
        while end >= 0 and end // 2 not in seen:
            seen.add(end // 2)
            run.append(end)
            end = links[end ^ 1]
        found.append(run)
    return found
