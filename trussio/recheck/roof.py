"""The line of a roof from eave to eave, read from the sticks under its snow: for the tally of generated loads.

Terms: a *piece* is a segment of it, from left to right; its *steepness* at a place is the slope there in degrees,
positive where it rises to the right. The *crown* is the highest place, the middle of a level top. A *side* goes
from the crown outwards, and counts steepness positive where it falls that way.
"""

from __future__ import annotations

from itertools import pairwise
from math import asin, atan2, degrees, hypot, radians, sin, tan
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from trussio.model.site import Surface
    from trussio.model.truss import MemberId, Segment, Truss

CLOSE: Final = 1e-6
"""Part of the span within which pieces meet."""
LEVEL: Final = 1e-9
EVEN: Final = 3.0
"""Degrees by which a piece of a pitched side may leave the line of that side."""


class Piece(NamedTuple):
    """A segment from left to right, its steepness at both ends, and its curvature (positive: hollow)."""

    x: tuple[float, float]
    y: tuple[float, float]
    steep: tuple[float, float]
    curvature: float

    def where(self, steepness: float) -> float:
        """Where an arc is so steep."""
        return self.x[0] + (sin(radians(steepness)) - sin(radians(self.steep[0]))) / self.curvature


class Side(NamedTuple):
    """One side: `out` is -1 to the left and 1 to the right; distances from the crown; slopes in degrees.

    `at_30`, `at_60` and `at_70` are where it has become so steep, None where it does not; `line` is the slope of
    the straight line from the crown to the eave.
    """

    out: int
    run: float
    eave_slope: float
    at_30: float | None
    at_60: float | None
    at_70: float | None
    line: float


class Roof(NamedTuple):
    """A roof line."""

    pieces: list[Piece]
    crown: tuple[float, float]
    sides: tuple[Side, Side]
    curved: bool

    @property
    def ends(self) -> tuple[float, float]:
        """The eaves."""
        return self.pieces[0].x[0], self.pieces[-1].x[1]


def roof_of(truss: Truss) -> Roof | None:
    """The roof under all surfaces that carry snow, or None where their sticks make no line from eave to eave."""
    sticks = {name for surface in truss.surfaces.values() if surface.has_snow for name in _under(truss, surface)}
    pieces = sorted(_pieces(truss, sticks))
    if not pieces:
        return None
    span = pieces[-1].x[1] - pieces[0].x[0]
    if any(abs(right.x[0] - left.x[1]) > CLOSE * span for left, right in pairwise(pieces)):
        return None
    crown = _crown(pieces, span)
    sides = _side(pieces, crown, -1), _side(pieces, crown, 1)
    arcs = any(piece.curvature for piece in pieces)
    return Roof(pieces, crown, sides, arcs or not all(_even(pieces, crown, side) for side in sides))


def _under(truss: Truss, surface: Surface) -> list[MemberId]:
    if surface.member is not None:
        return [surface.member]
    return [name for name, one in truss.members.items() if one.role == surface.role]


def _pieces(truss: Truss, sticks: Collection[MemberId]) -> Iterator[Piece]:
    for segment in truss.segments:
        if segment.member in sticks and truss.joints[segment.first].x != truss.joints[segment.last].x:
            yield _piece(truss, segment)


def _piece(truss: Truss, segment: Segment) -> Piece:
    ends = sorted((truss.joints[joint].x, truss.joints[joint].y) for joint in (segment.first, segment.last))
    (x0, y0), (x1, y1) = ends
    chord, slope = hypot(x1 - x0, y1 - y0), atan2(y1 - y0, x1 - x0)
    curve = truss.members[segment.member].curve
    if curve is None:
        return Piece((x0, x1), (y0, y1), (degrees(slope), degrees(slope)), 0.0)
    way = -1.0 if curve.bows == "up" else 1.0
    half = asin(min(1.0, chord / 2 / curve.radius))
    steep = degrees(slope - way * half), degrees(slope + way * half)
    return Piece((x0, x1), (y0, y1), steep, way / curve.radius)


def _crown(pieces: list[Piece], span: float) -> tuple[float, float]:
    points = [point for piece in pieces for point in zip(piece.x, piece.y, strict=True)]
    for piece in pieces:
        if piece.curvature < 0 and piece.steep[0] > 0 > piece.steep[1]:
            x = piece.where(0.0)
            # the chord to the level place is half as steep as the arc at its left end
            points.append((x, piece.y[0] + (x - piece.x[0]) * tan(radians(piece.steep[0] / 2))))
    top = max(y for _, y in points)
    level = [x for x, y in points if top - y <= LEVEL * span]
    return (min(level) + max(level)) / 2, top


def _side(pieces: list[Piece], crown: tuple[float, float], out: int) -> Side:
    outwards = pieces if out > 0 else pieces[::-1]
    last, end = outwards[-1], 1 if out > 0 else 0
    eave, height = last.x[end], last.y[end]
    line = degrees(atan2(crown[1] - height, abs(eave - crown[0])))
    found = (_first(outwards, crown[0], out, angle) for angle in (30.0, 60.0, 70.0))
    at_30, at_60, at_70 = (None if x is None else abs(x - crown[0]) for x in found)
    return Side(out, abs(eave - crown[0]), max(0.0, -out * last.steep[end]), at_30, at_60, at_70, line)


def _first(outwards: list[Piece], crown: float, out: int, angle: float) -> float | None:
    """The first place beyond the crown that falls outwards so steeply."""
    for piece in outwards:
        near, far = (0, 1) if out > 0 else (1, 0)
        if (piece.x[far] - crown) * out <= 0:
            continue
        if -out * piece.steep[near] >= angle - LEVEL and (piece.x[near] - crown) * out >= -LEVEL:
            return piece.x[near]
        if piece.curvature and -out * piece.steep[far] >= angle - LEVEL:
            return piece.where(-out * angle)
    return None


def _even(pieces: list[Piece], crown: tuple[float, float], side: Side) -> bool:
    """Whether all pieces of a side keep to one slope."""
    on_side = [piece for piece in pieces if (sum(piece.x) / 2 - crown[0]) * side.out > 0]
    return all(abs(-side.out * piece.steep[0] - side.line) <= EVEN for piece in on_side)
