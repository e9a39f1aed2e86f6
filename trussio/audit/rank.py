"""The count and the rank of a truss: mechanisms and states of self-stress.

Terms: a *mechanism* is a motion that no force unknown feels, a *self-stress* a state of forces and reactions that
loads no joint. `mechanisms - self_stress = -count` always. A singular value below `RANK_TOLERANCE` times the
largest counts as zero. In `pinned` the chain of segments through stations counts as one.
Source: S. Pellegrino and C. R. Calladine, Matrix analysis of statically and kinematically indeterminate
frameworks, Int. J. Solids Structures 22 (1986) (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.compatibility import compatibility
from trussio.model.finding import Statics
from trussio.model.idealised import idealise

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.audit.compatibility import Compatibility
    from trussio.model.truss import Idealisation, Truss

    Array = NDArray[np.float64]

RANK_TOLERANCE: Final = 1e-9
"""Relative to the largest singular value; drawings are rounded far more coarsely than this."""
STILL: Final = 1e-7
"""A joint stands still when it moves by less than this in motions of unit size."""


@dataclass(frozen=True, kw_only=True)
class Rank:
    """The singular values, and complete orthonormal bases on both sides (`left` columns, `right` rows)."""

    values: Array
    rank: int
    left: Array
    right: Array

    @property
    def motions(self) -> Array:
        """Movements that no row feels, shape (columns of the matrix, mechanisms)."""
        return self.right[self.rank :].T

    @property
    def stresses(self) -> Array:
        """Forces that load no joint, shape (rows of the matrix, states of self-stress)."""
        return self.left[:, self.rank :]


def decompose(matrix: Array) -> Rank:
    """The rank of a matrix with full bases of both null spaces."""
    left, values, right = np.linalg.svd(matrix)
    return Rank(values=values, rank=rank_of(values), left=left, right=right)


def rank_of(values: Array) -> int:
    """How many singular values count."""
    return int(np.count_nonzero(values > RANK_TOLERANCE * values.max(initial=0.0)))


def is_mechanism(matrix: Array) -> bool:
    """Whether some motion is felt by no row; quicker than a full decomposition."""
    if len(matrix) < matrix.shape[1]:
        return True
    values = np.asarray(np.linalg.svdvals(matrix), dtype=np.float64)
    return rank_of(values) < int(matrix.shape[1])


def statics_of(truss: Truss, compat: Compatibility, rank: Rank) -> Statics:
    """Count and rank as an engineer would write them, stations condensed out."""
    unknowns, equations = compat.matrix.shape
    moved = moving(compat, rank.motions)
    return Statics(
        joints=len(truss.joints) - compat.stations,
        segments=len(compat.ends) - compat.stations,
        holds=len(compat.holds),
        count=unknowns - equations,
        rank=rank.rank - compat.stations,
        mechanisms=equations - rank.rank,
        self_stress=unknowns - rank.rank,
        moving=tuple(name for name, moves in zip(truss.joints, moved, strict=True) if moves),
    )


def statics(truss: Truss, idealisation: Idealisation) -> Statics:
    """Count and rank of a truss under one idealisation."""
    compat = compatibility(truss, idealise(truss, idealisation))
    return statics_of(truss, compat, decompose(compat.matrix))


def moving(compat: Compatibility, motions: Array) -> list[bool]:
    """Whether each joint translates in any of the motions."""
    size = np.linalg.norm((compat.movement @ motions).reshape(len(compat.xy), 2 * motions.shape[1]), axis=1)
    return [bool(moves) for moves in size > STILL]
