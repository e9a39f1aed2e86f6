"""Details of members after EN 1995-1-1: notches, heels, tension across the grain in curves, bearing areas.

N, mm, MPa, amounts without sign. Source: EN 1995-1-1:2004+A1+A2 6.1.5, 6.4.3 and 6.5, from memory.
"""

from __future__ import annotations

from math import cos, radians, sqrt, tan
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.axial import require_sense
from trussio.timber.bearing import RELISH_LIMIT
from trussio.timber.eurocode_members import CRACKED, strength_at_angle
from trussio.timber.working import (
    PRACTICE,
    SINGLE,
    STATICS,
    derived,
    interaction,
    number,
    require_known,
    require_positive,
    set_against,
    shown,
    step,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Check, Derivation, Subject
    from trussio.timber.eurocode import Product
    from trussio.timber.working import Figure

NOTCH_KN: Final[Mapping[Product, float]] = {"solid": 5.0, "glulam": 6.5, "LVL": 4.5}
BEYOND: Final = 30.0
REFERENCE_VOLUME: Final = 0.01
KC90_OF: Final[Mapping[Product, tuple[float, float]]] = {
    "solid": (1.25, 1.5),
    "glulam": (1.5, 1.75),
    "LVL": (1.0, 1.0),
}
"""kc,90 on a continuous and on a discrete support."""
LONGEST_CONTACT: Final = 400.0


def notch_factor(
    *, depth: float, left: float, to_support: float, product: Product, slope: float = 0.0
) -> Derivation:
    """Factor kv of a notch on the tension side (6.62): `left` hef of the depth h, `to_support` x from the support.

    `slope` i is the run of a tapered notch over its rise, 0 for a square one. Raises UsageError
    `impossible-distance`.
    """
    require_positive("notch", {"depth": depth, "depth left": left})
    if left > depth or to_support < 0 or slope < 0:
        raise UsageError(
            "impossible-distance",
            where="notch",
            what=f"{left:g} mm is left of {depth:g} mm, {to_support:g} mm from the support.",
            do="Measure the depth that the notch leaves and from the line of support to its corner.",
        )
    alpha = left / depth
    steps = (
        step("h", depth, "mm"),
        step("hef", left, "mm"),
        step("x", to_support, "mm"),
        step("i", slope, ""),
        derived("alpha", alpha, "", "hef / h", "EN 1995-1-1 6.5.2"),
    )
    require_known("notch", product, NOTCH_KN)
    kn = NOTCH_KN[product]
    below = sqrt(depth) * (sqrt(alpha * (1 - alpha)) + 0.8 * to_support / depth * sqrt(1 / alpha - alpha**2))
    value = 1.0 if below <= 0 else min(1.0, kn * (1 + 1.1 * slope**1.5 / sqrt(depth)) / below)
    formula = (
        f"{kn:g} (1 + 1.1 i^1.5 / sqrt h) / (sqrt h (sqrt(alpha (1 - alpha)) + 0.8 x/h sqrt(1/alpha - alpha^2)))"
    )
    return derived("kv", value, "", f"{formula}, at most 1", "EN 1995-1-1 6.62", *steps)


def notched_shear_check(
    *,
    force: float,
    width: float,
    left: float,
    fvd: Figure,
    kv: Figure,
    kcr: float = CRACKED,
    of: Subject = SINGLE,
) -> Check:
    """Shear over what a notch leaves (6.60): 1.5 V / (kcr b hef) against kv fvd; kv is 1 on the other side."""
    require_sense("notched shear", force, "shear")
    require_positive("notched shear", {"width": width, "depth left": left, "kcr": kcr})
    steps = (step("V", force, "N"), step("b", width, "mm"), step("hef", left, "mm"), step("kcr", kcr, ""))
    demand = derived(
        "tau", 1.5 * force / (kcr * width * left), "MPa", "1.5 V / (kcr b hef)", "EN 1995-1-1 6.60", *steps
    )
    capacity = derived(
        "kv fvd",
        number(kv) * number(fvd),
        "MPa",
        "kv fvd",
        "EN 1995-1-1 6.60",
        step("kv", kv, ""),
        step("fvd", fvd, "MPa"),
    )
    clause = "EN 1995-1-1 6.5.2 (6.60)"
    return set_against(what="shear at a notch", clause=clause, demand=demand, capacity=capacity, unit="MPa", of=of)


def tension_perpendicular_check(
    *, stress: Figure, ft90d: Figure, kdis: float = 1.0, kvol: Figure = 1.0, of: Subject = SINGLE
) -> Check:
    """Tension across the grain (6.50): a stress against kdis kvol ft90d, both 1 in sawn wood."""
    steps = (step("kdis", kdis, ""), step("kvol", kvol, ""), step("ft90d", ft90d, "MPa"))
    value = kdis * number(kvol) * number(ft90d)
    return set_against(
        what="tension across the grain",
        clause="EN 1995-1-1 6.1.3, 6.4.3 (6.50)",
        demand=shown("sigma_t90", stress, "MPa"),
        capacity=derived("kdis kvol ft90d", value, "MPa", "kdis kvol ft90d", "EN 1995-1-1 6.50", *steps),
        unit="MPa",
        of=of,
    )


def volume_factor_across(volume: float) -> Derivation:
    """Factor kvol of glulam and LVL in tension across the grain: (0.01 m3 / V)^0.2, the stressed volume in m3."""
    require_positive("kvol", {"volume": volume})
    return derived(
        "kvol",
        (REFERENCE_VOLUME / volume) ** 0.2,
        "",
        "(0.01 / V)^0.2",
        "EN 1995-1-1 6.51",
        step("V", volume, "m3"),
    )


def curved_beam_checks(
    *,
    moment: float,
    width: float,
    depth: float,
    inner_radius: float,
    lamination: float,
    fmd: Figure,
    ft90d: Figure,
    volume: float,
    slope: float = 0.0,
    kdis: float = 1.4,
    flattens: bool = True,
    of: Subject = SINGLE,
) -> tuple[Check, ...]:
    """Bending and tension across the grain at the apex of a curved or pitched cambered beam (6.41 to 6.59).

    `slope` is that of the upper edge at the apex in degrees, 0 for a beam of constant depth; `kdis` 1.4 for curved
    and double tapered beams, 1.7 for pitched cambered ones. `volume` (m3) is the stressed one. Tension across the
    grain arises where the moment `flattens` the curve.
    """
    require_sense("curved beam", moment, "moment")
    require_positive(
        "curved beam",
        {"width": width, "depth": depth, "inner radius": inner_radius, "lamination": lamination},
    )
    t, hr = tan(radians(slope)), depth / (inner_radius + 0.5 * depth)
    kl = (1 + 1.4 * t + 5.4 * t**2) + (0.35 - 8 * t) * hr + (0.6 + 8.3 * t - 7.8 * t**2) * hr**2 + 6 * t**2 * hr**3
    bend = inner_radius / lamination
    kr = 1.0 if bend >= 240 else 0.76 + 0.001 * bend
    kp = 0.2 * t + (0.25 - 1.5 * t + 2.6 * t**2) * hr + (2.1 * t - 4 * t**2) * hr**2
    plain = derived(
        "6 M / b h2", 6 * moment / (width * depth**2), "MPa", "6 M / (b h^2)", "", step("M", moment, "N-mm")
    )
    h_r = derived("h/r", hr, "", "h / (rin + h/2)", "EN 1995-1-1 6.4.3")
    bending = set_against(
        what="bending at the apex",
        clause="EN 1995-1-1 6.4.3 (6.41)",
        demand=derived(
            "sigma_m", kl * plain.value, "MPa", f"kl 6 M / (b h^2), kl = {kl:.4g}", "EN 1995-1-1 6.42", plain, h_r
        ),
        capacity=derived(
            "kr fmd",
            kr * number(fmd),
            "MPa",
            f"kr fmd, kr = {kr:.4g} by rin/t {bend:.4g}",
            "EN 1995-1-1 6.49",
            step("fmd", fmd, "MPa"),
        ),
        unit="MPa",
        of=of,
    )
    if not flattens:
        return (bending,)
    stress = derived(
        "sigma_t90", kp * plain.value, "MPa", f"kp 6 M / (b h^2), kp = {kp:.4g}", "EN 1995-1-1 6.54", plain, h_r
    )
    across = tension_perpendicular_check(
        stress=stress, ft90d=ft90d, kdis=kdis, kvol=volume_factor_across(volume), of=of
    )
    return (bending, across)


def effective_bearing_area(
    *,
    length: float,
    width: float,
    to_end: float | None = None,
    other_end: float | None = None,
    gap: float | None = None,
) -> Derivation:
    """Area that bears across the grain (6.1.5): the contact lengthened by 30 mm each way along the grain.

    No further than to the ends of the member, than the contact itself, nor than half the `gap` to the next one.
    """
    require_positive("bearing", {"length": length, "width": width})
    limits = [BEYOND, length]
    left = min(*limits, *([] if to_end is None else [to_end]), *([] if gap is None else [gap / 2]))
    right = min(*limits, *([] if other_end is None else [other_end]), *([] if gap is None else [gap / 2]))
    effective = length + max(0.0, left) + max(0.0, right)
    steps = (step("l", length, "mm"), step("b", width, "mm"))
    formula = f"b (l + {max(0.0, left):g} + {max(0.0, right):g})"
    return derived("Aef", effective * width, "mm2", formula, "EN 1995-1-1 6.1.5(1)", *steps)


def bearing_factor(*, product: Product, support: str, clear: float, depth: float, length: float) -> Derivation:
    """Factor kc,90 of softwood (6.1.5): on a `continuous` support 1.25, glulam 1.5; `discrete` 1.5, glulam 1.75.

    1 where the `clear` distance to the next load along the grain is under twice the depth, and for glulam on a
    discrete support longer than 400 mm.
    """
    require_positive("kc,90", {"depth": depth, "length": length})
    require_known("support", support, ("continuous", "discrete"))
    require_known("kc,90", product, KC90_OF)
    steps = (step("l1", clear, "mm"), step("h", depth, "mm"), step("l", length, "mm"))
    long = support == "discrete" and product == "glulam" and length > LONGEST_CONTACT
    near = clear < 2 * depth * (1 - 1e-9)
    value = 1.0 if near or long else KC90_OF[product][support == "discrete"]
    formula = (
        "l1 under 2 h" if near else ("l over 400 mm" if long else f"{product}, {support} support, l1 from 2 h on")
    )
    return derived("kc90", value, "", formula, "EN 1995-1-1 6.1.5(3), (4)", *steps)


def notched_heel_checks(
    *,
    compression: float,
    slope: float,
    width: float,
    notch: float,
    tie_depth: float,
    relish: float,
    fc0d: Figure,
    fc90d: Figure,
    fvd: Figure,
    ft0d: Figure,
    fmd: Figure,
    of: Subject = SINGLE,
) -> tuple[Check, Check, Check]:
    """A heel where the top chord bears in a notch of the tie: bearing (6.16), relish, and the tie under it (6.17).

    `compression` is the top chord's force at `slope` degrees to the tie; the notch face is square to the chord,
    `notch` deep, `relish` long (up to 8 notch depths count, carpentry practice). The tie keeps what is left, its
    tension eccentric by half a notch.
    """
    require_sense("heel", compression, "compression")
    require_positive("heel", {"slope": slope, "notch": notch, "wood under the notch": tie_depth - notch})
    require_positive("heel", {"width": width, "relish": relish})
    thrust, face = compression * cos(radians(slope)), width * notch / cos(radians(slope))
    left, counted = tie_depth - notch, min(relish, RELISH_LIMIT * notch)
    C, b = step("C", compression, "N"), step("b", width, "mm")
    bearing = set_against(
        what="bearing at an angle to the grain",
        clause="EN 1995-1-1 6.2.2 (6.16)",
        demand=derived("sigma_c", compression / face, "MPa", "C cos slope / (b notch)", "", C, b, source=STATICS),
        capacity=strength_at_angle(fc0d=fc0d, fc90d=fc90d, kc90=1.0, angle=slope),
        unit="MPa",
        of=of,
    )
    T = derived("T", thrust, "N", "C cos slope", "", C, step("slope", slope, "deg"), source=STATICS)
    L = derived("L counted", counted, "mm", "L, at most 8 notch depths", "", source=PRACTICE)
    shear = set_against(
        what="shear of the relish beyond a notch",
        clause="EN 1995-1-1 6.1.7, carpentry practice",
        demand=derived("tau", thrust / (width * counted), "MPa", "T / (b L)", "", T, b, L, source=STATICS),
        capacity=shown("fvd", fvd, "MPa"),
        unit="MPa",
        of=of,
    )
    sigma_t, sigma_m = thrust / (width * left), thrust * notch / 2 * 6 / (width * left**2)
    parts = (
        T,
        derived("sigma_t0", sigma_t, "MPa", "T / (b (h - notch))", "", step("h", tie_depth, "mm"), source=STATICS),
        derived("sigma_m", sigma_m, "MPa", "6 T (notch/2) / (b (h - notch)^2)", "", source=STATICS),
        step("ft0d", ft0d, "MPa"),
        step("fmd", fmd, "MPa"),
    )
    total = sigma_t / number(ft0d) + sigma_m / number(fmd)
    clause = "EN 1995-1-1 6.2.3 (6.17)"
    ratio = derived("tie", total, "", "sigma_t0/ft0d + sigma_m/fmd", clause, *parts)
    under = interaction(what="tie under the notch, tension with bending", clause=clause, ratio=ratio, of=of)
    return bearing, shear, under
