"""One stick without a truss: every check of NDS-2018 for given forces, in one call.

Inches, lbf, psi, in-lbf; tension positive. The depth is that in which the stick bends. `loads` are the kinds of
load that act together (`dead`, `snow`, `roof-live`, `wind`, ...), whose shortest decides CD; `CD` states it.
Source: as marked by the parts.
"""

from __future__ import annotations

from math import inf, isfinite
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.adjustment import duration_factor
from trussio.timber.design_values import Use, adjusted_value
from trussio.timber.reference import DIMENSION_TO, STATED_VALUES, TABULATED, TIMBER_FROM, size_class
from trussio.timber.segment_checks import Lengths, PlyForces, prepare, segment_checks, segment_slenderness
from trussio.timber.stock import Stock, design_of
from trussio.timber.working import SINGLE, number, require_positive

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Check, Derivation, Subject
    from trussio.timber.reference import ReferenceValues
    from trussio.timber.working import Figure

DRY: Final = 70.0
LEAST_CD: Final = 0.9
GREATEST_CD: Final = 2.0


def use_of(
    loads: Sequence[str] = (),
    *,
    CD: Figure | None = None,
    wet: bool = False,
    temperature: float = DRY,
    incised: bool = False,
    repetitive: bool = False,
) -> Use:
    """Conditions of use from the kinds of load that act together, or from a stated CD (0.9 to 2.0).

    Raises UsageError `outside-table`.
    """
    duration = duration_factor(loads) if CD is None else CD
    if not LEAST_CD <= number(duration) <= GREATEST_CD:
        raise UsageError(
            "outside-table",
            where="CD",
            what=f"{number(duration):g} is not between {LEAST_CD:g} and {GREATEST_CD:g}.",
            do="Enter 0.9 for permanent load up to 2.0 for impact, or the kinds of load.",
        )
    return Use(CD=duration, wet=wet, temperature=temperature, incised=incised, repetitive=repetitive)


def adjusted_values(values: ReferenceValues, *, width: float, depth: float, use: Use) -> dict[str, Derivation]:
    """Every value that the source gives, adjusted but for CL, CV, CP and Cb, by its symbol (`Fb`, `Ft`, ...)."""
    require_positive("stick", {"width": width, "depth": depth})
    thin, wide = sorted((width, depth))
    return {
        symbol: adjusted_value(values, symbol, use=use, thickness=thin, width=wide, flat=depth < width)
        for symbol in values.values
    }


def require_lengths(in_plane: float, across: float | None) -> None:
    """Raise UsageError `impossible-distance` for a length between restraints that is negative or no number."""
    for length in (in_plane, across or 0.0):
        if not 0 <= length < inf:
            raise UsageError(
                "impossible-distance",
                where="stick",
                what=f"a length between restraints is {length:g}.",
                do="Enter it as measured, 0 where the stick is held throughout.",
            )


def require_forces(forces: Mapping[str, float]) -> None:
    """Raise UsageError `no-number` for a force that is no finite number."""
    for name, force in forces.items():
        if not isfinite(force):
            raise UsageError("no-number", where="stick", what=f"the {name} is {force:g}.", do="Enter a number.")


def _require_class(values: ReferenceValues, width: float, depth: float) -> None:
    """Raise UsageError `size-class-mismatch` where tabulated values do not hold for a section.

    Pieces between 4 and 4-1/2 in thick may be either; stated values hold for what their source says.
    """
    thin = min(width, depth)
    if values.size_class not in TABULATED or values.table == STATED_VALUES or DIMENSION_TO < thin < TIMBER_FROM:
        return
    found = size_class(width, depth)
    if found != values.size_class:
        raise UsageError(
            "size-class-mismatch",
            where=values.name,
            what=f"{width:g} x {depth:g} in is {found}, and these values are for {values.size_class}.",
            do="Take the values for this section, or correct it.",
        )


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
    require_lengths(in_plane, across)
    require_forces({"axial force": axial, "moment": moment, "shear": shear})
    _require_class(values, width, depth)
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
