"""Places, loads and runs are told in the trade's words."""

from __future__ import annotations

import pytest

from tests.drawing import roofs
from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Load,
    Longer,
    PointLoad,
    RunId,
    SelfWeight,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.truss import JointId, MemberId
from trussio.report.wording import counted, factors_words, load_words, place_words, places_words, short_digest

TOP = Target(role="top-chord")
B0, T1 = JointId("B0"), JointId("T1")


@pytest.mark.parametrize(
    ("pointer", "words"),
    [
        ("", "the whole document"),
        ("/members", "members"),
        ("/members/w3/section", "member w3, section"),
        ("/joints/a~0b~1c", "joint a~b/c"),
        ("/loads/cases/D/loads/0", "load case D, load 1"),
        ("/loads/combinations/D+S", "combination D+S"),
        ("/loads", "loads"),
        ("/assumptions/a3", "assumption a3"),
    ],
)
def test_a_pointer_is_told_as_a_place(pointer: str, words: str) -> None:
    assert place_words(pointer) == words


def test_no_place_is_a_dash() -> None:
    assert places_words(()) == "—"
    assert places_words(("/joints/B0", "/members/w1")) == "joint B0; member w1"


@pytest.mark.parametrize(
    ("load", "words"),
    [
        (JointLoad(joint=T1, fy=-1500.0), "joint T1: 1.50 k down"),
        (JointLoad(joint=T1, fx=-200.0, fy=150.0), "joint T1: 150 lb up, 200 lb left"),
        (JointLoad(joint=T1, moment=-24000.0), "joint T1: moment 2.00 ft-k clockwise"),
        (
            JointLoad(joint=T1, fy=-1500.0, moment=24000.0),
            "joint T1: 1.50 k down, moment 2.00 ft-k counter-clockwise",
        ),
        (JointLoad(joint=T1), "joint T1: nothing"),
        (
            LineLoad(on=TOP, direction="down", value=320.0, per="plan"),
            "every top chord: 320 plf down, per length on plan",
        ),
        (
            LineLoad(on=TOP, direction="across", value=(10.0, 20.5), start=B0, end=90.0),
            "every top chord: 10 to 20.5 plf square to it, per length along it, from B0 to 7'-6\" along it",
        ),
        (
            LineLoad(on=Target(member=MemberId("w1")), direction="right", value=5.0, end=T1),
            "w1: 5 plf to the right, per length along it, from its first end to T1",
        ),
        (PointLoad(on=Target(member=MemberId("w1")), at=24.0, fy=-300.0), "w1 at 2'-0\" along it: 300 lb down"),
        (SelfWeight(of="all"), "weight of all sticks"),
        (SelfWeight(of=(MemberId("w1"), MemberId("w2"))), "weight of w1, w2"),
        (
            SupportMovement(support=B0, moves={"y": -0.5, "turn": 0.01}),
            "support B0 moves -0.5 in. in y, rotates 0.01 rad",
        ),
        (Longer(on=Target(member=MemberId("w1")), by=0.125), "w1: lack of fit, 0.125 in. longer than drawn"),
        (Warmer(on=TOP, by=40.0), "every top chord: temperature change of 40 °F"),
    ],
)
def test_a_load_is_told_with_its_value_and_unit(load: Load, words: str) -> None:
    assert load_words(roofs.bowstring(), load) == words


def test_metric_loads_have_metric_units() -> None:
    roof = roofs.king_post()
    line = LineLoad(on=TOP, direction="down", value=2.4, end=1500.0)
    assert load_words(roof, line) == (
        "every top chord: 2.4 kN/m down, per length along it, from its first end to 1500 mm along it"
    )
    assert load_words(roof, Warmer(on=TOP, by=-5.0)) == "every top chord: temperature change of -5 °C"
    assert load_words(roof, Longer(on=TOP, by=3.0)) == "every top chord: lack of fit, 3 mm longer than drawn"


def test_a_combination_is_a_sum() -> None:
    assert factors_words({RunId("D"): 1.0, RunId("S"): 0.75}) == "1 D + 0.75 S"
    assert factors_words({}) == "nothing"


def test_small_words() -> None:
    assert (counted(1, "joint"), counted(2, "joint"), counted(0, "query", "queries")) == (
        "1 joint",
        "2 joints",
        "0 queries",
    )
    assert short_digest("sha256:0123456789abcdef") == "0123456789ab"
