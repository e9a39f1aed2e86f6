"""The pebble game: which members of a plane framework are independent, and what they hold rigid.

Every joint has two pebbles. A member is independent when four pebbles can be brought to its two ends; it then
keeps one of them. A pebble is brought along members: a member covered by a pebble of one end can be covered by one
of the other end instead, which frees the first. Joints from which no further pebble can be had while three lie
on the ends of a member are rigid with it.
Source: D. J. Jacobs and B. Hendrickson, An algorithm for two-dimensional rigidity percolation: the pebble game,
J. Computational Physics 137 (1997) (from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


class Pebbles:
    """A game in play: `covers` gives for each joint the other ends of the members that its pebbles cover."""

    def __init__(self, joints: int) -> None:
        self.covers: list[list[int]] = [[] for _ in range(joints)]

    def add(self, first: int, last: int) -> bool:
        """Play one member; whether it is independent of those played before."""
        covers = self.covers
        while covers[first]:
            if not self._bring(first, last):
                return False
        while covers[last]:
            if not self._bring(last, first):
                return False
        covers[first].append(last)
        return True

    def regions(self, members: Sequence[tuple[int, int]]) -> list[list[int]]:
        """The rigid regions of the members played, each sorted; regions may share one joint."""
        beside: list[set[int]] = [set() for _ in self.covers]
        for first, last in members:
            beside[first].add(last)
            beside[last].add(first)
        homes: list[set[int]] = [set() for _ in self.covers]
        found: list[list[int]] = []
        for first, last in members:
            if homes[first].isdisjoint(homes[last]):
                region = sorted(self._rigid_with(first, last, beside))
                for joint in region:
                    homes[joint].add(len(found))
                found.append(region)
        return found

    def _bring(self, to: int, keep: int) -> bool:
        """Bring one more pebble to a joint, none from `keep`; whether there was one."""
        covers = self.covers
        came_from: dict[int, int] = {to: -1, keep: -1}
        waiting = [to]
        while waiting:
            joint = waiting.pop()
            for other in covers[joint]:
                if other in came_from:
                    continue
                came_from[other] = joint
                if len(covers[other]) < 2:
                    self._turn(other, came_from)
                    return True
                waiting.append(other)
        return False

    def _turn(self, joint: int, came_from: dict[int, int]) -> None:
        """Cover each member on the way by a pebble of its far end."""
        before = came_from[joint]
        while before >= 0:
            self.covers[before].remove(joint)
            self.covers[joint].append(before)
            joint, before = before, came_from[before]

    def _rigid_with(self, first: int, last: int, beside: list[set[int]]) -> set[int]:
        """Every joint from which no pebble can be had while three lie on the ends of a member."""
        while self.covers[first]:
            if not self._bring(first, last):
                break
        while len(self.covers[last]) > 1:
            if not self._bring(last, first):
                break
        rigid = {first, last}
        loose: set[int] = set()
        waiting = [*beside[first], *beside[last]]
        while waiting:
            joint = waiting.pop()
            if joint in rigid or joint in loose:
                continue
            reached = self._reach(joint, rigid, loose)
            if reached is None:
                continue
            rigid |= reached
            waiting += [other for one in reached for other in beside[one]]
        return rigid

    def _reach(self, joint: int, rigid: set[int], loose: set[int]) -> set[int] | None:
        """The joints that pebbles are sought from, if none has one; else None, and the joint is loose."""
        reached = {joint}
        waiting = [joint]
        while waiting:
            here = waiting.pop()
            if len(self.covers[here]) < 2 or here in loose:
                loose.add(joint)
                return None
            for other in self.covers[here]:
                if other not in reached and other not in rigid:
                    reached.add(other)
                    waiting.append(other)
        return reached
