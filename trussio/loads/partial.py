"""Where snow lies in full while half of it has gone elsewhere: the patterns that find what a truss feels.

ASCE 7-16 7.5 asks of a truss for half of the balanced load on whatever part makes matters worse, and the full load
on the rest (from memory; the same idea in the Municipal Code of Chicago 13-52-280 and the National Building Code
of Canada 4.1.6.3). Left and right halves, middle and ends, and every other panel are common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from trussio.loads.roof_line import RoofLine


class Pattern(NamedTuple):
    """A name, where the load is full in words, and from where to where."""

    name: str
    words: str
    bands: tuple[tuple[float, float], ...]


def partial_bands(line: RoofLine) -> list[Pattern]:
    """The patterns of a roof, each once."""
    left, crown, right, quarter = line.left, line.crown[0], line.right, line.span / 4
    panels = [(piece.x0, piece.x1) for piece in line.pieces]
    patterns = [
        Pattern("left", "on the left half", ((left, crown),)),
        Pattern("right", "on the right half", ((crown, right),)),
        Pattern("middle", "on the middle half", ((left + quarter, right - quarter),)),
        Pattern("ends", "on both end quarters", ((left, left + quarter), (right - quarter, right))),
        Pattern("odd", "on the first, third and so on of the panels", tuple(panels[0::2])),
        Pattern("even", "on the second, fourth and so on of the panels", tuple(panels[1::2])),
    ]
    kept: dict[tuple[tuple[float, float], ...], Pattern] = {}
    for pattern in patterns:
        bands = tuple(band for band in pattern.bands if band[1] > band[0])
        covered = sum(end - start for start, end in bands)
        if 0 < covered < line.span and bands not in kept:
            kept[bands] = pattern._replace(bands=bands)
    return list(kept.values())
