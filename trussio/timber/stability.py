"""Stability of columns and beams: effective lengths, buckling stresses, CP and CL.

Terms: *slenderness* is effective length over the dimension that bends, RB that of a beam. Inches and psi.
A slenderness of 0 means held along its whole length.
Source: NDS-2018 3.3.3, 3.7, 15.2, 15.3 and Appendix G, as marked.
"""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import Final, Literal

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.working import Figure, derived, number, require_positive, step

END_CONDITIONS: Final = {
    "fixed-fixed": 0.65,
    "fixed-pinned": 0.8,
    "fixed-fixed with sway": 1.2,
    "pinned-pinned": 1.0,
    "flagpole": 2.1,
    "pinned-guided": 2.4,
}

BEAM_LOADS: Final[dict[str, tuple[tuple[float, float], tuple[float, float]]]] = {
    "uniform": ((2.06, 0), (1.63, 3)),
    "centre load": ((1.80, 0), (1.37, 3)),
    "centre load, braced there": ((1.11, 0), (1.11, 0)),
    "two third-point loads, braced there": ((1.68, 0), (1.68, 0)),
    "three quarter-point loads, braced there": ((1.54, 0), (1.54, 0)),
    "four fifth-point loads, braced there": ((1.68, 0), (1.68, 0)),
    "five sixth-point loads, braced there": ((1.73, 0), (1.73, 0)),
    "six seventh-point loads, braced there": ((1.78, 0), (1.78, 0)),
    "seven or more loads, braced there": ((1.84, 0), (1.84, 0)),
    "equal end moments": ((1.84, 0), (1.84, 0)),
    "cantilever, uniform": ((1.33, 0), (0.90, 3)),
    "cantilever, end load": ((1.87, 0), (1.44, 3)),
}
"""Effective length of a beam as (times lu, times d): below lu/d = 7, and from there on."""

ANY_LOAD: Final = "any"


def effective_length(length: float, end_condition: str = "pinned-pinned") -> Derivation:
    """Ke times the distance between restraints. Raises UsageError `unknown-end-condition`."""
    if end_condition not in END_CONDITIONS:
        raise UsageError(
            "unknown-end-condition",
            where="Ke",
            what=f"{end_condition!r} is no end condition of Appendix G.",
            do=f"Enter one of {', '.join(END_CONDITIONS)}.",
        )
    Ke = END_CONDITIONS[end_condition]
    formula = f"{Ke} l, {end_condition}"
    return derived("le", Ke * length, "in", formula, "NDS-2018 3.7.1.2, G", step("l", length, "in"))


def slenderness(le: Figure, d: float, axis: str = "") -> Derivation:
    """le/d of one axis; 0 where the piece is held along its whole length."""
    require_positive(f"slenderness{axis}", {"d": d})
    if not number(le) >= 0:
        raise UsageError(
            "impossible-distance",
            where=f"slenderness{axis}",
            what=f"the effective length is {number(le):g}.",
            do="Enter it as measured, 0 where the piece is held along its whole length.",
        )
    return derived(
        f"le/d{axis}",
        number(le) / d,
        "",
        "le / d",
        "NDS-2018 3.7.1.3",
        step("le", le, "in"),
        step("d", d, "in"),
    )


def euler_stress(
    Emin: Figure, le_d: Figure, *, coefficient: float = 0.822, Kx: float = 1.0, symbol: str = "FcE"
) -> Derivation:
    """FcE = 0.822 Kx Emin' / (le/d)^2; infinite where le/d is 0.

    `coefficient` 0.822 goes with Emin; calculations of 1991 to 2001 used E with 0.3 (visual grades) or 0.418
    (glulam, machine graded). Kx is 2.5 or 3 across the gap of a spaced column.
    """
    ratio = number(le_d)
    value = coefficient * Kx * number(Emin) / ratio**2 if ratio > 0 else inf
    formula = f"{coefficient} {f'x {Kx} ' if Kx != 1.0 else ''}Emin' / (le/d)^2"
    steps = (step("Emin'", Emin, "psi"), step("le/d", le_d, ""))
    return derived(symbol, value, "psi", formula, "NDS-2018 3.7.1.5" if Kx == 1.0 else "NDS-2018 15.2.3", *steps)


def column_stability(*, Fc_star: Figure, FcE: Figure, c: float, Kf: float = 1.0) -> Derivation:
    """CP, with c 0.8 for sawn pieces, 0.85 round, 0.9 glulam and structural composite.

    `Fc_star` is Fc with every factor but CP. `Kf` is 0.6 for nailed and 0.75 for bolted built-up columns where
    they bend across the stack. CP is 1 (times Kf) where the piece cannot buckle.
    """
    require_positive("CP", {"Fc*": number(Fc_star), "c": c})
    clause = "NDS-2018 3.7.1.5, 15.3.2" if Kf != 1.0 else "NDS-2018 3.7.1.5"
    steps = (step("Fc*", Fc_star, "psi"), step("FcE", FcE, "psi"))
    if number(FcE) == inf:
        return derived("CP", Kf, "", "Kf; held along its length", clause, *steps)
    r = number(FcE) / number(Fc_star)
    half = (1 + r) / (2 * c)
    # the smaller root of c x^2 - (1 + r) x + r = 0, written so that a stocky piece loses no digits
    value = Kf * (r / c) / (half + sqrt(half**2 - r / c))
    lines = (
        derived("r", r, "", "FcE / Fc*", clause, *steps),
        derived("h", half, "", f"(1 + r) / (2 c), c = {c}", clause),
    )
    return derived("CP", value, "", f"{Kf:g} (h - sqrt(h^2 - r/c))", clause, *lines)


def beam_length(lu: float, d: float, load: str) -> Derivation:
    """Effective length of a beam from the unbraced length of its compression edge, its depth and loading.

    `load` is a key of BEAM_LOADS or `any` (any other loading). Raises UsageError `unknown-loading`.
    """
    require_positive("beam effective length", {"d": d})
    ratio = lu / d
    if load == ANY_LOAD:
        lu_times, d_times = (2.06, 0.0) if ratio < 7 else ((1.63, 3.0) if ratio <= 14.3 else (1.84, 0.0))
    elif load in BEAM_LOADS:
        lu_times, d_times = BEAM_LOADS[load][0 if ratio < 7 else 1]
    else:
        raise UsageError(
            "unknown-loading",
            where="le",
            what=f"{load!r} is no loading of table 3.3.3.",
            do=f"Enter {ANY_LOAD!r} or one of: {'; '.join(BEAM_LOADS)}.",
        )
    formula = f"{lu_times} lu" + (f" + {d_times:g} d" if d_times else "") + f" ({load}, lu/d {ratio:.4g})"
    steps = (step("lu", lu, "in"), step("d", d, "in"))
    return derived("le", lu_times * lu + d_times * d, "in", formula, "NDS-2018 table 3.3.3", *steps)


def beam_slenderness(le: Figure, *, depth: float, width: float) -> Derivation:
    """RB = sqrt(le d / b^2), to be at most 50."""
    require_positive("RB", {"depth": depth, "width": width})
    value = sqrt(number(le) * depth) / width
    steps = (step("le", le, "in"), step("d", depth, "in"), step("b", width, "in"))
    return derived("RB", value, "", "sqrt(le d / b^2)", "NDS-2018 3.3.3.6", *steps)


def beam_buckling_stress(Emin: Figure, RB: Figure) -> Derivation:
    """FbE = 1.20 Emin' / RB^2, infinite where RB is 0. For glulam Emin is that of the weak axis (Emin_y)."""
    slender = number(RB)
    value = 1.20 * number(Emin) / slender**2 if slender > 0 else inf
    steps = (step("Emin'", Emin, "psi"), step("RB", RB, ""))
    return derived("FbE", value, "psi", "1.20 Emin' / RB^2", "NDS-2018 3.3.3.8", *steps)


def beam_stability(*, Fb_star: Figure, FbE: Figure) -> Derivation:
    """CL; `Fb_star` is Fb with every factor but CL, CV and Cfu. 1 where the beam cannot buckle sideways."""
    steps = (step("Fb*", Fb_star, "psi"), step("FbE", FbE, "psi"))
    if number(FbE) == inf:
        return derived("CL", 1.0, "", "compression edge held throughout", "NDS-2018 3.3.3.3", *steps)
    a = number(FbE) / number(Fb_star)
    half = (1 + a) / 1.9
    value = (a / 0.95) / (half + sqrt(half**2 - a / 0.95))
    lines = (
        derived("a", a, "", "FbE / Fb*", "NDS-2018 3.3.3.8", *steps),
        derived("h", half, "", "(1 + a) / 1.9", "NDS-2018 3.3.3.8"),
    )
    return derived("CL", value, "", "h - sqrt(h^2 - a/0.95)", "NDS-2018 3.3.3.8", *lines)


TaperSupport = Literal["large end fixed", "small end fixed", "tapered to one end", "tapered to both ends", "other"]


def tapered_dimension(least: float, greatest: float, support: TaperSupport) -> Derivation:
    """The dimension that stands for a tapered column in CP. `other` takes the third point."""
    require_positive("tapered column", {"least dimension": least, "greatest dimension": greatest})
    a = {
        "large end fixed": 0.7,
        "small end fixed": 0.3,
        "tapered to one end": 0.5,
        "tapered to both ends": 0.7,
    }.get(support)
    taper = greatest - least
    value = least + taper / 3 if a is None else least + taper * (a - 0.15 * (1 - least / greatest))
    formula = "dmin + (dmax - dmin)/3" if a is None else f"dmin + (dmax - dmin)({a} - 0.15 (1 - dmin/dmax))"
    steps = (step("dmin", least, "in"), step("dmax", greatest, "in"))
    return derived("d", value, "in", formula, "NDS-2018 3.7.2", *steps)


def round_as_square(diameter: float) -> Derivation:
    """The side of the square of equal area, by which a round column is designed."""
    require_positive("round column", {"diameter": diameter})
    value = diameter * sqrt(pi) / 2
    return derived("d", value, "in", "D sqrt(pi) / 2", "NDS-2018 3.7.3", step("D", diameter, "in"))
