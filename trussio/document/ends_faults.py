"""What a schema cannot say of a member's ends: that offsets leave it a length, and springs have what they turn."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.truss import End, Member, Truss

AS_LONG = 0.5
"""An offset of more than this part of its segment is no eccentricity of a joint (common practice, no source)."""


def end_faults(truss: Truss, member: Member) -> Iterator[tuple[str, str, str]]:
    """Place within the member, what and what to do. Its joints are all known, its geometry may be at fault.

    Offsets of a stick that runs through no two joints, a fault already, are not judged.
    """
    offsets = member.offsets if len(member.through) > 1 else None
    for end, (x, y) in (offsets or {}).items():
        length = _end_segment(truss, member, end)
        if hypot(x, y) > AS_LONG * length:
            what = (
                f"the offset {hypot(x, y):.6g} is over half of the segment that it belongs to, {length:.6g} long."
            )
            yield f"offsets/{end}", what, "Give the distance from the joint to where the stick's axis ends."
    for end in member.fastener_slip:
        if end in (member.slip or {}) or end in (member.play or {}):
            what = f"the {end} end slips by its fasteners, and has a slip or play of its own."
            yield "fastener_slip", what, "Keep one of the two."
    for end in member.turning or {}:
        if end not in member.fixed:
            what = f"the {end} end is pinned, so that nothing turns against a spring there."
            yield f"turning/{end}", what, f'Add "{end}" to "fixed", or take it out.'


def _end_segment(truss: Truss, member: Member, end: End) -> float:
    one, other = member.through[:2] if end == "first" else member.through[-2:]
    start, stop = truss.joints[one], truss.joints[other]
    return hypot(stop.x - start.x, stop.y - start.y)
