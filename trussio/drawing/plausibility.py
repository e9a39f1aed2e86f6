"""Which length one drawing unit can be, by what trusses, letters and bolts measure.

A roof truss spans 20 to 200 ft, letters stand 2 to 12 in high at full size, bolts are 1/2 to 1 1/2 in thick
(common practice, no source). A unit that puts one of these outside is worse by how many times it does.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING, Final

from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from trussio.drawing.records import Header

INCHES: Final = {
    "inch": 1.0,
    "mm": 1 / MM_PER_INCH,
    "foot": 12.0,
    "m": 1000 / MM_PER_INCH,
    "cm": 10 / MM_PER_INCH,
}
"""Inches of the units that trusses are drawn in, the commonest first."""

HEADER_UNITS: Final = {1: "inch", 2: "foot", 4: "mm", 5: "cm", 6: "m"}
"""Values of $INSUNITS for the units above."""

PLOT_SCALES: Final = (24, 48, 16, 32, 64, 96, 12, 192)
"""Inches drawn as one inch of paper, at 1/2, 1/4, 3/4, 3/8, 3/16, 1/8, 1 and 1/16 inch to the foot."""
METRIC_SCALES: Final = (50, 100, 20, 25, 10, 200)

SPAN: Final = (240.0, 2400.0)
LETTERS: Final = (2.0, 12.0)
BOLTS: Final = (0.5, 1.5)


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """What was measured, in drawing units: the longer side of the linework, letter height, bolt diameter.

    None where there is none. `metric` is what sizes on the drawing or $MEASUREMENT say, a hint and no more.
    """

    span: float | None
    letters: float | None = None
    bolts: float | None = None
    metric: bool | None = None


def strain(inches: float, evidence: Evidence) -> float:
    """How far a unit of so many inches puts things outside their range: 0 inside, log of the ratio outside."""
    pairs = ((evidence.span, SPAN), (evidence.letters, LETTERS), (evidence.bolts, BOLTS))
    return sum(_outside(value * inches, bounds) for value, bounds in pairs if value)


def likeliest(evidence: Evidence) -> str:
    """The unit that strains least; among equals the metric or inch one that the file hints at, else the first.

    Nobody draws a truss by the centimetre where another unit will do.
    """
    metric = {"mm", "m", "cm"}

    def rank(unit: str) -> tuple[float, bool, bool, int]:
        hinted = evidence.metric is None or (unit in metric) == evidence.metric
        return (round(strain(INCHES[unit], evidence), 6), unit == "cm", not hinted, list(INCHES).index(unit))

    return min(INCHES, key=rank)


def provisional_inches(header: Header, span: float) -> float:
    """Inches to one drawing unit before anything is settled, for tolerances alone."""
    unit = HEADER_UNITS.get(header.insunits or 0)
    if unit in INCHES and strain(INCHES[unit], Evidence(span=span)) < log(3):
        return INCHES[unit]
    metric = None if header.measurement is None else header.measurement == 1
    return INCHES[likeliest(Evidence(span=span, metric=metric))]


def _outside(value: float, bounds: tuple[float, float]) -> float:
    low, high = bounds
    return log(low / value) if value < low else log(value / high) if value > high else 0.0
