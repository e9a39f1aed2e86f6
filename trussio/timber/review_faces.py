"""Sticks that push on the face of another, nuts of rods on wood, notched heels, and supports without a seat.

What presses square on a face bears across its grain, and at its own angle on the end of the stick that pushes;
what goes along the face must be held by something else. A rod pulls its washer onto the face. Inches, lbf.
Source: NDS-2018 3.10, as marked by the parts; notched heels by statics and carpentry practice.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.bearing import (
    bearing_area_factor,
    bearing_at_angle_check,
    bearing_perpendicular_check,
    notched_heel_checks,
)
from trussio.timber.connection_facts import lifted_seat, rod_area
from trussio.timber.european_checks import EuropeanStock, unfactored
from trussio.timber.european_faces import european_heel, european_seat_checks
from trussio.timber.joints import angle_between, force_on_joint
from trussio.timber.review_seats import us_stock
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH
from trussio.timber.working import STATICS, derived, not_evaluated, stated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.check import Check
    from trussio.model.connection import Connection, Notch, Seat
    from trussio.model.truss import MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import End

LITTLE: Final = 0.02
PULLED: Final = "the run pulls on a seat that nothing else holds"
PUSHED: Final = "the run pushes on a rod, which goes slack: its nut carries nothing"
SLIDES: Final = "enter what keeps the stick from sliding along the face: a notch, or fasteners"
TWO: Final = "enter two sticks: the one that pushes and the one whose face it pushes on"
NO_SEAT: Final = "no seat on the wall is in the document: enter its length, and what decay has taken of it"
WALL: Final = "NDS-2018 3.10, EN 1995-1-1 6.1.5"
HEAD_ROOM: Final = 6.0
"""Length (in) below which a bearing away from the end of a stick spreads beyond itself."""


def pushing_and_face(
    bench: Bench, connection: Connection, ends: Mapping[MemberId, Sequence[End]]
) -> tuple[MemberId, MemberId]:
    """The stick that pushes and the one whose face it pushes on. Raises UsageError where that is not plain."""
    names = list(ends)
    face = connection.into or next((name for name in names if len(ends[name]) == 2), None)
    if face is None:
        roles = {name: bench.truss.members[name].role for name in names}
        face = next((name for name in names if roles[name] == "bottom-chord"), None)
    pushing = [name for name in names if name != face and len(ends[name]) == 1]
    if face is None or len(pushing) != 1:
        raise UsageError("piece-incomplete", where="pieces", what="who pushes on whom is not plain.", do=f"{TWO}.")
    return pushing[0], face


def seat_checks(
    bench: Bench,
    connection: Connection,
    seat: Seat,
    ends: Mapping[MemberId, Sequence[End]],
    on: tuple[State, Subject],
) -> Iterator[Check]:
    """A seat on a face under one run."""
    state, of = on
    pushing, face = pushing_and_face(bench, connection, ends)
    if isinstance(bench.stock(face), EuropeanStock):
        held = connection.fasteners is not None
        fastened, sticks = (held, held or connection.notch is not None), (pushing, face)
        checks = european_seat_checks(bench, seat, ends, sticks, on, fastened=fastened)
        yield from _by_european(bench, state, checks)
        return
    end, grain = ends[pushing][0], ends[face][0].along
    force = force_on_joint(bench, state.run, (end,))
    along = force[0] * end.inward[0] + force[1] * end.inward[1]
    push = along if seat.washer else -along
    if push <= FLOOR:
        if push < -FLOOR and connection.fasteners is None:
            yield lifted_seat(-push, "lbf", of, PUSHED if seat.washer else PULLED)
        return
    square = abs(force[0] * grain[1] - force[1] * grain[0])
    inch = INCH[bench.truss.units]
    length, width = seat.length * inch, seat.width * inch
    hole = rod_area(bench, pushing) * inch**2 if seat.washer else 0.0
    area = stated("A", length * width - hole, "in2", STATICS)
    if area.value <= 0:
        raise UsageError("impossible-distance", where="seat", what="the rod fills it.", do="Measure the washer.")
    Cb = (
        1.0
        if length >= HEAD_ROOM or len(ends[face]) == 1
        else bearing_area_factor(length=length, to_end=3.0).value
    )
    us_stock(bench, face)
    yield bearing_perpendicular_check(
        force=square, area=area, Fc_perp=bench.value(face, "Fc_perp", state), Cb=Cb, of=of
    )
    if seat.washer:
        return
    us_stock(bench, pushing)
    yield bearing_at_angle_check(
        force=square,
        area=area,
        Fc_star=bench.value(pushing, "Fc", state),
        Fc_perp=bench.value(pushing, "Fc_perp", state),
        angle=angle_between((-grain[1], grain[0]), end.along),
        of=of,
    )
    sliding = abs(force[0] * grain[0] + force[1] * grain[1])
    if connection.fasteners is None and connection.notch is None and sliding > LITTLE * hypot(*force):
        demand = derived("force", sliding, "lbf", "part of the push along the face", "", source=STATICS)
        yield not_evaluated(
            what="sliding along the face", clause="statics", of=of, demand=demand, unit="lbf", reason=SLIDES
        )


def heel_checks(
    bench: Bench,
    connection: Connection,
    notch: Notch,
    ends: Mapping[MemberId, Sequence[End]],
    on: tuple[State, Subject],
) -> Iterator[Check]:
    """A notched heel under one run: its face, the relish beyond it, the tie under it."""
    state, of = on
    chord, tie = pushing_and_face(bench, connection, ends)
    if isinstance(bench.stock(tie), EuropeanStock):
        held = connection.fasteners is not None
        checks = european_heel(bench, notch, ends, (chord, tie), on, fastened=held)
        yield from _by_european(bench, state, checks)
        return
    end = ends[chord][0]
    force = force_on_joint(bench, state.run, (end,))
    push = -(force[0] * end.inward[0] + force[1] * end.inward[1])
    if push <= FLOOR:
        if push < -FLOOR and connection.fasteners is None:
            yield lifted_seat(-push, "lbf", of, PULLED)
        return
    stock, inch = us_stock(bench, tie), INCH[bench.truss.units]
    yield from notched_heel_checks(
        compression=push,
        slope=angle_between(end.along, ends[tie][0].along),
        width=stock.breadth * stock.plies,
        notch=notch.depth * inch,
        tie_depth=stock.depth,
        relish=notch.relish * inch,
        Fc_star=bench.value(tie, "Fc", state),
        Fc_perp=bench.value(tie, "Fc_perp", state),
        Fv=bench.value(tie, "Fv", state),
        Ft=bench.value(tie, "Ft", state),
        Fb_star=bench.value(tie, "Fb", state),
        of=of,
    )


def _by_european(bench: Bench, state: State, checks: Iterator[Check]) -> Iterator[Check]:
    """Checks of the European code: none of a run that a factored one stands for, open without partial factors."""
    if state in bench.factored_states:
        yield from (check if state.factored else unfactored(check) for check in checks)


def unseated(bench: Bench) -> Iterator[Check]:
    """For each support without a seat on a wall, the greatest force that must be carried there."""
    seated = {one.joint for one in bench.truss.connections.values() if one.wall is not None}
    unit = "lbf" if bench.truss.units == "us" else "N"
    for joint in bench.truss.supports:
        if joint in seated:
            continue
        found = [
            (hypot(reaction.x, reaction.y), state.run)
            for state in bench.states
            if (reaction := bench.results.runs[state.run].reactions.get(joint)) is not None
        ]
        if not found:
            continue
        force, run = max(found, key=lambda one: one[0])
        demand = derived("R", force, unit, "greatest reaction", "", source=STATICS)
        of = Subject(element=f"/supports/{joint}", run=run)
        yield not_evaluated(
            what="bearing at the wall", clause=WALL, of=of, demand=demand, unit=unit, reason=NO_SEAT
        )
