"""One connected part of the sticks as a plain graph: places, edges between neighbours along sticks, directions."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, hypot, nan
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.axes import Axes
from trussio.drawing.heal.net import components

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.heal.joining import Sticks
    from trussio.drawing.records import Point


@dataclass(frozen=True, kw_only=True)
class Stick:
    """A stick of a frame: the nodes it passes, and its circle where it is curved.

    `turn` is the sign of its turn from the first node to the last, 0 for a straight one; `depth` that of its
    edges, nan for a single line; `seams` are nodes at which pieces were joined; `number` is its row in the table.

    """

    number: int
    through: tuple[int, ...]
    centre: Point = (0.0, 0.0)
    radius: float = 0.0
    turn: int = 0
    depth: float = nan
    seams: tuple[int, ...] = ()

    def reversed(self) -> Stick:
        """The same stick from its other end."""
        return Stick(
            number=self.number,
            through=self.through[::-1],
            centre=self.centre,
            radius=self.radius,
            turn=-self.turn,
            depth=self.depth,
            seams=self.seams,
        )


@dataclass(frozen=True, kw_only=True)
class Edge:
    """A segment of a stick between two nodes; `side` tells the stick by its place in the frame."""

    one: int
    other: int
    stick: int


@dataclass(frozen=True, kw_only=True)
class Frame:
    """A connected part: sticks, and where their nodes are."""

    sticks: tuple[Stick, ...]
    places: dict[int, Point]

    def edges(self) -> list[Edge]:
        """Every segment of every stick."""
        return [
            Edge(one=one, other=other, stick=number)
            for number, stick in enumerate(self.sticks)
            for one, other in zip(stick.through, stick.through[1:], strict=False)
        ]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of the nodes."""
        xs = [x for x, _ in self.places.values()]
        ys = [y for _, y in self.places.values()]
        return min(xs), min(ys), max(xs), max(ys)

    def heading(self, node: int, towards: int, stick: int) -> float:
        """Angle in which an edge leaves a node, along the arc where it is one."""
        (x, y), (to_x, to_y) = self.places[node], self.places[towards]
        dx, dy = to_x - x, to_y - y
        curve = self.sticks[stick]
        if curve.turn:
            spoke_x, spoke_y = x - curve.centre[0], y - curve.centre[1]
            if spoke_x * dy - spoke_y * dx >= 0:
                return atan2(spoke_x, -spoke_y)
            return atan2(-spoke_x, spoke_y)
        return atan2(dy, dx)

    def axes(self, sticks: Sequence[Stick]) -> Axes:
        """The straight lines or arcs on which sticks of this frame lie, from end to end."""
        first = np.array([self.places[stick.through[0]] for stick in sticks])
        last = np.array([self.places[stick.through[-1]] for stick in sticks])
        centre = np.array([stick.centre if stick.turn else (np.nan, np.nan) for stick in sticks])
        turn = np.array([stick.turn for stick in sticks], dtype=float)
        one, other = first - centre, last - centre
        angle = np.arctan2(
            one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]
        )
        return Axes(
            first=first,
            last=last,
            centre=centre,
            radius=np.array([stick.radius if stick.turn else np.inf for stick in sticks]),
            sweep=np.where(turn == 0, 0.0, turn * np.mod(np.nan_to_num(angle) * turn, 2 * np.pi)),
            depth=np.array([stick.depth for stick in sticks]),
            residual=np.zeros(len(sticks)),
            row=np.arange(len(sticks)),
            handles=((),) * len(sticks),
        )

    def length(self, edge: Edge) -> float:
        """Straight distance between the ends of an edge."""
        (x, y), (to_x, to_y) = self.places[edge.one], self.places[edge.other]
        return hypot(to_x - x, to_y - y)


def frames(sticks: Sticks) -> list[Frame]:
    """Every connected part, in the order of its first stick."""
    owner = np.repeat(np.arange(len(sticks)), np.diff(sticks.start))
    label = components(len(sticks.nodes) + len(sticks), sticks.node, owner + len(sticks.nodes))
    part = label[len(sticks.nodes) :]
    groups: dict[int, list[int]] = defaultdict(list)
    for number, root in enumerate(part.tolist()):
        groups[root].append(number)
    return [frame_of(sticks, numbers) for numbers in groups.values()]


def frame_of(sticks: Sticks, numbers: Iterable[int]) -> Frame:
    """The sticks named, as a frame."""
    chosen = tuple(
        Stick(
            number=number,
            through=tuple(sticks.through(number)),
            centre=(float(sticks.centre[number, 0]), float(sticks.centre[number, 1])),
            radius=float(sticks.radius[number]),
            turn=int(np.sign(sticks.sweep[number])),
            depth=float(sticks.depth[number]),
            seams=tuple(sticks.seams(number)),
        )
        for number in numbers
    )
    used = {node for stick in chosen for node in stick.through}
    return Frame(
        sticks=chosen, places={node: (float(sticks.nodes[node, 0]), float(sticks.nodes[node, 1])) for node in used}
    )


def parted_at(stick: Stick, nodes: set[int]) -> list[Stick]:
    """A stick parted at those of its seams that are among `nodes`."""
    cuts = [place for place, node in enumerate(stick.through) if node in nodes and node in stick.seams]
    bounds = [0, *(cut for cut in cuts if 0 < cut < len(stick.through) - 1), len(stick.through) - 1]
    return [replace(stick, through=stick.through[a : b + 1]) for a, b in pairwise(bounds)]


def neighbours(edges: Sequence[Edge]) -> dict[int, list[Edge]]:
    """Edges at each node."""
    found: dict[int, list[Edge]] = defaultdict(list)
    for edge in edges:
        found[edge.one].append(edge)
        found[edge.other].append(edge)
    return found


def core_of(edges: Sequence[Edge]) -> tuple[list[Edge], list[Edge]]:
    """Edges that remain when free ends are taken off again and again, and those taken off."""
    at = neighbours(edges)
    degree = {node: len(around) for node, around in at.items()}
    gone: set[int] = set()
    waiting = [node for node, count in degree.items() if count == 1]
    while waiting:
        node = waiting.pop()
        for edge in at[node]:
            if id(edge) in gone:
                continue
            gone.add(id(edge))
            for end in (edge.one, edge.other):
                degree[end] -= 1
                if degree[end] == 1:
                    waiting.append(end)
    return [edge for edge in edges if id(edge) not in gone], [edge for edge in edges if id(edge) in gone]
