"""Nails and screws loaded across their axis after EN 1995-1-1: how many count, distances, least thickness.

N, mm, kg/m3, degrees. A nail is *predrilled* where a hole was drilled for it. A screw counts as a nail up to
6 mm of effective diameter and as a bolt beyond. Source: EN 1995-1-1:2004+A1+A2 8.3.1, 8.7.1, from memory.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.working import MEMORY, OWN, derived, require_angle, require_positive, stated, step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Derivation

EXPONENTS: Final = ((4.0, 0.5), (7.0, 0.7), (10.0, 0.85), (14.0, 1.0))
"""Exponent kef by the spacing in diameters (table 8.1); 4 d for predrilled nails alone."""
LIGHT: Final = 420.0
HEAVY: Final = 500.0
THICKEST: Final = 8.0
ROOT: Final = 0.7
"""Root diameter of a screw over its outer one, where nobody measured it: common practice."""
ON_STEEL: Final = 0.7


def effective_nails(
    *, count: int, spacing: float, diameter: float, predrilled: bool, angle: float = 0.0
) -> Derivation:
    """Nails of a row along the grain that count: n^kef (8.17, table 8.1); all of them under load across the grain.

    Raises UsageError `impossible-distance` for a spacing below the table: 7 d, predrilled 4 d.
    """
    require_positive("nef", {"spacing": spacing, "diameter": diameter, "number": count})
    require_angle("nef", angle)
    steps = (step("n", count, ""), step("a1", spacing, "mm"), step("d", diameter, "mm"))
    if count == 1 or angle == 90:
        return derived("nef", float(count), "", "n", "EN 1995-1-1 8.3.1.1(8)", *steps)
    times, least = spacing / diameter, 4.0 if predrilled else 7.0
    if times < least * (1 - 1e-9):
        raise UsageError(
            "impossible-distance",
            where="nef",
            what=f"nails {times:.3g} d apart in a row; table 8.1 begins at {least:g} d.",
            do="Measure the spacing again, or count the nails as not permitted.",
        )
    kef = 1.0
    for (low, a), (high, b) in pairwise(EXPONENTS):
        if times < high:
            kef = a + (b - a) * max(0.0, times - low) / (high - low)
            break
    line = derived("kef", kef, "", f"a1 = {times:.4g} d", "EN 1995-1-1 table 8.1")
    return derived("nef", count**kef, "", "n^kef", "EN 1995-1-1 8.17", *steps, line)


def nail_distances(
    *, diameter: float, angle: float, rho_k: float, predrilled: bool, steel: bool = False
) -> Mapping[str, Derivation]:
    """Least spacings and distances of nails (table 8.2), named as those of bolts; 0.7 of a1 and a2 on `steel`.

    Raises UsageError `predrill` over 500 kg/m3 or 8 mm without predrilling.
    """
    require_positive("nail", {"diameter": diameter, "density": rho_k})
    if not predrilled and (rho_k > HEAVY or diameter > THICKEST):
        raise UsageError(
            "predrill",
            where="nail",
            what=f"d {diameter:g} mm in wood of {rho_k:g} kg/m3 is not permitted without predrilling (8.3.1.1).",
            do="Enter the hole that was drilled; without one these nails carry nothing by the standard.",
        )
    c, s, d = abs(cos(radians(angle))), abs(sin(radians(angle))), diameter
    thin = d < 5
    if predrilled:
        times = (4 + c, 3 + s, 7 + 5 * c, 7.0, 3 + (2 if thin else 4) * s, 3.0)
    elif rho_k <= LIGHT:
        times = (5 + (5 if thin else 7) * c, 5.0, 10 + 5 * c, 10.0, 5 + (2 if thin else 5) * s, 5.0)
    else:
        times = (7 + 8 * c, 7.0, 15 + 5 * c, 15.0, 7 + (2 if thin else 5) * s, 7.0)
    given = (step("d", d, "mm"), step("alpha", angle, "deg"), step("rho_k", rho_k, "kg/m3"))
    found = {}
    for name, one in zip(("a1", "a2", "a3t", "a3c", "a4t", "a4c"), times, strict=True):
        share = ON_STEEL if steel and name in ("a1", "a2") else 1.0
        formula = f"{one:.4g} d" if share == 1.0 else f"{share} x {one:.4g} d"
        found[name] = derived(name, share * one * d, "mm", formula, "EN 1995-1-1 table 8.2, 8.3.1.4", *given)
    return found


def nail_least_thickness(*, diameter: float, rho_k: float) -> Derivation:
    """Least thickness of wood that is nailed without predrilling (8.18): max(7 d, (13 d - 30) rho_k / 400)."""
    require_positive("nail", {"diameter": diameter, "density": rho_k})
    value = max(7 * diameter, (13 * diameter - 30) * rho_k / 400)
    steps = (step("d", diameter, "mm"), step("rho_k", rho_k, "kg/m3"))
    return derived("t least", value, "mm", "max(7 d, (13 d - 30) rho_k / 400)", "EN 1995-1-1 8.18", *steps)


def screw_diameter(*, diameter: float, root: float | None = None, smooth_shank: bool = False) -> Derivation:
    """Effective diameter of a screw (8.7.1): its shank's where it enters the point's piece by 4 d, else 1.1 root.

    `root` is 0.7 of the outer diameter where None.
    """
    require_positive("screw", {"diameter": diameter})
    if smooth_shank:
        return stated("def", diameter, "mm", MEMORY, "EN 1995-1-1 8.7.1(2)")
    own = ROOT * diameter if root is None else root
    require_positive("screw", {"root diameter": own})
    line = stated("root", own, "mm") if root is not None else derived("root", own, "mm", "0.7 d", "", source=OWN)
    return derived("def", 1.1 * own, "mm", "1.1 root", "EN 1995-1-1 8.7.1(3)", step("d", diameter, "mm"), line)
