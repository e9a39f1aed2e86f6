"""What a document says of generated loads: edits, what is there by hand, units, assumptions, and refusals."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.loads.roofs import ONES, bowstring, covered, gable
from trussio.document.conversion import to_units
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss, write_truss
from trussio.errors import CannotAnalyseError, UsageError
from trussio.loads.generate import generate
from trussio.loads.pencil import pencil_checks
from trussio.model.generated import edited, outdated
from trussio.model.loading import JointLoad, LineLoad, LoadCase, Loads, PointLoad, RunId, SelfWeight, Target
from trussio.model.site import AreaLoad, Hung, LoadBasis, Surface
from trussio.model.truss import JointId, MemberId

if TYPE_CHECKING:
    from trussio.model.truss import Truss

SITE = replace(ONES, ground_snow=40.0, self_weight=True)
HALL = covered(bowstring(SITE), felt=6.0, deck=3.0)
D, S, LEFT = RunId("D"), RunId("S"), RunId("S-left")
WIND = LoadCase(kind="wind", loads=(LineLoad(on=Target(role="top-chord"), direction="down", value=-200.0),))


def basis_of(truss: Truss) -> LoadBasis:
    """What is told of generated loads."""
    assert truss.loads.basis is not None
    return truss.loads.basis


def with_case(truss: Truss, run: str, case: LoadCase | None) -> Truss:
    """The truss with a case changed, or taken out with its combinations left as they are."""
    cases = {name: one for name, one in truss.loads.cases.items() if name != run or case is not None}
    if case is not None:
        cases[RunId(run)] = case
    return replace(truss, loads=replace(truss.loads, cases=cases))


def read_again(truss: Truss) -> Truss:
    """The truss as its document says it."""
    return read_truss(write_truss(truss).encode(), name="truss.json")


def test_generating_changes_nothing_but_loads_and_assumptions_and_nothing_the_second_time() -> None:
    once = generate(HALL)
    assert replace(once, loads=HALL.loads, assumptions=HALL.assumptions) == HALL
    assert generate(once) == once
    assert digest_of_truss(generate(read_again(once))) == digest_of_truss(once)


def test_what_was_generated_is_known_to_be_so_after_writing_and_reading() -> None:
    again = read_again(generate(HALL))
    assert edited(again.loads) == ()
    assert not outdated(again)


def test_a_factor_map_holds_factors_alone() -> None:
    made = generate(HALL)
    assert made.loads.combinations[RunId("D+S")] == {D: 1.0, S: 1.0}
    assert set(basis_of(made).combinations) == set(made.loads.combinations)


def test_an_edit_shows_and_is_not_written_over() -> None:
    made = generate(HALL)
    mine = replace(made.loads.cases[S], loads=(JointLoad(joint=JointId("T4"), fy=-5000.0),))
    changed = with_case(made, "S", mine)
    assert edited(changed.loads) == (S,)
    with pytest.raises(UsageError) as caught:
        generate(changed)
    assert (caught.value.code, caught.value.where) == ("edited-loads", "S")
    kept = generate(changed, edits="keep")
    assert kept.loads.cases[S] == mine
    assert edited(kept.loads) == (S,)
    assert edited(read_again(kept).loads) == (S,)
    assert generate(changed, edits="discard") == made


def test_a_note_beside_a_case_is_no_edit() -> None:
    made = generate(HALL)
    noted = with_case(made, "S", replace(made.loads.cases[S], notes={"asked": "surveyor"}))
    assert edited(noted.loads) == ()


def test_an_edited_combination_shows_too() -> None:
    made = generate(HALL)
    factors = {**made.loads.combinations, RunId("D+S"): {D: 1.0, S: 1.1}}
    changed = replace(made, loads=replace(made.loads, combinations=factors))
    assert edited(changed.loads) == (RunId("D+S"),)
    assert generate(changed, edits="keep").loads.combinations[RunId("D+S")] == {D: 1.0, S: 1.1}


def test_what_was_taken_out_stays_out_where_edits_are_kept() -> None:
    made = generate(HALL)
    run = RunId("S-part-odd")
    without = replace(
        with_case(made, run, None),
        loads=Loads(
            cases={name: case for name, case in made.loads.cases.items() if name != run},
            combinations={n: f for n, f in made.loads.combinations.items() if run not in f},
            basis=made.loads.basis,
        ),
    )
    assert edited(without.loads) == (run, RunId("D+S-part-odd"))
    kept = generate(without, edits="keep")
    assert run not in kept.loads.cases
    assert all(run not in factors for factors in kept.loads.combinations.values())
    assert edited(kept.loads) == (run, RunId("D+S-part-odd"))


def test_a_changed_survey_makes_generated_loads_outdated() -> None:
    made = generate(HALL)
    assert outdated(replace(made, site=replace(SITE, ground_snow=41.0)))
    joints = {**made.joints, JointId("T4"): replace(made.joints[JointId("T4")], y=95.0)}
    assert outdated(replace(made, joints=joints))
    assert not outdated(replace(made, title="Another name"))


def test_wind_and_tendons_by_hand_stay_and_are_combined() -> None:
    tendon = LoadCase(kind="post-tension", loads=(JointLoad(joint=JointId("T0"), fx=1000.0),))
    truss = replace(HALL, loads=Loads(cases={RunId("W"): WIND, RunId("PT"): tendon}))
    made = generate(truss)
    assert made.loads.cases[RunId("W")] == WIND
    combinations = made.loads.combinations
    assert combinations[RunId("0.6D+0.6W+PT")] == {D: 0.6, RunId("W"): 0.6, RunId("PT"): 1.0}
    assert combinations[RunId("D+PT")] == {D: 1.0, RunId("PT"): 1.0}
    assert combinations[RunId("D+0.45W+0.75S+PT")] == {D: 1, RunId("W"): 0.45, S: 0.75, RunId("PT"): 1}
    assert all(factors[RunId("PT")] == 1.0 for factors in combinations.values())
    assert not any(line.startswith("Wind") for line in basis_of(made).not_evaluated)
    assert generate(made) == made


def test_without_wind_uplift_is_said_to_be_not_evaluated() -> None:
    assert any(line.startswith("Wind, its uplift included") for line in basis_of(generate(HALL)).not_evaluated)


def test_cases_of_no_known_part_are_named_as_left_out() -> None:
    truss = replace(HALL, loads=Loads(cases={RunId("X"): LoadCase(kind="imposed"), RunId("Y"): LoadCase()}))
    assert any("Cases X, Y stand in no" in line for line in basis_of(generate(truss)).not_evaluated)


def test_a_name_that_is_taken_is_refused_with_its_place() -> None:
    truss = replace(HALL, loads=Loads(cases={S: WIND}))
    with pytest.raises(UsageError) as caught:
        generate(truss)
    assert (caught.value.code, caught.value.where) == ("name-taken", "/loads/cases/S")


def test_a_combination_by_hand_stays_and_what_it_hides_is_said() -> None:
    made = generate(HALL)
    mine = {RunId("D+S"): {D: 1.2, S: 1.6}}
    truss = replace(HALL, loads=Loads(cases={}, combinations={}))
    by_hand = replace(truss, loads=replace(made.loads, combinations=mine, basis=None, cases={}))
    with pytest.raises(UsageError, match="name-taken"):
        generate(replace(by_hand, loads=replace(by_hand.loads, cases=made.loads.cases)))
    again = generate(by_hand)
    assert again.loads.combinations[RunId("D+S")] == {D: 1.2, S: 1.6}
    assert any("is taken by a combination by hand" in line for line in basis_of(again).not_evaluated)


def test_a_combination_left_without_its_case_is_refused() -> None:
    mine = {RunId("mine"): {RunId("S-rain"): 1.0}}
    with pytest.raises(UsageError) as caught:
        generate(replace(HALL, loads=Loads(combinations=mine)))
    assert caught.value.code == "combination-without-case"


def test_another_system_of_units_is_no_edit() -> None:
    made = generate(HALL)
    metric = to_units(made, "si")
    assert edited(metric.loads) == ()
    assert not outdated(metric)
    for run, check in pencil_checks(metric).items():
        assert check.by_loads == pytest.approx(check.by_area, rel=1e-9), run
    mine = with_case(made, "S", replace(made.loads.cases[S], loads=()))
    assert edited(to_units(mine, "si").loads) == (S,)
    assert outdated(to_units(replace(made, site=replace(SITE, spacing=100.0)), "si"))


def test_confirmed_assumptions_stay_and_those_no_longer_needed_go() -> None:
    silent = replace(HALL, site=replace(SITE, exposure_factor=None, thermal_factor=None))
    made = generate(silent)
    assert set(made.assumptions) == {"loads-exposure", "loads-thermal"}
    signed = {
        name: replace(one, confirmed="AB, 2026-01-05") if name == "loads-thermal" else one
        for name, one in made.assumptions.items()
    }
    stated = replace(made, site=SITE, assumptions=signed)
    assert generate(stated).assumptions == {"loads-thermal": signed["loads-thermal"]}


def test_weights_hang_where_they_hang() -> None:
    hung = {
        "heater": Hung(weight=350.0, joint=JointId("T2")),
        "pipe": Hung(weight=90.0, member=MemberId("bottom"), at=100.0),
        "hoist": Hung(weight=2000.0, member=MemberId("bottom"), at=JointId("T0"), kind="live"),
    }
    made = generate(replace(HALL, site=replace(SITE, hung=hung)))
    assert JointLoad(joint=JointId("T2"), fy=-350.0, notes={"hung": "heater"}) in made.loads.cases[D].loads
    live = made.loads.cases[RunId("L")]
    target = Target(member=MemberId("bottom"))
    assert live.loads == (PointLoad(on=target, at=JointId("T0"), fy=-2000.0, notes={"hung": "hoist"}),)
    assert RunId("D+0.75L+0.75S") in made.loads.combinations
    assert pencil_checks(made)[RunId("L")].by_loads == 2000.0


def test_a_single_weight_may_hang_from_any_inner_panel_point() -> None:
    truss = gable(replace(SITE, panel_load=2000.0), run=30.0, slope=0.3)
    bottom = replace(truss.members[MemberId("bottom")], through=(JointId("T0"), JointId("M"), JointId("T4")))
    joints = {**truss.joints, JointId("M"): replace(truss.joints[JointId("T2")], y=0.0)}
    made = generate(replace(truss, joints=joints, members={**truss.members, MemberId("bottom"): bottom}))
    assert RunId("P-M") in made.loads.cases
    assert RunId("D+P-M") in made.loads.combinations
    assert not any("panel_load" in line for line in basis_of(made).not_evaluated)


def test_ceilings_carry_no_snow_and_a_second_roof_layer_brings_no_second_snow() -> None:
    surfaces = {
        **HALL.surfaces,
        "panels": Surface(kind="roof", role="top-chord", dead={"panels": AreaLoad(2.5, "plan")}),
        "ceiling": Surface(kind="ceiling", role="bottom-chord", dead={"boards": AreaLoad(3.0)}),
    }
    made = generate(replace(HALL, surfaces=surfaces))
    assert pencil_checks(made)[S].by_loads == pytest.approx(28.0 * 16 * 60)
    weights = [load for load in made.loads.cases[D].loads if isinstance(load, LineLoad)]
    assert [load.value for load in weights] == [96.0, 48.0, 40.0, 48.0]


def test_without_self_weight_none_is_added() -> None:
    assert SelfWeight(of="all") in generate(HALL).loads.cases[D].loads
    light = generate(replace(HALL, site=replace(SITE, self_weight=False)))
    assert SelfWeight(of="all") not in light.loads.cases[D].loads


def test_a_site_without_snow_says_that_snow_is_not_evaluated() -> None:
    for ground, words in ((None, "neither ground_snow nor"), (0.0, "stated as 0")):
        made = generate(replace(HALL, site=replace(SITE, ground_snow=ground)))
        assert set(made.loads.cases) == {D, RunId("Lr")}
        assert any(words in line for line in basis_of(made).not_evaluated)


def test_a_truss_with_ceilings_alone_carries_no_snow_and_says_so() -> None:
    low = {"low": Surface(kind="ceiling", role="bottom-chord", live={"store": AreaLoad(10.0, "plan")})}
    made = generate(replace(HALL, surfaces=low))
    assert set(made.loads.cases) == {D, RunId("L")}
    assert any("no surface is stated" in line for line in basis_of(made).not_evaluated)


@pytest.mark.parametrize(
    ("truss", "code", "where"),
    [
        (replace(HALL, site=None), "no-site", "/site"),
        (replace(HALL, surfaces={}), "no-surfaces", "/surfaces"),
    ],
)
def test_without_site_or_surfaces_nothing_is_generated(truss: Truss, code: str, where: str) -> None:
    with pytest.raises(CannotAnalyseError) as caught:
        generate(truss)
    assert (caught.value.code, caught.value.where) == (code, where)


def test_the_faults_of_all_surfaces_are_told_together() -> None:
    surfaces = {name: Surface(kind="roof", role="web") for name in ("one", "two")}
    with pytest.raises(CannotAnalyseError) as caught:
        generate(replace(HALL, surfaces=surfaces))
    assert [fault.where for fault in caught.value.faults] == ["/surfaces/one/role", "/surfaces/two/role"]


def test_the_pencil_check_finds_a_load_that_was_changed() -> None:
    made = generate(HALL)
    for run, check in pencil_checks(made).items():
        assert check.by_loads == pytest.approx(check.by_area, rel=1e-9), run
    first = made.loads.cases[LEFT].loads[0]
    assert isinstance(first, LineLoad)
    assert isinstance(first.value, tuple)
    heavier = replace(first, value=(first.value[0] * 1.01, first.value[1]))
    spoilt = with_case(made, "S-left", replace(made.loads.cases[LEFT], loads=(heavier,)))
    check = pencil_checks(spoilt)[LEFT]
    assert check.by_loads is not None
    assert check.by_loads != pytest.approx(check.by_area, rel=1e-3)


def test_the_pencil_check_cannot_weigh_what_has_no_density() -> None:
    bare = {name: replace(one, density=None) for name, one in HALL.materials.items()}
    checks = pencil_checks(generate(replace(HALL, materials=bare)))
    assert checks[D] == (None, None)
    assert checks[S].by_loads is not None


@pytest.mark.parametrize(("slope", "lies"), [(2.74, True), (2.75, False)])
def test_a_roof_too_steep_for_snow_says_so(*, slope: float, lies: bool) -> None:
    """Rise over run of 2.74 is 69.95 degrees, 2.75 is 70.02, from where Cs is 0 (ASCE 7-16 7.4)."""
    made = generate(gable(replace(ONES, ground_snow=40.0), run=5.0, slope=slope))
    assert (S in made.loads.cases) == lies
    said = [line for line in basis_of(made).not_evaluated if line.startswith("S: by ASCE 7-16 7.4 nothing lies")]
    assert len(said) == (0 if lies else 1)
