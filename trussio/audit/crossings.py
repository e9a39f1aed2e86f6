"""Members that pass each other, and joints that lie on members which do not run through them.

Each segment is taken as straight pieces (an arc as chords that stand off it by less than the snap distance).
Members that share a joint meet there and nowhere else; what else comes nearer than snap is asked about.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.wording import joint_pointers, listed, member_pointers, rounded
from trussio.geometry import polyline, segment_arc
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, Segment

    Array = NDArray[np.float64]
    Index = NDArray[np.intp]

MOST_PIECES: Final = 3000
"""Every piece is held against every other; beyond so many pieces the question is left open, and said so."""


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


def crossings(subject: Subject) -> Iterator[Finding]:
    """Members that cross without a joint, and joints beside sticks."""
    pieces = pieces_of(subject)
    if len(pieces.owner) > MOST_PIECES:
        yield Finding(
            code="not-evaluated",
            level="query",
            where=("",),
            says=f"Crossings and joints beside sticks were not evaluated: {len(pieces.owner)} pieces, more than "
            f"{MOST_PIECES}.",
            do="Look at the drawing for members that pass each other without a joint.",
            evidence={"rule": "crossings", "pieces": len(pieces.owner)},
        )
        return
    yield from _crossings(subject, pieces)
    yield from _beside(subject, pieces)


def _crossings(subject: Subject, pieces: Pieces) -> Iterator[Finding]:
    """One finding for all pairs that cross: a truss with crossed webs has many, and they are one question."""
    segments, joints = subject.truss.segments, subject.truss.joints
    pairs: dict[tuple[int, int], tuple[float, float]] = {}
    for one, other, (x, y) in _crossing_places(pieces):
        pair = (int(pieces.owner[one]), int(pieces.owner[other]))
        first, last = segments[pair[0]], segments[pair[1]]
        ends = {first.first, first.last, last.first, last.last}
        near = min(hypot(joints[name].x - x, joints[name].y - y) for name in ends)
        if first.member != last.member and near >= subject.snap:
            pairs.setdefault(pair, (x, y))
    each = [((segments[one], segments[other]), point) for (one, other), point in pairs.items()]
    if len(each) > 1:
        names = listed(f"{first.member} and {last.member}" for (first, last), _ in each)
        yield _crossing(
            each, f"{len(each)} pairs of members cross without a joint: {names}. The model lets them pass."
        )
    for (first, last), (x, y) in each if len(each) == 1 else ():
        place = f"({rounded(x):g}, {rounded(y):g})"
        yield _crossing(
            each, f"{first.id} and {last.id} cross at {place} without a joint: the model lets them pass."
        )


def _crossing(each: Sequence[tuple[tuple[Segment, Segment], tuple[float, float]]], says: str) -> Finding:
    return Finding(
        code="crossing",
        level="query",
        where=member_pointers(segment.member for pair, _ in each for segment in pair),
        says=says,
        do="Ask whether they are bolted together there; if so, put a joint into both.",
        evidence={
            "pairs": [
                {"segments": [first.id, last.id], "at": [rounded(x), rounded(y)]} for (first, last), (x, y) in each
            ]
        },
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


def _apart(subject: Subject, one: JointId, other: JointId) -> float:
    first, last = subject.truss.joints[one], subject.truss.joints[other]
    return hypot(last.x - first.x, last.y - first.y)


def _cross(one: Array, other: Array) -> Array:
    turned: Array = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return turned
