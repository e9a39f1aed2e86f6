"""Finds strokes so far from all others that they are slips of the pen, and coordinates too far out to trust."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.model.change import Question

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from trussio.drawing.records import Strokes

FAR: Final = 1e9
"""Drawing units; beyond it printed digits no longer resolve a tape's mark."""
STRETCH: Final = 1e4
"""A drawing more than this many times its median line long has something in it that does not belong."""
APART: Final = 20.0
"""And what does not belong lies this many times farther out than nine tenths of the rest."""
MOST_TOLD: Final = 20


def outlying(strokes: Strokes) -> NDArray[np.bool_]:
    """Which strokes lie, or reach, far away from the others, (n,)."""
    if len(strokes) < 4:
        return np.zeros(len(strokes), dtype=bool)
    middles = (strokes.first + strokes.last) / 2
    centre = np.median(middles, axis=0)
    away = np.abs(np.concatenate((strokes.first, strokes.last), axis=1) - np.tile(centre, 2))
    reach = np.maximum(np.maximum(away[:, 0], away[:, 1]), np.maximum(away[:, 2], away[:, 3]))
    limit = max(
        STRETCH * float(np.median(strokes.lengths)), APART * float(np.quantile(reach, 0.9, method="lower"))
    )
    far: NDArray[np.bool_] = reach > limit
    return far


def outliers_question(strokes: Strokes, far: NDArray[np.bool_]) -> tuple[Question, ...]:
    """Ask about outlying strokes, by handle."""
    rows = np.flatnonzero(far).tolist()
    if not rows:
        return ()
    handles = tuple(dict.fromkeys(strokes.handles[row] for row in rows))
    first = strokes.row(rows[0])
    return (
        Question(
            code="far-away-lines",
            asks=f"Lines lie or reach far beyond all others: {_listed(handles)}. Do they belong to the truss?",
            taken="left out",
            settle="Delete or mend them in the drawing, or answer left out in the answers file.",
            where=first.first,
            handles=handles[:MOST_TOLD],
        ),
    )


def far_out_question(largest: float) -> tuple[Question, ...]:
    """Ask about a drawing that lies more than 1e9 units from its origin."""
    if largest <= FAR:
        return ()
    return (
        Question(
            code="far-out-drawing",
            asks=f"The drawing lies {largest:.3g} drawing units from its origin, where its digits are few. "
            "Is that meant?",
            taken="read as it stands",
            settle="Move the truss near the origin, or answer read as it stands in the answers file.",
        ),
    )


def _listed(handles: Sequence[str]) -> str:
    shown = ", ".join(handles[:MOST_TOLD])
    return shown if len(handles) <= MOST_TOLD else f"{shown} and {len(handles) - MOST_TOLD} more"
