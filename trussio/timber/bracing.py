"""How far apart a stick is held across the truss plane, by what the document says of its bracing.

The ends of a stick count as held at a support, and where it does not go on into another stick of its role; a web
is held by the chords. Beyond the last brace before an end that is not held the length is not known. Bracing is
taken to hold the compressed edge too. Lengths in base lengths, along the stick.
Source: statics; the rule for ends is common practice, no source.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.connection import Brace
    from trussio.model.truss import JointId, Member, SegmentId, Truss
    from trussio.timber.lengths import SegmentLength

HAIR = 1e-9


class Held(NamedTuple):
    """Length between what holds a segment: by bracing seen, and with what nobody saw; None where not known."""

    seen: float | None
    with_unseen: float | None


def held_lengths(truss: Truss, lengths: Mapping[SegmentId, SegmentLength]) -> dict[SegmentId, Held]:
    """The lengths of every segment of a stick whose bracing the document tells."""
    along: dict[str, list[float]] = {}
    for segment in truss.segments:
        places = along.setdefault(segment.member, [0.0])
        places.append(places[-1] + lengths[segment.id].panel)
    found: dict[SegmentId, Held] = {}
    for segment in truss.segments:
        member = truss.members[segment.member]
        if member.braced is None or member.part_of is not None:
            continue
        places = along[segment.member]
        out = [brace for brace in member.braced if brace.plane == "out"]
        stretch = (places[segment.index], places[segment.index + 1])
        ends = tuple(_held_end(truss, member, joint) for joint in (member.through[0], member.through[-1]))
        found[segment.id] = Held(
            seen=_length(member, places, [brace for brace in out if brace.seen], ends, stretch),
            with_unseen=_length(member, places, out, ends, stretch),
        )
    return found


def _held_end(truss: Truss, member: Member, joint: JointId) -> bool:
    """Whether the end of a stick is held by what it meets."""
    if joint in truss.supports or member.role not in ("top-chord", "bottom-chord"):
        return True
    others = (other for other in truss.members.values() if other is not member)
    return not any(other.role == member.role and joint in other.through for other in others)


def _length(
    member: Member,
    places: Sequence[float],
    braces: Sequence[Brace],
    ends: Sequence[bool],
    stretch: tuple[float, float],
) -> float | None:
    """The longest free length that reaches into a stretch of the stick, 0 where all of it is held."""
    last = places[-1]
    held: list[tuple[float, float]] = [(at, at) for at, is_held in zip((0.0, last), ends, strict=True) if is_held]
    for brace in braces:
        if brace.at is None:
            start = 0.0 if brace.start is None else _place(member, places, brace.start)
            end = last if brace.end is None else _place(member, places, brace.end)
            held.append((start, end))
        else:
            at = _place(member, places, brace.at)
            held.append((at, at))
    cuts = sorted({0.0, last, *(end for pair in held for end in pair)})
    longest = 0.0
    for before, after in pairwise(cuts):
        throughout = any(start <= before and after <= end for start, end in held if start < end)
        outside = after <= stretch[0] + HAIR * last or before >= stretch[1] - HAIR * last
        if throughout or outside:
            continue
        if (before == 0.0 and not _at(held, 0.0)) or (after == last and not _at(held, last)):
            return None
        longest = max(longest, after - before)
    return longest


def _at(held: Sequence[tuple[float, float]], place: float) -> bool:
    return any(start <= place <= end for start, end in held)


def _place(member: Member, places: Sequence[float], at: JointId | float) -> float:
    return places[member.through.index(at)] if isinstance(at, str) else min(at, places[-1])
