"""Forces that are locked in: what every part of a truss carries at a moment of the work, and how it goes on.

For each load case, and once more for what no case brings (jacking), this holds what every segment carries, how far
everything has moved, what shores and bearings push, what stations hand to their neighbours, and what tendons pull.
To go on from one moment to the next, all that acts on the joints is summed; what is left over - new loads, the
force of a stick that was taken out, of a shore that was released - is put on the structure that is there then.
What comes in has carried nothing until then.
Shapes, in the numbers of the whole truss: J joints, M segments, c load cases, the last for what no case brings.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.bearings import bearings, reactions
from trussio.analysis.frame import deformation_matrix
from trussio.analysis.redundants import closed, parted
from trussio.analysis.stations import chain_moments, chains, handed
from trussio.analysis.structure import members_of, patterns_of
from trussio.model.truss import Support

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.arrays import Flags, Floats
    from trussio.analysis.assembly import Answer
    from trussio.analysis.bearings import Bearings
    from trussio.analysis.structure import Structure
    from trussio.model.truss import JointId, Truss


NO_SUPPORT = Support()


class Lever(NamedTuple):
    """What a chain of stations carries as a simple beam: its segments, pushes (J, 2, c) and moments (M, 2, c)."""

    segments: frozenset[int]
    pushes: Floats
    moments: Floats


@dataclass
class Locked:
    """What everything carries; arrays are replaced as the work goes on, never altered.

    `moved` (J, 2, c), `turned` (M, 2, c) at the ends of segments, `basic` (M, 3, c), the misfits `gaps` (M, 3, c)
    that have acted, the `ground` (J, 3, c) that has moved, the `pushes` (J, 3, c) of bearings, `legs` by tendon.
    `given` is how far what carries one way, or has play, has given way, and tendons by name (see `giving`).
    """

    moved: Floats
    turned: Floats
    basic: Floats
    gaps: Floats
    ground: Floats
    pushes: Floats
    legs: dict[str, Floats] = field(default_factory=dict)
    levers: list[Lever] = field(default_factory=list)
    given: dict[tuple[int, int | None] | str, float] = field(default_factory=dict)


def nothing(whole: Truss, columns: int) -> Locked:
    """Before anything acts."""
    joints, segments = len(whole.joints), len(whole.segments)
    return Locked(
        moved=np.zeros((joints, 2, columns)),
        turned=np.zeros((segments, 2, columns)),
        basic=np.zeros((segments, 3, columns)),
        gaps=np.zeros((segments, 3, columns)),
        ground=np.zeros((joints, 3, columns)),
        pushes=np.zeros((joints, 3, columns)),
    )


def part_with(state: Locked, at: Structure, free: Collection[JointId] = ()) -> None:
    """Forget what is no longer there: segments, their levers, and what nothing holds but shores that are free."""
    there = np.zeros(len(state.basic), dtype=bool)
    there[at.segments] = True
    state.basic, state.gaps = _kept(state.basic, there), _kept(state.gaps, there)
    state.levers = [lever for lever in state.levers if there[list(lever.segments)].all()]
    state.given = {key: by for key, by in state.given.items() if isinstance(key, str) or there[key[0]]}
    held = np.zeros(state.pushes.shape[:2], dtype=bool)
    for number, name in zip(at.joints, at.truss.joints, strict=True):
        support = at.truss.supports.get(name, NO_SUPPORT)
        ways = [*support.holds, *support.springs]
        inclined = any(isinstance(way, tuple) for way in ways)
        held[number] = [inclined or "x" in ways, inclined or "y" in ways or name in free, "turn" in ways]
    state.pushes, state.ground = (np.where(held[..., None], part, 0.0) for part in (state.pushes, state.ground))


def leave(state: Locked, gone: Floats) -> None:
    """What cases that went off have left behind goes to the last column; `gone` (c,) is 1 for each of them."""
    names = ("moved", "turned", "basic", "gaps", "ground", "pushes")
    for name in names:
        setattr(state, name, _left_behind(getattr(state, name), gone))
    state.legs = {name: _left_behind(legs, gone) for name, legs in state.legs.items()}
    state.levers = [
        Lever(lever.segments, _left_behind(lever.pushes, gone), _left_behind(lever.moments, gone))
        for lever in state.levers
    ]


def _left_behind(values: Floats, gone: Floats) -> Floats:
    left: Floats = values * (1.0 - gone)
    left[..., -1] += values @ gone
    return left


def go_on(
    state: Locked, at: Structure, *, on: Floats, jacked: Mapping[int, float], loose: Collection[str]
) -> None:
    """Put on the structure that is there whatever is not in balance.

    `on` (c,) is 1 for each case that is on. `jacked` is how far shores have been lifted in all, by number of their
    joint. Tendons act as members but those that are `loose`, under the jack.
    Raises CannotAnalyseError where the structure is a mechanism.
    """
    made, columns = at.made, len(on)
    gaps = _widened(made.gaps, columns) * on
    ground = _widened(made.ground, columns) * on
    for number, lift in jacked.items():
        ground[np.flatnonzero(at.joints == number), 1, -1] += lift
    moves = bearings(at.truss, made.ideal, ground - state.ground[at.joints])
    tight = [name for name in state.legs if name not in loose]
    among = patterns_of(at, tight)
    new_gaps = gaps - state.gaps[at.segments]
    base, unit = parted(
        at.truss,
        made,
        among,
        loads=_left_over(state, at, on),
        gaps=new_gaps,
        pushed=moves.pushed,
        start=moves.start,
    )
    answer, forces = closed(among, base, unit)
    add(state, at, answer, moves)
    add_tendons(state, at, forces, members_of(at, tight))
    state.gaps, state.ground = state.gaps.copy(), state.ground.copy()
    state.gaps[at.segments], state.ground[at.joints] = gaps, ground


def _left_over(state: Locked, at: Structure, on: Floats) -> Floats:
    """What acts on the movements (n, c) without being in balance."""
    made = at.made
    left = _widened(made.loads, len(on)) * on
    left[: 2 * len(at.joints)] += _flat(state.pushes[at.joints, :2])
    for joint, turn in _turns(at).items():
        left[turn] += state.pushes[at.joints[joint], 2]
    for lever in state.levers:
        left[: 2 * len(at.joints)] += _flat(lever.pushes[at.joints])
    for name, legs in state.legs.items():
        left += at.cables[name].pulls @ legs
    carried = state.basic[at.segments]
    return left - deformation_matrix(made.frame).T @ carried.reshape(3 * len(carried), len(on))


def _turns(at: Structure) -> dict[int, int]:
    """The movement that is the turn of each joint that has one, by number of the joint there."""
    first = at.made.frame.total - len(at.made.ideal.rotations)
    names = {name: index for index, name in enumerate(at.truss.joints)}
    return {names[joint]: first + number for joint, number in at.made.ideal.shared.items()}


def add(state: Locked, at: Structure, answer: Answer, moves: Bearings) -> None:
    """Add what movements, segments, bearings and stations take."""
    made = at.made
    state.moved, state.turned = state.moved.copy(), state.turned.copy()
    state.basic, state.pushes = state.basic.copy(), state.pushes.copy()
    count = 2 * len(at.joints)
    state.moved[at.joints] += answer.movements[:count].reshape(len(at.joints), 2, answer.movements.shape[1])
    padded = np.concatenate([answer.movements, np.zeros((1, answer.movements.shape[1]))])
    state.turned[at.segments] += padded[made.frame.turns]
    basic = answer.basic.copy()
    if made.among:
        basic[:, 1:] -= chain_moments(made.shape, made.among, -answer.needed)
        state.levers = state.levers + _levers(state, at, answer.needed)
    state.basic[at.segments] += basic
    pushed = reactions(moves, handed(made.among, answer.needed))
    for index, bearing in enumerate(moves.all):
        state.pushes[at.joints[bearing.joint]] += pushed[index]


def _levers(state: Locked, at: Structure, needed: Floats) -> list[Lever]:
    """What each chain of stations takes."""
    made, found = at.made, []
    for chain in chains(made.shape, made.among):
        touching = np.isin(made.shape.ends, [stop.joint for stop in chain]).any(axis=1)
        pushes, moments = np.zeros_like(state.moved), np.zeros_like(state.turned)
        own = np.zeros_like(needed)
        for stop in chain:
            own[2 * stop.joint : 2 * stop.joint + 2] = needed[2 * stop.joint : 2 * stop.joint + 2]
        taken = (own - handed(chain, own))[: 2 * len(at.joints)]
        pushes[at.joints] = taken.reshape(len(at.joints), 2, taken.shape[1])
        moments[at.segments] = chain_moments(made.shape, chain, -own)
        found.append(Lever(frozenset(at.segments[touching].tolist()), pushes, moments))
    return found


def add_tendons(state: Locked, at: Structure, forces: Floats, members: list[str]) -> None:
    """Add what tendons take of the forces of patterns."""
    for name, force in zip(members, forces[len(at.slips.segments) :], strict=True):
        state.legs[name] = state.legs[name] + force


def _kept(values: Floats, there: Flags) -> Floats:
    return np.where(there[:, None, None], values, 0.0)


def _widened(values: Floats, columns: int) -> Floats:
    """With columns of zeros behind those of the cases."""
    more = columns - values.shape[-1]
    return np.concatenate([values, np.zeros((*values.shape[:-1], more))], axis=-1)


def _flat(values: Floats) -> Floats:
    return values.reshape(2 * len(values), values.shape[-1])
