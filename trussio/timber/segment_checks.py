"""The checks of one segment under one run, after NDS-2018: tension, compression, bending, shear, together.

Forces are those of one ply, in lbf and in-lbf; tension positive. The length in the truss plane lies between
panel points; the one across it between what truly holds the stick, None where nobody said. Then buckling across
the plane is not evaluated, with the ratio as it would be if every panel point held.
Source: NDS-2018 3.3 to 3.9, as marked by the parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Final

from trussio.model.check import Check, Derivation, Subject
from trussio.timber.axial import (
    Axis,
    StrutValues,
    compression_check,
    slenderness_check,
    stress,
    strut_values,
    tension_check,
)
from trussio.timber.bending import bending_check, bending_stress, bending_value, section_modulus, shear_check
from trussio.timber.columns import gap_axis, spaced_limits_checks, stack_axis
from trussio.timber.combined import compression_bending_checks, tension_bending_checks
from trussio.timber.stability import (
    ANY_LOAD,
    beam_buckling_stress,
    beam_length,
    beam_slenderness,
    beam_stability,
)
from trussio.timber.working import MEMORY, STATICS, not_evaluated, stated

if TYPE_CHECKING:
    from trussio.timber.columns import EndCondition, Fastening
    from trussio.timber.stacks import Stack
    from trussio.timber.stock import Design, Stock

BRACING: Final = (
    "the document does not say what holds this length across the truss plane: "
    "enter where purlins or bridging truly hold this stick, its ends included"
)
GROSS: Final = "gross section: holes, rings and notches are not in the document"
IN_PLANE: Final = " in the truss plane"
TENSION: Final = "tension on the gross section"
FLOOR: Final = 1e-6
"""Force in lbf and moment in in-lbf that count as none."""


@dataclass(frozen=True, kw_only=True)
class PlyForces:
    """What one ply carries: axial from most compressed to most stretched (lbf), moment (in-lbf), shear (lbf)."""

    least: float
    greatest: float
    moment: float
    shear: float


@dataclass(frozen=True, kw_only=True)
class Lengths:
    """Lengths (in) of a segment: `in_plane` between panel points, `across` between lateral restraints or None.

    `panel` is the segment itself, which is what would count if every panel point held.
    """

    in_plane: float
    across: float | None
    panel: float


@dataclass(frozen=True, kw_only=True)
class Prepared:
    """All of a segment that does not depend on the run's forces: section figures and strength by axis.

    `free` is the strut that buckles both ways, over the length across or, if nobody said that, over the panel;
    `held` is then the one that bends in the plane alone. `known` says whether somebody said the length across.
    `spaced` holds l1, l2 and l3 of a spaced column.
    """

    breadth: float
    depth: float
    area: Derivation
    modulus: Derivation
    held: StrutValues | None
    free: StrutValues | None
    Fb_free: Derivation | None
    Fb_edge: Derivation | None
    FbE: Derivation | float
    known: bool
    spaced: tuple[float, float, float] | None


def prepare(
    stock: Stock, design: Design, lengths: Lengths, *, loading: str = ANY_LOAD, stack: Stack | None = None
) -> Prepared:
    """Section and buckling values of a segment under one duration; `loading` is that of table 3.3.3.

    A `stack` says how plies that are joined act across the plane; without it each leaf buckles alone.
    """
    area = stated("A", stock.breadth * stock.depth, "in2", STATICS)
    modulus = section_modulus(stock.breadth, stock.depth)
    found = design.found
    held = free = Fb_free = Fb_edge = None
    FbE: Derivation | float = inf
    across = lengths.panel if lengths.across is None else lengths.across
    if {"Fc_star", "Emin1", "Emin2"} <= set(found):
        in_plane = Axis(name="in the truss plane", le=lengths.in_plane, d=stock.depth, Emin=found["Emin1"])
        sideways = Axis(name="across the truss plane", le=across, d=stock.breadth, Emin=found["Emin2"])
        free = strut_values(Fc_star=found["Fc_star"], axes=(in_plane, sideways), c=design.c)
        if stack is not None and stack.how is not None:
            joined = _joined_axis(stack, stock, across, found["Emin2"])
            together = strut_values(Fc_star=found["Fc_star"], axes=(in_plane, joined), c=design.c)
            free = max(free, together, key=lambda strut: strut.Fc.value)  # joining plies never weakens them
        if lengths.across is None:
            held = strut_values(Fc_star=found["Fc_star"], axes=(in_plane,), c=design.c)
    if "Fb_plain" in found and "Emin2" in found:
        if stock.flat or stock.depth == stock.breadth or across == 0:
            CL = stated("CL", 1.0, "", MEMORY, "NDS-2018 3.3.3.1")
        else:
            le = beam_length(across, stock.depth, loading)
            FbE = beam_buckling_stress(
                found["Emin2"], beam_slenderness(le, depth=stock.depth, width=stock.breadth)
            )
            CL = beam_stability(Fb_star=found["Fb_plain"], FbE=FbE)
        Fb_edge = bending_value(Fb_star=found["Fb_plain"], CL=CL)
        Fb_free = found["Fb"] if found["Fb"].value < Fb_edge.value else Fb_edge
    return Prepared(
        breadth=stock.breadth,
        depth=stock.depth,
        area=area,
        modulus=modulus,
        held=held,
        free=free,
        Fb_free=Fb_free,
        Fb_edge=Fb_edge,
        FbE=FbE,
        known=lengths.across is not None,
        spaced=(across, lengths.in_plane, stack.l3) if stack is not None and stack.how in ("a", "b") else None,
    )


def _joined_axis(stack: Stack, stock: Stock, across: float, Emin: Derivation) -> Axis:
    """The way in which plies that act together buckle across the plane."""
    if stack.how in ("nailed", "bolted"):
        fastened: Fastening = "bolted" if stack.how == "bolted" else "nailed"
        return stack_axis(plies=stack.plies, thickness=stock.breadth, le=across, Emin=Emin, fastened=fastened)
    condition: EndCondition = "a" if stack.how == "a" else "b"
    return gap_axis(thickness=stock.breadth, l1=across, Emin=Emin, end_condition=condition)


def segment_checks(design: Design, prepared: Prepared, forces: PlyForces, of: Subject) -> list[Check]:
    """Every check of one segment under one run."""
    checks: list[Check] = []
    if forces.greatest > FLOOR:
        checks += _tension(design, prepared, forces, of)
    if forces.least < -FLOOR:
        checks += _compression(design, prepared, forces, of)
    if not checks and forces.moment > FLOOR:
        checks += _bending(design, prepared, forces, of)
    if forces.shear > FLOOR:
        checks.append(_shear(design, prepared, forces, of))
    return checks


def segment_slenderness(prepared: Prepared, of: Subject) -> list[Check]:
    """Slenderness of a segment that some run compresses; no run changes it."""
    if prepared.free is None:
        return []
    across: tuple[Check, ...] = (slenderness_check(strut=prepared.free, of=of),)
    if prepared.spaced is not None:
        l1, l2, l3 = prepared.spaced
        across = spaced_limits_checks(thickness=prepared.breadth, depth=prepared.depth, l1=l1, l2=l2, l3=l3, of=of)
    if prepared.held is None:
        return list(across)
    ratio = max(check.ratio or 0.0 for check in across)
    return [
        slenderness_check(strut=prepared.held, what=f"slenderness{IN_PLANE}", of=of),
        _open("slenderness across the truss plane", across[0].clause, _shown(ratio), of),
    ]


def _lacking(what: str, clause: str, design: Design, names: tuple[str, ...], of: Subject) -> Check:
    """The check that a missing value leaves open."""
    reason = next(design.missing[name] for name in names if name in design.missing)
    return not_evaluated(what=what, clause=clause, of=of, reason=reason)


def _tension(design: Design, at: Prepared, forces: PlyForces, of: Subject) -> list[Check]:
    Ft = design.found.get("Ft")
    if Ft is None:
        return [_lacking("tension", "NDS-2018 3.8.1", design, ("Ft",), of)]
    checks = [tension_check(force=forces.greatest, net_area=at.area, Ft=Ft, what=TENSION, of=of)]
    if forces.moment <= FLOOR:
        return checks
    if at.Fb_edge is None:
        return [*checks, _lacking("tension with bending", "NDS-2018 3.9.1", design, ("Fb_plain", "Emin2"), of)]
    edge, other = tension_bending_checks(
        ft=stress("ft", forces.greatest, at.area, force_symbol="T", area_symbol="A"),
        fb=bending_stress(forces.moment, at.modulus),
        Ft=Ft,
        Fb_star=design.found["Fb"],
        Fb_star_star=at.Fb_edge,
        of=of,
    )
    checks.append(edge)
    if other.ratio is not None and other.ratio > 0:  # else no edge is compressed, and 3.9-2 has nothing to say
        checks.append(other if at.known else _open(other.what, other.clause, _shown(other.ratio), of))
    return checks


def _compression(design: Design, at: Prepared, forces: PlyForces, of: Subject) -> list[Check]:
    if at.free is None:
        return [_lacking("compression", "NDS-2018 3.7", design, ("Fc_star", "Emin1", "Emin2"), of)]
    if at.held is None:
        return _strut(design, at, forces, Restraint(strut=at.free, Fb=at.Fb_free, FbE=at.FbE, where=""), of)
    held = Restraint(strut=at.held, Fb=design.found.get("Fb"), FbE=inf, where=IN_PLANE)
    checks = _strut(design, at, forces, held, of)
    free = Restraint(strut=at.free, Fb=at.Fb_free, FbE=at.FbE, where="")
    ratios = {check.what: check.ratio for check in _strut(design, at, forces, free, of)}
    shown = ", ".join(f"{what} {_shown(ratio)}" for what, ratio in ratios.items() if ratio is not None)
    return [*checks, _open("compression across the truss plane", "NDS-2018 3.7", shown, of)]


def _open(what: str, clause: str, ratios: str, of: Subject) -> Check:
    """The check that unknown bracing leaves open, with the ratio as if every panel point held."""
    remark = f"if every panel point were held: {ratios}"
    return not_evaluated(what=what, clause=clause, of=of, reason=BRACING, remarks=(remark,))


def _shown(ratio: float | None) -> str:
    return "without bound" if ratio == inf else f"{ratio or 0:.2f}"


@dataclass(frozen=True, kw_only=True)
class Restraint:
    """How a strut is taken to be held: its values, Fb' and FbE with it, and the words that say where it bends."""

    strut: StrutValues
    Fb: Derivation | None
    FbE: Derivation | float
    where: str


def _strut(design: Design, at: Prepared, forces: PlyForces, by: Restraint, of: Subject) -> list[Check]:
    force = -forces.least
    checks = [
        compression_check(
            force=force, gross_area=at.area, strut=by.strut, what=f"compression with buckling{by.where}", of=of
        ),
    ]
    if forces.moment <= FLOOR:
        return checks
    if by.Fb is None:
        return [*checks, _lacking("compression with bending", "NDS-2018 3.9.2", design, ("Fb_plain", "Emin2"), of)]
    main, sideways = compression_bending_checks(
        fc=stress("fc", force, at.area, force_symbol="P", area_symbol="A"),
        Fc=by.strut.Fc,
        fb1=bending_stress(forces.moment, at.modulus),
        Fb1=by.Fb,
        FcE1=by.strut.FcE[0],
        FcE2=by.strut.FcE[1] if len(by.strut.FcE) > 1 else inf,
        FbE=by.FbE,
        what=f"compression with bending{by.where}",
        of=of,
    )
    return [*checks, main] if by.where else [*checks, main, sideways]


def _bending(design: Design, at: Prepared, forces: PlyForces, of: Subject) -> list[Check]:
    if at.Fb_free is None:
        return [_lacking("bending", "NDS-2018 3.3.1", design, ("Fb_plain", "Emin2"), of)]
    check = bending_check(moment=forces.moment, modulus=at.modulus, Fb=at.Fb_free, of=of)
    return [check if at.known else _open(check.what, check.clause, _shown(check.ratio), of)]


def _shear(design: Design, at: Prepared, forces: PlyForces, of: Subject) -> Check:
    if "Fv" not in design.found:
        return _lacking("shear", "NDS-2018 3.4.1", design, ("Fv",), of)
    return shear_check(force=forces.shear, width=at.breadth, depth=at.depth, Fv=design.found["Fv"], of=of)
