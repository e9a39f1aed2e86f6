"""What the checker of proofs reckons with, against the other reading of the document and against known answers."""

from __future__ import annotations

import json
from fractions import Fraction
from math import pi, sin
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, at_joint, build, stick
from trussio.document.encode import write_truss
from trussio.model.truss import Support
from trussio.recheck.flexibility import flexibility as flexible_arrays
from trussio.recheck.flexibility import softness_of
from trussio.recheck.reading import read
from trussio.recheck.ribs import GAUSS, Rib, flexibility, gauss_points, handed, misfit, rib_of, stiffness
from trussio.recheck.statement import movements_of, structure_of
from trussio.recheck.tally import Loads, loads_of

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Truss
    from trussio.recheck.statement import Structure


def stated(truss: Truss, idealisation: Idealisation = "continuous") -> Structure:
    return structure_of(json.loads(write_truss(truss)), continuous=idealisation == "continuous")


def test_gauss_points_integrate_what_they_must() -> None:
    for power in range(16):
        assert sum(weight * place**power for place, weight in GAUSS) == pytest.approx(1 / (power + 1), rel=1e-14)
    quarter = Rib(chord=1.0, curvature=1.0, length=pi / 2, softness=(1.0, 0.0, 1.0))
    total = sum(weight * sin(at) ** 2 for at, weight in gauss_points(quarter, (0.0, 0.4, pi / 2)))
    assert total == pytest.approx(pi / 4, rel=1e-15)


def test_a_straight_segment_under_a_point_load() -> None:
    """P a b (L + b) / 6 L E I and P a b (L + a) / 6 L E I, from handbooks; turned so that sagging is positive."""
    rib = rib_of(10.0, None, (1e-3, 0.0, 1e-2), to_left=False)
    value, _ = misfit(rib, flexibility(rib), 4.0, 7.0, -3.0)
    assert value == pytest.approx((0.0, 3 * 4 * 6 * 16 / 60 * 1e-2, 3 * 4 * 6 * 14 / 60 * 1e-2))
    assert handed(rib, 4.0, 7.0, -3.0) == pytest.approx((2.8, -1.2))


def test_a_flat_arc_is_nearly_straight() -> None:
    straight = rib_of(10.0, None, (1e-3, 1e-4, 1e-2), to_left=False)
    flat = rib_of(10.0, 1e7, (1e-3, 1e-4, 1e-2), to_left=True)
    assert np.array(flexibility(flat)) == pytest.approx(np.array(flexibility(straight)), rel=1e-9, abs=1e-7)
    for ours, theirs in zip(
        misfit(flat, flexibility(flat), 4.0, 0.0, -3.0)[0],
        misfit(straight, flexibility(straight), 4.0, 0.0, -3.0)[0],
        strict=True,
    ):
        assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-5)


def test_the_inverse_is_one_and_a_segment_beyond_trust_is_refused() -> None:
    flexible = flexibility(rib_of(10.0, 8.0, (1e-3, 1e-4, 1e-2), to_left=True))
    for acting in ([0], [0, 1], [0, 2], [0, 1, 2]):
        part = np.array(flexible)[np.ix_(acting, acting)]
        assert part @ np.array(stiffness(flexible, acting)) == pytest.approx(np.eye(len(acting)), abs=1e-11)
    spoilt = ((1.0, 1.0, 0.0), (1.0, 1.0 + 1e-13, 0.0), (0.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="too flat or too soft"):
        stiffness(spoilt, [0, 1])


@pytest.mark.parametrize("idealisation", ["pinned", "continuous"])
@pytest.mark.parametrize("seed", range(15))
def test_two_readings_of_a_document_agree(seed: int, idealisation: Idealisation) -> None:
    """Flexibilities, loads at joints and deformations by loads, from the records and from the JSON."""
    truss = random_truss(seeded(seed), idealisation=idealisation, stations=False)
    about = stated(truss, idealisation)
    reading = read(truss, idealisation=idealisation)
    bends = np.full(len(truss.segments), fill_value=True)
    block, start = flexible_arrays(reading.axes, reading.loads, softness_of(truss, bends))
    for case, segment, strain in reading.placed.strains:
        start[case, segment, 0] += strain * reading.axes.chord[segment]
    for index, s in enumerate(about.segments.values()):
        assert np.array(s.flexible) == pytest.approx(
            block[index], rel=1e-12, abs=1e-13 * np.abs(block[index]).max()
        )
    turning = {
        turn: "".join(filter(None, (f"{stick}:" if stick else "", joint)))
        for joint, stick in reading.equations.turns
        for turn in [(joint, stick)]
    }
    rows = [(joint, axis) for joint in truss.joints for axis in "xy"] + [
        (turning[t], "turn") for t in reading.equations.turns
    ]
    for case, run in enumerate(truss.loads.cases):
        loads = loads_of(about.truss, about.segments.values(), run)
        pushed = [sum(loads.push[row]) for row in rows]
        size = np.abs(reading.loads.joints[case]).max() + 1e-9
        assert pushed == pytest.approx(reading.loads.joints[case].tolist(), rel=0, abs=1e-12 * size)
        for index, s in enumerate(about.segments.values()):
            if s.turns == (None, None) and not s.rib.curvature:
                continue
            terms = loads.misfit[s.id]
            for part in range(3):
                total, rough = sum(value[part] for value, _ in terms), sum(size[part] for _, size in terms)
                assert total == pytest.approx(start[case, index, part], rel=0, abs=1e-12 * rough + 1e-16)


def test_free_movements_and_what_bearings_make_of_movements() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4.0, 0.0), "C": (8.0, 0.0), "D": (12.0, 0.0)},
        members={"s": stick("A", "B", "C", "D", fixed=("first",))},
        supports={
            "A": Support(holds=("x", "y", "turn")),
            "B": Support(holds=((3.0, 4.0),)),
            "C": Support(holds=((1.0, 2.0), "y")),
            "D": Support(springs={"y": 5.0}),
        },
        cases={"P": (at_joint("D", fy=-1.0),)},
    )
    about = stated(truss)
    assert list(about.free) == ["B slides", "D x", "D y", "B turns", "C turns"]
    assert about.free["B slides"] == {("B", "x"): -4, ("B", "y"): 3}
    state = {"movements": {name: [1.0, 1.0] for name in "ABCD"}, "turns": {"A": 1.0, "B": 1.0}}
    moved = movements_of(about, state, Loads({}, {}, {}, {("A", "y"): -0.5, ("A", "turn"): 0.25}, {}))
    assert (moved["A", "x"], moved["A", "y"], moved["A", "turn"]) == (0.0, -0.5, 0.25)
    assert (moved["B", "x"], moved["B", "y"]) == pytest.approx((1 - 7 * 3 / 25, 1 - 7 * 4 / 25))
    assert (moved["C", "x"], moved["C", "y"]) == (0.0, 0.0)
    assert (moved["D", "x"], moved["D", "y"], moved["B", "turn"]) == (1.0, 1.0, 1.0)
    with pytest.raises(ValueError, match="C is moved against a slanted bearing"):
        movements_of(about, state, Loads({}, {}, {}, {("C", "y"): 1.0}, {}))


def test_stations_are_seen() -> None:
    """P stands in the middle of its line: it slides along that, and follows half of T and of A across it."""
    truss = build(
        joints={"A": (0.0, 0.0), "P": (2.0, 1.5), "T": (4.0, 3.0), "B": (8.0, 0.0)},
        members={"l": stick("A", "P", "T"), "r": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={},
    )
    free = stated(truss, "pinned").free
    assert list(free) == ["T x", "T y", "B x", "P slides"]
    assert free["P slides"] == {("P", "x"): 4, ("P", "y"): 3}
    assert free["T y"] == {("T", "y"): 1, ("P", "x"): Fraction(-6, 25), ("P", "y"): Fraction(8, 25)}
    assert list(stated(truss).free) == ["P x", "P y", "T x", "T y", "B x", "P turns"]


def test_a_moment_on_a_hinge_is_refused() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (4.0, 0.0)},
        members={"s": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("B", moment=1.0),)},
    )
    about = stated(truss)
    with pytest.raises(ValueError, match="Nothing takes the moment at B"):
        loads_of(about.truss, about.segments.values(), "P")
