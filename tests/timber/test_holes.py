"""Tension on the net section at connections: bolt holes, rings, and holes that stand together."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.timber.roof import BOTTOM, STRUT, axial, results, truss
from trussio.model.check import Check
from trussio.model.connection import Connection, Fasteners, Piece
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MemberId
from trussio.timber.bench import Conditions
from trussio.timber.review import review

SAID = Conditions(wet=False, temperature=70.0)
FT_WEB = 675 * 1.15 * 1.3
FT_CHORD = 675 * 1.15 * 1.1
BOLT = Fasteners(kind="bolt", diameter=0.75, count=1)


def joined(fasteners: Fasteners) -> Connection:
    pieces = (Piece(member=MemberId("bottom"), edge=4.0), Piece(member=MemberId("web"), end=6.0, edge=2.75))
    return Connection(joint=JointId("B1"), pieces=pieces, fasteners=fasteners, evidence="joint opened")


def net(*connections: Connection, element: str = STRUT, force: float = 1000.0) -> list[Check]:
    roof = replace(truss(), connections={f"c{i}": one for i, one in enumerate(connections)})
    checks = review(roof, results(roof, {"D+S": {element: axial(force)}}), SAID)
    return [check for check in checks if check.element == element and check.what.startswith("tension on the net")]


def left(check: Check) -> float:
    return check.derivation.figure("A_net")


@pytest.mark.parametrize(
    ("fasteners", "expected"),
    [
        (BOLT, 1.5 * (5.5 - 0.8125)),
        (replace(BOLT, hole=1.0), 1.5 * (5.5 - 1.0)),
        (replace(BOLT, count=2, spacing=3.0), 1.5 * (5.5 - 0.8125)),
        (replace(BOLT, count=2, rows=2, gauge=2.0), 1.5 * (5.5 - 2 * 0.8125)),
        (replace(BOLT, count=2), 1.5 * (5.5 - 2 * 0.8125)),
    ],
)
def test_what_holes_leave_of_a_web(fasteners: Fasteners, expected: float) -> None:
    [check] = net(joined(fasteners))
    assert left(check) == pytest.approx(expected)
    assert check.what == "tension on the net section at B1"
    limit = FT_WEB * expected
    assert [c.verdict for c in net(joined(fasteners), force=limit * (1 - 1e-9))] == ["met"]
    assert [c.verdict for c in net(joined(fasteners), force=limit * 1.001)] == ["not met"]


def test_a_row_along_the_web_stands_across_the_chord() -> None:
    [check] = net(joined(replace(BOLT, count=2, spacing=3.0)), element=BOTTOM)
    assert left(check) == pytest.approx(2.625 * (9.5 - 2 * 0.8125))
    assert check.ratio == pytest.approx(1000.0 / left(check) / FT_CHORD)


def test_a_ring_takes_its_groove_and_its_hole() -> None:
    """2-1/2 in ring on one face: 1.10 in2, and 9/16 in through what is left of 1-1/2 in."""
    [check] = net(joined(Fasteners(kind="split ring", diameter=0.5, connector=2.5, count=1)))
    assert left(check) == pytest.approx(1.5 * 5.5 - 1.10 - 0.5625 * (1.5 - 0.375))


def test_two_connections_at_one_joint_are_taken_together() -> None:
    [check] = net(joined(BOLT), joined(BOLT))
    assert left(check) == pytest.approx(1.5 * (5.5 - 2 * 0.8125))
    assert "holes of 2 connections taken in one section" in check.remarks


def test_nails_take_no_wood_and_compression_has_no_net_tension() -> None:
    assert not net(joined(Fasteners(kind="nail", diameter=0.162, length=3.5, count=9)))
    assert not net(joined(BOLT), force=-1000.0)


def test_what_leaves_nothing_is_open_and_spares_the_other_checks() -> None:
    [check] = net(joined(replace(BOLT, count=8, rows=8, gauge=0.6)))
    assert check.verdict == "not evaluated"
    assert "is taken out of" in check.reason
    [ring] = net(joined(Fasteners(kind="split ring", diameter=0.5, connector=3.0, count=1)))
    assert "none of 3 in is tabulated here" in ring.reason


@given(hole=st.floats(0.75, 2.0), more=st.floats(0.0, 2.0))
def test_wider_holes_never_leave_more(hole: float, more: float) -> None:
    [check] = net(joined(replace(BOLT, hole=hole)))
    [wider] = net(joined(replace(BOLT, hole=hole + more)))
    assert left(wider) <= left(check)


def test_compression_on_the_net_section_knows_no_buckling() -> None:
    """Fc* of DF-L No.1 4 in wide class: 1500 x 1.15 x CF 1.1 on what the hole leaves (3.6.3)."""
    roof = replace(truss(), connections={"c": joined(BOLT)})
    limit = 1500 * 1.15 * 1.1 * 1.5 * (5.5 - 0.8125)
    for force, verdict in ((limit, "met"), (limit * 1.0001, "not met")):
        checks = review(roof, results(roof, {"D+S": {STRUT: axial(-force)}}), SAID)
        [check] = [
            one for one in checks if one.what == "compression on the net section at B1" and one.element == STRUT
        ]
        assert (check.verdict, check.clause) == (verdict, "NDS-2018 3.6.3")


def test_european_sticks_have_their_net_section_too() -> None:
    """C24 100 x 150 mm with an M16 in a hole 1/16 in wider: ft0d = 0.9 x 14.5 / 1.3 (kh 1 at 150 mm)."""
    wood = Material(kind="sawn", grade="C24", species="spruce")
    si = truss(material=wood, web=Section(width=100.0, depth=150.0), combinations={"U": {"D": 1.35, "S": 1.5}})
    bolt = Fasteners(kind="bolt", diameter=16.0, count=1)
    roof = replace(si, units="si", connections={"c": joined(bolt)})
    checks = review(roof, results(roof, {"U": {STRUT: axial(50000.0)}}), SAID)
    [check] = [one for one in checks if one.what == "tension on the net section at B1" and one.element == STRUT]
    assert check.demand == pytest.approx(50000 / (100 * (150 - 16 - 25.4 / 16)))
    assert check.capacity == pytest.approx(0.9 * 14.5 / 1.3)
    assert check.unit == "MPa"
