"""Between the units of a document and those in which the clauses are written.

Area loads are psf or kPa in a document, psf in ASCE 7, kPa in EN 1991-1-3; lengths are in or mm, ft, m.
Factors follow from `trussio.units` exactly.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.units import MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from trussio.units import UnitSystem

FOOT: Final[dict[UnitSystem, float]] = {"us": 12.0, "si": 12 * MM_PER_INCH}
"""Base lengths in a foot."""
METRE: Final[dict[UnitSystem, float]] = {"us": 1000 / MM_PER_INCH, "si": 1000.0}
"""Base lengths in a metre."""
PSF_IN_KPA: Final = 1000 * NEWTON_PER_POUND / (12 * MM_PER_INCH) ** 2
PSF: Final[dict[UnitSystem, float]] = {"us": 1.0, "si": PSF_IN_KPA}
"""One psf in the document's unit of area load."""
KPA: Final[dict[UnitSystem, float]] = {"us": 1 / PSF_IN_KPA, "si": 1.0}
"""One kPa in the document's unit of area load."""
ON_WIDTH: Final[dict[UnitSystem, float]] = {"us": 1 / 12, "si": 1e-3}
"""Line load, in the document's unit, of an area load of one on a base length of width."""
ON_AREA: Final[dict[UnitSystem, float]] = {"us": 1 / 144, "si": 1e-3}
"""Force of an area load of one on a base area."""


def tidy(value: float) -> float:
    """A number to twelve figures, so that 0.1 + 0.2 is written as 0.3."""
    return float(f"{value:.12g}")
