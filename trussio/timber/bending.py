"""Bending and shear of one piece, shear at a connection, and radial stress in curved glulam.

Moments in-lbf, forces lbf, lengths in, stresses psi, amounts without sign unless said.
Source: NDS-2018 3.3, 3.4, 5.3.8, 5.4.1, as marked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.adjustment import adjusted
from trussio.timber.axial import require_sense
from trussio.timber.working import (
    SINGLE,
    STATICS,
    Figure,
    derived,
    number,
    require_positive,
    set_against,
    shown,
    step,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

BEAM_LIMIT: Final = 50.0
NEAR_END: Final = 5.0
RADIAL_TENSION: Final = 15.0


def bending_stress(moment: Figure, modulus: Figure, symbol: str = "fb") -> Derivation:
    """M / S."""
    steps = (step("M", moment, "in-lbf"), step("S", modulus, "in3"))
    return derived(
        symbol, number(moment) / number(modulus), "psi", "M / S", "NDS-2018 3.3.2", *steps, source=STATICS
    )


def section_modulus(width: float, depth: float) -> Derivation:
    """S of a rectangle bent in its depth."""
    require_positive("section", {"width": width, "depth": depth})
    steps = (step("b", width, "in"), step("d", depth, "in"))
    return derived("S", width * depth**2 / 6, "in3", "b d^2 / 6", "", *steps, source=STATICS)


def bending_value(
    *, Fb_star: Figure, CL: Figure, CV: Figure | None = None, Cfu: Figure | None = None, Cc: Figure | None = None
) -> Derivation:
    """Fb' from Fb* (every factor but these): the lesser of CL and CV, with Cfu and Cc where they hold."""
    factors: dict[str, Figure] = {"CL": CL}
    if CV is not None and number(CV) < number(CL):
        factors = {"CV": CV}
    optional: Mapping[str, Figure | None] = {"Cfu": Cfu, "Cc": Cc}
    factors |= {name: factor for name, factor in optional.items() if factor is not None}
    return adjusted("Fb'", Fb_star, factors, base="Fb*")


def bending_check(*, moment: float, modulus: Figure, Fb: Figure, of: Subject = SINGLE) -> Check:
    """Bending: M / S against Fb'."""
    require_sense("bending", moment, "moment")
    return set_against(
        what="bending",
        clause="NDS-2018 3.3.1",
        demand=bending_stress(moment, modulus),
        capacity=shown("Fb'", Fb, "psi"),
        unit="psi",
        of=of,
    )


def beam_slenderness_check(*, RB: Derivation, of: Subject = SINGLE) -> Check:
    """RB against 50."""
    return set_against(
        what="beam slenderness",
        clause="NDS-2018 3.3.3.7",
        demand=RB,
        capacity=derived("RB limit", BEAM_LIMIT, "", "", "NDS-2018 3.3.3.7"),
        unit="RB",
        of=of,
    )


def shear_reduction_factor(*, notched_or_not_prismatic: bool) -> Derivation:
    """Cvr on Fv of glulam: 0.72 where the piece is notched or not prismatic."""
    value = 0.72 if notched_or_not_prismatic else 1.0
    formula = "notched or not prismatic" if notched_or_not_prismatic else "prismatic, without notch"
    return derived("Cvr", value, "", formula, "NDS-2018 5.3.10")


def shear_check(*, force: float, width: float, depth: float, Fv: Figure, of: Subject = SINGLE) -> Check:
    """Shear along the grain of a rectangle: 3 V / (2 b d) against Fv'."""
    require_sense("shear", force, "shear")
    require_positive("shear", {"width": width, "depth": depth})
    steps = (step("V", force, "lbf"), step("b", width, "in"), step("d", depth, "in"))
    fv = derived("fv", 1.5 * force / (width * depth), "psi", "3 V / (2 b d)", "NDS-2018 3.4.2", *steps)
    return set_against(
        what="shear",
        clause="NDS-2018 3.4.1",
        demand=fv,
        capacity=shown("Fv'", Fv, "psi"),
        unit="psi",
        of=of,
    )


def shear_at_connection_check(
    *,
    force: float,
    width: float,
    depth: float,
    effective_depth: float,
    distance_from_end: float,
    Fv: Figure,
    of: Subject = SINGLE,
) -> Check:
    """Shear where fasteners push across the grain, as a compressed web does on a bottom chord."""
    require_sense("shear at a connection", force, "shear")
    capacity, clause = shear_at_connection_value(
        width=width, depth=depth, effective_depth=effective_depth, distance_from_end=distance_from_end, Fv=Fv
    )
    demand = shown("V", force, "lbf")
    what = "shear at a connection"
    return set_against(what=what, clause=clause, demand=demand, capacity=capacity, unit="lbf", of=of)


def shear_at_connection_value(
    *, width: float, depth: float, effective_depth: float, distance_from_end: float, Fv: Figure
) -> tuple[Derivation, str]:
    """What a stick carries in shear at a connection (lbf), and the clause.

    `effective_depth` de goes from the loaded edge (the one away from which the fasteners push is unloaded) to the
    farthest fastener or connector edge; `distance_from_end` from the connection to the member's end. Nearer than
    5 d the strength falls with (de/d)^2; from there on it is that of de, and the gross section is checked
    besides by `shear_check`.
    """
    require_positive("shear at a connection", {"width": width, "depth": depth, "effective depth": effective_depth})
    if effective_depth > depth or distance_from_end < 0:
        raise UsageError(
            "impossible-distance",
            where="shear at a connection",
            what=f"effective depth {effective_depth:g} in {depth:g}, {distance_from_end:g} from the end.",
            do="Measure from the loaded edge to the farthest fastener, and from the connection to the end.",
        )
    near = distance_from_end < NEAR_END * depth
    reduction = (effective_depth / depth) ** 2 if near else 1.0
    capacity = 2 / 3 * number(Fv) * width * effective_depth * reduction
    steps = (
        step("Fv'", Fv, "psi"),
        step("b", width, "in"),
        step("d", depth, "in"),
        step("de", effective_depth, "in"),
    )
    formula = "2/3 Fv' b de (de/d)^2" if near else "2/3 Fv' b de"
    clause = "NDS-2018 3.4.3.3(a)" if near else "NDS-2018 3.4.3.3(b)"
    return derived("Vr'", capacity, "lbf", formula, clause, *steps), clause


def curvature_factor(*, lamination: float, radius: float, southern_pine_or_hardwood: bool) -> Derivation:
    """Cc = 1 - 2000 (t/R)^2 on Fb of the curved part, R being the radius of the inside face (in).

    Raises UsageError `too-curved` where t/R is over 1/100 (Southern Pine, hardwood) or 1/125 (other softwood).
    """
    require_positive("curvature", {"lamination": lamination, "radius": radius})
    ratio = lamination / radius
    limit = 1 / 100 if southern_pine_or_hardwood else 1 / 125
    if ratio > limit * (1 + 1e-12):
        raise UsageError(
            "too-curved",
            where="Cc",
            what=f"t/R is 1/{1 / ratio:.0f}, over 1/{1 / limit:.0f}.",
            do="Measure lamination and inside radius again; laminations bent so far have no tabulated value.",
        )
    steps = (step("t", lamination, "in"), step("R", radius, "in"))
    return derived("Cc", 1 - 2000 * ratio**2, "", "1 - 2000 (t/R)^2", "NDS-2018 5.3.8", *steps)


def radial_stress(*, moment: float, radius: float, width: float, depth: float) -> Derivation:
    """Radial stress 3 M / (2 R b d), R being the radius of the centreline (in)."""
    require_positive("radial stress", {"radius": radius, "width": width, "depth": depth})
    steps = (
        step("M", moment, "in-lbf"),
        step("R", radius, "in"),
        step("b", width, "in"),
        step("d", depth, "in"),
    )
    value = 1.5 * moment / (radius * width * depth)
    return derived("fr", value, "psi", "3 M / (2 R b d)", "NDS-2018 5.4.1", *steps)


def radial_tension_value(*, Fvx: Figure, southern_pine: bool, wind_or_earthquake: bool) -> Derivation:
    """Frt: a third of Fvx for Southern Pine and under wind or earthquake, else 15 psi; before CD, CM and Ct."""
    if southern_pine or wind_or_earthquake:
        return derived("Frt", number(Fvx) / 3, "psi", "Fvx / 3", "NDS-2018 5.2.8", step("Fvx", Fvx, "psi"))
    return derived("Frt", RADIAL_TENSION, "psi", "15 psi for other than wind or earthquake", "NDS-2018 5.2.8")


def radial_check(
    *,
    moment: float,
    flattens: bool,
    radius: float,
    width: float,
    depth: float,
    Frt: Figure,
    Fc_perp_y: Figure,
    of: Subject = SINGLE,
) -> Check:
    """Radial stress in curved glulam: tension against Frt' where the moment flattens the curve, else compression.

    The tightening moment is checked against Fc_perp' about the weak axis.
    """
    require_sense("radial stress", moment, "moment")
    fr = radial_stress(moment=moment, radius=radius, width=width, depth=depth)
    capacity = shown("Frt'", Frt, "psi") if flattens else shown("Fc_perp_y'", Fc_perp_y, "psi")
    return set_against(
        what="radial tension" if flattens else "radial compression",
        clause="NDS-2018 5.4.1",
        demand=fr,
        capacity=capacity,
        unit="psi",
        of=of,
    )
