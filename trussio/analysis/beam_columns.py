"""Segments that axial force bends further, the more they are bent: the beam-column.

Between its joints a segment deflects by v from its chord, and an axial force N adds N v to its moment. With the
deflection that moments M cause, v = -A M, the true moment follows from that of first order by (1 + N A) M = M0:
exact, by as many points as the sums take. Where N is compression and 1 / -N an eigenvalue of A, the segment
buckles between its joints.
Terms: *unit moments* are those of the basic forces in `spans`: y of the axis, and one at either end.
Shapes: k points of a segment, c load cases.

Sources, cited from memory: S. P. Timoshenko and J. M. Gere, Theory of elastic stability, 2nd ed. 1961, chapters 1
and 2; F. Engesser, 1891, for deflection by shear.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.many_spans import cuts_of
from trussio.analysis.pieces import pieces
from trussio.analysis.spans import loads_on, released, softness
from trussio.analysis.wear import deviated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.lines import Lines
    from trussio.analysis.loading import Applied
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.properties import Gives
    from trussio.analysis.wear import Wear


class BeamColumn(NamedTuple):
    """A segment by its operator A, `softens` (k, k), and what buckles it, the eigenvalues `lags` (k,) of A.

    `states` (k, 3 + c) are the unit moments, then those of the released cases; `turns` (3, k) what moments do to
    the basic deformations.
    """

    cut: Pieces
    softens: Floats
    lags: Floats
    states: Floats
    turns: Floats


class Spans(NamedTuple):
    """What segments are: their lines, the loads on them of so many `cases`, what lengths give, what is worn."""

    shape: Lines
    made: Applied
    give: Gives
    wear: Wear
    cases: int


def beam_columns(of: Spans) -> list[BeamColumn | None]:
    """The beam-column of every segment, None where it does not bend."""
    cuts = cuts_of(of.made, of.wear)
    bends = of.give.bending != 0.0
    return [_beam_column(of, segment, cuts) if bends[segment] else None for segment in range(len(bends))]


def _beam_column(of: Spans, segment: int, cuts: dict[int, list[float]]) -> BeamColumn:
    cut = pieces(of.shape, np.array([segment]), cuts, bowed=True)
    cut, soft = deviated(of.wear, of.shape, cut, softness(cut, of.give))
    state = released(of.shape, cut, *loads_on(of.shape, cut, of.made, of.cases))
    weights = (cut.length[:, None] * cut.rule.upto[-1]).ravel()
    bending, shear = (np.repeat(soft[which], cut.place.shape[1]) for which in (1, 2))
    chord, upto = of.shape.chord[segment], _upto(cut)
    part = cut.x.ravel() / chord
    unit = np.stack([cut.y.ravel(), 1.0 - part, part])
    last, first = part[:, None], (1.0 - part)[:, None]
    softens = chord * (first * upto * part + last * (weights - upto) * (1.0 - part)) * bending
    softens += shear[:, None] * (np.eye(len(part)) - first * _at(len(part), 0) - last * _at(len(part), -1))
    return BeamColumn(
        cut=cut,
        softens=softens,
        lags=np.real(np.linalg.eigvals(softens)),
        states=np.concatenate([unit, state.moment.reshape(of.cases, len(part))]).T,
        turns=unit * bending * weights,
    )


def _upto(cut: Pieces) -> Floats:
    """The sum along the axis up to each of all points, shape (k, k)."""
    count, points = cut.place.shape
    found = np.zeros((count, points, count, points))
    for piece in range(count):
        found[piece, :, piece] = cut.length[piece] * cut.rule.upto
        found[piece + 1 :, :, piece] = cut.length[piece] * cut.rule.upto[-1]
    return found.reshape(count * points, count * points)


def _at(count: int, place: int) -> Floats:
    """What picks one of so many values, as a row."""
    found = np.zeros((1, count))
    found[0, place] = 1.0
    return found


def softening(columns: Sequence[BeamColumn | None], axial: Floats, cases: int) -> Floats:
    """What axial forces (m,) add to flexibilities and misfits of segments, side by side: (m, 3, 3 + c)."""
    found = np.zeros((len(columns), 3, 3 + cases))
    alike: dict[int, list[tuple[int, BeamColumn]]] = {}
    for number, column in enumerate(columns):
        if column is not None:
            alike.setdefault(len(column.lags), []).append((number, column))
    for count, group in alike.items():
        numbers = [number for number, _ in group]
        softens, states, turns = (
            np.stack([getattr(column, part) for _, column in group]) for part in ("softens", "states", "turns")
        )
        true = np.linalg.solve(np.eye(count) + axial[numbers, None, None] * softens, states)
        found[numbers] = turns @ (true - states)
    return found


def moments(column: BeamColumn, force: float, amounts: Floats) -> Floats:
    """The true moments (p, q) at the points of a segment from `amounts` (3 + c,) of unit moments and cases."""
    return _true(column, force, column.states @ amounts).reshape(column.cut.place.shape)


def _true(column: BeamColumn, force: float, first: Floats) -> Floats:
    """Moments of second order from those of first order (k, ...)."""
    return np.asarray(np.linalg.solve(np.eye(len(first)) + force * column.softens, first), dtype=np.float64)


def deflections(column: BeamColumn, moment: Floats) -> Floats:
    """How far a segment deflects from its chord under moments (p, q), in the same shape."""
    return -(column.softens @ moment.ravel()).reshape(moment.shape)


def buckled(column: BeamColumn, force: float) -> int:
    """In how many ways the segment buckles under less than this force, if it is pinned and free to shorten."""
    return 0 if force >= 0.0 else int(np.count_nonzero(column.lags * -force > 1.0))
