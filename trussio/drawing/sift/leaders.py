"""Leaders drawn as loose lines: an arrow tip of two short strokes, or a text at the free end.

The tip touches a member and would look like a branch of it.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings
from trussio.drawing.heal.net import end_index
from trussio.drawing.sift.aside import Aside

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.net import Contacts, EndIndex, Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Text

STROKE_INCHES: Final = 14.0
SHARPEST: Final = 0.08
BLUNTEST: Final = 0.8
"""Angles between a leader and the strokes of its arrow, in radians."""
NEAR_HEIGHTS: Final = 2.0


def arrows(net: Net, reach: Reach) -> list[Aside]:
    """Lines that end in two short strokes, one on either side."""
    axes = net.axes
    short = axes.lengths <= STROKE_INCHES * reach.inch
    if not short.any():
        return []
    index = end_index(net)
    found = []
    tips = np.unique(net.ends[short])
    for node in tips[np.isin(net.degree[tips], (3, 4, 5))].tolist():
        ends = index.at(node)
        strokes = [end for end in ends if short[end[0]] and net.degree[net.ends[end[0], 1 - end[1]]] == 1]
        lines = (
            [end for end in ends if not short[end[0]] or axes.lengths[end[0]] > 2.5 * axes.lengths[strokes[0][0]]]
            if strokes
            else []
        )
        for line in lines:
            pair = _pair(net, line, strokes)
            if pair is not None:
                found.append(Aside(reason="leader", rows=(line[0], *pair)))
                break
    return found


def _pair(net: Net, line: tuple[int, int], strokes: Sequence[tuple[int, int]]) -> tuple[int, int] | None:
    """Two strokes that open from the tip towards the line's other end, one to the left and one to the right."""
    rows = np.array([line[0], *(axis for axis, _ in strokes)])
    sides = np.array([line[1], *(side for _, side in strokes)])
    inward = -headings(net.axes, rows, sides == 1)
    turn = np.arctan2(inward[0, 0] * inward[1:, 1] - inward[0, 1] * inward[1:, 0], inward[1:] @ inward[0])
    left = [k for k, angle in enumerate(turn.tolist()) if SHARPEST <= angle <= BLUNTEST]
    right = [k for k, angle in enumerate(turn.tolist()) if SHARPEST <= -angle <= BLUNTEST]
    if not left or not right:
        return None
    one, other = strokes[left[0]][0], strokes[right[0]][0]
    sizes = net.axes.lengths[[one, other]]
    if sizes.max() > 1.3 * sizes.min() or one == line[0] or other == line[0]:
        return None
    return one, other


def text_leaders(net: Net, contacts: Contacts, texts: Sequence[Text], reach: Reach) -> list[Aside]:
    """Branches whose free end carries a text, and which touch a member where nothing else meets it.

    An end that lies near enough to a joint or a line to be joined to it is a member's.
    """
    if not texts:
        return []
    lone = net.degree == 1
    lone[contacts.node] = False
    index = end_index(net)
    found = []
    for node in np.flatnonzero(lone).tolist():
        branch, foot = _branch(net, index, node)
        where = net.nodes[node]
        if foot is None or not _alone(foot, contacts, index, branch):
            continue
        if any(_beside(where, text) for text in texts) and not _targets(net, node, branch, reach):
            found.append(Aside(reason="leader", rows=tuple(branch)))
    return found


def _branch(net: Net, index: EndIndex, node: int) -> tuple[list[int], int | None]:
    """Axes from a free end through nodes of two ends, and the node where the branch ends."""
    rows: list[int] = []
    here = node
    while True:
        ends = [(axis, side) for axis, side in index.at(here) if axis not in rows]
        if len(ends) != 1 or (here != node and len(index.at(here)) > 2):
            return rows, here
        axis, side = ends[0]
        rows.append(axis)
        here = int(net.ends[axis, 1 - side])
        if len(rows) > 4:
            return rows, None
        if len(index.at(here)) == 1:
            return rows, here


def _alone(foot: int, contacts: Contacts, index: EndIndex, branch: Sequence[int]) -> bool:
    """Whether a branch touches one member between its ends, and nothing else ends there."""
    others = [axis for axis, _ in index.at(foot) if axis not in branch]
    return not others and int((contacts.node == foot).sum()) <= 1


def _beside(where: np.ndarray[tuple[int], np.dtype[np.float64]], text: Text) -> bool:
    """Whether a place lies within two text heights of a text's box."""
    dx, dy = float(where[0]) - text.centre[0], float(where[1]) - text.centre[1]
    c, s = np.cos(text.angle), np.sin(text.angle)
    along, across = abs(dx * c + dy * s), abs(dy * c - dx * s)
    return (
        hypot(max(along - text.width / 2, 0.0), max(across - text.height / 2, 0.0)) <= NEAR_HEIGHTS * text.height
    )


def _targets(net: Net, node: int, branch: Sequence[int], reach: Reach) -> bool:
    """Whether another joint lies near enough for the end to have been meant to reach it."""
    used = np.unique(np.delete(net.ends, branch, axis=0))
    return bool((np.hypot(*(net.nodes[used] - net.nodes[node]).T) <= reach.ask).any())
