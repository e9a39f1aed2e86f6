"""What stations have handed on in a pinned truss, where the joints that are stations change with the work.

A station hands what loads it across its line to the two joints that carry it, as a simple beam does. What a line
of stations has handed on stays with its sticks when one of them becomes a joint of its own (a web or a shore comes
in there): the newcomer carries only what comes after it. It comes free when one of the segments that meet at these
stations goes out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.recheck.holding import stations_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from trussio.model.truss import JointId, Truss
    from trussio.recheck.moments import Key, Rested, Structure

    Array = NDArray[np.float64]


class Lever(NamedTuple):
    """What one line of stations has handed on: the segments that meet at them, and pushes (2, c) on joints."""

    segments: frozenset[Key]
    pushes: dict[JointId, Array]


def kept(levers: Sequence[Lever], at: Structure) -> list[Lever]:
    """Those of which every segment still stands."""
    there = {*at.keys}
    return [lever for lever in levers if lever.segments <= there]


def pushed(levers: Sequence[Lever], at: Structure, columns: int) -> Array:
    """What they do to the equations (equations, columns)."""
    number = {joint: index for index, joint in enumerate(at.reading.truss.joints)}
    pushes = np.zeros((len(at.reading.equations.forces), columns))
    for lever in levers:
        for joint, push in lever.pushes.items():
            pushes[2 * number[joint] : 2 * number[joint] + 2] += push
    return pushes


def handed_on(at: Structure, found: Rested) -> list[Lever]:
    """What every line of stations hands on of all that it has not handed on before."""
    if at.reading.idealisation != "pinned":
        return []
    truss, carry = at.reading.truss, at.reading.equations.carry
    joints, levers = list(truss.joints), []
    for line in _lines(truss):
        own = np.zeros_like(found.left)
        for joint in line:
            row = 2 * joints.index(joint)
            own[row : row + 2] = found.left[row : row + 2]
        taken = carry.T @ own - own
        pushes = {
            joint: taken[2 * row : 2 * row + 2]
            for row, joint in enumerate(joints)
            if taken[2 * row : 2 * row + 2].any()
        }
        touching = frozenset(
            (segment.member, str(segment.index), 0)
            for segment in truss.segments
            if {segment.first, segment.last} & line
        )
        levers.append(Lever(touching, pushes))
    return levers


def _lines(truss: Truss) -> Iterator[set[JointId]]:
    """The stations that segments join to each other."""
    line_of: dict[JointId, set[JointId]] = {joint: {joint} for joint in stations_of(truss)}
    for segment in truss.segments:
        one, other = line_of.get(segment.first), line_of.get(segment.last)
        if one is not None and other is not None and one is not other:
            one |= other
            line_of.update(dict.fromkeys(other, one))
    yield from {id(line): line for line in line_of.values()}.values()
