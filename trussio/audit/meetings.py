"""Where members meet, touch and pass each other without a joint.

Each segment is taken as straight pieces (an arc as chords that stand off it by less than the snap distance).
Terms: *snap* is the distance within which two points are taken for one (see `Subject`). Members that share a joint
meet there and nowhere else; what else comes nearer than snap is asked about.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.wording import joint_pointers, length, member_pointers, rounded
from trussio.geometry import polyline, segment_arc
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, Segment

    Array = NDArray[np.float64]
    Index = NDArray[np.intp]

MOST_PIECES: Final = 3000
"""Every piece is held against every other; beyond so many pieces the question is left open, and said so."""
SAME_LINE: Final = 0.01
"""Two segments lie along each other when the sine between them is below this."""


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """Straight pieces: `start` and `end` points, and the number of the segment of each."""

    start: Array
    end: Array
    owner: Index


def pieces_of(subject: Subject) -> Pieces:
    """Every segment as straight pieces."""
    joints = subject.truss.joints
    lines: list[tuple[int, tuple[float, float], tuple[float, float]]] = []
    for number, segment in enumerate(subject.truss.segments):
        arc = segment_arc(subject.truss, segment)
        ends = [(joints[name].x, joints[name].y) for name in (segment.first, segment.last)]
        points = ends if arc is None else [ends[0], *list(polyline(arc, subject.snap / 4))[1:-1], ends[1]]
        lines += [(number, first, last) for first, last in pairwise(points)]
    return Pieces(
        start=np.array([first for _, first, _ in lines]).reshape(-1, 2),
        end=np.array([last for _, _, last in lines]).reshape(-1, 2),
        owner=np.array([number for number, _, _ in lines], dtype=np.intp),
    )


def meetings(subject: Subject) -> Iterator[Finding]:
    """Duplicates, overlaps, crossings, joints on sticks that do not run through them, joints too close."""
    yield from _duplicates(subject)
    pieces = pieces_of(subject)
    if len(pieces.owner) > MOST_PIECES:
        yield Finding(
            code="not-evaluated",
            level="query",
            where=("",),
            says=f"Crossings, overlaps and joints beside sticks were not evaluated: {len(pieces.owner)} pieces, "
            f"more than {MOST_PIECES}.",
            do="Look at the drawing for members that pass each other without a joint.",
            evidence={"rule": "meetings", "pieces": len(pieces.owner)},
        )
        return
    yield from _overlaps(subject)
    yield from _crossings(subject, pieces)
    yield from _beside(subject, pieces)
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
    """Straight segments that lie along each other over more than the snap distance, not from joint to joint."""
    compat = subject.views["continuous"].compat
    straight = [k for k, s in enumerate(subject.truss.segments) if subject.truss.members[s.member].curve is None]
    index = np.array(straight, dtype=np.intp)
    along, ends = compat.along[index], compat.ends[index]
    turned = np.abs(along[:, None, 0] * along[None, :, 1] - along[:, None, 1] * along[None, :, 0])
    for one, other in zip(*np.nonzero(np.triu(turned < SAME_LINE, k=1)), strict=True):
        if set(ends[one]) == set(ends[other]):
            continue
        start = compat.xy[ends[one, 0]]
        out = compat.xy[ends[other]] - start
        reach = hypot(*(compat.xy[ends[one, 1]] - start))
        share = np.sort(out @ along[one])
        off = np.abs(out @ np.array((-along[one, 1], along[one, 0])))
        common = min(reach, float(share[1])) - max(0.0, float(share[0]))
        if off.max() < subject.snap and common > 2 * subject.snap:
            yield _overlap(
                subject, subject.truss.segments[index[one]], subject.truss.segments[index[other]], common
            )


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


def _crossings(subject: Subject, pieces: Pieces) -> Iterator[Finding]:
    place = _crossing_places(pieces)
    segments = subject.truss.segments
    seen: set[tuple[int, int]] = set()
    for one, other, point in place:
        pair = (int(pieces.owner[one]), int(pieces.owner[other]))
        first, last = segments[pair[0]], segments[pair[1]]
        ends = {first.first, first.last, last.first, last.last}
        near = min(
            hypot(subject.truss.joints[name].x - point[0], subject.truss.joints[name].y - point[1])
            for name in ends
        )
        if first.member == last.member or pair in seen or near < subject.snap:
            continue
        seen.add(pair)
        where = f"({rounded(point[0]):g}, {rounded(point[1]):g})"
        yield Finding(
            code="crossing",
            level="query",
            where=member_pointers([first.member, last.member]),
            says=f"{first.id} and {last.id} cross at {where} without a joint: the model lets them pass.",
            do="Ask whether they are bolted together there; if so, put a joint into both.",
            evidence={"segments": [first.id, last.id], "at": [rounded(point[0]), rounded(point[1])]},
        )


def _crossing_places(pieces: Pieces) -> list[tuple[int, int, tuple[float, float]]]:
    """Pairs of pieces of different segments that cross, with the place, in document order."""
    along = pieces.end - pieces.start
    gap = pieces.start[None, :, :] - pieces.start[:, None, :]
    turned = _cross(along[:, None, :], along[None, :, :])
    level = np.abs(turned) < 1e-12 * np.hypot(*along.T)[:, None] * np.hypot(*along.T)[None, :]
    safe = np.where(level, 1.0, turned)
    on_one = _cross(gap, along[None, :, :]) / safe
    on_other = _cross(gap, along[:, None, :]) / safe
    inside = (on_one >= 0) & (on_one <= 1) & (on_other >= 0) & (on_other <= 1) & ~level
    inside &= pieces.owner[:, None] < pieces.owner[None, :]
    return [
        (int(i), int(j), (float(x), float(y)))
        for i, j in zip(*np.nonzero(inside), strict=True)
        for x, y in [pieces.start[i] + on_one[i, j] * along[i]]
    ]


def _beside(subject: Subject, pieces: Pieces) -> Iterator[Finding]:
    """Joints that lie on a segment which does not run through them."""
    xy = subject.views["continuous"].compat.xy
    along = pieces.end - pieces.start
    out = xy[:, None, :] - pieces.start[None, :, :]
    share = np.clip((out * along).sum(axis=2) / (along**2).sum(axis=1), 0.0, 1.0)
    away = np.hypot(*np.moveaxis(out - share[:, :, None] * along, 2, 0))
    met = {joint for segment in subject.truss.segments for joint in (segment.first, segment.last)}
    seen: set[tuple[int, int]] = set()
    for number, piece in zip(*np.nonzero(away < subject.snap), strict=True):
        segment, name = subject.truss.segments[pieces.owner[piece]], subject.names[number]
        pair = (int(number), int(pieces.owner[piece]))
        near = min(_apart(subject, name, end) for end in (segment.first, segment.last))
        through = name in subject.truss.members[segment.member].through
        if through or near < subject.snap or pair in seen or name not in met:
            continue
        seen.add(pair)
        yield Finding(
            code="joint-beside-stick",
            level="query",
            where=(*joint_pointers([name]), *member_pointers([segment.member])),
            says=f"{name} lies on {segment.id}, but {segment.member} does not run through it: nothing passes from "
            "one to the other.",
            do=f"If they meet there, put {name} into `through` of {segment.member}.",
            evidence={"joint": name, "segment": segment.id, "distance": rounded(float(away[number, piece]))},
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


def _apart(subject: Subject, one: JointId, other: JointId) -> float:
    first, last = subject.truss.joints[one], subject.truss.joints[other]
    return hypot(last.x - first.x, last.y - first.y)


def _cross(one: Array, other: Array) -> Array:
    turned: Array = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return turned
