"""Least energy between bounds: which members act, and how far the others have given way.

Each unknown is a shortening p of a member that costs no force, between its bounds; the force that works on it is
n = n0 + A p, where A comes from the elastic truss, is symmetric and has no negative eigenvalue. Equilibrium and
signs hold together where n is not negative at a lower bound, not positive at an upper one, and zero in between,
which is where p n0 + p A p / 2 is least. A set of unknowns between their bounds is bettered by one unknown at a
time, so that what is kept is always a truss that stands, and the energy falls at every step: the search ends.
Shapes: k unknowns.

Source: G. Zoutendijk and others on active sets for quadratic programs; R. Fletcher, Practical methods of
optimization, 2nd ed. 1987, ch. 10 (both cited from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats

NO_CURVATURE = 1e-9
"""A force that grows with a shortening by less than this part of the member's own stiffness does not grow."""
STEPS = 50


class NoBalanceError(Exception):
    """No set holds: the unknowns that would go on without end, as a direction (k,), zero when steps ran out."""

    def __init__(self, direction: Floats) -> None:
        self.direction = direction
        super().__init__("no set of members balances the loads")


def least(growth: Floats, start: Floats, low: Floats, high: Floats, *, own: Floats, nothing: float) -> Floats:
    """The shortenings (k,) between `low` and `high` at which forces and signs both hold.

    `growth` (k, k) is A, `start` (k,) is n0, `own` (k,) the stiffness of each member alone; forces below `nothing`
    count as none. Each unknown has a finite bound. Raises NoBalanceError where there is none.
    """
    at = np.where(np.isinf(low) | ((start < 0.0) & np.isfinite(high)), high, low)
    free: list[int] = []
    for _ in range(STEPS * (len(start) + 1)):
        force = start + growth @ at
        wrong = np.where(at == low, -force, force)
        wrong[free] = 0.0
        worst = int(np.argmax(wrong))
        if wrong[worst] <= nothing:
            return at
        at, free = _moved(growth, start, low, high, own=own, at=at, free=free, mover=worst)
    raise NoBalanceError(np.zeros_like(start))


def _moved(
    growth: Floats,
    start: Floats,
    low: Floats,
    high: Floats,
    *,
    own: Floats,
    at: Floats,
    free: list[int],
    mover: int,
) -> tuple[Floats, list[int]]:
    """The unknowns after one has left its bound for where its force is none, or for its other bound.

    Those that meet a bound on the way stay there.
    """
    at, free = at.copy(), [*free]
    while True:
        force = float(start[mover] + growth[mover] @ at)
        way = np.zeros_like(at)
        way[mover] = -1.0 if force > 0.0 else 1.0
        if free:
            way[free] = -np.linalg.solve(growth[np.ix_(free, free)], growth[free, mover]) * way[mover]
        curvature = float(growth[mover] @ way) * way[mover]
        whole = abs(force) / curvature if curvature > NO_CURVATURE * own[mover] else np.inf
        ahead = np.where(way > 0.0, high - at, low - at)
        moving = way != 0.0
        room = np.full_like(at, np.inf)
        room[moving] = ahead[moving] / way[moving]
        stopper = int(np.argmin(room))
        if not np.isfinite(min(whole, room[stopper])):
            raise NoBalanceError(way)
        if whole < room[stopper]:
            return at + whole * way, [*free, mover]
        at += room[stopper] * way
        at[stopper] = high[stopper] if way[stopper] > 0.0 else low[stopper]
        if stopper == mover:
            return at, free
        free.remove(stopper)
