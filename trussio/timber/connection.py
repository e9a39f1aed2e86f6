"""A connection against the force that crosses it: dowel groups, connectors, and the wood round them.

A connection whose fasteners nobody has seen is not evaluated, with the force that it must carry; one whose
distances the standard refuses carries nothing. Pounds, inches, degrees.
Source: NDS-2018 chapters 11 to 13, as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.timber.axial import require_sense
from trussio.timber.working import SINGLE, Figure, derived, not_evaluated, number, set_against, shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Check, Subject
    from trussio.timber.geometry_factors import GeometryFactor
    from trussio.timber.rings import ConnectorGeometry

UNKNOWN = "nobody has seen what fastens this joint: open it, or detect the metal, and enter the fasteners"


def connection_check(
    *,
    force: Figure,
    capacity: Figure | None,
    geometries: Sequence[GeometryFactor | ConnectorGeometry] = (),
    clause: str = "NDS-2018 11.3, 12.3",
    what: str = "fasteners",
    of: Subject = SINGLE,
) -> Check:
    """The force that crosses a joint against its fasteners' Z' or N' (lbf, for the whole group).

    `geometries` are the geometry factors of every member of the joint: a refusal in any of them leaves no
    capacity. `capacity` is None where the fasteners are not known.
    """
    require_sense("connection", number(force), "force")
    demand = shown("force", force, "lbf")
    if capacity is None:
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=UNKNOWN)
    refusals = tuple(refusal for geometry in geometries for refusal in geometry.refusals)
    allowed = shown("Z'", capacity, "lbf")
    if refusals:
        allowed = derived("Z'", 0.0, "lbf", "not permitted", "NDS-2018 12.5.1, 13.3.2", allowed)
    reason = "not permitted: " + "; ".join(refusals) if refusals else ""
    return set_against(what=what, clause=clause, demand=demand, capacity=allowed, unit="lbf", of=of, reason=reason)


def both_readings(
    *, force: Figure, bolts_alone: Figure | None, with_rings: Figure | None, of: Subject = SINGLE
) -> tuple[Check, Check]:
    """A joint whose rings are only inferred: once with the bolts alone, once with the rings."""
    return (
        connection_check(force=force, capacity=bolts_alone, what="bolts alone, no rings", of=of),
        connection_check(
            force=force,
            capacity=with_rings,
            clause="NDS-2018 13.2",
            what="rings, inferred and not seen",
            of=of,
        ),
    )
