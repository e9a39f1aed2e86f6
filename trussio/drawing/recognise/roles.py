"""From a connected part to a truss: chords by the outer boundary, webs between them, names from left to right.

Joints on the lower way are B0, B1 ..; on the upper way T1, T2 ..; all others M1, M2 ... Members are `bottom`,
`top` (`top-1`, `top-2` where a chord is several sticks) and w1, w2 ...
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.curves import fit_circle
from trussio.drawing.recognise.frame import Frame, core_of, parted_at
from trussio.drawing.recognise.outline import Outline, outline_of
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.recognise.frame import Edge, Stick
    from trussio.model.truss import Role

CHORD_KINK: Final = 4 * pi / 180
"""Chord pieces that turn by less at a joint are one stick, kinked as measured."""
RING_KINK: Final = 16 * pi / 180
"""So are pieces that turn by less when all their joints lie on one circle."""


@dataclass(frozen=True, kw_only=True)
class Part:
    """One member as recognised: the joints it passes as nodes, and the sticks it consists of.

    `sticks` run in the direction of the member, `sources` are the same as they stand in the frame.
    """

    role: Role
    through: tuple[int, ...]
    sticks: tuple[Stick, ...]
    sources: tuple[Stick, ...]

    @property
    def curved(self) -> Stick | None:
        """The stick whose circle it follows, or None where it is straight or kinked."""
        return self.sticks[0] if len(self.sticks) == 1 and self.sticks[0].turn else None


@dataclass(frozen=True, kw_only=True)
class Recognised:
    """A truss in a frame: names of its nodes, its members, and its outline."""

    frame: Frame
    outline: Outline
    joints: dict[JointId, int]
    members: dict[MemberId, Part]
    free: tuple[int, ...]

    @property
    def names(self) -> dict[int, JointId]:
        """Joint by node."""
        return {node: joint for joint, node in self.joints.items()}


def recognised(frame: Frame) -> Recognised | None:
    """The truss that a frame is, or None where it is none. The frame stands upright."""
    core, _ = core_of(frame.edges())
    outline = outline_of(frame, core)
    if outline is None:
        return None
    chords = {edge.stick for edge in (*outline.upper_edges, *outline.lower_edges)}
    on_chords = {*outline.upper, *outline.lower}
    pieces = [
        piece
        for place, stick in enumerate(frame.sticks)
        for piece in ([stick] if place in chords else parted_at(stick, on_chords))
    ]
    if len(pieces) == len(frame.sticks):
        return _named(frame, outline)
    # Two webs in line on either side of a chord are two webs; the chords stay what they are.
    return recognised(Frame(sticks=tuple(pieces), places=frame.places))


def _named(frame: Frame, outline: Outline) -> Recognised:
    lower = _chord(frame, outline.lower, outline.lower_edges, "bottom-chord")
    upper = _chord(frame, outline.upper, outline.upper_edges, "top-chord")
    taken = {id(stick) for part in (*lower, *upper) for stick in part.sources}
    rest = [_web(frame, outline, _left_to_right(frame, stick)) for stick in frame.sticks if id(stick) not in taken]
    rest.sort(key=lambda part: _order(frame, part))
    return Recognised(
        frame=frame,
        outline=outline,
        joints=_joints(frame, outline),
        members={
            **_numbered("bottom", lower),
            **_numbered("top", upper),
            **{MemberId(f"w{number}"): part for number, part in enumerate(rest, start=1)},
        },
        free=tuple(free_ends(frame.edges())),
    )


def _web(frame: Frame, outline: Outline, stick: Stick) -> Part:
    """A web, or some other member where it lies outside the chords."""
    inside = all(_between_ways(frame, outline, node) for node in (stick.through[0], stick.through[-1]))
    return Part(role="web" if inside else "other", through=stick.through, sticks=(stick,), sources=(stick,))


def _between_ways(frame: Frame, outline: Outline, node: int) -> bool:
    """Whether a node lies on the chords or between them."""
    x, y = frame.places[node]
    if node in outline.upper or node in outline.lower:
        return True
    low, high = (_level(frame, way, x) for way in (outline.lower, outline.upper))
    return low is not None and high is not None and low <= y <= high


def _level(frame: Frame, way: Sequence[int], x: float) -> float | None:
    """Height of a way at x, None beyond its ends."""
    for one, other in pairwise(way):
        (a, b), (c, d) = sorted((frame.places[one], frame.places[other]))
        if a <= x <= c:
            return b if c == a else b + (x - a) / (c - a) * (d - b)
    return None


def _joints(frame: Frame, outline: Outline) -> dict[JointId, int]:
    named = {JointId(f"B{number}"): node for number, node in enumerate(outline.lower)}
    taken = set(outline.lower)
    tops = [node for node in outline.upper if node not in taken]
    named |= {JointId(f"T{number}"): node for number, node in enumerate(tops, start=1)}
    taken.update(tops)
    others = sorted((node for node in frame.places if node not in taken), key=lambda node: frame.places[node])
    return named | {JointId(f"M{number}"): node for number, node in enumerate(others, start=1)}


def _numbered(word: str, parts: Sequence[Part]) -> dict[MemberId, Part]:
    if len(parts) == 1:
        return {MemberId(word): parts[0]}
    return {MemberId(f"{word}-{number}"): part for number, part in enumerate(parts, start=1)}


def _chord(frame: Frame, way: Sequence[int], edges: Sequence[Edge], role: Role) -> list[Part]:
    """The sticks along a way from left to right, joined where they go on as one."""
    mine: dict[int, int] = {}
    for edge in edges:
        mine[edge.stick] = mine.get(edge.stick, 0) + 1
    order = [place for place in mine if 2 * mine[place] >= len(frame.sticks[place].through) - 1]
    sticks = [_along_way(frame.sticks[place], way) for place in order]
    ring = _on_one_circle(frame, way, sticks)
    groups: list[list[int]] = []
    for number, stick in enumerate(sticks):
        if groups and _goes_on(frame, sticks[groups[-1][-1]], stick, RING_KINK if ring else CHORD_KINK):
            groups[-1].append(number)
        else:
            groups.append([number])
    return [
        Part(
            role=role,
            through=_through([sticks[number] for number in group]),
            sticks=tuple(sticks[number] for number in group),
            sources=tuple(frame.sticks[order[number]] for number in group),
        )
        for group in groups
    ]


def _through(group: Sequence[Stick]) -> tuple[int, ...]:
    return group[0].through + tuple(node for stick in group[1:] for node in stick.through[1:])


def _along_way(stick: Stick, way: Sequence[int]) -> Stick:
    """The stick in the direction in which the way passes it."""
    place = {node: index for index, node in enumerate(way)}
    passed = [place[node] for node in stick.through if node in place]
    return stick if passed[0] <= passed[-1] else stick.reversed()


def _goes_on(frame: Frame, one: Stick, other: Stick, limit: float) -> bool:
    if one.through[-1] != other.through[0] or one.turn or other.turn:
        return False
    return abs(_kink(frame, one.through[-2], one.through[-1], other.through[1])) <= limit


def _kink(frame: Frame, before: int, here: int, after: int) -> float:
    (a, b), (c, d), (e, f) = frame.places[before], frame.places[here], frame.places[after]
    return float(np.arctan2((c - a) * (f - d) - (d - b) * (e - c), (c - a) * (e - c) + (d - b) * (f - d)))


def _on_one_circle(frame: Frame, way: Sequence[int], sticks: Sequence[Stick]) -> bool:
    """Whether a chord of straight pieces has all its joints on one circle."""
    if len(sticks) < 3 or any(stick.turn for stick in sticks):
        return False
    points = np.array([frame.places[node] for node in way])
    kinks = [_kink(frame, *three) for three in zip(way, way[1:], way[2:], strict=False)]
    circle = fit_circle(points)
    if circle is None or min(kinks) * max(kinks) <= 0:
        return False
    return circle.residual <= 0.002 * float(np.hypot(*(points[-1] - points[0])))


def _left_to_right(frame: Frame, stick: Stick) -> Stick:
    """A web from its lower end on the left, an upright one from below."""
    (x, y), (to_x, to_y) = frame.places[stick.through[0]], frame.places[stick.through[-1]]
    lean = 1e-6 * (abs(to_x - x) + abs(to_y - y))
    forward = to_x > x if abs(to_x - x) > lean else to_y > y
    return stick if forward else stick.reversed()


def _order(frame: Frame, part: Part) -> tuple[float, float, float]:
    spots = [frame.places[node] for node in (part.through[0], part.through[-1])]
    left, right = min(x for x, _ in spots), max(x for x, _ in spots)
    return round(left + right, 3), round(left, 3), min(y for _, y in spots)


def free_ends(edges: Iterable[Edge]) -> list[int]:
    """Nodes at which a single edge ends."""
    count: dict[int, int] = {}
    for edge in edges:
        for node in (edge.one, edge.other):
            count[node] = count.get(node, 0) + 1
    return sorted(node for node, edges_there in count.items() if edges_there == 1)
