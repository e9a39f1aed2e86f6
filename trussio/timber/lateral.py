"""One dowel-type fastener loaded across its length: from the pieces it joins to Z, and from Z to Z'.

Terms: a *piece* is one member at the fastener: wood with its specific gravity and angle of load to grain, or
steel, or concrete. `main` holds the point or lies in the middle; `side` is one of the outer pieces. Inches, psi,
lbf, degrees. Source: NDS-2018 11.3, 12.3, as quoted in secondary copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.dowel_bearing import bearing_strength
from trussio.timber.fasteners import Fastener, bearing_length, penetration_factor
from trussio.timber.working import SECONDARY, Figure, derived, number, require_positive, shown, step
from trussio.timber.yield_modes import Shear, Yielding, yield_value

if TYPE_CHECKING:
    from collections.abc import Mapping

END_GRAIN: Final = 0.67
DIAPHRAGM: Final = 1.1
TOE_NAIL: Final = 0.83


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One piece at a fastener: `thickness` along the fastener (in).

    Wood gives `G` and the `angle` of the load to its grain (degrees); `end_grain` says that the fastener runs
    along the grain. Anything else gives `Fe` (psi), as from `steel_bearing`.
    """

    thickness: float
    G: float | None = None
    angle: float = 0.0
    end_grain: bool = False
    Fe: Figure | None = None


def piece_bearing(piece: Piece, nominal: float) -> Derivation:
    """Dowel bearing strength of a piece; across the grain in end grain.

    Raises UsageError `piece-incomplete` unless exactly one of G and Fe is given.
    """
    if (piece.G is None) == (piece.Fe is None):
        raise UsageError(
            "piece-incomplete",
            where="fastener",
            what="a piece needs its specific gravity or its bearing strength, one of the two.",
            do="Enter G of wood, or Fe in psi of steel or concrete.",
        )
    if piece.G is not None:
        return bearing_strength(G=piece.G, diameter=nominal, angle=90.0 if piece.end_grain else piece.angle)
    return shown("Fe", 0.0 if piece.Fe is None else piece.Fe, "psi")


def lateral_value(
    *,
    fastener: Fastener,
    main: Piece,
    side: Piece,
    shear: Shear = "single",
    penetration: float | None = None,
    gap: float = 0.0,
) -> Yielding:
    """Reference value Z of one fastener (lbf), with the penetration share of screws and nails already in Z.

    Bolts bear over the whole thickness of the main piece. Screws and nails need their `penetration` into it (in):
    without tip for lag screws, with it otherwise. A measured `gap` (in) between the pieces weakens the joint.
    Raises UsageError `penetration-missing`, or `penetration-not-permitted` below the least.
    """
    share, lm = _penetration(fastener, main, penetration)
    Fem, Fes = piece_bearing(main, fastener.nominal), piece_bearing(side, fastener.nominal)
    angle = max(piece.angle for piece in (main, side) if piece.G is not None) if main.G or side.G else 0.0
    if any(piece.end_grain for piece in (main, side)):
        angle = 90.0
    found = yield_value(
        diameter=fastener.diameter,
        lm=lm,
        ls=side.thickness,
        Fem=Fem,
        Fes=Fes,
        Fyb=fastener.Fyb,
        angle=angle,
        shear=shear,
        nominal=fastener.nominal,
        gap=gap,
    )
    if share.value == 1.0:
        return found
    Z = derived("Z", found.Z.value * share.value, "lbf", "Z Cd", "NDS-2018 12.1", found.Z, share, source=SECONDARY)
    return Yielding(modes=found.modes, mode=found.mode, Z=Z)


def _penetration(fastener: Fastener, main: Piece, penetration: float | None) -> tuple[Derivation, float]:
    if fastener.kind == "bolt":
        return penetration_factor(fastener, main.thickness), main.thickness
    if penetration is None:
        raise UsageError(
            "penetration-missing",
            where=fastener.kind,
            what="the penetration into the main piece is not given.",
            do="Enter it in inches: length less side piece, and for lag screws less the tip.",
        )
    require_positive(fastener.kind, {"penetration": penetration})
    share = penetration_factor(fastener, penetration)
    if share.value == 0.0:
        least = 4 if fastener.kind == "lag screw" else 6
        raise UsageError(
            "penetration-not-permitted",
            where=fastener.kind,
            what=f"{penetration:g} in is less than {least} diameters.",
            do="The standard gives such a fastener no value; measure again, or count it as none.",
        )
    return share, min(bearing_length(fastener, penetration), main.thickness)


def connection_wet_factor(
    *,
    wet_when_made: bool,
    wet_in_service: bool,
    diameter: float,
    fasteners: int,
    rows: int,
    separate_plates: bool = False,
) -> Derivation:
    """CM of dowel-type fasteners under lateral load.

    0.7 wet in service; 0.4 where green wood dried round several rows (0.7 below 1/4 in; 1.0 with one fastener, one
    row along the grain, or a splice plate of its own for each row).
    """
    clause = "NDS-2018 table 11.3.3"
    if wet_in_service:
        return derived("CM", 0.7, "", "wet in service", clause, source=SECONDARY)
    if not wet_when_made:
        return derived("CM", 1.0, "", "dry when made and in service", clause, source=SECONDARY)
    if fasteners == 1 or rows == 1 or separate_plates:
        formula = "green when made, free to shrink: one fastener, one row or separate plates"
        return derived("CM", 1.0, "", formula, clause, source=SECONDARY)
    if diameter < 0.25:
        return derived("CM", 0.7, "", "green when made, below 1/4 in", clause, source=SECONDARY)
    return derived("CM", 0.4, "", "green when made, several rows held by one plate", clause, source=SECONDARY)


def connection_temperature_factor(*, temperature: float, wet: bool) -> Derivation:
    """Ct of a connection for a sustained temperature (F). Raises UsageError `outside-table` above 150 F."""
    clause = "NDS-2018 table 11.3.4"
    if not temperature <= 150.0:
        raise UsageError(
            "outside-table",
            where="Ct",
            what=f"{temperature:g} F is above 150 F, where the table ends.",
            do="Enter the sustained temperature of the wood at the connection.",
        )
    hot = (0.7, 0.5) if temperature > 125.0 else (0.8, 0.7)
    value = 1.0 if temperature <= 100.0 else hot[1 if wet else 0]
    formula = f"{temperature:g} F, {'wet' if wet else 'dry'}"
    return derived("Ct", value, "", formula, clause, source=SECONDARY)


def end_grain_factor(*, end_grain: bool) -> Derivation:
    """Ceg under lateral load: 0.67 where the main member is loaded in its end grain."""
    value, formula = (END_GRAIN, "in end grain") if end_grain else (1.0, "in side grain")
    return derived("Ceg", value, "", formula, "NDS-2018 12.5.2", source=SECONDARY)


def adjusted_lateral(Z: Figure, factors: Mapping[str, Figure], *, fasteners: int = 1) -> Derivation:
    """Z' of a group: Z times CD, CM, Ct, Cg, C_delta, Ceg, Cdi, Ctn as given by name, times the fasteners (lbf).

    CD is at most 1.6 and does not belong where steel governs. Raises UsageError `unknown-factor` or
    `duration-over-1.6`.
    """
    known = ("CD", "CM", "Ct", "Cg", "C_delta", "Ceg", "Cdi", "Ctn")
    value = number(Z) * fasteners
    for name, factor in factors.items():
        if name not in known:
            raise UsageError(
                "unknown-factor",
                where=name,
                what="this factor does not belong to a lateral value.",
                do=f"Use {', '.join(known)}.",
            )
        if name == "CD" and number(factor) > 1.6:
            raise UsageError(
                "duration-over-1.6",
                where="CD",
                what=f"{number(factor):g} is over 1.6, the most for a connection.",
                do="Enter 1.6 or less.",
            )
        value *= number(factor)
    steps = (step("Z", Z, "lbf"), *(step(name, factor, "") for name, factor in factors.items()))
    formula = " x ".join((f"{fasteners} Z", *factors))
    return derived("Z'", value, "lbf", formula, "NDS-2018 table 11.3.1", *steps, source=SECONDARY)
