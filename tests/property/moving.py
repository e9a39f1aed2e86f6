"""The same truss seen otherwise: mirrored, moved, turned, renamed, turned end for end."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin
from typing import TYPE_CHECKING

from trussio.model.loading import (
    JointLoad,
    LineLoad,
    LoadCase,
    Longer,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.tendon import TendonLoad
from trussio.model.truss import JointId, MemberId, Support

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.model.loading import Load, Loads
    from trussio.model.truss import Direction, Truss


def mirrored(truss: Truss) -> Truss:
    """Seen from behind: x changes sign. Members keep their ids and their order of joints."""
    return replace(
        truss,
        joints={name: replace(joint, x=-joint.x) for name, joint in truss.joints.items()},
        supports={name: _mirrored_support(support) for name, support in truss.supports.items()},
        loads=_loads(truss, _mirrored_load),
    )


def moved(truss: Truss, dx: float, dy: float) -> Truss:
    """All joints shifted."""
    joints = {name: replace(joint, x=joint.x + dx, y=joint.y + dy) for name, joint in truss.joints.items()}
    return replace(truss, joints=joints)


def turned(truss: Truss, angle: float) -> Truss:
    """All joints, bearings and joint loads turned about the origin; loads must be at joints, sticks straight."""
    c, s = cos(angle), sin(angle)
    return replace(
        truss,
        joints={
            name: replace(joint, x=c * joint.x - s * joint.y, y=s * joint.x + c * joint.y)
            for name, joint in truss.joints.items()
        },
        supports={name: _turned_support(support, c, s) for name, support in truss.supports.items()},
        loads=_loads(truss, lambda load: _turned_load(load, c, s)),
    )


def renamed(truss: Truss, prefix: str) -> Truss:
    """Every joint and member under another name; the order stays."""

    def joint(name: JointId) -> JointId:
        return JointId(prefix + name)

    return replace(
        truss,
        joints={joint(name): value for name, value in truss.joints.items()},
        members={
            MemberId(prefix + name): replace(member, through=tuple(joint(j) for j in member.through))
            for name, member in truss.members.items()
        },
        supports={joint(name): support for name, support in truss.supports.items()},
        loads=_loads(truss, lambda load: _renamed_load(load, prefix)),
    )


def reordered(truss: Truss) -> Truss:
    """Joints, members and supports written down the other way about."""
    return replace(
        truss,
        joints=dict(reversed(list(truss.joints.items()))),
        members=dict(reversed(list(truss.members.items()))),
        supports=dict(reversed(list(truss.supports.items()))),
    )


def _loads(truss: Truss, change: Callable[[Load], Load]) -> Loads:
    cases: Mapping[RunId, LoadCase] = {
        name: replace(case, loads=tuple(change(load) for load in case.loads))
        for name, case in truss.loads.cases.items()
    }
    return replace(truss.loads, cases=cases)


def _mirrored_support(support: Support) -> Support:
    holds = tuple(hold if isinstance(hold, str) else (-hold[0], hold[1]) for hold in support.holds)
    return replace(support, holds=holds)


def _mirrored_load(load: Load) -> Load:
    match load:
        case JointLoad():
            return replace(load, fx=-load.fx, moment=-load.moment)
        case PointLoad():
            return replace(load, fx=-load.fx)
        case LineLoad(direction="right" | "across"):
            value = load.value
            return replace(load, value=(-value[0], -value[1]) if isinstance(value, tuple) else -value)
        case SupportMovement():
            moves: dict[Direction, float] = {name: by if name == "y" else -by for name, by in load.moves.items()}
            return replace(load, moves=moves)
        case _:
            return load


def _turned_support(support: Support, c: float, s: float) -> Support:
    axes = {"x": (c, s), "y": (-s, c)}
    holds = (
        hold if hold == "turn" else axes[hold] if isinstance(hold, str) else _turn(hold, c, s)
        for hold in support.holds
    )
    if set(support.springs) - {"turn"}:
        raise ValueError("A spring along x or y has no name once it is turned.")
    return replace(support, holds=tuple(holds))


def _turned_load(load: Load, c: float, s: float) -> Load:
    match load:
        case JointLoad():
            fx, fy = _turn((load.fx, load.fy), c, s)
            return replace(load, fx=fx, fy=fy)
        case PointLoad():
            fx, fy = _turn((load.fx, load.fy), c, s)
            return replace(load, fx=fx, fy=fy)
        case Longer() | Warmer() | LineLoad(direction="across"):
            return load
        case _:
            raise ValueError("A load along x or y has no name once it is turned.")


def _turn(vector: tuple[float, float], c: float, s: float) -> tuple[float, float]:
    return (c * vector[0] - s * vector[1], s * vector[0] + c * vector[1])


def _renamed_load(load: Load, prefix: str) -> Load:
    """Every place that a load names."""
    if isinstance(load, TendonLoad):
        raise TypeError("The trusses that are moved here have no tendons.")
    if isinstance(load, SelfWeight):
        return load if load.of == "all" else replace(load, of=tuple(MemberId(prefix + name) for name in load.of))
    if isinstance(load, JointLoad):
        return replace(load, joint=JointId(prefix + load.joint))
    if isinstance(load, SupportMovement):
        return replace(load, support=JointId(prefix + load.support))
    on = load.on if load.on.member is None else Target(member=MemberId(prefix + load.on.member))
    match load:
        case LineLoad():
            return replace(load, on=on, start=_place(load.start, prefix), end=_place(load.end, prefix))
        case PointLoad():
            return replace(load, on=on, at=JointId(prefix + load.at) if isinstance(load.at, str) else load.at)
        case Longer() | Warmer():
            return replace(load, on=on)


def _place(place: JointId | float | None, prefix: str) -> JointId | float | None:
    return JointId(prefix + place) if isinstance(place, str) else place
