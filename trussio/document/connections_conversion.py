"""Connections, bracing, butts, laminations and what joins plies from one unit system into the other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from decimal import Decimal

    from trussio.model.connection import (
        Brace,
        Butt,
        Connection,
        Fasteners,
        Laminations,
        Piece,
        Spaced,
        Stitched,
        WallSeat,
    )
    from trussio.model.truss import JointId, Member

    Convert = Callable[[float, Decimal], float]
    Factors = tuple[Decimal, Decimal, Decimal]


def converted_connection(one: Connection, convert: Convert, factors: Factors) -> Connection:
    """A connection; `factors` are those of length, force and stress."""
    length = factors[0]
    return one._replace(
        pieces=tuple(_piece(piece, convert, factors) for piece in one.pieces),
        fasteners=None if one.fasteners is None else _fasteners(one.fasteners, convert, factors),
        seat=None
        if one.seat is None
        else one.seat._replace(length=convert(one.seat.length, length), width=convert(one.seat.width, length)),
        notch=None
        if one.notch is None
        else one.notch._replace(depth=convert(one.notch.depth, length), relish=convert(one.notch.relish, length)),
        wall=None if one.wall is None else _wall(one.wall, convert, factors),
    )


def converted_along(member: Member, convert: Convert, factors: Factors) -> Member:
    """What is known of a member along its length."""
    braced, butts, laminations = member.braced, member.butts, member.laminations
    stitched, spaced = member.stitched, member.spaced
    return replace(
        member,
        braced=None if braced is None else tuple(_brace(brace, convert, factors) for brace in braced),
        butts=None if butts is None else tuple(_butt(butt, convert, factors) for butt in butts),
        laminations=None if laminations is None else _laminations(laminations, convert, factors),
        stitched=None if stitched is None else _stitched(stitched, convert, factors),
        spaced=None if spaced is None else _spaced(spaced, convert, factors),
    )


def _brace(brace: Brace, convert: Convert, factors: Factors) -> Brace:
    return brace._replace(
        at=_place(brace.at, convert, factors),
        start=_place(brace.start, convert, factors),
        end=_place(brace.end, convert, factors),
    )


def _butt(butt: Butt, convert: Convert, factors: Factors) -> Butt:
    return butt._replace(
        at=butt.at if isinstance(butt.at, str) else convert(butt.at, factors[0]),
        across=None if butt.across is None else converted_connection(butt.across, convert, factors),
    )


def _laminations(one: Laminations, convert: Convert, factors: Factors) -> Laminations:
    return one._replace(
        thickness=_maybe(one.thickness, convert, factors[0]),
        cuts=None if one.cuts is None else tuple(_butt(cut, convert, factors) for cut in one.cuts),
        reach=_maybe(one.reach, convert, factors[0]),
    )


def _stitched(one: Stitched, convert: Convert, factors: Factors) -> Stitched:
    length, _, stress = factors
    return one._replace(
        diameter=convert(one.diameter, length),
        spacing=convert(one.spacing, length),
        gauge=_maybe(one.gauge, convert, length),
        end=_maybe(one.end, convert, length),
        edge=_maybe(one.edge, convert, length),
        length=_maybe(one.length, convert, length),
        Fu=_maybe(one.Fu, convert, stress),
    )


def _spaced(one: Spaced, convert: Convert, factors: Factors) -> Spaced:
    length = factors[0]
    return one._replace(
        end=_maybe(one.end, convert, length),
        between=_maybe(one.between, convert, length),
        length=_maybe(one.length, convert, length),
        fasteners=None if one.fasteners is None else _fasteners(one.fasteners, convert, factors),
    )


def _maybe(value: float | None, convert: Convert, factor: Decimal) -> float | None:
    return None if value is None else convert(value, factor)


def _place(at: JointId | float | None, convert: Convert, factors: Factors) -> JointId | float | None:
    return at if at is None or isinstance(at, str) else convert(at, factors[0])


def _piece(piece: Piece, convert: Convert, factors: Factors) -> Piece:
    length, _, stress = factors
    return piece._replace(
        thickness=_maybe(piece.thickness, convert, length),
        depth=_maybe(piece.depth, convert, length),
        Fy=_maybe(piece.Fy, convert, stress),
        Fu=_maybe(piece.Fu, convert, stress),
        end=_maybe(piece.end, convert, length),
        edge=_maybe(piece.edge, convert, length),
        upper_edge=_maybe(piece.upper_edge, convert, length),
        lower_edge=_maybe(piece.lower_edge, convert, length),
    )


def _fasteners(one: Fasteners, convert: Convert, factors: Factors) -> Fasteners:
    length, _, stress = factors
    return replace(
        one,
        diameter=convert(one.diameter, length),
        spacing=_maybe(one.spacing, convert, length),
        gauge=_maybe(one.gauge, convert, length),
        connector=_maybe(one.connector, convert, length),
        length=_maybe(one.length, convert, length),
        hole=_maybe(one.hole, convert, length),
        washer=_maybe(one.washer, convert, length),
        gap=_maybe(one.gap, convert, length),
        Fyb=_maybe(one.Fyb, convert, stress),
        Fu=_maybe(one.Fu, convert, stress),
    )


def _wall(wall: WallSeat, convert: Convert, factors: Factors) -> WallSeat:
    length, force, _ = factors
    return wall._replace(
        length=convert(wall.length, length),
        lost=_maybe(wall.lost, convert, length),
        width=_maybe(wall.width, convert, length),
        to_end=_maybe(wall.to_end, convert, length),
        hold_down=_maybe(wall.hold_down, convert, force),
    )
