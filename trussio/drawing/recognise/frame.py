"""One connected part of the sticks as a graph: edges between neighbours along sticks, by columns.

Terms: an *edge* is a segment of a stick between two nodes that follow each other; the *core* is what remains when
free ends are taken off again and again.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.heal.axes import Axes
from trussio.drawing.heal.cells import distinct_numbers

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.joining import Sticks


@dataclass(frozen=True, kw_only=True, eq=False)
class Frame:
    """A connected part: its sticks, with their segments as edges.

    Edge k runs from node `one[k]` to node `other[k]` along stick `stick[k]`, a row of `sticks`.
    """

    sticks: Sticks
    one: Ints
    other: Ints
    stick: Ints

    @property
    def places(self) -> Floats:
        """Where every node of the sheet lies, (m, 2)."""
        return self.sticks.nodes

    @cached_property
    def nodes(self) -> Ints:
        """The nodes of this part."""
        return distinct_numbers(self.sticks.node)

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of the nodes."""
        spots = self.places[self.nodes]
        (left, bottom), (right, top) = spots.min(axis=0).tolist(), spots.max(axis=0).tolist()
        return left, bottom, right, top

    @cached_property
    def degree(self) -> Ints:
        """How many edges end at each node of the sheet."""
        counts: Ints = np.bincount(np.concatenate((self.one, self.other)), minlength=len(self.places))
        return counts

    @cached_property
    def core(self) -> Flags:
        """Which edges remain when free ends are taken off again and again."""
        kept = np.ones(self.one.size, dtype=bool)
        degree = self.degree.copy()
        while True:
            loose = kept & ((degree[self.one] == 1) | (degree[self.other] == 1))
            if not loose.any():
                return kept
            kept &= ~loose
            degree -= np.bincount(np.concatenate((self.one[loose], self.other[loose])), minlength=degree.size)

    @cached_property
    def free(self) -> Ints:
        """Nodes at which a single edge ends."""
        free: Ints = self.nodes[self.degree[self.nodes] == 1]
        return free

    @cached_property
    def axes(self) -> Axes:
        """The straight line or arc on which each stick lies, from end to end."""
        sticks = self.sticks
        first, last = self.places[sticks.node[sticks.start[:-1]]], self.places[sticks.node[sticks.start[1:] - 1]]
        one, other = first - sticks.centre, last - sticks.centre
        angle = np.arctan2(
            one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]
        )
        turn = np.sign(sticks.sweep)
        return Axes(
            first=first,
            last=last,
            centre=sticks.centre,
            radius=sticks.radius,
            sweep=np.where(turn == 0, 0.0, turn * np.mod(np.nan_to_num(angle) * turn, 2 * np.pi)),
            depth=sticks.depth,
            residual=sticks.residual,
            row=np.arange(len(sticks)),
            handles=sticks.handles,
        )

    def headings(self) -> tuple[Floats, Floats]:
        """Angles in which each edge leaves its first and its other node, along the arc where it is one."""
        along = self.places[self.other] - self.places[self.one]
        angle = np.arctan2(along[:, 1], along[:, 0])
        forward, backward = angle, angle + np.pi
        turn = np.sign(self.sticks.sweep)[self.stick]
        bent = np.flatnonzero(turn)
        if bent.size:
            forward, backward = forward.copy(), backward.copy()
            centre = self.sticks.centre[self.stick[bent]]
            forward[bent] = _tangent(self.places[self.one[bent]] - centre, turn[bent])
            backward[bent] = _tangent(self.places[self.other[bent]] - centre, -turn[bent])
        return forward, backward


def _tangent(spoke: Floats, turn: Floats) -> Floats:
    angles: Floats = np.arctan2(spoke[:, 0] * turn, -spoke[:, 1] * turn)
    return angles


def frame_of(sticks: Sticks) -> Frame:
    """Sticks that hang together, as a frame."""
    owner = np.repeat(np.arange(len(sticks)), np.diff(sticks.start))
    follows = owner[1:] == owner[:-1]
    return Frame(
        sticks=sticks, one=sticks.node[:-1][follows], other=sticks.node[1:][follows], stick=owner[1:][follows]
    )
