"""Break lines and revision clouds: zig-zags of short strokes, and chains of small arcs of one radius.

A break line through a member says that the drawing is shortened there: lengths across it are not to scale.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.heal.axes import stations
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import end_index, merged
from trussio.drawing.sift.aside import Aside

if TYPE_CHECKING:
    from trussio.drawing.heal.net import EndIndex, Net
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Question

STROKE_INCHES: Final = 14.0
"""The strokes in the middle of a break line are no longer."""
LEAST_INCHES: Final = 10.0
"""A smaller zig-zag is a letter."""
MOST_STROKES: Final = 12
SHARP: Final = np.pi / 3.5
CLOUD_INCHES: Final = 40.0
"""Radius; the arcs of a cloud are no larger."""
LEAST_ARCS: Final = 5
SAME_RADIUS: Final = 0.15


def clouds(net: Net, reach: Reach) -> list[Aside]:
    """Small arcs of one radius that follow each other."""
    axes = net.axes
    rows = np.flatnonzero(
        ~axes.straight & (axes.radius <= CLOUD_INCHES * reach.inch) & (np.abs(axes.sweep) > np.pi / 4)
    )
    if rows.size < LEAST_ARCS:
        return []
    found, seen = [], set[int]()
    small = set(rows.tolist())
    index = end_index(net)
    for row in rows.tolist():
        if row in seen:
            continue
        group, waiting = [], [row]
        while waiting:
            here = waiting.pop()
            if here in seen or here not in small:
                continue
            if abs(axes.radius[here] - axes.radius[row]) > SAME_RADIUS * axes.radius[row]:
                continue
            seen.add(here)
            group.append(here)
            waiting += [axis for node in net.ends[here].tolist() for axis, _ in index.at(node)]
        if len(group) >= LEAST_ARCS:
            found.append(Aside(reason="cloud", rows=tuple(sorted(group))))
    return found


def break_lines(net: Net, reach: Reach) -> tuple[list[Aside], list[Question]]:
    """Zig-zags, and a question for each that crosses a line."""
    degree = net.degree
    short = np.flatnonzero((net.axes.lengths <= STROKE_INCHES * reach.inch) & net.axes.straight)
    short = short[(degree[net.ends[short]] == 2).all(axis=1)]
    if not short.size:
        return [], []
    index = end_index(net)
    found, questions, seen = [], [], set[int]()
    for row in short.tolist():
        if row in seen:
            continue
        path = _path(net, index, row)
        seen.update(axis for axis, _ in path)
        if _is_zigzag(net, path, reach):
            rows = tuple(axis for axis, _ in path)
            found.append(Aside(reason="break line", rows=rows))
            crossed = _crossed(net, rows, reach)
            if crossed:
                questions.append(_asked(net, rows, crossed))
    return found, questions


def _path(net: Net, index: EndIndex, row: int) -> list[tuple[int, int]]:
    """The way through nodes of two ends, as axes with the side by which each is entered; cut off when long."""
    way: list[tuple[int, int]] = []
    for side in (1, 0):
        axis, entry = row, side
        part: list[tuple[int, int]] = []
        while len(part) <= MOST_STROKES:
            part.append((axis, entry))
            node = int(net.ends[axis, 1 - entry])
            onward = [end for end in index.at(node) if end[0] != axis]
            if len(onward) != 1 or any(onward[0][0] == known for known, _ in (*part, *way)):
                break
            axis, entry = onward[0]
        way = [(axis, 1 - entry) for axis, entry in part[::-1]] if side else way + part[1:]
    return way


def _is_zigzag(net: Net, path: list[tuple[int, int]], reach: Reach) -> bool:
    if not 3 <= len(path) <= MOST_STROKES:
        return False
    rows = [axis for axis, _ in path]
    spots = np.concatenate((net.axes.first[rows], net.axes.last[rows]))
    if float(np.ptp(spots, axis=0).max()) < LEAST_INCHES * reach.inch:
        return False
    if net.axes.sweep[rows].any() or net.axes.lengths[rows[1:-1]].max() > STROKE_INCHES * reach.inch:
        return False
    ahead = np.array(
        [
            net.axes.last[axis] - net.axes.first[axis] if not side else net.axes.first[axis] - net.axes.last[axis]
            for axis, side in path
        ]
    )
    turn = np.arctan2(
        ahead[:-1, 0] * ahead[1:, 1] - ahead[:-1, 1] * ahead[1:, 0], (ahead[:-1] * ahead[1:]).sum(axis=1)
    )
    sharp = np.abs(turn) > SHARP
    return bool(sharp.sum() >= 2 and (np.sign(turn[sharp][1:]) == -np.sign(turn[sharp][:-1])).any())


def _crossed(net: Net, rows: tuple[int, ...], reach: Reach) -> list[int]:
    """Axes longer than a stroke that pass between the two ends of a zig-zag."""
    spots = np.concatenate([(net.axes.first[[row]] + net.axes.last[[row]]) / 2 for row in rows])
    box_low = np.concatenate((net.axes.first[list(rows)], net.axes.last[list(rows)])).min(axis=0)
    box_high = np.concatenate((net.axes.first[list(rows)], net.axes.last[list(rows)])).max(axis=0)
    middle = (box_low + box_high) / 2
    size = float(np.hypot(*(box_high - box_low)))
    others = np.flatnonzero(
        ~np.isin(np.arange(len(net.axes)), rows) & (net.axes.lengths > STROKE_INCHES * reach.inch)
    )
    at, off = stations(net.axes, others, np.repeat(middle[None], others.size, axis=0))
    near = (np.abs(off) <= size / 2) & (at > 0) & (at < net.axes.lengths[others])
    found: list[int] = others[near].tolist()
    return found if spots.size else []


def _asked(net: Net, rows: tuple[int, ...], crossed: list[int]) -> Question:
    return question(
        "break-line",
        "A break line passes through members here, so that the drawing is shortened. What are the true lengths?",
        taken="as drawn",
        options=("as drawn",),
        settle="Draw the truss at its full length, or confirm that the break line means nothing.",
        where=place(net.axes.first[rows[0]]),
        handles=merged(*(net.axes.handles[row] for row in (*rows, *crossed[:3]))),
    )
