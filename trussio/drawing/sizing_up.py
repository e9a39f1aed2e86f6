"""Measures what tells the size of a drawing: the linework within its border, and its letters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.extents import highest, lowest
from trussio.drawing.metric_sizes import stated_sizes
from trussio.drawing.plausibility import Evidence

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.records import Linework, Strokes

SIDE: Final = 0.95
"""A border line runs along this part of a side at least, and lies within the rest of it from the edge."""
MOST_BORDERS: Final = 3
MOST_TEXTS: Final = 200


def size_up(linework: Linework) -> Evidence:
    """The span of the linework inside its border, and the height of its letters, in drawing units."""
    heights = [text.height for text in linework.texts if text.height > 0]
    return Evidence(
        span=span_within_border(linework.strokes),
        letters=float(np.median(heights)) if heights else None,
        metric=_metric(linework),
    )


def _metric(linework: Linework) -> bool | None:
    """Whether most size labels are in millimetres; without labels what the header says, None for nothing."""
    units = [size.unit for text in linework.texts[:MOST_TEXTS] for size in stated_sizes(text.says, metric=False)]
    if units:
        return 2 * units.count("mm") > len(units)
    measurement = linework.header.measurement
    return None if measurement is None else measurement == 1


def span_within_border(strokes: Strokes) -> float | None:
    """The longer side of all strokes, rectangles around the whole left out; None where there is no stroke."""
    low, high = np.minimum(strokes.first, strokes.last), np.maximum(strokes.first, strokes.last)
    for _ in range(MOST_BORDERS):
        if not len(low):
            return None
        inside = ~_border(low, high)
        if inside.all() or not inside.any():
            break
        low, high = low[inside], high[inside]
    sides = highest(high) - lowest(low)
    return float(sides.max()) or None


def _border(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.bool_]:
    """The strokes along the four sides of the whole, if there is one on each of them."""
    left, bottom = lowest(low)
    right, top = highest(high)
    sides = np.array([right - left, top - bottom])
    slack = (1 - SIDE) * sides
    runs = (high - low) >= SIDE * sides
    flat = (high - low) <= slack / 10
    across, upright = runs[:, 0] & flat[:, 1], runs[:, 1] & flat[:, 0]
    edges = (
        across & (low[:, 1] <= bottom + slack[1]),
        across & (high[:, 1] >= top - slack[1]),
        upright & (low[:, 0] <= left + slack[0]),
        upright & (high[:, 0] >= right - slack[0]),
    )
    if not all(edge.any() for edge in edges):
        return np.zeros(len(low), dtype=bool)
    border: NDArray[np.bool_] = np.logical_or.reduce(edges)
    return border
