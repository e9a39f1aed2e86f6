"""Seats on walls of European strength classes: across the grain, what decay has left, uplift, factors."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from tests.timber.roof import results, truss
from tests.timber.test_european_fastened import SAID
from trussio.model.check import Check
from trussio.model.connection import Connection, Piece, WallSeat
from trussio.model.forces import Reaction
from trussio.model.material import Material, Section
from trussio.model.truss import JointId, MemberId
from trussio.timber.review import review

FC90 = 2.5 * 0.9 / 1.3


def seated(wall: WallSeat, push: float, right: float = 0.0, *, run: str = "U") -> Check:
    made = truss(
        material=Material(kind="sawn", species="spruce", grade="C24"),
        chord=Section(width=50.0, depth=200.0),
        combinations={"U": {"D": 1.35, "S": 1.5}} if run == "U" else {"D+S": {"D": 1.0, "S": 1.0}},
    )
    seat = Connection(joint=JointId("B0"), pieces=(Piece(member=MemberId("bottom")),), wall=wall)
    roof = replace(made, units="si", connections={"c": seat})
    known = results(roof, {run: {}})
    reaction = {JointId("B0"): Reaction(x=right, y=push, turn=0.0)}
    runs = {name: replace(forces, reactions=reaction) for name, forces in known.runs.items()}
    checks = review(roof, replace(known, runs=runs), SAID)
    [found] = [check for check in checks if check.element == "/connections/c"]
    return found


def test_across_the_grain_on_what_decay_has_left() -> None:
    """C24, 50 mm wide, 150 mm long of which 50 are lost: fc,90,d on 100 x 50."""
    check = seated(WallSeat(length=150.0, lost=50.0), 6000.0)
    assert check.demand == pytest.approx(6000 / 5000)
    assert check.capacity == pytest.approx(FC90)
    assert check.unit == "MPa"


def test_the_contact_spreads_where_the_stick_goes_on() -> None:
    """30 mm beyond on the inner side, none on that of the stick's own end."""
    check = seated(WallSeat(length=100.0, to_end=0.0), 6000.0)
    assert check.demand == pytest.approx(6000 / (130 * 50))


def test_nothing_left_uplift_and_a_sideways_push() -> None:
    gone = seated(WallSeat(length=100.0, lost=100.0), 10.0)
    assert (gone.ratio, gone.reason) == (inf, "decay has taken the whole seat")
    asked = seated(WallSeat(length=100.0), -500.0)
    assert (asked.what, asked.verdict, asked.demand) == ("hold-down", "not evaluated", 500.0)
    assert seated(WallSeat(length=100.0, hold_down=499.0), -500.0).verdict == "not met"
    pushed = seated(WallSeat(length=100.0), 10.0, right=40.0)
    assert "the reaction also pushes 40 N sideways, which this seat is not checked for" in pushed.remarks


def test_without_partial_factors_nothing_is_proved() -> None:
    check = seated(WallSeat(length=100.0), 1000.0, run="D+S")
    assert check.verdict == "not evaluated"
    assert any(remark.startswith("with the factors as written") for remark in check.remarks)
