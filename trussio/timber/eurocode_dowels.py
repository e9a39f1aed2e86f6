"""Dowel-type fasteners after EN 1995-1-1 section 8: bearing, yield moment, Johansen modes with rope effect.

N, mm, MPa, kg/m3, degrees; characteristic values. Terms: piece 1 is the side piece, piece 2 the other (or middle)
one, beta = fh2/fh1. The *rope* part F_ax/4 is kept to a share of the Johansen part. Values are per shear plane.
Source: EN 1995-1-1 8.2 to 8.5, 7.1 and Annex A: modes from a tutorial and a textbook, the rest from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, radians, sin, sqrt
from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.working import (
    Figure,
    Step,
    derived,
    number,
    require_angle,
    require_known,
    require_positive,
    step,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Derivation

SEEN: Final = "formulas read in a textbook and a tutorial"
RopeKind = Literal["round nail", "square nail", "other nail", "screw", "bolt", "dowel"]
Wood = Literal["softwood", "hardwood", "LVL"]

LARGEST: Final = 30.0
"""Greatest diameter of bolts in mm (8.5.1.1)."""
K90_BASE: Final[Mapping[str, float]] = {"softwood": 1.35, "hardwood": 0.90, "LVL": 1.30}


def embedment_strength(
    *, rho_k: float, diameter: float, angle: float = 0.0, wood: Wood = "softwood"
) -> Derivation:
    """Embedment strength fh of bolts, dowels and predrilled nails at `angle` to the grain (8.31 to 8.33)."""
    require_positive("embedment", {"density": rho_k, "diameter": diameter})
    require_angle("embedment", angle)
    require_known("wood", wood, K90_BASE)
    if diameter > LARGEST:
        raise UsageError(
            "diameter-beyond-equations",
            where="embedment",
            what=f"{diameter:g} mm is over {LARGEST:g} mm, where the rule for bolts ends; it is not extrapolated.",
            do="State an embedment strength from tests with its source.",
        )
    steps = (step("rho_k", rho_k, "kg/m3"), step("d", diameter, "mm"))
    fh0 = derived(
        "fh0", 0.082 * (1 - 0.01 * diameter) * rho_k, "MPa", "0.082 (1 - 0.01 d) rho_k", "EN 1995-1-1 8.32", *steps
    )
    if angle == 0:
        return fh0
    k90 = K90_BASE[wood] + 0.015 * diameter
    line = derived("k90", k90, "", f"{K90_BASE[wood]} + 0.015 d", "EN 1995-1-1 8.33")
    value = fh0.value / (k90 * sin(radians(angle)) ** 2 + cos(radians(angle)) ** 2)
    alpha = step("alpha", angle, "deg")
    return derived("fh", value, "MPa", "fh0 / (k90 sin^2 + cos^2)", "EN 1995-1-1 8.31", fh0, line, alpha)


def nail_embedment(*, rho_k: float, diameter: float) -> Derivation:
    """Embedment strength fh of nails without predrilling: 0.082 rho_k d^-0.3 (8.15)."""
    require_positive("embedment", {"density": rho_k, "diameter": diameter})
    steps = (step("rho_k", rho_k, "kg/m3"), step("d", diameter, "mm"))
    value = 0.082 * rho_k * diameter**-0.3
    return derived("fh", value, "MPa", "0.082 rho_k d^-0.3", "EN 1995-1-1 8.15", *steps)


def yield_moment(*, fu: float, diameter: float, square: bool = False) -> Derivation:
    """My of bolts, dowels and round nails 0.3 fu d^2.6, of square nails 0.45 fu d^2.6 (N-mm)."""
    require_positive("yield moment", {"fu": fu, "diameter": diameter})
    times = 0.45 if square else 0.3
    steps = (step("fu", fu, "MPa"), step("d", diameter, "mm"))
    value = times * fu * diameter**2.6
    return derived("My", value, "N-mm", f"{times} fu d^2.6", "EN 1995-1-1 8.30, 8.14", *steps, source=SEEN)


@dataclass(frozen=True, kw_only=True)
class Johansen:
    """Value of every mode per shear plane (N), its Johansen part, the governing mode, and Fv,Rk."""

    modes: Mapping[str, float]
    johansen: Mapping[str, float]
    mode: str
    F: Derivation


def _governing(
    crushing: Mapping[str, float],
    bending: Mapping[str, float],
    Fax: float,
    rope: RopeKind,
    steps: tuple[Step, ...],
) -> Johansen:
    """The least mode; the rope part is added to bending modes alone, up to its share of the Johansen part."""
    shares = tables.european()["rope_share"]
    require_known("rope effect", rope, shares)
    if not Fax >= 0:
        raise UsageError(
            "wrong-sense", where="rope effect", what=f"Fax,Rk is {Fax:g}.", do="Enter it in N, 0 for none."
        )
    share = shares[rope]
    johansen = {**crushing, **bending}
    modes = dict(crushing) | {name: value + min(Fax / 4, share * value) for name, value in bending.items()}
    mode = min(modes, key=lambda name: modes[name])
    lines = tuple(
        derived(
            f"F {name}",
            value,
            "N",
            "with rope part" if name in bending else "crushing",
            "EN 1995-1-1 8.2",
            source=SEEN,
        )
        for name, value in modes.items()
    )
    rope_line = derived("rope share", share, "", f"{rope}: F_ax/4 up to this share", "EN 1995-1-1 8.2.2(2)")
    F = derived("Fv,Rk", modes[mode], "N", f"least mode: {mode}", "EN 1995-1-1 8.2", *steps, rope_line, *lines)
    return Johansen(modes=modes, johansen=johansen, mode=mode, F=F)


def timber_single_shear(
    *, fh1: Figure, fh2: Figure, t1: float, t2: float, diameter: float, My: Figure, Fax: float, rope: RopeKind
) -> Johansen:
    """Timber to timber in single shear, modes a to f (8.6). `Fax` is the axial capacity Fax,Rk, 0 for none."""
    require_positive("single shear", {"t1": t1, "t2": t2, "diameter": diameter})
    a, b = number(fh1), number(fh2) / number(fh1)
    t, M = t2 / t1, number(My)
    c = a * t1 * diameter / (1 + b) * (sqrt(b + 2 * b**2 * (1 + t + t**2) + b**3 * t**2) - b * (1 + t))
    e = sqrt(2 * b**2 * (1 + b) + 4 * b * (1 + 2 * b) * M / (a * diameter * t2**2)) - b
    return _governing(
        {"a": a * t1 * diameter, "b": number(fh2) * t2 * diameter},
        {
            "c": c,
            "d": _mode_d(a, b, t1, diameter, M),
            "e": 1.05 * a * t2 * diameter / (1 + 2 * b) * e,
            "f": _mode_f(a, b, diameter, M),
        },
        Fax,
        rope,
        _steps((fh1, fh2), (t1, t2), diameter, My, Fax),
    )


def timber_double_shear(
    *, fh1: Figure, fh2: Figure, t1: float, t2: float, diameter: float, My: Figure, Fax: float, rope: RopeKind
) -> Johansen:
    """Timber to timber in double shear, per plane, modes g to k (8.7); `t2` is the middle piece."""
    require_positive("double shear", {"t1": t1, "t2": t2, "diameter": diameter})
    a, b, M = number(fh1), number(fh2) / number(fh1), number(My)
    return _governing(
        {"g": a * t1 * diameter, "h": 0.5 * number(fh2) * t2 * diameter},
        {"j": _mode_d(a, b, t1, diameter, M), "k": _mode_f(a, b, diameter, M)},
        Fax,
        rope,
        _steps((fh1, fh2), (t1, t2), diameter, My, Fax),
    )


def _mode_d(fh1: float, beta: float, t1: float, d: float, My: float) -> float:
    root = sqrt(2 * beta * (1 + beta) + 4 * beta * (2 + beta) * My / (fh1 * d * t1**2))
    return 1.05 * fh1 * t1 * d / (2 + beta) * (root - beta)


def _mode_f(fh1: float, beta: float, d: float, My: float) -> float:
    return 1.15 * sqrt(2 * beta / (1 + beta)) * sqrt(2 * My * fh1 * d)


def steel_single_shear(
    *, fh: Figure, t1: float, diameter: float, My: Figure, Fax: float, rope: RopeKind, plate: float
) -> Johansen:
    """A steel plate on one side of a timber, modes a and b (thin, 8.9) or c to e (thick, 8.10).

    A `plate` up to half the diameter is thin, from the diameter on thick; between them the value of the lesser
    modes is interpolated.
    """
    require_positive("steel on one side", {"t1": t1, "diameter": diameter, "plate": plate})
    f, M = number(fh), number(My)
    crush = f * t1 * diameter
    sizes = (step("fh", fh, "MPa"), step("t1", t1, "mm"), step("d", diameter, "mm"), step("My", My, "N-mm"))
    steps = (*sizes, step("t plate", plate, "mm"), step("Fax", Fax, "N"))
    thin = _governing({"a": 0.4 * crush}, {"b": 1.15 * sqrt(2 * M * f * diameter)}, Fax, rope, steps)
    c = crush * (sqrt(2 + 4 * M / (f * diameter * t1**2)) - 1)
    thick = _governing({"e": crush}, {"c": c, "d": 2.3 * sqrt(M * f * diameter)}, Fax, rope, steps)
    part = min(1.0, max(0.0, (plate / diameter - 0.5) / 0.5))
    if part in (0.0, 1.0):
        return thick if part else thin
    value = thin.F.value + part * (thick.F.value - thin.F.value)
    F = derived("Fv,Rk", value, "N", "between thin and thick plate", "EN 1995-1-1 8.2.3(1)", thin.F, thick.F)
    return Johansen(
        modes={**thin.modes, **thick.modes},
        johansen={**thin.johansen, **thick.johansen},
        mode=f"{thin.mode}-{thick.mode}",
        F=F,
    )


def steel_in_middle(*, fh: Figure, t1: float, diameter: float, My: Figure, Fax: float, rope: RopeKind) -> Johansen:
    """A steel plate of any thickness between two timbers, per plane, modes f to h (8.11)."""
    require_positive("steel in the middle", {"t1": t1, "diameter": diameter})
    f, M = number(fh), number(My)
    crush = f * t1 * diameter
    g = crush * (sqrt(2 + 4 * M / (f * diameter * t1**2)) - 1)
    steps = (step("fh1", fh, "MPa"), step("t1", t1, "mm"), step("d", diameter, "mm"), step("My", My, "N-mm"))
    return _governing(
        {"f": crush}, {"g": g, "h": 2.3 * sqrt(M * f * diameter)}, Fax, rope, (*steps, step("Fax", Fax, "N"))
    )


def steel_outside(
    *, fh: Figure, t2: float, diameter: float, My: Figure, Fax: float, rope: RopeKind, plate: float
) -> Johansen:
    """Steel plates on both sides of a timber, per plane, modes j and k (thin, 8.12) or l and m (thick, 8.13).

    A `plate` up to half the diameter is thin, from the diameter on (hole tolerance under 0.1 d) thick; between
    them the mode values are interpolated.
    """
    require_positive("steel outside", {"t2": t2, "diameter": diameter, "plate": plate})
    f, M = number(fh), number(My)
    crush = 0.5 * f * t2 * diameter
    thin, thick = 1.15 * sqrt(2 * M * f * diameter), 2.3 * sqrt(M * f * diameter)
    part = min(1.0, max(0.0, (plate / diameter - 0.5) / 0.5))
    names = ("j", "k") if part == 0.0 else (("l", "m") if part == 1.0 else ("j-l", "k-m"))
    steps = (step("fh2", fh, "MPa"), step("t2", t2, "mm"), step("d", diameter, "mm"), step("My", My, "N-mm"))
    return _governing(
        {names[0]: crush},
        {names[1]: thin + part * (thick - thin)},
        Fax,
        rope,
        (*steps, step("t plate", plate, "mm"), step("Fax", Fax, "N")),
    )


def _steps(
    fh: tuple[Figure, Figure], t: tuple[float, float], diameter: float, My: Figure, Fax: float
) -> tuple[Step, ...]:
    return (
        step("fh1", fh[0], "MPa"),
        step("fh2", fh[1], "MPa"),
        step("t1", t[0], "mm"),
        step("t2", t[1], "mm"),
        step("d", diameter, "mm"),
        step("My", My, "N-mm"),
        step("Fax", Fax, "N"),
    )


def washer_resistance(*, fc90k: float, diameter: float, hole: float) -> Derivation:
    """Axial resistance of a bolt by the wood under its washer: 3 fc90k on the net area (8.5.2)."""
    require_positive("washer", {"washer diameter": diameter, "hole": hole, "wood under it": diameter - hole})
    area = pi / 4 * (diameter**2 - hole**2)
    steps = (step("fc90k", fc90k, "MPa"), step("dw", diameter, "mm"), step("hole", hole, "mm"))
    return derived(
        "Fax,Rk", 3 * fc90k * area, "N", "3 fc90k pi/4 (dw^2 - hole^2)", "EN 1995-1-1 8.5.2", *steps, source=SEEN
    )


def plate_as_washer(*, plate: float, diameter: float) -> float:
    """Diameter (mm) of the washer that a steel plate counts as: the lesser of 12 t and 4 d."""
    return min(12 * plate, 4 * diameter)


def effective_number(*, count: int, spacing: float, diameter: float, angle: float = 0.0) -> Derivation:
    """Bolts of a row that count: n^0.9 (a1/13d)^0.25, at most n (8.34); all of them across the grain."""
    require_positive("nef", {"spacing": spacing, "diameter": diameter, "number": count})
    require_angle("nef", angle)
    along = min(float(count), count**0.9 * (spacing / (13 * diameter)) ** 0.25)
    value = along + (count - along) * angle / 90
    formula = "min(n, n^0.9 (a1/13d)^0.25)" + (", straight to n at 90 degrees" if angle else "")
    steps = (step("n", count, ""), step("a1", spacing, "mm"), step("d", diameter, "mm"))
    return derived("nef", value, "", formula, "EN 1995-1-1 8.34", *steps)


def splitting_resistance(*, width: float, depth: float, to_farthest: float, w: float = 1.0) -> Derivation:
    """F90,Rk = 14 b w sqrt(he / (1 - he/h)) of a member loaded across its grain (8.4); he from the loaded edge.

    Raises UsageError `impossible-distance` where he is not within the depth.
    """
    require_positive("splitting", {"width": width, "depth": depth, "he": to_farthest})
    if to_farthest >= depth:
        raise UsageError(
            "impossible-distance",
            where="splitting",
            what=f"he {to_farthest:g} mm is not within the depth {depth:g} mm.",
            do="Measure from the loaded edge to the farthest fastener.",
        )
    value = 14 * width * w * sqrt(to_farthest / (1 - to_farthest / depth))
    steps = (step("b", width, "mm"), step("h", depth, "mm"), step("he", to_farthest, "mm"), step("w", w, ""))
    return derived("F90,Rk", value, "N", "14 b w sqrt(he / (1 - he/h))", "EN 1995-1-1 8.4", *steps)


def block_shear(*, net_tension_area: float, ft0k: float, net_shear_area: float, fvk: float) -> Derivation:
    """Block and plug shear: the greater of 1.5 Anet,t ft0k and 0.7 Anet,v fvk (Annex A); they are not added."""
    value = max(1.5 * net_tension_area * ft0k, 0.7 * net_shear_area * fvk)
    steps = (
        step("Anet,t", net_tension_area, "mm2"),
        step("ft0k", ft0k, "MPa"),
        step("Anet,v", net_shear_area, "mm2"),
        step("fvk", fvk, "MPa"),
    )
    formula = "greater of 1.5 Anet,t ft0k and 0.7 Anet,v fvk"
    source = "Swedish Wood, Design of timber structures Volume 1"
    return derived("Fbs,Rk", value, "N", formula, "EN 1995-1-1 A.1", *steps, source=source)


SlipKind = Literal["dowel", "bolt", "screw", "predrilled nail", "nail", "staple", "split ring", "shear plate"]


def slip_modulus(
    kind: SlipKind, *, rho_mean: float, diameter: float, rho_mean_2: float | None = None, steel_side: bool = False
) -> Derivation:
    """K_ser of one fastener and shear plane (N/mm): table 7.1; two densities as sqrt(rho1 rho2), steel doubles it.

    `diameter` is that of the fastener, or of the ring or plate. K_u for strength is two thirds of it.
    """
    require_positive("slip modulus", {"density": rho_mean, "diameter": diameter})
    rho = rho_mean if rho_mean_2 is None else sqrt(rho_mean * rho_mean_2)
    if kind in ("split ring", "shear plate"):
        value, formula = rho * diameter / 2, "rho_m dc / 2"
    elif kind == "nail":
        value, formula = rho**1.5 * diameter**0.8 / 30, "rho_m^1.5 d^0.8 / 30"
    elif kind == "staple":
        value, formula = rho**1.5 * diameter**0.8 / 80, "rho_m^1.5 d^0.8 / 80"
    else:
        value, formula = rho**1.5 * diameter / 23, "rho_m^1.5 d / 23"
    if steel_side:
        value, formula = 2 * value, f"2 {formula}"
    steps = (step("rho_m", rho, "kg/m3"), step("d", diameter, "mm"))
    return derived("Kser", value, "N/mm", formula, "EN 1995-1-1 table 7.1", *steps)
