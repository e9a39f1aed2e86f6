"""Connections and what is known along sticks, as a basis says them, fitted to what a drawing holds."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from trussio.model.change import Assumption, Question

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.basis import Basis
    from trussio.model.connection import Connection
    from trussio.model.truss import Joint, JointId, Member, MemberId


class FittedJoints(NamedTuple):
    """What the document takes over, what that rests on, and what was left out with a question."""

    members: Mapping[MemberId, Member]
    connections: Mapping[str, Connection] = MappingProxyType({})
    assumptions: tuple[Assumption, ...] = ()
    questions: tuple[Question, ...] = ()


def fitted_joints(
    basis: Basis | None, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]
) -> FittedJoints:
    """Members with what the basis knows along them, and its connections; what the truss lacks is left out."""
    if basis is None or not (basis.connections or basis.sticks):
        return FittedJoints(members)
    strange = {f"/sticks/{name}": str(name) for name in basis.sticks if name not in members}
    kept: dict[str, Connection] = {}
    for key, connection in basis.connections.items():
        lacks = _lacking(connection, joints, members)
        if lacks:
            strange[f"/connections/{key}"] = lacks
        else:
            kept[key] = connection
    known = {
        name: replace(
            member,
            braced=along.braced,
            butts=along.butts,
            laminations=along.laminations,
            stitched=along.stitched,
            spaced=along.spaced,
        )
        for name, member in members.items()
        if (along := basis.sticks.get(name)) is not None
    }
    touches = (*(f"/members/{name}" for name in known), *(("/connections",) if kept else ()))
    what = "Connections and what is known along sticks as stated."
    return FittedJoints(
        members={**members, **known},
        connections=kept,
        assumptions=(Assumption(what=what, rests_on=basis.name, touches=touches),) if touches else (),
        questions=tuple(_question(basis.name, where, what) for where, what in strange.items()),
    )


def _lacking(connection: Connection, joints: Mapping[JointId, Joint], members: Mapping[MemberId, Member]) -> str:
    """The first thing that a connection names and that is not there, or an empty text."""
    if connection.joint is not None and connection.joint not in joints:
        return connection.joint
    named = (name for piece in connection.pieces for name in (piece.member, piece.meets) if name is not None)
    return next((name for name in named if name not in members), "")


def _question(basis: str, where: str, what: str) -> Question:
    return Question(
        code="connection-without-place",
        asks=f"{basis} says something of {what}, which the truss as read does not have. What is meant?",
        taken="left out",
        settle=f"Correct {where} in {basis}.",
    )
