"""Many equations of one pattern solved side by side: elimination in a narrow band, the sample index last.

The unknowns are put in an order in which those that meet lie close together; elimination then stays within the
*reach* of each unknown, the furthest one that it is coupled to or comes to be while others are eliminated. Every
step is one operation on all samples at once.
Terms: `rest` holds the matrices row by row, as many entries before the diagonal as behind it: entry (k, b + d)
couples unknown k with k + d, where b is the widest reach. Only what stands behind the diagonal is read.
Shapes: k unknowns, c cases, s samples.

Sources: E. Cuthill and J. McKee, Reducing the bandwidth of sparse symmetric matrices, Proc. 24th ACM Nat. Conf.,
1969; A. Jennings, A compact storage scheme for the solution of symmetric linear simultaneous equations, Comput. J.
9 (1966) (both cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.analysis.arrays import Floats


def order(groups: Sequence[Iterable[int]], count: int) -> list[int]:
    """The unknowns in an order that keeps those of one group together; `groups` lists which of them meet."""
    beside: list[set[int]] = [set() for _ in range(count)]
    for group in groups:
        members = set(group)
        for one in members:
            beside[one] |= members
    found: list[int] = []
    left = set(range(count))
    while left:
        start = _far_end(beside, min(left, key=lambda one: (len(beside[one]), one)))
        found += _walked(beside, start)
        left -= set(found)
    return found[::-1]


def _far_end(beside: Sequence[set[int]], start: int) -> int:
    """An unknown as far as can be from where others are: go to the furthest one, and from there once more."""
    for _ in range(2):
        start = _walked(beside, start)[-1]
    return start


def _walked(beside: Sequence[set[int]], start: int) -> list[int]:
    """All that hangs together with `start`, in the order of distance, of few neighbours first."""
    found, seen = [start], {start}
    for one in found:
        fresh = sorted(beside[one] - seen, key=lambda other: (len(beside[other]), other))
        found += fresh
        seen.update(fresh)
    return found


def reaches(groups: Sequence[Iterable[int]], count: int) -> list[int]:
    """How far beyond itself each unknown is coupled, or comes to be in elimination; `groups` in their order."""
    furthest = list(range(count))
    for group in groups:
        members = sorted(group)
        for one in members:
            furthest[one] = max(furthest[one], members[-1])
    for one in range(count - 1):
        if furthest[one] > one:
            furthest[one + 1] = max(furthest[one + 1], furthest[one])
    return [last - one for one, last in enumerate(furthest)]


def eliminate(rest: Floats, reach: Sequence[int]) -> None:
    """Eliminate in place (k, 2 b + 1, s): pivots stand at the diagonal, multipliers behind it."""
    _, wide, samples = rest.shape
    middle, size = wide // 2, rest.itemsize
    row, entry = wide * samples * size, samples * size
    multipliers, products = np.empty((middle, samples)), np.empty((middle**2, samples))
    for one, last in enumerate(reach):
        if last:
            behind = rest[one, middle + 1 : middle + last + 1]
            by = np.divide(behind, rest[one, middle], out=multipliers[:last])
            # all that the unknowns within reach have to do with each other, as a matrix
            meeting = np.ndarray(
                (last, last, samples),
                buffer=rest,
                offset=(one + 1) * row + middle * entry,
                strides=(row - entry, entry, size),
            )
            step = np.multiply(by[:, None], behind, out=products[: last**2].reshape(last, last, samples))
            np.subtract(meeting, step, out=meeting)
            behind[...] = by


def substitute(rest: Floats, reach: Sequence[int], right: Floats) -> None:
    """Turn right sides (k, c, s) into unknowns, in place, after `eliminate`."""
    middle = rest.shape[1] // 2
    for one, last in enumerate(reach):
        if last:
            right[one + 1 : one + last + 1] -= rest[one, middle + 1 : middle + last + 1, None] * right[one]
    right /= rest[:, middle, None]
    for one in range(len(reach) - 2, -1, -1):
        last = reach[one]
        if last:
            behind = rest[one, middle + 1 : middle + last + 1, None] * right[one + 1 : one + last + 1]
            right[one] -= behind.sum(axis=0)
