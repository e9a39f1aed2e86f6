"""Diagrams: a load on plan over a roof, straight between points, and what is done with them.

A diagram is points (x, load per horizontal area) from left to right; the same x twice is a jump. All functions are
pure and keep whatever unit the loads have. `total` and `moment` are per width of roof.
"""

from __future__ import annotations

from bisect import bisect_left
from itertools import pairwise
from typing import TYPE_CHECKING, Literal, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

Diagram: TypeAlias = tuple[tuple[float, float], ...]
Stretch: TypeAlias = tuple[float, float, float, float]
"""From x0 to x1 with the loads there, x0 < x1."""


def level(left: float, right: float, load: float) -> Diagram:
    """The same load from left to right."""
    return ((left, load), (right, load))


def outwards(crown: float, left: Sequence[tuple[float, float]], right: Sequence[tuple[float, float]]) -> Diagram:
    """A diagram from two sides, each as (distance from the crown, load) from the crown outwards."""
    points = [(crown - distance, load) for distance, load in reversed(left)]
    points += [(crown + distance, load) for distance, load in right]
    return tidy(points)


def bare(run: float) -> list[tuple[float, float]]:
    """A side without load."""
    return [(0.0, 0.0), (run, 0.0)]


def tidy(points: Iterable[tuple[float, float]]) -> Diagram:
    """The points without repetitions and without what stands between two alike."""
    kept: list[tuple[float, float]] = []
    for point in points:
        if len(kept) > 1 and any(kept[-2][way] == kept[-1][way] == point[way] for way in (0, 1)):
            kept[-1] = point
        elif not kept or point != kept[-1]:
            kept.append(point)
    return tuple(kept)


def stretches(diagram: Diagram) -> Iterator[Stretch]:
    """The straight parts of some length."""
    for (x0, load0), (x1, load1) in pairwise(diagram):
        if x1 > x0:
            yield (x0, x1, load0, load1)


def cut(diagram: Diagram, places: Iterable[float]) -> list[Stretch]:
    """The straight parts, cut at places as well."""
    inner = sorted(set(places))
    found: list[Stretch] = []
    for x0, x1, load0, load1 in stretches(diagram):
        ends = [x0, *(x for x in inner if x0 < x < x1), x1]
        loads = [load0 + (load1 - load0) * (x - x0) / (x1 - x0) for x in ends[:-1]] + [load1]
        found += [(a, b, at_a, at_b) for (a, b), (at_a, at_b) in zip(pairwise(ends), pairwise(loads), strict=True)]
    return found


def between(diagram: Diagram, left: float, right: float) -> Diagram:
    """The part of a diagram from `left` to `right`."""
    points: list[tuple[float, float]] = []
    for x0, x1, load0, load1 in cut(diagram, (left, right)):
        if left <= (x0 + x1) / 2 <= right:
            points += [(x0, load0), (x1, load1)]
    return tidy(points)


def settled(diagram: Diagram, places: Sequence[float], near: float) -> Diagram:
    """The diagram with its points moved on to a place that is nearer than `near`."""
    ordered = sorted(places)
    points: list[tuple[float, float]] = []
    for x, load in diagram:
        index = bisect_left(ordered, x)
        close = min(ordered[max(0, index - 1) : index + 1], key=lambda place: abs(place - x), default=x)
        points.append((close if abs(close - x) <= near else x, load))
    return tidy(points)


def total(diagram: Diagram) -> float:
    """The load on a unit width of roof."""
    return sum((x1 - x0) * (load0 + load1) / 2 for x0, x1, load0, load1 in stretches(diagram))


def moment(diagram: Diagram, about: float = 0.0) -> float:
    """Its moment about a place, positive where the load lies to the right."""
    return sum(
        (x1 - x0) * (load0 * (2 * x0 + x1 - 3 * about) + load1 * (x0 + 2 * x1 - 3 * about)) / 6
        for x0, x1, load0, load1 in stretches(diagram)
    )


def largest(diagram: Diagram) -> float:
    """The greatest load."""
    return max(load for _, load in diagram)


def scaled(diagram: Diagram, factor: float) -> Diagram:
    """Every load times a factor."""
    return tuple((x, load * factor) for x, load in diagram)


def partly(diagram: Diagram, full: Sequence[tuple[float, float]], share: float) -> Diagram:
    """The load in full from place to place as `full` says, and a share of it elsewhere."""
    points: list[tuple[float, float]] = []
    for x0, x1, load0, load1 in cut(diagram, [x for band in full for x in band]):
        middle = (x0 + x1) / 2
        factor = 1.0 if any(start < middle < end for start, end in full) else share
        points += [(x0, load0 * factor), (x1, load1 * factor)]
    return tidy(points)


def added(one: Diagram, other: Diagram) -> Diagram:
    """Two diagrams over the same roof, one on top of the other."""
    places = [x for x, _ in (*one, *other)]
    points: list[tuple[float, float]] = []
    for (x0, x1, a0, a1), (_, _, b0, b1) in zip(cut(one, places), cut(other, places), strict=True):
        points += [(x0, a0 + b0), (x1, a1 + b1)]
    return tidy(points)


def mirrored(diagram: Diagram, about: float) -> Diagram:
    """The diagram seen in a mirror that stands at a place."""
    return tuple((2 * about - x, load) for x, load in reversed(diagram))


def at_end(diagram: Diagram, side: Literal["left", "right"]) -> float:
    """The load at one end."""
    return diagram[0 if side == "left" else -1][1]
