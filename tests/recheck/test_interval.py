"""Proved bounds: the truth lies within them, they are narrow, and what is wrong widens them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pytest

from tests.recheck.giving import surveyed
from tests.recheck.tables import as_table, checked, own_forces
from tests.recheck.test_proof import true_forces
from tests.strategies import frame, random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, Support
from trussio.recheck.acting import acting_widths
from trussio.recheck.energy import Found, factors_of, minimum
from trussio.recheck.interval import half_widths
from trussio.recheck.problem import Problem, problem_of
from trussio.recheck.reading import Reading, read

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from trussio.model.truss import Idealisation, Truss

    Array = NDArray[np.float64]


IDEALISATIONS: tuple[Idealisation, ...] = ("continuous", "pinned")


class Solved(NamedTuple):
    reading: Reading
    problem: Problem
    found: Found
    factors: Mapping[RunId, Array]

    def widths(self) -> dict[RunId, Array]:
        widths = half_widths(*self)
        assert widths is not None
        return widths


def solved(truss: Truss, idealisation: Idealisation = "continuous") -> Solved:
    reading = read(truss, idealisation=idealisation)
    problem = problem_of(reading)
    found = minimum(reading, problem)
    return Solved(reading, problem, found, factors_of(reading, problem, found))


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
@pytest.mark.parametrize("seed", range(12))
def test_bounds_are_narrow(seed: int, idealisation: Idealisation) -> None:
    """A billionth of the largest number that the forces are made of, on all that a document can hold."""
    what = ("offsets", "slip", "turning", "worn", "bows") if seed % 2 else ()
    one = solved(surveyed(seed, what, idealisation), idealisation)
    for run, widths in one.widths().items():
        assert widths.max() <= 1e-9 * float(np.abs(one.factors[run]) @ one.found.size)


def test_forty_joints_are_bounded_to_a_billionth_of_the_largest_force() -> None:
    one = solved(frame(3))
    for run, widths in one.widths().items():
        forces = one.found.forces[: len(widths)] @ one.factors[run]
        assert widths.max() <= 1e-9 * np.abs(forces).max()


@pytest.mark.parametrize("seed", range(4))
def test_the_truth_lies_within_the_bounds(seed: int) -> None:
    """Generated trusses of one section, loaded at joints; the truth is known to 60 figures."""
    drawn = random_truss(seeded(seed), panels=4, curved=False)
    supports = {
        name: Support(holds=(*s.holds, *(h for h in s.springs if h not in s.holds)))
        for name, s in drawn.supports.items()
    }
    run = RunId("P")
    loads = tuple(at_joint(name, fx=0.1 * k, fy=-1000.0 / 3) for k, name in enumerate(drawn.joints))
    truss = replace(
        drawn,
        units="si",
        supports=supports,
        sections=dict.fromkeys(drawn.sections, Section(area=1000.0, inertia=1e6)),
        materials=dict.fromkeys(drawn.materials, Material(E=1e4)),
        loads=Loads(cases={run: LoadCase(loads=loads)}),
    )
    record = checked(truss, as_table(own_forces(truss, "continuous")), "continuous")
    for name, force in true_forces(truss).items():
        proved = next(check.proved for at, check in record.runs[run].segments.items() if at == name)
        assert proved is not None
        assert proved[0] <= force <= proved[1]


@pytest.mark.parametrize("part", [1e-6, 1e-2])
def test_wrong_forces_and_wrong_movements_widen_the_bounds(part: float) -> None:
    one = solved(frame(5, joints=12))
    run = RunId("D")
    segment = int(np.argmax(np.abs(one.found.forces[: len(one.reading.truss.segments)] @ one.factors[run])))
    wrong = one.found.forces.copy()
    wrong[segment] *= 1 + part
    off = float(abs((wrong - one.found.forces)[segment] @ one.factors[run]))
    assert one._replace(found=one.found._replace(forces=wrong)).widths()[run][segment] >= off
    shifted = one.found._replace(moved=one.found.moved * (1 + part))
    assert one._replace(found=shifted).widths()[run].max() > 1e3 * one.widths()[run].max()


def test_a_stiffness_that_is_wrong_by_a_tenth_widens_the_bounds_to_about_a_tenth() -> None:
    truss = frame(5, joints=12)
    other = replace(truss, materials={name: replace(m, E=(m.E or 0) * 1.1) for name, m in truss.materials.items()})
    one, run = solved(truss), RunId("D")
    mixed = Solved(one.reading, solved(other).problem, one.found, one.factors)
    largest = np.abs(one.found.forces[: len(truss.segments)] @ one.factors[run]).max()
    assert 0.01 * largest < mixed.widths()[run].max() < 2 * largest


def test_a_record_says_why_nothing_is_proved() -> None:
    """A rod that no load works on is slack or not: nothing proves its sign."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (500.0, 500.0)},
        members={
            **{name: stick(*name.upper()) for name in ("ab", "ac", "bc")},
            "rod": replace(stick("A", "C"), acts="tension"),
        },
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (), "S": (at_joint("C", fy=-1000.0),)},
    )
    record = checked(truss, as_table(own_forces(truss, "pinned")), "pinned")
    still, loaded = record.runs[RunId("P")], record.runs[RunId("S")]
    assert still.verdict == "agrees"
    assert {check.proved for check in still.segments.values()} == {None}
    assert still.not_proved is not None
    assert still.not_proved.startswith("rod:A-C is so near to carrying the other way")
    assert loaded.not_proved is None
    assert all(check.proved for check in loaded.segments.values())


@pytest.mark.parametrize("what", [("acts",), ("acts", "offsets"), ("play",), ("acts", "play", "worn")])
def test_members_that_carry_one_way_are_bounded_with_the_set_that_acts(what: tuple[str, ...]) -> None:
    proved = 0
    for seed in range(6):
        for idealisation in IDEALISATIONS:
            one = solved(surveyed(seed, what, idealisation), idealisation)
            for row in one.factors.values() if one.problem.yielding else ():
                widths = acting_widths(one.reading, one.problem, one.found.forces @ row, row)
                if not isinstance(widths, str):
                    proved += 1
                    assert widths.max() <= 1e-9 * float(np.abs(row) @ one.found.size)
    assert proved > 15


@pytest.mark.parametrize("by", [0.0, 1.0])
def test_a_set_that_does_not_act_is_not_proved(by: float) -> None:
    """Of two rods across a square that which would be pushed is slack; any other set has a sign wrong."""
    rods = {name: replace(stick(*name.upper()), acts="tension") for name in ("ac", "bd")}
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)},
        members={**{name: stick(*name.upper()) for name in ("bc", "cd", "da")}, **rods},
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("D", fx=1000.0),)},
    )
    one = solved(truss, "pinned")
    (row,) = one.factors.values()
    assert isinstance(acting_widths(one.reading, one.problem, one.found.forces @ row, row), np.ndarray)
    wrong = np.array([1.0, by, 0.0])  # what pulls is said to be slack, or both are said to act
    told = acting_widths(one.reading, one.problem, one.found.forces @ wrong, wrong)
    assert isinstance(told, str)
    assert "its sign is not proved" in told


def test_joints_that_hang_on_soft_springs_are_bounded_all_the_same() -> None:
    truss = frame(2, joints=10)
    soft = replace(truss, supports={**truss.supports, JointId("B1"): Support(springs={"y": 1e-6})})
    assert solved(soft).widths()
