"""Tension and compression on the net section where fasteners pierce a stick, in every state.

Holes of all connections of a stick at one joint are taken in one section, since the document does not say how
far apart they stand; of one connection those whose places along the grain differ by less than four diameters. A
hole is 1/16 in wider than its bolt where nobody measured it. Inches, lbf.
Source: NDS-2018 3.1.2, 3.8.1, 12.1.3, as marked by the parts; nails and screws below 1/4 in take out no wood.
"""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber.axial import net_compression_check, tension_check
from trussio.timber.eurocode_members import tension_check as european_tension
from trussio.timber.european_checks import NEWTON, EuropeanStock, unfactored
from trussio.timber.fastened import RINGS, ring_name
from trussio.timber.joints import angle_between
from trussio.timber.net_section import connector_area, hole_area, net_area, rows_in_one_section
from trussio.timber.review_connections import group_of
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, Stock
from trussio.timber.working import NOTHING, STATICS, derived, not_evaluated, stated
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Check, Derivation
    from trussio.model.connection import Connection, Fasteners
    from trussio.model.truss import JointId, MemberId, Segment
    from trussio.timber.bench import Bench
    from trussio.timber.fastened import Group

SMALL: Final = 0.25
OVERSIZE: Final = 1 / 16
TOGETHER: Final = "holes of {} connections taken in one section"


def net_checks(bench: Bench, segment: Segment) -> list[Check]:
    """Tension and compression at the ends of a segment whose fasteners the document tells."""
    if not bench.truss.connections:
        return []
    stock = bench.stock(segment.member)
    checks: list[Check] = []
    for last, joint in enumerate((segment.first, segment.last)):
        where = f"on the net section at {joint}"
        clause = "NDS-2018 3.1.2" if isinstance(stock, Stock) else "EN 1995-1-1 5.2, 6.1"
        try:
            key = (segment.member, joint)
            if key not in bench.removed:
                bench.removed[key] = removed_at(bench, segment.member, joint, stock)
            removed = bench.removed[key]
            if not removed:
                continue
            gross = stated("A", stock.breadth * stock.depth, "in2" if isinstance(stock, Stock) else "mm2", STATICS)
            area = net_area(gross, removed)
        except UsageError as fault:
            of = Subject(element=segment.id, grade=stock.name)
            checks.append(not_evaluated(what=f"tension {where}", clause=clause, of=of, reason=str(fault)))
            continue
        together = (TOGETHER.format(len(removed)),) if len(removed) > 1 else ()
        if isinstance(stock, Stock):
            checks += _in_states(bench, (segment, last), stock, (area, where, together))
        else:
            checks += _european(bench, (segment, last), stock, (area, where, together))
    return checks


Section = tuple["Derivation", str, tuple[str, ...]]
"""Net area, where it is in words, and what must be said beside it."""


def _in_states(bench: Bench, at: tuple[Segment, int], stock: Stock, net: Section) -> Iterator[Check]:
    """Tension against Ft', compression against Fc*, which knows no buckling (3.6.3)."""
    segment, last = at
    area, where, together = net
    factor = POUND[bench.truss.units] / stock.plies
    remarks = (*stock.remarks, *together)
    for state in bench.states:
        force = bench.forces(state.run, segment.id).axial_ends[last] * factor
        of = Subject(segment.id, state.run, stock.name, remarks)
        if force > FLOOR:
            Ft = bench.value(segment.member, "Ft", state)
            yield tension_check(force=force, net_area=area, Ft=Ft, what=f"tension {where}", of=of)
        elif force < -FLOOR:
            Fc = bench.value(segment.member, "Fc", state)
            yield net_compression_check(
                force=-force, net_area=area, Fc_star=Fc, what=f"compression {where}", of=of
            )


def _european(bench: Bench, at: tuple[Segment, int], stock: EuropeanStock, net: Section) -> Iterator[Check]:
    """Tension on the net section; bolts fill their holes under compression (5.2)."""
    segment, last = at
    area, where, together = net
    factor = NEWTON[bench.truss.units] / stock.plies
    for state in bench.factored_states:
        force = bench.forces(state.run, segment.id).axial_ends[last] * factor
        of = Subject(segment.id, state.run, stock.name, together)
        if force > FLOOR:
            ft0d = bench.european_design_of(segment.member, stock, state).ft0d
            check = european_tension(force=force, net_area=area, ft0d=ft0d, what=f"tension {where}", of=of)
            yield check if state.factored else unfactored(check)


def removed_at(
    bench: Bench, name: MemberId, joint: JointId, stock: Stock | EuropeanStock
) -> dict[str, Derivation]:
    """The wood that each connection takes from one ply of a stick at a joint, by the connection's id."""
    found: dict[str, Derivation] = {}
    for key, connection in bench.truss.connections.items():
        if connection.joint != joint or connection.fasteners is None:
            continue
        places = [i for i, p in enumerate(connection.pieces) if name in (p.member, p.meets)]
        if not places or (name, joint) not in bench.ends:
            continue
        group = group_of(bench, connection.fasteners, wet_when_made=False)
        inside = any(0 < i < len(connection.pieces) - 1 for i in places)
        count = _in_one_section(bench, connection, name, group)
        breadth = stock.breadth if isinstance(stock, Stock) else stock.breadth / MM_PER_INCH
        taken = removed_by(group, connection.fasteners, bench, breadth, count=count, faces=2 if inside else 1)
        if taken.value and isinstance(stock, Stock):
            found[key] = taken
        elif taken.value:
            found[key] = derived("A_hole", taken.value * MM_PER_INCH**2, "mm2", "in mm2", "", taken)
    return found


def removed_by(
    group: Group, fasteners: Fasteners, bench: Bench, breadth: float, *, count: int | None = None, faces: int = 1
) -> Derivation:
    """The wood (in2) that a group takes from one section of a ply (in); every row where `count` is None."""
    if group.diameter < SMALL:
        return NOTHING
    across = group.rows if count is None else count
    if group.kind in RINGS:
        taken = connector_area(ring_name(group), faces=faces, thickness=breadth)
        return stated("A_rings", across * taken.value, "in2", f"{across} x {taken.value:.3g} in2")
    oversize = OVERSIZE if fasteners.hole is None else fasteners.hole * INCH[bench.truss.units] - group.diameter
    return hole_area(group.diameter, breadth, oversize=oversize, count=across)


def _in_one_section(bench: Bench, connection: Connection, name: MemberId, group: Group) -> int:
    """How many fasteners stand in the worst section across the grain of a stick."""
    joint = connection.joint
    if joint is None or group.number == 1:
        return 1
    if (group.in_row > 1 and group.spacing is None) or (group.rows > 1 and group.gauge is None):
        return group.number
    own = bench.ends[name, joint][0].along
    sticks = [piece.member for piece in connection.pieces if piece.member is not None]
    ending = [stick for stick in sticks if len(bench.ends.get((stick, joint), ())) == 1]
    angle = radians(angle_between(bench.ends[(ending or sticks)[0], joint][0].along, own))
    spacing, gauge = group.spacing or 0.0, group.gauge or 0.0
    places = [(i % group.in_row * spacing, i // group.in_row * gauge) for i in range(group.number)]
    lines: dict[float, list[float]] = {}
    for x, y in places:
        level = round(x * sin(angle) + y * cos(angle), 6)
        lines.setdefault(level, []).append(x * cos(angle) - y * sin(angle))
    reach = 1.0 if group.connector else 4.0
    return rows_in_one_section(list(lines.values()), group.connector or group.diameter, reach)
