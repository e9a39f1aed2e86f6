"""Generic rigidity: what the count says of every region, whatever the exact places of the joints.

Laman's rule: a plane framework of n joints placed without luck is rigid and just enough when it has 2n - 3
members and no k of its joints have more than 2k - 3 among them. Terms: a *region* is a largest set of joints that
members hold rigid among themselves; a member is *spare* when its two ends would be held rigid without it.
`freedom` counts the motions left beside the three of the whole in its plane.

Three steps, each a short walk for usual trusses: regions grow (a joint with two members to a region belongs to
it, regions that share two joints are one); joints with no more than two members in what is left come off; the
rest is played as a pebble game (see `pebbles.py`). What the game finds rigid lets regions grow once more.
Source: G. Laman, On graphs and rigidity of plane skeletal structures, J. Engineering Mathematics 4 (1970)
(from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.audit.pebbles import Pebbles

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    Pair = tuple[int, int]


@dataclass(frozen=True, kw_only=True)
class Region:
    """Joints that are rigid among themselves, sorted, and how many members are spare there."""

    joints: tuple[int, ...]
    spare: int


@dataclass(frozen=True, kw_only=True)
class Rigidity:
    """Regions of two joints or more, by their first joints; motions left; spare members in all."""

    regions: tuple[Region, ...]
    freedom: int
    spare: int


def rigidity(joints: int, members: Sequence[Pair]) -> Rigidity:
    """The generic rigidity of a framework of numbered joints and of members between them."""
    grown = _Growing(joints, members)
    rest, rank = _reduced(grown)
    if rest:
        core, peeled = _peeled(joints, rest)
        game = Pebbles(joints)
        rank += peeled + sum(game.add(first, last) for first, last in core)
        held = [pair for region in game.regions(core) for pair in _fan(region)]
        grown = _Growing(joints, [*members, *rest, *held])
    inside = dict.fromkeys(grown.regions, 0)
    for first, last in members:
        one, other = grown.homes[first], grown.homes[last]
        region = one[0] if len(one) == 1 else other[0] if len(other) == 1 else next(iter({*one} & {*other}))
        inside[region] += 1
    found = [
        Region(joints=tuple(sorted(region)), spare=inside[number] - (2 * len(region) - 3))
        for number, region in grown.regions.items()
    ]
    return Rigidity(
        regions=tuple(sorted(found, key=lambda region: region.joints)),
        freedom=max(0, 2 * joints - 3 - rank),
        spare=len(members) - rank,
    )


class _Growing:
    """Regions grown from every member: joints with two members to a region, regions that share two joints.

    `regions` gives the joints of each region, `homes` the regions of each joint.
    """

    def __init__(self, joints: int, members: Iterable[Pair]) -> None:
        self.beside: list[list[int]] = [[] for _ in range(joints)]
        self.homes: list[tuple[int, ...]] = [()] * joints
        self.regions: dict[int, set[int]] = {}
        pairs = dict.fromkeys((first, last) if first < last else (last, first) for first, last in members)
        for first, last in pairs:
            self.beside[first].append(last)
            self.beside[last].append(first)
        for number, (first, last) in enumerate(pairs):
            if not self._together(first, last):
                self._grow(number, first, last)

    def _together(self, first: int, last: int) -> bool:
        one, other = self.homes[first], self.homes[last]
        return any(home in other for home in one) if one and other else False

    def _grow(self, number: int, first: int, last: int) -> None:
        """Grow one region from a member; regions that it swallows go."""
        region: set[int] = set()
        touched: set[int] = set()
        shared: set[int] = set()
        waiting = [first, last]
        while waiting:
            joint = waiting.pop()
            if joint in region:
                continue
            region.add(joint)
            for home in self.homes[joint]:
                if home in shared:
                    waiting += self._dissolved(home)
                else:
                    shared.add(home)
            for other in self.beside[joint]:
                if other in touched:
                    waiting.append(other)
                else:
                    touched.add(other)
        self.regions[number] = region
        for joint in region:
            self.homes[joint] += (number,)

    def _dissolved(self, home: int) -> set[int]:
        swallowed = self.regions.pop(home)
        for joint in swallowed:
            self.homes[joint] = tuple(other for other in self.homes[joint] if other != home)
        return swallowed


def _reduced(grown: _Growing) -> tuple[list[Pair], int]:
    """Members that say of the regions what matters outside them, and the rank of what they leave out."""
    rest: list[Pair] = []
    rank = 0
    for region in grown.regions.values():
        outward = sorted(joint for joint in region if len(grown.homes[joint]) > 1)
        if len(outward) < 2:
            rank += 2 * len(region) - 3
        else:
            rank += 2 * (len(region) - len(outward))
            rest += _fan(outward)
    return rest, rank


def _peeled(joints: int, members: Sequence[Pair]) -> tuple[list[Pair], int]:
    """What is left when joints with at most two members are taken off one after another, and the rank of those."""
    beside: list[set[int]] = [set() for _ in range(joints)]
    for first, last in members:
        beside[first].add(last)
        beside[last].add(first)
    waiting = [joint for joint in range(joints) if 0 < len(beside[joint]) <= 2]
    rank = 0
    while waiting:
        joint = waiting.pop()
        rank += len(beside[joint])
        for other in beside[joint]:
            beside[other].discard(joint)
            if 0 < len(beside[other]) <= 2:
                waiting.append(other)
        beside[joint] = set()
    return [(first, last) for first, last in members if last in beside[first]], rank


def _fan(joints: Sequence[int]) -> list[Pair]:
    """The fewest members that hold joints rigid, each joint tied to the two before it."""
    return [(joints[k - back], joints[k]) for k in range(1, len(joints)) for back in (1, 2) if back <= k]
