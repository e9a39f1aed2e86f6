"""Loads of every kind on a generated truss: dead, snow, wind and imposed cases and two combinations."""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING

from tests.sketch import FORCE, PANEL, Sketch
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Load,
    LoadCase,
    Loads,
    Longer,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.truss import Direction, JointId, Member, Support

if TYPE_CHECKING:
    from collections.abc import Mapping


def loads_on(sketch: Sketch, supports: Mapping[JointId, Support], moment_at: JointId | None) -> Loads:
    """Every load kind of the document; a moment only where a joint is named that shares a rotation."""
    cases = {
        "D": LoadCase(kind="dead", loads=_dead(sketch)),
        "S": LoadCase(kind="snow", loads=_snow(sketch)),
        "W": LoadCase(kind="wind", loads=_wind(sketch, moment_at)),
        "X": LoadCase(kind="imposed", loads=_imposed(sketch, supports)),
    }
    combinations = {"D+S": {"D": 1.0, "S": 1.0}, "uplift": {"D": 0.6, "W": -1.3, "X": 0.5}}
    return Loads(
        cases={RunId(name): case for name, case in cases.items()},
        combinations={
            RunId(name): {RunId(case): factor for case, factor in factors.items()}
            for name, factors in combinations.items()
        },
    )


def _dead(sketch: Sketch) -> tuple[Load, ...]:
    rng, force = sketch.rng, FORCE[sketch.units]
    panel_points = [JointId(f"B{i}") for i in range(1, sketch.panels)]
    loads: list[Load] = [SelfWeight(of="all")]
    loads += [JointLoad(joint=joint, fy=-force * rng.uniform(0.2, 1.0)) for joint in panel_points]
    loads.append(LineLoad(on=Target(role="top-chord"), direction="down", value=_line(sketch, 60.0)))
    return tuple(loads)


def _snow(sketch: Sketch) -> tuple[Load, ...]:
    """All of the first top stick, part of the last, and part of it again by distances, drifted."""
    tops = [name for name, member in sketch.members.items() if member.role == "top-chord"]
    last = sketch.members[tops[-1]]
    length = _straight_length(sketch, last)
    first_value, last_value = _line(sketch, 150.0), _line(sketch, 400.0)
    return (
        LineLoad(on=Target(member=tops[0]), direction="down", value=first_value, per="plan"),
        LineLoad(
            on=Target(member=tops[-1]),
            direction="down",
            value=(first_value, last_value),
            start=last.through[0],
            end=last.through[1],
            per="plan",
        ),
        LineLoad(
            on=Target(member=tops[-1]),
            direction="down",
            value=(0.0, last_value),
            start=0.13 * length,
            end=0.87 * length,
            per="slope",
        ),
    )


def _wind(sketch: Sketch, moment_at: JointId | None) -> tuple[Load, ...]:
    rng, force = sketch.rng, FORCE[sketch.units]
    stick = rng.choice(sorted(sketch.members))
    length = _straight_length(sketch, sketch.members[stick])
    loads: list[Load] = [
        LineLoad(on=Target(role="top-chord"), direction="across", value=_line(sketch, rng.uniform(-90.0, 90.0))),
        LineLoad(
            on=Target(member=stick), direction="right", value=(_line(sketch, 30.0), 0.0), start=0.25 * length
        ),
        PointLoad(on=Target(member=stick), at=rng.uniform(0.1, 0.9) * length, fx=0.3 * force, fy=-0.5 * force),
        PointLoad(on=Target(member=stick), at=sketch.members[stick].through[0], fx=0.2 * force),
        JointLoad(joint=JointId("T1"), fx=force * rng.uniform(-1.0, 1.0), fy=0.25 * force),
    ]
    if moment_at is not None:
        loads.append(JointLoad(joint=moment_at, moment=force * PANEL[sketch.units] / 20))
    return tuple(loads)


def _imposed(sketch: Sketch, supports: Mapping[JointId, Support]) -> tuple[Load, ...]:
    rng, inch = sketch.rng, 1.0 if sketch.units == "us" else 25.4
    loads: list[Load] = [
        Longer(on=Target(member=rng.choice(sorted(sketch.members))), by=inch / 8),
        Longer(on=Target(role="bottom-chord"), by=-inch / 16),
        Warmer(on=Target(member=rng.choice(sorted(sketch.members))), by=40.0),
    ]
    for joint, support in supports.items():
        held = [hold for hold in (*support.holds, *support.springs) if isinstance(hold, str)]
        if held:
            moves: dict[Direction, float] = {
                name: rng.uniform(-0.5, 0.5) * (1e-3 if name == "turn" else inch) for name in held
            }
            loads.append(SupportMovement(support=joint, moves=moves))
    return tuple(loads)


def _line(sketch: Sketch, plf: float) -> float:
    """A line load given in plf, in the document's own unit."""
    return plf if sketch.units == "us" else plf * 0.0145939


def _straight_length(sketch: Sketch, member: Member) -> float:
    """Length along the joint-to-joint lines: at most the stick's own, so that a distance below it lies on it."""
    points = [sketch.joints[joint] for joint in member.through]
    return sum(hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(points))
