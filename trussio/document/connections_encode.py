"""Connections, bracing, butts, laminations and what joins plies, written: their fields under their own names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import entry, free

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.document.entry import Object
    from trussio.model.connection import Brace, Butt, Connection, Laminations, Spaced, Stitched
    from trussio.model.truss import Json, Member


def encode_connection(connection: Connection) -> Object:
    """The JSON value of a connection."""
    one = connection
    return entry(
        {
            "joint": one.joint,
            "pieces": [entry(piece._asdict()) for piece in one.pieces],
            "into": one.into,
            "fasteners": None if one.fasteners is None else entry(dict(vars(one.fasteners))),
            "butt": None if one.butt is None else entry(one.butt._asdict()),
            "seat": None if one.seat is None else entry(one.seat._asdict()),
            "notch": None if one.notch is None else entry(one.notch._asdict()),
            "wall": None if one.wall is None else entry(one.wall._asdict()),
            "evidence": one.evidence,
            "wet_when_made": one.wet_when_made,
            "notes": free(one.notes),
        }
    )


def encode_along(member: Member) -> Object:
    """What is known of a member along its length; None means absence."""
    return {
        "braced": None if member.braced is None else _braced(member.braced),
        "butts": None if member.butts is None else _butts(member.butts),
        "laminations": None if member.laminations is None else _laminations(member.laminations),
        "stitched": None if member.stitched is None else _stitched(member.stitched),
        "spaced": None if member.spaced is None else _spaced(member.spaced),
    }


def _braced(braced: Sequence[Brace]) -> list[Json]:
    return [
        entry(
            {
                "plane": brace.plane,
                "by": brace.by,
                "seen": brace.seen,
                "at": brace.at,
                "from": brace.start,
                "to": brace.end,
                "notes": free(brace.notes),
            }
        )
        for brace in braced
    ]


def _butts(butts: Sequence[Butt]) -> list[Json]:
    return [
        entry(
            {
                "ply": butt.ply,
                "at": butt.at,
                "tight": butt.tight,
                "across": None if butt.across is None else encode_connection(butt.across),
                "notes": free(butt.notes),
            }
        )
        for butt in butts
    ]


def _laminations(laminations: Laminations) -> Object:
    return entry(
        {
            "bent": laminations.bent,
            "thickness": laminations.thickness,
            "cuts": None if laminations.cuts is None else _butts(laminations.cuts),
            "reach": laminations.reach,
            "notes": free(laminations.notes),
        }
    )


def _stitched(stitched: Stitched) -> Object:
    return entry({**stitched._asdict(), "notes": free(stitched.notes)})


def _spaced(spaced: Spaced) -> Object:
    fasteners = None if spaced.fasteners is None else entry(dict(vars(spaced.fasteners)))
    return entry({**spaced._asdict(), "fasteners": fasteners, "notes": free(spaced.notes)})
