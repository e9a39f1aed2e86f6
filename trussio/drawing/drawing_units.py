"""The units that drawings are made in: their inches, their names, and what the header calls them.

A unit can also be an inch or millimetre at a plot scale, where the whole drawing was made at the size of paper.
Values of $INSUNITS: published DXF reference, from memory.
"""

from __future__ import annotations

from typing import Final

from trussio.drawing.plausibility import HEADER_UNITS, INCHES, METRIC_SCALES, PLOT_SCALES
from trussio.units import MM_PER_INCH

UNIT_WORDS: Final = {
    **dict.fromkeys(("in", "inch", "inches"), "inch"),
    **dict.fromkeys(("ft", "foot", "feet"), "foot"),
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "us-survey-foot": "US survey foot",
}
"""What a user may call a drawing unit."""

SURVEY_FOOT: Final = 21
RARE: Final = {
    3: ("mile", 63360.0), 7: ("km", 1e6 / MM_PER_INCH), 8: ("microinch", 1e-6), 9: ("mil", 1e-3),
    10: ("yard", 36.0), 13: ("micron", 1e-3 / MM_PER_INCH), 14: ("dm", 100 / MM_PER_INCH),
    15: ("dam", 1e4 / MM_PER_INCH), 16: ("hm", 1e5 / MM_PER_INCH),
}  # fmt: skip
"""Other values of $INSUNITS, with inches of their unit."""
NAMED: Final = {**INCHES, "US survey foot": 1200 / 3937 * 1000 / MM_PER_INCH, **dict(RARE.values())}
SAME: Final = 0.005
"""Two units are the same when they differ by no more than this part."""


def header_inches(code: int | None) -> float | None:
    """Inches of the unit that a value of $INSUNITS names, None where it names none."""
    if code in HEADER_UNITS:
        return INCHES[HEADER_UNITS[code]]
    return RARE[code][1] if code in RARE else None


def unit_name(inches: float) -> str:
    """The name of a unit of so many inches: plain, at a plot scale, or the number of inches."""
    for name, plain in NAMED.items():
        if abs(inches / plain - 1) < 1e-9:
            return name
    for scale in PLOT_SCALES:
        if abs(inches / scale - 1) < 1e-9:
            return f"inch at 1:{scale}"
    for scale in METRIC_SCALES:
        if abs(inches * MM_PER_INCH / scale - 1) < 1e-9:
            return f"mm at 1:{scale}"
    return f"{inches:.6g} inches"


def unit_phrase(inches: float) -> str:
    """A unit of so many inches as a length: `1 foot`, `1 inch at 1:24`, `1.55 inches`."""
    name = unit_name(inches)
    return name if name.endswith("inches") else f"1 {name}"


def settling(inches: float) -> str:
    """The options that say a unit."""
    for word, name in (("in", "inch"), ("ft", "foot"), ("mm", "mm"), ("cm", "cm"), ("m", "m")):
        if same(inches, INCHES[name]):
            return f"--units {word}, or the right one"
    metric = next((scale for scale in METRIC_SCALES if same(inches * MM_PER_INCH, scale)), None)
    return f"--units mm --scale {metric}" if metric is not None else f"--units in --scale {inches:.6g}"


def same(one: float, other: float) -> bool:
    """Whether two units are the same."""
    return abs(one / other - 1) <= SAME
