"""Sticks of European strength classes that push on faces, in heel notches, end on end, and under anchors.

As for other sticks: what presses square on a face bears across its grain and at its own angle on the end of the
stick that pushes; a rod pulls its washer onto the face; what runs along the face must be held by something else.
kc,90 is 1, since nobody said what else presses on the stick near by. N, mm, MPa.
Source: EN 1995-1-1 6.1.5, 6.2.2, 8.5.2, as marked by the parts; forces from statics.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.connection_facts import lifted_seat, rod_area
from trussio.timber.eurocode import design_value, modification_factor, partial_factor, strength_class
from trussio.timber.eurocode_details import effective_bearing_area, notched_heel_checks
from trussio.timber.eurocode_members import axial_stress, bearing_check, strength_at_angle
from trussio.timber.european_checks import MM, NEWTON, EuropeanStock, duration_of, unfactored
from trussio.timber.joints import angle_between, force_on_joint
from trussio.timber.review_seats import PULLED as OPEN_BUTT
from trussio.timber.review_seats import TIGHT
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import POUND
from trussio.timber.working import STATICS, derived, not_evaluated, set_against, stated

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.model.check import Check, Derivation, Subject
    from trussio.model.connection import EndBearing, Notch, Seat
    from trussio.model.truss import MemberId
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import End, Vector

KC90: Final = 1.0
WASHER: Final = 3.0
"""Times fc90 that wood bears under a washer (8.5.2)."""
LITTLE: Final = 0.02
PULLED: Final = "the run pulls on a seat that nothing else holds"
PUSHED: Final = "the run pushes on a rod, which goes slack: its nut carries nothing"
SLIDES: Final = "enter what keeps the stick from sliding along the face: a notch, or fasteners"


def european_stick(bench: Bench, name: MemberId) -> EuropeanStock:
    """The stock of a stick of a European class. Raises UsageError `other-code` for others."""
    stock = bench.stock(name)
    if not isinstance(stock, EuropeanStock):
        raise UsageError(
            "other-code",
            where=name,
            what="it is checked by NDS-2018 and others here by EN 1995-1-1.",
            do="State values of one code for all sticks of a connection.",
        )
    return stock


def across_strength(bench: Bench, name: MemberId, state: State) -> Derivation:
    """Design strength fc,90,d of a stick under one run."""
    stock, material = european_stick(bench, name), bench.truss.material_of(name)
    row = strength_class((None if material is None else material.grade) or "no grade")
    service = 2 if bench.given.service_class is None else bench.given.service_class
    return design_value(
        "fc90",
        row["fc90k"],
        kmod=modification_factor(service_class=service, duration=duration_of(state.kinds)),
        gamma_M=partial_factor(stock.product),
    )


def _angled(bench: Bench, name: MemberId, state: State, angle: float) -> Derivation:
    """Design strength of a stick pressed at an angle to its grain."""
    fc0d = bench.european_design_of(name, european_stick(bench, name), state).fc0d
    return strength_at_angle(fc0d=fc0d, fc90d=across_strength(bench, name, state), kc90=KC90, angle=angle)


def _in_newton(bench: Bench, state: State, ends: Sequence[End]) -> Vector:
    x, y = force_on_joint(bench, state.run, ends)
    newton = NEWTON[bench.truss.units] / POUND[bench.truss.units]
    return (x * newton, y * newton)


def european_seat_checks(
    bench: Bench,
    seat: Seat,
    ends: Mapping[MemberId, Sequence[End]],
    sticks: tuple[MemberId, MemberId],
    on: tuple[State, Subject],
    *,
    fastened: tuple[bool, bool],
) -> Iterator[Check]:
    """A seat on a face under one run; `fastened` says whether fasteners, and whether those or a notch hold it."""
    state, of = on
    pushing, face = sticks
    end, grain, mm = ends[pushing][0], ends[face][0].along, MM[bench.truss.units]
    force = _in_newton(bench, state, (end,))
    along = force[0] * end.inward[0] + force[1] * end.inward[1]
    push = along if seat.washer else -along
    if push <= FLOOR:
        if push < -FLOOR and not fastened[0]:
            yield lifted_seat(-push, "N", of, PUSHED if seat.washer else PULLED)
        return
    square = abs(force[0] * grain[1] - force[1] * grain[0])
    length, width = seat.length * mm, seat.width * mm
    fc90d = across_strength(bench, face, state)
    if seat.washer:
        hole = rod_area(bench, pushing) * mm**2
        area = stated("A", length * width - hole, "mm2", STATICS)
        if area.value <= 0:
            raise UsageError(
                "impossible-distance", where="seat", what="the rod fills it.", do="Measure the washer."
            )
        check = bearing_check(force=square, effective_area=area, fc90d=fc90d, kc90=WASHER, of=of)
        yield check._replace(what="bearing under the washer", clause="EN 1995-1-1 8.5.2")
        return
    through = len(ends[face]) == 2
    spread = effective_bearing_area(length=length, width=width, to_end=None if through else 0.0)
    yield bearing_check(force=square, effective_area=spread, fc90d=fc90d, kc90=KC90, of=of)
    angle = angle_between((-grain[1], grain[0]), end.along)
    area = stated("A", length * width, "mm2", STATICS)
    yield _pressed(square, area, _angled(bench, pushing, state, angle), of)
    sliding = abs(force[0] * grain[0] + force[1] * grain[1])
    if not fastened[1] and sliding > LITTLE * hypot(*force):
        demand = derived("force", sliding, "N", "part of the push along the face", "", source=STATICS)
        what = "sliding along the face"
        yield not_evaluated(what=what, clause="statics", of=of, demand=demand, unit="N", reason=SLIDES)


def european_heel(
    bench: Bench,
    notch: Notch,
    ends: Mapping[MemberId, Sequence[End]],
    sticks: tuple[MemberId, MemberId],
    on: tuple[State, Subject],
    *,
    fastened: bool,
) -> Iterator[Check]:
    """A notched heel under one run: its face, the relish beyond it, the tie under it."""
    state, of = on
    chord, tie = sticks
    end, mm = ends[chord][0], MM[bench.truss.units]
    force = _in_newton(bench, state, (end,))
    push = -(force[0] * end.inward[0] + force[1] * end.inward[1])
    if push <= FLOOR:
        if push < -FLOOR and not fastened:
            yield lifted_seat(-push, "N", of, PULLED)
        return
    stock = european_stick(bench, tie)
    design = bench.european_design_of(tie, stock, state)
    yield from notched_heel_checks(
        compression=push,
        slope=angle_between(end.along, ends[tie][0].along),
        width=stock.breadth * stock.plies,
        notch=notch.depth * mm,
        tie_depth=stock.depth,
        relish=notch.relish * mm,
        fc0d=design.fc0d,
        fc90d=across_strength(bench, tie, state),
        fvd=design.fvd,
        ft0d=design.ft0d,
        fmd=design.fmd,
        of=of,
    )


def european_end_butt(
    bench: Bench, state: State, butt: EndBearing, end: End, of: Subject, *, alone: bool
) -> Check | None:
    """End grain on end grain under one run; `alone` says that no fasteners bridge the butt."""
    name = end.segment.member
    stock = european_stick(bench, name)
    force = _in_newton(bench, state, (end,))
    push = -(force[0] * end.inward[0] + force[1] * end.inward[1])
    if push < -FLOOR and alone:
        return lifted_seat(-push, "N", of, OPEN_BUTT)._replace(what="tension at a butt")
    if push <= FLOOR or not (butt.tight or alone):
        return None
    what, clause = "end grain bearing", "EN 1995-1-1 6.1.4 (6.2)"
    if not butt.tight:
        demand = stated("C", push, "N", STATICS)
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="N", reason=TIGHT)
    area = stated("A", stock.breadth * stock.depth * stock.plies, "mm2", STATICS)
    fc0d = bench.european_design_of(name, stock, state).fc0d
    check = _pressed(push, area, fc0d, of)._replace(what=what, clause=clause)
    return check if state.factored else unfactored(check)


def european_anchor(
    bench: Bench, state: State, pressed: tuple[MemberId, float, float], angle: float, of: Subject
) -> Check:
    """The wood of a stick under an anchor: `pressed` is the stick, the force (lbf), the area (base, squared)."""
    name, force, bare = pressed
    newton, mm = NEWTON[bench.truss.units] / POUND[bench.truss.units], MM[bench.truss.units]
    area = stated("A", bare * mm**2, "mm2")
    of = of._replace(grade=bench.stock(name).name)
    check = _pressed(force * newton, area, _angled(bench, name, state, angle), of)
    return check if state.factored else unfactored(check)


def _pressed(force: float, area: Derivation, strength: Derivation, of: Subject) -> Check:
    return set_against(
        what="bearing at an angle to the grain",
        clause="EN 1995-1-1 6.2.2 (6.16)",
        demand=axial_stress(force, area, "sigma_c"),
        capacity=strength,
        unit="MPa",
        of=of,
    )
