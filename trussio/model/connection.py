"""Connections: what joins the sticks at a joint, and what is known of a stick along its length.

Terms: a *piece* is one ply of a stick, or a plate, as it lies at the fasteners; pieces are named in the order in
which a fastener goes through them, from its head to its point. A *row* runs along the first stick that ends at the
joint. A *butt* is where one ply of a stick ends and the next begins while its neighbours run through; bent
*laminations* are plies that lie flat on each other. Plies in contact are *stitched* along the stick, plies apart
*spaced* by blocks. The *upper* edge of a stick faces up, or where the stick is
vertical to the left.

What is None was not said. Lengths in base lengths, stresses in psi or MPa. The letter of each field stands in
`schema/parts.json`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from trussio.model.truss import JointId, MaterialId, MemberId, Notes

FastenerKind = Literal["bolt", "lag screw", "wood screw", "nail", "split ring", "shear plate"]
Evidence = Literal["seen", "joint opened", "detected", "inferred"]
Plane = Literal["out", "in"]
Stitch = Literal["nail", "bolt"]


class Piece(NamedTuple):
    """One ply of a stick at the fasteners, or a plate; exactly one of `member` and `plate` is given.

    `meets` names the stick on the other side of a butt, where the same pieces and fasteners hold it too. `end`,
    `edge`, `upper_edge` and `lower_edge` are distances from the nearest fastener; `edge` is the lesser of the two.
    `thickness`, `depth`, `material` (of wood) and the steel's `Fy` and `Fu` belong to plates; a ply takes its own
    from its stick.
    """

    member: MemberId | None = None
    plate: Literal["steel", "wood"] | None = None
    ply: int | None = None
    meets: MemberId | None = None
    thickness: float | None = None
    depth: float | None = None
    material: MaterialId | None = None
    Fy: float | None = None
    Fu: float | None = None
    end: float | None = None
    edge: float | None = None
    upper_edge: float | None = None
    lower_edge: float | None = None
    end_grain: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Fasteners:
    """A group of fasteners of one kind: `count` in `rows`, `spacing` in a row and `gauge` between rows.

    `diameter` is that of the bolt, screw or nail, `connector` that of the ring or plate round the bolt. `gap` is
    the measured looseness: the clear distance between faces that should touch. `length` is a screw's or nail's;
    `threads_bear` says that threads bear on the wood over more than a quarter of a piece, `separate_plates` that
    each row has a splice plate of its own. One row where `rows` is None.
    """

    kind: FastenerKind
    diameter: float
    count: int
    rows: int | None = None
    spacing: float | None = None
    gauge: float | None = None
    connector: float | None = None
    length: float | None = None
    hole: float | None = None
    washer: float | None = None
    gap: float | None = None
    threads_bear: bool | None = None
    separate_plates: bool | None = None
    Fyb: float | None = None
    Fu: float | None = None


class EndBearing(NamedTuple):
    """The ends of two sticks or plies bear on each other: whether surveyed tight, and with steel between them."""

    tight: bool | None = None
    plate: bool | None = None


class Seat(NamedTuple):
    """A stick pushes on the face of another over `length` along that one's grain and `width` across the plane.

    A `washer` seat is that of a rod, which pulls its nut onto the face.
    """

    length: float
    width: float
    washer: bool | None = None


class Notch(NamedTuple):
    """A heel notch: `depth` below the tie's edge, `relish` of the tie beyond it."""

    depth: float
    relish: float


class WallSeat(NamedTuple):
    """Where the truss sits on a wall: `length` of the seat along the stick, `lost` of it to decay in the pocket.

    `width` is that of the seat across the plane, the whole stick's where None; `to_end` runs from the seat to the
    stick's end. `hold_down` is the force that the hold-down may carry by its own calculation, base force.
    """

    length: float
    lost: float | None = None
    width: float | None = None
    to_end: float | None = None
    hold_down: float | None = None


class Connection(NamedTuple):
    """What joins pieces at a joint, or across a butt (then `joint` is None).

    `into` names the stick that takes up what the others bring, where that is not plain: the plates, else the stick
    that runs through. Fasteners, a butt, a seat, a notch and a wall seat may stand together; where none is given
    nobody knows what is there.
    """

    pieces: tuple[Piece, ...]
    joint: JointId | None = None
    into: MemberId | None = None
    fasteners: Fasteners | None = None
    butt: EndBearing | None = None
    seat: Seat | None = None
    notch: Notch | None = None
    wall: WallSeat | None = None
    evidence: Evidence | None = None
    wet_when_made: bool | None = None
    notes: Notes | None = None


class Brace(NamedTuple):
    """What holds a stick against moving, `out` of the truss plane or `in` it: at a place or along a stretch.

    `at` is a joint of the stick or a distance along it; without it the stretch from `start` to `end` is held
    throughout, None meaning the stick's own end. `seen` says whether somebody saw that it truly holds.
    """

    plane: Plane
    by: str
    seen: bool
    at: JointId | float | None = None
    start: JointId | float | None = None
    end: JointId | float | None = None
    notes: Notes | None = None


class Butt(NamedTuple):
    """One ply ends and the next begins at a joint or a distance along the stick; its neighbours run through.

    `ply` counts from 1. `across` is what brings the cut ply's force past the butt; `tight` whether its ends were
    found to bear on each other.
    """

    ply: int
    at: JointId | float
    tight: bool | None = None
    across: Connection | None = None
    notes: Notes | None = None


class Laminations(NamedTuple):
    """How a curved stick was built up: laminations bent to the curve, or sawn to it, and where each is cut.

    `thickness` is that of one lamination. `reach` is the length over which the fasteners bring a cut lamination
    back to its share.
    """

    bent: bool
    thickness: float | None = None
    cuts: tuple[Butt, ...] | None = None
    reach: float | None = None
    notes: Notes | None = None


class Stitched(NamedTuple):
    """Nails or bolts through all plies of a stick, along its whole length; `seen` says that somebody saw them.

    `spacing` in a row and `gauge` between `rows`; `end` and `edge` are the distances of the nearest to the end and
    the edge of a ply; `length` is a nail's. `opposite` nails are driven from both faces in turn, `staggered` ones
    stand in no line across; bolts have `washers`, and are `tight` where the plies touch. One row where None.
    """

    kind: Stitch
    diameter: float
    spacing: float
    seen: bool
    rows: int | None = None
    gauge: float | None = None
    end: float | None = None
    edge: float | None = None
    length: float | None = None
    opposite: bool | None = None
    staggered: bool | None = None
    washers: bool | None = None
    tight: bool | None = None
    Fu: float | None = None
    notes: Notes | None = None


class Spaced(NamedTuple):
    """Blocks in the gap between the plies of a stick, or `gussets` on them; `seen` says that somebody saw them.

    `blocks` counts those between the two at the ends of a length held across the plane. `end` runs from
    such an end to the middle of the end block's fasteners, `between` from there to the middle of the next block,
    or from block to block where that is more. `length` is a block's along the stick; `fasteners` are those in one
    face of one block, unless it is `glued`.
    """

    seen: bool
    blocks: int | None = None
    end: float | None = None
    between: float | None = None
    length: float | None = None
    gussets: bool | None = None
    glued: bool | None = None
    fasteners: Fasteners | None = None
    notes: Notes | None = None
