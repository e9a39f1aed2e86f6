"""Whether a truss as recognised is one by its axes, where lines run beside each other elsewhere on its sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.centrelines.steps import has_partner
from trussio.drawing.heal.axes import together

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Axes, Ints
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.roles import Recognised


def is_by_axes(truss: Recognised, drawn: Axes, reach: Reach) -> bool:
    """Whether one chord of a truss, or the most of its webs, has no second edge among the lines `drawn`."""
    axes = truss.frame.axes
    parts = {
        role: np.array(
            [row for part in truss.members.values() if part.role == role for row in part.sticks], dtype=np.intp
        )
        for role in ("bottom-chord", "top-chord", "web")
    }
    return any(_lonely(axes, rows, drawn, reach) for rows in parts.values() if rows.size)


def _lonely(axes: Axes, rows: Ints, drawn: Axes, reach: Reach) -> bool:
    """Whether most of the length of some axes has no line beside it."""
    lengths = axes.lengths[rows]
    alone = [
        float(length)
        for row, length in zip(rows.tolist(), lengths.tolist(), strict=True)
        if not has_partner(together((axes.take(np.array([row])), drawn)), 0, reach)
    ]
    return sum(alone) > 0.5 * float(lengths.sum())
