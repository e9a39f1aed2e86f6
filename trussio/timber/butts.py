"""Where single plies of a stick are cut: what the unbroken plies and the connection across the butt carry there.

Terms: plies whose butts lie within *reach* of each other are cut in one section; the reach is the length of the
fasteners on one side of the butt, and without them the whole segment. The connection across gives no more than the
cut ply itself; compression crosses a butt only where it was found tight (up to 0.75 Fc*), else by the fasteners.
Inches, lbf. Source: NDS-2018 3.8.1, 3.6.3, 3.10.1, 11.3; the sum over plies is an own derivation.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.axial import PLATE_SHARE
from trussio.timber.design_values import adjusted_value
from trussio.timber.fastened import Crossing, crossings, dowel_value
from trussio.timber.joints import End, in_inches, layer_forces, plane_forces, plate_layer, ply_layer
from trussio.timber.review_connections import group_of
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, Stock
from trussio.timber.working import NOTHING, derived, not_evaluated, set_against, stated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Check, Derivation
    from trussio.model.connection import Butt
    from trussio.model.truss import Segment
    from trussio.timber.bench import Bench, State
    from trussio.timber.joints import Layer

BENDING: Final = "bending at the butt is not part of this check"
ACROSS: Final = "enter what brings the cut ply's force past its butt"
OTHER_CODE: Final = "butts of European strength classes are not part of this review"


class Cut(NamedTuple):
    """A butt at a distance along its stick, with how far its fasteners reach (base lengths)."""

    butt: Butt
    at: float
    reach: float


def butt_checks(bench: Bench, segment: Segment) -> list[Check]:
    """The section at each butt of a segment in every state."""
    member = bench.truss.members[segment.member]
    butts = (*(member.butts or ()), *((member.laminations and member.laminations.cuts) or ()))
    if not butts or member.part_of is not None:
        return []
    places = [0.0]
    for one in bench.truss.segments:
        if one.member == segment.member:
            places.append(places[-1] + bench.lengths[one.id].panel)
    panel = bench.lengths[segment.id].panel
    reach = None if member.laminations is None else member.laminations.reach
    cuts = [Cut(butt, _place(member.through, places, butt), _reach(butt, reach or panel)) for butt in butts]
    start, end = places[segment.index], places[segment.index + 1]
    here = [cut for cut in cuts if start <= cut.at < end or (cut.at == end == places[-1])]
    stock = bench.stock(segment.member)
    if not isinstance(stock, Stock):
        of = Subject(element=segment.id, grade=stock.name)
        clause = "EN 1995-1-1 6.1"
        return [
            not_evaluated(what=f"section {_name(cut)}", clause=clause, of=of, reason=OTHER_CODE) for cut in here
        ]
    return [
        check
        for cut in here
        for state in bench.states
        for check in _section(bench, segment, stock, (cut, cuts), state)
    ]


def _place(through: Sequence[str], places: Sequence[float], butt: Butt) -> float:
    return places[through.index(butt.at)] if isinstance(butt.at, str) else butt.at


def _reach(butt: Butt, otherwise: float) -> float:
    """How far from the butt the cut ply has its force back."""
    fasteners = None if butt.across is None else butt.across.fasteners
    if butt.across is None or fasteners is None:
        return otherwise
    end = next((piece.end for piece in butt.across.pieces if piece.ply == butt.ply), None)
    in_row = -(-fasteners.count // (fasteners.rows or 1))
    if end is None or (in_row > 1 and fasteners.spacing is None):
        return otherwise
    return end + (in_row - 1) * (fasteners.spacing or 0.0)


def _name(cut: Cut) -> str:
    return f"at the butt of ply {cut.butt.ply} at {cut.at:g}"


def _section(
    bench: Bench, segment: Segment, stock: Stock, at: tuple[Cut, Sequence[Cut]], state: State
) -> list[Check]:
    cut, cuts = at
    forces = bench.forces(state.run, segment.id)
    pound = POUND[bench.truss.units]
    greatest = max(forces.axial, *forces.axial_ends) * pound
    least = min(forces.axial, *forces.axial_ends) * pound
    near = [other for other in cuts if abs(other.at - cut.at) < max(other.reach, cut.reach) or other is cut]
    broken = {other.butt.ply: other for other in (*near, cut)}
    remarks = [BENDING, *stock.remarks]
    if len(broken) > 1:
        plies = ", ".join(str(ply) for ply in sorted(broken))
        remarks.append(f"butts of plies {plies} lie so near that all of them are cut in one section")
    of = Subject(segment.id, state.run, stock.name, tuple(remarks))
    checks = []
    if greatest > FLOOR:
        checks.append(_carried(bench, (segment, stock, state), (cut, broken), greatest, of))
    if least < -FLOOR:
        checks.append(_carried(bench, (segment, stock, state), (cut, broken), least, of))
    return checks


def _carried(
    bench: Bench,
    on: tuple[Segment, Stock, State],
    at: tuple[Cut, dict[int, Cut]],
    force: float,
    of: Subject,
) -> Check:
    """The force of the stick, tension positive, against the sum of what carries it at the section."""
    segment, stock, state = on
    cut, broken = at
    symbol, sense, clause = (
        ("Ft", "tension", "NDS-2018 3.8.1") if force > 0 else ("Fc", "compression", "NDS-2018 3.6.3")
    )
    sizes = sorted((stock.breadth, stock.depth))
    F = adjusted_value(stock.values, symbol, use=bench.use(state), thickness=sizes[0], width=sizes[1])
    ply = derived("ply", F.value * stock.breadth * stock.depth, "lbf", f"{symbol}' b d", clause, F)
    unbroken = max(0, stock.plies - len(broken))
    total, steps, lacking = unbroken * ply.value, [ply], ""
    for other in broken.values():
        if force < 0 and other.butt.tight:
            total += PLATE_SHARE * ply.value
            continue
        try:
            Z = _across(bench, segment, other.butt, state, 1.0 if force > 0 else -1.0)
        except UsageError as fault:
            lacking = str(fault)
            continue
        total += min(Z.value, ply.value)
        steps.append(Z)
    formula = f"{unbroken} unbroken plies and what the connections across give"
    capacity = derived("carried", total, "lbf", formula, clause, *steps, source="own derivation")
    demand = stated("force", abs(force), "lbf", "statics")
    what = f"{sense} {_name(cut)}"
    if lacking and abs(force) > total:
        alone = f"what is known carries {total:.0f} lbf; " + lacking
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=alone)
    return set_against(what=what, clause=clause, demand=demand, capacity=capacity, unit="lbf", of=of)


def _across(bench: Bench, segment: Segment, butt: Butt, state: State, sense: float) -> Derivation:
    """The force of the cut ply that its connection brings past the butt. Raises UsageError where not known."""
    across = butt.across
    if across is None or across.fasteners is None:
        raise UsageError("butt-open", where=f"ply {butt.ply}", what="nobody knows what is there:", do=f"{ACROSS}.")
    end = End(segment, 0, _direction(bench, segment))
    layers: list[Layer] = []
    for piece in across.pieces:
        if piece.member is None:
            layer = plate_layer(bench.truss, piece, end.along)
        else:
            layer = ply_layer(bench, piece, segment.member, (end,) if piece.ply == butt.ply else (end, end))
        layers.append(in_inches(layer, INCH[bench.truss.units]))
    group = group_of(bench, across.fasteners, wet_when_made=bool(across.wet_when_made))
    closing = tuple(i for i, piece in enumerate(across.pieces) if piece.ply != butt.ply)
    unit = (sense * end.along[0], sense * end.along[1])
    single = [layer._replace(plies=1) for layer in layers]
    forces = layer_forces(single, {segment.member: unit}, closing)
    found = [
        _per_unit(single, crossing, dowel_value(single, crossing, group, bench.durations[state.kinds]).Z)
        for crossing in crossings(single, forces, plane_forces(forces))
        if hypot(*crossing.force) > FLOOR
    ]
    return min(found, key=lambda value: value.value, default=NOTHING)


def _per_unit(layers: Sequence[Layer], crossing: Crossing, Z: Derivation) -> Derivation:
    """The ply's force at which this plane has its value."""
    part = hypot(*crossing.force)
    if abs(part - 1.0) < FLOOR:
        return Z
    return derived("Z' of the ply", Z.value / part, "lbf", f"Z' / {part:.3g}, {len(layers)} pieces", "", Z)


def _direction(bench: Bench, segment: Segment) -> tuple[float, float]:
    first, last = bench.truss.joints[segment.first], bench.truss.joints[segment.last]
    length = hypot(last.x - first.x, last.y - first.y)
    return ((last.x - first.x) / length, (last.y - first.y) / length)
