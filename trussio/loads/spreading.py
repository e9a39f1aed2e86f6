"""Area loads brought to sticks: along the chord, to its panel points, or to purlins.

Terms: a *parcel* is the part of a load on one piece of the chord between neighbouring breaks, with its resultant
and its moment. Totals, and moments about any point, are the same in all three ways. Loads are per horizontal area
(`plan`, a diagram) or the same everywhere per area of the surface (`slope`). Forces come out per unit of width and
in the unit of the area load times base length; the caller multiplies.
"""

from __future__ import annotations

from bisect import bisect_right
from math import cos
from typing import TYPE_CHECKING, NamedTuple

from trussio.loads.arc_load import arc_ends
from trussio.loads.diagram import cut

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import Piece, RoofLine
    from trussio.model.truss import JointId, MemberId


class Parcel(NamedTuple):
    """The resultant of what lies from x0 to x1 of a piece, and its moment about x0."""

    piece: Piece
    x0: float
    x1: float
    force: float
    moment: float


class Strip(NamedTuple):
    """A load along a stick from x0 to x1 that runs evenly with its length, in area load on plan at the ends."""

    piece: Piece
    x0: float
    x1: float
    first: float
    last: float


class Place(NamedTuple):
    """A joint, or a place on a stick where there is none."""

    joint: JointId | None
    member: MemberId
    along: float


def strips(line: RoofLine, diagram: Diagram) -> Iterator[Strip]:
    """A diagram along the sticks, from left to right; on an arc so that resultant and moment are exact."""
    for piece, x0, x1, load0, load1 in _on_pieces(line, diagram, ()):
        if load0 == load1 == 0:
            continue
        if piece.bow is None or load0 == load1:
            yield Strip(piece, x0, x1, load0, load1)
        else:
            for start, end, first, last in arc_ends(piece.bow, x0, x1, load0, load1):
                yield Strip(piece, start, end, first, last)


def plan_parcels(line: RoofLine, diagram: Diagram, places: Sequence[float] = ()) -> Iterator[Parcel]:
    """The parcels of a diagram, cut at the joints and at `places`."""
    for piece, x0, x1, load0, load1 in _on_pieces(line, diagram, places):
        run = x1 - x0
        yield Parcel(piece, x0, x1, run * (load0 + load1) / 2, run**2 * (load0 + 2 * load1) / 6)


def slope_parcels(line: RoofLine, load: float, places: Sequence[float] = ()) -> Iterator[Parcel]:
    """The parcels of a load per area of surface."""
    whole = ((line.left, load), (line.right, load))
    for piece, x0, x1, _, _ in _on_pieces(line, whole, places):
        length = piece.from_left(x1) - piece.from_left(x0)
        if piece.bow is None:
            lever = (x1 - x0) / 2 * length
        else:
            start, end = piece.bow.angle(x0), piece.bow.angle(x1)
            lever = piece.bow.radius**2 * (cos(start) - cos(end)) - (x0 - piece.bow.x) * length
        yield Parcel(piece, x0, x1, load * length, load * lever)


def at_joints(parcels: Iterator[Parcel]) -> dict[JointId, float]:
    """Forces at the joints: every piece hands its parcels to its two ends by the lever."""
    found: dict[JointId, float] = {}
    for piece, x0, _, force, moment in parcels:
        right = (moment + force * (x0 - piece.x0)) / (piece.x1 - piece.x0)
        found[piece.left] = found.get(piece.left, 0.0) + force - right
        found[piece.right] = found.get(piece.right, 0.0) + right
    return found


def at_purlins(parcels: Iterator[Parcel], purlins: Sequence[float]) -> list[float]:
    """Forces at the purlins, which stand in order and reach from eave to eave: by the lever between neighbours."""
    found = [0.0] * len(purlins)
    for _, x0, x1, force, moment in parcels:
        before = min(bisect_right(purlins, (x0 + x1) / 2), len(purlins) - 1) - 1
        bay = purlins[before + 1] - purlins[before]
        right = (moment + force * (x0 - purlins[before])) / bay
        found[before] += force - right
        found[before + 1] += right
    return found


def place_at(line: RoofLine, x: float) -> Place:
    """The joint or the place on a stick at x."""
    piece = line.piece_at(x)
    return Place(piece.joint_at(x), piece.member, piece.along(x))


def _on_pieces(
    line: RoofLine, diagram: Diagram, places: Sequence[float]
) -> Iterator[tuple[Piece, float, float, float, float]]:
    """The straight parts of a diagram on each piece, cut at its ends and at places."""
    breaks = [*(piece.x0 for piece in line.pieces), line.right, *places]
    pieces = iter(line.pieces)
    piece = next(pieces)
    for x0, x1, load0, load1 in cut(diagram, breaks):
        while (x0 + x1) / 2 > piece.x1:
            piece = next(pieces)
        yield piece, x0, x1, load0, load1
