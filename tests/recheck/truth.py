"""The truth to sixty figures: a stiffness method in decimals for straight sticks, without any code of trussio.

It reads nothing but records: ends beside joints, connections that slip and turn, stations of a pinned truss, axes
held and sprung; loads at joints and, alike all over, down along whole sticks. Moments are positive with the local
-y face in tension. What is `slack` carries no axial force.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal, localcontext
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from trussio.model.loading import JointLoad, LineLoad

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from trussio.model.loading import RunId
    from trussio.model.truss import End, JointId, Member, MemberId, Truss

    Row = tuple[str, str]
    Line = dict[Row, Decimal]
    Ends = tuple[JointId, JointId]
    Pair = tuple[Decimal, Decimal]

FIGURES = 60
NOUGHT, ONE = Decimal(0), Decimal(1)


class Piece(NamedTuple):
    """A segment: what movements deform it by, its stiffness, and what loads deform it by.

    All for the forces that act on it, of 0 its axial force, 1 and 2 its end moments; `longer` for the axial force
    even where that does not act.
    """

    name: str
    acting: Sequence[int]
    longer: Line
    deforms: list[Line]
    stiff: list[list[Decimal]]
    start: list[Decimal]


class Truth(NamedTuple):
    """Axial forces by segment, and by how much every chord grows longer."""

    axial: dict[str, Decimal]
    longer: dict[str, Decimal]


def truth(
    truss: Truss,
    run: RunId,
    *,
    bends: bool,
    stations: Mapping[JointId, Ends] | None = None,
    slack: Collection[str] = (),
) -> Truth:
    """The forces of a case; `stations` by joint: the ends of its line. `slack` carry no axial force."""
    with localcontext() as context:
        context.prec = FIGURES
        pushed: Line = defaultdict(Decimal)
        for load in truss.loads.cases[run].loads:
            if isinstance(load, JointLoad):
                for axis, value in (("x", load.fx), ("y", load.fy), ("turn", load.moment)):
                    pushed[load.joint, axis] += Decimal(value)
        pieces = [
            piece for name in truss.members for piece in _pieces(truss, run, name, pushed, slack, bends=bends)
        ]
        u = _moved(truss, pieces, _ways(truss, pieces, stations or {}), pushed)
        return Truth(
            {piece.name: _axial(piece, u) for piece in pieces},
            {piece.name: _along(piece.longer, u) for piece in pieces},
        )


def _moved(truss: Truss, pieces: Sequence[Piece], ways: Sequence[Line], pushed: Line) -> Line:
    """The movements that bring all into balance."""
    system = [[NOUGHT] * len(ways) + [_along(way, pushed)] for way in ways]
    for joint, support in truss.supports.items():
        for axis, by in support.springs.items():
            parts = [way.get((joint, axis), NOUGHT) for way in ways]
            _add(system, parts, parts, Decimal(by))
    for piece in pieces:
        moved = [[_along(line, way) for way in ways] for line in piece.deforms]
        for one, row in zip(moved, piece.stiff, strict=True):
            for other, stiff, start in zip(moved, row, piece.start, strict=True):
                _add(system, one, [*other, start], stiff)
    u: Line = defaultdict(Decimal)
    for moved_by, way in zip(_solved(system), ways, strict=True):
        for place, part in way.items():
            u[place] += moved_by * part
    return u


def _add(system: list[list[Decimal]], rows: Sequence[Decimal], columns: Sequence[Decimal], by: Decimal) -> None:
    for i, row in enumerate(rows):
        for j, column in enumerate(columns) if row else ():
            system[i][j] += row * by * column


def _along(one: Line, other: Line) -> Decimal:
    return sum((part * other[row] for row, part in one.items() if row in other), NOUGHT)


def _axial(piece: Piece, u: Line) -> Decimal:
    if 0 not in piece.acting:
        return NOUGHT
    off = [_along(line, u) - start for line, start in zip(piece.deforms, piece.start, strict=True)]
    return sum((stiff * by for stiff, by in zip(piece.stiff[0], off, strict=True)), NOUGHT)


def _pieces(
    truss: Truss, run: RunId, name: MemberId, pushed: Line, slack: Collection[str], *, bends: bool
) -> list[Piece]:
    """The segments of a stick; what loads along it do to joints is added to `pushed`."""
    member = truss.members[name]
    down = [
        Decimal(load.value if isinstance(load.value, float) else load.value[0])
        for load in truss.loads.cases[run].loads
        if isinstance(load, LineLoad) and load.on.member == name
    ]
    found = []
    for index, joints in enumerate(pairwise(member.through)):
        outer: list[End | None] = [
            "first" if index == 0 else None,
            "last" if index == len(member.through) - 2 else None,
        ]
        arms = [_arm(member, end) if bends else (NOUGHT, NOUGHT) for end in outer]
        turns = [
            _turn(truss, name, joint, end) if bends else None for joint, end in zip(joints, outer, strict=True)
        ]
        segment = f"{name}:{joints[0]}-{joints[1]}"
        acting = [0] * (segment not in slack) + [end for end in (1, 2) if turns[end - 1] is not None]
        x, y = _chord(truss, joints, arms)
        lines = _lines(joints, arms, (x, y), turns)
        # a load along a stick keeps its sum where the axis ends beside joints
        load = sum(down, NOUGHT) * _size(*_chord(truss, joints, [(NOUGHT, NOUGHT)] * 2))
        for joint, (ax, _) in zip(joints, arms, strict=True):
            pushed[joint, "y"] -= load / 2
            pushed[joint, "turn"] -= load / 2 * ax
        soft, start = _softness(truss, name, outer, (x, y), load)
        stiff = _inverse([[soft[i][j] for j in acting] for i in acting])
        found.append(
            Piece(segment, acting, lines[0], [lines[k] for k in acting], stiff, [start[k] for k in acting])
        )
    return found


def _chord(truss: Truss, joints: Sequence[JointId], arms: Sequence[Pair]) -> Pair:
    (ax, ay), (bx, by) = (_at(truss, joint) for joint in joints)
    return bx + arms[1][0] - ax - arms[0][0], by + arms[1][1] - ay - arms[0][1]


def _size(x: Decimal, y: Decimal) -> Decimal:
    return (x * x + y * y).sqrt()


def _lines(
    joints: Sequence[JointId], arms: Sequence[Pair], chord: Pair, turns: Sequence[str | None]
) -> list[Line]:
    """What movements lengthen a chord by, and turn its ends against it by."""
    x, y = chord
    long = _size(x, y)
    longer: Line = defaultdict(Decimal)
    swung: Line = defaultdict(Decimal)
    for joint, (ax, ay), sign in zip(joints, arms, (-1, 1), strict=True):
        for line, way_x, way_y in ((longer, x / long, y / long), (swung, -y / long / long, x / long / long)):
            line[joint, "x"] += sign * way_x
            line[joint, "y"] += sign * way_y
            line[joint, "turn"] += sign * (ax * way_y - ay * way_x)
    ends = [defaultdict(Decimal, swung), defaultdict(Decimal, {row: -part for row, part in swung.items()})]
    for line, turn, sign in zip(ends, turns, (-1, 1), strict=True):
        if turn is not None:
            line[turn, "turn"] += sign
    return [longer, *ends]


def _softness(
    truss: Truss, name: MemberId, outer: Sequence[End | None], chord: Pair, load: Decimal
) -> tuple[list[list[Decimal]], list[Decimal]]:
    """What forces of one deform a segment by, and what a load spread along it does on simple supports."""
    member, section, material = truss.members[name], truss.section_of(name), truss.material_of(name)
    assert section is not None
    assert material is not None
    x, y = chord
    long, modulus = _size(x, y), Decimal(material.E or 0)
    stretch, bend = modulus * Decimal(section.gross_area or 0), modulus * Decimal(section.bending_inertia or 0)
    slip = [_over(member.slip, end) for end in outer]
    give = [_over(member.turning, end) for end in outer]
    soft = [
        [long / stretch + slip[0] + slip[1], NOUGHT, NOUGHT],
        [NOUGHT, long / bend / 3 + give[0], long / bend / 6],
        [NOUGHT, long / bend / 6, long / bend / 3 + give[1]],
    ]
    swings = load * x * long / bend / 24
    return soft, [-load * y / long / 2 * (slip[0] - slip[1]), swings, swings]


def _arm(member: Member, end: End | None) -> Pair:
    x, y = (member.offsets or {}).get(end, (0.0, 0.0)) if end is not None else (0.0, 0.0)
    return Decimal(x), Decimal(y)


def _over(stiffness: Mapping[End, float] | None, end: End | None) -> Decimal:
    """What a connection gives at an end by a unit of force."""
    by = (stiffness or {}).get(end) if end is not None else None
    return NOUGHT if by is None else ONE / Decimal(by)


def _turn(truss: Truss, name: MemberId, joint: JointId, end: End | None) -> str | None:
    passing = [stick for stick, member in truss.members.items() if joint in member.through[1:-1]]
    if end:
        return joint if end in truss.members[name].fixed else None
    return joint if len(passing) == 1 else f"{name}:{joint}"


def _ways(truss: Truss, pieces: Sequence[Piece], stations: Mapping[JointId, Ends]) -> list[Line]:
    """What may move, each as the rows that move with it."""
    ways: dict[Row, Line] = {(joint, axis): {(joint, axis): ONE} for joint in truss.joints for axis in "xy"}
    turns = {
        row
        for piece in pieces
        for line in piece.deforms
        for row, part in line.items()
        if row[1] == "turn" and part
    }
    ways |= {row: {row: ONE} for row in sorted(turns)}
    for joint, ends in stations.items():
        here, start, end = (_at(truss, name) for name in (joint, *ends))
        x, y = end[0] - start[0], end[1] - start[1]
        square = x * x + y * y
        share = ((here[0] - start[0]) * x + (here[1] - start[1]) * y) / square
        for leader, part in zip(ends, (ONE - share, share), strict=True):
            for axis, across in (("x", -y), ("y", x)):
                way = ways[leader, axis]
                for row, by in (((joint, "x"), -y), ((joint, "y"), x)):
                    way[row] = way.get(row, NOUGHT) + part * across * by / square
        del ways[joint, "y"]
        ways[joint, "x"] = {(joint, "x"): x, (joint, "y"): y}
    held = {(joint, hold) for joint, support in truss.supports.items() for hold in support.holds}
    return [way for row, way in ways.items() if row not in held]


def _at(truss: Truss, name: JointId) -> Pair:
    joint = truss.joints[name]
    return Decimal(joint.x), Decimal(joint.y)


def _inverse(rows: list[list[Decimal]]) -> list[list[Decimal]]:
    columns = [_solved([[*row, Decimal(i == k)] for i, row in enumerate(rows)]) for k in range(len(rows))]
    return [list(row) for row in zip(*columns, strict=True)]


def _solved(system: list[list[Decimal]]) -> list[Decimal]:
    """The answer of rows with their right side last, by elimination with the largest pivot."""
    count = len(system)
    rows = [list(row) for row in system]
    for step in range(count):
        best = max(range(step, count), key=lambda k: abs(rows[k][step]))
        rows[step], rows[best] = rows[best], rows[step]
        for k in range(count):
            if k != step and rows[k][step]:
                part = rows[k][step] / rows[step][step]
                rows[k] = [a - part * b for a, b in zip(rows[k], rows[step], strict=True)]
    return [row[-1] / row[k] for k, row in enumerate(rows)]
