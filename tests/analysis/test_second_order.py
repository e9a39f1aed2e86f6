"""Second order against closed forms of beam-columns and buckling, and against an outside eigenvalue solver.

Closed forms after S. P. Timoshenko and J. M. Gere, Theory of elastic stability, 2nd ed. 1961 (from memory; each is
checked here by being right): the beam-column, the secant formula, Euler's columns, the shallow arch, Engesser's
column that is soft in shear. The eigenvalues of frames by scipy, on beam elements of our own with the consistent
geometric stiffness (J. S. Przemieniecki, Theory of matrix structural analysis, 1968, from memory).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, pi, sqrt, tan
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.linalg import eigh  # type: ignore[import-untyped]  # it carries no types

from tests.strategies import frame
from tests.trusses import CLAMP, PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.assembly import assembled, placed
from trussio.analysis.buckling import buckling, times_buckled
from trussio.analysis.frame import movements_of
from trussio.analysis.properties import gives
from trussio.analysis.run import analyse
from trussio.analysis.second_order import answer, put, swaying
from trussio.analysis.wear import wear_of
from trussio.model.idealised import idealise
from trussio.model.loading import LineLoad, PointLoad, RunId, Target
from trussio.model.material import Section
from trussio.model.truss import Curve, MemberId, SectionId, Support

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.analysis.arrays import Floats
    from trussio.analysis.second_order import Put, Swaying
    from trussio.model.loading import Load
    from trussio.model.truss import End, Member, Truss

P = RunId("P")
EI, EA, L = 1e10, 1e7, 4000.0
EULER = pi**2 * EI / L**2
GUIDE: Support = Support(holds=("y", "turn"))


def seen(truss: Truss, run: RunId = P) -> tuple[Swaying, Put, Floats]:
    """A truss as second order sees it, what a run puts on it, and axial forces of first order."""
    ideal, cases = idealise(truss, "continuous"), list(truss.loads.cases)
    shape, applied = placed(truss, ideal, cases)
    known = gives(truss, ideal)
    bending = [
        1.0 / (material.E * section.bending_inertia)
        for segment in truss.segments
        if (section := truss.section_of(segment.member)) is not None
        and (material := truss.material_of(segment.member)) is not None
        and material.E
        and section.bending_inertia
    ]
    of = swaying(
        assembled(truss, ideal, cases),
        applied,
        wear_of(truss, shape),
        known._replace(bending=np.array(bending)),
    )
    factors = np.array([truss.loads.runs[run].get(case, 0.0) for case in cases])
    return of, put(of, factors), np.array([segment.axial for segment in analyse(truss)[run].segments.values()])


def column(
    push: float, *loads: Load, fixed: tuple[End, ...] = (), supports: Mapping[str, Support] | None = None
) -> Truss:
    """A column of 4 m lying down, pushed from its right end, with loads across it."""
    return build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"c": stick("A", "B", fixed=fixed)},
        supports={"A": PIN, "B": ROLLER} if supports is None else supports,
        cases={"P": (at_joint("B", fx=-push), *loads)},
    )


def changed(truss: Truss, **how: Member) -> Truss:
    """The same with other members."""
    return replace(truss, members={**truss.members, **{MemberId(name): one for name, one in how.items()}})


@pytest.mark.parametrize(
    ("says", "fixed", "supports", "eulers"),
    [
        ("pinned at both ends", (), None, 1.0),
        ("clamped and free", ("first",), {"A": CLAMP}, 0.25),
        ("clamped and pinned: tan kL = kL", ("first",), {"A": CLAMP, "B": ROLLER}, 20.1907285564 / pi**2),
        ("clamped at both ends", ("first", "last"), {"A": CLAMP, "B": GUIDE}, 4.0),
    ],
)
@pytest.mark.parametrize("part", [0.2, 3.0])
def test_columns_buckle_at_their_euler_load(
    says: str, fixed: tuple[End, ...], supports: dict[str, Support] | None, eulers: float, part: float
) -> None:
    of, _, axial = seen(column(part * EULER, fixed=fixed, supports=supports))
    found = buckling(of, axial)
    assert found.factor == pytest.approx(eulers / part, rel=1e-6), says
    assert found.segments == [0]


def test_a_column_over_three_bearings_buckles_in_two_half_waves() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (2 * L, 0.0)},
        members={"c": stick("A", "B", "C")},
        supports={"A": PIN, "B": ROLLER, "C": ROLLER},
        cases={"P": (at_joint("C", fx=-EULER / 4),)},
    )
    of, _, axial = seen(truss)
    found = buckling(of, axial)
    assert found.factor == pytest.approx(4.0, rel=1e-6)
    assert sorted(found.segments) == [0, 1]
    assert [times_buckled(of, axial * part) for part in (3.99, 4.01, 4 * 2.04, 4 * 2.05, 4 * 4.01)] == [
        0,
        1,
        1,
        2,
        3,
    ]


def test_a_portal_that_can_sway_buckles_where_its_columns_do() -> None:
    """Hinged feet, beam as stiff as the columns, h = b: k h tan k h = 6 I_b h / (I_c b), so k h = 1.3496."""
    kh = 1.3495
    for _ in range(50):
        kh -= (kh * tan(kh) - 6.0) / (tan(kh) + kh / cos(kh) ** 2)
    truss = build(
        joints={"A": (0.0, 0.0), "B": (0.0, L), "C": (L, L), "D": (L, 0.0)},
        members={"frame": stick("A", "B", "C", "D")},
        supports={"A": PIN, "D": PIN},
        cases={"P": (at_joint("B", fy=-1000.0), at_joint("C", fy=-1000.0))},
        section=Section(area=1e6, inertia=1e6),
    )
    of, _, axial = seen(truss)
    assert kh == pytest.approx(1.3496, abs=1e-4)
    assert buckling(of, axial).factor == pytest.approx(kh**2 * EI / L**2 / 1000.0, rel=1e-4)


def test_a_shallow_arch_between_fixed_points_buckles_to_one_side() -> None:
    """A two-hinged arch so flat that its thrust is all but its axial force: H = 4 pi^2 E I / L^2."""
    rise = 60.0
    radius = (L**2 / 4 + rise**2) / (2 * rise)
    truss = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0)},
        members={"arch": stick("A", "B", curve=Curve(radius=radius, bows="up"))},
        supports={"A": PIN, "B": PIN},
        cases={"P": (LineLoad(on=Target(member=MemberId("arch")), direction="down", value=1.0),)},
        section=Section(area=1e6, inertia=1e6),
    )
    of, _, axial = seen(truss)
    assert buckling(of, axial).factor == pytest.approx(4 * EULER / -axial[0], rel=2e-3)


def test_a_column_soft_in_shear_buckles_sooner() -> None:
    """Engesser: P = Pe / (1 + Pe / G As)."""
    shear = 3.0 * EULER
    truss = column(EULER / 2)
    (material,) = truss.materials.values()
    truss = replace(
        truss,
        sections={name: replace(one, shear_area=shear / 500.0) for name, one in truss.sections.items()},
        materials=dict.fromkeys(truss.materials, replace(material, G=500.0)),
    )
    of, _, axial = seen(truss)
    assert buckling(of, axial).factor == pytest.approx(2.0 / (1.0 + 1.0 / 3.0), rel=1e-6)


PARTS = [0.1, 0.5, 0.79]


def peak(truss: Truss) -> float:
    """The largest moment of second order on the first segment."""
    found = answer(*seen(truss))
    assert found is not None
    return float(found.peak[0])


@pytest.mark.parametrize("part", PARTS)
def test_a_beam_column_under_a_line_load(part: float) -> None:
    """W / k^2 (sec kL/2 - 1)."""
    k = sqrt(part * EULER / EI)
    found = peak(column(part * EULER, along("c", 2.0)))
    assert found == pytest.approx(2.0 / k**2 * (1 / cos(k * L / 2) - 1.0), rel=1e-9)


@pytest.mark.parametrize("part", PARTS)
def test_a_beam_column_under_a_load_at_its_middle(part: float) -> None:
    """Q tan(kL/2) / 2k."""
    k = sqrt(part * EULER / EI)
    load = PointLoad(on=Target(member=MemberId("c")), at=L / 2, fy=-900.0)
    assert peak(column(part * EULER, load)) == pytest.approx(900.0 * tan(k * L / 2) / (2 * k), rel=1e-9)


@pytest.mark.parametrize("part", PARTS)
def test_the_secant_formula(part: float) -> None:
    """Equal end moments P e: P e sec kL/2 in the middle; FR12 of the published frames is its first order, P e."""
    k, e, push = sqrt(part * EULER / EI), 25.0, part * EULER
    ends = (at_joint("A", moment=push * e), at_joint("B", moment=-push * e))
    truss = column(push, *ends, fixed=("first", "last"))
    assert abs(peak(truss)) == pytest.approx(push * e / cos(k * L / 2), rel=1e-9)
    assert abs(analyse(truss)[P].segments[truss.segments[0].id].moment_peak) == pytest.approx(push * e, rel=1e-9)


@pytest.mark.parametrize("part", PARTS)
def test_an_initial_bow(part: float) -> None:
    """A parabola of the height a bends as under w = 8 P a / L^2: 8 E I a / L^2 (sec kL/2 - 1)."""
    k, a = sqrt(part * EULER / EI), 12.0
    truss = column(part * EULER)
    bowed = changed(truss, c=replace(truss.members[MemberId("c")], bows=((0, a),)))
    assert abs(peak(bowed)) == pytest.approx(8 * EI * a / L**2 * (1 / cos(k * L / 2) - 1.0), rel=1e-4)


@pytest.mark.parametrize("part", PARTS)
def test_a_cantilever_sways(part: float) -> None:
    """Q tan(kL) / k at the foot, under part of a quarter of the Euler load."""
    push = part * EULER / 4
    k = sqrt(push / EI)
    truss = column(push, at_joint("B", fy=-50.0), fixed=("first",), supports={"A": CLAMP})
    found = answer(*seen(truss))
    assert found is not None
    assert abs(found.basic[0, 1]) == pytest.approx(50.0 * tan(k * L) / k, rel=1e-8)


def test_tension_takes_moment_away() -> None:
    k = sqrt(0.5 * EULER / EI)
    found = peak(column(-0.5 * EULER, along("c", 2.0)))
    assert found == pytest.approx(2.0 / k**2 * (1.0 - 1.0 / np.cosh(k * L / 2)), rel=1e-9)


@pytest.mark.parametrize("arm", [150.0, 900.0])
def test_a_rigid_arm_at_a_turning_end_is_what_a_stiff_stick_in_its_place_is(arm: float) -> None:
    """A column on an arm whose joint a spring holds against turning, or on a very stout stick instead."""
    supports = {"A": PIN, "B": Support(holds=("y",), springs={"turn": 5e6})}
    push = {"P": (at_joint("B", fx=-1000.0),)}
    beside = replace(stick("A", "B", fixed=("last",)), offsets={"last": (-arm, 0.0)})
    short = build(joints={"A": (0.0, 0.0), "B": (L, 0.0)}, members={"c": beside}, supports=supports, cases=push)
    parts = build(
        joints={"A": (0.0, 0.0), "B": (L, 0.0), "C": (L - arm, 0.0)},
        members={"c": stick("A", "C", fixed=("last",)), "arm": stick("C", "B", fixed=("first", "last"))},
        supports=supports,
        cases=push,
    )
    stout = {**parts.sections, SectionId("stout"): Section(area=1e6, inertia=1e12)}
    stiff = replace(parts.members[MemberId("arm")], section=SectionId("stout"))
    (one, _, axial), (other, _, alike) = seen(short), seen(changed(replace(parts, sections=stout), arm=stiff))
    assert buckling(one, axial).factor == pytest.approx(buckling(other, alike).factor, rel=1e-5)


def test_without_compression_nothing_buckles() -> None:
    of, _, axial = seen(column(-1000.0))
    assert buckling(of, axial).factor is None


def test_light_loads_give_the_forces_of_first_order() -> None:
    truss = frame(4, joints=12)
    light = replace(
        truss, loads=replace(truss.loads, combinations={RunId("light"): dict.fromkeys(truss.loads.cases, 1e-6)})
    )
    found, linear = answer(*seen(light, RunId("light"))), analyse(light)[RunId("light")]
    assert found is not None
    for number, forces in enumerate(linear.segments.values()):
        assert found.basic[number, 0] == pytest.approx(forces.axial, rel=1e-4, abs=1e-6)
        assert abs(found.peak[number]) == pytest.approx(abs(forces.moment_peak), rel=1e-4, abs=1e-3)


PARTED = 6
"""Beam elements to a segment in the outside comparison."""


def outside_factor(truss: Truss, axial: Floats, *, parted: int = PARTED) -> float:
    """The lowest buckling factor by scipy; every segment of `parted` elements, hinges as turns of their own."""
    made = assembled(truss, idealise(truss, "continuous"), list(truss.loads.cases))
    assert made.frame.ties is None
    rows, count = movements_of(made.frame), made.frame.total
    places: list[tuple[list[int], Floats, Floats]] = []
    for number, segment in enumerate(truss.segments):
        section, material = truss.section_of(segment.member), truss.material_of(segment.member)
        assert section is not None
        assert material is not None
        e, area, inertia = material.E, section.gross_area, section.bending_inertia
        assert e
        assert area
        assert inertia
        length, (c, s) = made.shape.chord[number] / parted, made.shape.along[number]
        stiff, geometric = _element(e * area, e * inertia, length)
        turn = np.kron(np.eye(2), np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]]))
        stiff, geometric = turn.T @ stiff @ turn, axial[number] * turn.T @ geometric @ turn
        ends = [rows[number, :3].tolist(), rows[number, 3:].tolist()]
        for end in ends:
            if end[2] == made.frame.total:
                end[2], count = -count - 1, count + 1
        nodes = [ends[0]]
        for _ in range(parted - 1):
            nodes.append([-count - 1, -count - 2, -count - 3])
            count += 3
        nodes.append(ends[1])
        places += [([*one, *other], stiff, geometric) for one, other in pairwise(nodes)]
    whole, pushed = np.zeros((count, count)), np.zeros((count, count))
    for at, stiff, geometric in places:
        index = [-one - 1 if one < 0 else one for one in at]
        whole[np.ix_(index, index)] += stiff
        pushed[np.ix_(index, index)] += geometric
    whole[range(made.frame.total), range(made.frame.total)] += made.frame.springs
    free = [*made.frame.free.tolist(), *range(made.frame.total, count)]
    lowest = eigh(
        pushed[np.ix_(free, free)], whole[np.ix_(free, free)], eigvals_only=True, subset_by_index=[0, 0]
    )[0]
    return float("inf") if lowest >= 0.0 else float(-1.0 / lowest)


def _element(ea: float, ei: float, h: float) -> tuple[Floats, Floats]:
    """Elastic and geometric stiffness (for a unit tension) of a beam element, x, y, turn at either end."""
    stiff, geometric = np.zeros((6, 6)), np.zeros((6, 6))
    stiff[np.ix_([0, 3], [0, 3])] = ea / h * np.array([[1, -1], [-1, 1]])
    bend = [1, 2, 4, 5]
    stiff[np.ix_(bend, bend)] = (
        ei / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                              [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
    )  # fmt: skip
    geometric[np.ix_(bend, bend)] = (
        np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                  [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]]) / (30 * h)
    )  # fmt: skip
    return stiff, geometric


LEVEL = [
    seed
    for seed in range(12)
    if not any(isinstance(h, tuple) for s in frame(seed, joints=12).supports.values() for h in s.holds)
]
"""Frames without an inclined bearing, which the outside solver is not told of."""


@pytest.mark.parametrize("seed", LEVEL)
def test_frames_buckle_where_an_outside_solver_says(seed: int) -> None:
    """Elements of a finite length are a little too stiff: six to a segment by less than 1 in 2,000."""
    truss = frame(seed, joints=12)
    of, _, _ = seen(truss, next(iter(truss.loads.runs)))
    axial = np.array(
        [segment.axial for segment in analyse(truss)[next(iter(truss.loads.combinations))].segments.values()]
    )
    heavy = axial * 30.0
    found = buckling(of, heavy)
    expected = outside_factor(truss, heavy)
    assert found.factor is not None
    assert found.factor == pytest.approx(expected, rel=5e-4)
    assert found.factor <= expected * (1.0 + 1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_the_count_grows_with_the_loads_and_never_falls(seed: int) -> None:
    truss = frame(seed, joints=10)
    of, _, axial = seen(truss, next(iter(truss.loads.combinations)))
    counts = [times_buckled(of, axial * 3.0**power) for power in range(8)]
    assert counts == sorted(counts)
    assert counts[-1] > 1
