"""Withdrawal, load at an angle to the surface, and the steel of tendons."""

from __future__ import annotations

from math import exp

import pytest

from trussio.errors import UsageError
from trussio.timber import tendon, withdrawal
from trussio.timber.fasteners import Kind


@pytest.mark.parametrize(("kind", "W"), [("lag screw", 225.0), ("wood screw", 178.0), ("nail", 61.0)])
def test_quarter_inch_fasteners_in_withdrawal(kind: Kind, W: float) -> None:
    assert withdrawal.withdrawal_value(kind=kind, G=0.5, diameter=0.25).value == pytest.approx(W, abs=0.6)


def test_bolts_have_no_withdrawal() -> None:
    with pytest.raises(UsageError) as fault:
        withdrawal.withdrawal_value(kind="bolt", G=0.5, diameter=0.5)
    assert fault.value.do == "Check the washer's bearing and the bolt's tension instead."


@pytest.mark.parametrize(("kind", "Ceg"), [("lag screw", 0.75), ("nail", 0.0), ("wood screw", 0.0), ("bolt", 0.0)])
def test_end_grain_holds_lag_screws_alone(kind: Kind, Ceg: float) -> None:
    assert withdrawal.end_grain_withdrawal(kind).value == Ceg


@pytest.mark.parametrize("kind", ["lag screw", "nail"])
@pytest.mark.parametrize(("angle", "value"), [(0.0, 300.0), (90.0, 800.0)])
def test_the_ends_of_the_angle(kind: Kind, angle: float, value: float) -> None:
    found = withdrawal.combined_value(kind=kind, withdrawal=800.0, lateral=300.0, angle=angle)
    assert found.value == pytest.approx(value)


def test_between_screws_go_by_squares_and_nails_by_first_powers() -> None:
    screw = withdrawal.combined_value(kind="lag screw", withdrawal=800.0, lateral=300.0, angle=45.0)
    nail = withdrawal.combined_value(kind="nail", withdrawal=800.0, lateral=300.0, angle=45.0)
    assert screw.value == pytest.approx(800 * 300 / 550)
    assert nail.value == pytest.approx(screw.value / 2**0.5)


@pytest.mark.parametrize(
    ("stage", "limit"), [("jacking", 216.0), ("transfer", 0.82 * 0.9 * 270), ("anchorage", 189.0)]
)
def test_strand_limits(stage: tendon.Stage, limit: float) -> None:
    assert tendon.strand_limit(stage).value == pytest.approx(limit)


def test_bars_and_strands() -> None:
    assert tendon.strand_area(0.6, 2).value == pytest.approx(0.434)
    assert tendon.bar_area(1.25).value == 1.25
    assert tendon.bar_limit("service").value == pytest.approx(90.0)
    with pytest.raises(UsageError, match="unknown-strand"):
        tendon.strand_area(0.7)
    with pytest.raises(UsageError, match="unknown-bar"):
        tendon.bar_area(0.7)


@pytest.mark.parametrize(("force", "verdict"), [(33.04, "met"), (33.05, "not met")])
def test_jacking_stays_under_its_limit(force: float, verdict: str) -> None:
    check = tendon.tendon_check(
        force_kip=force, area=tendon.strand_area(0.5), limit=tendon.strand_limit("jacking")
    )
    assert check.verdict == verdict


def test_losses() -> None:
    assert tendon.friction(force=100.0, coefficient=0.2, turn=0.5).value == pytest.approx(100 * exp(-0.1))
    with pytest.raises(UsageError, match="impossible-distance"):
        tendon.seating_loss(seating=0.25, length=0.0, area=1.0, E=1.0)
