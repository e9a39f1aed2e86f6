"""Generated loads tallied again: agreement with what is generated, and planted errors that must be found."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from tests.loads.roofs import EUROPE, ONES, ROOF, bowstring, gable, roof
from trussio.calculation import calculate
from trussio.loads.generate import generate
from trussio.model.loading import JointLoad, LineLoad, RunId
from trussio.model.site import AreaLoad, Hung, Site, Step, Surface
from trussio.model.truss import JointId
from trussio.recheck.load_tally import tallied
from trussio.rechecking import claims, recheck

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.truss import Truss

SNOWY = replace(ONES, ground_snow=30.0)
HEAVY = Site(
    edition="asce7-16",
    spacing=180.0,
    ground_snow=42.0,
    terrain="C",
    exposure="sheltered",
    thermal="unheated",
    risk="III",
)
CALM = replace(EUROPE, ground_snow=1.2, exposure_factor=None, exposure="windswept")
METRIC = replace(HEAVY, spacing=5000.0, ground_snow=1.5)
DIGEST = "sha256:" + "0" * 64

ROOFS = {
    "a bowstring as high as a sixth": bowstring(SNOWY, rise=10.0),
    "one steeper than 30 degrees at its eaves": bowstring(HEAVY, rise=18.0),
    "one that falls away beyond 70 degrees": bowstring(HEAVY, rise=28.0),
    "the same in metres": bowstring(METRIC, span=18.0, rise=5.0, units="si"),
    "a low one, with its minimum": bowstring(HEAVY, rise=2.5),
    "a gable of 4 on 12": gable(HEAVY, run=30.0, slope=1 / 3),
    "a steep gable": gable(HEAVY, run=18.0, slope=0.9),
    "a gable of 7-22": gable(replace(SNOWY, edition="asce7-22", winter_wind=0.4), run=40.0, slope=0.25),
    "several vaults": bowstring(replace(HEAVY, multiple_vaults=True), rise=18.0),
    "a curve of straight pieces": roof(
        [(0.0, 0.0), (10.0, 6.0), (20.0, 9.5), (30.0, 10.5), (40.0, 9.5), (50.0, 6.0), (60.0, 0.0)], HEAVY
    ),
    "one side only": roof([(0.0, 0.0), (12.0, 3.0), (24.0, 6.0)], HEAVY),
    "a flat one with rain on its snow": gable(replace(SNOWY, ground_snow=15.0), run=60.0, slope=0.01),
    "drifts at both ends": bowstring(
        replace(
            HEAVY,
            steps=(
                Step(side="left", kind="taller-roof", height=120.0, length=480.0),
                Step(side="right", kind="parapet", height=30.0),
                Step(side="right", kind="taller-roof", height=20.0, length=2400.0),
            ),
        ),
        rise=10.0,
    ),
    "a cylinder of EN 1991": bowstring(CALM, span=18.0, rise=4.0, units="si"),
    "one steeper than 60 degrees": bowstring(CALM, span=18.0, rise=8.0, units="si"),
    "a pitched roof of EN 1991": gable(CALM, run=9.0, slope=0.8, units="si"),
    "one of EN 1991 with drifts, exceptional snow and inches": bowstring(
        replace(
            CALM,
            spacing=200.0,
            ground_snow=30.0,
            exceptional=2.0,
            steps=(
                Step(side="left", kind="taller-roof", height=120.0, length=480.0),
                Step(side="right", kind="parapet", height=30.0),
            ),
        ),
        rise=12.0,
    ),
    "a steep slippery one": gable(replace(HEAVY, slippery=True), run=20.0, slope=0.6),
}


@pytest.mark.parametrize("says", ROOFS)
def test_what_is_generated_is_tallied_to_the_same(says: str) -> None:
    checks = tallied(generate(ROOFS[says]))
    told = {run: (one.verdict, one.says) for run, one in checks.items()}
    assert {verdict for verdict, _ in told.values()} == {"agrees"}, told
    assert "S" in told


def furnished() -> Truss:
    """A bowstring with everything that can hang or lie on it."""
    site = replace(
        HEAVY,
        self_weight=True,
        hung={
            "heater": Hung(weight=350.0, joint=JointId("T0")),
            "pipe": Hung(weight=120.0, member=None, joint=JointId("T3"), kind="live"),
        },
        panel_load=200.0,
    )
    dead = {"felt": AreaLoad(value=6.0), "panel": AreaLoad(value=3.0, per="plan")}
    ceiling = Surface(kind="ceiling", role="bottom-chord", dead=dead, live={"storage": AreaLoad(value=10.0)})
    truss = bowstring(site, rise=12.0)
    surfaces = {"roof": replace(ROOF, dead=dead, purlins=(120.0, 333.0, 600.0)), "ceiling": ceiling}
    return generate(replace(truss, surfaces=surfaces))


def test_dead_and_live_loads_are_tallied_with_all_that_hangs() -> None:
    checks = tallied(furnished())
    assert {str(run) for run in checks} >= {"D", "L"}
    assert {one.verdict for one in checks.values()} == {"agrees"}, checks


def scaled(truss: Truss, run: str, by: float) -> Truss:
    """One load of a case made so many times larger."""
    case = truss.loads.cases[RunId(run)]
    first = case.loads[0]
    assert isinstance(first, LineLoad)
    pair = first.value if isinstance(first.value, tuple) else (first.value, first.value)
    loads = (replace(first, value=(pair[0] * by, pair[1] * by)), *case.loads[1:])
    return with_case(truss, run, loads)


def with_case(truss: Truss, run: str, loads: tuple[object, ...]) -> Truss:
    changed = replace(truss.loads.cases[RunId(run)], loads=loads)  # type: ignore[arg-type]  # loads of any kind
    return replace(truss, loads=replace(truss.loads, cases={**truss.loads.cases, RunId(run): changed}))


def swapped(truss: Truss) -> Truss:
    """The left half loaded in the case of the right."""
    return with_case(truss, "S-right", truss.loads.cases[RunId("S-left")].loads)


LOADED = generate(bowstring(HEAVY, rise=10.0))


@pytest.mark.parametrize(
    ("says", "plant", "run", "told"),
    [
        ("one load 2 % off", lambda t: scaled(t, "S", 1.02), "S", "are 1.02 times"),
        ("one load of several 2 % off", lambda t: scaled(t, "S-left", 1.02), "S-left", "times"),
        ("the wrong half", swapped, "S-right", "away from where it should"),
        (
            "another importance",
            lambda t: replace(t, site=replace(HEAVY, risk="II")),
            "S",
            "are 1.1 times what site and surfaces give",
        ),
        ("another exposure", lambda t: replace(t, site=replace(HEAVY, exposure="fully")), "S", "are 1.222 times"),
        ("another spacing", lambda t: replace(t, site=replace(HEAVY, spacing=192.0)), "Lr", "are 0.9375 times"),
        (
            "a weight at one joint more",
            lambda t: with_case(
                t, "D", (*t.loads.cases[RunId("D")].loads, JointLoad(joint=JointId("T1"), fy=-9.0))
            ),
            "D",
            "times",
        ),
        ("a case gone", lambda t: without(t, "S-left"), "S-left", "is gone from the document"),
    ],
)
def test_planted_errors_are_found(says: str, plant: Callable[[Truss], Truss], run: str, told: str) -> None:
    checks = tallied(plant(LOADED))
    assert checks[RunId(run)].verdict == "disagrees", says
    assert told in checks[RunId(run)].says
    edits = says in {
        "one load 2 % off",
        "one load of several 2 % off",
        "the wrong half",
        "a weight at one joint more",
    }
    assert checks[RunId(run)].says.endswith("It was edited after it was generated.") == edits


def without(truss: Truss, run: str) -> Truss:
    cases = {name: case for name, case in truss.loads.cases.items() if name != run}
    return replace(truss, loads=replace(truss.loads, cases=cases))


def test_a_difference_within_rounding_is_none() -> None:
    assert tallied(scaled(LOADED, "S", 1 + 1e-7))[RunId("S")].verdict == "agrees"
    assert tallied(scaled(LOADED, "S", 1 + 2e-6))[RunId("S")].verdict == "disagrees"


def test_a_case_of_another_name_cannot_be_told() -> None:
    """A rule that only the generator knows, or a case by a name of somebody's own."""
    basis = LOADED.loads.basis
    assert basis is not None
    renamed = replace(
        LOADED,
        loads=replace(
            LOADED.loads,
            cases={**LOADED.loads.cases, RunId("S-avalanche"): LOADED.loads.cases[RunId("S")]},
            basis=replace(basis, cases={**basis.cases, RunId("S-avalanche"): basis.cases[RunId("S")]}),
        ),
    )
    one = tallied(renamed)[RunId("S-avalanche")]
    assert (one.verdict, one.says) == ("cannot tell", "The rule of this case is not tallied a second time.")
    assert one.stated is not None
    assert one.tallied is None


def test_loads_that_disagree_make_the_record_disagree() -> None:
    wrong = scaled(LOADED, "S", 1.02)
    for truss, verdict in ((LOADED, "agrees"), (wrong, "disagrees")):
        record = recheck(truss, claims(calculate(truss, digest=DIGEST)), digest=DIGEST)
        assert record.verdict == verdict
        assert {run.verdict for run in record.runs.values()} == {"agrees"}
        assert "the loads as the document states them" not in record.not_rechecked
    assert record.says.startswith("The loads of S are not what the site gives. ")


def test_a_truss_without_generated_loads_is_told_nothing_of_them() -> None:
    assert tallied(replace(LOADED, site=None)) == {}
