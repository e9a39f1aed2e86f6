"""Bolts between European strength classes in the review: modes, rope, rows, distances, splitting, what is open."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from tests.timber.roof import BOTTOM, STRUT, axial, results, truss
from trussio.model.check import Check
from trussio.model.connection import Connection, Fasteners, Piece
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MaterialId, MemberId, SectionId, Truss
from trussio.timber.bench import Conditions
from trussio.timber.eurocode_dowels import (
    effective_number,
    embedment_strength,
    splitting_resistance,
    steel_outside,
    timber_double_shear,
    timber_single_shear,
    washer_resistance,
    yield_moment,
)
from trussio.timber.review import review

SAID = Conditions(service_class=2)
BOLT = Fasteners(kind="bolt", diameter=16.0, count=1, Fu=400.0)
CHORD_PLY = Piece(member=MemberId("bottom"), edge=100.0)
WEB_PLY = Piece(member=MemberId("web"), end=112.0, edge=75.0)
FOOT = Connection(joint=JointId("B1"), pieces=(CHORD_PLY, WEB_PLY), fasteners=BOLT, evidence="seen")
MY = yield_moment(fu=400.0, diameter=16.0)
ALONG = embedment_strength(rho_k=350.0, diameter=16.0)
ACROSS = embedment_strength(rho_k=350.0, diameter=16.0, angle=90.0)
SHORT = 0.9 / 1.3


def roof(connection: Connection, *, plies: int = 1, grade: str = "C24") -> Truss:
    """The web stands square on the bottom chord; 1.35 D + 1.5 S is short-term."""
    made = truss(
        material=Material(kind="sawn", species="spruce", grade=grade),
        chord=Section(width=50.0, depth=200.0, plies=plies, gap=80.0 if plies > 1 else 0.0),
        web=Section(width=80.0, depth=150.0),
        combinations={"U": {"D": 1.35, "S": 1.5}},
    )
    return replace(made, units="si", connections={"c": connection})


def checks(connection: Connection, force: float, *, plies: int = 1, grade: str = "C24") -> dict[str, Check]:
    made = roof(connection, plies=plies, grade=grade)
    found = review(made, results(made, {"U": {STRUT: axial(force)}}), SAID)
    return {check.what: check for check in found if check.element == "/connections/c"}


def test_a_bolt_in_single_shear_without_a_known_washer() -> None:
    one = timber_single_shear(fh1=ACROSS, fh2=ALONG, t1=50.0, t2=80.0, diameter=16.0, My=MY, Fax=0.0, rope="bolt")
    check = checks(FOOT, 4000.0)["fasteners"]
    assert check.capacity == pytest.approx(SHORT * one.F.value)
    assert check.demand == pytest.approx(4000.0)
    assert check.unit == "N"


def test_a_washer_that_somebody_measured_holds_a_rope() -> None:
    washed = FOOT._replace(fasteners=replace(BOLT, washer=50.0, hole=17.0))
    Fax = washer_resistance(fc90k=2.5, diameter=50.0, hole=17.0)
    one = timber_single_shear(
        fh1=ACROSS, fh2=ALONG, t1=50.0, t2=80.0, diameter=16.0, My=MY, Fax=Fax.value, rope="bolt"
    )
    found = checks(washed, 4000.0)["fasteners"].capacity
    assert found == pytest.approx(SHORT * one.F.value)
    assert (found or 0.0) > (checks(FOOT, 4000.0)["fasteners"].capacity or 0.0)


def test_a_web_between_two_plies_is_in_double_shear() -> None:
    double = FOOT._replace(pieces=(CHORD_PLY, WEB_PLY, CHORD_PLY))
    one = timber_double_shear(fh1=ACROSS, fh2=ALONG, t1=50.0, t2=80.0, diameter=16.0, My=MY, Fax=0.0, rope="bolt")
    check = checks(double, 4000.0, plies=2)["fasteners"]
    assert check.capacity == pytest.approx(2 * SHORT * one.F.value)


def test_steel_on_both_sides_and_a_row_that_counts_less() -> None:
    plate = Piece(plate="steel", thickness=6.0)
    row = Connection(
        joint=JointId("B1"),
        pieces=(plate, WEB_PLY, plate),
        fasteners=replace(BOLT, count=3, spacing=80.0),
        evidence="seen",
    )
    Fax = washer_resistance(fc90k=2.5, diameter=64.0, hole=16.0)
    one = steel_outside(fh=ALONG, t2=80.0, diameter=16.0, My=MY, Fax=Fax.value, rope="bolt", plate=6.0)
    nef = effective_number(count=3, spacing=80.0, diameter=16.0)
    check = checks(row, 4000.0)["fasteners"]
    assert check.capacity == pytest.approx(2 * nef.value * SHORT * one.F.value)


def test_a_push_across_the_grain_may_split_the_chord() -> None:
    """Bolt in mid-depth, so the loaded edge is 100 mm away: 14 b sqrt(he / (1 - he/h))."""
    check = checks(FOOT, -4000.0)["splitting of bottom"]
    least = splitting_resistance(width=50.0, depth=200.0, to_farthest=100.0)
    assert check.capacity == pytest.approx(SHORT * least.value)
    assert check.demand == pytest.approx(4000.0)
    assert "splitting of web" not in checks(FOOT, -4000.0)


@pytest.mark.parametrize(("end", "permitted"), [(112.0, True), (111.9, False)])
def test_below_the_least_end_distance_nothing_is_permitted(end: float, *, permitted: bool) -> None:
    """7 d = 112 mm to the loaded end of the web (table 8.4)."""
    check = checks(FOOT._replace(pieces=(CHORD_PLY, WEB_PLY._replace(end=end))), 100.0)["fasteners"]
    assert (check.ratio == inf) != permitted
    if not permitted:
        assert check.reason.startswith("not permitted: end distance 111.9 mm in web is below the least, 112 mm")


@pytest.mark.parametrize(
    ("connection", "says"),
    [
        (FOOT._replace(fasteners=replace(BOLT, Fu=None)), "Fu of the bolts is not given"),
        (FOOT._replace(fasteners=replace(BOLT, kind="nail")), "the length of the nails is not given"),
        (FOOT._replace(fasteners=replace(BOLT, kind="lag screw")), "the length of the screws is not given"),
        (FOOT._replace(fasteners=replace(BOLT, count=2)), "the spacing is not given"),
        (FOOT._replace(pieces=(CHORD_PLY, WEB_PLY._replace(end=None))), "the end distance in web is not given"),
        (FOOT._replace(pieces=(CHORD_PLY, WEB_PLY, Piece(plate="steel"))), "a plate has no thickness"),
    ],
)
def test_what_is_not_known_is_open_with_the_force(connection: Connection, says: str) -> None:
    check = checks(connection, -2000.0)["fasteners"]
    assert check.verdict == "not evaluated"
    assert says in check.reason


def test_two_codes_in_one_connection_are_open() -> None:
    made = roof(FOOT)
    other = MaterialId("fir")
    mixed = replace(
        made,
        materials={**made.materials, other: Material(kind="sawn", species="Douglas Fir-Larch", grade="No. 2")},
        members={
            **made.members,
            MemberId("web"): replace(made.members[MemberId("web")], material=other),
        },
    )
    found = review(mixed, results(mixed, {"U": {STRUT: axial(500.0), BOTTOM: axial(1.0)}}), SAID)
    [check] = [one for one in found if one.element == "/connections/c"]
    assert "State values of one code for all sticks of a connection" in check.reason


def test_loads_without_partial_factors_prove_nothing() -> None:
    made = truss(
        material=Material(kind="sawn", species="spruce", grade="C24"), web=Section(width=80.0, depth=150.0)
    )
    made = replace(made, units="si", connections={"c": FOOT})
    made = replace(made, sections={**made.sections, SectionId("chord"): Section(width=50.0, depth=200.0)})
    found = review(made, results(made, {"D+S": {STRUT: axial(100.0)}}), SAID)
    [check] = [one for one in found if one.element == "/connections/c" and one.what == "fasteners"]
    assert check.verdict == "not evaluated"
    assert any(remark.startswith("with the factors as written") for remark in check.remarks)


def test_a_denser_class_carries_more() -> None:
    weak, strong = (checks(FOOT, 100.0, grade=grade)["fasteners"].capacity or 0.0 for grade in ("C16", "C30"))
    assert weak < strong
