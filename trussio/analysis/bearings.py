"""What bearings hold, how their ground moves, and what they push back with.

A hold stops a joint along one direction; holds in two directions stop it altogether. An inclined bearing leaves it
free along the perpendicular. A spring pushes with its stiffness times what the joint is short of the movement of
the ground. A turn counts only where something shares the joint's rotation.
Shapes: n movements, c load cases; movements are two to a joint, then the rotations.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from trussio.analysis.arrays import Flags, Floats
    from trussio.model.idealised import Idealised
    from trussio.model.truss import JointId, Support, Truss

AXES = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
ASIDE = 1e-9
"""Two directions are one, or one is an axis, when the sine of the angle between them is below this."""


class Bearing(NamedTuple):
    """One supported joint: its number, that of its turn (None where nothing holds that), and what can be pushed.

    `pushes` (2, 2) projects a force on the directions in which holds or springs act.
    """

    name: JointId
    joint: int
    turn: int | None
    pushes: Floats


class Bearings(NamedTuple):
    """All bearings.

    `held` (n,) marks movements that are prescribed, `springs` (n,) the stiffness at each, `start` (n, c) what is
    prescribed, `pushed` (n, c) what springs on moving ground add to the loads. `slides` gives the direction in
    which the joint at an inclined bearing is free, by the number of the joint.
    """

    all: list[Bearing]
    held: Flags
    springs: Floats
    start: Floats
    pushed: Floats
    slides: dict[int, Floats]


def bearings(truss: Truss, ideal: Idealised, ground: Floats) -> Bearings:
    """The bearings of a truss on ground that moves by `ground` (joints, 3, c)."""
    joints = list(truss.joints)
    total = 2 * len(joints) + len(ideal.rotations)
    made = Bearings(
        all=[],
        held=np.zeros(total, dtype=bool),
        springs=np.zeros(total),
        start=np.zeros((total, ground.shape[2])),
        pushed=np.zeros((total, ground.shape[2])),
        slides={},
    )
    for name, support in truss.supports.items():
        joint, shared = joints.index(name), ideal.shared.get(name)
        turn = None if shared is None else 2 * len(joints) + shared
        pushes = _hold(made, joint, support, ground[joint, :2])
        turns = turn is not None and _hold_turn(made, turn, support, ground[joint, 2])
        made.all.append(Bearing(name=name, joint=joint, turn=turn if turns else None, pushes=pushes))
    return made


def reactions(made: Bearings, left: Floats) -> Floats:
    """The push (bearings, 3, c) of every bearing, from the force (n, c) that each movement needs from outside."""
    pushed = np.zeros((len(made.all), 3, left.shape[1]))
    for index, bearing in enumerate(made.all):
        pushed[index, :2] = bearing.pushes @ left[2 * bearing.joint : 2 * bearing.joint + 2]
        if bearing.turn is not None:
            pushed[index, 2] = left[bearing.turn]
    return pushed


def _hold(made: Bearings, joint: int, support: Support, ground: Floats) -> Floats:
    """Enter holds and springs of one joint in x and y; what the bearing can push, shape (2, 2)."""
    at = slice(2 * joint, 2 * joint + 2)
    stiffness = np.array([support.springs.get("x", 0.0), support.springs.get("y", 0.0)])
    made.springs[at] = stiffness
    made.pushed[at] = stiffness[:, None] * ground
    directions = [_unit(hold) for hold in support.holds if hold != "turn"]
    first = directions[0] if directions else np.zeros(2)
    if any(abs(first[0] * other[1] - first[1] * other[0]) > ASIDE for other in directions[1:]):
        made.held[at] = True
        made.start[at] = ground
        return np.eye(2)
    along = np.outer(first, first)
    made.start[at] = along @ ground
    if np.abs(first).max() == 1.0:
        made.held[at] = first != 0.0
    elif directions:
        made.slides[joint] = np.array([-first[1], first[0]])
    if joint in made.slides and stiffness.any():
        return np.eye(2)
    return np.minimum(along + np.diag((stiffness > 0.0).astype(np.float64)), 1.0)


def _hold_turn(made: Bearings, turn: int, support: Support, ground: Floats) -> bool:
    """Enter what holds the turn of one joint; whether anything does."""
    stiffness = support.springs.get("turn", 0.0)
    made.springs[turn] = stiffness
    made.pushed[turn] = stiffness * ground
    made.held[turn] = "turn" in support.holds
    made.start[turn] = ground if made.held[turn] else 0.0
    return bool(made.held[turn]) or stiffness > 0.0


def _unit(hold: str | tuple[float, float]) -> Floats:
    """A direction of unit length, on the axis where it all but lies there."""
    x, y = AXES[hold] if isinstance(hold, str) else hold
    size = np.hypot(x, y)
    if abs(y) <= ASIDE * size:
        return np.array([1.0, 0.0])
    return np.array([0.0, 1.0]) if abs(x) <= ASIDE * size else np.array([x, y]) / size
