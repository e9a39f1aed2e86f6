"""What is locked in at rest, in columns: one for each load case, the last for what no case brings."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.recheck.levers import Lever
    from trussio.recheck.moments import Key

    Array = NDArray[np.float64]
    Columns = dict[Key, Array]


class Locked(NamedTuple):
    """What is locked in, by part: deformations D, how far the ground has moved, forces of legs, of later stretch.

    `levers` are what stations have handed on.
    """

    deformed: Columns
    ground: Columns
    legs: dict[str, Array]
    stretched: dict[str, Array]
    levers: tuple[Lever, ...]


def left_behind(locked: Locked, gone: Array) -> Locked:
    """What cases that went off have left goes to the last column; `gone` (columns,) is 1 for each of them."""

    def left(values: Array) -> Array:
        kept = values * (1.0 - gone)
        kept[..., -1] += values @ gone
        return kept

    deformed, ground, legs, stretched, levers = locked
    return Locked(
        {key: left(values) for key, values in deformed.items()},
        {key: left(values) for key, values in ground.items()},
        {name: left(values) for name, values in legs.items()},
        {name: left(values) for name, values in stretched.items()},
        tuple(
            lever._replace(pushes={joint: left(push) for joint, push in lever.pushes.items()}) for lever in levers
        ),
    )


def widened(values: Array, columns: int) -> Array:
    """Values (n, c) with columns of zeros behind them."""
    return np.pad(values, ((0, 0), (0, columns - values.shape[1])))
