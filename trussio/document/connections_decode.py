"""Connections, bracing, butts, laminations and what joins plies, read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.fields import by_id, each, record
from trussio.document.loads_decode import place
from trussio.document.names import joint_id, material_id, member_id
from trussio.document.site_decode import flag
from trussio.document.values import chosen, free, nonnegative, positive, text, whole
from trussio.model.connection import (
    Brace,
    Butt,
    Connection,
    EndBearing,
    Fasteners,
    Laminations,
    Notch,
    Piece,
    Seat,
    Spaced,
    Stitched,
    WallSeat,
)

if TYPE_CHECKING:
    from typing import Final, Literal

    from trussio.document.fields import Fields
    from trussio.model.connection import Evidence, FastenerKind, Plane, Stitch
    from trussio.model.truss import JointId

KINDS: Final[tuple[FastenerKind, ...]] = (
    "bolt",
    "lag screw",
    "wood screw",
    "nail",
    "split ring",
    "shear plate",
)
EVIDENCE: Final[tuple[Evidence, ...]] = ("seen", "joint opened", "detected", "inferred")
PLANES: Final[tuple[Plane, ...]] = ("out", "in")
STITCHES: Final[tuple[Stitch, ...]] = ("nail", "bolt")
PLATES: Final[tuple[Literal["steel", "wood"], ...]] = ("steel", "wood")
MOST = 999

count = whole(1, MOST, "a whole number from 1 to 999")
ply = whole(1, 99, "a whole number from 1 to 99")
blocks = whole(0, MOST, "a whole number from 0 to 999")


def piece(fields: Fields) -> Piece:
    """One ply of a stick, or a plate."""
    given = {key for key in ("member", "plate") if key in fields.value}
    if fields.sound and len(given) != 1:
        what = "this piece is a stick and a plate at once." if given else "this piece is no stick and no plate."
        fields.ledger.add(fields.where, what, 'Give "member" with an id, or "plate", and not both.')
    return Piece(
        member=fields.get("member", member_id),
        plate=fields.get("plate", chosen(PLATES)),
        ply=fields.get("ply", ply),
        meets=fields.get("meets", member_id),
        thickness=fields.get("thickness", positive),
        depth=fields.get("depth", positive),
        material=fields.get("material", material_id),
        Fy=fields.get("Fy", positive),
        Fu=fields.get("Fu", positive),
        end=fields.get("end", nonnegative),
        edge=fields.get("edge", nonnegative),
        upper_edge=fields.get("upper_edge", nonnegative),
        lower_edge=fields.get("lower_edge", nonnegative),
        end_grain=fields.get("end_grain", flag),
    )


def fasteners(fields: Fields) -> Fasteners:
    """A group of fasteners."""
    return Fasteners(
        kind=fields.need("kind", chosen(KINDS)),
        diameter=fields.need("diameter", positive),
        count=fields.need("count", count),
        rows=fields.get("rows", count),
        spacing=fields.get("spacing", positive),
        gauge=fields.get("gauge", positive),
        connector=fields.get("connector", positive),
        length=fields.get("length", positive),
        hole=fields.get("hole", positive),
        washer=fields.get("washer", positive),
        gap=fields.get("gap", nonnegative),
        threads_bear=fields.get("threads_bear", flag),
        separate_plates=fields.get("separate_plates", flag),
        Fyb=fields.get("Fyb", positive),
        Fu=fields.get("Fu", positive),
    )


def end_bearing(fields: Fields) -> EndBearing:
    """Two ends that bear on each other."""
    return EndBearing(tight=fields.get("tight", flag), plate=fields.get("plate", flag))


def seat(fields: Fields) -> Seat:
    """A face that a stick pushes on."""
    return Seat(
        length=fields.need("length", positive),
        width=fields.need("width", positive),
        washer=fields.get("washer", flag),
    )


def notch(fields: Fields) -> Notch:
    """A heel notch."""
    return Notch(depth=fields.need("depth", positive), relish=fields.need("relish", positive))


def wall_seat(fields: Fields) -> WallSeat:
    """A seat on a wall."""
    return WallSeat(
        length=fields.need("length", positive),
        lost=fields.get("lost", nonnegative),
        width=fields.get("width", positive),
        to_end=fields.get("to_end", nonnegative),
        hold_down=fields.get("hold_down", nonnegative),
    )


def across(fields: Fields) -> Connection:
    """What brings a cut ply's force past its butt."""
    return _joined(fields, None)


def connection(fields: Fields) -> Connection:
    """What joins pieces at a joint."""
    return _joined(fields, fields.need("joint", joint_id))


def _joined(fields: Fields, joint: JointId | None) -> Connection:
    return Connection(
        joint=joint,
        pieces=fields.need("pieces", PIECES),
        into=fields.get("into", member_id),
        fasteners=fields.get("fasteners", FASTENERS),
        butt=fields.get("butt", BUTT),
        seat=fields.get("seat", SEAT),
        notch=fields.get("notch", NOTCH),
        wall=fields.get("wall", WALL),
        evidence=fields.get("evidence", chosen(EVIDENCE)),
        wet_when_made=fields.get("wet_when_made", flag),
        notes=fields.get("notes", free),
    )


def brace(fields: Fields) -> Brace:
    """What holds a stick."""
    if fields.sound and "at" in fields.value and not fields.value.keys().isdisjoint({"from", "to"}):
        what = "this holds at a place and along a stretch at once."
        fields.ledger.add(fields.where, what, 'Give "at", or "from" and "to" for a stretch held throughout.')
    return Brace(
        plane=fields.need("plane", chosen(PLANES)),
        by=fields.need("by", text),
        seen=fields.need("seen", flag),
        at=fields.get("at", place),
        start=fields.get("from", place),
        end=fields.get("to", place),
        notes=fields.get("notes", free),
    )


def butt(fields: Fields) -> Butt:
    """A place where one ply ends."""
    return Butt(
        ply=fields.need("ply", ply),
        at=fields.need("at", place),
        tight=fields.get("tight", flag),
        across=fields.get("across", ACROSS),
        notes=fields.get("notes", free),
    )


def laminations(fields: Fields) -> Laminations:
    """How a curved stick was built up."""
    return Laminations(
        bent=fields.need("bent", flag),
        thickness=fields.get("thickness", positive),
        cuts=fields.get("cuts", BUTTS),
        reach=fields.get("reach", positive),
        notes=fields.get("notes", free),
    )


def stitched(fields: Fields) -> Stitched:
    """What goes through all plies along a stick."""
    return Stitched(
        kind=fields.need("kind", chosen(STITCHES)),
        diameter=fields.need("diameter", positive),
        spacing=fields.need("spacing", positive),
        seen=fields.need("seen", flag),
        rows=fields.get("rows", count),
        gauge=fields.get("gauge", positive),
        end=fields.get("end", nonnegative),
        edge=fields.get("edge", nonnegative),
        length=fields.get("length", positive),
        opposite=fields.get("opposite", flag),
        staggered=fields.get("staggered", flag),
        washers=fields.get("washers", flag),
        tight=fields.get("tight", flag),
        Fu=fields.get("Fu", positive),
        notes=fields.get("notes", free),
    )


def spaced(fields: Fields) -> Spaced:
    """Blocks between the plies of a stick."""
    return Spaced(
        seen=fields.need("seen", flag),
        blocks=fields.get("blocks", blocks),
        end=fields.get("end", nonnegative),
        between=fields.get("between", positive),
        length=fields.get("length", positive),
        gussets=fields.get("gussets", flag),
        glued=fields.get("glued", flag),
        fasteners=fields.get("fasteners", FASTENERS),
        notes=fields.get("notes", free),
    )


PIECES = each(record(piece), "a list of one piece or more", least=1)
FASTENERS = record(fasteners)
BUTT = record(end_bearing)
SEAT = record(seat)
NOTCH = record(notch)
WALL = record(wall_seat)
ACROSS = record(across)
CONNECTIONS = by_id(str, record(connection))
BRACED = each(record(brace), "a list of what holds the stick")
BUTTS = each(record(butt), "a list of butts")
LAMINATIONS = record(laminations)
STITCHED = record(stitched)
SPACED = record(spaced)
