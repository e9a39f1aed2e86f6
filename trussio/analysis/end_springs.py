"""Connections that give: along the stick, and against turning.

A spring at the end of a stick adds to the stick's own flexibility what it gives under unit basic forces, and to
its misfit what it gives under the released state of its loads.
Shapes: s segments of a kind, c load cases.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.analysis.arrays import Floats
    from trussio.analysis.lines import Lines
    from trussio.analysis.pieces import Pieces
    from trussio.analysis.spans import Released
    from trussio.model.truss import End, Truss


def ends_of(truss: Truss) -> Iterator[tuple[int, int, End]]:
    """The outer ends of all sticks: number of the segment, 0 or 1, and which end it is of the stick."""
    for number, segment in enumerate(truss.segments):
        if segment.index == 0:
            yield number, 0, "first"
        if segment.index == len(truss.members[segment.member].through) - 2:
            yield number, 1, "last"


def along(shape: Lines, spans: list[tuple[Pieces, Released]], segment: int, end: int) -> tuple[Floats, Floats]:
    """The axial force at an end of a segment: under unit basic forces (3,), and in the released states (c,)."""
    cut, state = next(span for span in spans if segment in span[0].segments)
    place = int(np.flatnonzero(cut.segments == segment)[0])
    after = cut.first[place + 1] if place + 1 < len(cut.first) else len(cut.of)
    at = (cut.first[place], 0) if end == 0 else (after - 1, -1)
    cos, sin, chord = cut.cos[at], cut.sin[at], shape.chord[segment]
    own = np.array([cos, sin / chord, -sin / chord])
    return own, state.along[:, at[0], at[1]] * cos - state.across[:, at[0], at[1]] * sin


def soften(
    truss: Truss, shape: Lines, spans: list[tuple[Pieces, Released]], flexibility: Floats, gaps: Floats
) -> None:
    """Add what connections give to the flexibility (m, 3, 3) and the misfits (m, 3, c) of segments."""
    for segment, end, which in ends_of(truss):
        member = truss.members[truss.segments[segment].member]
        slip, turning = (member.slip or {}).get(which), (member.turning or {}).get(which)
        if slip is not None:
            own, released = along(shape, spans, segment, end)
            flexibility[segment] += np.outer(own, own) / slip
            gaps[segment] += np.outer(own, released) / slip
        if turning is not None:
            flexibility[segment, 1 + end, 1 + end] += 1.0 / turning
