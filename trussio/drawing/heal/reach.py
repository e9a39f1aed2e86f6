"""How far apart two things may be drawn and still be one: the four distances of healing.

`noise` is what arithmetic and printed digits leave; up to `silent` no tape can tell two places apart; up to
`report` ends are joined and every place is told; up to `ask` they are joined in the best reading and the
surveyor is asked; beyond it they stay apart. Starting values after the count of distances between line ends in
measured drawings: two heaps, bit-equal ends and true features, with an empty valley between.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.axes import Axes

SILENT_INCHES: Final = 1 / 64
REPORT_INCHES: Final = 1.0
ASK_INCHES: Final = 6.0
DEPTH_SHARE: Final = 1 / 4
MEMBER_SHARE: Final = 1 / 20
STRAIGHT: Final = 0.2 * np.pi / 180
"""Two pieces that turn by less are one line, in radians."""


@dataclass(frozen=True, kw_only=True)
class Reach:
    """The four distances, and the length of an inch, in base lengths."""

    noise: float
    silent: float
    report: float
    ask: float
    inch: float

    def told(self, distance: float) -> str:
        """A distance in words, to three figures."""
        return f"{distance:.3g} {'in' if self.inch == 1.0 else 'mm'}"


def reach_of(axes: Axes, *, inch: float, depths: Sequence[float] = (), span: float = 0.0) -> Reach:
    """The distances for one drawing.

    `depths` are the depths known of timbers (a rod is no measure), from labels or edges, in base lengths; `span`
    is the largest coordinate before any origin was taken off. What is shorter than the ask distance is no
    member, so that the shortest member is sought above it.
    """
    ask = min([ASK_INCHES * inch, *([max(depths)] if depths else [])])
    lengths = axes.lengths
    members = lengths[lengths > ASK_INCHES * inch]
    report = min(
        [
            REPORT_INCHES * inch,
            *([min(depths) * DEPTH_SHARE] if depths else []),
            *([float(members.min()) * MEMBER_SHARE] if members.size else []),
        ]
    )
    silent = SILENT_INCHES * inch
    return Reach(
        noise=min(1e-9 * max(span, inch), silent / 4),
        silent=silent,
        report=max(report, 4 * silent),
        ask=max(ask, report),
        inch=inch,
    )
