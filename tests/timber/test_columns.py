"""Built-up, spaced and loose struts, rods, and the formulas of old books."""

from __future__ import annotations

from math import pi

import pytest

from trussio.errors import UsageError
from trussio.timber import columns, old_columns, rods


def built_up(plies: int, thickness: float, fastened: columns.Fastening = "nailed") -> float:
    strut = columns.built_up_strut(
        plies=plies,
        thickness=thickness,
        depth=5.5,
        fastened=fastened,
        le_depth=120.0,
        le_stack=120.0,
        Fc_star=1485.0,
        Emin=580000.0,
    )
    return strut.Fc.value


def test_bolts_hold_plies_better_than_nails() -> None:
    assert built_up(3, 1.5, "bolted") == pytest.approx(built_up(3, 1.5) * 0.75 / 0.6)


@pytest.mark.parametrize(("plies", "thickness"), [(1, 1.5), (6, 1.5), (3, 1.49)])
def test_the_clause_has_limits(plies: int, thickness: float) -> None:
    with pytest.raises(UsageError) as fault:
        built_up(plies, thickness)
    assert fault.value.code == "not-built-up"
    assert fault.value.do.endswith("take the leaves alone otherwise.")


def test_loose_leaves_buckle_alone() -> None:
    alone = columns.leaves_alone(
        thickness=1.5, depth=5.5, le_depth=120.0, le_leaf=120.0, Fc_star=1485.0, Emin=580000.0
    )
    assert alone.slenderness[1].value == pytest.approx(80.0)
    assert alone.Fc.value < built_up(3, 1.5)


def test_connectors_farther_in_fix_a_spaced_column_better() -> None:
    def capacity(end: columns.EndCondition) -> float:
        return columns.spaced_strut(
            thickness=2.5,
            depth=7.25,
            l1=108.0,
            l2=108.0,
            l3=54.0,
            end_condition=end,
            Fc_star=2000.0,
            Emin=690000.0,
        ).Fc.value

    assert capacity("b") > capacity("a")


@pytest.mark.parametrize(
    ("l1", "l2", "l3", "verdicts"),
    [
        (200.0, 362.5, 100.0, ("met", "met", "met")),
        (200.1, 362.6, 100.1, ("not met", "not met", "not met")),
    ],
)
def test_spaced_columns_have_three_limits(l1: float, l2: float, l3: float, verdicts: tuple[str, ...]) -> None:
    checks = columns.spaced_limits_checks(thickness=2.5, depth=7.25, l1=l1, l2=l2, l3=l3)
    assert tuple(check.verdict for check in checks) == verdicts


def test_a_thread_costs_a_rod_its_root() -> None:
    assert rods.rod_area(diameter=1.0, threads_per_inch=None).value == pytest.approx(pi / 4)
    assert rods.rod_area(diameter=1.0, threads_per_inch=8.0).value == pytest.approx(pi / 4 * (1 - 1.299 / 8) ** 2)
    upset = rods.rod_area(diameter=1.0, threads_per_inch=7.0, upset_diameter=1.25)
    assert upset.value == pytest.approx(pi / 4)


@pytest.mark.parametrize(("threads", "upset"), [(1.0, None), (8.0, 0.9)])
def test_rods_that_cannot_be(threads: float, upset: float | None) -> None:
    with pytest.raises(UsageError, match="impossible-distance"):
        rods.rod_area(diameter=1.0, threads_per_inch=threads, upset_diameter=upset)


@pytest.mark.parametrize(
    ("force", "allowable", "verdict"),
    [
        (9000.0, 9000.0, "met"),
        (9001.0, 9000.0, "not met"),
        (-1.0, 9000.0, "not met"),
        (100.0, None, "not evaluated"),
    ],
)
def test_a_rod(force: float, allowable: float | None, verdict: str) -> None:
    check = rods.rod_check(force=force, area=1.0, allowable=allowable)
    assert check.verdict == verdict
    assert check.demand == abs(force)
    if verdict == "not evaluated":
        assert check.reason == "enter the allowable tension of this steel or iron with its source"
    if force < 0:
        assert "slack" in check.reason


@pytest.mark.parametrize(
    ("length", "stress"),
    [
        (82.5, 1500.0),
        (126.0, 1500 * (1 - (16.8 / 20) ** 4 / 3)),
        (150.0, 1500 * 2 / 3),
        (300.0, 0.274 * 1.76e6 / 1600),
    ],
)
def test_the_fourth_power_formula_has_three_parts(length: float, stress: float) -> None:
    found = old_columns.fourth_power_column(fc=1500.0, E=1.76e6, length=length, d=7.5, K=20.0)
    assert found.value == pytest.approx(stress)


@pytest.mark.parametrize("length", [99.0, 451.0])
def test_the_straight_line_ends(length: float) -> None:
    with pytest.raises(UsageError, match="outside-formula"):
        old_columns.straight_line_column(ultimate=4000.0, length=length, d=10.0, factor_of_safety=5.0)
