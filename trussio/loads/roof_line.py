"""The line of a chord as it was surveyed: its pieces from left to right, its crown, its slopes and its sides.

Terms: a *piece* is a segment that runs sideways, straight or an arc; what stands upright has no plan. The *eaves*
are the ends of the line, the *crown* its highest point, the middle of a level top; a *side* runs from the crown to
an eave. A slope is positive where the line rises to the right, a *steepness* where it falls away from the crown.
Places are x in the plane of the truss, base lengths; angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import asin, atan2, cos, degrees, hypot, radians, sin
from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import CannotAnalyseError
from trussio.geometry import segment_arc

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.geometry import Arc
    from trussio.model.truss import JointId, MemberId, Segment, Truss

UPRIGHT = 1e-6
"""A segment is upright where it runs sideways by less than this of its length."""
CLOSE = 1e-6
"""Places are one where they lie closer together than this part of the span."""
ON_LIMIT = 1e-9
"""Degrees within which a slope is taken to be on a limit."""


class Bow(NamedTuple):
    """The circle of a curved piece; `up` where the piece is its upper part."""

    x: float
    radius: float
    up: bool

    def angle(self, x: float) -> float:
        """The turn from the upright radius to the one at x, clockwise for an upper arc, in radians."""
        return asin(max(-1.0, min(1.0, (x - self.x) / self.radius)))


class Piece(NamedTuple):
    """A segment from its left end (x0, y0) to its right (x1, y1).

    `begins` is how far along its stick the segment starts, `length` its own; `forward` where the stick runs to the
    right here.
    """

    member: MemberId
    left: JointId
    right: JointId
    x0: float
    y0: float
    x1: float
    y1: float
    bow: Bow | None
    begins: float
    length: float
    forward: bool

    def slope(self, x: float) -> float:
        """The slope at x."""
        if self.bow is None:
            return degrees(atan2(self.y1 - self.y0, self.x1 - self.x0))
        turn = degrees(self.bow.angle(x))
        return -turn if self.bow.up else turn

    def from_left(self, x: float) -> float:
        """Length along the piece from its left end to x."""
        if self.bow is None:
            return self.length * (x - self.x0) / (self.x1 - self.x0)
        return self.bow.radius * (self.bow.angle(x) - self.bow.angle(self.x0))

    def along(self, x: float) -> float:
        """Distance along the stick at x."""
        walked = self.from_left(x)
        return self.begins + (walked if self.forward else self.length - walked)

    def joint_at(self, x: float) -> JointId | None:
        """The joint of this piece at x, if there is one."""
        near = CLOSE * (self.x1 - self.x0)
        if abs(x - self.x0) <= near:
            return self.left
        return self.right if abs(x - self.x1) <= near else None


class Upright(NamedTuple):
    """A segment without plan: its joints, from the first to the last along its stick, and its length."""

    member: MemberId
    first: JointId
    last: JointId
    x: float
    begins: float
    length: float


@dataclass(frozen=True, kw_only=True)
class RoofSide:
    """One side, seen from the crown: `outward` is -1 to the left and 1 to the right."""

    line: RoofLine
    outward: int

    @property
    def eave(self) -> float:
        """Where it ends."""
        return self.line.left if self.outward < 0 else self.line.right

    @property
    def run(self) -> float:
        """Plan length from crown to eave."""
        return abs(self.eave - self.line.crown[0])

    @property
    def eave_height(self) -> float:
        """Height of the eave."""
        ends = self.line.pieces[0], self.line.pieces[-1]
        return ends[0].y0 if self.outward < 0 else ends[1].y1

    def line_slope(self, to: float | None = None) -> float:
        """Slope of the straight line from the crown to the eave, or to the point of the roof at x = `to`."""
        x = self.eave if to is None else to
        y = self.eave_height if to is None else self.line.height(to)
        return degrees(atan2(self.line.crown[1] - y, abs(x - self.line.crown[0])))

    @property
    def eave_slope(self) -> float:
        """Steepness at the eave."""
        piece = self.line.pieces[0] if self.outward < 0 else self.line.pieces[-1]
        return -self.outward * piece.slope(self.eave)

    def first_as_steep(self, angle: float) -> float | None:
        """The first place outwards from the crown that is as steep as an angle, or None."""
        pieces = self.line.pieces if self.outward > 0 else tuple(reversed(self.line.pieces))
        for piece in pieces:
            inner, outer = (piece.x0, piece.x1) if self.outward > 0 else (piece.x1, piece.x0)
            if (outer - self.line.crown[0]) * self.outward <= CLOSE * self.line.span:
                continue
            inner = self.outward * max(self.outward * inner, self.outward * self.line.crown[0])
            if -self.outward * piece.slope(inner) >= angle - ON_LIMIT:
                return inner
            if piece.bow is not None and -self.outward * piece.slope(outer) >= angle - ON_LIMIT:
                place = piece.bow.x + self.outward * piece.bow.radius * sin(radians(angle))
                return self.outward * min(self.outward * place, self.outward * outer)
        return None

    def slopes(self) -> list[tuple[float, float]]:
        """Plan length and steepness of each straight piece and of each end of a curved one, from the crown out."""
        found = []
        for piece in self.line.pieces:
            x0, x1 = (
                (max(piece.x0, self.line.crown[0]), piece.x1)
                if self.outward > 0
                else (
                    piece.x0,
                    min(piece.x1, self.line.crown[0]),
                )
            )
            if x1 - x0 > CLOSE * self.line.span:
                found += [(x1 - x0, -self.outward * piece.slope(x)) for x in (x0, x1)]
        return found if self.outward > 0 else found[::-1]


@dataclass(frozen=True, kw_only=True)
class RoofLine:
    """Pieces from left to right without gap or overlap, and what stands upright between them."""

    pieces: tuple[Piece, ...]
    uprights: tuple[Upright, ...] = ()

    @property
    def left(self) -> float:
        """The left eave."""
        return self.pieces[0].x0

    @property
    def right(self) -> float:
        """The right eave."""
        return self.pieces[-1].x1

    @property
    def span(self) -> float:
        """Plan length from eave to eave."""
        return self.right - self.left

    @cached_property
    def crown(self) -> tuple[float, float]:
        """The highest point; of a level top its middle."""
        points = [(p.x0, p.y0) for p in self.pieces] + [(p.x1, p.y1) for p in self.pieces]
        points += [
            (piece.bow.x, _height(piece, piece.bow.x))
            for piece in self.pieces
            if piece.bow is not None and piece.bow.up and piece.x0 < piece.bow.x < piece.x1
        ]
        top = max(y for _, y in points)
        level = [x for x, y in points if top - y <= ON_LIMIT * self.span]
        return ((min(level) + max(level)) / 2, top)

    @property
    def sides(self) -> tuple[RoofSide, RoofSide]:
        """The left side and the right."""
        return (RoofSide(line=self, outward=-1), RoofSide(line=self, outward=1))

    @property
    def curved(self) -> bool:
        """Whether any piece is an arc."""
        return any(piece.bow is not None for piece in self.pieces)

    def height(self, x: float) -> float:
        """Height of the line at x."""
        return _height(self.piece_at(x), x)

    def piece_at(self, x: float) -> Piece:
        """The piece over x; at a joint the one to its left, if there is one."""
        return next((piece for piece in self.pieces if x <= piece.x1), self.pieces[-1])


def roof_line(truss: Truss, members: Iterable[MemberId], where: str) -> RoofLine:
    """The line of some sticks together.

    Raises CannotAnalyseError `roof-line` where they leave a gap, lie above each other or hang over, naming the
    joint; `where` points at what asks for the line.
    """
    wanted = set(members)
    pieces: list[Piece] = []
    uprights: list[Upright] = []
    begins: dict[MemberId, float] = {}
    for segment in truss.segments:
        if segment.member not in wanted:
            continue
        arc = segment_arc(truss, segment)
        start = begins.get(segment.member, 0.0)
        made = _piece(truss, segment, arc, start, where)
        begins[segment.member] = start + made.length
        if isinstance(made, Piece):
            pieces.append(made)
        else:
            uprights.append(made)
    pieces.sort(key=lambda piece: (piece.x0, piece.x1))
    if not pieces:
        raise _refused(where, "all of its sticks stand upright, so that nothing can lie on them.")
    span = pieces[-1].x1 - pieces[0].x0
    for one, other in pairwise(pieces):
        if abs(other.x0 - one.x1) > CLOSE * span:
            what = "leave a gap" if other.x0 > one.x1 else "lie above each other"
            raise _refused(where, f"its sticks {what} between {one.right} and {other.left}.")
    return RoofLine(pieces=tuple(pieces), uprights=tuple(uprights))


def _piece(truss: Truss, segment: Segment, arc: Arc | None, begins: float, where: str) -> Piece | Upright:
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    length = hypot(last.x - first.x, last.y - first.y) if arc is None else arc.length
    if abs(last.x - first.x) <= UPRIGHT * length:
        return Upright(segment.member, segment.first, segment.last, first.x, begins, length)
    forward = last.x > first.x
    (left, a), (right, b) = sorted(((segment.first, first), (segment.last, last)), key=lambda joint: joint[1].x)
    return Piece(
        member=segment.member,
        left=left,
        right=right,
        x0=a.x,
        y0=a.y,
        x1=b.x,
        y1=b.y,
        bow=None if arc is None else _bow(truss, segment, arc, where),
        begins=begins,
        length=length,
        forward=forward,
    )


def _bow(truss: Truss, segment: Segment, arc: Arc, where: str) -> Bow:
    """The circle of an arc, which must not turn back under itself."""
    curve = truss.members[segment.member].curve
    up = curve is not None and curve.bows == "up"
    heights = [truss.joints[joint].y - arc.centre[1] for joint in (segment.first, segment.last)]
    if any((height < 0) == up and abs(height) > UPRIGHT * arc.radius for height in heights):
        raise _refused(where, f"the arc {segment.id} hangs over, so that a place lies on it twice.")
    return Bow(arc.centre[0], arc.radius, up)


def _height(piece: Piece, x: float) -> float:
    if piece.bow is None:
        return piece.y0 + (piece.y1 - piece.y0) * (x - piece.x0) / (piece.x1 - piece.x0)
    here, start = piece.bow.angle(x), piece.bow.angle(piece.x0)
    rise = piece.bow.radius * (cos(here) - cos(start))
    return piece.y0 + (rise if piece.bow.up else -rise)


def _refused(where: str, what: str) -> CannotAnalyseError:
    return CannotAnalyseError(
        "roof-line",
        where=where,
        what=f"The line of this surface is not clear: {what}",
        do="Name the sticks that form one line from eave to eave, each in a surface by member or by role.",
    )
