"""Exact forces of determinate trusses: fractions known on paper, published trusses, and refusals."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from tests.published.statics import SOLVED, Published
from tests.strategies import random_truss, seeded
from tests.trusses import (
    CROSSED_SQUARE,
    INCLINED_BEARING,
    KING_POST,
    OPEN_SQUARE,
    PIN,
    PURLIN_POINT,
    QUEEN_POST,
    RAFTER_PAIR,
    ROLLER,
    at_joint,
    build,
    stick,
)
from trussio.errors import CannotAnalyseError
from trussio.model.loading import JointLoad, RunId
from trussio.model.truss import JointId, SegmentId
from trussio.recheck.elimination import eliminate
from trussio.recheck.energy import second_forces
from trussio.recheck.exact import axial_forces, exact_forces
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from tests.trusses import Known
    from trussio.model.truss import Truss

Loads = dict[JointId, tuple[Fraction, Fraction]]


def at_joints(truss: Truss, run: RunId) -> Loads:
    """The loads of a run, of whatever kind, as they arrive at the joints."""
    reading = read(truss, idealisation="pinned", runs=[run])
    pushed = (reading.factors[run] @ reading.loads.joints).tolist()
    return {
        joint: (Fraction(pushed[2 * index]), Fraction(pushed[2 * index + 1]))
        for index, joint in enumerate(truss.joints)
    }


@pytest.mark.parametrize(
    "known",
    [RAFTER_PAIR, INCLINED_BEARING, KING_POST, QUEEN_POST, PURLIN_POINT],
    ids=lambda known: known.says[:30],
)
def test_answers_known_on_paper_to_the_last_figure(known: Known) -> None:
    exact = exact_forces(known.truss, at_joints(known.truss, known.run))
    for segment, force in axial_forces(known.truss, exact).items():
        assert force == pytest.approx(known.axial[segment], rel=1e-15, abs=0), known.says
    for name, (x, y, _) in known.reactions.items():
        assert exact.reactions[JointId(name)] == (Fraction(x), Fraction(y))


def test_thirds_are_thirds() -> None:
    """A rafter pair loaded at a third of its span: 2/3 and 1/3 of the load, over the rises and lengths."""
    truss = build(
        joints={"A": (0.0, 0.0), "T": (1.0, 1.0), "B": (3.0, 0.0)},
        members={"l": stick("A", "T"), "r": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    exact = exact_forces(truss, {JointId("T"): (Fraction(0), Fraction(-1))})
    assert exact.densities == {"l:A-T": Fraction(-2, 3), "r:T-B": Fraction(-1, 3), "tie:A-B": Fraction(2, 9)}
    assert exact.reactions[JointId("A")] == (Fraction(0), Fraction(2, 3))
    assert exact.reactions[JointId("B")] == (Fraction(0), Fraction(1, 3))


def test_rounded_coordinates_are_taken_as_they_stand() -> None:
    """0.1 is the double nearest to a tenth, and its exact value enters."""
    truss = build(
        joints={"A": (0.0, 0.0), "T": (0.1, 0.1), "B": (0.3, 0.0)},
        members={"l": stick("A", "T"), "r": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    exact = exact_forces(truss, {JointId("T"): (Fraction(0), Fraction(-1))})
    assert exact.reactions[JointId("B")][1] == Fraction(0.1) / Fraction(0.3)
    assert exact.reactions[JointId("B")][1] != Fraction(1, 3)


@pytest.mark.parametrize(
    "entry", [e for e in SOLVED if e.category == "determinate_truss"], ids=lambda entry: entry.id
)
def test_published_determinate_trusses(entry: Published) -> None:
    """Simple, compound and complex ones; the figures of `recomputed` have ten digits."""
    assert {type(load) for case in entry.truss.loads.cases.values() for load in case.loads} <= {JointLoad}
    for run in entry.truss.loads.cases:
        forces = axial_forces(entry.truss, exact_forces(entry.truss, at_joints(entry.truss, run)))
        largest = max(abs(force) for force in forces.values())
        compared = 0
        for segment in entry.truss.segments:
            path = f"{run}.member_forces.{segment.member}"
            assert forces[segment.id] == pytest.approx(entry.recomputed[path], rel=1e-9, abs=1e-9 * largest)
            compared += 1
        assert compared == len(entry.truss.segments)


@pytest.mark.parametrize("seed", range(40))
def test_generated_trusses_with_stations_agree_with_least_energy(seed: int) -> None:
    truss = random_truss(seeded(seed), idealisation="pinned", redundant=False)
    found = second_forces(truss, idealisation="pinned")
    for run in truss.loads.runs:
        exact = axial_forces(truss, exact_forces(truss, at_joints(truss, run)))
        assert exact == pytest.approx(found[run].axial, rel=0, abs=1e-12 * found[run].size)


def test_a_compound_truss_is_eliminated() -> None:
    """Two triangles pinned at the ridge with a tie: no joint has two unknowns but by the whole's balance."""
    entry = next(e for e in SOLVED if e.id == "DT13")
    run = next(iter(entry.truss.loads.cases))
    four = replace(entry.truss, supports=dict(entry.truss.supports))
    assert exact_forces(four, at_joints(four, run)).densities


def test_four_holds_of_a_three_hinged_frame() -> None:
    """Two bars between two pins: 4 unknowns at the pins, none of them from the balance of the whole."""
    truss = build(
        joints={"A": (0.0, 0.0), "T": (3.0, 4.0), "B": (6.0, 0.0)},
        members={"l": stick("A", "T"), "r": stick("T", "B")},
        supports={"A": PIN, "B": PIN},
        cases={},
    )
    exact = exact_forces(truss, {JointId("T"): (Fraction(0), Fraction(-8))})
    assert exact.densities == {"l:A-T": Fraction(-1), "r:T-B": Fraction(-1)}
    assert exact.reactions[JointId("A")] == (Fraction(3), Fraction(4))
    assert exact.reactions[JointId("B")] == (Fraction(-3), Fraction(4))


@pytest.mark.parametrize(
    ("says", "truss", "message"),
    [
        ("one bar too many", CROSSED_SQUARE.truss, "9 unknowns stand against 8 equations"),
        ("one too few", OPEN_SQUARE.truss, "7 unknowns stand against 8 equations"),
        (
            "the right count in the wrong places",
            replace(
                CROSSED_SQUARE.truss,
                supports={JointId("A"): PIN},
            ),
            "Some part of it can move",
        ),
        (
            "three holds whose lines meet in one point",
            replace(
                RAFTER_PAIR.truss,
                supports={JointId("B0"): ROLLER, JointId("B2"): ROLLER, JointId("T1"): ROLLER},
            ),
            "Some part of it can move",
        ),
    ],
)
def test_what_equilibrium_does_not_settle_is_refused(says: str, truss: Truss, message: str) -> None:
    with pytest.raises(CannotAnalyseError, match=message) as caught:
        exact_forces(truss, {JointId("A"): (Fraction(1), Fraction(0)), JointId("T1"): (Fraction(1), Fraction(0))})
    assert caught.value.code == "not-determinate", says


def test_one_force_off_by_the_last_digit_is_seen() -> None:
    truss = QUEEN_POST.truss
    loads = at_joints(truss, RunId("P"))
    exact = exact_forces(truss, loads)
    nudged = {**loads, JointId("T1"): (Fraction(0), Fraction(-9000) + Fraction(1, 10**30))}
    assert exact_forces(truss, nudged).densities[SegmentId("q2:B2-T2")] == 0
    assert exact_forces(truss, nudged).densities != exact.densities


def test_elimination_leaves_what_rows_do_not_settle() -> None:
    one, two, three = (Fraction(n) for n in (1, 2, 3))
    assert eliminate([{0: two, 1: one}, {1: three}], [Fraction(5), three]) == {0: 2, 1: 1}
    assert eliminate([{0: one, 1: one}], [two]) == {}
    assert eliminate([{0: one}, {0: one}], [two, three]) == {0: 2}


def test_a_load_on_a_mechanism_that_it_does_not_move_is_refused_too() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (2.0, 0.0)},
        members={"one": stick("A", "B"), "other": stick("B", "C")},
        supports={"A": PIN, "C": PIN},
        cases={"P": (at_joint("B", fx=1.0),)},
    )
    with pytest.raises(CannotAnalyseError, match="does not settle"):
        exact_forces(truss, {JointId("B"): (Fraction(1), Fraction(0))})
