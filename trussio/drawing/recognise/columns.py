"""Columns and walls under the heels: lines that hang down there are no members, but show where a truss stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.recognise.frame import frame_of
from trussio.drawing.recognise.roles import recognised
from trussio.model.change import Change

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Flags
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.frame import Frame
    from trussio.drawing.recognise.roles import Recognised

BESIDE_INCHES: Final = 18.0
"""A line hangs under a heel when it meets the truss no further from it than this, sideways."""
LEAN: Final = 0.18
"""Sideways over downwards of a column, at most."""


def without_columns(truss: Recognised, reach: Reach) -> tuple[Recognised, list[Change]]:
    """The truss without the lines that hang down at its heels, each told as the symbol of a support."""
    frame = truss.frame
    if not frame.free.size:
        return truss, []
    heels = np.array((truss.heel[0], truss.at(truss.outline.right)[0]))
    hanging = np.flatnonzero(_hanging(frame, heels, BESIDE_INCHES * reach.inch))
    if not hanging.size:
        return truss, []
    after = recognised(
        frame_of(frame.sticks.take(np.setdiff1d(np.arange(len(frame.sticks)), hanging)).without_lonely())
    )
    if after is None:
        return truss, []
    return after, [_told(frame, row) for row in hanging.tolist()]


def _hanging(frame: Frame, heels: np.ndarray[tuple[int], np.dtype[np.float64]], beside: float) -> Flags:
    """Sticks outside the core that hang down from it near a heel."""
    sticks = frame.sticks
    inner = np.zeros(len(frame.places), dtype=bool)
    inner[frame.one[frame.core]] = inner[frame.other[frame.core]] = True
    held = np.zeros(len(sticks), dtype=bool)
    held[frame.stick[frame.core]] = True
    first, last = sticks.node[sticks.start[:-1]], sticks.node[sticks.start[1:] - 1]
    top = np.where(inner[first], first, last)
    foot = np.where(inner[first], last, first)
    down = frame.places[top, 1] - frame.places[foot, 1]
    sideways = np.abs(frame.places[top, 0] - frame.places[foot, 0])
    at_heel = np.abs(frame.places[top, 0][:, None] - heels).min(axis=1) <= beside
    hangs: Flags = ~held & (inner[first] ^ inner[last]) & (down > 0) & (sideways <= LEAN * down)
    hangs &= at_heel & (sticks.sweep == 0)
    return hangs


def _told(frame: Frame, row: int) -> Change:
    spots = frame.places[frame.sticks.through(row)]
    x, y = spots[int(np.argmax(spots[:, 1]))].tolist()
    return Change(
        kind="set-aside",
        says="1 line under a heel set aside: support symbol.",
        where=(x, y),
        handles=frame.sticks.handles[row],
    )
