"""Yield limit equations: how a dowel-type fastener gives way in single or double shear.

Terms: the *main* member holds the fastener's point or is the middle one; Re = Fem/Fes, Rt = lm/ls. Modes: Im and
Is crushing of main and side member, II rotation, IIIm and IIIs one hinge, IV two hinges. Inches, psi, lbf.
Source: NDS-2018 tables 12.3.1A and 12.3.1B, as quoted in secondary copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.working import (
    MEMORY,
    SECONDARY,
    Figure,
    Step,
    derived,
    half_up,
    number,
    require_positive,
    step,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

Shear = Literal["single", "double"]

LARGEST: Final = 1.0
CLAUSE: Final = "NDS-2018 table 12.3.1A"
GENERAL: Final = "Technical Report 12, general dowel equations"


@dataclass(frozen=True, kw_only=True)
class ReductionTerms:
    """Rd of the modes: `crushing` of Im and Is, `rotation` of II, `hinges` of IIIm, IIIs and IV."""

    crushing: float
    rotation: float
    hinges: float
    derivation: Derivation


@dataclass(frozen=True, kw_only=True)
class Yielding:
    """The value of every mode (lbf), the governing one, and Z with its derivation, unrounded.

    Z is the least mode, times the share that a short penetration leaves of it.
    """

    modes: Mapping[str, float]
    mode: str
    Z: Derivation

    def rounded(self, step: float = 10.0) -> float:
        """The least mode as tables print it: to 10 lbf for bolts and lag screws, 1 lbf for nails and wood screws.

        The tables leave a short penetration to their footnotes.
        """
        return half_up(self.modes[self.mode], step)


def reduction_terms(*, diameter: float, nominal: float, angle: float) -> ReductionTerms:
    """Rd of each mode for the `diameter` used in the equations; `nominal` is that of the fastener.

    `angle` is the largest angle of load to grain of any member of the joint (degrees). Raises UsageError
    `diameter-beyond-equations` over 1 in nominal.
    """
    require_positive("Rd", {"diameter": diameter, "nominal diameter": nominal})
    if nominal > LARGEST:
        raise UsageError(
            "diameter-beyond-equations",
            where="fastener",
            what=f"{nominal:g} in is over 1 in, where the yield equations end; they are not extrapolated.",
            do="State a value from tests or from the rule of the day with its source.",
        )
    Ktheta = 1 + 0.25 * angle / 90
    KD = 2.2 if diameter <= 0.17 else 10 * diameter + 0.5
    if diameter >= 0.25:
        terms, formula = (4 * Ktheta, 3.6 * Ktheta, 3.2 * Ktheta), "4, 3.6, 3.2 times K_theta"
    elif nominal >= 0.25:
        terms, formula = (KD * Ktheta,) * 3, "KD K_theta"
    else:
        terms, formula = (KD,) * 3, "KD"
    clause = "NDS-2018 table 12.3.1B"
    steps = (
        derived("K_theta", Ktheta, "", f"1 + 0.25 x {angle:g}/90", clause, source=SECONDARY),
        *((derived("KD", KD, "", "2.2, or 10 D + 0.5", clause, source=SECONDARY),) if diameter < 0.25 else ()),
    )
    steps = (
        *steps,
        derived("Rd (I)", terms[0], "", formula, clause, source=SECONDARY),
        derived("Rd (II)", terms[1], "", formula, clause, source=SECONDARY),
    )
    derivation = derived("Rd (III, IV)", terms[2], "", formula, clause, *steps, source=SECONDARY)
    return ReductionTerms(crushing=terms[0], rotation=terms[1], hinges=terms[2], derivation=derivation)


def yield_value(
    *,
    diameter: float,
    lm: float,
    ls: float,
    Fem: Figure,
    Fes: Figure,
    Fyb: float,
    angle: float,
    shear: Shear = "single",
    nominal: float | None = None,
    gap: float = 0.0,
) -> Yielding:
    """Z of one fastener (lbf, before every adjustment factor), `ls` being one side member.

    `diameter` is D, or the root diameter of lag screws and rolled-thread screws; `nominal` is then the nominal
    one. `angle` is the largest load-to-grain angle of any member. In double shear Z is for both planes. A `gap`
    (in) that the fastener bridges between the members takes the general equations of Technical Report 12.
    Raises UsageError `impossible-distance` or `diameter-beyond-equations`.
    """
    require_positive("fastener", {"bearing length in main member": lm, "bearing length in side member": ls})
    Rd = reduction_terms(diameter=diameter, nominal=nominal if nominal is not None else diameter, angle=angle)
    strengths = (number(Fem), number(Fes))
    if gap < 0:
        raise UsageError(
            "impossible-distance",
            where="fastener",
            what=f"the gap between the members is {gap:g} in.",
            do="Enter the gap as measured, zero or more.",
        )
    modes = (
        _gap_modes(diameter, (lm, ls, gap), strengths, Fyb, Rd)
        if gap
        else _modes(diameter, (lm, ls), strengths, Fyb, Rd)
    )
    if shear == "double":
        modes = {"Im": modes["Im"]} | {name: 2 * modes[name] for name in ("Is", "IIIs", "IV")}
    mode = min(modes, key=lambda name: modes[name])
    inputs = (
        step("D", diameter, "in"),
        step("lm", lm, "in"),
        step("ls", ls, "in"),
        step("Fem", Fem, "psi"),
        step("Fes", Fes, "psi"),
        step("Fyb", Fyb, "psi"),
        Rd.derivation,
        *_between(diameter, (lm, ls, gap), strengths, Fyb),
    )
    formulas = GAP_FORMULAS if gap else (DOUBLE_SHEAR if shear == "double" else SINGLE_SHEAR)
    clause, source = (GENERAL, MEMORY) if gap else (CLAUSE, SECONDARY)
    steps = tuple(
        derived(f"Z {name}", value, "lbf", formulas[name], clause, source=source) for name, value in modes.items()
    )
    Z = derived("Z", modes[mode], "lbf", f"least mode: {mode}", clause, *inputs, *steps, source=source)
    return Yielding(modes=modes, mode=mode, Z=Z)


def _between(
    D: float, lengths: tuple[float, float, float], strengths: tuple[float, float], Fyb: float
) -> tuple[Step, ...]:
    """The lines between the inputs and the modes: the gap, or the coefficients of the yield equations."""
    lm, ls, gap = lengths
    if gap:
        return (step("g", gap, "in"),)
    found = coefficients(D, (lm, ls), strengths, Fyb)
    return tuple(
        derived(name, value, "", COEFFICIENTS[name], CLAUSE, source=SECONDARY) for name, value in found.items()
    )


SINGLE_SHEAR: Final[Mapping[str, str]] = {
    "Im": "D lm Fem / Rd",
    "Is": "D ls Fes / Rd",
    "II": "k1 D ls Fes / Rd",
    "IIIm": "k2 D lm Fem / ((1 + 2 Re) Rd)",
    "IIIs": "k3 D ls Fem / ((2 + Re) Rd)",
    "IV": "D^2/Rd sqrt(2 Fem Fyb / (3 (1 + Re)))",
}
DOUBLE_SHEAR: Final[Mapping[str, str]] = {
    "Im": "D lm Fem / Rd",
    "Is": "2 D ls Fes / Rd",
    "IIIs": "2 k3 D ls Fem / ((2 + Re) Rd)",
    "IV": "2 D^2/Rd sqrt(2 Fem Fyb / (3 (1 + Re)))",
}


GAP_FORMULAS: Final[Mapping[str, str]] = {
    "Im": "qm lm / Rd, q = Fe D",
    "Is": "qs ls / Rd",
    "II": "root of A P^2 + B P + C, A = 1/4qs + 1/4qm, B = ls/2 + g + lm/2, C = -qs ls^2/4 - qm lm^2/4",
    "IIIm": "A = 1/2qs + 1/4qm, B = g + lm/2, C = -Fyb D^3/6 - qm lm^2/4",
    "IIIs": "A = 1/4qs + 1/2qm, B = g + ls/2, C = -Fyb D^3/6 - qs ls^2/4",
    "IV": "A = 1/2qs + 1/2qm, B = g, C = -2 Fyb D^3/6",
}
"""In double shear Is, IIIs and IV count twice. Without a gap these are the equations above."""


COEFFICIENTS: Final[Mapping[str, str]] = {
    "Re": "Fem / Fes",
    "Rt": "lm / ls",
    "k1": "(sqrt(Re + 2 Re^2 (1 + Rt + Rt^2) + Rt^2 Re^3) - Re (1 + Rt)) / (1 + Re)",
    "k2": "-1 + sqrt(2 (1 + Re) + 2 Fyb (1 + 2 Re) D^2 / (3 Fem lm^2))",
    "k3": "-1 + sqrt(2 (1 + Re) / Re + 2 Fyb (2 + Re) D^2 / (3 Fem ls^2))",
}


def coefficients(
    D: float, lengths: tuple[float, float], strengths: tuple[float, float], Fyb: float
) -> dict[str, float]:
    """Re, Rt and k1 to k3 of the yield equations; lengths and strengths are those of main and side member."""
    lm, ls = lengths
    Fem, Fes = strengths
    Re, Rt = Fem / Fes, lm / ls
    return {
        "Re": Re,
        "Rt": Rt,
        "k1": (sqrt(Re + 2 * Re**2 * (1 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1 + Rt)) / (1 + Re),
        "k2": -1 + sqrt(2 * (1 + Re) + 2 * Fyb * (1 + 2 * Re) * D**2 / (3 * Fem * lm**2)),
        "k3": -1 + sqrt(2 * (1 + Re) / Re + 2 * Fyb * (2 + Re) * D**2 / (3 * Fem * ls**2)),
    }


def _modes(
    D: float, lengths: tuple[float, float], strengths: tuple[float, float], Fyb: float, Rd: ReductionTerms
) -> dict[str, float]:
    lm, ls = lengths
    Fem, Fes = strengths
    k = coefficients(D, lengths, strengths, Fyb)
    Re, k1, k2, k3 = k["Re"], k["k1"], k["k2"], k["k3"]
    return {
        "Im": D * lm * Fem / Rd.crushing,
        "Is": D * ls * Fes / Rd.crushing,
        "II": k1 * D * ls * Fes / Rd.rotation,
        "IIIm": k2 * D * lm * Fem / ((1 + 2 * Re) * Rd.hinges),
        "IIIs": k3 * D * ls * Fem / ((2 + Re) * Rd.hinges),
        "IV": D**2 / Rd.hinges * sqrt(2 * Fem * Fyb / (3 * (1 + Re))),
    }


def _gap_modes(
    D: float,
    lengths: tuple[float, float, float],
    strengths: tuple[float, float],
    Fyb: float,
    Rd: ReductionTerms,
) -> dict[str, float]:
    """The modes with a gap: P solves A P^2 + B P + C = 0; q = Fe D is bearing per length, M the plastic moment."""
    lm, ls, g = lengths
    qm, qs = strengths[0] * D, strengths[1] * D
    M = Fyb * D**3 / 6

    def load(A: float, B: float, C: float) -> float:
        return (-B + sqrt(B**2 - 4 * A * C)) / (2 * A)

    m, s = qm * lm**2 / 4, qs * ls**2 / 4
    return {
        "Im": qm * lm / Rd.crushing,
        "Is": qs * ls / Rd.crushing,
        "II": load(1 / (4 * qs) + 1 / (4 * qm), ls / 2 + g + lm / 2, -s - m) / Rd.rotation,
        "IIIm": load(1 / (2 * qs) + 1 / (4 * qm), g + lm / 2, -M - m) / Rd.hinges,
        "IIIs": load(1 / (4 * qs) + 1 / (2 * qm), g + ls / 2, -M - s) / Rd.hinges,
        "IV": load(1 / (2 * qs) + 1 / (2 * qm), g, -2 * M) / Rd.hinges,
    }
