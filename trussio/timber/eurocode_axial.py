"""Nails and screws pulled along their axis, with and without load across it, and least distances of bolts.

N, mm, MPa, kg/m3, degrees; characteristic values. Source: EN 1995-1-1:2004+A1+A2 8.3.2, 8.3.3, 8.5.1, 8.7.2, from
memory.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.timber.working import SINGLE, derived, interaction, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Check, Derivation, Subject
    from trussio.timber.working import Figure

Axial = Literal["smooth nail", "nail", "screw"]
LEAST_OF_NAIL: Final = 8.0
FULL_OF_NAIL: Final = 12.0


def nail_withdrawal(
    *,
    rho_k: float,
    diameter: float,
    penetration: float,
    head: float,
    head_side: float,
    rho_head: float | None = None,
) -> Derivation:
    """Fax,Rk of a smooth nail (8.24): the lesser of the point's withdrawal and head side with its head.

    fax,k = 20e-6 rho^2 and fhead,k = 70e-6 rho^2 (8.25, 8.26); `penetration` lies in the piece of the point,
    `head_side` is the thickness under the head. Below 12 d the point counts (t/4d - 2), below 8 d nothing.
    """
    require_positive("nail", {"density": rho_k, "diameter": diameter, "penetration": penetration})
    times = penetration / diameter
    share = 1.0 if times >= FULL_OF_NAIL else max(0.0, times / 4 - 2)
    head_rho = rho_k if rho_head is None else rho_head
    fax, fhead = 20e-6 * rho_k**2 * share, 70e-6 * head_rho**2
    point = fax * diameter * penetration
    under = 20e-6 * head_rho**2 * diameter * head_side + fhead * head**2
    steps = (
        derived("fax,k", fax, "MPa", f"20e-6 rho_k^2 x {share:.3g}", "EN 1995-1-1 8.25, 8.3.2(7)"),
        derived("fhead,k", fhead, "MPa", "70e-6 rho_k^2", "EN 1995-1-1 8.26"),
        derived("point", point, "N", "fax d tpen", "EN 1995-1-1 8.24a"),
        derived("head", under, "N", "fax d t + fhead dh^2", "EN 1995-1-1 8.24b"),
    )
    return derived("Fax,Rk", min(point, under), "N", "lesser of point and head", "EN 1995-1-1 8.24", *steps)


def screw_withdrawal(
    *, rho_k: float, diameter: float, threads: float, angle: float = 90.0, count: int = 1
) -> Derivation:
    """Fax,Rk of screws of 6 to 12 mm (8.38): nef fax d lef kd / (1.2 cos^2 + sin^2), `angle` of axis to grain.

    fax,k = 0.52 d^-0.5 lef^-0.1 rho^0.8, kd = min(d/8, 1), nef = n^0.9; `threads` lef in the piece of the point.
    Raises UsageError `outside-formula`.
    """
    require_positive("screw", {"density": rho_k, "diameter": diameter, "threads": threads})
    if not 6 <= diameter <= 12 or not 30 <= angle <= 90 or threads < 6 * diameter:
        raise UsageError(
            "outside-formula",
            where="screw",
            what=f"d {diameter:g} mm, threads {threads:g} mm, {angle:g} degrees to the grain.",
            do="The clause holds for 6 to 12 mm, threads of 6 d and 30 degrees or more; use the declared value.",
        )
    fax = 0.52 * diameter**-0.5 * threads**-0.1 * rho_k**0.8
    kd, nef = min(diameter / 8, 1.0), count**0.9
    value = nef * fax * diameter * threads * kd / (1.2 * cos(radians(angle)) ** 2 + sin(radians(angle)) ** 2)
    steps = (
        step("d", diameter, "mm"),
        step("lef", threads, "mm"),
        derived("fax,k", fax, "MPa", "0.52 d^-0.5 lef^-0.1 rho_k^0.8", "EN 1995-1-1 8.39"),
        derived("kd", kd, "", "d / 8, at most 1", "EN 1995-1-1 8.40"),
        derived("nef", nef, "", "n^0.9", "EN 1995-1-1 8.41", step("n", count, "")),
    )
    formula = "nef fax d lef kd / (1.2 cos^2 + sin^2)"
    return derived("Fax,Rk", value, "N", formula, "EN 1995-1-1 8.38", *steps)


def combined_check(
    *, kind: Axial, axial: float, Fax: Figure, across: float, Fv: Figure, of: Subject = SINGLE
) -> Check:
    """Load along and across the axis: first powers for smooth nails (8.27), squares for the others (8.28)."""
    a, v = axial / number(Fax), across / number(Fv)
    power, clause = (1, "EN 1995-1-1 8.27") if kind == "smooth nail" else (2, "EN 1995-1-1 8.28")
    steps = (
        step("Fax,Ed", axial, "N"),
        step("Fax,Rd", Fax, "N"),
        step("Fv,Ed", across, "N"),
        step("Fv,Rd", Fv, "N"),
    )
    formula = "Fax,Ed/Fax,Rd + Fv,Ed/Fv,Rd" if power == 1 else "(Fax,Ed/Fax,Rd)^2 + (Fv,Ed/Fv,Rd)^2"
    ratio = derived("axial with lateral", a**power + v**power, "", formula, clause, *steps)
    return interaction(what=f"{kind}, pulled and loaded across", clause=clause, ratio=ratio, of=of)


def bolt_distances(*, diameter: float, angle: float) -> Mapping[str, Derivation]:
    """Least spacings and distances of bolts (table 8.4) at an `angle` of load to grain.

    a1 along and a2 across the grain between bolts; a3t is the loaded, a3c the unloaded end, a4t and a4c the edges.
    """
    require_positive("bolt", {"diameter": diameter})
    c, s = abs(cos(radians(angle))), abs(sin(radians(angle)))
    d, D = diameter, step("d", diameter, "mm")
    least = {
        "a1": ((4 + c) * d, "(4 + |cos|) d"),
        "a2": (4 * d, "4 d"),
        "a3t": (max(7 * d, 80.0), "7 d, at least 80 mm"),
        "a3c": (max((1 + 6 * s) * d, 4 * d), "(1 + 6 sin) d, at least 4 d"),
        "a4t": (max((2 + 2 * s) * d, 3 * d), "(2 + 2 sin) d, at least 3 d"),
        "a4c": (3 * d, "3 d"),
    }
    return {
        name: derived(name, value, "mm", formula, "EN 1995-1-1 table 8.4", D)
        for name, (value, formula) in least.items()
    }
