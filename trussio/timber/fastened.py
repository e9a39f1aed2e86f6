"""A group of fasteners in its layers: what it may carry across one plane, or across both of a symmetric joint.

A symmetric joint of three layers has one value for both planes, on the thinner side piece; any other joint is
taken plane by plane in single shear. Rows run along the first stick that ends at the joint. Inches, psi, lbf.
Source: NDS-2018 11.3, 12.3, 13.2, as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.fasteners import bolt, lag_screw, nail, threaded_bolt, wood_screw
from trussio.timber.geometry_factors import GeometryFactor, Placement, geometry_factor
from trussio.timber.group_action import group_action, slip_modulus
from trussio.timber.joints import Layer, Vector, angle_between
from trussio.timber.lateral import (
    Piece,
    adjusted_lateral,
    connection_temperature_factor,
    connection_wet_factor,
    end_grain_factor,
    lateral_value,
)
from trussio.timber.rings import (
    GROUPS,
    ConnectorGeometry,
    ConnectorPlacement,
    capped,
    connector_geometry,
    connector_modulus,
    connector_values,
    connector_wet_factor,
    metal_side_factor,
    species_group,
    value_at_angle,
)
from trussio.timber.working import MEMORY, derived

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Derivation
    from trussio.timber.crossing import Crossing
    from trussio.timber.fasteners import Fastener
    from trussio.timber.working import Figure

RINGS: Final = ("split ring", "shear plate")
SAME: Final = 0.01
"""Part of a size within which a measured diameter is that of the table."""
EQUALLY: Final = 45.0
"""Angle (degrees) from which a load counts as mostly across the grain."""
FAR: Final = 1e6
"""Distance (in) to the end of a stick that runs through."""


class Group(NamedTuple):
    """Fasteners in inches and psi, and the conditions that count for all of them."""

    kind: str
    diameter: float
    number: int
    rows: int
    spacing: float | None
    gauge: float | None
    connector: float | None
    length: float | None
    gap: float
    threads_bear: bool
    separate_plates: bool
    Fyb: float | None
    wet_when_made: bool
    wet: bool
    temperature: float

    @property
    def in_row(self) -> int:
        """The fasteners of the longest row."""
        return -(-self.number // self.rows)


class Kept(NamedTuple):
    """What does not follow the force from run to run: geometry factors by place, group action, yield values."""

    geometries: dict[tuple[object, ...], GeometryFactor]
    groups: dict[tuple[float, ...], Derivation]
    yields: dict[tuple[object, ...], Derivation]


def nothing_kept() -> Kept:
    """Room for what will be worked out."""
    return Kept({}, {}, {})


class Lasting(NamedTuple):
    """What a group may carry but for the duration of the load: Z, its other factors, every layer's geometry."""

    Z: Derivation
    factors: Mapping[str, Figure]
    geometries: tuple[GeometryFactor, ...]

    def under(self, CD: Figure, *, fasteners: int) -> Value:
        """Z' of so many fasteners under loads of one duration."""
        return Value(adjusted_lateral(self.Z, {"CD": CD, **self.factors}, fasteners=fasteners), self.geometries)


class Value(NamedTuple):
    """What a group may carry, with the geometry of every layer."""

    Z: Derivation
    geometries: tuple[GeometryFactor | ConnectorGeometry, ...]


def dowel_value(
    layers: Sequence[Layer],
    at: Crossing,
    group: Group,
    CD: Figure,
) -> Value:
    """Z' of the bolts, screws or nails alone. Raises UsageError that names what is missing or not covered."""
    return lasting_value(layers, at, group, nothing_kept()).under(CD, fasteners=group.number)


def lasting_value(layers: Sequence[Layer], at: Crossing, group: Group, kept: Kept) -> Lasting:
    """What bolts, screws or nails may carry but for CD; `kept` holds what was worked out already.

    Raises UsageError that names what is missing or not covered.
    """
    fastener = _fastener(group)
    main, side = layers[at.main], layers[at.side]
    thick = (main.thickness * at.shares[0], side.thickness * at.shares[1])
    pieces = tuple(
        Piece(
            thickness=t,
            G=layer.G,
            angle=angle_between(at.force, layer.grain),
            end_grain=bool(layer.piece.end_grain),
            Fe=layer.Fe,
        )
        for layer, t in zip((main, side), thick, strict=True)
    )
    penetration = None if fastener.kind == "bolt" else _penetration(layers, group, fastener)
    key = (fastener, *pieces, at.double, penetration, group.gap)
    if key not in kept.yields:
        kept.yields[key] = lateral_value(
            fastener=fastener,
            main=pieces[0],
            side=pieces[1],
            shear="double" if at.double else "single",
            penetration=penetration,
            gap=group.gap,
        ).Z
    metal = main.grain is None or side.grain is None
    factors: dict[str, Figure] = {
        "CM": connection_wet_factor(
            wet_when_made=group.wet_when_made,
            wet_in_service=group.wet,
            diameter=group.diameter,
            fasteners=group.number,
            rows=group.rows,
            separate_plates=group.separate_plates,
        ),
        "Ct": connection_temperature_factor(temperature=group.temperature, wet=group.wet),
        "Cg": _group_action(layers, at, group, slip_modulus(group.diameter, metal_side=metal), kept),
    }
    slim = min(thick[0], (2 if at.double else 1) * thick[1]) / group.diameter
    geometries = tuple(
        _geometry(layers[i], (at.force, at.own[i]), group, slim, kept)
        for i in ((1, 0, 2) if at.double else (at.main, at.side))
        if layers[i].grain is not None
    )
    if geometries:
        factors["C_delta"] = min((one.factor for one in geometries), key=lambda factor: factor.value)
    factors["Ceg"] = end_grain_factor(end_grain=any(piece.end_grain for piece in pieces))
    return Lasting(kept.yields[key], factors, geometries)


def _fastener(group: Group) -> Fastener:
    if group.kind in ("bolt", *RINGS):
        make = threaded_bolt if group.threads_bear else bolt
        return make(group.diameter, Fyb=group.Fyb)
    if group.kind == "lag screw":
        return lag_screw(group.diameter, length=group.length, Fyb=group.Fyb)
    if group.length is None:
        raise UsageError(
            "value-missing", where=group.kind, what="its length is not given.", do="Enter it as measured."
        )
    if group.kind == "nail":
        return nail(diameter=group.diameter, length=group.length, Fyb=group.Fyb)
    for number, (nominal, _) in tables.dowels()["wood_screw"].items():
        if abs(nominal - group.diameter) <= SAME * nominal:
            return wood_screw(int(number), length=group.length, Fyb=group.Fyb)
    raise UsageError(
        "unknown-fastener",
        where=group.kind,
        what=f"no wood screw of {group.diameter:g} in is tabulated here.",
        do="Enter the diameter of its shank, that of number 6 to 24.",
    )


def _penetration(layers: Sequence[Layer], group: Group, fastener: Fastener) -> float:
    if group.length is None or len(layers) != 2:
        raise UsageError(
            "value-missing",
            where=group.kind,
            what="its length is not given, or it goes through more than two pieces.",
            do="Enter the length, and one connection for each pair of pieces.",
        )
    into = group.length - layers[0].thickness
    return min(into - (fastener.tip if group.kind == "lag screw" else 0.0), layers[1].thickness)


def _group_action(
    layers: Sequence[Layer], at: Crossing, group: Group, gamma: Derivation, kept: Kept
) -> Derivation:
    """Cg, of the gross sections; a piece loaded across its grain counts the width of the group."""
    if group.in_row > 1 and group.spacing is None:
        raise _distance("spacing")
    main = _stiffness(layers[at.main], at.force, group)
    sides = (layers[0], layers[2]) if at.double else (layers[at.side],)
    side = sum(_stiffness(layer, at.force, group) for layer in sides)
    diameter = group.connector or group.diameter
    key = (group.in_row, group.spacing or 1.0, gamma.value, main, side, diameter)
    if key not in kept.groups:
        kept.groups[key] = group_action(
            in_row=group.in_row,
            spacing=group.spacing or 1.0,
            gamma=gamma,
            EA_main=main,
            EA_side=side,
            diameter=diameter,
        )
    return kept.groups[key]


def _stiffness(layer: Layer, force: Vector, group: Group) -> float:
    angle = angle_between(force, layer.grain)
    depth = FAR if layer.depth is None else layer.depth
    if angle == 0:
        return layer.E * layer.thickness * depth
    wide = (group.spacing or group.diameter) if group.rows == 1 else (group.rows - 1) * (group.gauge or 0.0)
    return layer.E * layer.thickness * min(depth, wide or group.diameter)


def _distance(name: str) -> UsageError:
    return UsageError(
        "distance-missing",
        where="fasteners",
        what=f"the {name} is not given.",
        do=f"Enter the {name} as measured.",
    )


def towards_end(layer: Layer, own: Vector) -> bool:
    """Whether the fasteners push towards the end of the layer; `own` is what it does to them."""
    if layer.inward is None:
        return False
    pull = own[0] * layer.inward[0] + own[1] * layer.inward[1]
    return pull < 0 if layer.member is None else pull > 0  # a plate ends on the side to which the stick goes


def _geometry(
    layer: Layer, forces: tuple[Vector, Vector], group: Group, slim: float, kept: Kept
) -> GeometryFactor:
    """C_delta of one layer for the force that crosses and the one that it has itself."""
    crossing, own = forces
    loaded, other = edges(layer, own)
    angle = _kind_of_angle(angle_between(crossing, layer.grain))
    end, to_end = _end(layer), towards_end(layer, own)
    key = (angle, end, to_end, other, loaded, slim, group)
    if key not in kept.geometries:
        place = Placement(
            angle=angle,
            end=end,
            towards_end=to_end,
            edge=other,
            loaded_edge=loaded,
            bearing_over_diameter=slim,
            in_row=group.in_row,
            spacing=group.spacing,
            rows=group.rows,
            gauge=group.gauge,
        )
        kept.geometries[key] = geometry_factor(place, group.diameter)
    return kept.geometries[key]


def _kind_of_angle(angle: float) -> float:
    """One angle for all that the rules of distances treat alike: along, mostly along, mostly across, across."""
    return angle if angle in (0.0, 90.0) else (30.0 if angle < EQUALLY else 60.0)


def _end(layer: Layer) -> float:
    end = FAR if layer.inward is None else layer.piece.end
    if end is None:
        raise _distance(f"end distance in {layer.name}")
    return end


def edges(layer: Layer, own: Vector) -> tuple[float, float]:
    """Distances to the edge that the fasteners push towards, and to the other one."""
    piece, grain = layer.piece, layer.grain or (1.0, 0.0)
    upper = piece.edge if piece.upper_edge is None else piece.upper_edge
    lower = piece.edge if piece.lower_edge is None else piece.lower_edge
    if upper is None or lower is None:
        raise _distance(f"edge distance in {layer.name}")
    normal = (-grain[1], grain[0])
    faces_up = normal[1] > 0 or (normal[1] == 0 and normal[0] < 0)
    pushed_up = (own[0] * normal[0] + own[1] * normal[1] < 0) == faces_up
    return (upper, lower) if pushed_up else (lower, upper)


def ring_value(layers: Sequence[Layer], at: Crossing, group: Group, CD: Figure, species: Sequence[str]) -> Value:
    """N' of the rings or shear plates of one plane, or of both of a double joint. `species` follows the layers."""
    name = ring_name(group)
    if group.rows > 1 and group.gauge is None:
        raise _distance("spacing between rows")
    wet = connector_wet_factor(wet_when_made=group.wet_when_made, wet_in_service=group.wet)
    Ct = connection_temperature_factor(temperature=group.temperature, wet=group.wet)
    Cg = _group_action(layers, at, group, connector_modulus(name), nothing_kept())
    chosen = (at.main, 0, 2) if at.double else (at.main, at.side)
    metal = any(layers[i].grain is None for i in chosen)
    values: list[Derivation] = []
    geometries: list[ConnectorGeometry] = []
    for i in dict.fromkeys(chosen):
        layer = layers[i]
        if layer.grain is None:
            continue
        faces = 2 if 0 < i < len(layers) - 1 else 1
        kind = GROUPS[int(species_group(species[i]).value) - 1]
        table = connector_values(name=name, group=kind, faces=faces, thickness=layer.thickness)
        loaded, other = edges(layer, at.own[i])
        angle = angle_between(at.force, layer.grain)
        place = connector_geometry(
            name,
            ConnectorPlacement(
                angle=angle,
                end=_end(layer),
                towards_end=towards_end(layer, at.own[i]),
                edge=other,
                loaded_edge=loaded,
                spacing=group.spacing if group.in_row > 1 else None,
                axis=angle_between(_along_rows(layers), layer.grain),
                gauge=group.gauge if group.rows > 1 else None,
            ),
        )
        geometries.append(place)
        factors: dict[str, Figure] = {"CD": CD, "CM": wet, "Ct": Ct, "Cg": Cg, "C_delta": place.factor}
        Cst = metal_side_factor(name, kind, metal_side=metal)
        P = _product("P'", table.P, {**factors, "Cst": Cst})
        Q = _product("Q'", table.Q, factors)
        if not place.refusals:
            values.append(capped(name, value_at_angle(P, Q, angle), bolt=group.diameter))
    count = group.number * (2 if at.double else 1)
    if not values:
        return Value(derived("N'", 0.0, "lbf", "not permitted", "NDS-2018 13.3.2"), tuple(geometries))
    least = min(values, key=lambda value: value.value)
    formula = f"{count} times the least of the pieces"
    return Value(
        derived("N' group", count * least.value, "lbf", formula, "NDS-2018 13.2", least), tuple(geometries)
    )


def _along_rows(layers: Sequence[Layer]) -> Vector:
    """The way in which rows run: along the first stick that ends here, or else the first of wood."""
    grains = [layer for layer in layers if layer.grain is not None]
    first = next((layer for layer in grains if layer.member and layer.inward is not None), grains[0])
    return first.grain or (1.0, 0.0)


def _product(symbol: str, reference: Derivation, factors: dict[str, Figure]) -> Derivation:
    value = reference.value
    for factor in factors.values():
        value *= factor.value if not isinstance(factor, (int, float)) else factor
    steps = (reference, *(factor for factor in factors.values() if not isinstance(factor, (int, float))))
    formula = " x ".join((symbol.rstrip("'"), *factors))
    return derived(symbol, value, "lbf", formula, "NDS-2018 table 11.3.1", *steps, source=MEMORY)


def ring_name(group: Group) -> str:
    """The name in the tables of a ring or plate. Raises UsageError `unknown-connector`."""
    wanted = "split ring" if group.kind == "split ring" else "shear plate"
    for name, data in tables.connectors()["connectors"].items():
        if name.endswith(wanted) and abs(data["diameter"] - (group.connector or 0.0)) <= SAME * data["diameter"]:
            return name
    known = ", ".join(name for name in tables.connectors()["connectors"] if name.endswith(wanted))
    raise UsageError(
        "unknown-connector",
        where=wanted,
        what=f"none of {group.connector or 0:g} in is tabulated here.",
        do=f"Enter one of {known}.",
    )
