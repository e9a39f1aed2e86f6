"""Dimensions drawn as loose lines: a line under a length text, extension lines across it, ticks or arrow strokes.

A line is a dimension line when a text that states a length runs along it and at least two marks stand on it: short
strokes, or lines square to it that run a little past it and whose other end is free. Chords have neither.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.feet_inches import feet_inches
from trussio.drawing.heal.axes import stations
from trussio.drawing.heal.cells import distinct_numbers, points_near_axes
from trussio.drawing.sift.aside import Aside, angles

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.net import Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Text

ALONG: Final = 0.05
SQUARE: Final = 0.02
TICK_INCHES: Final = 10.0
SLANT: Final = (0.5, 1.1)
"""Angles between a tick and the lines that it crosses, in radians."""
APART: Final = 0.3
"""Marks of a dimension stand further apart than this share of its line."""
NEAR_HEIGHTS: Final = 2.5
"""How far the text stands from its line, and how far marks run past it, in text heights."""


def dimension_lines(net: Net, texts: Iterable[Text], reach: Reach) -> list[Aside]:
    """Every dimension found, its line, extension lines and strokes as one group."""
    if not len(net.axes):
        return []
    lengths = [text for text in texts if _states_length(text.says)]
    angle, free = angles(net.axes), _free_ends(net)
    size = net.axes.lengths
    found = _ticked_lines(net, angle, size, free, reach)
    taken = {row for group in found for row in group.rows}
    for text in lengths:
        for line in _lines_along(net, angle, text).tolist():
            if line in taken:
                continue
            strokes, crossing = _marks(net, angle, size, free, line=line, height=text.height, reach=reach)
            if _apart(net, line, np.concatenate((strokes, crossing))):
                rows = [row for row in (line, *strokes.tolist(), *crossing.tolist()) if row not in taken]
                found.append(Aside(reason="dimension line", rows=tuple(rows)))
                taken.update(rows)
    return found


def _apart(net: Net, line: int, marks: Ints) -> bool:
    """Whether two marks and more stand on a line, and not all of them at one place: an arrow's strokes do."""
    if marks.size < 2:
        return False
    middle = (net.axes.first[marks] + net.axes.last[marks]) / 2
    at, _ = stations(net.axes, np.full(marks.size, line), middle)
    return bool(np.ptp(at) >= APART * float(net.axes.lengths[line]))


def _ticked_lines(net: Net, angle: Floats, size: Floats, free: Flags, reach: Reach) -> list[Aside]:
    """Lines with two slanting ticks and more whose middles lie on them, text or no text."""
    ticks = np.flatnonzero((size <= TICK_INCHES * reach.inch) & free.all(axis=1) & net.axes.straight)
    if ticks.size < 2:
        return []
    middle = (net.axes.first[ticks] + net.axes.last[ticks]) / 2
    point, line, _, _ = points_near_axes(middle, net.axes, 2 * reach.silent)
    slant = np.abs(np.mod(angle[line] - angle[ticks[point]] + np.pi / 2, np.pi) - np.pi / 2)
    good = (
        (slant > SLANT[0])
        & (slant < SLANT[1])
        & (size[line] > 3 * TICK_INCHES * reach.inch)
        & free[line].any(axis=1)
    )
    found = []
    for row in np.unique(line[good]).tolist():
        mine = np.unique(ticks[point[good & (line == row)]])
        height = float(size[mine].max())
        if mine.size >= 2:
            _, crossing = _marks(net, angle, size, free, line=row, height=height, reach=reach)
            if crossing.size >= 2:
                found.append(Aside(reason="dimension line", rows=(row, *mine.tolist(), *crossing.tolist())))
    # A tick stands on its extension line too; the line that has most ticks is the dimension line.
    return _once(sorted(found, key=lambda group: -len(group.rows)))


def _once(groups: list[Aside]) -> list[Aside]:
    """Groups with each row in the first that names it."""
    taken: set[int] = set()
    kept = []
    for group in groups:
        if group.rows[0] in taken:
            continue
        rows = tuple(row for row in group.rows if row not in taken)
        taken.update(rows)
        kept.append(Aside(reason=group.reason, rows=rows))
    return kept


def _states_length(says: str) -> bool:
    plain = says.strip()
    if feet_inches(plain) is not None:
        return True
    number = plain.replace(",", "").removesuffix("mm").removesuffix("m").strip()
    return number.replace(".", "", 1).isdigit()


def _free_ends(net: Net) -> Flags:
    """For each axis whether an end meets no end of another line, a second copy of itself left out, (n, 2)."""
    low, high = net.ends.min(axis=1), net.ends.max(axis=1)
    once = distinct_numbers(low * len(net.nodes) + high)
    degree = np.bincount(np.concatenate((once // len(net.nodes), once % len(net.nodes))), minlength=len(net.nodes))
    free: Flags = (degree == 1)[net.ends]
    return free


def _lines_along(net: Net, angle: Floats, text: Text) -> Ints:
    """Straight axes under or over a text, nearest first."""
    apart = np.abs((angle - text.angle + np.pi / 2) % np.pi - np.pi / 2)
    rows = np.flatnonzero((apart <= ALONG) & net.axes.straight)
    at, off = stations(net.axes, rows, np.repeat(np.array([text.centre]), rows.size, axis=0))
    near = (np.abs(off) <= NEAR_HEIGHTS * text.height) & (at >= 0) & (at <= net.axes.lengths[rows])
    rows, off = rows[near], off[near]
    found: Ints = rows[np.argsort(np.abs(off), kind="stable")]
    return found


def _marks(
    net: Net, angle: Floats, size: Floats, free: Flags, *, line: int, height: float, reach: Reach
) -> tuple[Ints, Ints]:
    """Short strokes on a line, and extension lines that end on it or a little past it."""
    every = np.arange(len(net.axes))
    host = np.full(len(net.axes), line)
    at_first, off_first = stations(net.axes, host, net.axes.first)
    at_last, off_last = stations(net.axes, host, net.axes.last)
    length, room = size[line], NEAR_HEIGHTS * height
    beside = (np.minimum(at_first, at_last) >= -room) & (np.maximum(at_first, at_last) <= length + room)
    other = every != line
    middle = np.abs(off_first + off_last) / 2
    strokes = other & beside & (size <= room) & (middle <= height / 2) & net.axes.straight
    square = np.abs(np.abs((angle - angle[line]) % np.pi) - np.pi / 2) <= SQUARE
    inner = np.where(np.abs(off_first) < np.abs(off_last), off_first, off_last)
    outer = np.where(np.abs(off_first) < np.abs(off_last), off_last, off_first)
    past = (np.sign(inner) == -np.sign(outer)) & (np.abs(inner) > reach.silent)
    near_is_first = np.abs(off_first) < np.abs(off_last)
    far_free = np.where(near_is_first, free[:, 1], free[:, 0])
    near_free = np.where(near_is_first, free[:, 0], free[:, 1])
    crossing = other & beside & square & (np.abs(inner) <= room) & (size > room) & far_free & near_free
    return np.flatnonzero(strokes), np.flatnonzero(crossing & past)
