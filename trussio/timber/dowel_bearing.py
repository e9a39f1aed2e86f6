"""Dowel bearing strength of wood, steel and concrete, and specific gravity by species.

Psi, in, degrees. Table values are rounded to 50 psi, and the lateral tables of the standard stand on the rounded
numbers, so rounding comes first. Source: NDS-2018 12.3.3, 12.3.4, Appendix I.2, as quoted in secondary copies.
"""

from __future__ import annotations

from math import sqrt
from typing import Final

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber import tables
from trussio.timber.bearing import hankinson
from trussio.timber.working import MEMORY, SECONDARY, Step, derived, half_up, require_positive, stated, step

SMALL: Final = 0.25
"""Below this diameter (in) the direction of the grain no longer matters."""

STEEL: Final = {"A36": 87000.0, "A653 grade 33": 61850.0}
CONCRETE: Final = 7500.0


def specific_gravity(species: str) -> Derivation:
    """G of a species combination. Raises UsageError `unknown-species`, naming those tabulated."""
    data = tables.dowels()
    quoted, remembered = data["specific_gravity"], data["from_memory"]["specific_gravity"]
    for known, source in ((quoted, data["source"]), (remembered, MEMORY)):
        for name, value in known.items():
            if name.casefold() == species.strip().casefold():
                return stated("G", value, "", source, "NDS-2018 table 12.3.3A")
    raise UsageError(
        "unknown-species",
        where=species,
        what="no specific gravity is tabulated here for this species.",
        do=f"Enter one of {', '.join((*quoted, *remembered))}, or state G with its source.",
    )


def bearing_strength(*, G: float, diameter: float, angle: float, rounded: bool = True) -> Derivation:
    """Fe of wood for a fastener of nominal `diameter`, the load at `angle` degrees to the grain.

    11200 G along the grain, 6100 G^1.45 / sqrt(D) across it, 16600 G^1.84 below 1/4 in; between by Hankinson. Both
    ends are rounded to 50 psi first, as in the tables, unless `rounded` is false.
    """
    require_positive("dowel bearing", {"G": G, "diameter": diameter})
    grain = 50.0 if rounded else 0.0
    steps = (step("G", G, ""), step("D", diameter, "in"))
    if diameter < SMALL:
        return _rounded("Fe", 16600 * G**1.84, grain, "16600 G^1.84", *steps)
    along = _rounded("Fe_par", 11200 * G, grain, "11200 G", *steps)
    if angle == 0:
        return along
    across = _rounded("Fe_perp", 6100 * G**1.45 / sqrt(diameter), grain, "6100 G^1.45 / sqrt(D)", *steps)
    return across if angle == 90 else hankinson(along, across, angle, "Fe_theta")


def _rounded(symbol: str, value: float, grain: float, formula: str, *steps: Step) -> Derivation:
    if grain:
        value, formula = half_up(value, grain), f"{formula}, rounded to {grain:g} psi"
    return derived(symbol, value, "psi", formula, "NDS-2018 table 12.3.3", *steps, source=SECONDARY)


def steel_bearing(grade: str) -> Derivation:
    """Fe of a steel side plate: `A36` (1/4 in and thicker) or `A653 grade 33` (thinner).

    Raises UsageError `unknown-steel`; another steel is stated through `steel_bearing_of`.
    """
    if grade not in STEEL:
        raise UsageError(
            "unknown-steel",
            where=grade,
            what="no bearing strength is tabulated here for this steel.",
            do=f"Enter one of {', '.join(STEEL)}, or state Fu and whether it was hot-rolled.",
        )
    return stated("Fe", STEEL[grade], "psi", SECONDARY, "NDS-2018 tables 12B, 12M")


def steel_bearing_of(*, Fu: float, hot_rolled: bool) -> Derivation:
    """Fe of steel of tensile strength Fu (psi): 2.4 Fu / 1.6 hot-rolled, 2.2 Fu / 1.6 cold-formed.

    The 1.6 is there so that a CD of 1.6 does not overload the plate.
    """
    times = 2.4 if hot_rolled else 2.2
    formula = f"{times} Fu / 1.6"
    return derived("Fe", times * Fu / 1.6, "psi", formula, "NDS-2018 I.2", step("Fu", Fu, "psi"), source=SECONDARY)


def concrete_bearing() -> Derivation:
    """Fe of concrete around a bolt embedded 6 in."""
    return stated("Fe", CONCRETE, "psi", SECONDARY, "NDS-2018 table 12E")
