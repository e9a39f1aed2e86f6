"""What a block covers, so that a mark of it knows its extent without a look at its lines."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.blocks import key_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from trussio.drawing.content import Content, Reference


class Boxes:
    """The corners (8, 3) of what each block draws, in its own coordinates; (0, 3) where it draws nothing."""

    def __init__(self, contents: Mapping[str, Content]) -> None:
        self._contents = contents
        self._known: dict[str, NDArray[np.float64]] = {}

    def of(self, key: str) -> NDArray[np.float64]:
        """The corners of one block."""
        if key not in self._known:
            self._known[key] = self._corners(self._contents[key])
        return self._known[key]

    def _corners(self, content: Content) -> NDArray[np.float64]:
        parts = [np.array(content.ends, dtype=np.float64).reshape(-1, 3)]
        parts += [curve.points for curve in content.smooth]
        parts += [sign.points + reach for sign in content.spots for reach in (sign.vectors.sum(axis=0), 0.0)]
        for reference in content.references:
            inner = carried(self.of(key_of(reference.block)), reference)
            rows, columns = (count - 1 for count in reference.repeats)
            far = np.array([(0, 0), (rows, 0), (0, columns), (rows, columns)]) @ reference.steps
            parts += [inner + step for step in far]
        points = np.vstack(parts)
        if not len(points):
            return points
        low, high = points.min(axis=0), points.max(axis=0)
        return np.array([[(low, high)[bit][axis] for axis, bit in enumerate(bits)] for bits in _CORNERS])


_CORNERS: Final = tuple(product((0, 1), repeat=3))


def carried(corners: NDArray[np.float64], reference: Reference) -> NDArray[np.float64]:
    """Points of a block where the first copy of a reference has them."""
    moved: NDArray[np.float64] = corners @ reference.matrix[:3, :3] + reference.matrix[3, :3]
    return moved


def steps_of(reference: Reference) -> NDArray[np.float64]:
    """How far each copy of an array stands from the first."""
    steps: NDArray[np.float64] = np.indices(reference.repeats).reshape(2, -1).T @ reference.steps
    return steps
