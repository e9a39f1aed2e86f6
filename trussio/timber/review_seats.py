"""Ends of sticks that bear on each other, and seats on walls, in every state of the bench.

Compression crosses a butt only where it was found tight; a seat on a wall keeps what decay has left of its length.
Inches, lbf. Source: NDS-2018 3.10, as marked by the parts; forces from statics.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.axial import end_bearing_check
from trussio.timber.bearing import bearing_area_factor, bearing_at_angle_check
from trussio.timber.european_checks import EuropeanStock
from trussio.timber.joints import angle_between, force_on_joint
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND
from trussio.timber.working import derived, not_evaluated, set_against, stated, step

if TYPE_CHECKING:
    from trussio.model.check import Check, Subject
    from trussio.model.connection import EndBearing, WallSeat
    from trussio.model.truss import JointId, MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import End
    from trussio.timber.stock import Stock

UPLIFT: Final = "the run lifts the truss off this seat: enter the force that the hold-down may carry"
TIGHT: Final = "nobody found the ends to touch: enter that the butt is tight, or what else carries compression"
PULLED: Final = "the run pulls on a butt that nothing else bridges"
SIDEWAYS: Final = "the reaction also pushes {:.0f} {} sideways, which this seat is not checked for"
GONE: Final = "decay has taken the whole seat"


def us_stock(bench: Bench, name: MemberId) -> Stock:
    """The stock of a stick that is checked by the NDS. Raises UsageError for another code, or what is missing."""
    stock = bench.stock(name)
    if isinstance(stock, EuropeanStock):
        raise UsageError(
            "other-code",
            where=name,
            what="it is of a European strength class, and others here are not.",
            do="State values of one code for all sticks of a connection.",
        )
    return stock


def butt_check(
    bench: Bench, state: State, butt: EndBearing, end: End, of: Subject, *, alone: bool
) -> Check | None:
    """End grain on end grain under one run; `alone` says that no fasteners bridge the butt.

    None where there is nothing to check: fasteners carry what the butt does not.
    """
    stock = us_stock(bench, end.segment.member)
    force = force_on_joint(bench, state.run, (end,))
    push = -(force[0] * end.inward[0] + force[1] * end.inward[1])
    if push < -FLOOR and alone:
        return set_against(
            what="tension at a butt",
            clause="statics",
            demand=stated("T", -push, "lbf", "statics"),
            capacity=stated("T carried", 0.0, "lbf", "statics"),
            unit="lbf",
            of=of,
            reason=PULLED,
        )
    if push <= FLOOR:
        return None
    if butt.tight:
        area = stated("A_bearing", stock.breadth * stock.depth * stock.plies, "in2", "statics")
        Fc = bench.value(end.segment.member, "Fc", state)
        return end_bearing_check(force=push, area=area, Fc_star=Fc, plate=butt.plate, of=of)
    if not alone:
        return None
    demand = stated("C", push, "lbf", "statics")
    what, clause = "end grain bearing", "NDS-2018 3.10.1"
    return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=TIGHT)


def wall_check(bench: Bench, state: State, wall: WallSeat, at: tuple[JointId, End], of: Subject) -> Check | None:
    """The reaction on its seat at its angle to the grain, or uplift against the hold-down, under one run."""
    joint, end = at
    reaction = bench.results.runs[state.run].reactions.get(joint)
    if reaction is None:
        return None
    stock = us_stock(bench, end.segment.member)
    inch, pound = INCH[bench.truss.units], POUND[bench.truss.units]
    push = reaction.y * pound
    if push < -FLOOR:
        return _uplift(-push, wall, pound, of)
    length = (wall.length - (wall.lost or 0.0)) * inch
    if length <= 0:
        return set_against(
            what="bearing at the wall",
            clause="NDS-2018 3.10",
            demand=stated("R", push, "lbf", "statics"),
            capacity=stated("R carried", 0.0, "lbf", "statics"),
            unit="lbf",
            of=of,
            reason=GONE,
        )
    width = stock.breadth * stock.plies if wall.width is None else wall.width * inch
    perp = bench.value(end.segment.member, "Fc_perp", state)
    if wall.to_end is not None:
        Cb = bearing_area_factor(length=length, to_end=wall.to_end * inch)
        perp = derived("Fc_perp'", perp.value * Cb.value, "psi", "Fc_perp' Cb", "NDS-2018 3.10.4", perp, Cb)
    steps = (
        step("length", wall.length * inch, "in"),
        step("lost", (wall.lost or 0.0) * inch, "in"),
        step("width", width, "in"),
    )
    sideways = abs(reaction.x) * pound
    remarks = (*of.remarks, SIDEWAYS.format(sideways, "lbf")) if sideways > FLOOR else of.remarks
    return bearing_at_angle_check(
        force=max(push, 0.0),
        area=derived("A", length * width, "in2", "(length - lost) width", "", *steps, source="statics"),
        Fc_star=bench.value(end.segment.member, "Fc", state),
        Fc_perp=perp,
        angle=angle_between((0.0, 1.0), end.along),
        of=of._replace(remarks=remarks),
    )


def _uplift(force: float, wall: WallSeat, pound: float, of: Subject) -> Check:
    demand = stated("uplift", force, "lbf", "statics")
    if wall.hold_down is None:
        return not_evaluated(what="hold-down", clause="statics", of=of, demand=demand, unit="lbf", reason=UPLIFT)
    capacity = stated("hold-down", wall.hold_down * pound, "lbf", "stated in the document")
    return set_against(
        what="hold-down", clause="stated allowable", demand=demand, capacity=capacity, unit="lbf", of=of
    )
