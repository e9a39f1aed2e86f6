"""Turns that plain idealisation does not have: of sticks glued together, and of stick ends that a tendon bends.

A glued stick turns with the stick that it lies beside wherever both meet. A tendon that bears on a stick off its
axis turns it with a couple; where the end of the stick is a hinge, that end gets a rotation of its own, which
nothing else shares.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.model.idealised import Rotation, idealise

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.model.idealised import Idealised
    from trussio.model.truss import Idealisation, JointId, MemberId, Truss


class Couple(NamedTuple):
    """Where a couple turns a stick: at a joint, on the side that lies towards (x, y)."""

    member: MemberId
    joint: JointId
    towards: tuple[float, float]


def turning(
    truss: Truss,
    idealisation: Idealisation,
    glued: Iterable[tuple[MemberId, MemberId]],
    couples: Sequence[Couple],
) -> tuple[Idealised, list[int]]:
    """The truss idealised, and the number of the rotation that each couple turns.

    `glued` gives pairs of a stick and that which it is glued to; nothing turns in `pinned`, where it does nothing.
    """
    ideal = idealise(truss, idealisation)
    pairs = list(glued) if idealisation == "continuous" else []
    if not pairs and not couples:
        return ideal, []
    rotations, ends = list(ideal.rotations), [list(pair) for pair in ideal.ends]
    for name, old in pairs:
        _glue(truss, rotations, ends, name, old)
    turned = [_turned(truss, rotations, ends, couple) for couple in couples]
    return _compact(ideal, rotations, ends, turned)


def _at(truss: Truss, member: MemberId, joint: JointId) -> list[tuple[int, int]]:
    """Segments and ends of a member at a joint; a stick as found counts with all of its parts."""
    found = []
    for number, segment in enumerate(truss.segments):
        if (truss.members[segment.member].part_of or segment.member) == member:
            found += [(number, end) for end, at in enumerate((segment.first, segment.last)) if at == joint]
    return found


def _glue(
    truss: Truss, rotations: list[Rotation], ends: list[list[int | None]], name: MemberId, old: MemberId
) -> None:
    for joint in truss.members[name].through:
        places = _at(truss, old, joint)
        number = next((ends[segment][end] for segment, end in places if ends[segment][end] is not None), None)
        if number is None:
            number = len(rotations)
            rotations.append(Rotation(joint=joint, member=old))
        for segment, end in (*places, *_at(truss, name, joint)):
            ends[segment][end] = number


def _turned(truss: Truss, rotations: list[Rotation], ends: list[list[int | None]], couple: Couple) -> int:
    places = _at(truss, couple.member, couple.joint)
    for segment, end in places:
        number = ends[segment][end]
        if number is not None:
            return number
    segment, end = max(places, key=lambda place: _along(truss, place, couple.towards))
    ends[segment][end] = len(rotations)
    rotations.append(Rotation(joint=couple.joint, member=couple.member))
    return len(rotations) - 1


def _along(truss: Truss, place: tuple[int, int], towards: tuple[float, float]) -> float:
    """How far a segment runs that way from one of its ends."""
    segment, end = truss.segments[place[0]], place[1]
    first, last = truss.joints[segment.first], truss.joints[segment.last]
    away = np.array([last.x - first.x, last.y - first.y]) * (1.0 if end == 0 else -1.0)
    return float(away @ np.array(towards) / np.hypot(*away))


def _compact(
    ideal: Idealised, rotations: list[Rotation], ends: list[list[int | None]], turned: list[int]
) -> tuple[Idealised, list[int]]:
    """Without the rotations that nothing turns with any more."""
    before = {number for pair in ideal.ends for number in pair if number is not None}
    after = {number for pair in ends for number in pair if number is not None}
    kept = [number for number in range(len(rotations)) if number in after or number not in before]
    new = {number: index for index, number in enumerate(kept)}
    made = replace(
        ideal,
        rotations=tuple(rotations[number] for number in kept),
        ends=tuple((_new(new, first), _new(new, last)) for first, last in ends),
        shared={joint: new[number] for joint, number in ideal.shared.items() if number in new},
    )
    return made, [new[number] for number in turned]


def _new(new: dict[int, int], number: int | None) -> int | None:
    return None if number is None else new[number]
