"""Axial force with bending: the interactions of NDS-2018 3.9 and 15.4, and residual sections whose centroid moved.

Stresses in psi, amounts without sign. Index 1 is bending in the depth (load on the narrow face), 2 across it; FcE1
and FcE2 are the buckling stresses in the planes of that bending, infinite where the piece is held throughout.
First-order moments go in, since the formulas amplify them. Where a stress reaches the one at which its amplifier
has no bound, the ratio is infinite and the reason says which: a failure, never a small number.
Source: NDS-2018 3.9.1, 3.9.2, 15.4.1, as marked.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, nextafter
from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.axial import require_sense
from trussio.timber.working import SINGLE, STATICS, Figure, derived, interaction, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

NO_BOUND = "the amplified moment has no bound: "


def _require(where: str, stresses: Mapping[str, Figure]) -> None:
    for name, figure in stresses.items():
        require_sense(where, number(figure), name)


def tension_bending_checks(
    *, ft: Figure, fb: Figure, Ft: Figure, Fb_star: Figure, Fb_star_star: Figure, of: Subject = SINGLE
) -> tuple[Check, Check]:
    """Tension with bending: ft/Ft' + fb/Fb* (eq. 3.9-1) and (fb - ft)/Fb** (3.9-2).

    Fb* has every factor but CL, Fb** every one but CV. The second is below zero where tension outweighs bending.
    """
    _require("tension with bending", {"ft": ft, "fb": fb})
    values = {"Ft'": number(Ft), "Fb*": number(Fb_star), "Fb**": number(Fb_star_star)}
    require_positive("tension with bending", values)
    steps = (step("ft", ft, "psi"), step("Ft'", Ft, "psi"), step("fb", fb, "psi"), step("Fb*", Fb_star, "psi"))
    tension_side = number(ft) / number(Ft) + number(fb) / number(Fb_star)
    compression_side = (number(fb) - number(ft)) / number(Fb_star_star)
    first = derived("tension side", tension_side, "", "ft/Ft' + fb/Fb*", "NDS-2018 eq. 3.9-1", *steps)
    second = derived(
        "compression side",
        compression_side,
        "",
        "(fb - ft)/Fb**",
        "NDS-2018 eq. 3.9-2",
        steps[2],
        steps[0],
        step("Fb**", Fb_star_star, "psi"),
    )
    return (
        interaction(what="tension with bending", clause="NDS-2018 3.9.1 eq. 3.9-1", ratio=first, of=of),
        interaction(
            what="tension with bending, compression side",
            clause="NDS-2018 3.9.1 eq. 3.9-2",
            ratio=second,
            of=of,
        ),
    )


@dataclass(frozen=True, kw_only=True)
class Eccentricity:
    """How far the axial force stands off the centroid in the plane of one axis, and the depth there (in).

    Only what goes beyond ordinary crookedness, which CP already holds.
    """

    distance: float
    depth: float


NONE = Eccentricity(distance=0.0, depth=1.0)


def compression_bending_checks(
    *,
    fc: Figure,
    Fc: Figure,
    fb1: Figure,
    Fb1: Figure,
    FcE1: Figure,
    FcE2: Figure,
    FbE: Figure,
    fb2: Figure = 0.0,
    Fb2: Figure | None = None,
    eccentricity1: Eccentricity = NONE,
    eccentricity2: Eccentricity = NONE,
    what: str = "compression with bending",
    of: Subject = SINGLE,
) -> tuple[Check, Check]:
    """Compression with bending about both axes: eq. 3.9-3 and 3.9-4, or 15.4-1 and 15.4-2 where it is eccentric.

    FbE is the beam buckling stress of axis 1. An eccentricity adds fc (6 e/d), enlarged by 0.234 fc/FcE, to the
    bending stress of its axis. Raises UsageError `value-missing` where axis 2 bends and Fb2' is not given.
    """
    _require("compression with bending", {"fc": fc, "fb1": fb1, "fb2": fb2})
    require_positive("compression with bending", {"Fc'": number(Fc), "Fb1'": number(Fb1)})
    p, b1, b2 = number(fc), number(fb1), number(fb2)
    end1, end2 = (p * 6 * abs(e.distance) / e.depth for e in (eccentricity1, eccentricity2))
    if Fb2 is None and (b2 or end2):
        raise UsageError(
            "value-missing",
            where="compression with bending",
            what="axis 2 bends and Fb2' is not given.",
            do="Enter Fb' for bending across the depth (with Cfu).",
        )
    share1, share2 = p / number(FcE1), p / number(FcE2)
    twist = ((b1 + end1) / number(FbE)) ** 2
    room1, room2 = 1 - share1, 1 - share2 - twist
    steps = [
        step(name, figure, "psi") for name, figure in (("fc", fc), ("Fc'", Fc), ("FcE1", FcE1), ("FcE2", FcE2))
    ]
    steps += [step("FbE", FbE, "psi"), step("fb1", fb1, "psi"), step("Fb1'", Fb1, "psi")]
    steps += [] if Fb2 is None else [step("fb2", fb2, "psi"), step("Fb2'", Fb2, "psi")]
    eccentric = bool(end1 or end2)
    steps += [step("fc 6 e1/d1", end1, "psi"), step("fc 6 e2/d2", end2, "psi")] if eccentric else []
    failure = _failure(fc=p, fb1=b1 + end1, limits=(number(FcE1), number(FcE2), number(FbE)), room2=room2)
    value = inf
    if not failure:
        value = (p / number(Fc)) ** 2 + (b1 + end1 * (1 + 0.234 * share1)) / (number(Fb1) * room1)
        if Fb2 is not None:
            value += (b2 + end2 * (1 + 0.234 * share2 + 0.234 * twist)) / (number(Fb2) * room2)
    sideways = share2 + twist
    if room2 <= 0:  # the clause asks for less than 1, so exactly 1 must not read as met
        sideways = max(sideways, nextafter(1.0, inf))
    clause = "NDS-2018 15.4.1 eq. 15.4" if eccentric else "NDS-2018 3.9.2 eq. 3.9"
    ratio = derived("interaction", value, "", _formula(eccentric=eccentric, both=Fb2 is not None), clause, *steps)
    side = derived("sideways", sideways, "", "fc/FcE2 + (fb1/FbE)^2, below 1", clause, *steps)
    return (
        interaction(
            what=what,
            clause=f"{clause}-1" if eccentric else f"{clause}-3",
            ratio=ratio,
            of=of,
            reason=failure,
        ),
        interaction(
            what=f"{what}, sideways",
            clause=f"{clause}-2" if eccentric else f"{clause}-4",
            ratio=side,
            of=of,
            reason=failure if room2 <= 0 else "",
        ),
    )


def _failure(*, fc: float, fb1: float, limits: tuple[float, float, float], room2: float) -> str:
    FcE1, FcE2, FbE = limits
    if fc >= FcE1:
        return f"{NO_BOUND}fc {fc:.0f} psi reaches FcE1 {FcE1:.0f} psi"
    if fc >= FcE2:
        return f"{NO_BOUND}fc {fc:.0f} psi reaches FcE2 {FcE2:.0f} psi"
    if fb1 >= FbE:
        return f"{NO_BOUND}fb1 {fb1:.0f} psi reaches FbE {FbE:.0f} psi"
    if room2 <= 0:
        return f"{NO_BOUND}fc/FcE2 + (fb1/FbE)^2 reaches 1"
    return ""


def _formula(*, eccentric: bool, both: bool) -> str:
    first = "fb1 + fc (6 e1/d1)(1 + 0.234 fc/FcE1)" if eccentric else "fb1"
    second = "fb2 + fc (6 e2/d2)(1 + 0.234 fc/FcE2 + 0.234 (fb1/FbE)^2)" if eccentric else "fb2"
    formula = f"(fc/Fc')^2 + ({first}) / (Fb1' (1 - fc/FcE1))"
    return formula + f" + ({second}) / (Fb2' (1 - fc/FcE2 - (fb1/FbE)^2))" if both else formula


def residual_stress(
    *, force: Figure, area: Figure, shift: float, modulus: float, moment: float = 0.0
) -> Derivation:
    """Greatest stress where the centroid moved by `shift` (in): N / A + (N e + M) / S; forces lbf, moments in-lbf.

    Amounts without sign, so that the moment is taken as adding to the shift.
    """
    N, A = number(force), number(area)
    value = N / A + (N * abs(shift) + abs(moment)) / modulus
    steps = (
        step("N", force, "lbf"),
        step("A_res", area, "in2"),
        step("e", abs(shift), "in"),
        step("S_res", modulus, "in3"),
        step("M", abs(moment), "in-lbf"),
    )
    return derived("f", value, "psi", "N/A_res + (N e + M)/S_res", "", *steps, source=STATICS)
