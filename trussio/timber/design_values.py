"""Adjusted design values of one piece under its conditions of use: every factor but the stability factors.

Fb* lacks CL, CV and Cc, Fc* lacks CP, and Fc_perp' lacks Cb, since these belong to the member and the spot; all
else is final. Psi, inches, degrees Fahrenheit. Source: NDS-2018 tables 4.3.1 and 5.3.1, as marked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.timber.adjustment import (
    adjusted,
    flat_use_factor,
    incising_factor,
    repetitive_factor,
    size_factor,
    temperature_factor,
    wet_service_factor,
)
from trussio.timber.reference import BENDING
from trussio.timber.working import Figure, number

if TYPE_CHECKING:
    from trussio.model.check import Derivation
    from trussio.timber.reference import ReferenceValues

WITHOUT_DURATION = ("E", "Emin", "Fc_perp")


@dataclass(frozen=True, kw_only=True)
class Use:
    """Conditions of use: CD of the run, moisture in service, sustained temperature (F), incising, load sharing.

    Incising counts for dimension lumber alone.
    A heavy truss shares no load, so `repetitive` is false unless three or more members stand 24 in apart or less.
    """

    CD: Figure
    wet: bool
    temperature: float
    incised: bool = False
    repetitive: bool = False


def adjusted_value(
    reference: ReferenceValues,
    symbol: str,
    *,
    use: Use,
    thickness: float,
    width: float,
    flat: bool = False,
) -> Derivation:
    """One adjusted value (psi), with the factors that table 4.3.1 or 5.3.1 asks for.

    `thickness` and `width` are the lesser and greater dressed dimensions (in) of the piece; `flat` says that it
    bends about its weak axis. Raises UsageError where the value or a factor is not tabulated.
    """
    value = reference.value(symbol)
    family = next(
        name for name in ("Emin", "Fc_perp", "Fb", "Ft", "Frt", "Fv", "Fc", "E") if symbol.startswith(name)
    )
    lumber = reference.size_class != "glulam"
    factors: dict[str, Figure] = {}
    if family not in WITHOUT_DURATION:
        factors["CD"] = use.CD
    size = size_factor(
        family,
        size_class=reference.size_class,
        grade=reference.grade,
        thickness=thickness,
        width=width,
        southern_pine=reference.southern_pine,
    )
    factors["CM"] = wet_service_factor(
        symbol,
        size_class=reference.size_class,
        wet=use.wet,
        size_adjusted=value.value * number(size),
        southern_pine=reference.southern_pine,
    )
    factors["Ct"] = temperature_factor(symbol, temperature=use.temperature, wet=use.wet)
    if lumber and family in ("Fb", "Ft", "Fc"):
        factors["CF"] = size
    if flat and (symbol in BENDING or family in ("E", "Emin")):
        factors["Cfu"] = flat_use_factor(
            symbol, size_class=reference.size_class, grade=reference.grade, thickness=thickness, width=width
        )
    if lumber or use.incised:  # glulam then shows that it takes none
        factors["Ci"] = incising_factor(symbol, size_class=reference.size_class, incised=use.incised)
    if lumber and symbol == "Fb":
        factors["Cr"] = repetitive_factor(size_class=reference.size_class, repetitive=use.repetitive)
    return adjusted(symbol + ("*" if family in ("Fb", "Fc") else "'"), value, factors)
