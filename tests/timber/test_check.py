"""The record of a check: the verdict follows from the ratio alone, and the derivation can be followed."""

from __future__ import annotations

import pickle
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


def test_a_bare_figure_gets_its_line_when_somebody_reads_it() -> None:
    found = working.derived("ft", 5.0, "psi", "T / A", "3.8.1", working.step("T", 10.0, "lbf"))
    assert found.told[0] == ("T", 10.0, "lbf")
    assert found.steps == found.lines
    assert found.lines == (
        Line("T", 10.0, "lbf", "", "", "given"),
        Line("ft", 5.0, "psi", "T / A", "3.8.1", "from memory"),
    )
    assert found.last == found.lines[-1]


def test_a_derived_figure_brings_its_lines_and_one_more_under_another_symbol() -> None:
    bent = working.stated("fb", 7.0, "psi", clause="3.3")
    same = working.derived("r", 0.7, "", "fb / Fb", "", working.step("fb", bent, "psi"))
    assert [line.symbol for line in same.lines] == ["fb", "r"]
    other = working.derived("r", 0.7, "", "fb1 / Fb", "", working.step("fb1", bent, "psi"))
    assert other.lines[1] == Line("fb1", 7.0, "psi", "fb", "", "statics")
    assert [line.symbol for line in other.lines] == ["fb", "fb1", "r"]


def test_a_derivation_without_a_line_of_its_own_has_no_last_one() -> None:
    two = Derivation(0.5, (working.stated("T", 1.0), working.stated("Z", 2.0)))
    assert two.last is None
    assert Derivation(0.0, ()).last is None
    assert [line.symbol for line in working.derived("r", 0.5, "", "x", "", working.step("x", two, "")).lines] == [
        "T",
        "Z",
        "r",
    ]


def test_derivations_compare_and_travel_by_what_they_hold() -> None:
    def made(force: float) -> Derivation:
        return working.derived("ft", force / 2, "psi", "T / A", "", working.step("T", force, "lbf"))

    assert made(10.0) == made(10.0)
    assert made(10.0) != made(11.0)
    assert hash(made(10.0)) == hash(made(10.0))
    again = pickle.loads(pickle.dumps(made(10.0)))  # noqa: S301 - what was pickled a moment ago
    assert again == made(10.0)
    assert again.lines == made(10.0).lines
