"""Snow of ASCE 7: flat-roof load, slope factor, minimum load, weight of snow, height of drifts, rain on snow.

Units in this file: psf, pcf, ft, degrees. `pg` is the ground snow load, `pf` that of a flat roof, `ps` that of a
sloped one. Clauses are those of ASCE/SEI 7-16.
Sources: 7.3 and 7.4 with O'Rourke, guide to ASCE 7-10, examples 4-3 and 6-2, and Metal Building Systems Manual,
2012, example 1.3.5.14(b); 7.7 with Crandall, Same roof, different snow drift loads; the rest from memory, as
`trussio.loads.asce_lines` marks it.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from trussio.model.site import Edition, Risk

NO_SNOW: Final = 70.0
"""Slope in degrees from which a roof is free of snow."""
LEAST_FETCH: Final = 20.0
"""Least upwind length in ft that a drift is reckoned with (7-10 and later)."""
HEAVIEST: Final = 30.0
"""Greatest weight of snow, pcf."""
LARGEST_MINIMUM: Final[dict[Risk, float]] = {"I": 25.0, "II": 30.0, "III": 35.0, "IV": 40.0}
"""pm,max of 7-22 by risk category, psf; from memory."""


def flat_roof_snow(
    ground_snow: float, *, exposure: float, thermal: float, importance: float, edition: Edition = "asce7-16"
) -> float:
    """The load pf in psf from pg in psf, 7.3 (Eq. 7.3-1); 7-22 has no importance factor."""
    importance = 1.0 if edition == "asce7-22" else importance
    return 0.7 * exposure * thermal * importance * ground_snow


def full_snow_slope(thermal: float, *, slippery: bool) -> float:
    """The slope in degrees up to which the slope factor is 1 (Fig. 7.4-1), by the thermal factor.

    `slippery` means unobstructed and slippery; for a warm roof the rule asks for insulation as well.
    """
    if thermal <= 1.0:
        return 5.0 if slippery else 30.0
    if thermal < 1.2:
        return 10.0 if slippery else 37.5
    return 15.0 if slippery else 45.0


def slope_factor(slope: float, *, thermal: float, slippery: bool = False) -> float:
    """Cs of a slope in degrees, 7.4 (Fig. 7.4-1): 1, then on a straight line to 0 at 70 degrees."""
    start = full_snow_slope(thermal, slippery=slippery)
    return min(1.0, max(0.0, (NO_SNOW - abs(slope)) / (NO_SNOW - start)))


def minimum_snow(
    ground_snow: float, *, importance: float = 1.0, edition: Edition = "asce7-16", risk: Risk = "II"
) -> float:
    """The load pm in psf of a low-slope roof, 7.3.4 (7.3.3 in 7-22): a case of its own."""
    if edition == "asce7-22":
        return min(ground_snow, LARGEST_MINIMUM[risk])
    return importance * min(ground_snow, 20.0)


def snow_density(ground_snow: float) -> float:
    """Weight of snow in pcf from pg in psf, Eq. 7.7-1."""
    return min(HEAVIEST, 0.13 * ground_snow + 14.0)


def drift_height(
    ground_snow: float, fetch: float, *, importance: float = 1.0, edition: Edition = "asce7-16"
) -> float:
    """The height hd in ft from pg in psf and the upwind length in ft, Fig. 7.6-1 of 7-10 and 7-16, never below 0.

    7-16 multiplies by the root of the importance factor (from memory).
    """
    if ground_snow == 0:
        return 0.0
    height: float = 0.43 * max(fetch, LEAST_FETCH) ** (1 / 3) * (ground_snow + 10.0) ** 0.25 - 1.5
    return max(0.0, height) * (sqrt(importance) if edition == "asce7-16" else 1.0)


def drift_height_by_wind(ground_snow: float, fetch: float, winter_wind: float) -> float:
    """The height hd in ft of 7-22 from pg in psf, the upwind length in ft and W2; from memory."""
    fetch = max(fetch, LEAST_FETCH)
    return 1.5 * sqrt(ground_snow**0.74 * fetch**0.70 * winter_wind**1.7 / snow_density(ground_snow))


def rain_on_snow(ground_snow: float, slope: float, run: float) -> float:
    """The surcharge in psf of 7.10 (7-10, 7-16): slope in degrees, run from eave to ridge in ft; from memory."""
    return 5.0 if 0 < ground_snow <= 20 and abs(slope) < run / 50 else 0.0
