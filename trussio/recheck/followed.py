"""Members that carry one way, and play, through stages and beside tendons: one run followed on its way.

Nothing is then a sum of cases. A tendon that would have to push on the whole is slack, as a member that carries
tension alone is. At each moment of the work what gives way shortens by as much as makes the energy
least for the run as a whole, counted from where it came in; what it is deformed by at rest is locked in with all
else. `one_way` tells how the shortenings are found. They belong to no case and stand in the last column.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.recheck.energy import no_set
from trussio.recheck.moments import Rested, UntoldError, least
from trussio.recheck.one_way import gives_of, shortened_by, worked

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.truss import Truss
    from trussio.recheck.moments import Structure

    Array = NDArray[np.float64]


EVEN: Final = 1e-12
"""Legs whose forces differ by less than this part of the largest are alike."""
PUSHES: Final = 1e-9
"""A leg pushes by more than this part of the largest number in its run."""


class Followed(NamedTuple):
    """A run on its way, with `factors` (columns,) of what every column brings to it.

    Where it `stresses` a tendon, tendons may be slack; another is part of a run that does, and says nothing of it.
    """

    run: RunId
    factors: Array
    stresses: bool = False


class Slackening(NamedTuple):
    """Tendons that may be slack; of each that is `uneven`, how much its legs (l,) have beyond their mean.

    Friction holds that. A tendon that is slack has lost it.
    """

    names: list[str]
    uneven: dict[str, Array]


def gives_way(truss: Truss) -> bool:
    """Whether anything carries one way or has play."""
    return any(member.acts or member.play for member in truss.members.values())


def gaps_of(at: Structure) -> Array:
    """What a shortening by one of each yielding member deforms the unknowns by (unknowns, k)."""
    return at.problem.deformed[:, len(at.reading.loads.joints) :]


def mean_of(at: Structure, name: str, legs: Array) -> Array:
    """The mean force of a tendon, by the lengths of its legs (l, c)."""
    lengths = np.array(at.ways[name].lengths)
    mean: Array = (lengths / lengths.sum()) @ legs
    return mean


def slackening(at: Structure, legs: Mapping[str, Array]) -> Slackening:
    """Tendons that have such forces (l,) in their legs in a run."""
    off = {name: own - mean_of(at, name, own) for name, own in legs.items()}
    uneven = {n: one for n, one in off.items() if np.abs(one).max() > EVEN * np.abs(legs[n]).max()}
    return Slackening([*legs], uneven)


def unit_shortenings(at: Structure, tight: Iterable[str], slack: Slackening) -> Rested:
    """What a shortening by one of each yielding member does, of each tendon, and legs that become even.

    Tendons that are `tight` are members.
    """
    gaps, count = gaps_of(at), len(at.problem.yielding)
    width = count + len(slack.names) + len(slack.uneven)
    loads = np.zeros((len(at.reading.equations.forces), width))
    for column, (name, off) in enumerate(slack.uneven.items(), start=count + len(slack.names)):
        loads[:, column] = -at.pulls[name] @ off
    tendons = {name: np.zeros(width) for name in tight}
    for column, name in enumerate(slack.names, start=count):
        tendons[name][column] = -1.0
    deformed = np.pad(gaps, ((0, 0), (0, width - count)))
    return least(at, loads, deformed, np.zeros_like(loads), tendons)


def works_of(at: Structure, found: Rested, slack: Slackening) -> Array:
    """What columns of forces put on each yielding member, and on each tendon beyond its jacked force."""
    tendons = [found.tendons.get(name, np.zeros(found.forces.shape[1])) for name in slack.names]
    return np.vstack([worked(at.problem, found.forces), *tendons])


def given_way(
    at: Structure, unit: Rested, works: Array, sizes: Array, *, followed: Followed, slack: Slackening
) -> Array:
    """How far all have shortened, then 1 for each uneven tendon that is slack.

    `works` are the columns of forces on them with nothing shortened. Raises UntoldError where no set of them
    balances the run, or one leg of a tendon would have to push while others pull.
    """
    growth, uneven = works_of(at, unit, slack), [*slack.uneven]
    count, first = len(growth), len(at.problem.yielding)
    gives = gives_of(at.problem, growth[:, :count], [at.gives[name] for name in slack.names])
    even = np.zeros(len(uneven))
    for _ in range(len(uneven) + 2):
        gone = growth[:, count:] @ even
        by = shortened_by(
            gives, np.column_stack((works, gone)), np.append(followed.factors, 1.0), np.append(sizes, 0.0)
        )
        if by is None:
            break
        loose = {name for name, way in zip(slack.names, by[first:].tolist(), strict=True) if way}
        now = np.array([float(name in loose) for name in uneven])
        if (now == even).all():
            _refuse_pushing(slack, loose, works @ followed.factors + growth @ np.append(by, even), first, sizes)
            return np.concatenate((by, even))
        even = now
    raise UntoldError(no_set(followed.run))


def _refuse_pushing(slack: Slackening, loose: Collection[str], forces: Array, first: int, sizes: Array) -> None:
    """Raise UntoldError where a tendon that pulls on the whole would have to push with a leg."""
    for name, mean in zip(slack.names, forces[first:].tolist(), strict=True):
        off = slack.uneven.get(name)
        if off is not None and name not in loose and mean + off.min() < -PUSHES * sizes.max():
            raise UntoldError(f"A leg of the tendon {name} loses all of its force while others pull.")


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
        loads=both(found.loads, given.loads),
    )
