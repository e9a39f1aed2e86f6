"""The published statics problems, by direct stiffness.

Sources stand with each entry in `statics.json`; those of strength `memory` are classical results written from
memory and derived again.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import isclose, pi
from typing import TYPE_CHECKING

import pytest
import sympy  # type: ignore[import-untyped]  # it carries no types
from sympy.physics.continuum_mechanics.truss import (  # type: ignore[import-untyped]  # the same
    Truss as SympyTruss,
)

from tests.published.statics import ENTRIES, SOLVED, UNSTABLE, Published, measured
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, LoadCase, Loads, RunId
from trussio.model.truss import Curve, Joint, JointId, MemberId, SegmentId

if TYPE_CHECKING:
    from trussio.model.forces import RunForces
    from trussio.model.truss import Truss

BY_ID = {entry.id: entry for entry in ENTRIES}
CHECKED = [(entry, path) for entry in SOLVED for path in entry.published if path not in entry.wrong]
WRONG = [(entry, path) for entry in SOLVED for path in entry.wrong]


@cache
def results(name: str) -> dict[RunId, RunForces]:
    return analyse(BY_ID[name].truss)


def name_of(value: object) -> str:
    return value.id if isinstance(value, Published) else str(value)


@pytest.mark.parametrize(("entry", "path"), CHECKED, ids=name_of)
def test_a_printed_value_is_met_within_its_tolerance(entry: Published, path: str) -> None:
    assert entry.agrees(measured(entry, results(entry.id), path), entry.published[path])


@pytest.mark.parametrize(("entry", "path"), WRONG, ids=name_of)
def test_a_misprint_is_not_met_and_what_holds_instead_is(entry: Published, path: str) -> None:
    value = measured(entry, results(entry.id), path)
    assert not entry.agrees(value, entry.published[path])
    assert isclose(value, entry.recomputed[path], rel_tol=1e-9)


def test_the_misprints_are_the_four_that_are_known() -> None:
    assert [(entry.id, path) for entry, path in WRONG] == [
        ("DT10", "LC1.member_forces.FG"),
        ("FR06", "LC1.displacements.D.rz"),
        ("FR13", "LC1.reactions.e.y"),
        ("FR13", "LC1.reactions.a.y"),
    ]


def kind_of(path: str) -> tuple[str, bool]:
    """The case that a value belongs to, and whether it is a force (or a stress) rather than a movement."""
    case, kind, *_ = path.split(".")
    return case, kind not in {"displacements", "elongations"}


@pytest.mark.parametrize("entry", SOLVED, ids=name_of)
def test_every_value_of_the_independent_solution_is_met(entry: Published) -> None:
    """To eight digits of the largest force or movement of the case: its zeros carry rounding of that size.

    That solution itself lost two digits more in FR12, over arms a million times as stiff as the beam.
    """
    part = 2e-7 if entry.id == "FR12" else 1e-8
    largest: dict[tuple[str, bool], float] = {}
    for path, value in entry.recomputed.items():
        largest[kind_of(path)] = max(largest.get(kind_of(path), 1e-3), abs(value))
    for path, value in entry.recomputed.items():
        near = part * largest[kind_of(path)]
        assert measured(entry, results(entry.id), path) == pytest.approx(value, rel=0.0, abs=near), path


@pytest.mark.parametrize("entry", [entry for entry in SOLVED if entry.sums], ids=name_of)
def test_cases_add_up_to_the_case_that_holds_all(entry: Published) -> None:
    runs = results(entry.id)
    for case, combined in entry.sums.items():
        one, other = runs[case], runs[combined]
        largest = max(abs(forces.axial) for forces in one.segments.values())
        for name, forces in one.segments.items():
            assert other.segments[name].axial == pytest.approx(forces.axial, abs=1e-12 * largest)
            assert other.segments[name].moment == pytest.approx(forces.moment, abs=1e-9 * largest)
        for joint, movement in one.joints.items():
            assert other.joints[joint].dy == pytest.approx(movement.dy, rel=1e-9, abs=1e-12)


def loaded(entry: Published) -> Truss:
    """An entry about stability with a load on every joint, the one case of its run `P`."""
    loads = tuple(JointLoad(joint=joint, fx=1.0, fy=-2.0) for joint in entry.truss.joints)
    return replace(entry.truss, loads=Loads(cases={RunId("P"): LoadCase(loads=loads)}))


@pytest.mark.parametrize("entry", [e for e in UNSTABLE if e.recomputed_stability.mechanisms], ids=name_of)
def test_a_mechanism_is_refused_and_a_joint_that_moves_is_named(entry: Published) -> None:
    with pytest.raises(CannotAnalyseError, match=r"^mechanism at /joints/") as refused:
        analyse(loaded(entry))
    count = entry.recomputed_stability.mechanisms
    assert f"({count} mechanism" in refused.value.what
    moving = entry.recomputed_stability.moving
    assert moving is not None
    assert refused.value.where.removeprefix("/joints/") in moving


@pytest.mark.parametrize("entry", [e for e in UNSTABLE if not e.recomputed_stability.mechanisms], ids=name_of)
def test_a_stable_control_is_solved_and_in_balance(entry: Published) -> None:
    run = analyse(loaded(entry))[RunId("P")]
    joints = len(entry.truss.joints)
    assert sum(reaction.x for reaction in run.reactions.values()) == pytest.approx(-joints, rel=1e-9)
    assert sum(reaction.y for reaction in run.reactions.values()) == pytest.approx(2 * joints, rel=1e-9)


def in_sympy(entry: Published) -> SympyTruss:
    """A determinate truss of the corpus with its only case, for sympy's solution by joints in exact numbers."""
    made = SympyTruss()
    for node, joint in entry.truss.joints.items():
        made.add_node((f"n_{node}", sympy.nsimplify(joint.x), sympy.nsimplify(joint.y)))
    for name, member in entry.truss.members.items():
        made.add_member((f"m_{name}", *(f"n_{joint}" for joint in member.through)))
    for bearing, support in entry.truss.supports.items():
        made.apply_support((f"n_{bearing}", "pinned" if support.holds == ("x", "y") else "roller"))
    (case,) = entry.truss.loads.cases.values()
    for load in case.loads:
        assert isinstance(load, JointLoad)
        for force, angle in ((load.fx, 0), (load.fy, 90)):
            if force:
                made.apply_load((f"n_{load.joint}", sympy.nsimplify(force), angle))
    made.solve()
    return made


@pytest.mark.parametrize("name", ["DT01", "DT08"])
def test_sympy_finds_the_same_forces_and_reactions(name: str) -> None:
    entry = BY_ID[name]
    made = in_sympy(entry)
    (run,) = results(name).values()
    for segment in entry.truss.segments:
        theirs = float(made.internal_forces[f"m_{segment.member}"])
        assert run.segments[segment.id].axial == pytest.approx(theirs, abs=1e-9)
    pushes = {str(symbol): float(push) for symbol, push in made.reaction_loads.items()}
    for joint, reaction in run.reactions.items():
        assert reaction.y == pytest.approx(pushes[f"R_n_{joint}_y"], abs=1e-9)


def as_true_arch(entry: Published, area: float) -> Truss:
    """The polygon FR11 as the semicircle that it stands for, one stick of the same section but for its area."""
    truss = entry.truss
    first, crown, last = (JointId(name) for name in ("n0", "n12", "n24"))
    beam = truss.members[MemberId("s1")]
    assert beam.section is not None
    arch = replace(beam, through=(first, crown, last), fixed=(), curve=Curve(radius=5.0, bows="up"))
    return replace(
        truss,
        joints={first: Joint(x=-5.0, y=0.0), crown: Joint(x=0.0, y=5.0), last: Joint(x=5.0, y=0.0)},
        members={MemberId("arch"): arch},
        sections={beam.section: replace(truss.sections[beam.section], area=area)},
    )


def test_the_polygon_of_the_corpus_as_a_true_arch_thrusts_by_p_over_pi() -> None:
    """Timoshenko (from memory): H = P / pi and the crown moment P R / 2 - H R, where the arch only bends."""
    run = analyse(as_true_arch(BY_ID["FR11"], area=1e12))[RunId("LC1")]
    thrust = 10.0 / pi
    assert run.reactions[JointId("n0")].x == pytest.approx(thrust, rel=1e-8)
    assert run.reactions[JointId("n24")].x == pytest.approx(-thrust, rel=1e-8)
    crown = 10.0 * 5.0 / 2 - thrust * 5.0
    assert run.segments[SegmentId("arch:n0-n12")].moment[1] == pytest.approx(crown, rel=1e-8)


def test_the_true_arch_gives_way_along_its_axis_too() -> None:
    """Own derivation: thrust x (pi R3 / 2 E I + pi R / 2 E A) closes the gap P R3 / 2 E I - P R / 2 E A."""
    radius, load, bending, area = 5.0, 10.0, 1e4, 2e3
    run = analyse(as_true_arch(BY_ID["FR11"], area=area))[RunId("LC1")]
    thrust = (radius**2 / bending - 1 / area) / (pi * (radius**2 / bending + 1 / area)) * load
    assert run.reactions[JointId("n0")].x == pytest.approx(thrust, rel=1e-12)
