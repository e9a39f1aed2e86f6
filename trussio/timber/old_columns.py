"""Column formulas of older books, for reading old calculations; none of them is a check of today.

Inches, psi. Source: as given at each formula.
"""

from __future__ import annotations

from math import sqrt

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.working import derived, require_positive, step

HICKS = "Hicks, Handbook of Civil Engineering Calculations, section 3, Timber Engineering"
POCKETBOOK = "Building Trades Pocketbook, Wooden Columns (early 20th century)"


def fourth_power_column(*, fc: float, E: float, length: float, d: float, K: float | None = None) -> Derivation:
    """Allowable stress by the fourth-power formula in use before 1991 (psi).

    Full stress up to l/d 11; fc (1 - (l/d/K)^4 / 3) up to K = 0.64 sqrt(E/fc); 0.274 E / (l/d)^2 beyond. `K` may
    be stated as the old calculation rounded it.
    """
    require_positive("old column formula", {"fc": fc, "E": E, "length": length, "d": d})
    ratio = length / d
    limit = 0.64 * sqrt(E / fc) if K is None else K
    if ratio <= 11:
        value, formula = fc, "fc"
    elif ratio <= limit:
        value, formula = fc * (1 - (ratio / limit) ** 4 / 3), "fc (1 - (l/d / K)^4 / 3)"
    else:
        value, formula = 0.274 * E / ratio**2, "0.274 E / (l/d)^2"
    steps = (
        step("fc", fc, "psi"),
        step("E", E, "psi"),
        derived("l/d", ratio, "", "l / d", "", step("l", length, "in"), step("d", d, "in"), source=HICKS),
        derived("K", limit, "", "0.64 sqrt(E / fc)", "", source=HICKS),
    )
    return derived("f", value, "psi", formula, "before 1991", *steps, source=HICKS)


def straight_line_column(*, ultimate: float, length: float, d: float, factor_of_safety: float) -> Derivation:
    """Allowable stress by the straight line S = U - U l / (100 d), over a factor of safety (psi).

    Holds for l/d of 10 to 45; raises UsageError `outside-formula` beyond.
    """
    require_positive("old column formula", {"ultimate": ultimate, "length": length, "d": d})
    ratio = length / d
    if not 10 <= ratio <= 45:
        raise UsageError(
            "outside-formula",
            where="old column formula",
            what=f"l/d is {ratio:.4g}; the formula holds from 10 to 45.",
            do="Use another formula of the time, or today's.",
        )
    steps = (step("U", ultimate, "psi"), step("l", length, "in"), step("d", d, "in"))
    S = derived("S", ultimate * (1 - ratio / 100), "psi", "U - U l / (100 d)", "", *steps, source=POCKETBOOK)
    allowable = S.value / factor_of_safety
    return derived("f", allowable, "psi", f"S / {factor_of_safety:g}", "", S, source=POCKETBOOK)
