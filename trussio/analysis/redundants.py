"""Forces that are unknown besides the frame's: of tendons after lock-off, and of sticks that slip along others.

Each is a pattern on the frame, which is solved under loads and under every pattern at one; then all the patterns
take what closes them (the method of forces). A tendon is a pattern of pulls on the movements, in balance by
itself, that takes what makes its own lengthening that which the frame allows it.
A stick tied to another by fasteners that slip gives more along its axis in each segment by what the fasteners at
both of its joints give under its own force; what the force of a neighbouring segment takes off that is a misfit of
the segment. That force is the pattern, and closes where the frame gives it back.
Shapes: n movements, m segments, c load cases, r patterns, s segments of sticks that slip.

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


class Redundants(NamedTuple):
    """Patterns: first the axial forces of the segments that `slip` (s,), then tendons.

    `pulls` (n, r) act at the movements and `longer` (m, r) are misfits along segments, both for patterns of one;
    `gives` (r, r) is how each tendon lengthens under its force, and -1 for a segment that slips.
    """

    slip: Counts
    pulls: Floats
    longer: Floats
    gives: Floats


class Slipping(NamedTuple):
    """The segments of sticks that slip (s,), and how the force of each lengthens the others (s, s)."""

    segments: Counts
    across: Floats


def slipping(truss: Truss, made: Assembly, beside: Sequence[tuple[MemberId, Add]]) -> tuple[Assembly, Slipping]:
    """A truss whose sticks give along their axes by what their fasteners give, and those sticks."""
    flexibility, numbers, across = made.frame.flexibility.copy(), [], np.zeros((0, 0))
    for name, how in beside:
        own = [number for number, segment in enumerate(truss.segments) if segment.member == name]
        ties = _ties(made.shape.chord[own], how)
        flexibility[own, 0, 0] += 1 / ties[:-1] + 1 / ties[1:]
        across = _beside(across, np.diag(-1 / ties[1:-1], 1) + np.diag(-1 / ties[1:-1], -1))
        numbers += own
    soft = made._replace(frame=made.frame._replace(flexibility=flexibility)) if numbers else made
    return soft, Slipping(segments=np.array(numbers, dtype=np.intp), across=across)


def patterns(slips: Slipping, pulls: Floats, gives: list[float], segments: int) -> Redundants:
    """The patterns of sticks that slip, and of tendons with their `pulls` (n, t) and what they give."""
    count, tendons = len(slips.segments), pulls.shape[1]
    longer = np.zeros((segments, count + tendons))
    longer[slips.segments, :count] = slips.across
    return Redundants(
        slip=slips.segments,
        pulls=np.concatenate([np.zeros((len(pulls), count)), pulls], axis=1),
        longer=longer,
        gives=np.diag([-1.0] * count + gives) if count + tendons else np.zeros((0, 0)),
    )


def some(among: Redundants, acting: list[int]) -> Redundants:
    """Some of the patterns, all that slip among them."""
    return among._replace(
        pulls=among.pulls[:, acting], longer=among.longer[:, acting], gives=among.gives[np.ix_(acting, acting)]
    )


def parted(
    truss: Truss,
    made: Assembly,
    among: Redundants,
    *,
    loads: Floats,
    gaps: Floats,
    pushed: Floats,
    start: Floats,
) -> tuple[Answer, Answer]:
    """What loads and movements of the ground do to the frame alone, and what every pattern at one does to it."""
    count, none = loads.shape[1], np.zeros_like(among.pulls)
    apart = np.zeros((*gaps.shape[:2], none.shape[1]))
    apart[:, 0] = among.longer
    found = answered(
        truss,
        made,
        loads=np.concatenate([loads, among.pulls], axis=1),
        gaps=np.concatenate([gaps, apart], axis=2),
        pushed=np.concatenate([pushed, none], axis=1),
        start=np.concatenate([start, none], axis=1),
    )
    return (
        Answer(found.movements[:, :count], found.basic[..., :count], found.needed[:, :count]),
        Answer(found.movements[:, count:], found.basic[..., count:], found.needed[:, count:]),
    )


def closed(among: Redundants, base: Answer, unit: Answer, longer: Floats | None = None) -> tuple[Answer, Floats]:
    """The answer with the patterns acting, and their forces (r, c).

    `longer` (r, c) is by how much tendons are longer for other reasons than the force that they take.
    """
    if not among.pulls.shape[1]:
        return base, np.zeros((0, base.movements.shape[1]))
    whole, right = among.gives + _lengthened(among, unit), _lengthened(among, base)
    right = right if longer is None else right + longer
    forces: Floats = -np.asarray(np.linalg.solve(whole, right), dtype=np.float64)
    answer = Answer(
        movements=base.movements + unit.movements @ forces,
        basic=base.basic + unit.basic @ forces,
        needed=base.needed + unit.needed @ forces,
    )
    return answer, forces


def _lengthened(among: Redundants, answer: Answer) -> Floats:
    """What an answer does to each pattern (r, c): the force of what slips, how far a tendon's points part."""
    parts = among.pulls.T @ answer.movements
    parts[: len(among.slip)] = answer.basic[among.slip, 0]
    return parts


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
