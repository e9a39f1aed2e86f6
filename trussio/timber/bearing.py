"""Bearing of wood: across the grain, at an angle to it, under washers, and on notches.

Forces lbf, lengths in, stresses psi, angles in degrees between load and grain.
Source: NDS-2018 3.10, as marked; notched heels by statics and carpentry practice.
"""

from __future__ import annotations

from math import cos, pi, radians, sin
from typing import Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.axial import require_sense
from trussio.timber.working import (
    PRACTICE,
    SINGLE,
    STATICS,
    Figure,
    derived,
    interaction,
    number,
    require_positive,
    set_against,
    shown,
    step,
)

RELISH_LIMIT: Final = 8.0
"""Length of a relish that may be counted, in notch depths: common carpentry practice, from memory."""


def hankinson(parallel: Figure, perpendicular: Figure, angle: float, symbol: str = "F_theta") -> Derivation:
    """P Q / (P sin^2 + Q cos^2), `angle` in degrees between load and grain, 0 to 90.

    Raises UsageError `angle-outside`.
    """
    if not 0 <= angle <= 90:
        raise UsageError(
            "angle-outside",
            where="angle to grain",
            what=f"{angle:g} degrees is outside 0 to 90.",
            do="Enter the acute angle between the load and the grain.",
        )
    p, q = number(parallel), number(perpendicular)
    require_positive(symbol, {"the value along the grain": p, "the value across it": q})
    value = p * q / (p * sin(radians(angle)) ** 2 + q * cos(radians(angle)) ** 2)
    steps = (step("P", parallel, ""), step("Q", perpendicular, ""), step("theta", angle, "deg"))
    return derived(symbol, value, "", "P Q / (P sin^2 + Q cos^2)", "NDS-2018 3.10.3, J", *steps)


def bearing_area_factor(*, length: float, to_end: float) -> Derivation:
    """Cb for a bearing `length` along the grain (in), nearer than 6 in long and at least 3 in from the end."""
    require_positive("Cb", {"bearing length": length})
    steps = (step("lb", length, "in"), step("to end", to_end, "in"))
    if length < 6.0 and to_end >= 3.0:
        return derived("Cb", (length + 0.375) / length, "", "(lb + 0.375) / lb", "NDS-2018 3.10.4", *steps)
    return derived("Cb", 1.0, "", "long, or near the end", "NDS-2018 3.10.4", *steps)


def bearing_perpendicular_check(
    *, force: float, area: Figure, Fc_perp: Figure, Cb: Figure = 1.0, of: Subject = SINGLE
) -> Check:
    """Bearing across the grain: R / A against Fc_perp' (no CD) times Cb."""
    require_sense("bearing", force, "bearing force")
    steps = (step("R", force, "lbf"), step("A", area, "in2"))
    demand = derived("fc_perp", force / number(area), "psi", "R / A", "", *steps, source=STATICS)
    capacity = derived(
        "Fc_perp'",
        number(Fc_perp) * number(Cb),
        "psi",
        "Fc_perp' Cb",
        "NDS-2018 3.10.2",
        step("Fc_perp", Fc_perp, "psi"),
        step("Cb", Cb, ""),
    )
    return set_against(
        what="bearing across the grain",
        clause="NDS-2018 3.10.2",
        demand=demand,
        capacity=capacity,
        unit="psi",
        of=of,
    )


def bearing_at_angle_check(
    *, force: float, area: Figure, Fc_star: Figure, Fc_perp: Figure, angle: float, of: Subject = SINGLE
) -> Check:
    """Bearing at an angle to the grain, `angle` 0 along it; R / A against Fc* and Fc_perp' by Hankinson."""
    require_sense("bearing", force, "bearing force")
    steps = (step("R", force, "lbf"), step("A", area, "in2"))
    demand = derived("fc_theta", force / number(area), "psi", "R / A", "", *steps, source=STATICS)
    capacity = hankinson(shown("Fc*", Fc_star, "psi"), shown("Fc_perp'", Fc_perp, "psi"), angle, "F_theta'")
    return set_against(
        what="bearing at an angle to the grain",
        clause="NDS-2018 3.10.3",
        demand=demand,
        capacity=capacity,
        unit="psi",
        of=of,
    )


def washer_area(*, hole: float, diameter: float = 0.0, side: float = 0.0) -> Derivation:
    """Net area (in2) of a round (`diameter`) or square (`side`) washer or plate less the hole in the wood."""
    require_positive("washer", {"hole": hole, "size": max(diameter, side)})
    gross = side**2 if side else pi * diameter**2 / 4
    value = gross - pi * hole**2 / 4
    if not value > 0:
        raise UsageError(
            "impossible-distance",
            where="washer",
            what=f"a hole of {hole:g} in leaves nothing of the washer.",
            do="Enter washer and hole as measured.",
        )
    steps = (step("A_washer", gross, "in2"), step("hole", hole, "in"))
    return derived("A", value, "in2", "A_washer - pi hole^2 / 4", "", *steps, source=STATICS)


def relish_check(
    *, thrust: float, width: float, length: float, notch: float, Fv: Figure, of: Subject = SINGLE
) -> Check:
    """Shear of the wood beyond a heel notch: T / (b L) against Fv', with L counted up to 8 notch depths."""
    require_sense("relish", thrust, "horizontal thrust")
    require_positive("relish", {"width": width, "length": length, "notch depth": notch})
    counted = min(length, RELISH_LIMIT * notch)
    steps = (step("L", length, "in"), step("notch", notch, "in"))
    L = derived("L counted", counted, "in", "L, at most 8 notch depths", "", *steps, source=PRACTICE)
    fv = derived(
        "fv",
        thrust / (width * counted),
        "psi",
        "T / (b L)",
        "",
        step("T", thrust, "lbf"),
        step("b", width, "in"),
        L,
        source=STATICS,
    )
    return set_against(
        what="shear of the relish beyond a notch",
        clause="carpentry practice",
        demand=fv,
        capacity=shown("Fv'", Fv, "psi"),
        unit="psi",
        of=of,
    )


def notched_heel_checks(
    *,
    compression: float,
    slope: float,
    width: float,
    notch: float,
    tie_depth: float,
    relish: float,
    Fc_star: Figure,
    Fc_perp: Figure,
    Fv: Figure,
    Ft: Figure,
    Fb_star: Figure,
    of: Subject = SINGLE,
) -> tuple[Check, Check, Check]:
    """A heel where the top chord bears in a notch of the tie: bearing, relish, and the tie under the notch.

    `compression` is the top chord's force (lbf) at `slope` degrees to the tie; the notch face is square to the
    chord, `notch` deep below the tie's edge, `relish` long. The tie keeps `tie_depth - notch`, its tension
    eccentric by half a notch, which adds bending. Fc*, Fc_perp', Fv', Ft' and Fb* are those of the tie.
    """
    require_sense("heel", compression, "compression")
    require_positive("heel", {"slope": slope, "notch": notch, "wood under the notch": tie_depth - notch})
    thrust = compression * cos(radians(slope))
    face = notch / cos(radians(slope))
    steps = (step("notch", notch, "in"), step("slope", slope, "deg"), step("b", width, "in"))
    area = derived("A_face", width * face, "in2", "b notch / cos slope", "", *steps, source=STATICS)
    bearing = bearing_at_angle_check(
        force=compression, area=area, Fc_star=Fc_star, Fc_perp=Fc_perp, angle=slope, of=of
    )
    shear = relish_check(thrust=thrust, width=width, length=relish, notch=notch, Fv=Fv, of=of)
    left = tie_depth - notch
    ft, fb = thrust / (width * left), thrust * notch / 2 * 6 / (width * left**2)
    parts = (
        derived("T", thrust, "lbf", "C cos slope", "", step("C", compression, "lbf"), source=STATICS),
        derived("ft", ft, "psi", "T / (b (d - notch))", "", step("d", tie_depth, "in"), source=STATICS),
        derived("fb", fb, "psi", "6 T (notch/2) / (b (d - notch)^2)", "", source=STATICS),
        step("Ft'", Ft, "psi"),
        step("Fb*", Fb_star, "psi"),
    )
    ratio = derived(
        "tie", ft / number(Ft) + fb / number(Fb_star), "", "ft/Ft' + fb/Fb*", "NDS-2018 eq. 3.9-1", *parts
    )
    under = interaction(
        what="tie under the notch, tension with bending", clause="NDS-2018 3.9.1 eq. 3.9-1", ratio=ratio, of=of
    )
    return bearing, shear, under
