"""Where single plies of a stick are cut: what the unbroken plies and the connection across the butt carry there.

Terms: plies whose butts lie within *reach* of each other are cut in one section; the reach is the length of the
fasteners on one side of the butt, and without them the whole segment. The connection across gives no more than the
cut ply itself; compression crosses a butt only where it was found tight (up to 0.75 Fc*), else by the fasteners.
Bending stays with the plies that run through: what each part takes of the axial force is as much of its capacity,
and the share of bending is added to that. Inches, lbf. Source: NDS-2018 3.8.1, 3.6.3, 3.9.1, 3.10.1, 11.3; the sum
over plies and of both shares is an own derivation.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.axial import PLATE_SHARE
from trussio.timber.crossing import crossings
from trussio.timber.european_butts import Section as European
from trussio.timber.european_butts import european_section
from trussio.timber.european_checks import MM, NEWTON
from trussio.timber.fastened import RINGS, dowel_value, ring_value, towards_end
from trussio.timber.holes import removed_by
from trussio.timber.joints import End, in_inches, layer_forces, plane_forces, plate_layer, ply_layer
from trussio.timber.net_section import net_area
from trussio.timber.review_connections import RINGS_SEEN, group_of, species_of
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, Stock
from trussio.timber.torn import BUCKLES, held, local_values
from trussio.timber.working import (
    NOTHING,
    OWN,
    STATICS,
    derived,
    interaction,
    not_evaluated,
    set_against,
    stated,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from trussio.model.check import Check, Derivation
    from trussio.model.connection import Butt, Connection
    from trussio.model.forces import SegmentForces
    from trussio.model.truss import MemberId, Segment
    from trussio.timber.bench import Bench, State
    from trussio.timber.crossing import Crossing
    from trussio.timber.european_checks import EuropeanStock
    from trussio.timber.fastened import Group
    from trussio.timber.joints import Layer
    from trussio.timber.working import Figure

AT_BUTT: Final = " at the butt of ply"
ALL_CUT: Final = "no ply runs through here to carry the bending: enter how far apart the butts stand"
ACROSS: Final = "enter what brings the cut ply's force past its butt"
MISSED: Final = 0.01
"""Part of the greatest moment within which end moments and shears must give it."""


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
        return [
            check
            for cut in here
            for state in bench.factored_states
            for check in _european(bench, segment, stock, (cut, cuts, cut.at - start), state)
        ]
    return [
        check
        for cut in here
        for state in bench.states
        for check in _section(bench, segment, stock, (cut, cuts, cut.at - start), state)
    ]


def _european(
    bench: Bench, segment: Segment, stock: EuropeanStock, at: tuple[Cut, Sequence[Cut], float], state: State
) -> Iterator[Check]:
    """The section at a butt of a stick of a European strength class; `at` as in `_section`."""
    cut, cuts, at_segment = at
    units = bench.truss.units
    near = [other for other in cuts if abs(other.at - cut.at) < max(other.reach, cut.reach) or other is cut]
    moment = moment_at(bench.forces(state.run, segment.id), at_segment, bench.lengths[segment.id].panel)
    section = European(
        name=_name(cut),
        broken={other.butt.ply: other.butt for other in (*near, cut)},
        along=_direction(bench, segment),
        moment=abs(moment) * NEWTON[units] * MM[units],
    )
    return european_section(bench, segment, stock, section, state)


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
    return f"{AT_BUTT} {cut.butt.ply} at {cut.at:g}"


def _section(
    bench: Bench, segment: Segment, stock: Stock, at: tuple[Cut, Sequence[Cut], float], state: State
) -> list[Check]:
    """`at` is the cut, all cuts of its stick, and how far along the segment it lies."""
    cut, cuts, at_segment = at
    forces, pound = bench.forces(state.run, segment.id), POUND[bench.truss.units]
    greatest = max(forces.axial, *forces.axial_ends) * pound
    least = min(forces.axial, *forces.axial_ends) * pound
    near = [other for other in cuts if abs(other.at - cut.at) < max(other.reach, cut.reach) or other is cut]
    broken = {other.butt.ply: other for other in (*near, cut)}
    remarks = [*stock.remarks]
    if len(broken) > 1:
        plies = ", ".join(str(ply) for ply in sorted(broken))
        remarks.append(f"butts of plies {plies} lie so near that all of them are cut in one section")
    of = Subject(segment.id, state.run, stock.name, tuple(remarks))
    moment = abs(moment_at(forces, at_segment, bench.lengths[segment.id].panel)) * pound * INCH[bench.truss.units]
    checks = []
    for force in ([greatest] if greatest > FLOOR else []) + ([least] if least < -FLOOR else []):
        carried = _carried(bench, (segment, stock, state), (cut, broken), force, of)
        checks.append(carried)
        if moment > FLOOR:
            checks.append(_with_bending(bench, (segment.member, stock, state), len(broken), carried, moment))
    return checks


def moment_at(forces: SegmentForces, at: float, length: float) -> float:
    """The moment at a distance along a segment, from those at its ends and the shears there.

    Exact where the load along it is even or grows evenly; where that misses the greatest moment, as beside a load
    at one point, the greatest is returned.
    """

    def by_ends(place: float) -> float:
        t = place / length
        m, v = forces.moment, forces.shear
        return (
            m[0] * (1 - 3 * t**2 + 2 * t**3)
            + m[1] * (3 * t**2 - 2 * t**3)
            + length * (v[0] * (t - 2 * t**2 + t**3) + v[1] * (t**3 - t**2))
        )

    peak = forces.moment_peak
    return by_ends(at) if abs(by_ends(forces.moment_peak_at) - peak) <= MISSED * abs(peak) else peak


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
    F = bench.value(segment.member, symbol, state)
    ply = derived("ply", F.value * stock.breadth * stock.depth, "lbf", f"{symbol}' b d", clause, F)
    total, steps, lacking = 0.0, [ply], ""
    for number in range(1, stock.plies + 1):
        if number not in broken:
            wood = _pierced(bench, stock, (ply, F), [other.butt for other in broken.values()], number)
            total += wood.value
            steps += [] if wood is ply else [wood]
    for other in broken.values():
        if force < 0 and other.butt.tight:
            total += PLATE_SHARE * ply.value
            continue
        try:
            Z = _across(bench, segment, other.butt, state, 1.0 if force > 0 else -1.0)
            own = _pierced(bench, stock, (ply, F), [other.butt], other.butt.ply)
        except UsageError as fault:
            lacking = str(fault)
            continue
        brought = min(Z.value, own.value)
        total += brought
        brings = f"Z', at most the net section of ply {other.butt.ply}"
        steps.append(derived(f"across {other.butt.ply}", brought, "lbf", brings, "", Z, own, source=OWN))
    unbroken = max(0, stock.plies - len(broken))
    formula = f"{unbroken} unbroken plies and what the connections across give"
    capacity = derived("carried", total, "lbf", formula, clause, *steps, source=OWN)
    demand = stated("force", abs(force), "lbf", "statics")
    what = f"{sense}{_name(cut)}"
    if lacking and abs(force) > total:
        alone = f"what is known carries {total:.0f} lbf; " + lacking
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="lbf", reason=alone)
    return set_against(what=what, clause=clause, demand=demand, capacity=capacity, unit="lbf", of=of)


def _pierced(
    bench: Bench, stock: Stock, at: tuple[Derivation, Derivation], butts: Sequence[Butt], number: int
) -> Derivation:
    """What one ply carries where fasteners across a butt go through it, the whole ply where none do."""
    ply, F = at
    removed = [
        removed_by(group_of(bench, across.fasteners, wet_when_made=False), across.fasteners, bench, stock.breadth)
        for butt in butts
        if (across := butt.across) is not None and across.fasteners is not None
        if any(piece.member is not None and piece.ply == number for piece in across.pieces)
    ]
    most = max(removed, key=lambda taken: taken.value, default=NOTHING)
    if not most.value:
        return ply
    area = net_area(stated("A", stock.breadth * stock.depth, "in2", STATICS), {"holes": most})
    return derived(f"ply {number}", F.value * area.value, "lbf", "F' A_net", "NDS-2018 3.1.2", F, area)


def _with_bending(
    bench: Bench, on: tuple[MemberId, Stock, State], cut: int, carried: Check, moment: float
) -> Check:
    """What the section carries along the grain, and the bending of the plies that run through, together.

    `cut` is the number of plies that are cut there.
    """
    name, stock, state = on
    what, clause = carried.what.replace(AT_BUTT, f" with bending{AT_BUTT}"), "NDS-2018 3.9.1"
    plies = max(0, stock.plies - cut)
    demand = stated("M", moment, "in-lbf", "statics")
    if not plies:
        return not_evaluated(
            what=what, clause=clause, of=carried.subject, demand=demand, unit="in-lbf", reason=ALL_CUT
        )
    Fb = bench.value(name, "Fb", state, flat=stock.flat)
    modulus = derived(
        "S", plies * stock.breadth * stock.depth**2 / 6, "in3", f"{plies} b d^2 / 6", "", source=STATICS
    )
    fb = derived("fb", moment / modulus.value, "psi", "M / S", "", demand, modulus, source=STATICS)
    if carried.ratio is None:
        alone = f"{carried.reason}; bending alone takes it to {fb.value / Fb.value:.2f}"
        return carried._replace(what=what, reason=alone)
    axial = derived("axial share", carried.ratio, "", "force / carried", "", carried.derivation, source=OWN)
    total = carried.ratio + fb.value / Fb.value
    ratio = derived("at the butt", total, "", "axial share + fb/Fb*", clause, axial, fb, Fb, source=OWN)
    return interaction(what=what, clause=clause, ratio=ratio, of=carried.subject)


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
    value = _held_by(bench, across, single, group)
    found = [
        _per_unit(hypot(*crossing.force), value(crossing, bench.durations[state.kinds]))
        for crossing in crossings(single, forces, plane_forces(forces))
        if hypot(*crossing.force) > FLOOR
    ]
    hole = None if across.fasteners.hole is None else across.fasteners.hole * INCH[bench.truss.units]
    for i, own in enumerate(forces):
        layer = held(single, i, group)
        if layer.grain is None and sense < 0:
            raise UsageError("plate-compressed", where=f"ply {butt.ply}", what=f"{BUCKLES}.", do=f"{ACROSS}.")
        to_end = towards_end(layer, own)
        faces = 2 if 0 < i < len(single) - 1 else 1
        for local in local_values(bench, layer, group, state, to_end=to_end, faces=faces, hole=hole):
            if local.value is None:
                raise UsageError("value-missing", where=local.what, what="open:", do=f"{local.reason}.")
            found.append(_per_unit(local.force(layer, own), local.value))
    return min(found, key=lambda value: value.value, default=NOTHING)


def _held_by(
    bench: Bench, across: Connection, layers: Sequence[Layer], group: Group
) -> Callable[[Crossing, Figure], Derivation]:
    """What a group across a butt may carry: rings where somebody saw or detected them, else the bolts alone."""
    if group.kind in RINGS and across.evidence in RINGS_SEEN:
        species = [species_of(bench, layer) for layer in layers]
        return lambda at, CD: ring_value(layers, at, group, CD, species).Z

    def bolts(at: Crossing, CD: Figure) -> Derivation:
        Z = dowel_value(layers, at, group, CD).Z
        if group.kind not in RINGS:
            return Z
        return derived("Z' alone", Z.value, "lbf", f"bolts alone: nobody saw the {group.kind}s", "", Z)

    return bolts


def _per_unit(part: float, Z: Derivation) -> Derivation:
    """The ply's force at which what takes this part of it has its value."""
    if abs(part - 1.0) < FLOOR:
        return Z
    return derived("Z' of the ply", Z.value / part, "lbf", f"the least, over its share {part:.3g}", "", Z)


def _direction(bench: Bench, segment: Segment) -> tuple[float, float]:
    first, last = bench.truss.joints[segment.first], bench.truss.joints[segment.last]
    length = hypot(last.x - first.x, last.y - first.y)
    return ((last.x - first.x) / length, (last.y - first.y) / length)
