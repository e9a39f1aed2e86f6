"""Axes of edges brought to meet: an end drawn up to another member's edge goes on to that member's axis.

The travel expected is half the other member's depth over the sine of the angle between the two; chords that are
cut off at each other meet where their axes cross.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations
from trussio.drawing.heal.near_joins import extended

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Axes, Floats, Ints
    from trussio.drawing.heal.reach import Reach

LEAST_SINE: Final = 0.2
SPARE_INCHES: Final = 3.0


def met_axes(axes: Axes, reach: Reach) -> Axes:
    """The axes with their ends on the axes that they meet.

    Webs go to the chords first; what runs through stays where it is.
    """
    first, last = axes.first.copy(), axes.last.copy()
    for side, ends in ((0, first), (1, last)):
        for axis in range(len(axes)):
            goal = _goal(axes, axis, side, reach)
            if goal is not None:
                ends[axis] = goal
    sweep = axes.sweep.copy()
    for axis in np.flatnonzero(sweep).tolist():
        one, other = first[axis] - axes.centre[axis], last[axis] - axes.centre[axis]
        turn = np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)
        sweep[axis] = np.sign(sweep[axis]) * np.mod(turn * np.sign(sweep[axis]), 2 * np.pi)
    return replace(axes, first=first, last=last, sweep=sweep)


def _goal(axes: Axes, axis: int, side: int, reach: Reach) -> Floats | None:
    """Where one end goes: onto the axis that it was drawn up to, None where it meets none."""
    here = (axes.last if side else axes.first)[axis]
    ahead = headings(axes, np.array([axis]), np.array([side == 1]))[0]
    hosts = np.flatnonzero(np.arange(len(axes)) != axis)
    goal, travel = extended(
        axes, hosts, np.repeat(here[None], hosts.size, axis=0), np.repeat(ahead[None], hosts.size, axis=0)
    )
    at, _ = stations(axes, hosts, goal)
    sine = np.maximum(np.abs(_sines(axes, hosts, at, ahead)), LEAST_SINE)
    half = np.nan_to_num(axes.depth[hosts], nan=0.0) / 2 / sine
    own = np.nan_to_num(axes.depth[axis], nan=0.0) / 2
    spare = SPARE_INCHES * reach.inch
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
    rank = np.where(through, 0.0, 1e3 * reach.inch) + np.abs(travel[found] - half[found])
    best = int(found[np.argmin(rank)])
    if axes.sweep[axis]:
        return _along_circle(axes, axis, side, int(hosts[best]))
    spot: Floats = goal[best]
    return spot


def _sines(axes: Axes, hosts: Ints, at: Floats, ahead: Floats) -> Floats:
    along = -headings(axes, hosts, np.zeros(hosts.size, dtype=bool))
    angle = np.where(axes.sweep[hosts] == 0, 0.0, at / axes.radius[hosts] * np.sign(axes.sweep[hosts]))
    cos, sin = np.cos(angle), np.sin(angle)
    x, y = along[:, 0] * cos - along[:, 1] * sin, along[:, 0] * sin + along[:, 1] * cos
    sines: Floats = ahead[0] * y - ahead[1] * x
    return sines


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
