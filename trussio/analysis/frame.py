"""A plane frame by direct stiffness: arrays in, arrays out, every load case in one factorisation.

Terms: a *movement* is an unknown shift or turn of a joint. A segment carries three *basic forces*: its axial
force along the joint-to-joint line and the moments at its first and last end; all else follows by statics. Its
*basic deformations* go with them: the lengthening of that line, and the rotations of the ends against it. A
*misfit* is the basic deformation of a segment that is free of its joints, from loads between its ends,
temperature and lack of fit.
Signs: tension positive, moments positive with the face to the right of the segment's direction in tension.
Shapes: m segments, n movements, c load cases, k unknowns.

Sources, cited from memory: the displacement method with basic deformations, J. H. Argyris, Energy theorems and
structural analysis, 1960; refinement of a solution, N. J. Higham, Accuracy and stability of numerical algorithms,
2nd ed. 2002, ch. 12.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Flags, Floats

SOUND = 1e-4
"""A solution is refined where the smallest pivot of the scaled stiffness is below this."""
SINGULAR = 1e-14
"""Below this a pivot cannot be told from the zero of a mechanism."""
BALANCED = 1e-9
"""What may stay unbalanced at a movement, as a part of the forces that meet at any one."""
ROUNDS = 10
CASES_AT_ONCE = 25


class Frame(NamedTuple):
    """Segments between movements.

    `along` (m, 2) is the unit vector from first to last joint and `length` (m,) their distance. `flexibility`
    (m, 3, 3) gives the basic deformations that unit basic forces cause; `passes` (m, 2) is False where an end is
    a hinge. `movements` (m, 6) numbers x, y, turn of the first joint, then of the last; a hinge's turn is
    `total`, one past the last. `free` (k,) lists the unknown movements; where `ties` (n, k) is given instead, the
    movements are `ties` times the unknowns. `springs` (n,) hold movements, zero where there is none; `watched`
    (w,) lists the movements at which the pull of the segments is asked for.
    """

    along: Floats
    length: Floats
    flexibility: Floats
    passes: Flags
    movements: Counts
    total: int
    free: Counts
    springs: Floats
    watched: Counts
    ties: Floats | None = None


class Response(NamedTuple):
    """What the cases do: `movements` (n, c), basic `forces` (m, 3, c) and `pulls` (w, c).

    `pulls` is what the joints must exert on the segments at the watched movements, in their order.
    """

    movements: Floats
    forces: Floats
    pulls: Floats


class _Stiffness(NamedTuple):
    """What a frame offers: `forces` (m, 3, 6) by the movements of each segment, and the `whole` to be solved.

    `own` (m, 3, 3) gives them by basic deformations. `whole` (k, k) has a unit diagonal: it is the stiffness of
    the unknowns times `scale` (k,) from both sides. `pivot` is the smallest that elimination meets in it, which is
    zero for a mechanism.
    """

    own: Floats
    forces: Floats
    whole: Floats
    scale: Floats
    pivot: float


def respond(frame: Frame, loads: Floats, misfits: Floats | None = None, start: Floats | None = None) -> Response:
    """The response to `loads` (n, c), `misfits` (m, 3, c) and the prescribed movements `start` (n, c).

    Raises CannotAnalyseError `mechanism` where the stiffness is singular or cannot be told from singular, and
    `near-mechanism` where what it gives does not balance.
    """
    stiffness = _stiffness(frame)
    before = _before(frame, stiffness, loads, misfits, start)
    left = loads if before is None else _left_over(frame, loads, *before)[0]
    step, growth = _solved(stiffness, _of_unknowns(frame, left))
    movements, forces = _caused(frame, stiffness, step)
    if before is not None:
        movements, forces = movements + before[0], forces + before[1]
    if min(stiffness.pivot, 1.0 / growth) < SOUND:
        movements, forces = _refined(frame, stiffness, loads, movements, forces)
    return Response(movements=movements, forces=forces, pulls=_pulls(frame, forces))


def deformation_rows(frame: Frame) -> Floats:
    """The basic deformations of each segment by its six movements, shape (m, 3, 6)."""
    cos, sin = frame.along.T
    rows = np.zeros((len(cos), 3, 6))
    rows[:, 0, 3], rows[:, 0, 4] = cos, sin
    rows[:, 2, 3], rows[:, 2, 4] = sin / frame.length, -cos / frame.length
    rows[:, 1, 3:5] = -rows[:, 2, 3:5]
    rows[:, :, 0:2] = -rows[:, :, 3:5]
    rows[:, 1, 2], rows[:, 2, 5] = -1.0, 1.0
    return rows


def deformation_matrix(frame: Frame) -> Floats:
    """The basic deformations of all segments by all movements (3 m, n); its transpose gives the pulls."""
    rows = deformation_rows(frame)
    whole = np.zeros((len(rows), 3, frame.total + 1))
    segment = np.arange(len(rows))
    for column in range(6):
        whole[segment, :, frame.movements[:, column]] += rows[:, :, column]
    return whole[:, :, : frame.total].reshape(3 * len(rows), frame.total)


def acting(frame: Frame) -> Flags:
    """Which basic forces a segment carries (m, 3): its axial force, and the moment of an end that is no hinge."""
    return np.concatenate([np.ones((len(frame.length), 1), dtype=bool), frame.passes], axis=1)


def _stiffness(frame: Frame) -> _Stiffness:
    rows, acts = deformation_rows(frame), acting(frame)
    both = acts[:, :, None] & acts[:, None, :]
    own = np.where(both, np.linalg.inv(np.where(both, frame.flexibility, np.eye(3))), 0.0)
    forces = own @ rows
    whole = _assembled(frame, rows.transpose(0, 2, 1) @ forces)
    diagonal = whole.diagonal()
    if not (diagonal > 0.0).all():
        raise mechanism()
    scale = 1.0 / np.sqrt(diagonal)
    whole = whole * scale * scale[:, None]
    return _Stiffness(own=own, forces=forces, whole=whole, scale=scale, pivot=_smallest_pivot(whole))


def _assembled(frame: Frame, parts: Floats) -> Floats:
    """The stiffness of the unknowns (k, k) from those of the segments by their movements (m, 6, 6)."""
    kept = np.arange(frame.total) if frame.ties is not None else frame.free
    size = len(kept) + 1
    position = np.full(frame.total + 1, len(kept))
    position[kept] = np.arange(len(kept))
    at = position[frame.movements]
    places = at[:, :, None] * size + at[:, None, :]
    summed = np.asarray(np.bincount(places.ravel(), parts.ravel(), size * size), dtype=np.float64)
    whole = summed.reshape(size, size)[:-1, :-1]
    whole.flat[::size] += frame.springs[kept]
    return whole if frame.ties is None else frame.ties.T @ whole @ frame.ties


def _smallest_pivot(whole: Floats) -> float:
    try:
        lower = np.linalg.cholesky(whole)
    except np.linalg.LinAlgError:
        raise mechanism() from None
    pivot = float((lower.diagonal() ** 2).min(initial=1.0))
    if pivot < SINGULAR:
        raise mechanism()
    return pivot


def _before(
    frame: Frame, stiffness: _Stiffness, loads: Floats, misfits: Floats | None, start: Floats | None
) -> tuple[Floats, Floats] | None:
    """Movements and forces while every unknown is kept at zero, or None where there are none of either."""
    if start is None and misfits is None:
        return None
    movements = np.zeros_like(loads) if start is None else start
    forces = _forces(frame, stiffness, np.concatenate([movements, np.zeros((1, loads.shape[1]))]))
    return movements, forces if misfits is None else forces - stiffness.own @ misfits


def _solved(stiffness: _Stiffness, left: Floats) -> tuple[Floats, float]:
    """Movements (k, c) under the forces `left`, and how far a load that spares no mechanism makes the frame go.

    That load is irregular on purpose, and the same every time.
    """
    unknowns, cases = left.shape
    right = np.empty((unknowns, cases + 1))
    np.multiply(left, stiffness.scale[:, None], out=right[:, :cases])
    right[:, cases] = np.sin(np.arange(1.0, unknowns + 1.0) ** 2)
    moved = np.asarray(np.linalg.solve(stiffness.whole, right), dtype=np.float64)
    growth = float(np.abs(moved[:, cases]).max(initial=1.0))
    if not growth < 1.0 / SINGULAR:
        raise mechanism()
    moved *= stiffness.scale[:, None]
    return moved[:, :cases], growth


def _refined(
    frame: Frame, stiffness: _Stiffness, loads: Floats, movements: Floats, forces: Floats
) -> tuple[Floats, Floats]:
    """Movements and forces after what stays unbalanced has been solved for again, as long as that helps.

    Forces are added up step by step: where a joint moves far and a segment hardly stretches, taking them from
    the movements at the end would lose their last digits.
    """
    left, size = _left_over(frame, loads, movements, forces)
    best = _unbalanced(frame, stiffness, left, size)
    for _ in range(ROUNDS):
        step, _ = _solved(stiffness, _of_unknowns(frame, left))
        further = _caused(frame, stiffness, step)
        tried = movements + further[0], forces + further[1]
        left, size = _left_over(frame, loads, *tried)
        now = _unbalanced(frame, stiffness, left, size)
        if not now < best:
            break
        (movements, forces), best = tried, now
    if not best < BALANCED:
        raise CannotAnalyseError(
            "near-mechanism",
            what="the frame is so near to a mechanism that no force in it can be computed to be trusted.",
            do="Look for joints that hardly anything holds, and for stiffnesses far too small or too large.",
        )
    return movements, forces


def _left_over(frame: Frame, loads: Floats, movements: Floats, forces: Floats) -> tuple[Floats, Floats]:
    """Loads that movements and forces leave unbalanced, and the sizes of what meets there, both (n, c)."""
    matrix, flat = deformation_matrix(frame), forces.reshape(-1, loads.shape[1])
    held = frame.springs[:, None] * movements
    return loads - held - matrix.T @ flat, np.abs(loads) + np.abs(held) + np.abs(matrix).T @ np.abs(flat)


def _unbalanced(frame: Frame, stiffness: _Stiffness, left: Floats, size: Floats) -> float:
    """The largest imbalance as a part of the largest forces that meet at any unknown, over all cases."""
    scale, ties = stiffness.scale[:, None], None if frame.ties is None else np.abs(frame.ties).T
    most = scale * (size[frame.free] if ties is None else ties @ size)
    worst = (scale * np.abs(_of_unknowns(frame, left))).max(axis=0, initial=0.0)
    return float((worst / np.maximum(most.max(axis=0, initial=0.0), np.finfo(float).tiny)).max(initial=0.0))


def _caused(frame: Frame, stiffness: _Stiffness, step: Floats) -> tuple[Floats, Floats]:
    """Movements (n, c) and basic forces (m, 3, c) that go with a step (k, c) of the unknowns."""
    padded = np.zeros((frame.total + 1, step.shape[1]))
    if frame.ties is None:
        padded[frame.free] = step
    else:
        padded[:-1] = frame.ties @ step
    return padded[:-1], _forces(frame, stiffness, padded)


def _forces(frame: Frame, stiffness: _Stiffness, padded: Floats) -> Floats:
    """Basic forces (m, 3, c) by movements and a row of zeros for hinges, a few cases at a time to spare memory."""
    forces = np.empty((len(frame.length), 3, padded.shape[1]))
    for first in range(0, padded.shape[1], CASES_AT_ONCE):
        few = slice(first, first + CASES_AT_ONCE)
        forces[:, :, few] = stiffness.forces @ padded[:, few][frame.movements]
    return forces


def _pulls(frame: Frame, forces: Floats) -> Floats:
    position = np.full(frame.total + 1, -1)
    position[frame.watched] = np.arange(len(frame.watched))
    at = position[frame.movements]
    segment, column = np.nonzero(at >= 0)
    rows = deformation_rows(frame)[segment, :, column]
    pulls = np.zeros((len(frame.watched), forces.shape[2]))
    np.add.at(pulls, at[segment, column], (rows[:, :, None] * forces[segment]).sum(axis=1))
    return pulls


def _of_unknowns(frame: Frame, values: Floats) -> Floats:
    """What forces at the movements (n, c) do on the unknowns (k, c)."""
    return values[frame.free] if frame.ties is None else frame.ties.T @ values


def mechanism() -> CannotAnalyseError:
    """The refusal of a frame that can move; who knows its joints says which."""
    return CannotAnalyseError(
        "mechanism",
        what="the frame can move without straining any segment.",
        do="Hold what moves: a brace, a support or a fixed end is missing.",
    )
