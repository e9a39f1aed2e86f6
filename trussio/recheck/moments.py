"""What stands at a moment of the work, read and ready for least energy, with its tendons.

Unknowns have *keys*, so that what is locked in finds them again when what stands around them has changed: a
segment by its stick and place along it, a spring by its joint.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.model.history import structure
from trussio.model.loading import RunId
from trussio.recheck.energy import minimum
from trussio.recheck.equilibrium import row_of
from trussio.recheck.problem import Problem, problem_of
from trussio.recheck.reading import Reading, read
from trussio.recheck.sisters import tied
from trussio.recheck.stressing import Way, ends_turned, pulls_of, way_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from numpy.typing import NDArray

    from trussio.model.history import Moment
    from trussio.model.truss import Idealisation, JointId, Truss

    Array = NDArray[np.float64]
    Key = tuple[str, str, int]


class UntoldError(Exception):
    """Why the forces of a moment or of a run cannot be told."""


class PushesError(UntoldError):
    """A tendon would have to push, or would have had to on the way: no sum of columns is the run."""


class Structure(NamedTuple):
    """What stands at a moment, read and ready: `keys` name its unknowns, `pulls` (equations, legs) its tendons.

    `gives` is what those stretch by that act as members.
    """

    reading: Reading
    problem: Problem
    keys: list[Key]
    ways: Mapping[str, Way]
    pulls: Mapping[str, Array]
    gives: Mapping[str, float]


class Rested(NamedTuple):
    """Forces of a moment at rest: of unknowns (unknowns, c), of tendons, reactions (equations, c), sizes (c,).

    `loads` (equations, c) are what they carry, `left` is what bearings, and the neighbours of stations, have to
    take.
    """

    forces: Array
    tendons: Mapping[str, Array]
    reactions: Array
    size: Array
    left: Array
    loads: Array


def structure_at(
    whole: Truss,
    moment: Moment,
    idealisation: Idealisation,
    *,
    tensing: Collection[str],
    free: Collection[JointId],
) -> Structure:
    """What stands at a moment, but for shores that are `free`. Raises UntoldError for what is not covered here.

    `tensing` names the tendons that some case stresses.
    """
    cases: list[RunId] = list(whole.loads.cases)
    there = structure(whole, moment, free=free)
    names = [name for name in tensing if name in whole.tendons and _bears(there, whole, name)]
    beside = moment.beside.items()
    glued = tuple((name, how.beside) for name, how in beside if how.glued and how.beside is not None)
    glued = glued if idealisation == "continuous" else ()
    plain = read(there, idealisation=idealisation, runs=cases, glued=glued)
    ways: dict[str, Way] = {}
    for tendon in names:
        way = way_of(there, whole.tendons[tendon])
        if way is None:
            raise UntoldError(f"Two points of {tendon} lie on one place.")
        ways[tendon] = way
    turned = tuple(
        end for name, way in ways.items() for end in ends_turned(there, plain, whole.tendons[name], way)
    )
    reading = plain
    if turned:
        reading = read(there, idealisation=idealisation, runs=cases, turned=turned, glued=glued)
    problem = tied(problem_of(reading), reading, [(name, how) for name, how in beside if how.slip or how.along])
    turns = reading.equations.turns
    keys: list[Key] = [(segment.member, str(segment.index), 0) for segment in there.segments]
    ends = [there.segments[segment] for segment, _ in reading.equations.moments]
    keys += [
        (s.member, str(s.index), 1 + end) for s, (_, end) in zip(ends, reading.equations.moments, strict=True)
    ]
    keys += [
        ("spring", f"{joint}.{name}", 0)
        for joint, support in there.supports.items()
        for name in support.springs
        if row_of(there, turns, joint, name) is not None
    ]
    pulls = {n: pulls_of(there, reading, whole.tendons[n], way) for n, way in ways.items()}
    gives = {name: _give(whole, name, way) for name, way in ways.items() if _stretches(whole, name)}
    return Structure(reading, problem, keys, ways, pulls, gives)


def rows_of(at: Structure) -> list[Key]:
    """A name for each equation that the ground may move."""
    turns = [
        (f"{joint}", 2) if stick is None else (f"{stick}:{joint}", 3)
        for joint, stick in at.reading.equations.turns
    ]
    return [
        *(("ground", joint, axis) for joint in at.reading.truss.joints for axis in (0, 1)),
        *(("ground", name, kind) for name, kind in turns),
    ]


def _bears(there: Truss, whole: Truss, name: str) -> bool:
    """Whether all that a tendon bears on stands."""
    sticks = {member.part_of or name for name, member in there.members.items()}
    joints = {joint for member in there.members.values() for joint in member.through}
    return all(
        point.joint in joints and (point.bears_on is None or point.bears_on in sticks)
        for point in whole.tendons[name].path
    )


def _stretches(truss: Truss, name: str) -> bool:
    tendon = truss.tendons[name]
    return tendon.acts == "member" and bool(tendon.area and tendon.E)


def _give(truss: Truss, name: str, way: Way) -> float:
    tendon = truss.tendons[name]
    return sum(way.lengths) / ((tendon.E or 1.0) * (tendon.area or 1.0) * tendon.strands)


def least(at: Structure, loads: Array, deformed: Array, moved: Array, tendons: Mapping[str, Array]) -> Rested:
    """Forces of least energy under loads (equations, c) and deformations; `tendons` that stretch, with theirs."""
    reading, problem, eq = at.reading, at.problem, at.reading.equations
    own, count = [*tendons], len(at.keys)
    pulls = np.zeros((len(loads), len(own)))
    for index, name in enumerate(own):
        pulls[:, index] = at.pulls[name].sum(axis=1)
    gives = np.diag([at.gives[name] for name in own]).reshape(len(own), len(own))
    more = [tendons[name] for name in own]
    whole = Problem(
        softness=problem.softness,
        column=problem.column,
        weight=_beside(problem.weight, np.sqrt(np.linalg.inv(gives)) if own else gives),
        soft=_beside(problem.soft, gives),
        deformed=np.vstack((deformed, more)) if own else deformed,
        forced=moved,
    )
    forces = np.hstack((eq.forces, pulls))
    made = reading._replace(equations=eq._replace(forces=forces), loads=reading.loads._replace(joints=loads.T))
    found = minimum(made, whole)
    acting = found.forces.copy()
    acting[count - len(eq.springs) : count] = 0.0
    left = forces @ acting + loads
    return Rested(
        forces=found.forces[:count],
        tendons=dict(zip(own, found.forces[count:], strict=True)),
        reactions=-eq.carry.T @ left,
        size=found.size,
        left=left,
        loads=loads,
    )


def _beside(one: Array, other: Array) -> Array:
    both = np.zeros((len(one) + len(other),) * 2)
    both[: len(one), : len(one)], both[len(one) :, len(one) :] = one, other
    return both
