"""The record of a check: the verdict follows from the ratio alone, and the derivation can be followed."""

from __future__ import annotations

from math import inf

import pytest

from trussio.model.check import Check, Derivation, Line, Subject
from trussio.timber import working


def check(ratio: float | None) -> Check:
    return Check(
        what="tension",
        clause="3.8.1",
        subject=Subject(element="bottom:B0-B1", run="D+S"),
        demand=1.0,
        capacity=1.0,
        unit="psi",
        ratio=ratio,
        derivation=Derivation(0.0, ()),
    )


@pytest.mark.parametrize(
    ("ratio", "verdict"),
    [
        (0.0, "met"),
        (1.0, "met"),
        (1.0000001, "not met"),
        (inf, "not met"),
        (None, "not evaluated"),
        (float("nan"), "not met"),
    ],
)
def test_the_verdict_follows_from_the_ratio(ratio: float | None, verdict: str) -> None:
    assert check(ratio).verdict == verdict


def test_each_line_stands_once_in_the_order_of_use() -> None:
    shared = working.stated("a", 2.0, "psi")
    twice = working.derived("b", 4.0, "psi", "2 a", "", shared)
    found = working.derived("c", 8.0, "psi", "a b", "", shared, twice)
    assert [line.symbol for line in found.lines] == ["a", "b", "c"]
    assert found.figure("b") == 4.0
    with pytest.raises(KeyError):
        found.figure("d")


def test_the_last_line_of_a_symbol_counts() -> None:
    found = Derivation(2.0, (Line("x", 1.0, "", "", "", ""), Line("x", 2.0, "", "", "", "")))
    assert found.figure("x") == 2.0


def test_no_capacity_under_a_demand_is_no_small_number() -> None:
    demand, none = working.stated("T", 1.0), working.stated("Z", 0.0)
    found = working.set_against(what="bolts", clause="12", demand=demand, capacity=none, unit="lbf", of=Subject())
    assert (found.ratio, found.verdict) == (inf, "not met")
    idle = working.set_against(what="bolts", clause="12", demand=none, capacity=none, unit="lbf", of=Subject())
    assert (idle.ratio, idle.verdict) == (0.0, "met")


def test_what_a_subject_says_stands_beside_every_check() -> None:
    of = Subject(remarks=("gross section",))
    found = working.not_evaluated(what="x", clause="", of=of, reason="why", remarks=("more",))
    assert found.remarks == ("gross section", "more")
    assert found.reason == "why"
    assert found.demand is None
