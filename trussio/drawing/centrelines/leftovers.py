"""What is left when edges are paired: end caps, single lines that are axes themselves, edges without a partner."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.heal.axes import headings, stations
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.near_joins import extended
from trussio.drawing.heal.net import merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.centrelines.pairing import Bundle
    from trussio.drawing.heal.axes import Axes, Floats, Ints
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Question

SHORT_INCHES: Final = 20.0
CAP_INCHES: Final = 36.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Leftovers:
    """Axes among the leftovers and how far their ends may lie beside their place; what was set aside and asked."""

    axes: Axes
    doubt: Floats
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


def sorted_out(
    edges: Axes,
    made: Sequence[Bundle],
    middles: Axes,
    left: Sequence[int],
    *,
    depths: Floats,
    reach: Reach,
) -> Leftovers:
    """Every unpaired line as a cap, a stroke, an axis, or an edge whose partner is missing."""
    caps = [row for row in left if _is_cap(edges, made, row, reach)]
    least = 2 * reach.ask
    single = [
        row
        for row in left
        if row not in caps and edges.lengths[row] > least and _is_axis(edges, middles, row, reach)
    ]
    sorted_rows = {*caps, *single}
    short = [row for row in left if row not in sorted_rows and edges.lengths[row] < SHORT_INCHES * reach.inch]
    rest = [row for row in left if row not in sorted_rows and row not in short]
    alone = [row for row in rest if _reaches(edges, middles, row, reach)]
    strange = [row for row in rest if row not in alone]
    changes = [
        Change(
            kind="set-aside",
            says=f"{len(rows)} {'line' if len(rows) == 1 else 'lines'} set aside: {reason}.",
            where=place(edges.first[rows[0]]),
            handles=merged(*(edges.handles[row] for row in rows)),
        )
        for rows, reason in ((caps, "end cap"), (short, "lettering"), *(([row], "lone line") for row in strange))
        if rows
    ]
    shifted = [
        _shifted(edges, middles, row, _likely_depths(middles, float(depths[row]), reach), reach) for row in alone
    ]
    axes = edges.take(np.array(single + alone, dtype=np.intp))
    if alone:
        first, last, known = axes.first.copy(), axes.last.copy(), axes.depth.copy()
        for number, (one, other, depth) in enumerate(shifted, start=len(single)):
            first[number], last[number], known[number] = one, other, depth
        axes = replace(axes, first=first, last=last, depth=known)
    questions = [_missing(edges, row, depth, reach) for row, (_, _, depth) in zip(alone, shifted, strict=True)]
    if single:
        questions.append(_mixed(edges, single))
    doubt = np.array([0.0] * len(single) + [reach.report] * len(alone))
    return Leftovers(axes=axes, doubt=doubt, changes=tuple(changes), questions=tuple(questions))


def _is_cap(edges: Axes, made: Sequence[Bundle], row: int, reach: Reach) -> bool:
    """Whether a line joins the ends of the edges of one member."""
    if edges.lengths[row] > CAP_INCHES * reach.inch:
        return False
    ends = (edges.first[row], edges.last[row])
    for bundle in made:
        rows = np.array(bundle.rows, dtype=np.intp)
        touched = [_touches(edges, rows, end, reach) for end in ends]
        if all(touched) and edges.lengths[row] <= 4 * bundle.spacing + reach.report:
            return True
    return False


def _touches(edges: Axes, rows: Ints, spot: Floats, reach: Reach) -> bool:
    """Whether a place lies at an end of one of the edges, or on one near its end."""
    spots = np.repeat(spot[None], rows.size, axis=0)
    at, off = stations(edges, rows, spots)
    lengths = edges.lengths[rows]
    near_end = np.minimum(np.abs(at), np.abs(lengths - at)) <= 2 * reach.report
    return bool(((np.abs(off) <= reach.report) & near_end).any())


def _is_axis(edges: Axes, middles: Axes, row: int, reach: Reach) -> bool:
    """Whether both ends of a line lie on axes of members, where an edge would stop at theirs."""
    every = np.arange(len(middles))
    hits = 0
    for end in (edges.first[row], edges.last[row]):
        at, off = stations(middles, every, np.repeat(end[None], every.size, axis=0))
        near = (np.abs(off) <= reach.report) & (at >= -reach.ask) & (at <= middles.lengths + reach.ask)
        hits += bool(near.any())
    return hits == 2


def _reaches(edges: Axes, middles: Axes, row: int, reach: Reach) -> bool:
    """Whether both ends of a line stop near axes of members, as the ends of an edge do."""
    every = np.arange(len(middles))
    deepest = 2.5 * float(np.nanmax(middles.depth)) + reach.ask
    for at_last in (False, True):
        end = (edges.last if at_last else edges.first)[row]
        ahead = headings(edges, np.array([row]), np.array([at_last]))[0]
        goal, travel = extended(
            middles, every, np.repeat(end[None], every.size, axis=0), np.repeat(ahead[None], every.size, axis=0)
        )
        at, _ = stations(middles, every, goal)
        near = (
            np.isfinite(travel)
            & (np.abs(travel) <= deepest)
            & (at >= -deepest)
            & (at <= middles.lengths + deepest)
        )
        if not near.any():
            return False
    return True


def _likely_depths(middles: Axes, stated: float, reach: Reach) -> list[float]:
    """Depths that a member drawn by one edge may have: those of the others, the commonest first.

    Where a label states a depth, only those near it, or else that depth itself.
    """
    known = np.round(middles.depth, 2).tolist()
    likely = sorted(dict.fromkeys(known), key=lambda depth: (-known.count(depth), depth))
    if np.isnan(stated):
        return likely
    near = [depth for depth in likely if abs(depth - stated) <= reach.inch]
    return near or [stated]


def _shifted(
    edges: Axes, middles: Axes, row: int, depths: Sequence[float], reach: Reach
) -> tuple[Floats, Floats, float]:
    """The edge moved by half a depth to the side on which it meets joints of other members, and that depth."""
    ahead = headings(edges, np.array([row]), np.array([True]))[0]
    normal = np.array((-ahead[1], ahead[0]))
    best = (np.inf, edges.first[row], edges.last[row], 0.0)
    for depth in depths:
        for side in (1.0, -1.0):
            first = edges.first[row] + normal * side * depth / 2
            last = edges.last[row] + normal * side * depth / 2
            # A foot where nothing else meets tells nothing of the side.
            miss = sum(min(_miss(middles, *end), 2 * depth) for end in ((first, -ahead), (last, ahead)))
            if miss < best[0] - reach.silent:
                best = (miss, first, last, depth)
    return best[1:]


def _miss(middles: Axes, end: Floats, ahead: Floats) -> float:
    """How far an end, run on to the axis that it meets, stays from where other axes meet that one."""
    hosts = np.arange(len(middles))
    goal, travel = extended(
        middles, hosts, np.repeat(end[None], hosts.size, axis=0), np.repeat(ahead[None], hosts.size, axis=0)
    )
    at, _ = stations(middles, hosts, goal)
    fits = (
        np.isfinite(travel) & (at > 0) & (at < middles.lengths) & (np.abs(travel) <= 4 * np.nanmax(middles.depth))
    )
    found = np.flatnonzero(fits)
    if not found.size:
        return 1e9
    host = int(found[np.argmin(np.abs(travel[found]))])
    spot = goal[host]
    others = hosts[hosts != host]
    best = 1e9
    for at_last in (False, True):
        here = (middles.last if at_last else middles.first)[others]
        out = headings(middles, others, np.full(others.size, at_last))
        meet, run = extended(middles, np.full(others.size, host), here, out)
        near = np.isfinite(run) & (np.abs(run) <= 4 * np.nanmax(middles.depth))
        if near.any():
            best = min(best, float(np.hypot(*(meet[near] - spot).T).min()))
    return best


def _missing(edges: Axes, row: int, depth: float, reach: Reach) -> Question:
    return question(
        "edge-without-partner",
        f"Only one edge of a member is drawn; its axis was taken {reach.told(depth / 2)} beside it. Is it so?",
        taken="a member",
        options=("a member",),
        settle="Draw its other edge, or delete the line if it is no member.",
        where=place((edges.first[row] + edges.last[row]) / 2),
        handles=edges.handles[row],
    )


def _mixed(edges: Axes, rows: Sequence[int]) -> Question:
    return question(
        "mixed-style",
        f"{len(rows)} members are drawn by single lines among members drawn by edges. Are the lines their axes?",
        taken="axes",
        options=("axes",),
        settle="Draw all members in one way, or the single lines on a layer of their own.",
        where=place((edges.first[rows[0]] + edges.last[rows[0]]) / 2),
        handles=merged(*(edges.handles[row] for row in rows)),
    )
