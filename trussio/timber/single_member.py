"""One stick without a truss: every check of NDS-2018 for given forces, in one call.

Inches, lbf, psi, in-lbf; tension positive. The depth is that in which the stick bends. `loads` are the kinds of
load that act together (`dead`, `snow`, `roof-live`, `wind`, ...), whose shortest decides CD; `CD` states it.
Source: as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.adjustment import duration_factor
from trussio.timber.design_values import Use, adjusted_value
from trussio.timber.segment_checks import Lengths, PlyForces, prepare, segment_checks, segment_slenderness
from trussio.timber.stock import Stock, design_of
from trussio.timber.working import SINGLE, require_positive

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Check, Derivation, Subject
    from trussio.timber.reference import ReferenceValues
    from trussio.timber.working import Figure

DRY: Final = 70.0


def use_of(
    loads: Sequence[str] = (),
    *,
    CD: Figure | None = None,
    wet: bool = False,
    temperature: float = DRY,
    incised: bool = False,
    repetitive: bool = False,
) -> Use:
    """Conditions of use from the kinds of load that act together, or from a stated CD."""
    duration = duration_factor(loads) if CD is None else CD
    return Use(CD=duration, wet=wet, temperature=temperature, incised=incised, repetitive=repetitive)


def adjusted_values(values: ReferenceValues, *, width: float, depth: float, use: Use) -> dict[str, Derivation]:
    """Every value that the source gives, adjusted but for CL, CV, CP and Cb, by its symbol (`Fb`, `Ft`, ...)."""
    require_positive("stick", {"width": width, "depth": depth})
    thin, wide = sorted((width, depth))
    return {
        symbol: adjusted_value(values, symbol, use=use, thickness=thin, width=wide, flat=depth < width)
        for symbol in values.values
    }


def stick_checks(
    values: ReferenceValues,
    *,
    width: float,
    depth: float,
    use: Use,
    axial: float = 0.0,
    moment: float = 0.0,
    shear: float = 0.0,
    in_plane: float = 0.0,
    across: float | None = None,
    loading: str = "any",
    length: float | None = None,
    of: Subject = SINGLE,
) -> tuple[Check, ...]:
    """Tension, compression, bending, shear, slenderness and what acts together.

    `axial` is positive in tension; `moment` bends in the depth. `in_plane` is the effective length for buckling in
    the depth, `across` that across it and of the compressed edge: 0 where held throughout, None where nobody knows
    (then left open). `loading` is a key of `stability.BEAM_LOADS`; `length` (glulam) that between points of zero
    moment, for CV.
    """
    require_positive("stick", {"width": width, "depth": depth})
    if min(in_plane, across or 0.0) < 0:
        raise UsageError(
            "impossible-distance",
            where="stick",
            what=f"a length between restraints is {min(in_plane, across or 0.0):g} in.",
            do="Enter it as measured, 0 where the stick is held throughout.",
        )
    kind = "glulam" if values.size_class == "glulam" else "sawn"
    stock = Stock(name=values.name, breadth=width, depth=depth, plies=1, kind=kind, values=values, remarks=())
    if kind == "glulam" and length is None and moment:
        raise UsageError(
            "value-missing",
            where="CV",
            what="the length between points of zero moment is not given.",
            do="Enter it in inches, the span of a simple beam.",
        )
    design = design_of(stock, use, length=length or 1.0)
    panel = in_plane if across is None else across
    prepared = prepare(stock, design, Lengths(in_plane=in_plane, across=across, panel=panel), loading=loading)
    forces = PlyForces(least=min(axial, 0.0), greatest=max(axial, 0.0), moment=abs(moment), shear=abs(shear))
    checks = segment_checks(design, prepared, forces, of)
    return tuple((*checks, *segment_slenderness(prepared, of)) if axial < 0 else checks)
