"""What points cover: reduced column by column, which is many times faster than down the rows of a narrow array."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


def lowest(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The least of each column of points (n, k), (k,)."""
    return np.array([column.min() for column in points.T])


def highest(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The greatest of each column of points (n, k), (k,)."""
    return np.array([column.max() for column in points.T])


def extent(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """How far the points (n, k) spread in each column, (k,)."""
    return highest(points) - lowest(points)
