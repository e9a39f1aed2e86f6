"""The stiffness of a frame, put together and solved for every load case at once.

The whole is scaled to a unit diagonal first, so that translations and turns, stout and slender members weigh
alike. Elimination then meets a *pivot* near zero exactly where something can move that hardly anything holds.
Shapes: m segments, n movements, k unknowns, c load cases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.frame import acting, deformation_rows, movements_of
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.frame import Frame

SINGULAR = 1e-14
"""Below this a pivot cannot be told from the zero of a mechanism."""


class Stiffness(NamedTuple):
    """What a frame offers: `forces` (m, 3, 6) by the movements of each segment, and the `whole` to be solved.

    `at` (m, 6) numbers those movements, `rows` (m, 3, 6) makes basic deformations of them and `own` (m, 3, 3)
    basic forces of those. `whole` (k, k) is the stiffness of the unknowns times `scale` (k,) from both sides, so
    that its diagonal is one; `pivot` is the smallest that elimination meets in it.
    """

    at: Counts
    rows: Floats
    own: Floats
    forces: Floats
    whole: Floats
    scale: Floats
    pivot: float


def stiffness_of(frame: Frame) -> Stiffness:
    """The stiffness of a frame.

    Raises CannotAnalyseError `mechanism` where it is singular or cannot be told from singular.
    """
    at, rows, acts = movements_of(frame), deformation_rows(frame), acting(frame)
    both = acts[:, :, None] & acts[:, None, :]
    own = np.where(both, np.linalg.inv(np.where(both, frame.flexibility, np.eye(3))), 0.0)
    forces = own @ rows
    whole = _assembled(frame, at, rows.transpose(0, 2, 1) @ forces)
    diagonal = whole.diagonal()
    if not (diagonal > 0.0).all():
        raise _mechanism()
    scale = 1.0 / np.sqrt(diagonal)
    whole = whole * scale * scale[:, None]
    pivot = _smallest_pivot(whole)
    return Stiffness(at=at, rows=rows, own=own, forces=forces, whole=whole, scale=scale, pivot=pivot)


def solved(stiffness: Stiffness, left: Floats) -> tuple[Floats, float]:
    """Unknowns (k, c) under the forces `left`, and how far a load that spares no mechanism makes the frame go.

    That load is irregular on purpose, and the same every time.
    Raises CannotAnalyseError `mechanism` where it goes too far to be believed.
    """
    unknowns, cases = left.shape
    right = np.empty((unknowns, cases + 1))
    np.multiply(left, stiffness.scale[:, None], out=right[:, :cases])
    right[:, cases] = np.sin(np.arange(1.0, unknowns + 1.0) ** 2)
    moved = np.asarray(np.linalg.solve(stiffness.whole, right), dtype=np.float64)
    growth = float(np.abs(moved[:, cases]).max(initial=1.0))
    if not growth < 1.0 / SINGULAR:
        raise _mechanism()
    moved *= stiffness.scale[:, None]
    return moved[:, :cases], growth


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
        raise _mechanism() from None
    pivot = float((lower.diagonal() ** 2).min(initial=1.0))
    if pivot < SINGULAR:
        raise _mechanism()
    return pivot


def _mechanism() -> CannotAnalyseError:
    return CannotAnalyseError(
        "mechanism",
        what="the frame can move without straining any segment.",
        do="Hold what moves: a brace, a support or a fixed end is missing.",
    )
