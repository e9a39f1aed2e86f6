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

import numpy as np

from trussio.audit.pebbles import Pebbles

if TYPE_CHECKING:
    from collections.abc import Sequence

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
        inside[one[0] if one is other or len(one) == 1 else next(home for home in other if home in one)] += 1
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

    `regions` gives the joints of each region, `homes` the regions of each joint; the joints beside joint k stand
    in `beside` from `begin[k]` to `begin[k + 1]`.
    """

    def __init__(self, joints: int, members: Sequence[Pair]) -> None:
        given = np.array(members, dtype=np.intp).reshape(-1, 2)
        first, last = np.divmod(np.unique(given.min(axis=1) * joints + given.max(axis=1)), joints)
        ends = np.concatenate((first, last))
        order = np.argsort(ends, kind="stable")
        self.beside: list[int] = np.concatenate((last, first))[order].tolist()
        self.begin: list[int] = np.searchsorted(ends[order], np.arange(joints + 1)).tolist()
        self.homes: list[tuple[int, ...]] = [()] * joints
        self.inside = [-1] * joints
        self.touched = [-1] * joints
        self.regions: dict[int, list[int]] = {}
        homes = self.homes
        for number, (one, other) in enumerate(zip(first.tolist(), last.tolist(), strict=True)):
            if homes[one] is not homes[other] or not homes[one]:
                self._grow(number, one, other)

    def _grow(self, number: int, first: int, last: int) -> None:
        """Grow one region from a member, if it is in none; regions that it swallows go.

        `inside` and `touched` carry the number of the region that a joint was last put into or seen from.
        """
        if not set(self.homes[first]).isdisjoint(self.homes[last]):
            return
        inside, touched, beside, begin = self.inside, self.touched, self.beside, self.begin
        region: list[int] = []
        shared: set[int] = set()
        waiting = [first, last]
        while waiting:
            joint = waiting.pop()
            if inside[joint] == number:
                continue
            inside[joint] = number
            region.append(joint)
            for home in self.homes[joint]:
                if home in shared:
                    waiting += self._dissolved(home)
                else:
                    shared.add(home)
            for other in beside[begin[joint] : begin[joint + 1]]:
                if touched[other] == number:
                    waiting.append(other)
                else:
                    touched[other] = number
        self.regions[number] = region
        own = (number,)
        for joint in region:
            self.homes[joint] = self.homes[joint] + own if self.homes[joint] else own

    def _dissolved(self, home: int) -> list[int]:
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
