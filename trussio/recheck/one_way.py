"""Members that carry one way, and connections with play: which of them act in a run.

Of all forces in equilibrium that signs allow, the truss takes those of least complementary energy. With p how far
members have shortened without force, the force that works on them is n = n0 + A p, and p makes p n0 + p A p / 2
least between its bounds: at a lower bound n may pull, at an upper one push, between them it is nought.

Members begin at their bounds. The one whose sign is broken worst is let go, and with all that are between their
bounds it moves to where their forces are nought, or until one of them meets a bound and stays there; where nothing
resists, it moves on until one does, or the truss has no balance. The energy falls at every step. Nothing is
believed but signs: of the forces that come out in the end, on every member, to `NEAR`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.recheck.energy import Found
    from trussio.recheck.giving import Yielding
    from trussio.recheck.problem import Problem
    from trussio.recheck.reading import Reading

    Array = NDArray[np.float64]
    Flags = NDArray[np.bool_]

NEAR: Final = 1e-9
"""A force below this part of what cases and shortenings do to members is none."""
ROUNDING: Final = 1e-13
"""The same for what rounding leaves of the largest number that forces are made of."""
SOFT: Final = 1e-9
"""A force that grows with a shortening by less than this part of the member's own stiffness does not grow."""
STEPS: Final = 50
"""So often each member may be let go."""


class Box(NamedTuple):
    """A (k, k) `growth`, n0 `start` (k,), the bounds, and the forces below which there is `nothing` (k,).

    All are measured by the roots of the members' own stiffnesses, so that growth lies between 0 and 1.
    """

    growth: Array
    start: Array
    low: Array
    high: Array
    nothing: Array


class Gives(NamedTuple):
    """What gives way: how the forces on it grow with its shortenings (k, k), and its bounds.

    All are measured by the `root` (k,) of each one's own stiffness.
    """

    growth: Array
    low: Array
    high: Array
    root: Array


def settle(reading: Reading, problem: Problem, found: Found) -> dict[RunId, Array]:
    """The factor of each run on its cases and on a shortening by one of each yielding member.

    `found` is what all of these do. Runs that no set was found for are left out.
    """
    cases = len(reading.loads.joints)
    works = worked(problem, found.forces)
    works[:, :cases] += released(problem)
    gives = gives_of(problem, works[:, cases:])
    settled = {}
    for run, factors in reading.factors.items():
        shortened = shortened_by(gives, works[:, :cases], factors, found.size[:cases])
        if shortened is not None:
            settled[run] = np.concatenate((factors, shortened))
    return settled


def worked(problem: Problem, forces: Array) -> Array:
    """What unknown forces (unknowns, c) put on each yielding member (k, c)."""
    works = np.zeros((len(problem.yielding), forces.shape[1]))
    for row, one in enumerate(problem.yielding):
        column = problem.column[one.segment]
        works[row] = np.where(column >= 0, one.own, 0.0) @ forces[column]
    return works


def released(problem: Problem) -> Array:
    """What stands along each yielding member puts on it (k, cases)."""
    cases = problem.deformed.shape[1] - len(problem.yielding)
    return np.array([one.released for one in problem.yielding]).reshape(len(problem.yielding), cases)


def gives_of(problem: Problem, growth: Array, tendons: Sequence[float] = ()) -> Gives:
    """What gives way, where a shortening by one of each puts `growth` (k, k) on all.

    After the members stand `tendons`, by what each lengthens under a force of one; they do not push.
    """
    bounds = [(one.low, one.high, _stiffness(problem, one) ** 0.5) for one in problem.yielding]
    low, high, root = np.array([*bounds, *((0.0, np.inf, give**-0.5) for give in tendons)]).T
    even = (growth + growth.T) / (2 * np.outer(root, root))
    return Gives(growth=even, low=low * root, high=high * root, root=root)


def shortened_by(gives: Gives, works: Array, factors: Array, sizes: Array) -> Array | None:
    """How far each has shortened (k,) under columns of forces (k, c) with factors (c,); None without a set.

    `sizes` (c,) are the largest numbers that the forces of each column are made of.
    """
    on, root = works / gives.root[:, None], gives.root
    size = NEAR * (np.abs(on) @ np.abs(factors) * root).max() + ROUNDING * sizes @ np.abs(factors)
    play = np.maximum(*(np.where(np.isfinite(bound), np.abs(bound), 0.0) for bound in (gives.low, gives.high)))
    nothing = size / root + ROUNDING * (np.abs(gives.growth) @ play)
    shortened = shortenings(Box(gives.growth, on @ factors, gives.low, gives.high, nothing))
    return None if shortened is None else shortened / root


def _stiffness(problem: Problem, one: Yielding) -> float:
    """The force that a shortening by one of a segment between fixed ends does away with."""
    acting = problem.column[one.segment] >= 0
    weight = problem.weight[np.ix_(problem.column[one.segment][acting], problem.column[one.segment][acting])]
    return float(np.sum((weight @ one.own[acting]) ** 2))


def shortenings(box: Box) -> Array | None:
    """The shortenings (k,) at which every sign holds, or None."""
    at = np.where(np.isinf(box.low) | ((box.start < 0) & np.isfinite(box.high)), box.high, box.low)
    between = np.zeros(len(at), dtype=bool)
    for _ in range(STEPS * (len(at) + 1)):
        force = box.start + box.growth @ at
        broken = np.where(between, 0.0, np.where(at <= box.low, -force, force))
        worst = int(np.argmax(broken - box.nothing))
        if np.all(broken <= box.nothing):
            return at if np.all(np.abs(force[between]) <= box.nothing[between]) else None
        between[worst] = True
        if not _moved(box, at, between):
            return None
    return None


def _moved(box: Box, at: Array, between: Flags) -> bool:
    """Move those between their bounds to where the energy is least; false where nothing ever stops them."""
    while between.any():
        growth = box.growth[np.ix_(between, between)]
        force = (box.start + box.growth @ at)[between]
        values, ways = np.linalg.eigh(growth)
        stiff = values > SOFT
        step = -ways[:, stiff] @ ((ways[:, stiff].T @ force) / values[stiff])
        unresisted = ways[:, ~stiff] @ (ways[:, ~stiff].T @ force)
        whole = 1.0
        if np.any(np.abs(unresisted) > box.nothing[between]):
            step, whole = -unresisted, np.inf
        ahead = np.where(step > 0, box.high[between] - at[between], box.low[between] - at[between])
        room = np.full(len(step), np.inf)
        room[step != 0] = ahead[step != 0] / step[step != 0]
        far = min(whole, float(room.min()))
        if far == np.inf:
            return False
        at[between] += far * step
        if far == 1.0 == whole:
            return True
        places = np.flatnonzero(between)[room <= far]
        forward = step[room <= far] > 0
        at[places] = np.where(forward, box.high[places], box.low[places])
        between[places] = False
    return True
