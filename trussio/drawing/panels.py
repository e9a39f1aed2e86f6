"""The strip under a truss that gives the distances between its panel points, and over all."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from typing import TYPE_CHECKING, NamedTuple

from trussio.drawing.lengths import length_text
from trussio.drawing.paper import Label, PenStroke, path, text_width

if TYPE_CHECKING:
    from trussio.drawing.sheet_content import PanelStrip

HEIGHT = 0.9
"""Letter height of a length, in modules."""


class Strip(NamedTuple):
    """A strip as drawn."""

    strokes: list[PenStroke]
    labels: list[Label]


def panel_strip(strip: PanelStrip, *, y: float, module: float) -> Strip:
    """A line of stations with a tick at each and lengths under it; the length over all under that.

    Lengths stand upright where one of them is wider than its panel.
    """
    lengths = [after - before for before, after in pairwise(strip.stations)]
    texts = [length_text(strip.units, length) for length in lengths]
    fits = all(
        text_width(text) * HEIGHT * module < length * 0.95 for text, length in zip(texts, lengths, strict=True)
    )
    longest = max((text_width(text) for text in texts), default=0.0) * HEIGHT
    drop = 1.0 if fits else longest / 2 + 0.6
    strokes, labels = _line(strip.stations, y, module), []
    for before, after in pairwise(strip.stations):
        text = length_text(strip.units, after - before)
        if fits or after - before > 1.2 * HEIGHT * module:
            labels.append(_length(text, (before + after) / 2, y - drop * module, upright=not fits))
    if len(strip.stations) > 2:
        outer = (strip.stations[0], strip.stations[-1])
        below = y - (2 * drop + 0.6) * module
        strokes += _line(outer, below, module)
        whole = length_text(strip.units, outer[1] - outer[0])
        labels.append(_length(whole, sum(outer) / 2, below - module, upright=False))
    return Strip(strokes, labels)


def _line(stations: tuple[float, ...], y: float, module: float) -> list[PenStroke]:
    level = PenStroke(
        vertices=path(((stations[0], y), (stations[-1], y))), holds="dimension", pen="faint", width=0.06
    )
    ticks = [
        PenStroke(
            vertices=path(((x, y - 0.45 * module), (x, y + 0.45 * module))),
            holds="dimension",
            pen="faint",
            width=0.1,
        )
        for x in stations
    ]
    return [level, *ticks]


def _length(text: str, x: float, y: float, *, upright: bool) -> Label:
    return Label(text=text, x=x, y=y, holds="dimension", height=HEIGHT, angle=pi / 2 if upright else 0.0)
