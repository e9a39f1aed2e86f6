"""Tendons in every state: stress while jacking and in service, and the wood under their anchors.

An anchor presses along its first or last leg on the stick that it bears on, at its angle to the grain; one that
bears on the joint as a whole, or whose plate nobody measured, is open with its force. psi, in2, lbf.
Source: limits as the data file of steel marks them; bearing by NDS-2018 3.10.3 or EN 1995-1-1 6.2.2.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.model.tendon import jacking_force, loads_of
from trussio.timber import tables
from trussio.timber.bearing import bearing_at_angle_check
from trussio.timber.european_checks import EuropeanStock
from trussio.timber.european_faces import european_anchor
from trussio.timber.joints import angle_between, ends_at
from trussio.timber.review_seats import us_stock
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, PSI
from trussio.timber.working import STATICS, derived, not_evaluated, set_against, stated, step

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Check, Derivation
    from trussio.model.tendon import Tendon
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import Vector

TENDONS: Final = "/tendons/"
STEEL: Final = "enter steel (strand or bar), fu and area of the tendon"
PLATE: Final = "enter the area of wood under the anchor's plate, less its holes and slots"
WHOLE: Final = "it bears on the joint as a whole: check its shoe, and enter the stick that it presses on"
CLAUSE: Final = "ACI 318, older editions"


def tendon_checks(bench: Bench) -> list[Check]:
    """Every check of every tendon, in document order."""
    return [
        check
        for name, tendon in bench.truss.tendons.items()
        for check in (*_jacked(bench, name, tendon), *_in_service(bench, name, tendon))
    ]


def tendon_review(bench: Bench, name: str) -> list[Check]:
    """The checks of one tendon in the states of a bench."""
    tendon = bench.truss.tendons.get(name)
    return [] if tendon is None else list(_in_service(bench, name, tendon))


def _jacked(bench: Bench, name: str, tendon: Tendon) -> Iterator[Check]:
    """Stress at the jack, in each case that stresses the tendon."""
    for run, case in bench.truss.loads.cases.items():
        for load in loads_of(case):
            if load.tendon == name and (force := jacking_force(tendon, load)) > 0:
                of = Subject(f"{TENDONS}{name}", run, tendon.steel or "")
                yield _stressed(bench, tendon, "jacking", force * POUND[bench.truss.units], of)


def _in_service(bench: Bench, name: str, tendon: Tendon) -> Iterator[Check]:
    """Stress and anchors under each run in which the tendon is stressed."""
    for state in bench.states:
        legs = bench.results.runs[state.run].tendons.get(name, ())
        forces = [leg * POUND[bench.truss.units] for leg in legs]
        if not forces or max(forces) <= FLOOR:
            continue
        of = Subject(f"{TENDONS}{name}", state.run, tendon.steel or "")
        yield _stressed(bench, tendon, "service", max(forces), of)
        for last, force in ((False, forces[0]), (True, forces[-1])):
            yield _anchored(bench, tendon, state, (last, force), of)


def _stressed(bench: Bench, tendon: Tendon, stage: str, force: float, of: Subject) -> Check:
    what = f"tendon stress {'at the jack' if stage == 'jacking' else 'in service'}"
    demand = stated("T", force, "lbf", STATICS)
    if tendon.steel is None or tendon.fu is None or tendon.area is None:
        return not_evaluated(what=what, clause=CLAUSE, of=of, demand=demand, unit="lbf", reason=STEEL)
    inch = INCH[bench.truss.units]
    area = stated("A", tendon.area * tendon.strands * inch**2, "in2")
    f = derived("f", force / area.value, "psi", "T / A", "", demand, area, source=STATICS)
    limit = _limit(tendon.steel, stage, tendon.fu * PSI[bench.truss.units])
    return set_against(what=what, clause=CLAUSE, demand=f, capacity=limit, unit="psi", of=of)


def _limit(steel: str, stage: str, fu: float) -> Derivation:
    """The greatest stress of a strand or a bar at the jack or in service (psi)."""
    data, given = tables.steel(), step("fu", fu, "psi")
    if steel == "bar":
        bar = data["limits"]["bar"]
        share = bar["jacking"] if stage == "jacking" else bar["service"]
        return derived("f limit", share * fu, "psi", f"{share} fu", "practice", given, source=bar["source"])
    strand, to_yield = data["limits"]["strand"], data["strand"]["yield_share"]
    if stage != "jacking":
        share = strand["anchorage"]
        return derived("f limit", share * fu, "psi", f"{share} fu", CLAUSE, given, source=strand["source"])
    share = min(strand["jacking"], strand["jacking_of_yield"] * to_yield)
    formula = f"least of {strand['jacking']} fu and {strand['jacking_of_yield']} x {to_yield} fu"
    return derived("f limit", share * fu, "psi", formula, CLAUSE, given, source=strand["source"])


def _anchored(bench: Bench, tendon: Tendon, state: State, at: tuple[bool, float], of: Subject) -> Check:
    """The wood under one anchor, pressed along the leg that begins or ends there."""
    last, force = at
    point = tendon.path[-1 if last else 0]
    what, clause = f"bearing under the anchor at {point.joint}", "NDS-2018 3.10.3"
    demand = stated("R", force, "lbf", STATICS)
    stick, reason = point.bears_on, WHOLE if point.bears_on is None else PLATE
    if stick is None or point.bearing is None:
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=reason)
    try:
        along = next(end.along for end in ends_at(bench.truss)[stick, point.joint])
        angle = angle_between(_leg(bench, tendon, last=last), along)
        if isinstance(bench.stock(stick), EuropeanStock):
            check = european_anchor(bench, state, (stick, force, point.bearing), angle, of)
            return check._replace(what=what)
        stock = us_stock(bench, stick)
        check = bearing_at_angle_check(
            force=force,
            area=point.bearing * INCH[bench.truss.units] ** 2,
            Fc_star=bench.value(stick, "Fc", state),
            Fc_perp=bench.value(stick, "Fc_perp", state),
            angle=angle,
            of=of._replace(grade=stock.name),
        )
    except UsageError as fault:
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=str(fault))
    return check._replace(what=what)


def _leg(bench: Bench, tendon: Tendon, *, last: bool) -> Vector:
    """The way of the first or the last leg, by the joints at its ends."""
    first, second = (tendon.path[-2], tendon.path[-1]) if last else (tendon.path[0], tendon.path[1])
    start, end = bench.truss.joints[first.joint], bench.truss.joints[second.joint]
    length = hypot(end.x - start.x, end.y - start.y)
    return ((end.x - start.x) / length, (end.y - start.y) / length)
