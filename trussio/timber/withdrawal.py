"""Withdrawal of lag screws, wood screws and nails, and load at an angle to the surface.

Inches, lbf per inch of thread or penetration, degrees. Bolts have none.
Source: NDS-2018 12.2 and 12.4, as quoted in secondary copies.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.working import SECONDARY, Figure, derived, number, require_angle, require_positive, step

if TYPE_CHECKING:
    from trussio.model.check import Derivation
    from trussio.timber.fasteners import Kind

END_GRAIN: Final = {"lag screw": 0.75, "wood screw": 0.0, "nail": 0.0}


def withdrawal_value(*, kind: Kind, G: float, diameter: float) -> Derivation:
    """W per inch (lbf/in) in side grain, by the nominal `diameter`.

    Lag screws 1800 G^1.5 D^0.75 on the thread, wood screws 2850 G^2 D, smooth nails 1380 G^2.5 D. Raises
    UsageError `no-withdrawal` for bolts.
    """
    require_positive("withdrawal", {"G": G, "diameter": diameter})
    steps = (step("G", G, ""), step("D", diameter, "in"))
    if kind == "lag screw":
        value, formula, clause = 1800 * G**1.5 * diameter**0.75, "1800 G^1.5 D^0.75", "NDS-2018 eq. 12.2-1"
    elif kind == "wood screw":
        value, formula, clause = 2850 * G**2 * diameter, "2850 G^2 D", "NDS-2018 eq. 12.2-2"
    elif kind == "nail":
        value, formula, clause = 1380 * G**2.5 * diameter, "1380 G^2.5 D", "NDS-2018 eq. 12.2-3"
    else:
        raise UsageError(
            "no-withdrawal",
            where=kind,
            what="a bolt has no withdrawal value.",
            do="Check the washer's bearing and the bolt's tension instead.",
        )
    return derived("W", value, "lbf/in", formula, clause, *steps, source=SECONDARY)


def end_grain_withdrawal(kind: Kind) -> Derivation:
    """Ceg in withdrawal: 0.75 for lag screws; nothing for nails and wood screws."""
    value = END_GRAIN.get(kind, 0.0)
    return derived("Ceg", value, "", f"{kind} in end grain", "NDS-2018 12.5.2.2", source=SECONDARY)


def combined_value(*, kind: Kind, withdrawal: Figure, lateral: Figure, angle: float) -> Derivation:
    """Z'a under a load at `angle` to the surface (90 pulls straight out): W'p and Z' given in lbf.

    Lag and wood screws by squares of sine and cosine, nails by their first powers.
    """
    require_angle("load to surface", angle)
    Wp, Z = number(withdrawal), number(lateral)
    power = 1 if kind == "nail" else 2
    c, s = cos(radians(angle)) ** power, sin(radians(angle)) ** power
    both = Wp * c + Z * s
    value = Wp * Z / both if both > 0 else 0.0
    formula = "W'p Z' / (W'p cos a + Z' sin a)" if power == 1 else "W'p Z' / (W'p cos^2 a + Z' sin^2 a)"
    clause = "NDS-2018 eq. 12.4-2" if power == 1 else "NDS-2018 eq. 12.4-1"
    steps = (step("W'p", withdrawal, "lbf"), step("Z'", lateral, "lbf"), step("a", angle, "deg"))
    return derived("Za'", value, "lbf", formula, clause, *steps, source=SECONDARY)
