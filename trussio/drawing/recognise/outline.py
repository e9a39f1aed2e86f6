"""The outer boundary of a frame, and the chords that it consists of.

Terms: the *heels* are the lowest outer joints, left and right; the *upper way* and the *lower way* are the two
halves of the boundary between them. Near-vertical pieces at the ends of a way are end posts and no chord.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, pi
from typing import TYPE_CHECKING, Final

from trussio.drawing.recognise.frame import Edge, neighbours

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.recognise.frame import Frame

OUTER_SHARE: Final = 0.02
"""A joint is outer when it lies within this share of the span of the leftmost or rightmost one."""
UPRIGHT: Final = 0.2
"""A piece leans by less than this, sideways over upwards, where it is an end post."""


@dataclass(frozen=True, kw_only=True)
class Outline:
    """Both ways from the left heel to the right one, as edges in order with the nodes between them.

    `posts` are the upright edges at the ends of the upper way.
    """

    left: int
    right: int
    upper: tuple[int, ...]
    upper_edges: tuple[Edge, ...]
    lower: tuple[int, ...]
    lower_edges: tuple[Edge, ...]
    posts: tuple[Edge, ...]


def boundary(frame: Frame, edges: Sequence[Edge]) -> tuple[list[int], list[Edge]] | None:
    """Nodes and edges around the outside, counter-clockwise from the lowest node; None where the walk fails.

    The k-th edge runs from the k-th node to the next one.
    """
    at = neighbours(edges)
    start = min(at, key=lambda node: (frame.places[node][1], frame.places[node][0]))
    nodes: list[int] = [start]
    walked: list[Edge] = []
    back = -pi / 2
    node = start
    first: tuple[int, int] | None = None
    for _ in range(2 * len(edges) + 1):
        edge = min(at[node], key=lambda one, here=node, base=back: _ccw(frame, here, one, base))  # type: ignore[misc]
        onward = edge.other if edge.one == node else edge.one
        if first == (node, onward):
            return nodes[:-1], walked
        first = first or (node, onward)
        walked.append(edge)
        back = frame.heading(onward, node, edge.stick)
        node = onward
        nodes.append(node)
    return None


def _ccw(frame: Frame, node: int, edge: Edge, base: float) -> float:
    """Angle from `base` counter-clockwise to an edge; the edge just walked comes last."""
    onward = edge.other if edge.one == node else edge.one
    turn = (frame.heading(node, onward, edge.stick) - base) % (2 * pi)
    return turn if turn > 1e-9 else 2 * pi


def outline_of(frame: Frame, edges: Sequence[Edge]) -> Outline | None:
    """The outline of a frame that stands upright, None where it has no simple one."""
    if len(edges) < 3:
        return None
    walk = boundary(frame, edges)
    if walk is None:
        return None
    nodes, walked = walk
    if len(set(nodes)) != len(nodes):
        return None
    left, right = heels(frame, nodes)
    if left == right:
        return None
    lower, lower_edges = _between(nodes, walked, left, right)
    upper, upper_edges = _between(nodes, walked, right, left)
    upper, upper_edges = upper[::-1], upper_edges[::-1]
    first, last = _posts(frame, upper)
    return Outline(
        left=left,
        right=right,
        upper=tuple(upper[first : len(upper) - last]),
        upper_edges=tuple(upper_edges[first : len(upper_edges) - last]),
        lower=tuple(lower),
        lower_edges=tuple(lower_edges),
        posts=tuple(upper_edges[:first] + upper_edges[len(upper_edges) - last :]),
    )


def heels(frame: Frame, nodes: Sequence[int]) -> tuple[int, int]:
    """The lowest outer joints, left and right."""
    xs = [frame.places[node][0] for node in nodes]
    reach = OUTER_SHARE * (max(xs) - min(xs))
    left = min(
        (node for node in nodes if frame.places[node][0] <= min(xs) + reach), key=lambda n: frame.places[n][1]
    )
    right = min(
        (node for node in nodes if frame.places[node][0] >= max(xs) - reach), key=lambda n: frame.places[n][1]
    )
    return left, right


def _between(nodes: list[int], walked: list[Edge], start: int, stop: int) -> tuple[list[int], list[Edge]]:
    """The walk from one node to another, counter-clockwise."""
    first, last = nodes.index(start), nodes.index(stop)
    count = (last - first) % len(nodes)
    order = [(first + step) % len(nodes) for step in range(count + 1)]
    return [nodes[index] for index in order], [walked[index] for index in order[:-1]]


def _posts(frame: Frame, upper: list[int]) -> tuple[int, int]:
    """How many edges at the left and at the right end of the upper way are upright."""

    def count(way: list[int]) -> int:
        found = 0
        for one, other in pairwise(way):
            (x, y), (to_x, to_y) = frame.places[one], frame.places[other]
            if abs(to_x - x) > UPRIGHT * abs(to_y - y):
                break
            found += 1
        return found

    left = count(upper)
    if left == len(upper) - 1:
        return 0, 0
    return left, count(upper[::-1])


def rises(frame: Frame, one: int, other: int) -> float:
    """Angle of the way from one node to another."""
    (x, y), (to_x, to_y) = frame.places[one], frame.places[other]
    return atan2(to_y - y, to_x - x)
