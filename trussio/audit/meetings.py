"""Members that lie on each other, and joints too close: duplicates, overlaps, short segments.

Terms: *snap* is the distance within which two points are taken for one (see `Subject`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.wording import joint_pointers, length, member_pointers, rounded
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import Segment

SAME_LINE: Final = 0.01
"""Two segments lie along each other when the sine between them is below this."""


def meetings(subject: Subject) -> Iterator[Finding]:
    """Duplicates, overlaps, joints nearer to each other than the snap distance."""
    yield from _duplicates(subject)
    yield from _overlaps(subject)
    yield from _close_joints(subject)


def _duplicates(subject: Subject) -> Iterator[Finding]:
    truss = subject.truss
    first_of: dict[tuple[frozenset[str], object], Segment] = {}
    for segment in truss.segments:
        key = (frozenset((segment.first, segment.last)), truss.members[segment.member].curve)
        earlier = first_of.setdefault(key, segment)
        if earlier is not segment:
            yield Finding(
                code="duplicate",
                level="query",
                where=member_pointers([earlier.member, segment.member]),
                says=f"{earlier.member} and {segment.member} both run from {segment.first} to {segment.last} "
                "on one line; both carry force there.",
                do="If it is one stick drawn twice, delete one; two sticks are better one section of two plies.",
                evidence={"segments": [earlier.id, segment.id]},
            )


def _overlaps(subject: Subject) -> Iterator[Finding]:
    """Straight sticks that lie along each other over more than the snap distance, not from joint to joint."""
    compat, segments = subject.views["continuous"].compat, subject.truss.segments
    straight = [k for k, s in enumerate(segments) if subject.truss.members[s.member].curve is None]
    index = np.array(straight, dtype=np.intp)
    along = compat.along[index]
    turned = along[:, None, 0] * along[None, :, 1] - along[:, None, 1] * along[None, :, 0]
    one, other = np.nonzero(np.triu(np.abs(turned) < SAME_LINE, k=1))
    start = compat.xy[compat.ends[index[one], 0]]
    reach = ((compat.xy[compat.ends[index[one], 1]] - start) * along[one]).sum(axis=1)
    out = compat.xy[compat.ends[index[other]]] - start[:, None, :]
    share = (out * along[one][:, None, :]).sum(axis=2)
    off = np.abs(along[one][:, None, 0] * out[:, :, 1] - along[one][:, None, 1] * out[:, :, 0]).max(axis=1)
    common = np.minimum(reach, share.max(axis=1)) - np.maximum(0.0, share.min(axis=1))
    seen: set[tuple[str, str]] = set()
    for pair in np.flatnonzero((off < subject.snap) & (common > 2 * subject.snap)):
        first, last = segments[index[one[pair]]], segments[index[other[pair]]]
        sticks = (first.member, last.member)
        if {first.first, first.last} != {last.first, last.last} and sticks not in seen:
            seen.add(sticks)
            yield _overlap(subject, first, last, float(common[pair]))


def _overlap(subject: Subject, one: Segment, other: Segment, common: float) -> Finding:
    return Finding(
        code="overlap",
        level="query",
        where=member_pointers([one.member, other.member]),
        says=f"{one.id} and {other.id} lie along each other over {length(common, subject.truss.units)} without "
        "sharing their joints.",
        do="If they are one stick, make them one member through all its joints; if two, say what joins them.",
        evidence={"segments": [one.id, other.id], "length": rounded(common)},
    )


def _close_joints(subject: Subject) -> Iterator[Finding]:
    """Joints nearer to each other than the snap distance, and segments shorter than it."""
    xy = subject.views["continuous"].compat.xy
    joined = {frozenset((s.first, s.last)): s for s in subject.truss.segments}
    gap = np.hypot(*np.moveaxis(xy[:, None, :] - xy[None, :, :], 2, 0))
    for one, other in zip(*np.nonzero(np.triu(gap < subject.snap, k=1)), strict=True):
        first, last = subject.names[one], subject.names[other]
        apart = length(float(gap[one, other]), subject.truss.units)
        segment = joined.get(frozenset((first, last)))
        if segment is not None:
            yield Finding(
                code="short-segment",
                level="query",
                where=(*joint_pointers([first, last]), *member_pointers([segment.member])),
                says=f"{segment.id} is only {apart} long: {first} and {last} may be one joint.",
                do="Make them one joint if they are; else measure the distance between them.",
                evidence={"segment": segment.id, "length": rounded(float(gap[one, other]))},
            )
            continue
        same = gap[one, other] < 1e-6 * subject.extent
        yield Finding(
            code="joints-close",
            level="query",
            where=joint_pointers([first, last]),
            says=f"{first} and {last} are at one place, but no member joins them."
            if same
            else f"{first} and {last} are {apart} apart, and no member joins them.",
            do="Make them one joint if the members meet there; else say what passes between them.",
            evidence={"joints": [first, last], "distance": rounded(float(gap[one, other]))},
        )
