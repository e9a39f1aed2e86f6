"""Reported forces balance: at every joint and at every rotation of generated trusses."""

from __future__ import annotations

from math import cos, hypot, sin
from typing import TYPE_CHECKING

import pytest

from tests.strategies import random_truss, seeded
from trussio.analysis.run import analyse
from trussio.geometry import segment_arc
from trussio.model.idealised import idealise
from trussio.model.loading import JointLoad, PointLoad, RunId
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import RunForces
    from trussio.model.truss import Idealisation, Segment, Truss

    Vector = tuple[float, float]

ROUNDING = 1e-7
"""In pounds or newtons: where nothing but bearings move, a determinate truss has no other forces."""


def tangents(truss: Truss, segment: Segment) -> tuple[Vector, Vector]:
    """The unit directions of a segment's own axis at its first and last joint, both towards the last."""
    arc = segment_arc(truss, segment)
    if arc is not None:
        turn = 1.0 if arc.sweep > 0 else -1.0
        first, last = arc.start, arc.start + arc.sweep
        return (-turn * sin(first), turn * cos(first)), (-turn * sin(last), turn * cos(last))
    start, end = truss.joints[segment.first], truss.joints[segment.last]
    length = hypot(end.x - start.x, end.y - start.y)
    along = ((end.x - start.x) / length, (end.y - start.y) / length)
    return along, along


def on_joints(truss: Truss, run: RunForces) -> dict[JointId, Vector]:
    """What segments and bearings do to every joint."""
    sums = dict.fromkeys(truss.joints, (0.0, 0.0))

    def add(joint: JointId, x: float, y: float) -> None:
        sums[joint] = (sums[joint][0] + x, sums[joint][1] + y)

    for segment in truss.segments:
        forces = run.segments[segment.id]
        for joint, (c, s), axial, shear, sign in zip(
            (segment.first, segment.last),
            tangents(truss, segment),
            forces.axial_ends,
            forces.shear,
            (1.0, -1.0),
            strict=True,
        ):
            # What lies towards the last joint pulls by `axial` and is pushed along local +y by `shear`.
            add(joint, sign * (axial * c + shear * s), sign * (axial * s - shear * c))
    for name, reaction in run.reactions.items():
        add(name, reaction.x, reaction.y)
    return sums


def applied(truss: Truss, case: RunId) -> dict[JointId, tuple[float, float, float]]:
    """Forces and moments that a case puts straight on joints."""
    found = dict.fromkeys(truss.joints, (0.0, 0.0, 0.0))
    for load in truss.loads.cases[case].loads:
        if isinstance(load, JointLoad):
            joint, moment = load.joint, load.moment
        elif isinstance(load, PointLoad) and isinstance(load.at, str):
            joint, moment = JointId(load.at), 0.0
        else:
            continue
        x, y, turn = found[joint]
        found[joint] = (x + load.fx, y + load.fy, turn + moment)
    return found


def size_of(run: RunForces) -> float:
    forces = [abs(part) for s in run.segments.values() for part in (*s.axial_ends, *s.shear)]
    return max(*forces, *(abs(part) for r in run.reactions.values() for part in (r.x, r.y)))


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
@pytest.mark.parametrize("seed", range(25))
def test_every_joint_is_in_balance(seed: int, idealisation: Idealisation) -> None:
    truss = random_truss(seeded(seed), idealisation=idealisation)
    runs = analyse(truss, idealisation=idealisation)
    for case in truss.loads.cases:
        loads, size = applied(truss, case), size_of(runs[case])
        for joint, (x, y) in on_joints(truss, runs[case]).items():
            assert (x + loads[joint][0], y + loads[joint][1]) == pytest.approx(
                (0.0, 0.0), abs=1e-10 * size + ROUNDING
            )


@pytest.mark.parametrize("seed", range(25))
def test_every_rotation_is_in_balance(seed: int) -> None:
    """What the ends that turn together pass on, the moment on the joint, and what holds its turn."""
    truss = random_truss(seeded(seed), idealisation="continuous")
    ideal = idealise(truss, "continuous")
    reach = max(joint.x for joint in truss.joints.values())
    runs = analyse(truss)
    for case in truss.loads.cases:
        sums = [0.0] * len(ideal.rotations)
        for segment, ends in zip(truss.segments, ideal.ends, strict=True):
            for end, moment, sign in zip(ends, runs[case].segments[segment.id].moment, (1.0, -1.0), strict=True):
                if end is None:
                    assert moment == 0.0
                else:
                    sums[end] += sign * moment
        loads = applied(truss, case)
        for joint, number in ideal.shared.items():
            reaction = runs[case].reactions.get(joint)
            sums[number] += loads[joint][2] + (0.0 if reaction is None else reaction.turn)
        size = reach * size_of(runs[case])
        assert sums == pytest.approx([0.0] * len(sums), abs=1e-10 * size + reach * ROUNDING)


def test_a_force_off_by_a_thousandth_is_out_of_balance() -> None:
    """The check on the check."""
    truss = random_truss(seeded(3), idealisation="continuous")
    run = analyse(truss)[RunId("D")]
    pulled: Mapping[JointId, Vector] = on_joints(truss, run)
    loads = applied(truss, RunId("D"))
    strongest = max(truss.segments, key=lambda segment: abs(run.segments[segment.id].axial))
    off = run.segments[strongest.id].axial * 1e-3
    (c, s), _ = tangents(truss, strongest)
    x, y = pulled[strongest.first]
    wrong = hypot(x + loads[strongest.first][0] + off * c, y + loads[strongest.first][1] + off * s)
    assert wrong > 1e-4 * size_of(run)
