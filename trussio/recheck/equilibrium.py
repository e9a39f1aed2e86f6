"""Which forces are unknown and which equations hold between them: equilibrium, read from the document.

Unknown are the axial force of each segment (along its chord, averaged over it), the moment at each of its ends
that is no hinge, and the reaction of each spring. Equations are the two of each joint and one for each turn that
segment ends share: `forces @ unknowns + loads + reactions = 0`. A column holds what one unknown does to joints.

A segment in tension pulls its first joint along its chord; its end moments M1 and M2 (positive with the local -y
face in tension) turn the first joint by +M1 and the last by -M2, and pass the shear (M2 - M1) / chord across.

Turning, after the document: a fixed end, and the stick that runs through if it is the only one, turn with the
joint; where two or more run through, each turns for itself; any other end is a hinge. In `pinned` all are hinges,
and a joint on a line, with segments along that line only, is a *station*: it stays on the straight line
between the nearest joints that are none, and loads across that line go to these by the lever.
"""

from __future__ import annotations

from math import hypot
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.model.truss import MemberId
from trussio.recheck.holding import held_directions, stations_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.model.truss import Direction, Idealisation, JointId, Truss
    from trussio.recheck.axes import Axes
    from trussio.recheck.holding import Station

    Array = NDArray[np.float64]

    Turn = tuple[JointId, MemberId | None]
    Place = tuple[int, int]
    """A segment, and 0 or 1 for its first or last end."""

PARALLEL: Final = 1e-9
"""Sine of the angle up to which two held directions are one."""


class Equilibrium(NamedTuple):
    """The equations of a truss.

    `forces` has a row per equation (x and y of each joint, then `turns`) and a column per unknown (axial forces of
    segments, then `moments` as (segment, end), then `springs` as (row, stiffness)). `free` gives all
    movements from those that nothing holds: equations without reactions are `free.T @ forces`. `carry.T` hands on
    what stations do not bear themselves. `turn_at` gives the equation of the turn that an end of a segment shares.
    """

    forces: Array
    turns: Mapping[Turn, int]
    moments: Sequence[tuple[int, int]]
    springs: Sequence[tuple[int, float]]
    carry: Array
    free: Array
    levers: Sequence[Lever] = ()
    turn_at: Mapping[Place, int] = MappingProxyType({})


class Lever(NamedTuple):
    """A rigid arm (x, y) from a joint to the end (0 or 1) of a segment; forces there turn it by `row`."""

    segment: int
    end: int
    joint: int
    row: int
    x: float
    y: float


def equations(
    truss: Truss,
    axes: Axes,
    idealisation: Idealisation,
    *,
    turned: Sequence[tuple[int, int]] = (),
    glued: Sequence[tuple[MemberId, MemberId]] = (),
) -> Equilibrium:
    """The unknowns and equations of a truss under one idealisation.

    `turned` are hinged ends (segment, end) that get a turn of their own, since something turns them there; `glued`
    are sticks that turn with another wherever both meet.
    Raises CannotAnalyseError `offset-on-hinge` where a stick ends beside a joint that has no rotation.
    """
    count, segments = len(truss.joints), len(truss.segments)
    turning = idealisation == "continuous"
    turns = _turns(truss) if turning else {}
    shared = {
        (index, end): turn
        for index, segment in enumerate(truss.segments)
        for end, joint in enumerate((segment.first, segment.last))
        if turning and (turn := _turns_with(truss, turns, segment.member, joint)) is not None
    }
    if glued or turned:
        shared = _more_shared(truss, shared, turned, glued)
        turns = _numbered(turns, shared, 2 * count)
    moments = [
        (index, end, turns[shared[index, end]])
        for index in range(segments)
        for end in (0, 1)
        if (index, end) in shared
    ]
    springs = [
        (row, stiffness)
        for joint, support in truss.supports.items()
        for name, stiffness in support.springs.items()
        if (row := row_of(truss, turns, joint, name)) is not None
    ]
    forces = np.zeros((2 * count + len(turns), segments + len(moments) + len(springs)))
    first, last = axes.ends.T
    axial = np.arange(segments)
    for axis in (0, 1):
        forces[2 * first + axis, axial] = axes.along[:, axis]
        forces[2 * last + axis, axial] = -axes.along[:, axis]
    for column, (segment, end, row) in enumerate(moments, start=segments):
        side = 1.0 if end == 0 else -1.0
        along_x, along_y = axes.along[segment] / axes.chord[segment]
        for joint, sign in ((first[segment], side), (last[segment], -side)):
            forces[2 * joint, column] -= sign * along_y
            forces[2 * joint + 1, column] += sign * along_x
        forces[row, column] = side
    for column, (row, _) in enumerate(springs, start=segments + len(moments)):
        forces[row, column] = 1.0
    levers = [] if axes.arms is None else _levers(truss, axes.arms, turns)
    for lever in levers:
        of = [lever.segment, *(c for c, m in enumerate(moments, start=segments) if m[0] == lever.segment)]
        x, y = forces[2 * lever.joint, of], forces[2 * lever.joint + 1, of]
        forces[lever.row, of] += lever.x * y - lever.y * x
    stations = {} if turning else stations_of(truss)
    carry = _carry(truss, turns, stations)
    return Equilibrium(
        forces=forces,
        turns=turns,
        moments=[(segment, end) for segment, end, _ in moments],
        springs=springs,
        carry=carry,
        free=carry @ _free(truss, turns, stations),
        levers=levers,
        turn_at={(segment, end): row for segment, end, row in moments},
    )


def _levers(truss: Truss, arms: Array, turns: Mapping[Turn, int]) -> list[Lever]:
    number = {joint: index for index, joint in enumerate(truss.joints)}
    levers = []
    for index, end in np.argwhere(arms.any(axis=2)).tolist():
        segment = truss.segments[index]
        joint = segment.last if end else segment.first
        if (joint, None) not in turns:
            raise CannotAnalyseError(
                "offset-on-hinge",
                where=f"/members/{segment.member}/offsets",
                what=f"{segment.member} ends beside {joint}, where nothing shares the joint's rotation.",
                do="Say which stick runs through the joint or is fixed there; the offset bends that one.",
            )
        x, y = arms[index, end].tolist()
        levers.append(Lever(index, end, number[joint], turns[joint, None], x, y))
    return levers


def row_of(truss: Truss, turns: Mapping[Turn, int], joint: JointId, name: Direction) -> int | None:
    """The equation of a direction at a joint; None for a turn where nothing shares the joint's rotation."""
    if name == "turn":
        return turns.get((joint, None))
    return 2 * list(truss.joints).index(joint) + (name == "y")


def _turns(truss: Truss) -> dict[Turn, int]:
    """Every turn that segment ends share, with the number of its equation; (joint, None) is the joint's own."""
    passing: dict[JointId, list[MemberId]] = {joint: [] for joint in truss.joints}
    rigid: set[JointId] = set()
    for name, member in truss.members.items():
        for joint in member.through[1:-1]:
            passing[joint].append(name)
        rigid |= {member.through[-1 if end == "last" else 0] for end in member.fixed}
    turns: list[Turn] = []
    for joint, sticks in passing.items():
        if len(sticks) == 1 or joint in rigid:
            turns.append((joint, None))
        if len(sticks) > 1:
            turns += [(joint, stick) for stick in sticks]
    return {turn: 2 * len(passing) + index for index, turn in enumerate(turns)}


def _more_shared(
    truss: Truss,
    shared: Mapping[Place, Turn],
    turned: Sequence[Place],
    glued: Sequence[tuple[MemberId, MemberId]],
) -> dict[Place, Turn]:
    """The turns of ends, with those of their own and those of sticks that are glued to others."""
    made = dict(shared)
    for name, other in glued:
        for joint in truss.members[name].through:
            places = _ends_at(truss, other, joint)
            turn = next((made[place] for place in places if place in made), (joint, other))
            made.update(dict.fromkeys((*places, *_ends_at(truss, name, joint)), turn))
    for index, end in turned:
        joint = truss.segments[index].last if end else truss.segments[index].first
        made[index, end] = joint, MemberId(f"{index}.{end}")
    return made


def _ends_at(truss: Truss, stick: MemberId, joint: JointId) -> list[Place]:
    """The ends of segments of a stick, or of its parts as found, at a joint."""
    return [
        (index, end)
        for index, segment in enumerate(truss.segments)
        for end, at in enumerate((segment.first, segment.last))
        if at == joint and stick in {segment.member, truss.members[segment.member].part_of}
    ]


def _numbered(turns: Mapping[Turn, int], shared: Mapping[Place, Turn], first: int) -> dict[Turn, int]:
    """The turns that some end shares, with the number of their equation."""
    used = {*shared.values()}
    kept = [turn for turn in turns if turn in used]
    return {turn: first + index for index, turn in enumerate(dict.fromkeys((*kept, *shared.values())))}


def _turns_with(truss: Truss, turns: Mapping[Turn, int], name: MemberId, joint: JointId) -> Turn | None:
    """The turn that a segment of this stick shares at this joint, None for a hinge."""
    member = truss.members[name]
    if joint == member.through[0]:
        return (joint, None) if "first" in member.fixed else None
    if joint == member.through[-1]:
        return (joint, None) if "last" in member.fixed else None
    return (joint, name) if (joint, name) in turns else (joint, None)


def _carry(truss: Truss, turns: Mapping[Turn, int], stations: Mapping[JointId, Station]) -> Array:
    """The movement of every joint when stations stay on their lines; its transpose hands their loads on."""
    number = {joint: index for index, joint in enumerate(truss.joints)}
    carry = np.eye(2 * len(number) + len(turns))
    for joint, (before, after, share) in stations.items():
        along, across = (np.array(unit) for unit in _line(truss, before, after))
        rows = slice(2 * number[joint], 2 * number[joint] + 2)
        carry[rows, rows] = np.outer(along, along)
        for end, part in ((before, 1 - share), (after, share)):
            carry[rows, 2 * number[end] : 2 * number[end] + 2] += part * np.outer(across, across)
    return carry


def _free(truss: Truss, turns: Mapping[Turn, int], stations: Mapping[JointId, Station]) -> Array:
    """A column for each direction that neither a support nor a line takes away."""
    columns: list[tuple[int, tuple[float, ...]]] = []
    for index, joint in enumerate(truss.joints):
        columns += [(2 * index, direction) for direction in _free_directions(truss, joint, stations.get(joint))]
    for (joint, stick), row in turns.items():
        support = truss.supports.get(joint)
        if support is None or stick is not None or "turn" not in support.holds:
            columns.append((row, (1.0,)))
    free = np.zeros((2 * len(truss.joints) + len(turns), len(columns)))
    for column, (row, direction) in enumerate(columns):
        free[row : row + len(direction), column] = direction
    return free


def _free_directions(truss: Truss, joint: JointId, station: Station | None) -> list[tuple[float, float]]:
    if station is not None:
        return [_line(truss, station[0], station[1])[0]]
    held = held_directions(truss, joint)
    if not held:
        return [(1.0, 0.0), (0.0, 1.0)]
    _, x, y = held[0]
    if any(abs(x * other_y - y * other_x) > PARALLEL for _, other_x, other_y in held[1:]):
        return []
    return [(-y, x)]


def _line(truss: Truss, before: JointId, after: JointId) -> tuple[tuple[float, float], tuple[float, float]]:
    """Unit vectors along and across the line between two joints."""
    start, end = truss.joints[before], truss.joints[after]
    dx, dy = end.x - start.x, end.y - start.y
    size = hypot(dx, dy)
    return (dx / size, dy / size), (-dy / size, dx / size)
