"""The largest moment of each segment and where it is.

A moment is largest at an end of a piece or where the shear goes through zero. Between the points of a piece the
shear is read off their interpolation, which for linear loads on a straight segment is the shear itself.
Shapes: r runs, s segments, p pieces, q points on a piece.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.quadrature import between

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.analysis.pieces import Pieces

STEPS = 8
ALIKE = 1e-12
"""Of moments that differ by less than this part the one nearest to the first joint counts."""


def peaks(cut: Pieces, moment: Floats, shear: Floats) -> tuple[Floats, Floats]:
    """The signed moment of largest size and its distance from the first joint, both (r, s), from (r, p, q)."""
    runs, _, points = moment.shape
    values, places = np.repeat(moment, 2, axis=2), np.repeat(np.broadcast_to(cut.place, moment.shape), 2, axis=2)
    crossing = np.nonzero(shear[..., :-1] * shear[..., 1:] < 0.0)
    if len(crossing[0]):
        run, piece, gap = crossing
        at = _zeros(cut, shear[run, piece], cut.rule.at[gap], cut.rule.at[gap + 1])
        values[run, piece, 2 * gap + 1] = between(cut.rule, moment[run, piece], at)
        places[run, piece, 2 * gap + 1] = cut.start[piece] + at * cut.length[piece]
    values, places = values.reshape(runs, -1), places.reshape(runs, -1)
    first = 2 * points * cut.first
    most = np.maximum.reduceat(np.abs(values), first, axis=1)
    count = np.diff(np.append(first, values.shape[1]))
    reached = np.abs(values) >= np.repeat(most, count, axis=1) * (1.0 - ALIKE)
    order = np.where(reached, np.arange(values.shape[1]), values.shape[1])
    chosen = np.minimum.reduceat(order, first, axis=1)
    return np.take_along_axis(values, chosen, axis=1), np.take_along_axis(places, chosen, axis=1)


def _zeros(cut: Pieces, shear: Floats, low: Floats, high: Floats) -> Floats:
    """Where shears (k, q) go through zero between the points `low` and `high` of their pieces (k,)."""
    slope = shear @ cut.rule.slope.T
    at_low, at_high = between(cut.rule, shear, low), between(cut.rule, shear, high)
    at = low + (high - low) * at_low / (at_low - at_high)
    for _ in range(STEPS):
        value, steep = between(cut.rule, shear, at), between(cut.rule, slope, at)
        below = np.sign(value) == np.sign(at_low)
        low, high = np.where(below, at, low), np.where(below, high, at)
        newton = at - value / np.where(steep == 0.0, 1.0, steep)
        at = np.where((low <= newton) & (newton <= high), newton, (low + high) / 2)
    return at
