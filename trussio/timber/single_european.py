"""One stick or one group of dowels after EN 1995-1-1, without a truss, in one call.

N, mm, MPa, N-mm; forces are those of factored loads, tension positive. Characteristic values become design values
with kmod and gamma_M. Source: as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.timber.eurocode import modification_factor, partial_factor, strength_class
from trussio.timber.eurocode_dowels import effective_number
from trussio.timber.european_checks import EuropeanStock, european_checks, european_design
from trussio.timber.segment_checks import Lengths, PlyForces
from trussio.timber.single_member import require_forces, require_lengths
from trussio.timber.working import MEMORY, SINGLE, derived, number, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Check, Derivation, Subject
    from trussio.timber.eurocode import Duration, Product
    from trussio.timber.eurocode_dowels import Johansen


def european_stick_checks(
    grade: str,
    *,
    width: float,
    depth: float,
    duration: Duration,
    service_class: int,
    axial: float = 0.0,
    moment: float = 0.0,
    shear: float = 0.0,
    in_plane: float = 0.0,
    across: float | None = None,
    values: Mapping[str, float] | None = None,
    product: Product | None = None,
    of: Subject = SINGLE,
) -> tuple[Check, ...]:
    """Every check of a stick of a strength class (`C24`, `GL28h`), or of stated `values` under any name.

    `values` (fmk, ft0k, fc0k, fvk, E005) go before those of the class. `in_plane` and `across` are the buckling
    lengths in the depth and across it, 0 where held throughout, None across where nobody knows.
    """
    require_positive("stick", {"width": width, "depth": depth})
    require_lengths(in_plane, across)
    require_forces({"axial force": axial, "moment": moment, "shear": shear})
    stated = values or {}
    complete = {"fmk", "ft0k", "fc0k", "fvk", "E005"} <= set(stated)
    row = None if complete else strength_class(grade)
    known = (
        {}
        if row is None
        else {
            "fmk": row["fmk"],
            "ft0k": row["ft0k"],
            "fc0k": row["fc0k"],
            "fvk": row["fvk"],
            "E005": row["E005"],
        }
    )
    of_class: Product = "glulam" if row is not None and row["product"] == "glulam" else "solid"
    stock = EuropeanStock(
        name=grade,
        breadth=width,
        depth=depth,
        plies=1,
        product=product or of_class,
        source="stated" if complete else MEMORY,
        values={**known, **stated},
    )
    design = european_design(stock, duration=duration, service_class=service_class)
    forces = PlyForces(least=min(axial, 0.0), greatest=max(axial, 0.0), moment=abs(moment), shear=abs(shear))
    lengths = Lengths(in_plane=in_plane, across=across, panel=in_plane if across is None else across)
    return tuple(european_checks(stock, design, lengths, forces, factored=True, of=of))


def european_joint(
    one: Johansen,
    *,
    diameter: float,
    planes: int,
    duration: Duration,
    service_class: int,
    in_row: int = 1,
    rows: int = 1,
    spacing: float | None = None,
    angle: float = 0.0,
) -> Derivation:
    """Fv,Rd of a group of bolts or dowels (N): nef x rows x planes x kmod Fv,Rk / gamma_M.

    `one` comes from the modes of `eurocode_dowels`, per shear plane; `angle` is that of the load to the grain.
    """
    if in_row > 1 and spacing is None:
        raise UsageError(
            "distance-missing",
            where="nef",
            what="the spacing in a row is not given.",
            do="Enter a1 in mm, as measured.",
        )
    require_positive("joint", {"number of rows": rows, "number of shear planes": planes})
    nef = effective_number(
        count=in_row, spacing=13 * diameter if spacing is None else spacing, diameter=diameter, angle=angle
    )
    kmod = modification_factor(service_class=service_class, duration=duration)
    gamma = partial_factor("connection")
    each = derived(
        "Fv,Rd",
        kmod.value * one.F.value / gamma.value,
        "N",
        "kmod Fv,Rk / gamma_M",
        "EN 1995-1-1 2.17",
        one.F,
        kmod,
        gamma,
    )
    value = number(nef) * rows * planes * each.value
    steps = (each, nef, step("rows", rows, ""), step("planes", planes, ""))
    return derived("Fv,Rd group", value, "N", "nef x rows x planes x Fv,Rd", "EN 1995-1-1 8.1.2", *steps)
