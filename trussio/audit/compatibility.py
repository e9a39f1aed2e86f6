"""What every force unknown feels of every small movement: the compatibility matrix.

Terms: a *compatibility row* says how one force unknown lengthens or turns when joints move: the axial force of a
segment (its joint-to-joint line grows), the moment of an end that is no hinge (it turns against that line),
a hold (its joint moves in the held direction). The transpose is the equilibrium matrix. Columns are movements of
joints, then turns; a turn is multiplied by the longest segment that shares it, and a moment row by the
length of its segment, so that turns and movements are of one size.

A curved segment counts as its joint-to-joint line with end moments: small movements know no more of it. In
`pinned` the stations are condensed out: each keeps a movement along its line and none of its own across it.
Stiffness plays no part here, so a spring is a hold. A stick that ends beside its joint is taken from its end
(`arms`); `along` still tells the way between joints.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.audit.arms import arms_of, shifted, swung

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.model.idealised import Idealised
    from trussio.model.truss import JointId, Support, Truss

    Array = NDArray[np.float64]
    Index = NDArray[np.intp]

UNIT: Final = {"x": (1.0, 0.0), "y": (0.0, 1.0), "turn": (0.0, 0.0)}


@dataclass(frozen=True, kw_only=True)
class Compatibility:
    """The matrix, and what its rows and columns are.

    `matrix` has the rows segments, moments, holds. `movement` gives the movement of each joint (x, y after each
    other, document order) for each column. `xy` are the joints, `ends` the numbers of the first and last joint of
    each segment, `along` the unit vectors from first to last. `moments` gives segment and end (0 or 1) of each
    moment row, `holds` the joint and the name of each hold; `stations` counts those condensed out.
    """

    matrix: Array
    movement: Array
    xy: Array
    ends: Index
    along: Array
    moments: tuple[tuple[int, int], ...]
    holds: tuple[tuple[JointId, str], ...]
    stations: int


def compatibility(truss: Truss, idealised: Idealised) -> Compatibility:
    """The compatibility matrix of a truss under one idealisation."""
    number = {name: index for index, name in enumerate(truss.joints)}
    xy = np.array([(joint.x, joint.y) for joint in truss.joints.values()], dtype=float).reshape(-1, 2)
    ends = np.array([(number[s.first], number[s.last]) for s in truss.segments], dtype=np.intp).reshape(-1, 2)
    across = xy[ends[:, 1]] - xy[ends[:, 0]]
    lengths = np.hypot(across[:, 0], across[:, 1])
    along = across / lengths[:, None]
    movement = np.eye(2 * len(number))
    if idealised.stations:
        along = _along_lines(idealised, number, xy, ends, along)
        movement = _with_stations(idealised, number, xy)
    moments = tuple(
        (segment, end)
        for segment, pair in enumerate(idealised.ends)
        for end, turn in enumerate(pair)
        if turn is not None
    )
    holds, arms = _holds(truss, idealised), arms_of(truss, idealised)
    bent = np.array([segment for segment, _ in moments], dtype=np.intp)
    line = along
    if arms:
        across = shifted(across, arms)
        lengths = np.hypot(across[:, 0], across[:, 1])
        line = across / lengths[:, None]
    normal = np.column_stack((-line[bent, 1], line[bent, 0]))
    moved = np.vstack(
        (
            _differences(ends, line, len(number)),
            -_differences(ends[bent], normal, len(number)),
            _held(holds, number),
        )
    )
    turned = np.vstack(
        (
            np.zeros((len(ends), len(idealised.rotations))),
            _turned(idealised, moments, lengths),
            _held_turns(holds, idealised),
        )
    )
    if arms:
        reach = reach_of(idealised, moments, lengths)
        count = len(ends)
        turned[:count] += swung(range(count), line, arms, reach)
        turned[count : count + len(bent)] -= swung(bent.tolist(), normal, arms, reach)
    return Compatibility(
        matrix=np.hstack((moved @ movement, turned)),
        movement=np.hstack((movement, np.zeros((len(movement), len(idealised.rotations))))),
        xy=xy,
        ends=ends,
        along=along,
        moments=moments,
        holds=tuple((joint, name) for joint, name, _, _ in holds),
        stations=len(idealised.stations),
    )


def _differences(ends: Index, direction: Array, joints: int) -> Array:
    """Rows that give the movement of the last joint against the first, along a direction."""
    rows = np.zeros((len(ends), 2 * joints))
    index = np.arange(len(ends))
    for axis in (0, 1):
        rows[index, 2 * ends[:, 0] + axis] = -direction[:, axis]
        rows[index, 2 * ends[:, 1] + axis] = direction[:, axis]
    return rows


def _turned(idealised: Idealised, moments: Sequence[tuple[int, int]], lengths: Array) -> Array:
    """What the moment rows feel of turns."""
    turn = np.array([idealised.ends[segment][end] for segment, end in moments], dtype=np.intp)
    arm = lengths[np.array([segment for segment, _ in moments], dtype=np.intp)]
    reach = reach_of(idealised, moments, lengths)
    rows = np.zeros((len(moments), len(reach)))
    rows[np.arange(len(moments)), turn] = arm / reach[turn]
    return rows


def reach_of(idealised: Idealised, moments: Sequence[tuple[int, int]], lengths: Array) -> Array:
    """The longest segment that shares each turn."""
    turn = np.array([idealised.ends[segment][end] for segment, end in moments], dtype=np.intp)
    reach = np.zeros(len(idealised.rotations))
    np.maximum.at(reach, turn, lengths[np.array([segment for segment, _ in moments], dtype=np.intp)])
    return reach


def _held(holds: Sequence[tuple[JointId, str, float, float]], number: Mapping[JointId, int]) -> Array:
    """What the holds feel of movements."""
    rows = np.zeros((len(holds), 2 * len(number)))
    for row, (joint, _, x, y) in zip(rows, holds, strict=True):
        row[2 * number[joint] : 2 * number[joint] + 2] = x, y
    return rows


def _held_turns(holds: Sequence[tuple[JointId, str, float, float]], idealised: Idealised) -> Array:
    """What the holds feel of turns."""
    rows = np.zeros((len(holds), len(idealised.rotations)))
    for row, (joint, name, _, _) in zip(rows, holds, strict=True):
        if name == "turn":
            row[idealised.shared[joint]] = 1.0
    return rows


def _holds(truss: Truss, idealised: Idealised) -> list[tuple[JointId, str, float, float]]:
    """Every hold that counts: joint, name and direction; (0, 0) for a turn."""
    return [
        (joint, name, x, y)
        for joint, support in truss.supports.items()
        for name, x, y in _directions(support)
        if name != "turn" or joint in idealised.shared
    ]


def _directions(support: Support) -> list[tuple[str, float, float]]:
    directions: list[tuple[str, float, float]] = []
    for hold in support.holds:
        if isinstance(hold, str):
            directions.append((hold, *UNIT[hold]))
        else:
            size = hypot(*hold)
            directions.append((f"({hold[0]:g}, {hold[1]:g})", hold[0] / size, hold[1] / size))
    directions += [(name, *UNIT[name]) for name in support.springs if name not in support.holds]
    return directions


def _along_lines(
    idealised: Idealised, number: Mapping[JointId, int], xy: Array, ends: Index, along: Array
) -> Array:
    """Directions of segments, those at a station taken from the line between its neighbours."""
    lines = {number[joint]: xy[number[s.after]] - xy[number[s.before]] for joint, s in idealised.stations.items()}
    taken = along.copy()
    for row, (first, last) in enumerate(ends):
        line = lines.get(int(first), lines.get(int(last)))
        if line is not None:
            taken[row] = np.copysign(1.0, line @ along[row]) * line / hypot(*line)
    return taken


def _with_stations(idealised: Idealised, number: Mapping[JointId, int], xy: Array) -> Array:
    """Movements of all joints from those of the joints that are no stations and of stations along their lines."""
    columns: dict[JointId, int] = {}
    width = 0
    for joint in number:
        columns[joint] = width
        width += 1 if joint in idealised.stations else 2
    movement = np.zeros((2 * len(number), width))
    for joint, index in number.items():
        rows = slice(2 * index, 2 * index + 2)
        station = idealised.stations.get(joint)
        if station is None:
            movement[rows, columns[joint] : columns[joint] + 2] = np.eye(2)
            continue
        line = xy[number[station.after]] - xy[number[station.before]]
        line = line / hypot(*line)
        normal = np.array((-line[1], line[0]))
        movement[rows, columns[joint]] = line
        for neighbour, share in ((station.before, 1 - station.share), (station.after, station.share)):
            start = columns[neighbour]
            movement[rows, start : start + 2] += share * np.outer(normal, normal)
    return movement
