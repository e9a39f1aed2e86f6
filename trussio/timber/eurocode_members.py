"""Member checks after EN 1995-1-1 section 6, for one piece.

N, mm, MPa, amounts without sign. Axis y is bending in the depth h, z across it (in the width b). Design values
come from `eurocode` or are stated as plain numbers. Source: EN 1995-1-1:2004+A1+A2 section 6, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, radians, sin, sqrt
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber import tables
from trussio.timber.axial import require_sense
from trussio.timber.working import (
    SINGLE,
    STATICS,
    Figure,
    Step,
    derived,
    interaction,
    number,
    require_positive,
    set_against,
    shown,
    step,
)

if TYPE_CHECKING:
    from trussio.timber.eurocode import Product

KM: Final = 0.7
"""Share of the lesser bending stress in biaxial bending of a rectangle (6.1.6)."""

STOCKY: Final = 0.3
CRACKED: Final = 0.67


def axial_stress(force: float, area: Figure, symbol: str) -> Derivation:
    """N / A (MPa)."""
    steps = (step("N", force, "N"), step("A", area, "mm2"))
    return derived(symbol, force / number(area), "MPa", "N / A", "", *steps, source=STATICS)


def bending_stress(moment: float, modulus: Figure, symbol: str) -> Derivation:
    """M / W (MPa)."""
    steps = (step("M", moment, "N-mm"), step("W", modulus, "mm3"))
    return derived(symbol, moment / number(modulus), "MPa", "M / W", "", *steps, source=STATICS)


def tension_check(
    *,
    force: float,
    net_area: Figure,
    ft0d: Figure,
    what: str = "tension on the net section",
    of: Subject = SINGLE,
) -> Check:
    """Tension along the grain on the net section (6.1)."""
    require_sense("tension", force, "tension")
    return set_against(
        what=what,
        clause="EN 1995-1-1 6.1.2 (6.1)",
        demand=axial_stress(force, net_area, "sigma_t0"),
        capacity=shown("ft0d", ft0d, "MPa"),
        unit="MPa",
        of=of,
    )


def shear_check(
    *, force: float, width: float, depth: float, fvd: Figure, kcr: float = CRACKED, of: Subject = SINGLE
) -> Check:
    """Shear of a rectangle over b_ef = kcr b (6.13); kcr 0.67 unless a national annex says otherwise."""
    require_sense("shear", force, "shear")
    require_positive("shear", {"width": width, "depth": depth, "kcr": kcr})
    steps = (step("V", force, "N"), step("b", width, "mm"), step("h", depth, "mm"), step("kcr", kcr, ""))
    value = 1.5 * force / (kcr * width * depth)
    return set_against(
        what="shear",
        clause="EN 1995-1-1 6.1.7 (6.13)",
        demand=derived("tau", value, "MPa", "1.5 V / (kcr b h)", "EN 1995-1-1 6.1.7", *steps),
        capacity=shown("fvd", fvd, "MPa"),
        unit="MPa",
        of=of,
    )


def bending_check(*, sigma_m: Figure, fmd: Figure, of: Subject = SINGLE) -> Check:
    """Bending about one axis (6.11), the other without moment."""
    return set_against(
        what="bending",
        clause="EN 1995-1-1 6.1.6 (6.11)",
        demand=shown("sigma_my", sigma_m, "MPa"),
        capacity=shown("fmyd", fmd, "MPa"),
        unit="MPa",
        of=of,
    )


def tension_bending_checks(
    *,
    sigma_t: Figure,
    ft0d: Figure,
    sigma_my: Figure,
    fmyd: Figure,
    sigma_mz: Figure = 0.0,
    fmzd: Figure | None = None,
    km: float = KM,
    of: Subject = SINGLE,
) -> tuple[Check, Check]:
    """Tension with bending (6.17, 6.18): the lesser bending stress counts km."""
    share = number(sigma_t) / number(ft0d)
    bends = _bending_steps(sigma_my, fmyd, sigma_mz, fmzd)
    steps = (step("sigma_t0", sigma_t, "MPa"), step("ft0d", ft0d, "MPa"), *bends)
    return _pair(
        share,
        _shares(sigma_my, fmyd, sigma_mz, fmzd),
        steps,
        names=("tension with bending", "6.17", "6.18"),
        km=km,
        of=of,
    )


@dataclass(frozen=True, kw_only=True)
class Buckling:
    """Relative slenderness and kc of one axis."""

    slenderness: Derivation
    relative: Derivation
    kc: Derivation


def buckling(
    *, le: float, dimension: float, fc0k: Figure, E005: Figure, product: Product, axis: str = "y"
) -> Buckling:
    """Slenderness le / i with i = dimension / sqrt(12), lambda_rel and kc (6.21 to 6.29).

    `le` 0 is held throughout; kc is 1 up to a relative slenderness of 0.3.
    """
    require_positive(f"buckling {axis}", {"dimension": dimension})
    steps = (step("le", le, "mm"), step("h", dimension, "mm"))
    lam = derived(
        f"lambda_{axis}", le * sqrt(12) / dimension, "", "le / (h / sqrt 12)", "", *steps, source=STATICS
    )
    return buckling_at(lam, fc0k=fc0k, E005=E005, product=product, axis=axis)


def buckling_at(lam: Derivation, *, fc0k: Figure, E005: Figure, product: Product, axis: str) -> Buckling:
    """Relative slenderness and kc of a slenderness (6.21 to 6.29)."""
    relative = lam.value / pi * sqrt(number(fc0k) / number(E005))
    strength = (step("fc0k", fc0k, "MPa"), step("E005", E005, "MPa"))
    rel = derived(
        f"lambda_rel,{axis}", relative, "", "lambda/pi sqrt(fc0k / E005)", "EN 1995-1-1 6.21", lam, *strength
    )
    beta = tables.european()["beta_c"][product]
    if relative <= STOCKY:
        kc = derived(f"kc,{axis}", 1.0, "", "lambda_rel up to 0.3", "EN 1995-1-1 6.3.2(2)", rel)
        return Buckling(slenderness=lam, relative=rel, kc=kc)
    k = 0.5 * (1 + beta * (relative - STOCKY) + relative**2)
    line = derived(
        f"k_{axis}", k, "", f"0.5 (1 + {beta} (lambda_rel - 0.3) + lambda_rel^2)", "EN 1995-1-1 6.27", rel
    )
    value = 1 / (k + sqrt(k**2 - relative**2))
    kc = derived(f"kc,{axis}", value, "", "1 / (k + sqrt(k^2 - lambda_rel^2))", "EN 1995-1-1 6.25", line)
    return Buckling(slenderness=lam, relative=rel, kc=kc)


def compression_check(
    *, force: float, area: Figure, fc0d: Figure, y: Buckling, z: Buckling, of: Subject = SINGLE
) -> Check:
    """Compression without bending: N / A against the lesser kc times fc0d (6.23, 6.24)."""
    require_sense("compression", force, "compression")
    least = min((y.kc, z.kc), key=lambda kc: kc.value)
    capacity = least.value * number(fc0d)
    return set_against(
        what="compression with buckling",
        clause="EN 1995-1-1 6.3.2",
        demand=axial_stress(force, area, "sigma_c0"),
        capacity=derived(
            "kc fc0d", capacity, "MPa", "kc fc0d", "EN 1995-1-1 6.23", step("fc0d", fc0d, "MPa"), least
        ),
        unit="MPa",
        of=of,
    )


def compression_bending_checks(
    *,
    sigma_c: Figure,
    fc0d: Figure,
    y: Buckling,
    z: Buckling,
    sigma_my: Figure,
    fmyd: Figure,
    sigma_mz: Figure = 0.0,
    fmzd: Figure | None = None,
    km: float = KM,
    of: Subject = SINGLE,
) -> tuple[Check, Check]:
    """Compression with bending: 6.23 and 6.24, or the squared 6.19 and 6.20 where both axes are stocky (0.3)."""
    bends = _shares(sigma_my, fmyd, sigma_mz, fmzd)
    steps = (
        step("sigma_c0", sigma_c, "MPa"),
        step("fc0d", fc0d, "MPa"),
        *_bending_steps(sigma_my, fmyd, sigma_mz, fmzd),
    )
    plain = number(sigma_c) / number(fc0d)
    if y.relative.value <= STOCKY and z.relative.value <= STOCKY:
        names = ("compression with bending", "6.19", "6.20")
        return _pair(plain**2, bends, (*steps, y.relative, z.relative), names=names, km=km, of=of)
    first, second = bends
    ratio_y = plain / y.kc.value + first + km * second
    ratio_z = plain / z.kc.value + km * first + second
    return (
        interaction(
            what="compression with bending, in depth",
            clause="EN 1995-1-1 6.3.2 (6.23)",
            ratio=derived(
                "6.23",
                ratio_y,
                "",
                f"sigma_c0/(kc,y fc0d) + sigma_my/fmyd + {km} sigma_mz/fmzd",
                "EN 1995-1-1 6.23",
                *steps,
                y.kc,
            ),
            of=of,
        ),
        interaction(
            what="compression with bending, across",
            clause="EN 1995-1-1 6.3.2 (6.24)",
            ratio=derived(
                "6.24",
                ratio_z,
                "",
                f"sigma_c0/(kc,z fc0d) + {km} sigma_my/fmyd + sigma_mz/fmzd",
                "EN 1995-1-1 6.24",
                *steps,
                z.kc,
            ),
            of=of,
        ),
    )


def critical_bending_stress(*, width: float, depth: float, effective_length: float, E005: Figure) -> Derivation:
    """sigma_m,crit = 0.78 b^2 E005 / (h lef) of a softwood rectangle (6.32)."""
    require_positive("lateral buckling", {"width": width, "depth": depth, "effective length": effective_length})
    value = 0.78 * width**2 * number(E005) / (depth * effective_length)
    steps = (
        step("b", width, "mm"),
        step("h", depth, "mm"),
        step("lef", effective_length, "mm"),
        step("E005", E005, "MPa"),
    )
    return derived("sigma_m,crit", value, "MPa", "0.78 b^2 E005 / (h lef)", "EN 1995-1-1 6.32", *steps)


def lateral_factor(*, fmk: Figure, critical: Figure) -> Derivation:
    """Factor kcrit (6.34) from the relative slenderness in bending sqrt(fmk / sigma_m,crit)."""
    relative = sqrt(number(fmk) / number(critical))
    steps = (step("fmk", fmk, "MPa"), step("sigma_m,crit", critical, "MPa"))
    rel = derived("lambda_rel,m", relative, "", "sqrt(fmk / sigma_m,crit)", "EN 1995-1-1 6.30", *steps)
    if relative <= 0.75:
        value, formula = 1.0, "1"
    elif relative <= 1.4:
        value, formula = 1.56 - 0.75 * relative, "1.56 - 0.75 lambda_rel,m"
    else:
        value, formula = 1 / relative**2, "1 / lambda_rel,m^2"
    return derived("kcrit", value, "", formula, "EN 1995-1-1 6.34", rel)


def lateral_check(
    *,
    sigma_m: Figure,
    fmd: Figure,
    kcrit: Figure,
    compression: tuple[Figure, Figure, Figure] | None = None,
    of: Subject = SINGLE,
) -> Check:
    """Lateral buckling in bending (6.33); with `compression` (sigma_c0, fc0d and kc,z) by 6.35."""
    bend = number(sigma_m) / (number(kcrit) * number(fmd))
    steps: tuple[Step, ...] = (
        step("sigma_m", sigma_m, "MPa"),
        step("fmd", fmd, "MPa"),
        step("kcrit", kcrit, ""),
    )
    value, formula, clause = bend, "sigma_m / (kcrit fmd)", "EN 1995-1-1 6.3.3 (6.33)"
    if compression is not None:
        sigma_c, fc0d, kc_z = compression
        value = bend**2 + number(sigma_c) / (number(kc_z) * number(fc0d))
        formula, clause = "(sigma_m/(kcrit fmd))^2 + sigma_c0/(kc,z fc0d)", "EN 1995-1-1 6.3.3 (6.35)"
        steps = (*steps, step("sigma_c0", sigma_c, "MPa"), step("fc0d", fc0d, "MPa"), step("kc,z", kc_z, ""))
    ratio = derived("lateral", value, "", formula, clause, *steps)
    return interaction(what="lateral buckling", clause=clause, ratio=ratio, of=of)


def bearing_check(
    *, force: float, effective_area: Figure, fc90d: Figure, kc90: float, of: Subject = SINGLE
) -> Check:
    """Bearing across the grain (6.3) on the effective area; kc,90 is 1 where nothing better is shown."""
    require_sense("bearing", force, "bearing force")
    capacity = kc90 * number(fc90d)
    return set_against(
        what="bearing across the grain",
        clause="EN 1995-1-1 6.1.5 (6.3)",
        demand=axial_stress(force, effective_area, "sigma_c90"),
        capacity=derived(
            "kc90 fc90d",
            capacity,
            "MPa",
            "kc90 fc90d",
            "EN 1995-1-1 6.3",
            step("kc90", kc90, ""),
            step("fc90d", fc90d, "MPa"),
        ),
        unit="MPa",
        of=of,
    )


def strength_at_angle(*, fc0d: Figure, fc90d: Figure, kc90: float, angle: float) -> Derivation:
    """Compression strength at `angle` degrees to the grain (6.16)."""
    p, q = number(fc0d), kc90 * number(fc90d)
    value = p / (p / q * sin(radians(angle)) ** 2 + cos(radians(angle)) ** 2)
    steps = (
        step("fc0d", fc0d, "MPa"),
        step("fc90d", fc90d, "MPa"),
        step("kc90", kc90, ""),
        step("alpha", angle, "deg"),
    )
    formula = "fc0d / (fc0d/(kc90 fc90d) sin^2 + cos^2)"
    return derived("fc,alpha,d", value, "MPa", formula, "EN 1995-1-1 6.16", *steps)


def _shares(sigma_my: Figure, fmyd: Figure, sigma_mz: Figure, fmzd: Figure | None) -> tuple[float, float]:
    if fmzd is None and number(sigma_mz):
        raise UsageError(
            "value-missing",
            where="bending about z",
            what="the piece bends about z and fmzd is not given.",
            do="Enter the design bending strength about z.",
        )
    second = 0.0 if fmzd is None else number(sigma_mz) / number(fmzd)
    return number(sigma_my) / number(fmyd), second


def _bending_steps(sigma_my: Figure, fmyd: Figure, sigma_mz: Figure, fmzd: Figure | None) -> tuple[Step, ...]:
    steps = (step("sigma_my", sigma_my, "MPa"), step("fmyd", fmyd, "MPa"))
    return steps if fmzd is None else (*steps, step("sigma_mz", sigma_mz, "MPa"), step("fmzd", fmzd, "MPa"))


def _pair(
    axial: float,
    bends: tuple[float, float],
    steps: tuple[Step, ...],
    *,
    names: tuple[str, str, str],
    km: float,
    of: Subject,
) -> tuple[Check, Check]:
    """The two equations that swap km between the bending stresses."""
    what, first, second = names
    y, z = bends
    force = "(sigma_c0/fc0d)^2" if first == "6.19" else "sigma_t0/ft0d"
    return (
        interaction(
            what=what,
            clause=f"EN 1995-1-1 ({first})",
            ratio=derived(
                first,
                axial + y + km * z,
                "",
                f"{force} + sigma_my/fmyd + {km} sigma_mz/fmzd",
                f"EN 1995-1-1 {first}",
                *steps,
            ),
            of=of,
        ),
        interaction(
            what=f"{what}, the other axis",
            clause=f"EN 1995-1-1 ({second})",
            ratio=derived(
                second,
                axial + km * y + z,
                "",
                f"{force} + {km} sigma_my/fmyd + sigma_mz/fmzd",
                f"EN 1995-1-1 {second}",
                *steps,
            ),
            of=of,
        ),
    )
