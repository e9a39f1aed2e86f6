"""Group action: fasteners in one row do not share the load evenly.

Areas in2, moduli psi, spacing and diameter in, load/slip modulus lbf/in. Gross areas; the area of the side members
is their sum. Source: NDS-2018 11.3.6, Eq. 11.3-1, as quoted in secondary copies; connector moduli from memory.
"""

from __future__ import annotations

from math import sqrt
from typing import TYPE_CHECKING, Final

from trussio.timber.working import SECONDARY, Figure, derived, number, require_positive, step

if TYPE_CHECKING:
    from trussio.model.check import Derivation

CLAUSE: Final = "NDS-2018 eq. 11.3-1"


def slip_modulus(diameter: float, *, metal_side: bool) -> Derivation:
    """Gamma of one dowel: 180,000 D^1.5 wood to wood, 270,000 D^1.5 wood to metal (lbf/in)."""
    require_positive("slip modulus", {"diameter": diameter})
    times = 270000.0 if metal_side else 180000.0
    formula = f"{times:.0f} D^1.5"
    D = step("D", diameter, "in")
    return derived("gamma", times * diameter**1.5, "lbf/in", formula, "NDS-2018 11.3.6", D, source=SECONDARY)


def group_action(
    *, in_row: int, spacing: float, gamma: Figure, EA_main: float, EA_side: float, diameter: float | None = None
) -> Derivation:
    """Cg of one row of `in_row` fasteners at `spacing` (in).

    `EA_main` and `EA_side` are modulus times gross area (lbf), the side members added up. 1 for one fastener, and
    for dowels below 1/4 in (state their `diameter`). Source: Eq. 11.3-1.
    """
    require_positive("group action", {"EA of the main member": EA_main, "EA of the side members": EA_side})
    if in_row <= 1 or (diameter is not None and diameter < 0.25):
        return derived("Cg", 1.0, "", "one fastener, or below 1/4 in", CLAUSE, source=SECONDARY)
    REA = min(EA_main, EA_side) / max(EA_main, EA_side)
    u = 1 + number(gamma) * spacing / 2 * (1 / EA_main + 1 / EA_side)
    m = u - sqrt(u**2 - 1)
    steps = (
        step("n", in_row, ""),
        step("s", spacing, "in"),
        step("gamma", gamma, "lbf/in"),
        derived("R_EA", REA, "", "lesser EA / greater EA", CLAUSE, source=SECONDARY),
        derived("u", u, "", "1 + gamma s/2 (1/EA_m + 1/EA_s)", CLAUSE, source=SECONDARY),
        derived("m", m, "", "u - sqrt(u^2 - 1)", CLAUSE, source=SECONDARY),
    )
    formula = "m (1 - m^2n) / (n ((1 + R_EA m^n)(1 + m) - 1 + m^2n)) (1 + R_EA) / (1 - m)"
    return derived("Cg", _factor(m, in_row, REA), "", formula, CLAUSE, *steps, source=SECONDARY)


def _factor(m: float, n: int, REA: float) -> float:
    if 1 - m < 1e-9:  # no spacing or no slip: the fasteners share evenly
        return 1.0
    inner = (1 + REA * m**n) * (1 + m) - 1 + m ** (2 * n)
    return m * (1 - m ** (2 * n)) / (n * inner) * (1 + REA) / (1 - m)


def area_across_grain(*, thickness: float, group_width: float, spacing: float, rows: int) -> Derivation:
    """Area (in2) of a member loaded across its grain: thickness times the overall width of the group.

    `group_width` runs across the load from outermost row to outermost row; with one row the least spacing along
    the row stands for it.
    """
    width = spacing if rows == 1 else group_width
    require_positive("area across the grain", {"thickness": thickness, "width": width})
    formula = "t times least spacing, one row" if rows == 1 else "t times width of the group"
    steps = (step("t", thickness, "in"), step("w", width, "in"))
    return derived("A", thickness * width, "in2", formula, "NDS-2018 11.3.6.3", *steps, source=SECONDARY)


def rows_that_count(*, gauge: float, spacing: float, staggered: bool) -> int:
    """How many of two adjacent rows count: staggered rows nearer than a quarter of the spacing make one."""
    return 1 if staggered and gauge < spacing / 4 else 2
