"""From a connected part to a truss: chords by the outer boundary, webs between them, names from left to right.

Joints on the lower way are B0, B1 ..; on the upper way T1, T2 ..; all others M1, M2 ... Members are `bottom`,
`top` (`top-1`, `top-2` where a chord is several sticks) and w1, w2 ...
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.drawing.curves import fit_circle
from trussio.drawing.recognise.frame import Frame, frame_of
from trussio.drawing.recognise.outline import Outline, outline_of
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.records import Point
    from trussio.model.truss import Role

CHORD_KINK: Final = 4 * pi / 180
"""Chord pieces that turn by less at a joint are one stick, kinked as measured."""
RING_KINK: Final = 16 * pi / 180
"""So are pieces that turn by less when all their joints lie on one circle."""


class Part(NamedTuple):
    """One member as recognised: the nodes it passes, and the sticks of the frame that it consists of.

    `turn` is the sign of its turn from the first node to the last where it follows one circle, else 0.
    """

    role: Role
    through: tuple[int, ...]
    sticks: tuple[int, ...]
    turn: int = 0


@dataclass(frozen=True, kw_only=True, eq=False)
class Recognised:
    """A truss in a frame: names of its nodes, its members, and its outline."""

    frame: Frame
    outline: Outline
    joints: dict[JointId, int]
    members: dict[MemberId, Part]

    @cached_property
    def names(self) -> dict[int, JointId]:
        """Joint by node."""
        return {node: joint for joint, node in self.joints.items()}

    def at(self, node: int) -> Point:
        """Where a node lies."""
        x, y = self.frame.places[node].tolist()
        return (x, y)

    @property
    def heel(self) -> Point:
        """Where the left heel lies."""
        return self.at(self.outline.left)

    @property
    def span(self) -> float:
        """Distance between the heels, sideways."""
        return self.at(self.outline.right)[0] - self.heel[0]

    def sweeps_on(self, one: MemberId, other: MemberId) -> bool:
        """Whether a chord piece goes on in the next without more than a slight kink."""
        if self.members[one].through[-1] != self.members[other].through[0]:
            return False
        last, start = self._end_ways(one)[1], self._end_ways(other)[0]
        turn = np.arctan2(last[0] * start[1] - last[1] * start[0], last[0] * start[0] + last[1] * start[1])
        return bool(abs(turn) <= RING_KINK)

    def _end_ways(self, name: MemberId) -> tuple[tuple[float, float], tuple[float, float]]:
        """Directions of the first and the last segment of a member."""
        through = self.members[name].through
        spots = self.frame.places[[through[0], through[1], through[-2], through[-1]]]
        (a, b), (c, d) = (spots[1] - spots[0]).tolist(), (spots[3] - spots[2]).tolist()
        return (a, b), (c, d)

    def handles(self, part: Part) -> tuple[str, ...]:
        """The entities behind a member."""
        if len(part.sticks) == 1:
            return self.frame.sticks.handles[part.sticks[0]]
        return tuple(dict.fromkeys(handle for row in part.sticks for handle in self.frame.sticks.handles[row]))


def recognised(frame: Frame) -> Recognised | None:
    """The truss that a frame is, or None where it is none. The frame stands upright."""
    outline = outline_of(frame)
    if outline is None:
        return None
    sticks = frame.sticks
    chords = np.zeros(len(sticks), dtype=bool)
    chords[frame.stick[np.concatenate((outline.upper_edges, outline.lower_edges))]] = True
    on_chords = np.zeros(len(frame.places), dtype=bool)
    on_chords[outline.upper] = on_chords[outline.lower] = True
    parted = sticks.parted(sticks.seam & on_chords[sticks.node] & ~chords[sticks.owner])
    if len(parted) != len(sticks):
        # Two webs in line on either side of a chord are two webs; the chords stay what they are.
        return recognised(frame_of(parted))
    lower = _chord(frame, outline.lower, outline.lower_edges, "bottom-chord")
    upper = _chord(frame, outline.upper, outline.upper_edges, "top-chord")
    taken = {row for part in (*lower, *upper) for row in part.sticks}
    rest = np.array([row for row in range(len(sticks)) if row not in taken], dtype=np.intp)
    webs = _webs(frame, outline, rest, on_chords)
    return Recognised(
        frame=frame,
        outline=outline,
        joints=_joints(frame, outline, on_chords),
        members={
            **numbered("bottom", lower),
            **numbered("top", upper),
            **numbered("w", webs),
        },
    )


def _joints(frame: Frame, outline: Outline, on_chords: Flags) -> dict[JointId, int]:
    lower = outline.lower.tolist()
    below = set(lower)
    upper = [node for node in outline.upper.tolist() if node not in below]
    others = frame.nodes[~on_chords[frame.nodes]]
    spots = frame.places[others]
    others = others[np.lexsort((spots[:, 1], spots[:, 0]))]
    named = {JointId(f"B{number}"): node for number, node in enumerate(lower)}
    named.update({JointId(f"T{number}"): node for number, node in enumerate(upper, start=1)})
    named.update({JointId(f"M{number}"): node for number, node in enumerate(others.tolist(), start=1)})
    return named


def numbered(word: str, parts: Sequence[Part]) -> dict[MemberId, Part]:
    """Members by name: `bottom`, or `bottom-1`, `bottom-2` .. where a chord has several; webs w1, w2 .."""
    if word == "w":
        return {MemberId(f"w{number}"): part for number, part in enumerate(parts, start=1)}
    if len(parts) == 1:
        return {MemberId(word): parts[0]}
    return {MemberId(f"{word}-{number}"): part for number, part in enumerate(parts, start=1)}


def _chord(frame: Frame, way: Ints, edges: Ints, role: Role) -> list[Part]:
    """The sticks along a way from left to right, joined where they go on as one."""
    sticks = frame.sticks
    rows, first, count = np.unique(frame.stick[edges], return_index=True, return_counts=True)
    mostly = 2 * count >= np.diff(sticks.start)[rows] - 1
    order = rows[mostly][np.argsort(first[mostly], kind="stable")]
    place = {node: index for index, node in enumerate(way.tolist())}
    passed = [_along_way(sticks.through(row), place) for row in order.tolist()]
    turns = np.sign(sticks.sweep[order]).astype(int).tolist()
    limit = RING_KINK if len(order) > 2 and not any(turns) and _on_one_circle(frame.places[way]) else CHORD_KINK
    groups: list[list[int]] = []
    for number, (through, _) in enumerate(passed):
        before = groups[-1][-1] if groups else -1
        straight = before >= 0 and not turns[number] and not turns[before]
        if straight and _goes_on(frame, passed[before][0], through, limit):
            groups[-1].append(number)
        else:
            groups.append([number])
    return [
        Part(
            role=role,
            through=_joined([passed[number][0] for number in group]),
            sticks=tuple(int(order[number]) for number in group),
            turn=0 if len(group) > 1 else turns[group[0]] * passed[group[0]][1],
        )
        for group in groups
    ]


def _along_way(through: list[int], place: dict[int, int]) -> tuple[list[int], int]:
    """The nodes of a stick in the direction in which the way passes them, and 1 or, where reversed, -1."""
    passed = [place[node] for node in through if node in place]
    return (through, 1) if passed[0] <= passed[-1] else (through[::-1], -1)


def _goes_on(frame: Frame, way: list[int], onward: list[int], limit: float) -> bool:
    """Whether a way begins where another ends, and turns by no more than a limit there."""
    return way[-1] == onward[0] and abs(_kink(frame, way[-2], onward[0], onward[1])) <= limit


def _joined(ways: list[list[int]]) -> tuple[int, ...]:
    return tuple(ways[0]) + tuple(node for way in ways[1:] for node in way[1:])


def _kink(frame: Frame, before: int, here: int, after: int) -> float:
    (a, b), (c, d), (e, f) = frame.places[[before, here, after]].tolist()
    return float(np.arctan2((c - a) * (f - d) - (d - b) * (e - c), (c - a) * (e - c) + (d - b) * (f - d)))


def _on_one_circle(points: Floats) -> bool:
    """Whether a chord of straight pieces has all its joints on one circle, bent one way throughout."""
    step = np.diff(points, axis=0)
    bend = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
    if bend.size < 2 or bend.min() * bend.max() <= 0:
        return False
    circle = fit_circle(points)
    return circle is not None and circle.residual <= 0.002 * float(np.hypot(*(points[-1] - points[0])))


def _webs(frame: Frame, outline: Outline, rows: Ints, on_chords: Flags) -> list[Part]:
    """All other sticks from left to right; one that hangs free outside the chords is no web."""
    sticks = frame.sticks
    first, last = sticks.node[sticks.start[rows]], sticks.node[sticks.start[rows + 1] - 1]
    one, other = frame.places[first], frame.places[last]
    lean = 1e-6 * np.abs(other - one).sum(axis=1)
    sideways = other[:, 0] - one[:, 0]
    forward = np.where(np.abs(sideways) > lean, sideways > 0, other[:, 1] > one[:, 1])
    inside = _between(frame, outline, first, on_chords) & _between(frame, outline, last, on_chords)
    held = np.zeros(len(sticks), dtype=bool)
    held[frame.stick[frame.core]] = True
    inside |= held[rows]
    left = np.minimum(one[:, 0], other[:, 0])
    low = np.minimum(one[:, 1], other[:, 1])
    order = np.lexsort((low, np.round(left, 3), np.round(one[:, 0] + other[:, 0], 3)))
    turns = np.where(forward, 1, -1) * np.sign(sticks.sweep[rows]).astype(int)
    ways = np.where(forward, 1, -1)
    starts, stops = sticks.start[rows], sticks.start[rows + 1]
    columns = [column[order].tolist() for column in (rows, starts, stops, ways, inside, turns)]
    nodes = sticks.node.tolist()
    return [
        Part("web" if within else "other", tuple(nodes[start:stop][::way]), (row,), turn)
        for row, start, stop, way, within, turn in zip(*columns, strict=True)
    ]


def _between(frame: Frame, outline: Outline, nodes: Ints, on_chords: Flags) -> Flags:
    """Which nodes lie on the chords or between them."""
    spots = frame.places[nodes]
    low, high = (_levels(frame.places[way], spots[:, 0]) for way in (outline.lower, outline.upper))
    inside: Flags = on_chords[nodes] | ((low <= spots[:, 1]) & (spots[:, 1] <= high))
    return inside


def _levels(way: Floats, x: Floats) -> Floats:
    """Height of a way at x, nan beyond its ends."""
    order = np.argsort(way[:, 0], kind="stable")
    levels: Floats = np.interp(x, way[order, 0], way[order, 1], left=np.nan, right=np.nan)
    return levels
