"""The units that drawings are made in: their inches, their names, and what the header calls them.

A unit can also be an inch or millimetre at a plot scale, where the whole drawing was made at the size of paper.
Values of $INSUNITS: published DXF reference, from memory.
"""

from __future__ import annotations

import re
from typing import Final

from trussio.drawing.plausibility import HEADER_UNITS, INCHES, METRIC_SCALES, PLOT_SCALES
from trussio.errors import UsageError
from trussio.units import MM_PER_INCH

UNIT_WORDS: Final = {
    **dict.fromkeys(("in", "inch", "inches"), "inch"),
    **dict.fromkeys(("ft", "foot", "feet"), "foot"),
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "us-survey-foot": "US survey foot",
    "us survey foot": "US survey foot",
    "yard": "yard",
}
"""What a user may call a drawing unit."""

_SAID: Final = re.compile(
    r"(?:1\s+)?(?P<unit>[A-Za-z][A-Za-z -]*?)(?:\s+at\s+1\s*:\s*(?P<scale>\d+(?:\.\d+)?))?"
    r"|(?:unit of\s+)?(?P<inches>(?:\d*[1-9]\d*\.?\d*|\d*\.\d*[1-9]\d*)(?:e-?\d+)?)\s+inches"
)
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
    return f"unit of {inches:.6g} inches"


def unit_phrase(inches: float) -> str:
    """A unit of so many inches as a length: `1 foot`, `1 inch at 1:24`, `1.55 inches`."""
    name = unit_name(inches)
    return name.removeprefix("unit of ") if name.endswith("inches") else f"1 {name}"


def inches_said(text: str) -> float:
    """Inches of the unit that a person names: `mm`, `ft`, `1 inch at 1:24`, `1.55 inches`.

    Raises UsageError `unknown-unit`.
    """
    found = _SAID.fullmatch(text.strip())
    if found is not None and found["inches"]:
        return float(found["inches"])
    word = found["unit"].lower() if found is not None else ""
    if found is None or word not in UNIT_WORDS or float(found["scale"] or 1) <= 0:
        raise UsageError(
            "unknown-unit",
            where=text,
            what="This is no unit that a drawing is made in.",
            do=f"Give one of {', '.join(UNIT_WORDS)}, at a plot scale like 'in at 1:24'.",
        )
    return NAMED[UNIT_WORDS[word]] * float(found["scale"] or 1)


def settling(inches: float) -> str:
    """How to say a unit: by option, or as an answer."""
    return f"{_option(inches)}, or answer {unit_phrase(inches)} in the answers file; or say the right one."


def _option(inches: float) -> str:
    for word, name in (("in", "inch"), ("ft", "foot"), ("mm", "mm"), ("cm", "cm"), ("m", "m")):
        if same(inches, INCHES[name]):
            return f"--units {word}"
    metric = next((scale for scale in METRIC_SCALES if same(inches * MM_PER_INCH, scale)), None)
    return f"--units mm --scale {metric}" if metric is not None else f"--units in --scale {inches:.6g}"


def same(one: float, other: float) -> bool:
    """Whether two units are the same."""
    return abs(one / other - 1) <= SAME
