"""Basic deformations with twice the usual digits.

Where joints move far and a segment hardly deforms (a stout member carried about by slender ones), its deformation
is a small difference of large numbers. Here a number may be a *pair*, a value and the small rest that rounding
took from it; rounding errors of sums and products are found and kept.

Sources, cited from memory: T. J. Dekker, A floating-point technique for extending the available precision, Numer.
Math. 18 (1971); D. E. Knuth, The art of computer programming, vol. 2, section 4.2.2.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.frame import Frame

    Pair = tuple[Floats, Floats]

SPLITTER = 2.0**27 + 1.0


def plus(one: Floats, other: Floats) -> Pair:
    """The sum of two numbers."""
    total = one + other
    part = total - one
    return total, (one - (total - part)) + (other - part)


def deformations(frame: Frame, movements: Pair) -> Floats:
    """The basic deformations (m, 3, c) that movements (n, c) cause."""
    first, last = frame.ends.T
    x, y = (_difference(frame.joints[last, axis, None], frame.joints[first, axis, None]) for axis in (0, 1))
    right, up = (
        _sum(_rows(movements, 2 * last + axis), _minus(_rows(movements, 2 * first + axis))) for axis in (0, 1)
    )
    padded = (_with_hinge(movements[0]), _with_hinge(movements[1]))
    if frame.arms is not None:
        x, y, right, up = _beside(frame.turns, frame.arms, padded, (x, y, right, up))
    square = _sum(_product(x, x), _product(y, y))
    longer = _sum(_product(x, right), _product(y, up))
    swing = _sum(_product(x, up), _minus(_product(y, right)))
    turns = [_product(_rows(padded, frame.turns[:, end]), square) for end in (0, 1)]
    parts = (longer, _sum(swing, _minus(turns[0])), _sum(turns[1], _minus(swing)))
    by_length, by_square = np.sqrt(square[0]), square[0]
    return np.stack(
        [
            (value + rest) / size
            for (value, rest), size in zip(parts, (by_length, by_square, by_square), strict=True)
        ],
        axis=1,
    )


def _beside(
    turns: Counts, arms: Floats, movements: Pair, apart: tuple[Pair, Pair, Pair, Pair]
) -> tuple[Pair, Pair, Pair, Pair]:
    """How far the ends of segments lie and move apart in x and y where arms (m, 2, 2) lead to them."""
    x, y, right, up = apart
    for end, sign in ((0, -1.0), (1, 1.0)):
        turn = _rows(movements, turns[:, end])
        along, above = ((sign * arms[:, end, axis, None], np.zeros((len(arms), 1))) for axis in (0, 1))
        x, y = _sum(x, along), _sum(y, above)
        right, up = _sum(right, _minus(_product(turn, above))), _sum(up, _product(turn, along))
    return x, y, right, up


def _sum(one: Pair, other: Pair) -> Pair:
    total, lost = plus(one[0], other[0])
    return plus(total, lost + one[1] + other[1])


def _difference(one: Floats, other: Floats) -> Pair:
    return plus(one, -other)


def _product(one: Pair, other: Pair) -> Pair:
    product = one[0] * other[0]
    high, low = _halves(one[0])
    other_high, other_low = _halves(other[0])
    lost = ((high * other_high - product) + high * other_low + low * other_high) + low * other_low
    return plus(product, lost + one[0] * other[1] + one[1] * other[0])


def _halves(value: Floats) -> Pair:
    """A value as the sum of two of half as many digits each."""
    spread = SPLITTER * value
    high = spread - (spread - value)
    return high, value - high


def _minus(pair: Pair) -> Pair:
    return -pair[0], -pair[1]


def _rows(pair: Pair, rows: Counts) -> Pair:
    return pair[0][rows], pair[1][rows]


def _with_hinge(values: Floats) -> Floats:
    """Movements with the row of zeros that a hinge turns with."""
    return np.concatenate([values, np.zeros((1, values.shape[1]))])
