"""Every connection of a truss in every state: fasteners, butts, seats on walls, and what stays open.

A joint whose sticks no connection names gives one open check with the force that it must carry. Fasteners that
nobody knows are open with the force that crosses them; rings that are only inferred are read twice, with the bolts
alone and with the rings. Distances of the document become inches here.
Source: NDS-2018 chapters 3, 11 to 13, as marked by the parts; forces from statics.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.model.check import Check, Subject
from trussio.timber.bench import TEMPERATE, Bench
from trussio.timber.connection import connection_check
from trussio.timber.connection_facts import (
    CLAUSE,
    CONNECTIONS,
    ends_of,
    grade_of,
    grades_of,
    open_check,
    remarks_of,
    sheltered,
)
from trussio.timber.crossing import Crossing, crossings
from trussio.timber.european_checks import MM, NEWTON, EuropeanStock
from trussio.timber.european_faces import european_end_butt
from trussio.timber.european_fastened import bolt_checks
from trussio.timber.european_group import Bolts
from trussio.timber.european_layers import european_layers
from trussio.timber.european_seats import european_wall_check
from trussio.timber.fastened import RINGS, Group, Value, lasting_value, ring_value
from trussio.timber.joints import (
    End,
    Layer,
    Vector,
    closers,
    force_on_joint,
    in_inches,
    layer_forces,
    layers_of,
    plane_forces,
)
from trussio.timber.review_faces import heel_checks, seat_checks
from trussio.timber.review_seats import butt_check, wall_check
from trussio.timber.review_wood import Around, twins, wood_checks
from trussio.timber.segment_checks import FLOOR
from trussio.timber.stock import INCH, POUND, PSI, Stock
from trussio.timber.turned import end_moment, with_moment
from trussio.timber.working import derived, urgency

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from trussio.model.connection import Connection, Fasteners
    from trussio.model.truss import JointId, MemberId, Truss
    from trussio.timber.bench import State

RINGS_SEEN: Final = ("joint opened", "detected")
"""Evidence by which rings and shear plates count: in a closed joint nobody sees them."""
UNKNOWN: Final = "nobody knows what fastens this joint: open it, or detect the metal, and enter the fasteners"


def connection_checks(bench: Bench) -> list[Check]:
    """Every check of every connection, in document order."""
    return [check for name in bench.truss.connections for check in connection_review(bench, name)]


def joined(truss: Truss) -> set[tuple[MemberId, JointId]]:
    """The sticks, with the joint, that some connection says how they are fastened, or that nobody knows it."""
    found: set[tuple[MemberId, JointId]] = set()
    for one in truss.connections.values():
        if one.joint is None or (
            one.wall is not None and not (one.fasteners or one.butt or one.seat or one.notch)
        ):
            continue  # a seat on a wall fastens no stick to another
        for piece in one.pieces:
            found |= {(name, one.joint) for name in (piece.member, piece.meets) if name is not None}
    return found


def connection_review(bench: Bench, name: str) -> list[Check]:
    """Every check of one connection in every state of the bench."""
    connection = bench.truss.connections[name]
    checks: list[Check] = []
    if connection.joint is None:
        return checks
    fastened = any(part is not None for part in (connection.fasteners, connection.butt, connection.wall))
    detailed = connection.seat is not None or connection.notch is not None
    if connection.fasteners is not None or (not fastened and not detailed):
        for side in _sides(connection):
            checks += _fastened(bench, name, side, connection.joint)
    if connection.butt is not None or connection.wall is not None:
        checks += _seated(bench, name, connection, connection.joint)
    if detailed:
        checks += _faced(bench, name, connection, connection.joint)
    return checks


def _faced(bench: Bench, name: str, connection: Connection, joint: JointId) -> list[Check]:
    """The seat on a face and the notched heel of a connection."""
    checks: list[Check] = []
    try:
        ends = ends_of(bench, connection, joint)
        grade = ", ".join(dict.fromkeys(grade_of(bench, stick) for stick in ends))
        european = any(isinstance(bench.stock(stick), EuropeanStock) for stick in ends if _is_wood(bench, stick))
        remarks = sheltered(bench, connection) if european else remarks_of(bench, connection)
        for state in bench.states:
            of = Subject(f"{CONNECTIONS}{name}", state.run, grade, remarks)
            if connection.seat is not None:
                checks += seat_checks(bench, connection, connection.seat, ends, (state, of))
            if connection.notch is not None:
                checks += heel_checks(bench, connection, connection.notch, ends, (state, of))
    except UsageError as fault:
        return [open_check(bench, name, "seat or notch", str(fault))]
    return checks


def _is_wood(bench: Bench, name: MemberId) -> bool:
    """Whether a stick is no rod of steel."""
    material = bench.truss.material_of(name)
    return material is None or material.kind != "steel"


def _sides(connection: Connection) -> list[Connection]:
    """The connection as it holds the sticks named, and where they meet others as it holds those."""
    met = connection._replace(
        pieces=tuple(
            piece if piece.meets is None else piece._replace(member=piece.meets) for piece in connection.pieces
        )
    )
    return [connection] if met == connection else [connection, met]


def _fastened(bench: Bench, name: str, connection: Connection, joint: JointId) -> list[Check]:
    fasteners = connection.fasteners
    if fasteners is None:
        return [open_check(bench, name, "fasteners", UNKNOWN)]
    try:
        ends = ends_of(bench, connection, joint)
        if any(isinstance(bench.stock(stick), EuropeanStock) for stick in ends):
            return _european(bench, name, connection, ends)
        layers = tuple(in_inches(layer, INCH[bench.truss.units]) for layer in layers_of(bench, connection, ends))
        group = group_of(bench, fasteners, wet_when_made=bool(connection.wet_when_made))
        if len(layers) == 1:
            return [open_check(bench, name, "fasteners", "one piece alone holds nothing: name the others")]
        hole = None if fasteners.hole is None else fasteners.hole * INCH[bench.truss.units]
        alone = sum(one.joint == joint for one in bench.truss.connections.values()) == 1
        around = Around(
            key=f"{name}:{','.join(ends)}",
            joint=joint,
            layers=layers,
            ends=ends,
            group=group,
            hole=hole,
            alone=alone,
            closings=closers(layers, connection.into),
            twins=twins(layers, group),
        )
        of = Subject(f"{CONNECTIONS}{name}", None, grades_of(bench, ends), remarks_of(bench, connection))
        readings = _readings(bench, around, connection)
        return [check for state in bench.states for check in _in_state(bench, around, readings, state, of)]
    except UsageError as fault:
        return [open_check(bench, name, "fasteners", str(fault))]


def _european(
    bench: Bench, name: str, connection: Connection, ends: Mapping[MemberId, Sequence[End]]
) -> list[Check]:
    """Bolts between sticks of European strength classes. Raises UsageError that names what is missing."""
    fasteners = connection.fasteners
    layers = european_layers(bench, connection, ends)
    if fasteners is None or len(layers) == 1:
        return [open_check(bench, name, "fasteners", "one piece alone holds nothing: name the others")]
    units, closings = bench.truss.units, closers(layers, connection.into)
    newton = NEWTON[units] / POUND[units]
    checks = []
    for state in bench.factored_states:
        brought = {
            stick: (x * newton, y * newton)
            for stick, found in ends.items()
            for x, y in (force_on_joint(bench, state.run, found),)
        }
        of = Subject(f"{CONNECTIONS}{name}", state.run, grades_of(bench, ends), sheltered(bench, connection))
        scale = (MM[units], NEWTON[units] / MM[units] ** 2)
        known = connection.evidence in ("joint opened", "detected")
        at = Bolts(fasteners, layers, brought, closings, scale, known=known)
        checks += bolt_checks(bench, at, state, of)
    return checks


def group_of(bench: Bench, one: Fasteners, *, wet_when_made: bool) -> Group:
    """The fasteners of the document in inches and psi."""
    inch, psi = INCH[bench.truss.units], PSI[bench.truss.units]

    def length(value: float | None) -> float | None:
        return None if value is None else value * inch

    given = bench.given
    return Group(
        kind=one.kind,
        diameter=round(one.diameter * inch, 9),
        number=one.count,
        rows=one.rows or 1,
        spacing=length(one.spacing),
        gauge=length(one.gauge),
        connector=length(one.connector),
        length=length(one.length),
        gap=(one.gap or 0.0) * inch,
        threads_bear=bool(one.threads_bear),
        separate_plates=bool(one.separate_plates),
        Fyb=None if one.Fyb is None else one.Fyb * psi,
        wet_when_made=wet_when_made,
        wet=bool(given.wet),
        temperature=TEMPERATE if given.temperature is None else given.temperature,
    )


def _in_state(
    bench: Bench, around: Around, readings: Sequence[Reading], state: State, whole: Subject
) -> list[Check]:
    """Fasteners and the pieces round them under one run: the worst of the ways in which the force may close."""
    layers, group, ends = around.layers, around.group, around.ends
    brought = {stick: force_on_joint(bench, state.run, found) for stick, found in ends.items()}
    of = Subject(whole.element, state.run, whole.grade, whole.remarks)
    moment = end_moment(bench, state.run, ends)
    ways = [layer_forces(layers, brought, closing) for closing in around.closings]
    checks = []
    for what, clause, value in readings:
        worst: Check | None = None
        for forces in ways:
            for straight in crossings(layers, forces, plane_forces(forces)):
                crossing, words = with_moment(layers, straight, group, moment)
                told = of._replace(remarks=(*of.remarks, words)) if words else of
                check = _cross(bench, crossing, (around.key, what, state), value, (clause, told))
                if worst is None or (check.ratio or 0.0) > (worst.ratio or 0.0):
                    worst = check
        if worst is not None:
            checks.append(worst)
    wood: dict[str, Check] = {}
    for forces in ways:
        for check in wood_checks(bench, around, forces, state, of):
            known = wood.get(check.what)
            if known is None or urgency(check) < urgency(known):
                wood[check.what] = check
    return [*checks, *wood.values()]


Ways = tuple["Vector", ...]
Reading = tuple[str, str, "Callable[[Crossing, Ways, State], Value]"]


def _readings(bench: Bench, around: Around, connection: Connection) -> list[Reading]:
    """What may hold here: the fasteners, or for rings that nobody saw the bolts alone and the rings."""
    layers, group = around.layers, around.group

    def bolts(at: Crossing, ways: Ways, state: State) -> Value:
        key = (around.key, at.main, at.shares, ways)
        if key not in bench.lasting:
            bench.lasting[key] = lasting_value(layers, at, group, bench.kept)
        return bench.lasting[key].under(bench.durations[state.kinds], fasteners=group.number)

    if connection.fasteners is None or connection.fasteners.kind not in RINGS:
        return [("fasteners", CLAUSE, bolts)]
    species = [species_of(bench, layer) for layer in layers]

    def rings(at: Crossing, _: Ways, state: State) -> Value:
        return ring_value(layers, at, group, bench.durations[state.kinds], species)

    kind = connection.fasteners.kind
    if connection.evidence in RINGS_SEEN:
        return [(f"{kind}s", "NDS-2018 13.2", rings)]
    return [
        (f"bolts alone, no {kind}s", CLAUSE, bolts),
        (f"{kind}s, inferred and not seen", "NDS-2018 13.2", rings),
    ]


def species_of(bench: Bench, layer: Layer) -> str:
    """The species of a layer of wood, as its stock or its material has it."""
    if layer.member is not None:
        stock = bench.stock(layer.member)
        return stock.values.species if isinstance(stock, Stock) else ""
    material = layer.piece.material
    return "" if material is None else bench.truss.materials[material].species or ""


def _cross(
    bench: Bench,
    crossing: Crossing,
    key: tuple[str, str, State],
    value: Callable[[Crossing, Ways, State], Value],
    against: tuple[str, Subject],
) -> Check:
    """One force against what may carry it, the latter kept for runs of the same duration and direction."""
    name, what, state = key
    size = hypot(*crossing.force)
    ways = _ways(crossing)
    known = (name, what, bench.durations[state.kinds].value, crossing.main, crossing.shares, ways)
    if known not in bench.groups:
        bench.groups[known] = value(crossing, ways, state)
    found = bench.groups[known]
    clause, of = against
    force = derived("force", size, "lbf", "across both planes" if crossing.double else "across the plane", "")
    return connection_check(
        force=force, capacity=found.Z, geometries=found.geometries, clause=clause, what=what, of=of
    )


def _ways(at: Crossing) -> Ways:
    """The directions by which a crossing is told from others; where the outer layers carry alike it is one."""
    if at.double and at.own[0] == at.own[2]:  # in balance with the middle one, so that all follow its direction
        return (_way(at.force),)
    return tuple(_way(force) for force in (at.force, *at.own))


def _way(force: Vector) -> Vector:
    """The direction of a force, none where it is too small to have one."""
    size = hypot(*force)
    return (0.0, 0.0) if size <= FLOOR else (round(force[0] / size, 7), round(force[1] / size, 7))


def _seated(bench: Bench, name: str, connection: Connection, joint: JointId) -> list[Check]:
    """The butt and the seat on the wall of the first stick named."""
    stick = next((piece.member for piece in connection.pieces if piece.member is not None), None)
    what = "end grain bearing" if connection.wall is None else "bearing at the wall"
    if stick is None:
        return [open_check(bench, name, what, "no stick is among the pieces: name it")]
    checks: list[Check | None] = []
    try:
        end, stock = ends_of(bench, connection, joint)[stick][0], bench.stock(stick)
        if isinstance(stock, EuropeanStock):
            return _by_european(bench, name, connection, (joint, end))
        for state in bench.states:
            of = Subject(f"{CONNECTIONS}{name}", state.run, stock.name, remarks_of(bench, connection))
            if connection.butt is not None:
                alone = connection.fasteners is None
                checks.append(butt_check(bench, state, connection.butt, end, of, alone=alone))
            if connection.wall is not None:
                checks.append(wall_check(bench, state, connection.wall, (joint, end), of))
    except UsageError as fault:
        return [open_check(bench, name, what, str(fault))]
    return [check for check in checks if check is not None]


def _by_european(bench: Bench, name: str, connection: Connection, at: tuple[JointId, End]) -> list[Check]:
    """The butt and the seat on the wall of a stick of a European strength class."""
    _, end = at
    alone = connection.fasteners is None
    grade, checks = bench.stock(end.segment.member).name, []
    for state in bench.factored_states:
        of = Subject(f"{CONNECTIONS}{name}", state.run, grade, sheltered(bench, connection))
        if connection.butt is not None:
            checks.append(european_end_butt(bench, state, connection.butt, end, of, alone=alone))
        if connection.wall is not None:
            checks.append(european_wall_check(bench, state, connection.wall, at, of))
    return [check for check in checks if check is not None]
