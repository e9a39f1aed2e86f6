"""A group of fasteners between European strength classes and steel under one run: modes, rope, splitting.

Lengths mm, forces N, stresses MPa. A joint of three layers whose outer two carry alike is in double shear, any
other is taken plane by plane. The rope part stands on washers that somebody measured, and is none without them.
Distances below those of the tables permit nothing. Rings that are only inferred are read twice, as bolts too.
Source: EN 1995-1-1 8.1.4, 8.2, 8.3, 8.5, 8.7, 8.9, as marked by the modules of their formulas.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.crossing import Crossing, crossings
from trussio.timber.eurocode_dowels import (
    Johansen,
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
from trussio.timber.european_checks import unfactored
from trussio.timber.european_dowels import bearing, counting, depths, distances, nail_rope, refusals
from trussio.timber.european_group import Bolts, design_resistance, distance_refusals
from trussio.timber.european_rings import RING_CLAUSE, across_rings
from trussio.timber.fastened import RINGS, edges
from trussio.timber.joints import angle_between, layer_forces, plane_forces
from trussio.timber.segment_checks import FLOOR
from trussio.timber.working import STATICS, derived, not_evaluated, set_against

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.check import Check, Subject
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import Layer, Vector

CLAUSE: Final = "EN 1995-1-1 8.2, 8.5"
CLAUSES: Final = {
    "nail": "EN 1995-1-1 8.2, 8.3",
    "lag screw": "EN 1995-1-1 8.2, 8.7",
    "wood screw": "EN 1995-1-1 8.2, 8.7",
}

NAMES: Final = {"nail": "nails", "lag screw": "screws", "wood screw": "screws"}
FU: Final = ("Enter it (600 for common nails).", "Enter it (400 for 4.6).")


def bolt_checks(bench: Bench, at: Bolts, state: State, of: Subject) -> list[Check]:
    """The fasteners under one run, the worst plane of the worst way in which the force may close, and splitting.

    Raises UsageError that names what is missing or not covered.
    """
    worst: dict[str, Check] = {}
    for closing in at.closings:
        forces = layer_forces(at.layers, at.brought, closing)
        found = [
            check
            for crossing in crossings(at.layers, forces, plane_forces(forces))
            if hypot(*crossing.force) > FLOOR
            for check in _readings(bench, at, crossing, (state, of))
        ]
        for check in (*found, *_split(bench, at, forces, state, of)):
            known = worst.get(check.what)
            if known is None or (check.ratio or 0.0) > (known.ratio or 0.0):
                worst[check.what] = check
    return [check if state.factored else unfactored(check) for check in worst.values()]


def _readings(bench: Bench, at: Bolts, crossing: Crossing, on: tuple[State, Subject]) -> Iterator[Check]:
    """What may hold here: the fasteners, or for rings that nobody saw the bolts alone and the rings."""
    kind = at.fasteners.kind
    if kind not in RINGS:
        yield across_plane(bench, at, crossing, *on)
        return
    try:
        ring = across_rings(bench, at, crossing, *on)
    except UsageError as fault:
        if at.known:
            raise
        demand = derived("force", hypot(*crossing.force), "N", "force across the rings", "", source=STATICS)
        ring = not_evaluated(
            what="rings", clause=RING_CLAUSE, of=on[1], demand=demand, unit="N", reason=str(fault)
        )
    if at.known:
        yield ring._replace(what=f"{kind}s")
        return
    yield across_plane(bench, at, crossing, *on)._replace(what=f"bolts alone, no {kind}s")
    yield ring._replace(what=f"{kind}s, inferred and not seen")


def across_plane(bench: Bench, at: Bolts, crossing: Crossing, state: State, of: Subject) -> Check:
    """One force across its plane, or across both, by nails, screws or bolts."""
    rules, clause = at.rules, CLAUSES.get(at.fasteners.kind, CLAUSE)
    demand = derived(
        "force",
        hypot(*crossing.force),
        "N",
        f"force across the {NAMES.get(at.fasteners.kind, 'bolts')}",
        "",
        source=STATICS,
    )
    steel = any(layer.grain is None for layer in at.layers)
    refused = [*refusals(rules, at.layers)]
    if not refused:
        refused = [
            refusal
            for i in ((crossing.main, 0, 2) if crossing.double else (crossing.main, crossing.side))
            if at.layers[i].grain is not None
            for refusal in distance_refusals(
                at,
                at.layers[i],
                crossing.own[i],
                lambda angle, rho: distances(rules, angle=angle, rho_k=rho, steel=steel),
            )
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
    apart = (spacing or 1.0) * at.scale[0] if at.in_row > 1 else 14 * at.diameter
    nef = counting(rules, count=at.in_row, spacing=apart, angle=angle)
    each = design_resistance(bench, one.F, state)
    rows = at.fasteners.count / at.in_row
    value = 0.0 if refused else each.value * nef.value * rows * planes
    formula = "not permitted" if refused else f"nef x {rows:g} rows x {planes} planes x Fv,Rd"
    capacity = derived("Fv,Rd group", value, "N", formula, clause, each, nef)
    reason = "not permitted: " + "; ".join(dict.fromkeys(refused)) if refused else ""
    return set_against(
        what="fasteners", clause=clause, demand=demand, capacity=capacity, unit="N", of=of, reason=reason
    )


def _modes(at: Bolts, crossing: Crossing) -> Johansen:
    """The modes of one fastener, per plane."""
    rules, Fu = at.rules, at.fasteners.Fu
    d, names = rules.effective, NAMES.get(at.fasteners.kind, "bolts")
    if Fu is None:
        raise UsageError(
            "value-missing",
            where="fasteners",
            what=f"Fu of the {names} is not given.",
            do=FU[rules.rope == "bolt"],
        )
    My = yield_moment(fu=Fu * at.scale[1], diameter=d)
    main, side = at.layers[crossing.main], at.layers[crossing.side]
    reach = depths(rules, at.layers)
    t_main, t_side = reach[crossing.main] * crossing.shares[0], reach[crossing.side] * crossing.shares[1]
    if min(t_main, t_side) <= 0:
        raise UsageError(
            "impossible-distance",
            where="fasteners",
            what=f"the {names} do not reach the second piece.",
            do="Enter the length as measured, and the pieces from the head to the point.",
        )
    wood = [layer for layer in (main, side) if layer.grain is not None]
    if not wood:
        raise UsageError("piece-incomplete", where="pieces", what="no wood is here.", do="Name the sticks.")
    Fax = _rope(at, crossing, wood) if rules.rope == "bolt" else nail_rope(rules, at.layers)
    fh = {
        id(layer): bearing(rules, layer.rho_k or 0.0, angle_between(crossing.force, layer.grain)) for layer in wood
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
            rope=rules.rope,
        )
    plate = t_side if side.grain is None else t_main
    only = fh[id(wood[0])]
    if not crossing.double:
        t = t_main if side.grain is None else t_side
        return steel_single_shear(fh=only, t1=t, diameter=d, My=My, Fax=Fax, rope=rules.rope, plate=plate)
    if side.grain is None:
        return steel_outside(fh=only, t2=t_main, diameter=d, My=My, Fax=Fax, rope=rules.rope, plate=plate)
    return steel_in_middle(fh=only, t1=t_side, diameter=d, My=My, Fax=Fax, rope=rules.rope)


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
        capacity = design_resistance(bench, resistance, state)
        yield set_against(what=what, clause=clause, demand=demand, capacity=capacity, unit="N", of=of)
