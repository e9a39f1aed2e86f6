"""How a frame responds to its load cases, by direct stiffness: arrays in, arrays out, one factorisation for all.

Terms as in `frame`. A *misfit* is the basic deformation of a segment that is free of its joints, from loads
between its ends, temperature and lack of fit.
A stiff frame is solved once. Where slender parts or a near-mechanism make it ill-conditioned the solution is
refined: what is unbalanced is solved for again, and forces come from deformations with twice the digits.
Shapes: m segments, n movements, k unknowns, w watched movements, c load cases.

Source for the refinement: N. J. Higham, Accuracy and stability of numerical algorithms, 2nd ed. 2002, ch. 12
(cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.frame import deformation_matrix, unknown_part
from trussio.analysis.mechanism import motions
from trussio.analysis.stiffness import solved, stiffness_of
from trussio.analysis.twofold import deformations, plus
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.frame import Frame
    from trussio.analysis.stiffness import Stiffness

SOUND = 1e-3
"""A solution is refined where the smallest pivot of the scaled stiffness is below this."""
SUSPECT = 1e-8
"""Below this it is asked whether the frame is a mechanism, which is a matter of its shape alone."""
HOPELESS = 1e-13
"""Below this nothing is believed: loads act more than a million times over, and by what no survey can measure."""
BALANCED = 1e-9
"""What may stay unbalanced at a movement, as a part of the forces that meet at any one."""
ROUNDS = 10
CASES_AT_ONCE = 50


class Response(NamedTuple):
    """What the cases do: `movements` (n, c), basic `forces` (m, 3, c) and `pulls` (w, c).

    `pulls` is what the joints must exert on the segments at the watched movements, in their order.
    """

    movements: Floats
    forces: Floats
    pulls: Floats


def respond(frame: Frame, loads: Floats, misfits: Floats | None = None, start: Floats | None = None) -> Response:
    """The response to `loads` (n, c), `misfits` (m, 3, c) and the prescribed movements `start` (n, c).

    Raises CannotAnalyseError: `mechanism` where the frame can move without strain, `near-mechanism` where it is
    so near to one, by its shape or its stiffness, that the forces found do not balance.
    """
    stiffness = stiffness_of(frame)
    _trust(frame, stiffness.pivot)
    before = _before(stiffness, loads, misfits, start)
    left = loads if before is None else _left_over(frame, loads, *before)
    step, growth = solved(stiffness, unknown_part(frame, left))
    _trust(frame, 1.0 / growth)
    movements = _spread(frame, step)
    forces = _forces(stiffness, movements)
    if before is not None:
        movements, forces = movements + before[0], forces + before[1]
    if min(stiffness.pivot, 1.0 / growth) < SOUND:
        kept = _sizes(frame, loads, np.zeros_like(forces) if before is None else before[1])
        movements, forces = _refined(
            frame, stiffness, loads=loads, misfits=misfits, movements=movements, kept=kept
        )
    return Response(movements=movements, forces=forces, pulls=_pulls(frame, stiffness, forces))


def _trust(frame: Frame, soundness: float) -> None:
    """Refuse a mechanism, and what is too near to one."""
    if soundness < SUSPECT and motions(frame).shape[1]:
        raise CannotAnalyseError(
            "mechanism",
            what="the frame can move without straining any segment.",
            do="Hold what moves: a brace, a support or a fixed end is missing.",
        )
    if not soundness > HOPELESS:
        raise _near_mechanism()


def _before(
    stiffness: Stiffness, loads: Floats, misfits: Floats | None, start: Floats | None
) -> tuple[Floats, Floats] | None:
    """Movements and forces while every unknown is kept at zero, or None where there are none of either."""
    if start is None and misfits is None:
        return None
    movements = np.zeros_like(loads) if start is None else start
    forces = _forces(stiffness, movements)
    return movements, forces if misfits is None else forces - stiffness.own @ misfits


def _refined(
    frame: Frame,
    stiffness: Stiffness,
    *,
    loads: Floats,
    misfits: Floats | None,
    movements: Floats,
    kept: Floats,
) -> tuple[Floats, Floats]:
    """Movements and forces after what stays unbalanced has been solved for again, as long as that helps.

    `kept` (n, c) is the size of the forces that meet while nothing moves; it may be all that a case has.
    """
    rest = np.zeros_like(movements)
    free = 0.0 if misfits is None else misfits
    best, found = np.inf, (movements, rest)
    for _ in range(ROUNDS):
        forces = stiffness.own @ (deformations(frame, (movements, rest)) - free)
        left = unknown_part(frame, _left_over(frame, loads, movements, forces))
        now = _part(frame, stiffness, left, kept + _sizes(frame, loads, forces))
        if not now < best:
            break
        best, found = now, (movements, forces)
        step, _ = solved(stiffness, left)
        movements, lost = plus(movements, _spread(frame, step))
        rest = rest + lost
    if not best < BALANCED:
        raise _near_mechanism()
    return found


def _near_mechanism() -> CannotAnalyseError:
    return CannotAnalyseError(
        "near-mechanism",
        what="the frame is so near to a mechanism that no force in it can be computed to be trusted.",
        do="Look for joints that hardly anything holds, and for stiffnesses far too small or too large.",
    )


def _left_over(frame: Frame, loads: Floats, movements: Floats, forces: Floats) -> Floats:
    """Loads (n, c) that movements and forces leave unbalanced."""
    flat = forces.reshape(3 * len(forces), loads.shape[1])
    return loads - frame.springs[:, None] * movements - deformation_matrix(frame).T @ flat


def _sizes(frame: Frame, loads: Floats, forces: Floats) -> Floats:
    """The size (n, c) of what meets at the movements, whatever its sign."""
    flat = forces.reshape(3 * len(forces), loads.shape[1])
    met: Floats = np.abs(loads) + np.abs(deformation_matrix(frame)).T @ np.abs(flat)
    return met


def _part(frame: Frame, stiffness: Stiffness, left: Floats, size: Floats) -> float:
    """What is left (k, c) as a part of the largest size (n, c) that meets at any unknown, over all cases."""
    scale, ties = stiffness.scale[:, None], None if frame.ties is None else np.abs(frame.ties).T
    most = scale * (size[frame.free] if ties is None else ties @ size)
    worst = (scale * np.abs(left)).max(axis=0, initial=0.0)
    return float((worst / np.maximum(most.max(axis=0, initial=0.0), np.finfo(float).tiny)).max(initial=0.0))


def _spread(frame: Frame, step: Floats) -> Floats:
    """The movements (n, c) that go with a step (k, c) of the unknowns."""
    if frame.ties is not None:
        return frame.ties @ step
    movements = np.zeros((frame.total, step.shape[1]))
    movements[frame.free] = step
    return movements


def _forces(stiffness: Stiffness, movements: Floats) -> Floats:
    """Basic forces (m, 3, c) by movements (n, c), a few cases at a time to spare memory."""
    forces, hinge = np.empty((len(stiffness.at), 3, movements.shape[1])), np.zeros((1, CASES_AT_ONCE))
    for first in range(0, movements.shape[1], CASES_AT_ONCE):
        few = movements[:, first : first + CASES_AT_ONCE]
        padded = np.concatenate([few, hinge[:, : few.shape[1]]])
        forces[:, :, first : first + CASES_AT_ONCE] = stiffness.forces @ padded[stiffness.at]
    return forces


def _pulls(frame: Frame, stiffness: Stiffness, forces: Floats) -> Floats:
    """What the joints must exert on the segments at the watched movements, shape (w, c)."""
    position = np.full(frame.total + 1, -1)
    position[frame.watched] = np.arange(len(frame.watched))
    row = position[stiffness.at]
    segment, column = np.nonzero(row >= 0)
    pulled = stiffness.rows[segment, :, column, None] * forces[segment]
    pulls = np.zeros((len(frame.watched), forces.shape[2]))
    np.add.at(pulls, row[segment, column], pulled.sum(axis=1))
    return pulls
