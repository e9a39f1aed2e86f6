"""Snow of EN 1991-1-3:2003 with recommended values: shape coefficients, loads, drifts.

Units: kPa (kN/m2), kN/m3, m, degrees. s = mu Ce Ct sk. Sources: 5.3.3 up to 30 degrees, 5.3.6, annex B.4 and the
exceptional load of 4.3 with Steel Buildings in Europe, Single-storey steel buildings, part 3, pp. 3-36 to 3-43;
5.3.5, the slopes above 30 degrees and the exposure coefficients from memory.
"""

from __future__ import annotations

from typing import Final, NamedTuple

SNOW_WEIGHT: Final = 2.0
"""kN/m3, for drifts."""
STEEP_ARCH: Final = 60.0
EXPOSURE: Final = {"windswept": 0.8, "normal": 1.0, "sheltered": 1.2}


class Drift(NamedTuple):
    """Shape coefficient at a wall, and the length in m over which it falls to that of the roof."""

    coefficient: float
    length: float


def roof_snow(coefficient: float, ground_snow: float, *, exposure: float = 1.0, thermal: float = 1.0) -> float:
    """The load s in kPa on plan, 5.2(3)."""
    return coefficient * exposure * thermal * ground_snow


def exceptional_ground_snow(ground_snow: float, coefficient: float = 2.0) -> float:
    """The load sAd in kPa, 4.3."""
    return coefficient * ground_snow


def pitched_coefficient(slope: float, *, obstructed: bool = False) -> float:
    """mu1 of a slope in degrees, table 5.2; not below 0.8 where snow cannot slide off."""
    if obstructed:
        return 0.8
    return 0.8 * min(1.0, max(0.0, (60.0 - abs(slope)) / 30.0))


def arch_coefficient(rise: float, span: float) -> float:
    """mu3 of a cylindrical roof, 5.3.5 (recommended limit 2.0); rise and span in any one unit."""
    return min(2.0, 0.2 + 10.0 * rise / span)


def wall_drift(*, upper: float, lower: float, step: float, ground_snow: float, sliding: float = 0.0) -> Drift:
    """mu2 and ls beside a taller building, 5.3.6: lengths and height in m, `sliding` is mu_s."""
    wind = max(0.8, min((upper + lower) / (2 * step), SNOW_WEIGHT * step / ground_snow, 4.0))
    return Drift(coefficient=sliding + wind, length=min(15.0, max(5.0, 2 * step)))


def parapet_drift(*, upwind: float, downwind: float, height: float, ground_snow: float) -> Drift:
    """The coefficient and ls of the exceptional drift behind a parapet, annex B.4; lengths in m.

    `upwind` is the roof length that limits ls (b1); the longer of the two limits the coefficient.
    """
    length = min(5 * height, upwind, 15.0)
    coefficient = min(2 * height / ground_snow, 2 * max(upwind, downwind) / length, 8.0)
    return Drift(coefficient=coefficient, length=length)
