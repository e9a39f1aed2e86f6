"""Roof live load after ASCE 7-16 4.8 (and the same rule before and since): Lr = L0 R1 R2, on plan.

Units: psf, ft2; `rise_per_foot` is F, inches of rise per foot of run, for an arch 32 times rise over span.
Sources: Metal Building Systems Manual, section 1.3.2; a university course on wood design, problem 2.5 (R1, and R2
for F up to 4). R2 for more than 4 and F of an arch are from memory.
"""

from __future__ import annotations

from typing import Final

BASE: Final = 20.0
LEAST: Final = 12.0


def area_factor(tributary_area: float) -> float:
    """R1 from the tributary area in ft2."""
    return min(1.0, max(0.6, 1.2 - 0.001 * tributary_area))


def slope_reduction(rise_per_foot: float) -> float:
    """R2 from inches of rise per foot."""
    return min(1.0, max(0.6, 1.2 - 0.05 * rise_per_foot))


def arch_rise_per_foot(rise: float, span: float) -> float:
    """F of an arch or dome from its rise and span, in any one unit; from memory."""
    return 32.0 * rise / span


def roof_live_load(tributary_area: float, rise_per_foot: float, *, base: float = BASE) -> float:
    """Lr in psf of horizontal projection, between 12 and 20 psf."""
    load = base * area_factor(tributary_area) * slope_reduction(rise_per_foot)
    return min(BASE, max(LEAST, load))
