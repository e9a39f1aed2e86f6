"""Lines that run along a member and are none of its edges: roofing above a chord, a ceiling below.

Such a line touches nothing, keeps clear of the edge beside it, and that edge has its own partner without it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.ends import tied_ends
from trussio.drawing.heal.net import contacts_within, net_parts

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.centrelines.pairing import Pair
    from trussio.drawing.heal.axes import Axes, Ints
    from trussio.drawing.heal.reach import Reach

CLEAR_INCHES: Final = 4.0
"""A line nearer to an edge than this may be a ply."""
MOST_LINES: Final = 8
"""Roofing is drawn by no more lines than this."""


def alongside(edges: Axes, found: Sequence[Pair], reach: Reach) -> set[int]:
    """Edges, by row, that belong to lines which only accompany members; the outermost are sought first."""
    beside: dict[int, list[Pair]] = {}
    for pair in found:
        beside.setdefault(pair.one, []).append(pair)
        beside.setdefault(pair.other, []).append(pair)
    gone: set[int] = set()
    for rows in _lone_lines(edges, reach):
        mine = set(rows.tolist())
        if all(_needless(row, mine, gone, beside, reach) for row in mine):
            gone |= mine
    return gone


def _needless(row: int, mine: set[int], gone: set[int], beside: dict[int, list[Pair]], reach: Reach) -> bool:
    """Whether a line has an edge beside it, keeps clear of every one, and each has a nearer partner without it."""
    pairs = [pair for pair in beside.get(row, ()) if not {pair.one, pair.other} <= mine]
    pairs = [pair for pair in pairs if not {pair.one, pair.other} & gone]
    return bool(pairs) and all(
        pair.spacing >= CLEAR_INCHES * reach.inch
        and any(
            other.spacing < pair.spacing and not ({other.one, other.other} & (gone | mine))
            for other in beside[pair.other if pair.one == row else pair.one]
        )
        for pair in pairs
    )


def _lone_lines(edges: Axes, reach: Reach) -> list[Ints]:
    """Open runs of few lines that touch nothing else, the outermost first."""
    net, _ = tied_ends(edges, reach)
    label = net_parts(net, contacts_within(net, reach.silent))
    degree = net.degree[net.ends]
    order = np.argsort(label, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(label[order])) + 1)
    lone = [rows for rows in groups if rows.size <= MOST_LINES and int((degree[rows] == 1).sum()) == 2]
    middle = (edges.first.mean(axis=0) + edges.last.mean(axis=0)) / 2
    far = [float(np.hypot(*(np.concatenate((edges.first[r], edges.last[r])) - middle).T).max()) for r in lone]
    return [lone[number] for number in np.argsort(-np.array(far), kind="stable").tolist()]
