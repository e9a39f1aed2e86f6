"""Tendons in the review: stress at the jack and in service, wood under the anchors, what is open."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.timber.roof import results, truss
from tests.timber.test_review_connections import SAID
from trussio.model.check import Check
from trussio.model.loading import LoadCase, RunId
from trussio.model.tendon import Point, Tendon, TendonLoad
from trussio.model.truss import JointId, MemberId, Truss
from trussio.timber.review import bench_of, checks_of, review

FIRST, LAST = JointId("B0"), JointId("B2")
STRAND = Tendon(
    path=(
        Point(joint=FIRST, bears_on=MemberId("bottom"), bearing=12.0),
        Point(joint=LAST, bears_on=MemberId("right"), bearing=12.0),
    ),
    area=0.153,
    strands=2,
    steel="strand",
    fu=270000.0,
)


def roof(tendon: Tendon, jack: float = 50000.0) -> Truss:
    made = truss(combinations={"D+PT": {"D": 1.0, "PT": 1.0}}, cases={"D": "dead", "PT": "post-tension"})
    case = LoadCase(kind="post-tension", loads=(TendonLoad(tendon="t", force=jack),))
    loads = replace(made.loads, cases={**made.loads.cases, RunId("PT"): case})
    return replace(made, tendons={"t": tendon}, loads=loads)


def checks(tendon: Tendon, legs: tuple[float, ...] = (40000.0,), jack: float = 50000.0) -> dict[str, Check]:
    made = roof(tendon, jack)
    known = results(made, {"D+PT": {}})
    runs = {run: replace(forces, tendons={"t": legs}) for run, forces in known.runs.items()}
    found = review(made, replace(known, runs=runs), SAID)
    return {check.what: check for check in found if check.element == "/tendons/t"}


def test_strand_may_be_jacked_to_the_lesser_of_two_shares() -> None:
    """0.80 fu is less than 0.94 x 0.9 fu; in service 0.70 fu at the anchorage."""
    found = checks(STRAND)
    jacked, service = found["tendon stress at the jack"], found["tendon stress in service"]
    assert (jacked.run, service.run) == ("PT", "D+PT")
    assert jacked.demand == pytest.approx(50000 / 0.306)
    assert jacked.capacity == pytest.approx(0.8 * 270000)
    assert service.demand == pytest.approx(40000 / 0.306)
    assert service.capacity == pytest.approx(0.7 * 270000)
    limit = 0.8 * 270000 * 0.306
    assert checks(STRAND, jack=limit * (1 - 1e-12))["tendon stress at the jack"].verdict == "met"
    assert checks(STRAND, jack=limit * 1.0001)["tendon stress at the jack"].verdict == "not met"


def test_bars_have_limits_of_their_own() -> None:
    bar = STRAND._replace(steel="bar", fu=150000.0, area=0.85, strands=1)
    found = checks(bar)
    assert found["tendon stress at the jack"].capacity == pytest.approx(0.8 * 150000)
    assert found["tendon stress in service"].capacity == pytest.approx(0.6 * 150000)


def test_each_anchor_bears_at_the_angle_of_its_leg() -> None:
    """On the end grain of the tie, Fc* with CD 0.9; on the sloping chord at 32 degrees by Hankinson."""
    turned = STRAND._replace(path=(STRAND.path[0], Point(joint=JointId("B1")), STRAND.path[1]))
    found = checks(turned, legs=(40000.0, 30000.0))
    first, last = found["bearing under the anchor at B0"], found["bearing under the anchor at B2"]
    assert first.demand == pytest.approx(40000 / 12)
    assert first.capacity == pytest.approx(1500 * 0.9)
    assert last.demand == pytest.approx(30000 / 12)
    P, Q = 1500 * 0.9, 625.0
    slope = 60 / (96**2 + 60**2) ** 0.5
    assert last.capacity == pytest.approx(P * Q / (P * slope**2 + Q * (1 - slope**2)))


@pytest.mark.parametrize(
    ("tendon", "what", "says", "force"),
    [
        (STRAND._replace(steel=None), "tendon stress in service", "enter steel (strand or bar)", 40000.0),
        (STRAND._replace(fu=None), "tendon stress at the jack", "enter steel (strand or bar)", 50000.0),
        (
            STRAND._replace(path=(STRAND.path[0]._replace(bearing=None), STRAND.path[1])),
            "bearing under the anchor at B0",
            "enter the area of wood under the anchor's plate",
            40000.0,
        ),
        (
            STRAND._replace(path=(Point(joint=FIRST), STRAND.path[1])),
            "bearing under the anchor at B0",
            "it bears on the joint as a whole",
            40000.0,
        ),
    ],
)
def test_what_nobody_entered_is_open_with_its_force(tendon: Tendon, what: str, says: str, force: float) -> None:
    check = checks(tendon)[what]
    assert (check.verdict, check.demand) == ("not evaluated", force)
    assert says in check.reason


def test_a_tendon_that_is_not_stressed_has_no_check() -> None:
    assert not checks(STRAND, legs=(), jack=0.0)


def test_the_checks_of_one_tendon_are_found_by_its_name() -> None:
    made = roof(STRAND)
    known = results(made, {"D+PT": {}})
    runs = {run: replace(forces, tendons={"t": (1000.0,)}) for run, forces in known.runs.items()}
    bench, _ = bench_of(made, replace(known, runs=runs), SAID)
    assert {check.what for check in checks_of(bench, "/tendons/t")} == {
        "tendon stress in service",
        "bearing under the anchor at B0",
        "bearing under the anchor at B2",
    }
    assert checks_of(bench, "/tendons/none") == []
