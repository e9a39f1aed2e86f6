"""How elements stand: the load to the limit, what is lacking, what is open, and the order of it all."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from typing import TYPE_CHECKING

import pytest

from tests.timber.roof import CHORD, DFL, axial, metric, metric_results, results, truss
from trussio.model.check import ratio_words
from trussio.model.condition import Worn
from trussio.model.loading import RunId
from trussio.model.material import Material, Section
from trussio.model.truss import MemberId
from trussio.timber.bench import Conditions
from trussio.timber.review import review
from trussio.timber.standing import standings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.forces import Results, RunForces, SegmentForces
    from trussio.model.standing import Standing
    from trussio.model.truss import Truss
    from trussio.timber.limits import Scaled

BOTTOM, LEFT, STRUT = "bottom:B0-B1", "left:B0-T1", "web:B1-T1"
HELD = Conditions(
    wet=False, temperature=70.0, lateral={MemberId(name): 0.0 for name in ("bottom", "left", "right")}
)
TIE = 675 * 1.15 * 1.1 * 2.625 * 9.5
"""What the bottom chord may carry in tension under snow, lbf."""
DEAD_TIE = TIE * 0.9 / 1.15


def adding(made: Results) -> Scaled:
    """Forces of any run as the sum of those of its cases: exact, since every force here is the same all along."""

    def scaled(runs: Mapping[RunId, Mapping[RunId, float]]) -> Mapping[RunId, RunForces]:
        return {
            run: replace(
                made.runs[RunId("D")],
                segments={
                    name: axial(
                        sum(f * made.runs[case].segments[name].axial for case, f in factors.items()),
                        sum(f * made.runs[case].segments[name].moment_peak for case, f in factors.items()),
                    )
                    for name in made.runs[RunId("D")].segments
                },
            )
            for run, factors in runs.items()
        }

    return scaled


def stands(
    roof: Truss,
    dead: Mapping[str, SegmentForces],
    snow: Mapping[str, SegmentForces],
    conditions: Conditions = HELD,
) -> dict[str, Standing]:
    """Standings by element under dead load and snow."""
    cases = results(roof, {"D": dead, "S": snow})
    both = adding(cases)({RunId("D+S"): {RunId("D"): 1.0, RunId("S"): 1.0}})
    made = replace(cases, runs={**cases.runs, **both})
    return {one.element: one for one in standings(roof, made, adding(made), conditions)}


@pytest.mark.parametrize(
    ("dead", "snow", "says", "factor"),
    [
        (0.2, 1.0, "reaches 1.0 at 0.80 x snow", 0.8),
        (0.2, 0.8, "reaches 1.0 at 1.00 x snow", 1.0),  # exactly at its limit now
        (0.5, 0.25, "reaches 1.0 at 2.00 x snow", 2.0),
        (0.2, 0.1, "not reached at 5 x snow", None),
        (0.2, 400.0, "over 1.0 with next to no snow", 0.002),
    ],
)
def test_snow_is_scaled_until_the_limit_while_dead_load_stays(
    dead: float, snow: float, says: str, factor: float | None
) -> None:
    one = stands(truss(), {BOTTOM: axial(dead * TIE)}, {BOTTOM: axial(snow * TIE)})[BOTTOM]
    assert one.limit is not None
    assert one.limit.says == says
    assert one.limit.scaled == "snow"
    assert one.limit.factor == (None if factor is None else pytest.approx(factor, abs=0.002))


def test_dead_load_that_is_too_much_alone_says_so() -> None:
    one = stands(truss(), {BOTTOM: axial(1.05 * TIE)}, {BOTTOM: axial(0.3 * TIE)})[BOTTOM]
    assert one.governs.run == "D+S"
    assert one.limit is not None
    assert (one.limit.factor, one.limit.says) == (None, "over 1.0 under dead load alone")


def test_a_run_of_dead_load_alone_is_scaled_as_a_whole() -> None:
    one = stands(truss(), {BOTTOM: axial(1.25 * DEAD_TIE)}, {})[BOTTOM]
    assert one.governs.run == "D"
    assert one.limit is not None
    assert one.limit.says == "reaches 1.0 at 0.80 x dead load"


def test_an_amplified_check_is_made_again_at_every_step() -> None:
    """Not the inverse of the ratio: a strut with bending at its limit factor stands just at 1."""
    dead, snow = {STRUT: axial(-300.0, moment=300.0)}, {STRUT: axial(-2500.0, moment=1500.0)}
    one = stands(truss(), dead, snow)[STRUT]
    assert one.limit is not None
    assert one.limit.factor is not None
    assert one.governs.ratio is not None
    factor = one.limit.factor

    def worst(times: float) -> float:
        forces = {STRUT: axial(-300.0 - 2500.0 * times, moment=300.0 + 1500.0 * times)}
        checks = review(truss(), results(truss(), {"D+S": forces}), HELD)
        return max(c.ratio for c in checks if c.ratio is not None and c.element == STRUT)

    assert worst(factor) <= 1.0 < worst(factor + 0.001)
    assert abs(factor - 1.0) > 0.01
    assert worst(1.0) == one.governs.ratio


def test_no_load_changes_a_slenderness_and_within_its_limit_it_does_not_govern() -> None:
    thin = stands(truss(web=Section(width=1.0, depth=5.5)), {}, {STRUT: axial(-50.0)})[STRUT]
    assert thin.governs.what == "slenderness"
    assert thin.limit is not None
    assert thin.limit.says == "no load changes a slenderness"
    stout = stands(truss(), {}, {STRUT: axial(-50.0)})[STRUT]
    assert stout.governs.what == "compression with buckling"
    assert [check.what for check in stout.others] == ["slenderness"]


def test_what_is_lacking_makes_the_real_checks_met() -> None:
    one = stands(truss(), {}, {BOTTOM: axial(1.13 * TIE)})[BOTTOM]
    assert one.needs[0] == "1.13 times the capacity"
    assert one.needs[1] == (
        "a width of 3 in. instead of 2.625 at the same depth (area 28.5 in2, section modulus 45.12 in3)"
    )
    again = stands(truss(chord=replace(CHORD, width=3.0)), {}, {BOTTOM: axial(1.13 * TIE)})[BOTTOM]
    assert again.verdict == "met"
    thinner = stands(truss(chord=replace(CHORD, width=2.875)), {}, {BOTTOM: axial(1.13 * TIE)})[BOTTOM]
    assert thinner.verdict == "not met"
    assert stands(truss(), {}, {BOTTOM: axial(0.9 * TIE)})[BOTTOM].needs == ()


def test_bracing_that_would_do_is_told_and_does() -> None:
    one = stands(truss(), {}, {STRUT: axial(-5500.0)})[STRUT]
    [bracing] = [need for need in one.needs if need.startswith("bracing")]
    length = float(bracing.partition("at most ")[2].partition(" in.")[0])
    assert bracing.endswith("in. apart, now 60")

    def held(at: float) -> Standing:
        given = replace(HELD, lateral={**HELD.lateral, MemberId("web"): at})
        return stands(truss(), {}, {STRUT: axial(-5500.0)}, given)[STRUT]

    assert held(length).verdict == "met"
    assert held(length + 1.0).verdict == "not met"
    crushed = stands(truss(), {}, {STRUT: axial(-40000.0)})[STRUT]
    assert not [need for need in crushed.needs if need.startswith("bracing")]


def test_what_is_open_stands_beside_what_was_evaluated() -> None:
    one = stands(truss(), {LEFT: axial(-3000.0)}, {LEFT: axial(-6000.0)}, Conditions(wet=False, temperature=70.0))[
        LEFT
    ]
    assert one.verdict == "met in part"
    assert [check.what for check in one.open] == [
        "compression across the truss plane",
        "slenderness across the truss plane",
    ]
    assert one.open[0].run == "D+S"  # that of the greatest force
    assert one.carried == (-9000.0, RunId("D+S"))


def test_an_element_that_cannot_be_checked_is_open_with_the_force_that_it_must_carry() -> None:
    found = stands(truss(material=replace(DFL, grade=None)), {}, {BOTTOM: axial(12000.0)})
    one = found["/members/bottom"]
    assert (one.verdict, one.governs.ratio, one.limit, one.causes) == ("not evaluated", None, None, ())
    assert one.carried == (12000.0, RunId("D+S"))
    joint = found["/joints/B0"]
    assert joint.verdict == "not evaluated"
    assert joint.carried == (12000.0, RunId("D+S"))


def test_over_first_then_open_then_within_each_worst_first() -> None:
    found = stands(
        truss(),
        {},
        {
            BOTTOM: axial(1.1 * TIE),
            "bottom:B1-B2": axial(0.5 * TIE),
            LEFT: axial(0.7 * TIE),
            STRUT: axial(-9000.0),
        },
    )
    order = list(found)
    assert order[:2] == [STRUT, BOTTOM]
    assert all(name.startswith("/joints/") for name in order[2:-2])
    assert order[-2:] == [LEFT, "bottom:B1-B2"]


def test_of_those_without_bound_the_one_under_the_least_load_is_worst() -> None:
    roof = truss(web=Section(width=0.75, depth=5.5), chord=Section(width=0.75, depth=9.5))
    bent = {STRUT: axial(-3000.0, moment=100.0), LEFT: axial(-2900.0, moment=100.0)}
    given = replace(HELD, lateral={MemberId("left"): 113.0, MemberId("right"): 113.0, MemberId("bottom"): 0.0})
    found = [one for one in stands(roof, {}, bent, given).values() if one.governs.ratio == inf]
    factors = [one.limit.factor for one in found if one.limit is not None]
    assert len(factors) == 2
    assert factors == sorted(factors, key=lambda factor: factor or 0.0)


def test_units_agree() -> None:
    roof = truss(material=replace(DFL, reference={"Ft": 500.0}, source="graded in place"))
    forces = {
        "D": {BOTTOM: axial(4000.0), STRUT: axial(-300.0, 200.0)},
        "S": {BOTTOM: axial(9000.0), STRUT: axial(-2500.0, 900.0)},
        "D+S": {BOTTOM: axial(13000.0), STRUT: axial(-2800.0, 1100.0)},
    }
    us = results(roof, forces)
    si = metric_results(us)
    in_us = standings(roof, us, adding(us), HELD)
    in_si = standings(metric(roof), si, adding(si), HELD)
    assert [one.element for one in in_us] == [one.element for one in in_si]
    for one, other in zip(in_us, in_si, strict=True):
        assert one.verdict == other.verdict
        assert (one.limit and one.limit.says) == (other.limit and other.limit.says)


def test_a_worn_stretch_is_checked_on_what_is_left() -> None:
    roof = truss()

    def standing(section: Section) -> Standing:
        member = replace(
            roof.members[MemberId("bottom")], worn=(Worn(start=20.0, end=40.0, section=section, shift=0.0),)
        )
        worn = replace(roof, members={**roof.members, MemberId("bottom"): member})
        return stands(worn, {}, {BOTTOM: axial(0.8 * TIE), "bottom:B1-B2": axial(0.8 * TIE)})[BOTTOM]

    one = standing(Section(width=2.625, depth=7.125))
    # three quarters of the area; CF stays 1.1 of a 10 in piece: what is left is no 8 in piece of that grade
    assert one.governs.ratio == pytest.approx(0.8 / 0.75)
    assert "section lost, taken as lost over the whole segment: 2.625 x 7.125 in. is left of each ply" in (
        one.governs.remarks
    )
    bare = standing(Section(area=18.0, inertia=90.0))
    assert bare.verdict == "not evaluated"
    assert bare.governs.reason.startswith("what is left of the section is stated as an area")
    assert bare.carried is not None
    assert bare.carried.force == pytest.approx(0.8 * TIE)
    whole = stands(roof, {}, {BOTTOM: axial(0.8 * TIE)})[BOTTOM]
    assert whole.governs.ratio == pytest.approx(0.8)


@pytest.mark.parametrize("depth", [7.0, 4.2, 3.9])
def test_a_worn_timber_stays_a_timber_of_its_grade(depth: float) -> None:
    """6 x 12 of beams and stringers: Ft 675; what is left would be a post, unclear, or dimension lumber."""
    roof = truss(chord=Section(width=5.5, depth=11.5))
    stretch = Worn(start=20.0, end=40.0, section=Section(width=5.5, depth=depth), shift=0.0)
    member = replace(roof.members[MemberId("bottom")], worn=(stretch,))
    worn = replace(roof, members={**roof.members, MemberId("bottom"): member})
    one = stands(worn, {}, {BOTTOM: axial(10000.0)})[BOTTOM]
    assert one.governs.ratio == pytest.approx(10000 / (5.5 * depth) / (675 * 1.15))


def test_wear_of_one_segment_leaves_its_neighbour_whole() -> None:
    roof = truss()
    stretch = Worn(start=20.0, end=96.0, section=Section(width=2.625, depth=4.0), shift=0.0)
    member = replace(roof.members[MemberId("bottom")], worn=(stretch,))
    worn = replace(roof, members={**roof.members, MemberId("bottom"): member})
    found = stands(worn, {}, {BOTTOM: axial(0.8 * TIE), "bottom:B1-B2": axial(0.8 * TIE)})
    assert found[BOTTOM].verdict == "not met"
    assert found["bottom:B1-B2"].governs.ratio == pytest.approx(0.8)


def test_a_rod_has_a_limit_and_a_capacity_that_it_lacks() -> None:
    roof = truss()
    iron = Material(kind="steel", reference={"Ft": 10000.0})
    rods = replace(
        roof,
        materials=dict.fromkeys(roof.materials, iron),
        sections={name: Section(area=0.5) for name in roof.sections},
    )
    one = stands(rods, {STRUT: axial(1000.0)}, {STRUT: axial(5000.0)})[STRUT]
    assert one.governs.ratio == pytest.approx(1.2)
    assert one.limit is not None
    assert one.limit.says == "reaches 1.0 at 0.80 x snow"
    assert one.needs == ("1.20 times the capacity",)


@pytest.mark.parametrize(
    ("ratio", "single", "several"),
    [
        (None, "not evaluated", "not evaluated"),
        (inf, "no capacity", "without bound"),
        (0.0, "0 %", "interaction 0.00"),
        (0.004, "under 1 %", "interaction 0.00"),
        (0.9949, "99 %", "interaction 0.99"),
        (0.9999, "99.99 %", "interaction 0.9999"),
        (1.0, "100 %", "interaction 1.00"),
        (1.0001, "100.01 %", "interaction 1.0001"),
        (1.13, "113 %", "interaction 1.13"),
        (1.0 + 1e-12, "just over 100 %", "interaction just over 1"),
        (1.0 - 1e-12, "just under 100 %", "interaction just under 1"),
    ],
)
def test_a_ratio_never_reads_as_its_limit_where_it_is_not(ratio: float | None, single: str, several: str) -> None:
    assert ratio_words(ratio) == single
    assert ratio_words(ratio, interaction=True) == several
