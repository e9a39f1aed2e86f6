"""Where a truss lies on the sheet: from its own coordinates to the drawing's, and back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin
from typing import TYPE_CHECKING, TypeVar

from trussio.model.change import Change, Question

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.records import Point

Box = tuple[float, float, float, float]
"""Left, bottom, right and top."""
Told = TypeVar("Told", Change, Question)


@dataclass(frozen=True, kw_only=True)
class Placement:
    """Where one truss lies.

    `heel` is its left heel in base lengths of the drawing's plane turned clockwise by `angle`, so that the truss
    stands upright; `factor` are the base lengths in one drawing unit.
    """

    heel: Point
    angle: float
    factor: float

    def in_plane(self, at: Point) -> Point:
        """A place of the truss in the plane of the linework, in drawing units."""
        x, y = at[0] + self.heel[0], at[1] + self.heel[1]
        c, s = cos(self.angle), sin(self.angle)
        return ((c * x - s * y) / self.factor, (s * x + c * y) / self.factor)

    def in_truss(self, at: Point) -> Point:
        """A place in the plane of the linework, in drawing units, in the truss's own coordinates."""
        c, s = cos(self.angle), sin(self.angle)
        x, y = at[0] * self.factor, at[1] * self.factor
        return (c * x + s * y - self.heel[0], c * y - s * x - self.heel[1])

    def told(self, things: Iterable[Told]) -> list[Told]:
        """Changes or questions of the upright plane, in base lengths, with their places from the truss's heel."""
        x, y = self.heel
        return [
            thing if thing.where is None else replace(thing, where=(thing.where[0] - x, thing.where[1] - y))
            for thing in things
        ]


def near(things: Iterable[Told], box: Box, boxes: Sequence[Box], *, first: bool) -> list[Told]:
    """Those in or around the box of a truss; what lies around none of the `boxes` goes with the first truss."""
    return [
        thing
        for thing in things
        if _around(thing, box) or (first and not any(_around(thing, other) for other in boxes))
    ]


def _around(thing: Told, box: Box) -> bool:
    """Whether a thing has its place in or around a box."""
    if thing.where is None:
        return False
    (x, y), (left, bottom, right, top) = thing.where, box
    wide, high = 0.25 * (right - left), 0.5 * (right - left)
    return left - wide <= x <= right + wide and bottom - high <= y <= top + high
