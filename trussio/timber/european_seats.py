"""Seats on walls of sticks of European strength classes: the reaction at its angle to the grain, or uplift.

N, mm, MPa. Across the grain the contact counts 30 mm further on the side where the stick goes on; kc,90 is 1,
since nobody said how the stick lies beyond. Source: EN 1995-1-1 6.1.5, 6.2.2, as marked by the parts.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.timber.eurocode_details import effective_bearing_area
from trussio.timber.eurocode_members import strength_at_angle
from trussio.timber.european_checks import MM, NEWTON, EuropeanStock, unfactored
from trussio.timber.european_faces import across_strength
from trussio.timber.joints import angle_between
from trussio.timber.review_seats import GONE, SIDEWAYS, UPLIFT
from trussio.timber.segment_checks import FLOOR
from trussio.timber.working import STATICS, derived, not_evaluated, set_against, stated

if TYPE_CHECKING:
    from trussio.model.check import Check, Subject
    from trussio.model.connection import WallSeat
    from trussio.model.truss import JointId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import End

CLAUSE: Final = "EN 1995-1-1 6.1.5, 6.2.2 (6.16)"
WHAT: Final = "bearing at the wall"
KC90: Final = 1.0
LEVEL: Final = 89.0
"""Angle of the reaction to the grain from which a stick lies level on its seat."""


def european_wall_check(
    bench: Bench, state: State, wall: WallSeat, at: tuple[JointId, End], of: Subject
) -> Check | None:
    """The reaction on its seat under one run; None where the run has none there."""
    joint, end = at
    name = end.segment.member
    reaction, stock = bench.results.runs[state.run].reactions.get(joint), bench.stock(name)
    if reaction is None or not isinstance(stock, EuropeanStock):
        return None
    mm, newton = MM[bench.truss.units], NEWTON[bench.truss.units]
    push = reaction.y * newton
    if push < -FLOOR:
        return _uplift(-push, wall, newton, of)
    length = (wall.length - (wall.lost or 0.0)) * mm
    demand = stated("R", max(push, 0.0), "N", STATICS)
    if length <= 0:
        none = stated("R carried", 0.0, "N", STATICS)
        return set_against(what=WHAT, clause=CLAUSE, demand=demand, capacity=none, unit="N", of=of, reason=GONE)
    width = stock.breadth * stock.plies if wall.width is None else wall.width * mm
    angle = angle_between((0.0, 1.0), end.along)
    area = stated("A", length * width, "mm2", STATICS)
    if angle >= LEVEL and wall.to_end is not None:
        area = effective_bearing_area(length=length, width=width, to_end=wall.to_end * mm)
    fc90d = across_strength(bench, name, state)
    fc0d = bench.european_design_of(name, stock, state).fc0d
    sideways = abs(reaction.x) * newton
    remarks = (*of.remarks, SIDEWAYS.format(sideways, "N")) if sideways > FLOOR else of.remarks
    check = set_against(
        what=WHAT,
        clause=CLAUSE,
        demand=derived("sigma_c", demand.value / area.value, "MPa", "R / A", "", demand, area, source=STATICS),
        capacity=strength_at_angle(fc0d=fc0d, fc90d=fc90d, kc90=KC90, angle=angle),
        unit="MPa",
        of=of._replace(remarks=remarks),
    )
    return check if state.factored else unfactored(check)


def _uplift(force: float, wall: WallSeat, newton: float, of: Subject) -> Check:
    demand = stated("uplift", force, "N", STATICS)
    if wall.hold_down is None:
        return not_evaluated(what="hold-down", clause="statics", of=of, demand=demand, unit="N", reason=UPLIFT)
    capacity = stated("hold-down", wall.hold_down * newton, "N", "stated in the document")
    return set_against(
        what="hold-down", clause="stated allowable", demand=demand, capacity=capacity, unit="N", of=of
    )
