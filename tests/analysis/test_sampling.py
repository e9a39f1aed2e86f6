"""Variations solved side by side against the analysis of each by itself, which knows nothing of the others."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, along, at_joint, build, stick
from trussio.analysis.run import analyse
from trussio.analysis.sampling import each, sampled, side_by_side
from trussio.analysis.varied import Spread, variations
from trussio.errors import CannotAnalyseError
from trussio.model.condition import Worn
from trussio.model.idealised import idealise
from trussio.model.loading import LineLoad, PointLoad, RunId, Target
from trussio.model.material import Section
from trussio.model.truss import Curve, MemberId

if TYPE_CHECKING:
    from trussio.analysis.arrays import Floats
    from trussio.model.truss import Acts, Idealisation, Member, Truss

SAMPLES = 3
FIGURES = ("axial", "axial_ends", "shear", "moment", "moment_peak")


def random_truss_is_inclined(seed: int, *, curved: bool) -> bool:
    """Whether a bearing of this truss holds along a direction of its own."""
    truss = random_truss(seeded(seed), idealisation="continuous", curved=curved)
    return any(isinstance(hold, tuple) for support in truss.supports.values() for hold in support.holds)


def side_by_side_figures(truss: Truss, spread: Spread, idealisation: Idealisation = "continuous") -> list[Floats]:
    """All figures by run (m, 9, s)."""
    assert side_by_side(truss, idealise(truss, idealisation))
    parts = list(
        sampled(truss, idealisation=idealisation, runs=list(truss.loads.runs), spread=spread, samples=SAMPLES)
    )
    found = [np.concatenate(of, axis=2) for of in zip(*(part.figures() for part in parts), strict=True)]
    for run, part in enumerate(found):
        axial = np.concatenate([one.axial[run] for one in parts], axis=1)
        assert axial == pytest.approx(part[:, 0], rel=1e-9, abs=1e-9 * (1.0 + np.abs(axial).max()))
    return found


def by_themselves(truss: Truss, spread: Spread, idealisation: Idealisation = "continuous") -> list[Floats]:
    """The same from one analysis after the other."""
    ideal = idealise(truss, idealisation)
    variation = next(variations(truss, spread, SAMPLES, SAMPLES))
    found = [analyse(one, idealisation=idealisation) for one in each(truss, ideal, variation)]
    return [
        np.array(
            [
                [
                    [s.axial, *s.axial_ends, *s.shear, *s.moment, s.moment_peak, s.moment_peak_at]
                    for s in runs[run].segments.values()
                ]
                for runs in found
            ]
        ).transpose(1, 2, 0)
        for run in truss.loads.runs
    ]


def pushes(truss: Truss, spread: Spread, idealisation: Idealisation) -> list[Floats]:
    """What bearings push by run (b, 3, s): of one analysis after the other, less side by side."""
    ideal = idealise(truss, idealisation)
    runs = list(truss.loads.runs)
    parts = list(sampled(truss, idealisation=idealisation, runs=runs, spread=spread, samples=SAMPLES))
    fast = [np.concatenate(of, axis=2) for of in zip(*(part.pushes() for part in parts), strict=True)]
    variation = next(variations(truss, spread, SAMPLES, SAMPLES))
    found = [analyse(one, idealisation=idealisation) for one in each(truss, ideal, variation)]
    slow = [np.array([[*by[run].reactions.values()] for by in found]).transpose(1, 2, 0) for run in runs]
    return [one - other for one, other in zip(slow, fast, strict=True)]


def compare(truss: Truss, spread: Spread, *, within: float, idealisation: Idealisation = "continuous") -> None:
    """Forces by the largest force of the run, moments by the largest moment."""
    pairs = zip(
        side_by_side_figures(truss, spread, idealisation),
        by_themselves(truss, spread, idealisation),
        strict=True,
    )
    for fast, slow in pairs:
        force, moment = np.abs(slow[:, :5]).max() + 1e-3, np.abs(slow[:, 5:8]).max()
        assert np.abs(fast[:, :5] - slow[:, :5]).max() <= within * force
        assert np.abs(fast[:, 5:7] - slow[:, 5:7]).max() <= within * max(moment, force)
        peak = np.abs(np.abs(fast[:, 7]) - np.abs(slow[:, 7]))
        assert peak.max() <= within * max(moment, force)
    largest = max(abs(push) for run in analyse(truss).values() for one in run.reactions.values() for push in one)
    for off in pushes(truss, spread, idealisation):
        assert np.abs(off).max() <= 10 * within * largest


LEVEL = [
    (seed, curved)
    for seed in range(24)
    for curved in (False, True)
    if not random_truss_is_inclined(seed, curved=curved)
]
"""Trusses without an inclined bearing; with one, each variation is analysed by itself."""


@pytest.mark.parametrize(("seed", "curved"), LEVEL)
def test_any_truss_is_the_same_side_by_side_and_by_itself(seed: int, *, curved: bool) -> None:
    """An arc that runs upright under a load in plan is summed less closely: 5e-5 there, else to rounding."""
    truss = random_truss(seeded(seed), idealisation="continuous", curved=curved)
    spread = Spread(0.2 if truss.units == "us" else 5.0, 0.1)
    compare(truss, spread, within=5e-5 if curved else 1e-8)


@pytest.mark.parametrize("seed", range(6))
def test_a_pinned_truss_without_stations_is_the_same(seed: int) -> None:
    truss = random_truss(seeded(seed), idealisation="pinned", stations=False)
    if side_by_side(truss, idealise(truss, "pinned")):
        compare(truss, Spread(0.2 if truss.units == "us" else 5.0, 0.1), within=5e-5, idealisation="pinned")


BOTTOM = stick("B0", "B1", "B2", role="bottom-chord")
WORN = Worn(start=600.0, end=2900.0, section=Section(area=600.0, inertia=4e5), shift=12.0)


def gable(bottom: Member = BOTTOM) -> Truss:
    """A truss of two rafters, a bottom chord that runs through, and a king post, under all kinds of loads."""
    loads = (
        along("left", (1.0, 3.0)),
        LineLoad(on=Target(role="top-chord"), direction="down", value=2.0, per="plan"),
        LineLoad(
            on=Target(member=MemberId("bottom")), direction="down", value=(0.5, 1.5), start=900.0, end=4100.0
        ),
        PointLoad(on=Target(member=MemberId("right")), at=700.0, fx=200.0, fy=-900.0),
    )
    return build(
        joints={"B0": (0.0, 0.0), "B1": (2500.0, 0.0), "B2": (5000.0, 0.0), "T1": (2500.0, 1800.0)},
        members={
            "bottom": bottom,
            "left": stick("B0", "T1", role="top-chord", fixed=("first",)),
            "right": stick("T1", "B2", role="top-chord"),
            "post": stick("B1", "T1", role="web"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": loads, "Q": (at_joint("T1", fx=300.0, fy=-2000.0),)},
        combinations={"both": {"P": 1.2, "Q": 0.5}},
    )


@pytest.mark.parametrize(
    "bottom",
    [
        pytest.param(BOTTOM, id="as it is"),
        pytest.param(
            replace(BOTTOM, fixed=("first",), slip={"last": 900.0}, turning={"first": 1e8}),
            id="with an end that slips and one that turns",
        ),
        pytest.param(replace(BOTTOM, worn=(WORN,)), id="with lost section across a joint"),
        pytest.param(replace(BOTTOM, bows=((1, -30.0),), slip={"first": 1500.0}), id="with a bow, and slip"),
        pytest.param(
            replace(BOTTOM, fixed=("first",), worn=(WORN,), slip={"first": 700.0}, turning={"first": 1e8}),
            id="with lost section where an end slips and turns",
        ),
    ],
)
def test_what_is_worn_bowed_or_slips_is_the_same(bottom: Member) -> None:
    compare(gable(bottom), Spread(20.0, 0.2), within=1e-8)


def test_ends_beside_their_joints_are_the_same() -> None:
    truss = gable()
    post = replace(truss.members[MemberId("post")], offsets={"first": (150.0, 40.0)})
    curve = Curve(radius=6000.0, bows="up")
    left = replace(truss.members[MemberId("left")], curve=curve)
    compare(
        replace(truss, members={**truss.members, MemberId("post"): post, MemberId("left"): left}),
        Spread(10.0, 0.1),
        within=1e-6,
    )


def test_one_combination_alone_is_what_it_is_among_all() -> None:
    """With fewer runs than cases the loads are summed first."""
    truss = gable(replace(BOTTOM, slip={"last": 900.0}))
    every = side_by_side_figures(truss, Spread(20.0, 0.2))[2]
    (part,) = sampled(
        truss, idealisation="continuous", runs=[RunId("both")], spread=Spread(20.0, 0.2), samples=SAMPLES
    )
    (alone,) = part.figures()
    assert part.axial[0] == pytest.approx(every[:, 0], rel=1e-9)
    assert alone[:, :8] == pytest.approx(every[:, :8], rel=1e-7, abs=1e-6)


def test_without_tolerance_and_spread_every_variation_is_the_truss_itself() -> None:
    truss = gable()
    for fast, run in zip(side_by_side_figures(truss, Spread(0.0)), analyse(truss).values(), strict=True):
        axial = [segment.axial for segment in run.segments.values()]
        for sample in range(SAMPLES):
            assert fast[:, 0, sample].tolist() == pytest.approx(axial, rel=1e-9)


@pytest.mark.parametrize(
    ("rod", "acts"), [("bottom", "tension"), ("post", "tension"), ("post", "compression"), ("left", "tension")]
)
def test_members_that_act_one_way_are_taken_to_act_both_only_where_they_need_not(rod: str, acts: Acts) -> None:
    """The rafters would have to pull: every variation is found by itself; the post pulls in some runs alone."""
    truss = gable()
    one_way = replace(truss.members[MemberId(rod)], acts=acts)
    truss = replace(truss, members={**truss.members, MemberId(rod): one_way})
    spread = Spread(5.0, 0.1)
    slow = by_themselves(truss, spread)
    for fast, known in zip(side_by_side_figures(truss, spread), slow, strict=True):
        assert fast[:, :8] == pytest.approx(known[:, :8], rel=1e-6, abs=1e-4)


def test_stations_of_a_pinned_truss_stay_on_their_lines() -> None:
    truss = build(
        joints={"A": (0.0, 0.0), "S": (1000.0, 500.0), "T": (2000.0, 1000.0), "B": (4000.0, 0.0)},
        members={"left": stick("A", "S", "T"), "right": stick("T", "B"), "tie": stick("A", "B")},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("S", fy=-1000.0),)},
    )
    ideal = idealise(truss, "pinned")
    for one in each(truss, ideal, next(variations(truss, Spread(30.0), 4, 4))):
        assert idealise(one, "pinned").stations.keys() == {"S"}
        analyse(one, idealisation="pinned")


def test_the_first_variations_do_not_depend_on_how_many_there_are_or_how_many_are_held() -> None:
    truss, spread = gable(), Spread(10.0, 0.1)
    few, many = (next(variations(truss, spread, count, count)) for count in (3, 50))
    pieces = [one.moved for one in variations(truss, spread, 50, 7)]
    assert np.array_equal(few.moved, many.moved[:, :, :3])
    assert np.array_equal(few.stiffer, many.stiffer[:, :3])
    assert np.array_equal(np.concatenate(pieces, axis=2), many.moved)


def test_joints_and_stiffness_stay_within_their_limits_and_fill_them() -> None:
    variation = next(variations(gable(), Spread(10.0, 0.1), 4000, 4000))
    assert 9.9 < np.abs(variation.moved).max() <= 10.0
    assert np.abs(variation.moved.mean(axis=2)).max() < 0.5
    assert variation.moved.var(axis=2) == pytest.approx(np.full((4, 2), 100.0 / 3), rel=0.08)
    assert 0.9 <= variation.stiffer.min() < 0.901
    assert 1.099 < variation.stiffer.max() <= 1.1


def test_a_truss_that_may_be_a_mechanism_within_its_tolerance_is_refused() -> None:
    """Two bars all but in one line between fixed points, raised by no more than the tolerance."""
    flat = build(
        joints={"A": (0.0, 0.0), "M": (1000.0, 1e-3), "B": (2000.0, 0.0)},
        members={"am": stick("A", "M"), "mb": stick("M", "B")},
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("M", fy=-1.0),)},
    )
    with pytest.raises(CannotAnalyseError, match="may be a mechanism or next to one: 8 of 8 variations"):
        list(sampled(flat, idealisation="continuous", runs=[RunId("P")], spread=Spread(1e-4), samples=8))
