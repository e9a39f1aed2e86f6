"""Bending, shear, shear at a connection and curved glulam, each met and not met."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import bending, stability


@pytest.mark.parametrize(("moment", "verdict"), [(12000.0, "met"), (12001.0, "not met")])
def test_bending(moment: float, verdict: str) -> None:
    assert bending.bending_check(moment=moment, modulus=12.0, Fb=1000.0).verdict == verdict


def test_the_lesser_of_stability_and_volume_counts_alone() -> None:
    assert bending.bending_value(Fb_star=1000.0, CL=0.9, CV=0.95).value == pytest.approx(900.0)
    assert bending.bending_value(Fb_star=1000.0, CL=0.97, CV=0.95).value == pytest.approx(950.0)
    assert bending.bending_value(Fb_star=1000.0, CL=1.0, Cfu=1.1, Cc=0.98).value == pytest.approx(1078.0)


@pytest.mark.parametrize(("le", "verdict"), [(2500.0 * 2.25 / 10, "met"), (2500.1 * 2.25 / 10, "not met")])
def test_a_beam_may_have_a_slenderness_of_fifty(le: float, verdict: str) -> None:
    RB = stability.beam_slenderness(le, depth=10.0, width=1.5)
    assert bending.beam_slenderness_check(RB=RB).verdict == verdict


@pytest.mark.parametrize(("force", "verdict"), [(1200.0, "met"), (1201.0, "not met")])
def test_shear(force: float, verdict: str) -> None:
    assert bending.shear_check(force=force, width=2.0, depth=6.0, Fv=150.0).verdict == verdict


@pytest.mark.parametrize(
    ("to_end", "capacity"),
    [
        pytest.param(29.9, 2 / 3 * 150 * 2 * 4 * (4 / 6) ** 2, id="nearer than five depths"),
        pytest.param(30.0, 2 / 3 * 150 * 2 * 4, id="five depths exactly"),
        pytest.param(0.0, 2 / 3 * 150 * 2 * 4 * (4 / 6) ** 2, id="at the very end"),
    ],
)
def test_shear_at_a_connection(to_end: float, capacity: float) -> None:
    def check(force: float) -> str:
        return bending.shear_at_connection_check(
            force=force, width=2.0, depth=6.0, effective_depth=4.0, distance_from_end=to_end, Fv=150.0
        ).verdict

    assert check(capacity) == "met"
    assert check(capacity * 1.001) == "not met"


@pytest.mark.parametrize(("depth", "to_end"), [(6.1, 10.0), (4.0, -1.0)])
def test_distances_that_cannot_be(depth: float, to_end: float) -> None:
    with pytest.raises(UsageError) as fault:
        bending.shear_at_connection_check(
            force=1.0, width=2.0, depth=6.0, effective_depth=depth, distance_from_end=to_end, Fv=150.0
        )
    assert fault.value.code == "impossible-distance"
    assert fault.value.do == (
        "Measure from the loaded edge to the farthest fastener, and from the connection to the end."
    )


@pytest.mark.parametrize(
    ("radius", "hard", "allowed"),
    [(187.5, False, True), (187.4, False, False), (150.0, True, True), (149.9, True, False)],
)
def test_laminations_bend_so_far_and_no_farther(radius: float, *, hard: bool, allowed: bool) -> None:
    if allowed:
        found = bending.curvature_factor(lamination=1.5, radius=radius, southern_pine_or_hardwood=hard)
        assert found.value == pytest.approx(1 - 2000 * (1.5 / radius) ** 2)
    else:
        with pytest.raises(UsageError, match="too-curved"):
            bending.curvature_factor(lamination=1.5, radius=radius, southern_pine_or_hardwood=hard)


def test_radial_tension_where_the_moment_flattens() -> None:
    Frt = bending.radial_tension_value(Fvx=265.0, southern_pine=False, wind_or_earthquake=False)
    wind = bending.radial_tension_value(Fvx=265.0, southern_pine=False, wind_or_earthquake=True)
    assert [Frt.value, wind.value] == pytest.approx([15.0, 265 / 3])
    limit = 15.0 * 2 / 3 * 480 * 5.125 * 12

    def verdict(moment: float, *, flattens: bool) -> str:
        return bending.radial_check(
            moment=moment, flattens=flattens, radius=480.0, width=5.125, depth=12.0, Frt=Frt, Fc_perp_y=560.0
        ).verdict

    assert verdict(limit, flattens=True) == "met"
    assert verdict(limit * 1.001, flattens=True) == "not met"
    assert verdict(limit * 1.001, flattens=False) == "met"
    assert verdict(limit * 560 / 15 * 1.001, flattens=False) == "not met"


def test_notched_glulam_shears_sooner() -> None:
    assert bending.shear_reduction_factor(notched_or_not_prismatic=True).value == 0.72
    assert bending.shear_reduction_factor(notched_or_not_prismatic=False).value == 1.0


def test_the_arithmetic_names_the_value_that_it_starts_from() -> None:
    line = bending.bending_value(Fb_star=1000.0, CL=0.9).lines[-1]
    assert (line.symbol, line.formula) == ("Fb'", "Fb* x CL")
