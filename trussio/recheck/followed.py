"""Members that carry one way, and play, through stages and beside tendons: one run followed on its way.

Nothing is then a sum of cases. At each moment of the work what gives way shortens by as much as makes the energy
least for the run as a whole, counted from where it came in; what it is deformed by at rest is locked in with all
else. `one_way` tells how the shortenings are found. They belong to no case and stand in the last column.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.recheck.energy import no_set
from trussio.recheck.moments import Rested, UntoldError, least
from trussio.recheck.one_way import gives_of, shortened_by, worked

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Truss
    from trussio.recheck.moments import Structure

    Array = NDArray[np.float64]


class Followed(NamedTuple):
    """A run on its way, with `factors` (columns,) of what every column brings to it."""

    run: RunId
    factors: Array


def gives_way(truss: Truss) -> bool:
    """Whether anything carries one way or has play."""
    return any(member.acts or member.play for member in truss.members.values())


def gaps_of(at: Structure) -> Array:
    """What a shortening by one of each yielding member deforms the unknowns by (unknowns, k)."""
    return at.problem.deformed[:, len(at.reading.loads.joints) :]


def unit_shortenings(at: Structure, tight: Iterable[str]) -> Rested:
    """What a shortening by one of each yielding member does, with tendons that are `tight`."""
    gaps = gaps_of(at)
    nothing = np.zeros((len(at.reading.equations.forces), gaps.shape[1]))
    return least(at, nothing, gaps, nothing, {name: np.zeros(gaps.shape[1]) for name in tight})


def given_way(at: Structure, unit: Rested, works: Array, sizes: Array, followed: Followed) -> Array:
    """How far all have shortened (k,), under columns of forces that work on them with nothing shortened (k, c).

    Raises UntoldError where no set of them balances the run.
    """
    gives = gives_of(at.problem, worked(at.problem, unit.forces))
    by = shortened_by(gives, works, followed.factors, sizes)
    if by is None:
        raise UntoldError(no_set(followed.run))
    return by


def summed(unit: Rested, by: Array) -> Rested:
    """What so many shortenings do, as one column."""
    return Rested(
        forces=unit.forces @ by[:, None],
        tendons={name: forces @ by[:, None] for name, forces in unit.tendons.items()},
        reactions=unit.reactions @ by[:, None],
        size=unit.size @ np.abs(by[:, None]),
        left=unit.left @ by[:, None],
        loads=unit.loads @ by[:, None],
    )


def in_last(found: Rested, given: Rested) -> Rested:
    """Forces of a moment with what gave way in their last column."""

    def both(one: Array, other: Array) -> Array:
        made = one.copy()
        made[..., -1:] += other
        return made

    return Rested(
        forces=both(found.forces, given.forces),
        tendons={name: both(forces, given.tendons[name]) for name, forces in found.tendons.items()},
        reactions=both(found.reactions, given.reactions),
        size=both(found.size, given.size),
        left=both(found.left, given.left),
        loads=found.loads,
    )
