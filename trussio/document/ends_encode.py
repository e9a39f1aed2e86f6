"""What a member's ends do, written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.document.entry import by_name

if TYPE_CHECKING:
    from trussio.document.entry import Object
    from trussio.model.truss import Member


def encode_ends(member: Member) -> Object:
    """The fields of a member that speak of its ends and of which way it acts."""
    return {
        "acts": member.acts,
        "offsets": None if member.offsets is None else {end: list(at) for end, at in member.offsets.items()},
        "slip": None if member.slip is None else by_name(member.slip),
        "play": None if member.play is None else by_name(member.play),
        "turning": None if member.turning is None else by_name(member.turning),
        "fastener_slip": list(member.fastener_slip),
    }
