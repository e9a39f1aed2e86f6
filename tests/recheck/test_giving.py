"""What a survey finds, by least energy: against closed forms, and against the analysis, which shares no line."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.recheck.giving import surveyed
from tests.trusses import CLAMP, PIN, ROLLER, P, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Worn
from trussio.model.loading import Target, Warmer
from trussio.model.material import Section
from trussio.model.truss import JointId, MemberId, SegmentId
from trussio.recheck.energy import least_energy, second_forces
from trussio.recheck.one_way import Box, shortenings
from trussio.recheck.reading import read

if TYPE_CHECKING:
    from collections.abc import Collection

    from trussio.model.truss import Idealisation, Truss
    from trussio.recheck.energy import SecondForces

BAR = SegmentId("bar:A-B")
EA, EI, LONG, STRAIN = 1e7, 1e10, 2000.0, 50 * 1e-5


def warm_bar(**found: object) -> Truss:
    """A bar of 2000 between fixed ends, warmed by 50 degrees: it would lengthen by 1."""
    bar = replace(stick("A", "B"), **found)  # type: ignore[arg-type]  # fields of the case
    return build(
        joints={"A": (0.0, 0.0), "B": (LONG, 0.0)},
        members={"bar": bar},
        supports={"A": PIN, "B": PIN},
        cases={"P": (Warmer(on=Target(member=MemberId("bar")), by=50.0),)},
    )


def thrust(truss: Truss) -> float:
    return -second_forces(truss, idealisation="continuous")[P].axial[BAR]


HALF = Section(area=500.0, inertia=5e5)


@pytest.mark.parametrize(
    ("says", "found", "gives"),
    [
        ("as built: E A x strain", {}, LONG / EA),
        ("both ends slip: 1 / k more each", {"slip": {"first": 5000.0, "last": 1e4}}, LONG / EA + 3e-4),
        (
            "half of it worn to half its area",
            {"worn": (Worn(start=0.0, end=LONG / 2, section=HALF, shift=0.0),)},
            1.5 * LONG / EA,
        ),
        (
            "half of it on an axis 40 aside, with half the inertia: e2 l / E I more",
            {"worn": (Worn(start=0.0, end=LONG / 2, section=HALF, shift=40.0),)},
            1.5 * LONG / EA + 40.0**2 * (LONG / 2) / (EI / 2),
        ),
    ],
)
def test_a_warm_bar_between_fixed_ends(says: str, found: dict[str, object], gives: float) -> None:
    assert thrust(warm_bar(**found)) == pytest.approx(STRAIN * LONG / gives, rel=1e-12), says


def test_a_bow_gives_by_bending() -> None:
    """Moment N y over a parabola of 20: 8 b2 L / 15 E I more; the slope of 4 in 100 takes a part in a thousand."""
    gives = LONG / EA + 8 * 20.0**2 * LONG / (15 * EI)
    assert thrust(warm_bar(bows=((0, 20.0),))) == pytest.approx(STRAIN * LONG / gives, rel=2e-3)


@pytest.mark.parametrize(
    ("says", "play", "left"),
    [("play takes a part", 0.4, 0.6), ("it takes exactly all", 1.0, 0.0), ("more than all", 1.5, 0.0)],
)
def test_play_closes_before_a_bar_carries(says: str, play: float, left: float) -> None:
    assert thrust(warm_bar(play={"first": play})) == pytest.approx(left * EA / LONG, abs=1e-9), says


def test_a_fixed_end_that_turns_halves_its_share() -> None:
    """A tip moment M on a cantilever whose root turns by M / k: tip deflection P L3 / 3 E I + P L2 / k."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (LONG, 0.0)},
        members={"bar": replace(stick("A", "B", fixed=("first",)), turning={"first": 1e7})},
        supports={"A": CLAMP},
        cases={"P": (at_joint("B", fy=-30.0),)},
    )
    found = second_forces(truss, idealisation="continuous")[P]
    tip = 30 * LONG**3 / (3 * EI) + 30 * LONG**2 / 1e7
    assert found.movements[JointId("B")][1] == pytest.approx(-tip, rel=1e-12)


def test_an_end_beside_its_joint_bends_what_it_meets() -> None:
    """A tie that pulls with 1000 at 50 below the joint of a beam turns it by 50 000, half to each side of it."""
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (2000.0, 0.0), "D": (3000.0, -50.0)},
        members={
            "beam": stick("A", "B", "C"),
            "tie": replace(stick("B", "D"), offsets={"first": (0.0, -50.0)}),
        },
        supports={"A": PIN, "C": ROLLER, "D": ROLLER},
        cases={"P": (at_joint("D", fx=1000.0),)},
    )
    found = second_forces(truss, idealisation="continuous")[P]
    assert found.axial[SegmentId("tie:B-D")] == pytest.approx(1000.0)
    assert found.moments[SegmentId("beam:A-B")][1] == pytest.approx(25000.0)
    assert found.moments[SegmentId("beam:B-C")][0] == pytest.approx(-25000.0)
    assert found.reactions[JointId("A")] == pytest.approx((-1000.0, 25.0, 0.0))


def test_of_two_rods_across_a_square_one_acts() -> None:
    """P to the right at D: the rod from B to D would be pushed, that from A to C takes P sqrt 2 alone."""
    rods = {name: replace(stick(*name.upper()), acts="tension") for name in ("ac", "bd")}
    truss = build(
        joints={"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)},
        members={**{name: stick(*name.upper()) for name in ("bc", "cd", "da")}, **rods},
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("D", fx=1000.0),)},
    )
    found = second_forces(truss, idealisation="pinned")[P].axial
    assert found[SegmentId("bd:B-D")] == pytest.approx(0.0, abs=1e-9)
    assert found[SegmentId("ac:A-C")] == pytest.approx(1000.0 * 2**0.5)
    pulled = replace(truss, members={**truss.members, MemberId("bd"): stick("B", "D")})
    assert second_forces(pulled, idealisation="pinned")[P].axial[SegmentId("bd:B-D")] < -100.0


def test_rods_that_would_all_have_to_push_balance_nothing() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0), "C": (1000.0, 1000.0)},
        members={name: replace(stick(*name.upper()), acts="tension") for name in ("ac", "bc")},
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("C", fy=-1000.0),)},
    )
    with pytest.raises(CannotAnalyseError, match="no set of the members that carry one way was found") as caught:
        second_forces(truss, idealisation="pinned")
    assert caught.value.code == "no-acting-set"


def test_bounds_are_kept_where_unknowns_hang_together() -> None:
    """Two between 0 and 1 that pull each other: p0 is held at 1 by p1, which is nought only at 0.5."""
    growth = np.array([[1.0, 0.5], [0.5, 1.0]])
    found = shortenings(Box(growth, np.array([-2.0, -1.0]), np.zeros(2), np.ones(2), np.full(2, 1e-12)))
    assert found == pytest.approx([1.0, 0.5])


def carried_one_way(truss: Truss, found: SecondForces) -> float:
    return max(abs(found.axial[s.id]) for s in truss.segments if truss.members[s.member].acts)


SETS: list[tuple[str, ...]] = [
    ("offsets",),
    ("slip", "turning"),
    ("worn",),
    ("bows",),
    ("acts",),
    ("play",),
    ("offsets", "slip", "turning", "worn", "bows"),
    ("acts", "play", "slip", "bows", "offsets"),
]


@pytest.mark.parametrize("idealisation", ["continuous", "pinned"])
@pytest.mark.parametrize("what", SETS, ids=" ".join)
def test_generated_trusses_agree_with_the_analysis(what: Collection[str], idealisation: Idealisation) -> None:
    """To 1e-11 of the largest force. Where the analysis finds no acting set there is none, or nothing to carry."""
    compared = 0
    for seed in range(8):
        truss = surveyed(seed, what, idealisation)
        found = least_energy(read(truss, idealisation=idealisation))
        for run in truss.loads.runs:
            try:
                analysed = analyse(truss, idealisation=idealisation, runs=[run])[run]
            except CannotAnalyseError:
                assert run not in found or carried_one_way(truss, found[run]) <= 1e-9 * found[run].size
                continue
            compared += 1
            for name, force in found[run].axial.items():
                assert abs(analysed.segments[name].axial - force) <= 1e-11 * found[run].size
    assert compared > 20
