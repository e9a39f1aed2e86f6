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
from trussio.timber.working import SECONDARY, Figure, derived, half_up, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

Shear = Literal["single", "double"]

LARGEST: Final = 1.0
CLAUSE: Final = "NDS-2018 table 12.3.1A"


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
) -> Yielding:
    """Z of one fastener (lbf, before every adjustment factor), `ls` being one side member.

    `diameter` is D, or the root diameter of lag screws and rolled-thread screws; `nominal` is then the nominal
    one. `angle` is the largest load-to-grain angle of any member. In double shear Z is for both planes.
    """
    require_positive("fastener", {"bearing length in main member": lm, "bearing length in side member": ls})
    Rd = reduction_terms(diameter=diameter, nominal=nominal if nominal is not None else diameter, angle=angle)
    modes = _modes(diameter, (lm, ls), (number(Fem), number(Fes)), Fyb, Rd)
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
    )
    formulas = DOUBLE_SHEAR if shear == "double" else SINGLE_SHEAR
    steps = tuple(
        derived(f"Z {name}", value, "lbf", formulas[name], CLAUSE, source=SECONDARY)
        for name, value in modes.items()
    )
    Z = derived("Z", modes[mode], "lbf", f"least mode: {mode}", CLAUSE, *inputs, *steps, source=SECONDARY)
    return Yielding(modes=modes, mode=mode, Z=Z)


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


def _modes(
    D: float, lengths: tuple[float, float], strengths: tuple[float, float], Fyb: float, Rd: ReductionTerms
) -> dict[str, float]:
    lm, ls = lengths
    Fem, Fes = strengths
    Re, Rt = Fem / Fes, lm / ls
    k1 = (sqrt(Re + 2 * Re**2 * (1 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1 + Rt)) / (1 + Re)
    k2 = -1 + sqrt(2 * (1 + Re) + 2 * Fyb * (1 + 2 * Re) * D**2 / (3 * Fem * lm**2))
    k3 = -1 + sqrt(2 * (1 + Re) / Re + 2 * Fyb * (2 + Re) * D**2 / (3 * Fem * ls**2))
    return {
        "Im": D * lm * Fem / Rd.crushing,
        "Is": D * ls * Fes / Rd.crushing,
        "II": k1 * D * ls * Fes / Rd.rotation,
        "IIIm": k2 * D * lm * Fem / ((1 + 2 * Re) * Rd.hinges),
        "IIIs": k3 * D * ls * Fem / ((2 + Re) * Rd.hinges),
        "IV": D**2 / Rd.hinges * sqrt(2 * Fem * Fyb / (3 * (1 + Re))),
    }
