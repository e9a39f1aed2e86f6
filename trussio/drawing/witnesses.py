"""Dimension texts as witnesses of scale: what each says against what the drawing measures there.

A text with its unit (24'-0", 7315 mm) tells the length of a drawing unit by itself. A bare number tells only how
many times longer the real thing is than drawn. Where a drawing holds no dimension objects, texts that are lengths
and stand at the middle of a line along them are heard as well, and only if two of them agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.plausibility import INCHES, METRIC_SCALES, PLOT_SCALES
from trussio.drawing.stated import Stated, stated_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.records import Linework, Point, Text

DIFFERENCE: Final = 0.5
"""Inches by which text and geometry may differ, or 0.5 % of the length if that is more."""
SHARE: Final = 0.005
MOST_TEXTS: Final = 200
_PARALLEL: Final = 3 * pi / 180
_NEAR: Final = 2.5
"""Letter heights from the line within which a length text belongs to it."""
_MIDDLE: Final = 0.2
"""Part of the line's length within which the text stands off its middle."""


@dataclass(frozen=True, kw_only=True)
class Witness:
    """A text and the length that it stands on, in drawing units. `exploded` tells a text that is no dimension."""

    handle: str
    says: str
    stated: Stated
    measured: float
    where: Point
    exploded: bool = False

    def agrees(self, inches: float) -> bool:
        """Whether the text agrees with a drawing unit of so many inches, within tape and rounding."""
        real = self.measured * inches
        if self.stated.inches is not None:
            return abs(self.stated.inches - real) <= max(DIFFERENCE, SHARE * real, self.stated.half)
        return self._fits(1 / self.measured if self.measured else 0.0) or any(
            abs(self.stated.number * unit - real) <= max(DIFFERENCE, SHARE * real, self.stated.half * unit)
            for unit in INCHES.values()
        )

    def _fits(self, per_unit: float) -> bool:
        return abs(self.stated.number * per_unit - 1) <= max(SHARE, self.stated.half * per_unit)


def witnesses_of(linework: Linework) -> tuple[Witness, ...]:
    """Every dimension that states a length, in the order of the drawing."""
    found = []
    for dimension in linework.dimensions:
        stated = stated_length(dimension.says) if dimension.says and dimension.kind != "angular" else None
        if stated is not None and stated.number > 0 and dimension.measured > 0:
            found.append(
                Witness(
                    handle=dimension.handle,
                    says=dimension.says or "",
                    stated=stated,
                    measured=dimension.measured,
                    where=dimension.at,
                )
            )
    return tuple(found)


def exploded_witnesses(linework: Linework) -> tuple[Witness, ...]:
    """Texts that are lengths with their unit and stand at the middle of a straight line along them."""
    strokes = linework.strokes
    rows = np.flatnonzero(strokes.straight)
    first, last = strokes.first[rows], strokes.last[rows]
    along, length = last - first, strokes.lengths[rows]
    angle, middle = np.arctan2(along[:, 1], along[:, 0]), (first + last) / 2
    found = []
    for text, stated in _length_texts(linework.texts):
        turn = np.abs((angle - text.angle + pi / 2) % pi - pi / 2)
        away = middle - np.array(text.centre)
        beside = np.abs(away @ np.array([-sin(text.angle), cos(text.angle)]))
        off = np.abs(away @ np.array([cos(text.angle), sin(text.angle)]))
        fits = (turn <= _PARALLEL) & (beside <= _NEAR * text.height) & (off <= _MIDDLE * length)
        if fits.any():
            near = np.flatnonzero(fits)
            row = near[beside[near].argmin()]
            found.append(
                Witness(
                    handle=text.handle,
                    says=text.says,
                    stated=stated,
                    measured=float(length[row]),
                    where=text.centre,
                    exploded=True,
                )
            )
    return tuple(found)


def _length_texts(texts: Sequence[Text]) -> list[tuple[Text, Stated]]:
    pairs = ((text, stated_length(text.says)) for text in texts if text.height > 0)
    return [(text, stated) for text, stated in pairs if stated is not None and stated.inches][:MOST_TEXTS]


def consensus(witnesses: Sequence[Witness], known: Sequence[float]) -> tuple[float, int] | None:
    """The factor from drawing unit to what the texts state on which most of them agree, and how many do.

    A factor next to one of `known` is taken to be that. With texts that state inches the factor is inches to one
    drawing unit; with bare numbers it is how many times longer the real thing is than drawn.
    """
    value = np.array([value_of(witness) for witness in witnesses])
    measured = np.array([witness.measured for witness in witnesses])
    least = np.array([max(witness.stated.half, _least(witness)) for witness in witnesses])
    best: tuple[float, int] | None = None
    for factor in dict.fromkeys(_nearest(ratio, known) for ratio in (value / measured)[:MOST_TEXTS].tolist()):
        real = factor * measured
        support = int((np.abs(value - real) <= np.maximum(least, SHARE * real)).sum())
        if best is None or support > best[1]:
            best = (factor, support)
    return best


def value_of(witness: Witness) -> float:
    """What a text states, in inches or as its bare number."""
    return witness.stated.inches if witness.stated.inches is not None else witness.stated.number


def known_inches() -> tuple[float, ...]:
    """Inches of one drawing unit that are common: plain units first, then plot scales in inches and mm."""
    return (*INCHES.values(), *map(float, PLOT_SCALES), *(INCHES["mm"] * scale for scale in METRIC_SCALES))


def _least(witness: Witness) -> float:
    return DIFFERENCE if witness.stated.inches is not None else 0.0


def _nearest(factor: float, known: Sequence[float]) -> float:
    close = min(known, key=lambda value: abs(value / factor - 1), default=factor)
    return close if abs(close / factor - 1) <= SHARE else factor
