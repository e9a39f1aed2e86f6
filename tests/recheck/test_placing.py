"""Where loads go, what is refused, and that the resultants of everything are those of the loads."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import asin, atan2, cos, hypot, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.errors import CannotAnalyseError
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Longer,
    PointLoad,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, JointId, MemberId
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from trussio.model.loading import Load
    from trussio.model.truss import Member, Truss

BEAM = Target(member=MemberId("beam"))


def loaded(
    *loads: Load, member: Member | None = None, joints: dict[str, tuple[float, float]] | None = None
) -> Truss:
    """A stick from A (0, 0) to B (3000, 4000), 5000 long, with loads."""
    return build(
        joints=joints or {"A": (0.0, 0.0), "B": (3000.0, 4000.0)},
        members={"beam": member or stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": loads},
    )


def at_ends(truss: Truss) -> Sequence[float]:
    """What the one case does to the joints: x and y of each."""
    joints: list[float] = read(truss, idealisation="pinned").loads.joints[0].tolist()
    return joints


@pytest.mark.parametrize(
    ("says", "load", "expected"),
    [
        (
            "2 per length over 5000",
            LineLoad(on=BEAM, direction="down", value=2.0),
            (0, -5000, 0, -5000),
        ),
        (
            "2 per plan length over 3000",
            LineLoad(on=BEAM, direction="down", value=2.0, per="plan"),
            (0, -3000, 0, -3000),
        ),
        ("to the right", LineLoad(on=BEAM, direction="right", value=2.0), (5000, 0, 5000, 0)),
        (
            "across, towards local +y: 2 x 5000 towards (-4, 3) / 5",
            LineLoad(on=BEAM, direction="across", value=2.0),
            (-4000, 3000, -4000, 3000),
        ),
        (
            "a triangle from 0 to 3: a third and two thirds of 7500",
            LineLoad(on=BEAM, direction="down", value=(0.0, 3.0)),
            (0, -2500, 0, -5000),
        ),
        (
            "the first fifth only: 2000, nine tenths to A",
            LineLoad(on=BEAM, direction="down", value=2.0, start=JointId("A"), end=1000.0),
            (0, -1800, 0, -200),
        ),
        (
            "a point at a quarter",
            PointLoad(on=BEAM, at=1250.0, fx=40.0, fy=-400.0),
            (30, -300, 10, -100),
        ),
        ("a point at a joint", PointLoad(on=BEAM, at=JointId("B"), fy=-400.0), (0, 0, 0, -400)),
        ("a point a hair short of the joint", PointLoad(on=BEAM, at=5000 - 1e-9, fy=-400.0), (0, 0, 0, -400)),
        ("a point a hair beyond the end", PointLoad(on=BEAM, at=5000 * (1 + 1e-7), fy=-400.0), (0, 0, 0, -400)),
        (
            "weight: 1000 mm2 x 5000 mm x 500 kg/m3 x 9.80665",
            SelfWeight(of="all"),
            (0, -12.2583125, 0, -12.2583125),
        ),
    ],
)
def test_a_load_on_a_straight_stick(says: str, load: Load, expected: tuple[float, ...]) -> None:
    assert at_ends(loaded(load)) == pytest.approx(expected, rel=1e-12, abs=1e-9), says


def test_line_loads_in_feet_are_taken_per_inch() -> None:
    truss = loaded(LineLoad(on=BEAM, direction="down", value=12.0))
    assert at_ends(replace(truss, units="us")) == pytest.approx((0, -2500, 0, -2500))


def test_a_pressure_on_a_half_circle() -> None:
    """A uniform load across the axis of a half circle adds up to pressure x diameter, towards the inside."""
    truss = loaded(
        LineLoad(on=BEAM, direction="across", value=-2.0),
        member=stick("A", "B", curve=Curve(radius=1000.0, bows="up")),
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
    )
    first_x, first_y, last_x, last_y = at_ends(truss)
    assert (first_y, last_y) == pytest.approx((-2000, -2000))
    assert first_x == pytest.approx(-last_x)


def test_a_plan_load_on_an_arc_that_overhangs_counts_both_ways() -> None:
    """A half circle on a steep chord covers its plan out and back: twice the radius, whatever the slope."""
    truss = loaded(
        LineLoad(on=BEAM, direction="down", value=2.0, per="plan"),
        member=stick("A", "B", curve=Curve(radius=1000.0, bows="up")),
        joints={"A": (0.0, 0.0), "B": (2000 * cos(1.5), 2000 * sin(1.5))},
    )
    assert sum(at_ends(truss)[1::2]) == pytest.approx(-2.0 * 2 * 1000, rel=1e-12)


@pytest.mark.parametrize(
    ("says", "load", "message"),
    [
        ("a moment on a hinge", at_joint("B", moment=5.0), "no stick turns with B"),
        ("beyond the end", PointLoad(on=BEAM, at=5001.0, fy=1.0), "5001 does not lie on beam, which is 5000 long"),
        ("before the first joint", LineLoad(on=BEAM, direction="down", value=1.0, start=-1.0), "-1 does not lie"),
        (
            "a joint of another stick",
            LineLoad(on=BEAM, direction="down", value=1.0, end=JointId("Z")),
            "beam does not run through Z",
        ),
        (
            "across per plan",
            LineLoad(on=BEAM, direction="across", value=1.0, per="plan"),
            "acts across a stick and is given per plan",
        ),
        ("weight without density", SelfWeight(of=(MemberId("beam"),)), "beam has no density"),
        ("warmth without expansion", Warmer(on=BEAM, by=30.0), "beam has no expansion"),
        (
            "a movement of what is free",
            SupportMovement(support=JointId("B"), moves={"x": 1.0}),
            "nothing holds B in x",
        ),
        (
            "a movement where there is no support",
            SupportMovement(support=JointId("M"), moves={"x": 1.0}),
            "nothing holds M in x",
        ),
    ],
)
def test_what_cannot_be_evaluated_is_refused(says: str, load: Load, message: str) -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (3000.0, 4000.0), "M": (0.0, 1.0), "Z": (1.0, 0.0)},
        members={"beam": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"fine": (at_joint("B", fy=1.0),), "P": (at_joint("A"), load)},
        section=Section(area=1.0, inertia=1.0),
        material=Material(E=1.0),
    )
    with pytest.raises(CannotAnalyseError, match=message) as caught:
        read(truss, idealisation="continuous")
    assert (caught.value.code, caught.value.where) == ("load", "/loads/cases/P/loads/1"), says


def test_strain_of_a_whole_stick_is_shared_by_length() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (4000.0, 0.0)},
        members={"beam": stick("A", "B", "C", role="other")},
        supports={"A": PIN, "C": PIN},
        cases={"P": (Longer(on=Target(role="other"), by=4.0), Warmer(on=BEAM, by=30.0))},
    )
    strains = read(truss, idealisation="continuous").placed.strains
    assert [entry[:2] for entry in strains] == [(0, 0), (0, 1), (0, 0), (0, 1)]
    assert [entry[2] for entry in strains] == pytest.approx([1e-3, 1e-3, 3e-4, 3e-4])


@pytest.mark.parametrize("seed", range(12))
def test_resultants_of_generated_loads_are_those_of_many_small_ones(seed: int) -> None:
    """Forces and moments about the origin of all loads, against sums over short pieces of every stick."""
    truss = random_truss(seeded(seed), idealisation="pinned")
    loads = read(truss, idealisation="pinned").loads.joints
    points = [(joint.x, joint.y) for joint in truss.joints.values()]
    for case, name in enumerate(truss.loads.cases):
        forces = loads[case].reshape(-1, 2)
        found = (
            *forces.sum(axis=0),
            sum(x * fy - y * fx for (x, y), (fx, fy) in zip(points, forces, strict=True)),
        )
        expected = by_pieces(truss, truss.loads.cases[name].loads)
        scale = np.abs(forces).sum() + 1e-9
        reach = max(hypot(*point) for point in points)
        assert found == pytest.approx(expected, rel=0, abs=1e-6 * scale * reach)
        assert found[:2] == pytest.approx(expected[:2], rel=0, abs=1e-6 * scale)


def walk(truss: Truss, name: MemberId, pieces: int) -> Iterator[tuple[float, float, float, float, float]]:
    """Short pieces of a stick: length so far, x, y, direction, and the piece's own length."""
    member, so_far = truss.members[name], 0.0
    for first, last in pairwise(truss.joints[joint] for joint in member.through):
        dx, dy = last.x - first.x, last.y - first.y
        chord, direction = hypot(dx, dy), atan2(dy, dx)
        radius = member.curve.radius if member.curve else 1e9 * chord
        half = asin(chord / (2 * radius))
        left = -1.0 if member.curve and (member.curve.bows == "up") != (dx > 0) else 1.0
        for piece in range(pieces):
            angle = half * (2 * (piece + 0.5) / pieces - 1)
            across = left * (radius * cos(angle) - radius * cos(half)) if member.curve else 0.0
            along = chord / 2 + radius * sin(angle)
            x = first.x + along * cos(direction) - across * sin(direction)
            y = first.y + along * sin(direction) + across * cos(direction)
            length = 2 * half * radius / pieces
            yield so_far + (piece + 0.5) * length, x, y, direction - left * angle * bool(member.curve), length
        so_far += 2 * half * radius


def by_pieces(truss: Truss, loads: Sequence[Load], pieces: int = 1000) -> tuple[float, float, float]:
    """Force and moment about the origin of loads, summed over short pieces by the midpoint rule."""
    total = np.zeros(3)

    def push(x: float, y: float, fx: float, fy: float) -> None:
        total[:] += (fx, fy, x * fy - y * fx)

    for load in loads:
        if isinstance(load, JointLoad):
            push(truss.joints[load.joint].x, truss.joints[load.joint].y, load.fx, load.fy)
        elif isinstance(load, LineLoad | SelfWeight | PointLoad):
            for name, member in truss.members.items():
                on = load.on if not isinstance(load, SelfWeight) else Target(member=name)
                if on.member == name or (on.role is not None and on.role == member.role):
                    _push_along(truss, name, load, list(walk(truss, name, pieces)), push)
    return (float(total[0]), float(total[1]), float(total[2]))


def _push_along(
    truss: Truss,
    name: MemberId,
    load: LineLoad | SelfWeight | PointLoad,
    steps: list[tuple[float, float, float, float, float]],
    push: Callable[[float, float, float, float], None],
) -> None:
    through = truss.members[name].through
    whole = sum(length for *_, length in steps)
    starts = [sum(step[4] for step in steps[: len(steps) // (len(through) - 1) * k]) for k in range(len(through))]

    def place(at: JointId | float | None, otherwise: float) -> float:
        return otherwise if at is None else starts[through.index(at)] if isinstance(at, str) else at

    if isinstance(load, PointLoad):
        at = place(load.at, 0.0)
        _, x, y, direction, _ = min(steps, key=lambda step: abs(step[0] - at))
        beyond = at - min(steps, key=lambda step: abs(step[0] - at))[0]
        push(x + beyond * cos(direction), y + beyond * sin(direction), load.fx, load.fy)
        return
    if isinstance(load, SelfWeight):
        section, material = truss.section_of(name), truss.material_of(name)
        assert section is not None
        assert material is not None
        values = (
            (section.gross_area or 0.0)
            * (material.density or 0.0)
            * (1 / 1728 if truss.units == "us" else 9.80665e-9)
        )
        start, end, first, last, way, plan = 0.0, whole, values, values, "down", False
    else:
        start, end = place(load.start, 0.0), place(load.end, whole)
        first, last = load.value if isinstance(load.value, tuple) else (load.value, load.value)
        unit = 1 / 12 if truss.units == "us" else 1.0
        first, last, way, plan = first * unit, last * unit, load.direction, load.per == "plan"
    for at, x, y, direction, length in steps:
        part = max(0.0, min(at + length / 2, end) - max(at - length / 2, start))
        force = (first + (last - first) * (at - start) / (end - start)) * part
        force *= abs(cos(direction)) if plan else 1.0
        fx, fy = {"down": (0, -1), "right": (1, 0), "across": (-sin(direction), cos(direction))}[way]
        push(x, y, force * fx, force * fy)
