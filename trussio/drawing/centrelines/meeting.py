"""Axes of edges brought to meet: an end drawn up to another member's edge goes on to that member's axis.

The travel expected is half the other member's depth over the sine of the angle between the two; chords that are
cut off at each other meet where their axes cross.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations, tangents
from trussio.drawing.heal.near_joins import extended

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.axes import Axes, Floats
    from trussio.drawing.heal.reach import Reach

LEAST_SINE: Final = 0.2
SPARE_INCHES: Final = 3.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Goal:
    """Where one end of an axis goes, the axis that it meets there, and the sine of the angle between the two."""

    axis: int
    side: int
    spot: Floats
    host: int
    sine: float = 1.0


def met_axes(axes: Axes, slack: Floats, doubt: Floats, reach: Reach) -> Axes:
    """The axes with their ends on the axes that they meet.

    `slack` (n, 2) is how uncertain each end is along its axis, `doubt` (n,) how far the ends of a tapered member
    may lie beside their true place: they come to where certain axes meet.
    """
    found = [
        _goal(axes, axis, side, slack=float(slack[axis, side]), doubt=doubt, reach=reach)
        for axis in range(len(axes))
        for side in (0, 1)
    ]
    goals = [goal for goal in found if goal is not None]
    sure = [goal for goal in goals if doubt[goal.axis] <= reach.report / 4]
    first, last = axes.first.copy(), axes.last.copy()
    for goal in goals:
        limit = float(doubt[goal.axis])
        spot = goal.spot if limit <= reach.report / 4 else _certain(goal, sure, limit / goal.sine + reach.report)
        (last if goal.side else first)[goal.axis] = spot
    sweep = axes.sweep.copy()
    for axis in np.flatnonzero(sweep).tolist():
        one, other = first[axis] - axes.centre[axis], last[axis] - axes.centre[axis]
        turn = np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)
        sweep[axis] = np.sign(sweep[axis]) * np.mod(turn * np.sign(sweep[axis]), 2 * np.pi)
    return replace(axes, first=first, last=last, sweep=sweep)


def _certain(goal: Goal, sure: Sequence[Goal], limit: float) -> Floats:
    """The nearest place to which a certain member comes, or the goal itself."""
    near = [(float(np.hypot(*(other.spot - goal.spot))), number) for number, other in enumerate(sure)]
    distance, number = min(near, default=(np.inf, -1))
    return sure[number].spot if distance <= limit else goal.spot


def _goal(axes: Axes, axis: int, side: int, *, slack: float, doubt: Floats, reach: Reach) -> Goal | None:
    """Onto the axis that an end was drawn up to, None where it meets none."""
    here = (axes.last if side else axes.first)[axis]
    ahead = headings(axes, np.array([axis]), np.array([side == 1]))[0]
    hosts = np.flatnonzero(np.arange(len(axes)) != axis)
    apart = np.minimum(np.hypot(*(axes.first[hosts] - here).T), np.hypot(*(axes.last[hosts] - here).T))
    if apart.size and apart.min() <= reach.report:
        # Two chord pieces that end at one place meet there already.
        return Goal(axis=axis, side=side, spot=here, host=int(hosts[np.argmin(apart)]))
    goal, travel = extended(
        axes, hosts, np.repeat(here[None], hosts.size, axis=0), np.repeat(ahead[None], hosts.size, axis=0)
    )
    at, _ = stations(axes, hosts, goal)
    along = tangents(axes, hosts, at)
    sine = np.maximum(np.abs(ahead[0] * along[:, 1] - ahead[1] * along[:, 0]), LEAST_SINE)
    half = np.nan_to_num(axes.depth[hosts], nan=0.0) / 2 / sine
    own = np.nan_to_num(axes.depth[axis], nan=0.0) / 2
    spare = SPARE_INCHES * reach.inch + slack
    beside = half + own / sine + spare
    inside = (at >= -beside) & (at <= axes.lengths[hosts] + beside)
    fits = (
        np.isfinite(travel)
        & inside
        & (travel >= -half - own / sine - spare)
        & (travel <= half + own / sine + spare)
    )
    if axes.sweep[axis]:
        fits &= sine > LEAST_SINE
    found = np.flatnonzero(fits)
    if not found.size:
        return None
    through = (at[found] > 2 * spare) & (at[found] < axes.lengths[hosts[found]] - 2 * spare)
    met = np.abs(travel[found]) <= reach.report
    rank = np.where(through, 0.0, 1e3 * reach.inch) + np.abs(travel[found] - half[found])
    rank = np.where(met, np.abs(travel[found]) - 1e3 * reach.inch, rank)
    rank += np.where(doubt[hosts[found]] > reach.report / 4, 3e3 * reach.inch, 0.0)
    best = int(found[np.argmin(rank)])
    if axes.sweep[axis]:
        return Goal(
            axis=axis, side=side, spot=_along_circle(axes, axis, side, int(hosts[best])), host=int(hosts[best])
        )
    return Goal(axis=axis, side=side, spot=goal[best], host=int(hosts[best]), sine=float(sine[best]))


def _along_circle(axes: Axes, axis: int, side: int, host: int) -> Floats:
    """Where an arc, run on along its own circle, meets another axis."""
    centre, radius = axes.centre[axis], float(axes.radius[axis])
    spot: Floats = (axes.last if side else axes.first)[axis]
    for _ in range(6):
        spoke = (spot - centre) / np.hypot(*(spot - centre))
        ahead = np.array((-spoke[1], spoke[0]))
        goal, travel = extended(axes, np.array([host]), (centre + spoke * radius)[None], ahead[None])
        if not np.isfinite(travel[0]):
            break
        spot = goal[0]
    found: Floats = centre + (spot - centre) / np.hypot(*(spot - centre)) * radius
    return found
