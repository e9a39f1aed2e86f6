"""Segments cut into pieces along which loads and lines are smooth, with points on each for sums.

A segment is cut where a load begins, ends or stands; an arc also where it runs upright, and so that no piece turns
by more than an eighth of a circle. Five points on a straight piece make every sum of linear loads exact, seventeen
on an arc make it so to the last digits.
Terms: x and y are the place of a point along the chord of its segment and off it (towards local +y); the *slant*
is the angle of the axis from the chord.
Shapes: s segments, p pieces in the order of their segments, q points on a piece.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.quadrature import rule

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.analysis.arrays import Counts, Floats
    from trussio.analysis.lines import Lines
    from trussio.analysis.quadrature import Rule

STRAIGHT_POINTS, CURVED_POINTS = 5, 17
MOST_TURN = np.pi / 4


class Pieces(NamedTuple):
    """Pieces of the segments listed in `segments` (s,), all straight or all curved.

    `first` (s,) numbers the first piece of each segment, `of` (p,) gives for each piece the place of its segment
    in that list. `start` and `length` (p,) are along the axis; `place`, `x`, `y`, `cos` and `sin` of the slant
    have the shape (p, q).
    """

    segments: Counts
    first: Counts
    of: Counts
    start: Floats
    length: Floats
    place: Floats
    x: Floats
    y: Floats
    cos: Floats
    sin: Floats
    rule: Rule


def pieces(shape: Lines, segments: Counts, cuts: Mapping[int, list[float]], *, bowed: bool = False) -> Pieces:
    """The pieces of some segments; `cuts` gives the places at which loads begin, end or stand.

    Where some of them are `bowed` off their chords they get as many points as arcs do.
    """
    curved = bool(shape.half[segments].any())
    lengths = shape.length.tolist()
    ends: list[list[float]] = []
    for segment in segments.tolist():
        inner = {*cuts.get(segment, ()), *(_bends(shape, segment) if curved else ())}
        ends.append([0.0, *sorted(place for place in inner if 0.0 < place < lengths[segment]), lengths[segment]])
    first = np.cumsum([0, *(len(places) - 1 for places in ends[:-1])])
    start = np.array([place for places in ends for place in places[:-1]])
    stop = np.array([place for places in ends for place in places[1:]])
    of = np.repeat(np.arange(len(segments)), [len(places) - 1 for places in ends])
    sums = rule(CURVED_POINTS if curved or bowed else STRAIGHT_POINTS)
    place = start[:, None] + (stop - start)[:, None] * sums.at
    x, y, cos, sin = axis(shape, segments[of], place) if curved else chord_line(place)
    return Pieces(
        segments=segments,
        first=first,
        of=of,
        start=start,
        length=stop - start,
        place=place,
        x=x,
        y=y,
        cos=cos,
        sin=sin,
        rule=sums,
    )


def before(cut: Pieces, values: Floats) -> Floats:
    """Sums (..., p) over the pieces of the same segment that come before each."""
    running = np.cumsum(values, axis=-1) - values
    return running - running[..., cut.first][..., cut.of]


def over_segments(cut: Pieces, values: Floats) -> Floats:
    """Sums (..., s) over all pieces of each segment."""
    return np.asarray(np.add.reduceat(values, cut.first, axis=-1), dtype=np.float64)


def _bends(shape: Lines, segment: int) -> list[float]:
    """Where an arc is cut for its own sake."""
    half, length = float(shape.half[segment]), float(shape.length[segment])
    parts = int(np.ceil(2 * abs(half) / MOST_TURN))
    tilt = float(np.arctan2(shape.along[segment, 1], shape.along[segment, 0]))
    upright = [(tilt + half - turn * np.pi / 2) * length / (2 * half) for turn in (-3, -1, 1, 3)]
    return [*upright, *(length * part / parts for part in range(1, parts))]


def chord_line(place: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """The same of points on chords, which are their own axes."""
    none = np.zeros_like(place)
    return place, none, np.ones_like(place), none


def axis(shape: Lines, segments: Counts, place: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """x, y, and cosine and sine of the slant of points on arcs, all (p, q)."""
    half, length = shape.half[segments, None], shape.length[segments, None]
    radius = length / (2 * half)  # negative where the arc bulges towards -y
    turned = place / radius
    x = 2 * radius * np.sin(turned / 2) * np.cos(half - turned / 2)
    y = 2 * radius * np.sin(turned / 2) * np.sin(half - turned / 2)
    return x, y, np.cos(half - turned), np.sin(half - turned)
