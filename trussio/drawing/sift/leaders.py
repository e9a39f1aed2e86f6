"""Leaders drawn as loose lines: an arrow tip of two short strokes, or a text at the free end.

The tip touches a member and would look like a branch of it.
"""

from __future__ import annotations

from math import dist
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations, tangents
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import contacts_within, end_index
from trussio.drawing.metric_sizes import stated_sizes
from trussio.drawing.sift.aside import Aside
from trussio.drawing.sift.evidence import NEAR_HEIGHTS, distance_to

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from trussio.drawing.heal.net import Contacts, EndIndex, Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Mark, Point, Text

STROKE_INCHES: Final = 14.0
SHARPEST: Final = 0.08
BLUNTEST: Final = 0.8
"""Angles between a leader and the strokes of its arrow, in radians."""
MOST_PIECES: Final = 4
ALONG: Final = 0.16
ALONG_HEIGHTS: Final = 2.5
"""A size runs along a line within this angle, in radians, and this distance, in text heights."""
RIM: Final = 0.15
"""How far from the rim of a circle a leader to it ends, in radii."""
LONGEST_HEIGHTS: Final = 16.0
"""A leader whose tip touches nothing is no longer than this, in heights of its text."""
AT_SIDE: Final = 0.6
"""A leader that ends at the side of a text ends no higher or lower than this from its middle, in text heights."""


def arrow_leaders(net: Net, groups: Sequence[Aside]) -> list[tuple[Point, Point]]:
    """Tip and tail of every line with an arrow, the tail at the far end of what goes on from it."""
    pairs = []
    for group in groups:
        line, stroke, last = group.rows[0], group.rows[1], group.rows[-1]
        tip = int(net.ends[line][np.argmax(np.isin(net.ends[line], net.ends[stroke]))])
        last = line if last in group.rows[1:3] else last
        ends = net.ends[last]
        tail = int(ends[np.argmax(np.hypot(*(net.nodes[ends] - net.nodes[tip]).T))])
        pairs.append((place(net.nodes[tip]), place(net.nodes[tail])))
    return pairs


def arrows(net: Net, reach: Reach) -> list[Aside]:
    """Lines that end in two short strokes, one on either side."""
    axes = net.axes
    short = axes.lengths <= STROKE_INCHES * reach.inch
    if not short.any():
        return []
    index, degree = end_index(net), net.degree
    loose = short & (degree[net.ends] == 1).any(axis=1)
    found = []
    tips, strokes_at = np.unique(net.ends[loose], return_counts=True)
    for node in tips[(strokes_at >= 2) & np.isin(degree[tips], (3, 4, 5))].tolist():
        ends = index.at(node)
        strokes = [end for end in ends if short[end[0]] and degree[net.ends[end[0], 1 - end[1]]] == 1]
        lines = (
            [end for end in ends if not short[end[0]] or axes.lengths[end[0]] > 2.5 * axes.lengths[strokes[0][0]]]
            if strokes
            else []
        )
        for line in lines:
            pair = _pair(net, line, strokes)
            if pair is not None:
                onward = _onward(net, index, line)
                found.append(Aside(reason="leader", rows=(line[0], *pair, *onward)))
                break
    return found


def _onward(net: Net, index: EndIndex, line: tuple[int, int]) -> list[int]:
    """The lines by which a leader goes on from its first one to a free end, where nothing branches off."""
    rows = [line[0]]
    here = int(net.ends[line[0], 1 - line[1]])
    while len(index.at(here)) == 2 and len(rows) <= MOST_PIECES:
        axis, side = next(end for end in index.at(here) if end[0] != rows[-1])
        rows.append(axis)
        here = int(net.ends[axis, 1 - side])
    return rows[1:] if len(index.at(here)) == 1 else []


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


def side_leaders(
    net: Net, texts: Sequence[Text], marks: Iterable[Mark], reach: Reach
) -> tuple[list[Aside], list[tuple[Point, Point]]]:
    """Branches whose free end stands at the side of a text, halfway up, or at the rim of a circle with one in it.

    No member ends so. Also the tips and tails.
    """
    if not texts or not len(net.axes):
        return [], []
    bubbles = [
        mark
        for mark in marks
        if mark.kind == "circle" and any(dist(mark.at, text.centre) < mark.radius for text in texts)
    ]

    contacts = contacts_within(net, reach.silent)
    touching = np.zeros(len(net.nodes), dtype=bool)
    touching[contacts.node] = True

    def carries(node: int, branch: Sequence[int]) -> bool:
        where = place(net.nodes[node])
        long = float(net.axes.lengths[branch].sum())
        held = bool(touching[net.ends[branch]].any())
        return any(
            _at_side(where, text) and (held or long <= LONGEST_HEIGHTS * text.height) for text in texts
        ) or any(
            abs(dist(where, bubble.at) - bubble.radius) <= max(RIM * bubble.radius, reach.silent)
            for bubble in bubbles
        )

    return _leaders(net, contacts, carries)


def text_leaders(
    net: Net, contacts: Contacts, texts: Sequence[Text], reach: Reach
) -> tuple[list[Aside], list[tuple[Point, Point]]]:
    """Branches whose free end carries a text, and which touch a member where nothing else meets it.

    Also their tips and tails. An end that lies near enough to a joint or a line to be joined to it is a member's.
    """
    if not texts:
        return [], []

    free = [text for text in texts if not (stated_sizes(text.says, metric=False) and _runs_along(net, text))]

    def carries(node: int, branch: Sequence[int]) -> bool:
        where = place(net.nodes[node])
        beside = any(distance_to(where, text) <= NEAR_HEIGHTS * text.height for text in free)
        return beside and not _targets(net, node, branch, reach)

    return _leaders(net, contacts, carries)


def _leaders(
    net: Net, contacts: Contacts, carries: Callable[[int, Sequence[int]], bool]
) -> tuple[list[Aside], list[tuple[Point, Point]]]:
    """Branches whose free end carries something."""
    lone = net.degree == 1
    lone[contacts.node] = False
    index = end_index(net)
    found, pairs = [], []
    for node in np.flatnonzero(lone).tolist():
        branch, foot = _branch(net, index, node)
        if foot is None or not _alone(foot, contacts, index, branch):
            continue
        if carries(node, branch):
            found.append(Aside(reason="leader", rows=tuple(branch)))
            pairs.append((place(net.nodes[foot]), place(net.nodes[node])))
    return found, pairs


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
        if len(rows) > MOST_PIECES:
            return rows, None
        if len(index.at(here)) == 1:
            return rows, here


def _alone(foot: int, contacts: Contacts, index: EndIndex, branch: Sequence[int]) -> bool:
    """Whether a branch touches one member between its ends, and nothing else ends there."""
    others = [axis for axis, _ in index.at(foot) if axis not in branch]
    return not others and int((contacts.node == foot).sum()) <= 1


def _runs_along(net: Net, text: Text) -> bool:
    """Whether a text stands along some line, between its ends and close to it, as the size of a member does."""
    rows = np.arange(len(net.axes))
    at, off = stations(net.axes, rows, np.repeat(np.array([text.centre]), rows.size, axis=0))
    ahead = tangents(net.axes, rows, at)
    sine = np.abs(ahead[:, 0] * np.sin(text.angle) - ahead[:, 1] * np.cos(text.angle))
    near = (np.abs(off) <= ALONG_HEIGHTS * text.height) & (at >= 0) & (at <= net.axes.lengths)
    return bool((near & (sine <= ALONG)).any())


def _at_side(where: Point, text: Text) -> bool:
    """Whether a place lies to the left or right of a text, halfway up and close to it."""
    dx, dy = where[0] - text.centre[0], where[1] - text.centre[1]
    c, s = np.cos(text.angle), np.sin(text.angle)
    along, across = abs(dx * c + dy * s) - text.width / 2, abs(dy * c - dx * s)
    return bool(across <= AT_SIDE * text.height and -0.5 * text.height <= along <= NEAR_HEIGHTS * text.height)


def _targets(net: Net, node: int, branch: Sequence[int], reach: Reach) -> bool:
    """Whether another joint lies near enough for the end to have been meant to reach it."""
    used = np.unique(np.delete(net.ends, branch, axis=0))
    return bool((np.hypot(*(net.nodes[used] - net.nodes[node]).T) <= reach.ask).any())
