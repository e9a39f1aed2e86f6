"""One connection without a truss: a group of dowels, rings or screws with all its factors, in one call.

Inches, lbf, psi, degrees. `loads` are the kinds of load that act together, whose shortest decides CD (at most
1.6); `CD` states it. A group is worth its number times Z' with the least geometry factor of its members; where one
of them stands below a floor of the standard, the joint is not permitted and the value is 0.
Source: NDS-2018 chapters 11 to 13, as marked by the parts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.adjustment import duration_factor
from trussio.timber.geometry_factors import geometry_factor
from trussio.timber.group_action import group_action, slip_modulus
from trussio.timber.lateral import (
    TOE_NAIL,
    adjusted_lateral,
    connection_temperature_factor,
    connection_wet_factor,
    end_grain_factor,
    lateral_value,
)
from trussio.timber.rings import (
    capped,
    connector_geometry,
    connector_modulus,
    connector_values,
    connector_wet_factor,
    metal_side_factor,
    value_at_angle,
)
from trussio.timber.withdrawal import end_grain_withdrawal, withdrawal_value
from trussio.timber.working import SECONDARY, derived, number, require_known, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Derivation
    from trussio.timber.fasteners import Fastener
    from trussio.timber.geometry_factors import Placement
    from trussio.timber.lateral import Piece
    from trussio.timber.rings import ConnectorPlacement, Group
    from trussio.timber.working import Figure
    from trussio.timber.yield_modes import Shear, Yielding

TOE_WITHDRAWAL: Final = 0.67


@dataclass(frozen=True, kw_only=True)
class JointValue:
    """What a group may carry (lbf): Z' or N' of all of it, its factors by name, and why it is not permitted.

    `one` is the reference value of a single fastener with its yield modes, None for rings.
    """

    value: Derivation
    factors: Mapping[str, Figure]
    refusals: tuple[str, ...]
    one: Yielding | None = None


def dowel_joint(
    *,
    fastener: Fastener,
    main: Piece,
    side: Piece,
    shear: Shear = "single",
    count: int = 1,
    rows: int = 1,
    spacing: float | None = None,
    EA_main: float | None = None,
    EA_side: float | None = None,
    placements: Sequence[Placement] = (),
    loads: Sequence[str] = (),
    CD: Figure | None = None,
    penetration: float | None = None,
    gap: float = 0.0,
    wet_when_made: bool = False,
    wet: bool = False,
    temperature: float = 70.0,
    separate_plates: bool = False,
    toe_nailed: bool = False,
    diaphragm: bool = False,
) -> JointValue:
    """Z' of bolts, lag screws, wood screws or nails: yield modes, CD, CM, Ct, Cg, C_delta, Ceg, Ctn.

    `placements` gives the distances in each wooden member, none leaves C_delta 1. `EA_main` and `EA_side` (E times
    gross area, sides added up) decide group action and are needed for several dowels in a row. Raises UsageError
    that names what is missing.
    """
    _require_group(count, rows, spacing)
    require_known("shear", shear, ("single", "double"))
    one = lateral_value(fastener=fastener, main=main, side=side, shear=shear, penetration=penetration, gap=gap)
    in_row = -(-count // rows)
    factors: dict[str, Figure] = {
        "CD": duration_factor(loads, connection=True) if CD is None else CD,
        "CM": connection_wet_factor(
            wet_when_made=wet_when_made,
            wet_in_service=wet,
            diameter=fastener.nominal,
            fasteners=count,
            rows=rows,
            separate_plates=separate_plates,
        ),
        "Ct": connection_temperature_factor(temperature=temperature, wet=wet),
    }
    if in_row > 1 and fastener.nominal >= 0.25:
        metal = main.Fe is not None or side.Fe is not None
        gamma = slip_modulus(fastener.nominal, metal_side=metal)
        factors["Cg"] = _group_action(in_row, spacing, gamma, (EA_main, EA_side))
    found = [geometry_factor(place, fastener.nominal) for place in placements]
    if found:
        factors["C_delta"] = min((one.factor for one in found), key=lambda factor: factor.value)
    if main.end_grain or side.end_grain:
        factors["Ceg"] = end_grain_factor(end_grain=True)
    if toe_nailed:
        factors["Ctn"] = derived("Ctn", TOE_NAIL, "", "toe-nailed", "NDS-2018 12.5.4", source=SECONDARY)
    if diaphragm:
        factors["Cdi"] = derived("Cdi", 1.1, "", "diaphragm", "NDS-2018 12.5.3", source=SECONDARY)
    refusals = tuple(refusal for one in found for refusal in one.refusals)
    return JointValue(
        value=adjusted_lateral(one.Z, factors, fasteners=count), factors=factors, refusals=refusals, one=one
    )


def _require_group(count: int, rows: int, spacing: float | None) -> None:
    """Raise UsageError `impossible-distance` for a group that cannot be."""
    require_positive("group", {"count": count, "rows": rows, **({} if spacing is None else {"spacing": spacing})})
    if rows > count:
        raise UsageError(
            "impossible-distance",
            where="group",
            what=f"{count} fasteners stand in {rows} rows.",
            do="Enter how many there are in all, and in how many rows along the load.",
        )


def _group_action(
    in_row: int, spacing: float | None, gamma: Figure, EA: tuple[float | None, float | None]
) -> Derivation:
    main, side = EA
    for name, given in (("spacing in a row", spacing), ("EA of the main", main), ("EA of the side", side)):
        if given is None:
            raise UsageError(
                "value-missing",
                where="group action",
                what=f"{name} is not given.",
                do="Enter the spacing in inches, and E times gross area of main and side members in lbf.",
            )
    return group_action(
        in_row=in_row, spacing=spacing or 0.0, gamma=gamma, EA_main=main or 0.0, EA_side=side or 0.0
    )


@dataclass(frozen=True, kw_only=True)
class RingPiece:
    """One member at rings or shear plates: its net thickness, on how many faces they sit, and the distances."""

    thickness: float
    faces: int
    placement: ConnectorPlacement


def ring_joint(
    *,
    name: str,
    group: Group,
    pieces: Sequence[RingPiece],
    bolt: float,
    count: int = 1,
    in_row: int = 1,
    spacing: float | None = None,
    EA_main: float | None = None,
    EA_side: float | None = None,
    metal_side: bool = False,
    loads: Sequence[str] = (),
    CD: Figure | None = None,
    wet_when_made: bool = False,
    wet: bool = False,
    temperature: float = 70.0,
) -> JointValue:
    """N' of `count` split rings or shear plates (`4 in split ring`): the least of the pieces by Hankinson.

    `pieces` are the wooden members, each with its own angle of load to grain; `bolt` is the diameter of the bolt.
    """
    _require_group(count, 1, spacing)
    if not pieces:
        raise UsageError(
            "value-missing",
            where=name,
            what="no wooden member is given.",
            do="Enter each wooden member at the connectors as a RingPiece.",
        )
    factors: dict[str, Figure] = {
        "CD": duration_factor(loads, connection=True) if CD is None else CD,
        "CM": connector_wet_factor(wet_when_made=wet_when_made, wet_in_service=wet),
        "Ct": connection_temperature_factor(temperature=temperature, wet=wet),
    }
    if in_row > 1:
        factors["Cg"] = _group_action(in_row, spacing, connector_modulus(name), (EA_main, EA_side))
    values: list[Derivation] = []
    refusals: list[str] = []
    for piece in pieces:
        table = connector_values(name=name, group=group, faces=piece.faces, thickness=piece.thickness)
        place = connector_geometry(name, piece.placement)
        refusals += place.refusals
        own = {**factors, "C_delta": place.factor}
        Cst = metal_side_factor(name, group, metal_side=metal_side)
        P, Q = _times("P'", table.P, {**own, "Cst": Cst}), _times("Q'", table.Q, own)
        if not place.refusals:
            values.append(capped(name, value_at_angle(P, Q, piece.placement.angle), bolt=bolt))
    least = min(values, key=lambda value: value.value, default=None)
    if refusals or least is None:
        value = derived("N' group", 0.0, "lbf", "not permitted", "NDS-2018 13.3.2")
        return JointValue(value=value, factors=factors, refusals=tuple(refusals))
    total = derived("N' group", count * least.value, "lbf", f"{count} x the least piece", "NDS-2018 13.2", least)
    return JointValue(value=total, factors=factors, refusals=())


def _times(symbol: str, reference: Derivation, factors: Mapping[str, Figure]) -> Derivation:
    value = reference.value
    for factor in factors.values():
        value *= number(factor)
    steps = (step(symbol.rstrip("'"), reference, "lbf"), *(step(name, one, "") for name, one in factors.items()))
    formula = " x ".join((symbol.rstrip("'"), *factors))
    return derived(symbol, value, "lbf", formula, "NDS-2018 table 11.3.1", *steps)


def withdrawal_joint(
    *,
    fastener: Fastener,
    G: float,
    into: float,
    count: int = 1,
    loads: Sequence[str] = (),
    CD: Figure | None = None,
    wet_when_made: bool = False,
    wet: bool = False,
    temperature: float = 70.0,
    end_grain: bool = False,
    toe_nailed: bool = False,
) -> JointValue:
    """W' of lag screws, wood screws or nails pulled out: W times the inches `into` the main member, and factors.

    `into` is the threaded length without tip of lag screws, the threads of wood screws, the penetration of nails.
    CM does not apply to toe-nails (12.5.4.1, from memory).
    """
    require_positive("withdrawal", {"length in the main member": into})
    W = withdrawal_value(kind=fastener.kind, G=G, diameter=fastener.nominal)
    factors: dict[str, Figure] = {
        "CD": duration_factor(loads, connection=True) if CD is None else CD,
        "Ct": connection_temperature_factor(temperature=temperature, wet=wet),
    }
    if not toe_nailed:
        factors["CM"] = _wet_withdrawal(fastener, wet_when_made=wet_when_made, wet=wet)
    if end_grain:
        factors["Ceg"] = end_grain_withdrawal(fastener.kind)
    if toe_nailed:
        factors["Ctn"] = derived("Ctn", TOE_WITHDRAWAL, "", "toe-nailed", "NDS-2018 12.5.4", source=SECONDARY)
    value = W.value * into * count
    for factor in factors.values():
        value *= number(factor)
    steps = (W, step("p", into, "in"), *(step(name, one, "") for name, one in factors.items()))
    formula = " x ".join((f"{count} W p", *factors))
    total = derived("W'p", value, "lbf", formula, "NDS-2018 12.2, table 11.3.1", *steps, source=SECONDARY)
    return JointValue(value=total, factors=factors, refusals=())


def _wet_withdrawal(fastener: Fastener, *, wet_when_made: bool, wet: bool) -> Derivation:
    """CM in withdrawal: 0.7 for screws wet in service; 0.25 for smooth nails where the moisture changes."""
    clause = "NDS-2018 table 11.3.3"
    if fastener.kind == "nail":
        changes = wet_when_made != wet
        formula = "moisture changes after driving" if changes else "moisture as when driven"
        return derived("CM", 0.25 if changes else 1.0, "", formula, clause)
    return derived("CM", 0.7 if wet else 1.0, "", "wet in service" if wet else "dry in service", clause)
