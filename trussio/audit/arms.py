"""Sticks that end beside their joints, in the compatibility matrix: their ends move with an arm that turns.

An arm is rigid and turns with its joint; where nothing shares the joint's rotation there is none to turn, and the
stick is taken from joint to joint. In `pinned` nothing turns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.audit.compatibility import Array
    from trussio.model.idealised import Idealised
    from trussio.model.truss import End, JointId, Segment, Truss


class Arm(NamedTuple):
    """The arm at an end (0 or 1) of a segment, x and y from the joint, and the rotation that turns it."""

    segment: int
    end: int
    turn: int
    x: float
    y: float


def arms_of(truss: Truss, idealised: Idealised) -> list[Arm]:
    """Every arm that turns."""
    if idealised.idealisation == "pinned":
        return []
    return [
        Arm(number, end, idealised.shared[joint], x, y)
        for number, segment in enumerate(truss.segments)
        for end, joint, (x, y) in _offsets(truss, segment)
        if joint in idealised.shared
    ]


def _offsets(truss: Truss, segment: Segment) -> Iterator[tuple[int, JointId, tuple[float, float]]]:
    member = truss.members[segment.member]
    offsets = member.offsets or {}
    places: tuple[tuple[End, int, JointId, bool], ...] = (
        ("first", 0, segment.first, segment.index == 0),
        ("last", 1, segment.last, segment.index == len(member.through) - 2),
    )
    yield from ((end, joint, offsets[which]) for which, end, joint, outer in places if outer and which in offsets)


def shifted(across: Array, arms: Sequence[Arm]) -> Array:
    """The ways (m, 2) from first to last ends of segments, from those between joints."""
    found = across.copy()
    for arm in arms:
        found[arm.segment] += np.array((arm.x, arm.y)) * (1.0 if arm.end else -1.0)
    return found


def swung(rows: Sequence[int], directions: Array, arms: Sequence[Arm], reach: Array) -> Array:
    """What rows feel of the turns of arms; a turn counts times its `reach`.

    `rows` gives the segment of each, `directions` (rows, 2) the way along which its last end leaves its first.
    """
    found = np.zeros((len(rows), len(reach)))
    for number, segment in enumerate(rows):
        for arm in arms:
            if arm.segment == segment:
                moved = directions[number] @ np.array((-arm.y, arm.x))
                found[number, arm.turn] += moved * (1.0 if arm.end else -1.0) / reach[arm.turn]
    return found
