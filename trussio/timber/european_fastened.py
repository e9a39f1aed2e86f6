"""A group of bolts between European strength classes and steel under one run: modes, rope, distances, splitting.

Lengths mm, forces N, stresses MPa. A joint of three layers whose outer two carry alike is in double shear, any
other is taken plane by plane. The rope part stands on washers that somebody measured, and is none without them.
Distances below those of table 8.4 permit nothing. Bolts alone: nails, screws and rings have rules of their own.
Source: EN 1995-1-1 8.1.4, 8.2, 8.5, as marked by `eurocode_dowels` and `eurocode_axial`.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.timber.crossing import Crossing, crossings
from trussio.timber.eurocode import modification_factor, partial_factor
from trussio.timber.eurocode_axial import bolt_distances
from trussio.timber.eurocode_dowels import (
    Johansen,
    effective_number,
    embedment_strength,
    plate_as_washer,
    splitting_resistance,
    steel_in_middle,
    steel_outside,
    steel_single_shear,
    timber_double_shear,
    timber_single_shear,
    washer_resistance,
    yield_moment,
)
from trussio.timber.european_checks import duration_of, unfactored
from trussio.timber.fastened import edges, towards_end
from trussio.timber.joints import angle_between, layer_forces, plane_forces
from trussio.timber.segment_checks import FLOOR
from trussio.timber.working import STATICS, derived, not_evaluated, set_against

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.check import Check, Derivation, Subject
    from trussio.model.connection import Fasteners
    from trussio.model.truss import MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import Layer, Vector

CLAUSE: Final = "EN 1995-1-1 8.2, 8.5"
ONLY_BOLTS: Final = "nails, screws and rings between European strength classes are not part of this review"
HAIR: Final = 1e-9


class Bolts(NamedTuple):
    """A group of bolts between layers; `brought` is what each stick brings (N), `scale` leads to mm and MPa."""

    fasteners: Fasteners
    layers: Sequence[Layer]
    brought: Mapping[MemberId, Vector]
    closings: Sequence[tuple[int, ...]]
    scale: tuple[float, float]

    @property
    def diameter(self) -> float:
        """Diameter in mm."""
        return self.fasteners.diameter * self.scale[0]

    @property
    def in_row(self) -> int:
        """The bolts of the longest row."""
        return -(-self.fasteners.count // (self.fasteners.rows or 1))


def bolt_checks(bench: Bench, at: Bolts, state: State, of: Subject) -> list[Check]:
    """The bolts under one run, the worst plane of the worst way in which the force may close, and splitting.

    Raises UsageError that names what is missing or not covered.
    """
    if at.fasteners.kind != "bolt":
        raise UsageError(
            "other-code",
            where=at.fasteners.kind,
            what=f"{ONLY_BOLTS}.",
            do="Use eurocode_dowels and eurocode_axial for this group.",
        )
    worst: dict[str, Check] = {}
    for closing in at.closings:
        forces = layer_forces(at.layers, at.brought, closing)
        found = [
            across_plane(bench, at, crossing, state, of)
            for crossing in crossings(at.layers, forces, plane_forces(forces))
            if hypot(*crossing.force) > FLOOR
        ]
        for check in (*found, *_split(bench, at, forces, state, of)):
            known = worst.get(check.what)
            if known is None or (check.ratio or 0.0) > (known.ratio or 0.0):
                worst[check.what] = check
    return [check if state.factored else unfactored(check) for check in worst.values()]


def across_plane(bench: Bench, at: Bolts, crossing: Crossing, state: State, of: Subject) -> Check:
    """One force across its plane, or across both."""
    demand = derived("force", hypot(*crossing.force), "N", "force across the bolts", "", source=STATICS)
    refusals = [
        refusal
        for i in ((crossing.main, 0, 2) if crossing.double else (crossing.main, crossing.side))
        if at.layers[i].grain is not None
        for refusal in _refusals(at, at.layers[i], crossing.own[i])
    ]
    one = _modes(at, crossing)
    planes = 2 if crossing.double else 1
    angle = min(
        angle_between(crossing.force, layer.grain)
        for layer in (at.layers[crossing.main], at.layers[crossing.side])
        if layer.grain is not None
    )
    spacing = at.fasteners.spacing
    if at.in_row > 1 and spacing is None:
        raise UsageError(
            "distance-missing", where="fasteners", what="the spacing is not given.", do="Enter it as measured."
        )
    nef = effective_number(
        count=at.in_row,
        spacing=(spacing or 1.0) * at.scale[0] if at.in_row > 1 else 13 * at.diameter,
        diameter=at.diameter,
        angle=angle,
    )
    each = _design(bench, one.F, state)
    rows = at.fasteners.count / at.in_row
    value = 0.0 if refusals else each.value * nef.value * rows * planes
    formula = "not permitted" if refusals else f"nef x {rows:g} rows x {planes} planes x Fv,Rd"
    capacity = derived("Fv,Rd group", value, "N", formula, CLAUSE, each, nef)
    reason = "not permitted: " + "; ".join(dict.fromkeys(refusals)) if refusals else ""
    return set_against(
        what="fasteners", clause=CLAUSE, demand=demand, capacity=capacity, unit="N", of=of, reason=reason
    )


def _design(bench: Bench, characteristic: Derivation, state: State) -> Derivation:
    """Kmod Fk / gamma_M of a connection."""
    service = 2 if bench.given.service_class is None else bench.given.service_class
    kmod = modification_factor(service_class=service, duration=duration_of(state.kinds))
    gamma = partial_factor("connection")
    value = kmod.value * characteristic.value / gamma.value
    return derived("F,Rd", value, "N", "kmod F,Rk / gamma_M", "EN 1995-1-1 2.17", characteristic, kmod, gamma)


def _modes(at: Bolts, crossing: Crossing) -> Johansen:
    """The modes of one bolt, per plane."""
    d, Fu = at.diameter, at.fasteners.Fu
    if Fu is None:
        raise UsageError(
            "value-missing", where="fasteners", what="Fu of the bolts is not given.", do="Enter it (400 for 4.6)."
        )
    My = yield_moment(fu=Fu * at.scale[1], diameter=d)
    main, side = at.layers[crossing.main], at.layers[crossing.side]
    t_main, t_side = main.thickness * crossing.shares[0], side.thickness * crossing.shares[1]
    wood = [layer for layer in (main, side) if layer.grain is not None]
    if not wood:
        raise UsageError("piece-incomplete", where="pieces", what="no wood is here.", do="Name the sticks.")
    Fax = _rope(at, crossing, wood)
    fh = {
        id(layer): embedment_strength(
            rho_k=layer.rho_k or 0.0, diameter=d, angle=angle_between(crossing.force, layer.grain)
        )
        for layer in wood
    }
    if main.grain is not None and side.grain is not None:
        made = timber_double_shear if crossing.double else timber_single_shear
        return made(
            fh1=fh[id(side)],
            fh2=fh[id(main)],
            t1=t_side,
            t2=t_main,
            diameter=d,
            My=My,
            Fax=Fax,
            rope="bolt",
        )
    plate = t_side if side.grain is None else t_main
    only = fh[id(wood[0])]
    if not crossing.double:
        t = t_main if side.grain is None else t_side
        return steel_single_shear(fh=only, t1=t, diameter=d, My=My, Fax=Fax, rope="bolt", plate=plate)
    if side.grain is None:
        return steel_outside(fh=only, t2=t_main, diameter=d, My=My, Fax=Fax, rope="bolt", plate=plate)
    return steel_in_middle(fh=only, t1=t_side, diameter=d, My=My, Fax=Fax, rope="bolt")


def _rope(at: Bolts, crossing: Crossing, wood: Sequence[Layer]) -> float:
    """Fax,Rk by the wood under the washers, or under steel plates that count as such; 0 where none is known."""
    outside = (at.layers[0], at.layers[-1])
    hole = at.diameter if at.fasteners.hole is None else at.fasteners.hole * at.scale[0]
    found = []
    for layer in outside:
        if layer.grain is None:
            size = plate_as_washer(plate=layer.thickness, diameter=at.diameter)
            under = wood[0]
        else:
            size, under = (at.fasteners.washer or 0.0) * at.scale[0], layer
        if size <= hole or under.fc90k is None:
            return 0.0
        found.append(washer_resistance(fc90k=under.fc90k, diameter=size, hole=hole).value)
    return min(found) if crossing.force != (0.0, 0.0) else 0.0


def _refusals(at: Bolts, layer: Layer, own: Vector) -> Iterator[str]:
    """Distances of one layer below table 8.4."""
    angle = angle_between(own, layer.grain)
    least = {name: one.value for name, one in bolt_distances(diameter=at.diameter, angle=angle).items()}
    loaded, other = edges(layer, own)
    given: list[tuple[str, float | None, float]] = []
    if layer.inward is not None:
        if layer.piece.end is None:
            raise UsageError(
                "distance-missing",
                where="fasteners",
                what=f"the end distance in {layer.name} is not given.",
                do="Enter it as measured.",
            )
        given.append(("end distance", layer.piece.end, least["a3t" if towards_end(layer, own) else "a3c"]))
    given.append(("loaded edge distance", loaded, least["a4t"]))
    given.append(("unloaded edge distance", other, least["a4c"]))
    scale = at.scale[0]
    if at.in_row > 1 and at.fasteners.spacing is not None:
        given.append(("spacing in a row", at.fasteners.spacing * scale, least["a1"]))
    if (at.fasteners.rows or 1) > 1 and at.fasteners.gauge is not None:
        given.append(("spacing between rows", at.fasteners.gauge * scale, least["a2"]))
    for what, actual, floor in given:
        if actual is not None and actual < floor * (1 - HAIR):
            yield f"{what} {actual:.4g} mm in {layer.name} is below the least, {floor:.4g} mm (table 8.4)"


def _split(bench: Bench, at: Bolts, forces: Sequence[Vector], state: State, of: Subject) -> Iterator[Check]:
    """Splitting of a stick that runs through by what the bolts bring across its grain (8.1.4)."""
    for layer, own in zip(at.layers, forces, strict=True):
        if layer.grain is None or layer.inward is not None or layer.depth is None:
            continue
        across = abs(own[0] * layer.grain[1] - own[1] * layer.grain[0])
        if across <= FLOOR:
            continue
        demand = derived("V", across, "N", "all that comes across, taken as shear on one side", "", source=STATICS)
        what, clause = f"splitting of {layer.name}", "EN 1995-1-1 8.1.4"
        try:
            loaded, other = edges(layer, own)
            known = layer.piece.upper_edge is not None and layer.piece.lower_edge is not None
            far = layer.depth - other if known else loaded
            resistance = splitting_resistance(width=layer.thickness, depth=layer.depth, to_farthest=far)
        except UsageError as fault:
            yield not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="N", reason=str(fault))
            continue
        capacity = _design(bench, resistance, state)
        yield set_against(what=what, clause=clause, demand=demand, capacity=capacity, unit="N", of=of)
