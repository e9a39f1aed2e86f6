"""What is known of a stick along its length (bracing, butts, cuts of laminations), brought to one part of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.connection import Brace, Butt
    from trussio.model.truss import JointId, Member


def known_along(member: Member, places: Mapping[JointId, float], start: float, end: float) -> Member:
    """A stick with what is known of it from `start` to `end`, measured from `start`; `places` are its joints'."""
    cuts = None if member.laminations is None else member.laminations.cuts
    return replace(
        member,
        braced=None if member.braced is None else _braces(member.braced, places, start, end),
        butts=None if member.butts is None else _butts(member.butts, places, start, end),
        laminations=member.laminations
        if member.laminations is None or cuts is None
        else member.laminations._replace(cuts=_butts(cuts, places, start, end)),
    )


def _braces(
    braces: Sequence[Brace], places: Mapping[JointId, float], start: float, end: float
) -> tuple[Brace, ...]:
    found = []
    for brace in braces:
        if brace.at is not None:
            at = _place(brace.at, places)
            if start <= at <= end:
                found.append(brace._replace(at=at - start))
            continue
        low = start if brace.start is None else max(start, _place(brace.start, places))
        high = end if brace.end is None else min(end, _place(brace.end, places))
        if low < high:
            found.append(brace._replace(start=low - start, end=high - start))
    return tuple(found)


def _butts(butts: Sequence[Butt], places: Mapping[JointId, float], start: float, end: float) -> tuple[Butt, ...]:
    found = ((_place(butt.at, places), butt) for butt in butts)
    return tuple(butt._replace(at=at - start) for at, butt in found if start <= at <= end)


def _place(at: JointId | float, places: Mapping[JointId, float]) -> float:
    return places[at] if isinstance(at, str) else at
