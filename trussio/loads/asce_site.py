"""What a site means to ASCE 7: exposure, thermal and importance factors and the flat-roof snow load, with sources.

Factors: table 7.3-1 (Ce by terrain and exposure), table 7.3-2 (Ct), table 1.5-2 (Is), clauses of 7-16. Loads in
psf.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.loads.asce_snow import flat_roof_snow, full_snow_slope, slope_factor
from trussio.loads.case import Rule, stated, worked
from trussio.loads.faults import lacking, refused
from trussio.loads.measures import PSF
from trussio.loads.sources import (
    ASCE,
    ASSUMED,
    FACTORS,
    GUIDE,
    MEMORY,
    METAL_2006,
    METAL_2012,
    SLIPPERY_11,
    STATED,
    STRENGTH_LEVEL,
)

if TYPE_CHECKING:
    from trussio.model.check import Line
    from trussio.model.site import Edition, Exposure, Risk, Site, Terrain, Thermal
    from trussio.units import UnitSystem

CE: Final[dict[Terrain, dict[Exposure, float]]] = {
    "B": {"fully": 0.9, "partially": 1.0, "sheltered": 1.2},
    "C": {"fully": 0.9, "partially": 1.0, "sheltered": 1.1},
    "D": {"fully": 0.8, "partially": 0.9, "sheltered": 1.0},
    "above-tree-line": {"fully": 0.7, "partially": 0.8},
    "alaska": {"fully": 0.7, "partially": 0.8},
}
CE_READ: Final = {
    ("B", "partially"): GUIDE,
    ("B", "sheltered"): METAL_2006,
    ("B", "fully"): METAL_2012,
}
CT: Final[dict[Thermal, float]] = {
    "heated": 1.0,
    "just-above-freezing": 1.1,
    "cold-ventilated": 1.1,
    "unheated": 1.2,
    "freezer": 1.3,
    "greenhouse": 0.85,
}
IS: Final[dict[Risk, float]] = {"I": 0.8, "II": 1.0, "III": 1.1, "IV": 1.2}


class Terms(NamedTuple):
    """The factors that the snow rules ask for; `ground` is None where it was not stated. Loads in psf.

    `lines` lead to the flat-roof load; `assumed` are pointers and sentences of what nobody stated.
    """

    edition: Edition
    ground: float | None
    flat: float
    exposure: float
    thermal: float
    importance: float
    risk: Risk
    slippery: bool
    lines: tuple[Line, ...]
    assumed: tuple[tuple[str, str], ...]

    def factor(self, slope: float) -> float:
        """Cs of a slope in degrees."""
        return slope_factor(slope, thermal=self.thermal, slippery=self.slippery)

    def factor_line(self, symbol: str, slope: float) -> Line:
        """Cs of a slope, as a line."""
        start = full_snow_slope(self.thermal, slippery=self.slippery)
        read = {5.0: METAL_2012, 10.0: SLIPPERY_11}
        formula = f"(70 - {slope:.4g}) / (70 - {start:g}), between 0 and 1"
        rule = Rule(f"{ASCE[self.edition]} 7.4, Fig. 7.4-1", read.get(start, MEMORY))
        return worked(symbol, self.factor(slope), "", formula, rule)


def terms(site: Site, units: UnitSystem) -> Terms | None:
    """The terms of a site, or None where it states no snow at all.

    Raises CannotAnalyseError where a word is not known to the edition, or a factor cannot be had.
    """
    if site.ground_snow is None and site.flat_roof_snow is None:
        return None
    code, assumed = ASCE[site.edition], []
    exposure, exposed = _exposure(site, code)
    thermal, warm = _thermal(site, code)
    importance, important = _importance(site, code)
    for line, field, words in (
        (exposed, "exposure", "Exposure of the roof to wind: Ce = 1.0, partially exposed in terrain B."),
        (warm, "thermal", "Warmth of the roof: Ct = 1.2, unheated."),
        (important, "risk", "Risk category II: Is = 1.0."),
    ):
        if line is not None and line.source == ASSUMED:
            assumed.append((f"/site/{field}", words))
    ground = None if site.ground_snow is None else site.ground_snow / PSF[units]
    known = [] if ground is None else [stated("p_g", ground, "psf", f"{code} 7.2", STATED)]
    known += [line for line in (exposed, warm, important) if line is not None]
    if site.flat_roof_snow is not None:
        flat = site.flat_roof_snow / PSF[units]
        known.append(stated("p_f", flat, "psf", f"{code} 7.3", STATED))
    else:
        flat = flat_roof_snow(
            ground or 0.0, exposure=exposure, thermal=thermal, importance=importance, edition=site.edition
        )
        known.append(_flat_line(flat, site.edition))
    return Terms(
        edition=site.edition,
        ground=ground,
        flat=flat,
        exposure=exposure,
        thermal=thermal,
        importance=importance,
        risk=site.risk or "II",
        slippery=bool(site.slippery) and not site.obstructed,
        lines=tuple(known),
        assumed=tuple(assumed),
    )


def _flat_line(flat: float, edition: Edition) -> Line:
    newest = edition == "asce7-22"
    rule = Rule(f"{ASCE[edition]} 7.3, Eq. 7.3-1", STRENGTH_LEVEL if newest else GUIDE)
    return worked("p_f", flat, "psf", "0.7 C_e C_t p_g" if newest else "0.7 C_e C_t I_s p_g", rule)


def _exposure(site: Site, code: str) -> tuple[float, Line]:
    clause = f"{code} table 7.3-1"
    if site.exposure_factor is not None:
        return site.exposure_factor, stated("C_e", site.exposure_factor, "", clause, STATED)
    if site.exposure is None and site.terrain is None:
        return 1.0, stated("C_e", 1.0, "", clause, ASSUMED)
    terrain, exposure = site.terrain or "B", site.exposure or "partially"
    if exposure not in CE[terrain]:
        raise refused(
            "unknown-exposure",
            "/site/exposure",
            f'{code} has no exposure "{exposure}" in terrain {terrain}.',
            f"Write one of {', '.join(CE[terrain])}, or state exposure_factor.",
        )
    value = CE[terrain][exposure]
    return value, stated("C_e", value, "", clause, CE_READ.get((terrain, exposure), MEMORY))


def _thermal(site: Site, code: str) -> tuple[float, Line]:
    clause = f"{code} table 7.3-2"
    if site.thermal_factor is not None:
        return site.thermal_factor, stated("C_t", site.thermal_factor, "", clause, STATED)
    if site.thermal is None:
        return 1.2, stated("C_t", 1.2, "", clause, ASSUMED)
    if site.edition == "asce7-22" and site.thermal == "heated":
        raise lacking(
            "thermal_factor",
            "a heated roof in ASCE 7-22, whose Ct stands in a table by R-value and ground snow that is not here,",
            "Read Ct from the licensed text and state thermal_factor.",
        )
    if site.edition == "asce7-22" and site.thermal == "cold-ventilated":
        return 1.2, stated("C_t", 1.2, "", clause, "read in NFBA magazine, September 2025, on ASCE 7-22 snow")
    value = CT[site.thermal]
    return value, stated("C_t", value, "", clause, MEMORY if site.thermal == "freezer" else FACTORS)


def _importance(site: Site, code: str) -> tuple[float, Line | None]:
    if site.edition == "asce7-22":
        return 1.0, None
    clause = f"{code} table 1.5-2"
    if site.importance_factor is not None:
        return site.importance_factor, stated("I_s", site.importance_factor, "", clause, STATED)
    if site.risk is None:
        return 1.0, stated("I_s", 1.0, "", clause, ASSUMED)
    return IS[site.risk], stated("I_s", IS[site.risk], "", clause, FACTORS)
