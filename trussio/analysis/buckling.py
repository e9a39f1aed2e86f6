"""The load at which a truss buckles in its plane.

All loads of a run grown by one factor bring the truss to where its stiffness ceases to be positive. How often it
has done so is counted, between the joints of each segment and in the whole, and not searched for, so that no
buckling load is overlooked.
Axial forces are those of segments and, behind them, of the legs of tendons.
Shapes: n movements, k unknowns, m segments.

Source for the count, cited from memory: W. H. Wittrick and F. W. Williams, A general algorithm for computing
natural frequencies of elastic structures, Q. J. Mech. Appl. Math. 24 (1971).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.beam_columns import buckled, deflections, moments, softening
from trussio.analysis.second_order import basic_forces, ends, of_unknowns, own_stiffness, spread, whole_stiffness

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.second_order import Swaying

MOST = 100.0
"""Beyond so many times the loads no buckling is looked for."""
FIRST = 0.7548776662466927
"""Where the search begins: no round number, since exactly where something buckles nothing can be solved."""
CLOSE = 1e-7
HAIRS = (0.0, 1e-9, 1e-8, 1e-7)
MORE = 1e-6
"""What is added to axial forces, as a part of them, until numbers can tell the stiffness of every segment."""
TAKES_PART = 0.5
"""Segments whose work in buckling is more than this part of the largest take part in it."""
ROUNDING = 1e-14
"""An eigenvalue of a scaled stiffness that is negative by less is none."""


class Buckling(NamedTuple):
    """The factor on all loads at which the truss buckles, None beyond `MOST`, and the segments that take part."""

    factor: float | None
    segments: list[int]


def buckling(of: Swaying, axial: Floats) -> Buckling:
    """At how many times the axial forces (m,) the truss buckles, and which segments do, most first."""
    if not (axial < 0.0).any():
        return Buckling(None, [])
    low, high = 0.0, FIRST
    while _stands(of, axial * high):
        low, high = high, 2.0 * high
        if low >= MOST:
            return Buckling(None, [])
    while high - low > CLOSE * high:
        middle = (low + high) / 2
        if _stands(of, axial * middle):
            low = middle
        else:
            high = middle
    return Buckling(high, _taking_part(of, axial, low, high)) if high <= MOST else Buckling(None, [])


def times_buckled(of: Swaying, axial: Floats) -> int:
    """In how many ways the truss has buckled under axial forces (m,)."""
    own = _own(of, axial)
    whole = _scaled(of_unknowns(of, whole_stiffness(of, own, axial)))
    return int(_between_joints(of, own, axial).sum() + np.count_nonzero(np.linalg.eigvalsh(whole) < -ROUNDING))


def _stands(of: Swaying, axial: Floats) -> bool:
    """Whether nothing has buckled under axial forces (m,)."""
    own = _own(of, axial)
    if _between_joints(of, own, axial).any():
        return False
    try:
        np.linalg.cholesky(_scaled(of_unknowns(of, whole_stiffness(of, own, axial))))
    except np.linalg.LinAlgError:
        return False
    return True


def _own(of: Swaying, axial: Floats) -> Floats:
    """The stiffness of segments under axial forces (m,); by a hair more where they leave nothing to solve."""
    for hair in HAIRS:
        try:
            return _own_at(of, axial * (1.0 + hair))
        except np.linalg.LinAlgError:
            continue
    return _own_at(of, axial * (1.0 + MORE))


def _own_at(of: Swaying, axial: Floats) -> Floats:
    return own_stiffness(of, softening(of.columns, axial, of.loads.shape[1])[:, :, :3])


def _between_joints(of: Swaying, own: Floats, axial: Floats) -> Counts:
    """In how many ways each segment (m,) has buckled while its joints are held."""
    pinned = np.array(
        [
            0 if column is None or not acts else buckled(column, force)
            for column, acts, force in zip(
                of.columns, of.acts[:, 0].tolist(), axial[: len(of.columns)].tolist(), strict=True
            )
        ],
        dtype=np.intp,
    )
    negative = np.count_nonzero(np.linalg.eigvalsh(_scaled(own)) < -ROUNDING, axis=1)
    return np.where(pinned > 0, pinned - negative, 0)


def _scaled(matrices: Floats) -> Floats:
    """Symmetric matrices (..., k, k) with ones on the diagonal, but for their signs."""
    size = np.sqrt(np.abs(np.diagonal(matrices, axis1=-2, axis2=-1)))
    scale = 1.0 / np.where(size > 0.0, size, 1.0)
    both = (matrices + np.swapaxes(matrices, -1, -2)) / 2
    return np.asarray(both * scale[..., None] * scale[..., None, :], dtype=np.float64)


def _taking_part(of: Swaying, axial: Floats, low: float, high: float) -> list[int]:
    """The segments that do most of the work when the truss buckles between two factors."""
    before, after = (_between_joints(of, _own(of, axial * by), axial * by) for by in (low, high))
    if (after > before).any():
        return [int(number) for number in np.flatnonzero(after > before)]
    force = axial * high
    own = _own(of, force)
    matrix = of_unknowns(of, whole_stiffness(of, own, force))
    moved = ends(of, spread(of, np.linalg.eigh((matrix + matrix.T) / 2)[1][:, 0]))
    basic = basic_forces(of, own, np.einsum("mab,mb->ma", of.rows, moved))
    work = np.array([_work(of, number, float(force[number]), moved, basic) for number in range(len(of.columns))])
    order = np.argsort(-work, kind="stable")
    return [int(number) for number in order if work[number] > TAKES_PART * work.max(initial=0.0)]


def _work(of: Swaying, number: int, force: float, moved: Floats, basic: Floats) -> float:
    """What compression does in a segment when it buckles: its size times how far the ends come together."""
    if force >= 0.0 or not of.acts[number, 0]:
        return 0.0
    nearer = float(of.swings[number] @ moved[number]) ** 2 / of.length[number]
    column = of.columns[number]
    if column is not None:
        amounts = np.zeros(column.states.shape[1])
        amounts[:3] = basic[number]
        off = deflections(column, moments(column, force, amounts))
        slope = off @ column.cut.rule.slope.T / column.cut.length[:, None]
        nearer += float(((slope**2) @ column.cut.rule.upto[-1] * column.cut.length).sum())
    return float(-force * nearer)
