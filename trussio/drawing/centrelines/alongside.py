"""Lines that run along a member and are none of its edges: roofing above a chord, a ceiling below.

Such a line touches nothing and keeps clear of the edge beside it; other members end between that edge and its own
partner, and none between it and the line.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import stations
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
SHARED: Final = 0.8
MIDDLE: Final = 0.05
"""What ends within this share of the length of a strip from its own ends tells nothing."""


def alongside(edges: Axes, found: Sequence[Pair], reach: Reach) -> set[int]:
    """Edges, by row, that belong to lines which only accompany members."""
    beside: dict[int, list[Pair]] = {}
    for pair in found:
        beside.setdefault(pair.one, []).append(pair)
        beside.setdefault(pair.other, []).append(pair)

    def only_accompanies(row: int, mine: set[int]) -> bool:
        outer = [pair for pair in beside.get(row, ()) if not {pair.one, pair.other} <= mine]
        if not outer:
            return False
        nearest = min(outer, key=lambda pair: pair.spacing)
        edge = _partner(nearest, row)
        return (
            nearest.spacing >= CLEAR_INCHES * reach.inch
            and not _built_up(edges, edge, _bundle(edge, beside), reach)
            and not _holds_ends(edges, edge, row, reach)
            and any(
                _holds_ends(edges, edge, _partner(pair, edge), reach)
                for pair in beside[edge]
                if _partner(pair, edge) not in mine
            )
        )

    return {
        row
        for rows in _lone_lines(edges, reach)
        for mine in (set(rows.tolist()),)
        if all(only_accompanies(one, mine) for one in mine)
        for row in mine
    }


def _partner(pair: Pair, row: int) -> int:
    return pair.other if pair.one == row else pair.one


def _bundle(edge: int, beside: dict[int, list[Pair]]) -> list[int]:
    """An edge, what runs beside it over most of its length, and what runs so beside that."""
    near = {row for pair in beside[edge] if pair.overlap >= SHARED for row in (pair.one, pair.other)}
    return sorted(near | {row for one in near for pair in beside[one] if pair.overlap >= SHARED
                          for row in (pair.one, pair.other)})  # fmt: skip


def _built_up(edges: Axes, edge: int, bundle: Sequence[int], reach: Reach) -> bool:
    """Whether lines that run beside an edge lie even about their middle, as the plies of one member do."""
    rows = np.array(bundle, dtype=np.intp)
    middle = (edges.first[rows] + edges.last[rows]) / 2
    _, off = stations(edges, np.full(rows.size, edge), middle)
    off = np.sort(off)
    return off.size > 2 and bool((np.abs(off + off[::-1] - off[0] - off[-1]) <= reach.report / 2).all())


def _holds_ends(edges: Axes, edge: int, other: int, reach: Reach) -> bool:
    """Whether lines end in the strip between an edge and another, or on the other, but not on the edge itself."""
    rows = np.setdiff1d(np.arange(len(edges)), (edge, other))
    spots = np.concatenate((edges.first[rows], edges.last[rows]))
    at, off = stations(edges, np.full(len(spots), edge), spots)
    ends = np.stack((edges.first[other], edges.last[other]))
    beside, level = stations(edges, np.full(2, edge), ends)
    across = float(level.mean())
    start, stop = max(0.0, float(beside.min())), min(float(edges.lengths[edge]), float(beside.max()))
    clear, spare = MIDDLE * (stop - start), reach.report / 4
    inside = (off * np.sign(across) > spare) & (off * np.sign(across) <= abs(across) + spare)
    return bool((inside & (at > start + clear) & (at < stop - clear)).any())


def _lone_lines(edges: Axes, reach: Reach) -> list[Ints]:
    """Open runs of few lines that touch nothing else."""
    net, _ = tied_ends(edges, reach)
    label = net_parts(net, contacts_within(net, reach.silent))
    degree = net.degree[net.ends]
    order = np.argsort(label, kind="stable")
    groups = np.split(order, np.flatnonzero(np.diff(label[order])) + 1)
    return [rows for rows in groups if rows.size <= MOST_LINES and int((degree[rows] == 1).sum()) == 2]
