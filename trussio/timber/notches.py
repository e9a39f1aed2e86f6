"""Shear where a beam is notched at its support.

Inches, lbf, psi. A notch on the tension side lifts the grain at its corner, one on the compression side spares it.
Source: NDS-2018 3.4.3.2, from memory.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.timber.axial import require_sense
from trussio.timber.working import SINGLE, Figure, derived, number, require_positive, set_against, shown, step

if TYPE_CHECKING:
    from trussio.model.check import Check, Subject


def notched_shear_check(
    *,
    force: float,
    width: float,
    depth: float,
    left: float,
    Fv: Figure,
    compression_side: float | None = None,
    of: Subject = SINGLE,
) -> Check:
    """Shear at an end notch: V against (2/3 Fv' b dn)(dn/d)^2 on the tension side.

    `left` is dn, the depth that the notch leaves. A notch on the compression side states as `compression_side` how
    far it reaches inside the face of the support (e, up to dn): then 2/3 Fv' b (d - (d - dn) e / dn). `width` of a
    round piece is the area at the notch over dn. Raises UsageError `impossible-distance`.
    """
    require_sense("notched shear", force, "shear")
    require_positive("notched shear", {"width": width, "depth": depth, "depth left": left})
    if left > depth or not 0 <= (compression_side or 0.0) <= left:
        raise UsageError(
            "impossible-distance",
            where="notch",
            what=f"{left:g} in is left of {depth:g} in, {compression_side or 0.0:g} in inside the support.",
            do="Measure the depth left, and how far the notch goes past the face of the support, at most as much.",
        )
    clause = "NDS-2018 3.4.3.2"
    if compression_side is None:
        value = 2 / 3 * number(Fv) * width * left * (left / depth) ** 2
        formula = "2/3 Fv' b dn (dn/d)^2"
    else:
        value = 2 / 3 * number(Fv) * width * (depth - (depth - left) / left * compression_side)
        formula = "2/3 Fv' b (d - (d - dn) e / dn)"
    steps = (
        step("Fv'", Fv, "psi"),
        step("b", width, "in"),
        step("d", depth, "in"),
        step("dn", left, "in"),
        *(() if compression_side is None else (step("e", compression_side, "in"),)),
    )
    return set_against(
        what="shear at a notch",
        clause=clause,
        demand=shown("V", force, "lbf"),
        capacity=derived("Vr'", value, "lbf", formula, clause, *steps),
        unit="lbf",
        of=of,
    )
