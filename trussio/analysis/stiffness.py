"""The stiffness of a frame, put together and solved for every load case at once.

The whole is scaled first: shifts of a joint by the stiffness of everything that meets there, whatever its
direction, turns by what resists them. Elimination then meets a *pivot* near zero where something can move that
hardly anything holds, be it for want of a segment in that direction or for want of stiffness.
Shapes: m segments, n movements, k unknowns, c load cases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.frame import acting, deformation_rows, movements_of

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.frame import Frame


class Stiffness(NamedTuple):
    """What a frame offers: `forces` (m, 3, 6) by the movements of each segment, and the `whole` to be solved.

    `at` (m, 6) numbers those movements, `rows` (m, 3, 6) makes basic deformations of them and `own` (m, 3, 3)
    basic forces of those. `whole` (k, k) is the stiffness of the unknowns times `scale` (k,) from both sides;
    `pivot` is the smallest that elimination meets in it, zero where it comes to nothing.
    """

    at: Counts
    rows: Floats
    own: Floats
    forces: Floats
    whole: Floats
    scale: Floats
    pivot: float


def stiffness_of(frame: Frame) -> Stiffness:
    """The stiffness of a frame."""
    at, rows, acts = movements_of(frame), deformation_rows(frame), acting(frame)
    both = acts[:, :, None] & acts[:, None, :]
    own = np.where(both, np.linalg.inv(np.where(both, frame.flexibility, np.eye(3))), 0.0)
    forces = own @ rows
    parts = rows.transpose(0, 2, 1) @ forces
    measure = _measure(frame, at, parts)
    scale = 1.0 / np.sqrt(np.where(measure > 0.0, measure, 1.0))
    whole = _assembled(frame, at, parts) * scale * scale[:, None]
    return Stiffness(
        at=at, rows=rows, own=own, forces=forces, whole=whole, scale=scale, pivot=_smallest_pivot(whole)
    )


def solved(stiffness: Stiffness, left: Floats) -> tuple[Floats, float]:
    """Unknowns (k, c) under the forces `left`, and how far a load that spares no mechanism makes the frame go.

    That load is irregular on purpose, and the same every time.
    """
    unknowns, cases = left.shape
    right = np.empty((unknowns, cases + 1))
    np.multiply(left, stiffness.scale[:, None], out=right[:, :cases])
    right[:, cases] = np.sin(np.arange(1.0, unknowns + 1.0) ** 2)
    moved = np.asarray(np.linalg.solve(stiffness.whole, right), dtype=np.float64)
    growth = float(np.abs(moved[:, cases]).max(initial=1.0))
    moved *= stiffness.scale[:, None]
    return moved[:, :cases], growth


def _measure(frame: Frame, at: Counts, parts: Floats) -> Floats:
    """The stiffness that each unknown (k,) is measured by."""
    own = np.bincount(at.ravel(), parts.diagonal(axis1=1, axis2=2).ravel(), frame.total + 1)[:-1] + frame.springs
    shifts = 2 * len(frame.joints)
    own[:shifts] = np.repeat(own[:shifts:2] + own[1:shifts:2], 2)
    return own[frame.free] if frame.ties is None else (frame.ties**2).T @ own


def _assembled(frame: Frame, at: Counts, parts: Floats) -> Floats:
    """The stiffness of the unknowns (k, k) from those of the segments by their movements (m, 6, 6)."""
    kept = np.arange(frame.total) if frame.ties is not None else frame.free
    size = len(kept) + 1
    position = np.full(frame.total + 1, len(kept))
    position[kept] = np.arange(len(kept))
    row = position[at]
    places = row[:, :, None] * size + row[:, None, :]
    summed = np.asarray(np.bincount(places.ravel(), parts.ravel(), size * size), dtype=np.float64)
    whole = summed.reshape(size, size)[:-1, :-1]
    whole.flat[::size] += frame.springs[kept]
    return whole if frame.ties is None else frame.ties.T @ whole @ frame.ties


def _smallest_pivot(whole: Floats) -> float:
    try:
        lower = np.linalg.cholesky(whole)
    except np.linalg.LinAlgError:
        return 0.0
    return float((lower.diagonal() ** 2).min(initial=1.0))
