"""Forces that are unknown besides the frame's: of tendons after lock-off, and of sticks that slip along others.

Each is a pattern of unit pulls on the movements, in balance by itself, with a flexibility of its own. The frame is
solved under loads and under every pattern; then the patterns take what makes their own lengthening that which the
frame allows them (the method of forces).
A stick tied to another by fasteners that slip keeps its bending in the frame; its axial force in each segment is
such a pattern, and the fasteners at a joint carry the difference between two segments.
Shapes: n movements, m segments, c load cases, r patterns.

Source for the method: O. Mohr, Beitrag zur Theorie des Fachwerks, 1874/75 (cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.assembly import Answer, answered

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.assembly import Assembly
    from trussio.model.staging import Add
    from trussio.model.truss import MemberId, Truss

SOFT = 1e9
"""A stick that slips is made so many times softer along its axis in the frame, where its patterns act instead."""


class Redundants(NamedTuple):
    """`pulls` (n, r) of the patterns, and `gives` (r, r): how each lengthens under the forces of all."""

    pulls: Floats
    gives: Floats


class Slipping(NamedTuple):
    """The patterns of sticks that slip, one for each of their `segments` (r,)."""

    segments: Counts
    patterns: Redundants


def slipping(truss: Truss, made: Assembly, beside: Sequence[tuple[MemberId, Add]]) -> Slipping:
    """The patterns of the sticks that slip along others; `made` has them softened (see `softened`)."""
    total, numbers = made.frame.total, []
    gives = np.zeros((0, 0))
    for name, how in beside:
        own = [number for number, segment in enumerate(truss.segments) if segment.member == name]
        lengths = made.shape.chord[own]
        ties = _ties(lengths, how)
        block = np.diag(made.frame.flexibility[own, 0, 0] / SOFT + 1 / ties[:-1] + 1 / ties[1:])
        inner = np.arange(len(own) - 1)
        block[inner, inner + 1] = block[inner + 1, inner] = -1 / ties[1:-1]
        gives = _beside(gives, block)
        numbers += own
    segments = np.array(numbers, dtype=np.intp)
    pulls = np.zeros((total, len(numbers)))
    for pattern, number in enumerate(numbers):
        first, last = made.shape.ends[number]
        pulls[2 * first : 2 * first + 2, pattern] += made.shape.along[number]
        pulls[2 * last : 2 * last + 2, pattern] -= made.shape.along[number]
    return Slipping(segments=segments, patterns=Redundants(pulls=pulls, gives=gives))


def softened(truss: Truss, made: Assembly, beside: Sequence[tuple[MemberId, Add]]) -> Assembly:
    """A truss in which the sticks that slip take no axial force to speak of."""
    names = {name for name, _ in beside}
    own = [number for number, segment in enumerate(truss.segments) if segment.member in names]
    flexibility = made.frame.flexibility.copy()
    flexibility[own, 0, 0] *= SOFT
    return made._replace(frame=made.frame._replace(flexibility=flexibility))


def together(one: Redundants, other: Redundants) -> Redundants:
    """Two sets of patterns that know nothing of each other."""
    return Redundants(
        pulls=np.concatenate([one.pulls, other.pulls], axis=1), gives=_beside(one.gives, other.gives)
    )


def parted(
    truss: Truss, made: Assembly, pulls: Floats, *, loads: Floats, gaps: Floats, pushed: Floats, start: Floats
) -> tuple[Answer, Answer]:
    """What loads and movements of the ground do to the frame alone, and what unit `pulls` (n, r) do to it."""
    count = loads.shape[1]
    none = np.zeros_like(pulls)
    found = answered(
        truss,
        made,
        loads=np.concatenate([loads, pulls], axis=1),
        gaps=np.concatenate([gaps, np.zeros((*gaps.shape[:2], pulls.shape[1]))], axis=2),
        pushed=np.concatenate([pushed, none], axis=1),
        start=np.concatenate([start, none], axis=1),
    )
    return (
        Answer(found.movements[:, :count], found.basic[..., :count], found.needed[:, :count]),
        Answer(found.movements[:, count:], found.basic[..., count:], found.needed[:, count:]),
    )


def closed(patterns: Redundants, base: Answer, unit: Answer, longer: Floats) -> tuple[Answer, Floats]:
    """The answer with the patterns acting, and their forces (r, c).

    `longer` (r, c) is what each would be longer by if it were free.
    """
    if not patterns.pulls.shape[1]:
        return base, np.zeros((0, base.movements.shape[1]))
    whole = patterns.gives + patterns.pulls.T @ unit.movements
    right = patterns.pulls.T @ base.movements + longer
    forces: Floats = -np.asarray(np.linalg.solve(whole, right), dtype=np.float64)
    answer = Answer(
        movements=base.movements + unit.movements @ forces,
        basic=base.basic + unit.basic @ forces,
        needed=base.needed + unit.needed @ forces,
    )
    return answer, forces


def _ties(lengths: Floats, how: Add) -> Floats:
    """The stiffness of the fasteners at each joint of a stick."""
    if how.slip is not None:
        return np.full(len(lengths) + 1, how.slip)
    shares = np.zeros(len(lengths) + 1)
    shares[:-1] += lengths / 2
    shares[1:] += lengths / 2
    return shares * (how.along or 0.0)


def _beside(one: Floats, other: Floats) -> Floats:
    """Two square matrices along one diagonal."""
    both = np.zeros((len(one) + len(other),) * 2)
    both[: len(one), : len(one)], both[len(one) :, len(one) :] = one, other
    return both
