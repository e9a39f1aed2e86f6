"""Split rings and shear plates between European strength classes and steel, across one plane or both.

Every piece of wood is asked for what it gives, at its own angle, thickness and end; the least counts. How deep a
ring sits is that of its table. mm, N. Source: EN 1995-1-1 8.9, as marked by `eurocode_connectors`.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.eurocode_connectors import connector_distances, connector_resistance, effective_connectors
from trussio.timber.european_group import design_resistance, distance_refusals
from trussio.timber.fastened import SAME, towards_end
from trussio.timber.joints import angle_between
from trussio.timber.working import STATICS, derived, set_against
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from trussio.model.check import Check, Derivation, Subject
    from trussio.model.connection import Fasteners
    from trussio.timber.bench import Bench, State
    from trussio.timber.crossing import Crossing
    from trussio.timber.european_group import Bolts

FAR: Final = 1e6
RING_CLAUSE: Final = "EN 1995-1-1 8.9"


def across_rings(bench: Bench, at: Bolts, crossing: Crossing, state: State, of: Subject) -> Check:
    """One force across its plane, or across both, by split rings or shear plates; their bolts add nothing."""
    clause = RING_CLAUSE
    demand = derived("force", hypot(*crossing.force), "N", "force across the rings", "", source=STATICS)
    dc, he = ring_size(at.fasteners, at.scale[0])
    chosen = (crossing.main, 0, 2) if crossing.double else (crossing.main, crossing.side)
    wood = [i for i in chosen if at.layers[i].grain is not None]
    refused = [
        refusal
        for i in wood
        for refusal in distance_refusals(
            at, at.layers[i], crossing.own[i], lambda angle, _: connector_distances(dc=dc, angle=angle)
        )
    ]
    found = [_one_ring(at, crossing, i, (dc, he)) for i in wood]
    each = design_resistance(bench, min(found, key=lambda one: one.value), state)
    nef, rows = effective_connectors(count=at.in_row), at.fasteners.count / at.in_row
    planes = 2 if crossing.double else 1
    value = 0.0 if refused else each.value * nef.value * rows * planes
    formula = "not permitted" if refused else f"nef x {rows:g} rows x {planes} planes x Fv,Rd"
    capacity = derived("Fv,Rd group", value, "N", formula, clause, each, nef)
    reason = "not permitted: " + "; ".join(dict.fromkeys(refused)) if refused else ""
    return set_against(
        what="rings", clause=clause, demand=demand, capacity=capacity, unit="N", of=of, reason=reason
    )


def _one_ring(at: Bolts, crossing: Crossing, index: int, size: tuple[float, float]) -> Derivation:
    """What one ring gives in one piece of wood."""
    layer, (dc, he) = at.layers[index], size
    inner = 0 < index < len(at.layers) - 1
    return connector_resistance(
        dc=dc,
        he=he,
        t1=FAR if inner else layer.thickness,
        t2=layer.thickness if inner else FAR,
        rho_k=layer.rho_k or 0.0,
        angle=angle_between(crossing.force, layer.grain),
        end=layer.piece.end if towards_end(layer, crossing.own[index]) else None,
        only=at.fasteners.count == 1,
        steel=any(one.grain is None for one in at.layers),
    )


def ring_size(one: Fasteners, mm: float) -> tuple[float, float]:
    """Diameter and depth in the wood (mm) of a ring or plate. Raises UsageError `unknown-connector`."""
    wanted = (one.connector or 0.0) * mm
    for name, data in tables.connectors()["connectors"].items():
        size = data["diameter"] * MM_PER_INCH
        if name.endswith(one.kind) and abs(size - wanted) <= SAME * size:
            return wanted, data["depth"] * MM_PER_INCH
    raise UsageError(
        "unknown-connector",
        where=one.kind,
        what=f"none of {wanted:.4g} mm is tabulated here.",
        do="Enter the diameter of a ring or plate that the tables have; use eurocode_connectors for others.",
    )
