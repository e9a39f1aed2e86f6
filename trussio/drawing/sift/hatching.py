"""Exploded hatches: forests of parallel lines at one spacing, told by angle and spacing alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.sift.aside import Aside, angles

if TYPE_CHECKING:
    from trussio.drawing.heal.axes import Ints
    from trussio.drawing.heal.net import Net
    from trussio.drawing.heal.reach import Reach

LEAST_LINES: Final = 8
WIDEST_INCHES: Final = 12.0
SAME_ANGLE: Final = 0.002
SAME_SPACING: Final = 0.06
"""Share of the spacing by which lines of one hatch may differ."""


def hatches(net: Net, reach: Reach) -> list[Aside]:
    """Groups of eight and more parallel straight lines at an equal spacing of less than a foot."""
    axes = net.axes
    straight = np.flatnonzero(axes.straight)
    if straight.size < LEAST_LINES:
        return []
    angle = angles(axes)[straight]
    # Level lines fall on both ends of the range of angles; turning them aside keeps them together.
    angle = np.mod(angle + SAME_ANGLE, np.pi)
    order = np.argsort(angle, kind="stable")
    rows, angle = straight[order], angle[order]
    breaks = np.flatnonzero(np.diff(angle) > SAME_ANGLE) + 1
    found = []
    for group in np.split(rows, breaks):
        if group.size >= LEAST_LINES:
            found.extend(_forests(net, group, reach))
    return found


def _forests(net: Net, rows: Ints, reach: Reach) -> list[Aside]:
    axes = net.axes
    along = axes.last[rows[0]] - axes.first[rows[0]]
    normal = np.array((-along[1], along[0])) / np.hypot(*along)
    middle = (axes.first[rows] + axes.last[rows]) / 2
    off = middle @ normal
    order = np.argsort(off, kind="stable")
    rows, off, middle = rows[order], off[order], middle[order]
    gaps = np.diff(off)
    fits = (gaps > reach.silent) & (gaps <= WIDEST_INCHES * reach.inch)
    found, start = [], 0
    while start < fits.size:
        stop = start
        while stop < fits.size and fits[stop] and abs(gaps[stop] - gaps[start]) <= SAME_SPACING * gaps[start]:
            stop += 1
        if stop - start + 1 >= LEAST_LINES:
            found.append(Aside(reason="hatch", rows=tuple(rows[start : stop + 1].tolist())))
        start = max(stop, start + 1)
    return found
