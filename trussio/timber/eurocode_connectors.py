"""Split rings and shear plates after EN 1995-1-1 8.9: what one carries, how many of a row count, distances.

N, mm, kg/m3, degrees; characteristic values. Terms: dc is the diameter of the ring or plate, he how deep it
sits in a piece, t1 and t2 are the thicknesses of the outer and the inner piece.
Source: EN 1995-1-1:2004+A1+A2 8.9 and table 8.7, from memory. Toothed plates (8.10) are not part of this.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.working import derived, require_angle, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Derivation

LARGEST: Final = 200.0
ALONG: Final = 30.0
"""Angle (degrees) up to which a load towards an end is along the grain, for k2."""


def connector_resistance(
    *,
    dc: float,
    he: float,
    t1: float,
    t2: float,
    rho_k: float,
    angle: float = 0.0,
    end: float | None = None,
    only: bool = True,
    steel: bool = False,
) -> Derivation:
    """Fv,Rk of one ring or plate and shear plane (8.61 to 8.67).

    `end` is the distance to a loaded end, None where none is loaded; `only` says that it is the only one in its
    plane. Raises UsageError `below-least-thickness` for t1 under 2.25 he or t2 under 3.75 he, `outside-formula`
    over 200 mm.
    """
    require_positive("connector", {"dc": dc, "he": he, "t1": t1, "t2": t2, "density": rho_k})
    require_angle("connector", angle)
    if dc > LARGEST:
        raise UsageError(
            "outside-formula", where="connector", what=f"dc {dc:g} mm is over 200 mm.", do="Use a declared value."
        )
    for name, t, times in (("t1", t1, 2.25), ("t2", t2, 3.75)):
        if t < times * he * (1 - 1e-9):
            raise UsageError(
                "below-least-thickness",
                where="connector",
                what=f"{name} {t:.4g} mm is under {times:g} he, {times * he:.4g} mm (8.9(3)).",
                do="The standard gives no value; measure again, or count the bolt alone.",
            )
    k1 = min(1.0, t1 / (3 * he), t2 / (5 * he))
    k2 = 1.0
    if end is not None and angle <= ALONG:
        require_positive("connector", {"end distance": end})
        k2 = min(1.25 if only else 1.0, end / (2 * dc))
    k3, k4 = min(1.75, rho_k / 350), 1.1 if steel else 1.0
    a, b = k1 * k2 * k3 * k4 * 35 * dc**1.5, k1 * k3 * he * 31.5 * dc
    steps = (
        step("dc", dc, "mm"),
        step("he", he, "mm"),
        derived(
            "k1",
            k1,
            "",
            "min(1, t1/(3 he), t2/(5 he))",
            "EN 1995-1-1 8.62",
            step("t1", t1, "mm"),
            step("t2", t2, "mm"),
        ),
        derived("k2", k2, "", "min(ka, a3t/(2 dc)) at a loaded end, else 1", "EN 1995-1-1 8.63"),
        derived("k3", k3, "", "rho_k / 350, at most 1.75", "EN 1995-1-1 8.65", step("rho_k", rho_k, "kg/m3")),
        derived("k4", k4, "", "1.1 with steel, else 1", "EN 1995-1-1 8.66"),
        derived("a", a, "N", "k1 k2 k3 k4 35 dc^1.5", "EN 1995-1-1 8.61a"),
        derived("b", b, "N", "k1 k3 he 31.5 dc", "EN 1995-1-1 8.61b"),
    )
    F0 = derived("Fv,0,Rk", min(a, b), "N", "lesser of a and b", "EN 1995-1-1 8.61", *steps)
    if angle == 0:
        return F0
    k90 = 1.3 + 0.001 * dc
    value = F0.value / (k90 * sin(radians(angle)) ** 2 + cos(radians(angle)) ** 2)
    line = derived("k90", k90, "", "1.3 + 0.001 dc", "EN 1995-1-1 8.68")
    alpha = step("alpha", angle, "deg")
    return derived("Fv,alpha,Rk", value, "N", "Fv,0,Rk / (k90 sin^2 + cos^2)", "EN 1995-1-1 8.67", F0, line, alpha)


def effective_connectors(*, count: int) -> Derivation:
    """Rings or plates of a row along the grain that count (8.71): 2 + (1 - n/20)(n - 2), all up to two."""
    require_positive("nef", {"number": count})
    value = float(count) if count <= 2 else 2 + (1 - min(count, 20) / 20) * (count - 2)
    return derived("nef", value, "", "2 + (1 - n/20)(n - 2)", "EN 1995-1-1 8.71", step("n", count, ""))


def connector_distances(*, dc: float, angle: float) -> Mapping[str, Derivation]:
    """Least spacings and distances of rings and plates (table 8.7), named as those of bolts."""
    require_positive("connector", {"dc": dc})
    require_angle("connector", angle)
    c, s = abs(cos(radians(angle))), abs(sin(radians(angle)))
    least = {
        "a1": (1.2 + 0.8 * c, "(1.2 + 0.8 |cos|) dc"),
        "a2": (1.2, "1.2 dc"),
        "a3t": (1.5, "1.5 dc"),
        "a3c": (max(0.4 + 1.6 * s, 1.2), "(0.4 + 1.6 |sin|) dc, at least 1.2 dc"),
        "a4t": (0.6 + 0.2 * s, "(0.6 + 0.2 |sin|) dc"),
        "a4c": (0.6, "0.6 dc"),
    }
    D = step("dc", dc, "mm")
    return {
        name: derived(name, times * dc, "mm", formula, "EN 1995-1-1 table 8.7", D)
        for name, (times, formula) in least.items()
    }
