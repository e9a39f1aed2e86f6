"""Whether a truss can move without strain, told from its equations of equilibrium alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.model.truss import Truss
    from trussio.recheck.equilibrium import Equilibrium

    Array = NDArray[np.float64]

RANK: Final = 1e-9
"""Singular values below this part of the largest count as nought: drawings are rounded far more coarsely."""
STILL: Final = 1e-7
"""A joint stands still when it moves by less than this part of what moves most."""


def check_rank(truss: Truss, eq: Equilibrium, plain: Array) -> None:
    """Refuse a truss that can move, whatever its stiffness; one that is only soft passes."""
    rows, columns = _even(plain)
    values = np.linalg.svd(rows[:, None] * plain * columns, compute_uv=False)
    if values[-1] < RANK * values[0]:
        raise mechanism(truss, eq, plain)


def _even(plain: Array) -> tuple[Array, Array]:
    """Factors of rows and columns that bring forces and moments to one size."""
    rows, columns = np.ones(plain.shape[0]), np.ones(plain.shape[1])
    for _ in range(3):
        columns = _over(np.linalg.norm(rows[:, None] * plain, axis=0))
        rows = _over(np.linalg.norm(plain * columns, axis=1))
    return rows, columns


def _over(sizes: Array) -> Array:
    return np.where(sizes > 0, 1 / np.where(sizes > 0, sizes, 1.0), 1.0)


def mechanism(truss: Truss, eq: Equilibrium, plain: Array) -> CannotAnalyseError:
    """The refusal of a truss that can move, naming the joints that move most plainly."""
    rows, columns = _even(plain)
    left, values, _ = np.linalg.svd(rows[:, None] * plain * columns)
    rank = int(np.count_nonzero(values > RANK * values[0])) if values.size else 0
    motions = eq.free @ (rows[:, None] * left[:, rank:])
    joints = 2 * len(truss.joints)
    size = np.linalg.norm(motions[:joints].reshape(len(truss.joints), -1), axis=1)
    moving = [
        name for name, moves in zip(truss.joints, size > STILL * size.max(initial=0.0), strict=True) if moves
    ]
    count = len(plain) - rank
    what = (
        f"{', '.join(moving) or 'A stick'} can move without strain ({count} mechanism{'s' if count > 1 else ''})."
    )
    where = ", ".join(f"/joints/{name}" for name in moving) or "/members"
    return CannotAnalyseError("mechanism", where=where, what=what, do="Add what holds it, or ask the surveyor.")
