"""Where a truss lies on the sheet: from its own coordinates to the drawing's, and back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin
from typing import TYPE_CHECKING, TypeVar

from trussio.model.change import Change, Question

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.drawing.records import Point

Told = TypeVar("Told", Change, Question)


@dataclass(frozen=True, kw_only=True)
class Placement:
    """Where one truss lies.

    `origin` is the left heel in base lengths of the drawing's plane, `angle` how far the truss is turned there,
    `factor` the base lengths in one drawing unit.
    """

    origin: Point
    angle: float
    factor: float

    def in_truss(self, at: Point) -> Point:
        """A place of the plane, in base lengths, in the truss's own coordinates."""
        x, y = at[0] - self.origin[0], at[1] - self.origin[1]
        c, s = cos(self.angle), sin(self.angle)
        return (c * x + s * y, c * y - s * x)

    def in_plane(self, at: Point) -> Point:
        """A place of the truss in the plane of the linework, in drawing units."""
        c, s = cos(self.angle), sin(self.angle)
        x = self.origin[0] + c * at[0] - s * at[1]
        y = self.origin[1] + s * at[0] + c * at[1]
        return (x / self.factor, y / self.factor)

    def told(self, things: Iterable[Told]) -> list[Told]:
        """Changes or questions with their places in the truss's own coordinates."""
        return [
            thing if thing.where is None else replace(thing, where=self.in_truss(thing.where)) for thing in things
        ]


def near(things: Iterable[Told], box: tuple[float, float, float, float], *, first: bool) -> list[Told]:
    """Those in or around a box; what has no place goes with the first truss."""
    left, bottom, right, top = box
    wide, high = 0.25 * (right - left), 0.5 * (right - left)
    return [
        thing
        for thing in things
        if (thing.where is None and first)
        or (
            thing.where is not None
            and left - wide <= thing.where[0] <= right + wide
            and bottom - high <= thing.where[1] <= top + high
        )
    ]
