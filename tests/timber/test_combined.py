"""Axial force with bending: the interactions, and the failures that must never look like a small number."""

from __future__ import annotations

from math import inf

import pytest

from trussio.errors import UsageError
from trussio.model.check import Check
from trussio.timber import combined


def strut(fc: float, fb1: float = 0.0, *, FcE2: float = inf, FbE: float = inf) -> tuple[Check, Check]:
    return combined.compression_bending_checks(
        fc=fc, Fc=600.0, fb1=fb1, Fb1=1000.0, FcE1=1000.0, FcE2=FcE2, FbE=FbE
    )


def test_tension_with_bending_adds_up() -> None:
    edge, other = combined.tension_bending_checks(
        ft=400.0, fb=600.0, Ft=1000.0, Fb_star=1000.0, Fb_star_star=900.0
    )
    assert edge.ratio == pytest.approx(1.0)
    assert edge.interaction
    assert other.ratio == pytest.approx(200 / 900)
    assert (edge.verdict, other.verdict) == ("met", "met")
    over = combined.tension_bending_checks(ft=401.0, fb=600.0, Ft=1000.0, Fb_star=1000.0, Fb_star_star=900.0)[0]
    assert over.verdict == "not met"


def test_a_compressed_edge_may_govern_under_tension() -> None:
    _, other = combined.tension_bending_checks(ft=10.0, fb=500.0, Ft=1000.0, Fb_star=1000.0, Fb_star_star=400.0)
    assert other.verdict == "not met"


def test_bending_is_amplified() -> None:
    main, _ = strut(500.0, 300.0)
    assert main.ratio == pytest.approx((500 / 600) ** 2 + 300 / (1000 * 0.5))
    assert main.verdict == "not met"


def test_without_bending_compression_counts_squared() -> None:
    assert strut(600.0)[0].ratio == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("fc", "fb1", "FcE2", "FbE", "reason"),
    [
        pytest.param(1000.0, 1.0, inf, inf, "fc 1000 psi reaches FcE1 1000 psi", id="exactly at FcE1"),
        pytest.param(2000.0, 1.0, inf, inf, "fc 2000 psi reaches FcE1 1000 psi", id="far over FcE1"),
        pytest.param(700.0, 1.0, 700.0, inf, "fc 700 psi reaches FcE2 700 psi", id="exactly at FcE2"),
        pytest.param(100.0, 900.0, inf, 900.0, "fb1 900 psi reaches FbE 900 psi", id="exactly at FbE"),
        pytest.param(300.0, 250.0, 400.0, 500.0, "fc/FcE2 + (fb1/FbE)^2 reaches 1", id="both together"),
    ],
)
def test_an_amplifier_without_bound_is_a_failure(
    fc: float, fb1: float, *, FcE2: float, FbE: float, reason: str
) -> None:
    main, sideways = strut(fc, fb1, FcE2=FcE2, FbE=FbE)
    assert main.ratio == inf
    assert main.verdict == "not met"
    assert main.reason == f"the amplified moment has no bound: {reason}"
    if "FcE1" not in reason:
        assert sideways.verdict == "not met"


def test_sideways_alone() -> None:
    assert strut(350.0, 0.0, FcE2=700.0)[1].ratio == pytest.approx(0.5)
    assert strut(699.0, 0.0, FcE2=700.0)[1].verdict == "met"


def test_an_eccentric_force_adds_its_own_moment() -> None:
    plain = strut(300.0, 100.0)[0].ratio or 0.0
    check = combined.compression_bending_checks(
        fc=300.0,
        Fc=600.0,
        fb1=100.0,
        Fb1=1000.0,
        FcE1=1000.0,
        FcE2=inf,
        FbE=inf,
        eccentricity1=combined.Eccentricity(distance=0.5, depth=6.0),
    )[0]
    added = 300 * 6 * 0.5 / 6 * (1 + 0.234 * 0.3) / (1000 * 0.7)
    assert check.ratio == pytest.approx(plain + added)
    assert check.clause == "NDS-2018 15.4.1 eq. 15.4-1"


def test_bending_across_needs_its_value() -> None:
    with pytest.raises(UsageError) as fault:
        combined.compression_bending_checks(
            fc=100.0, Fc=600.0, fb1=0.0, Fb1=1000.0, FcE1=900.0, FcE2=900.0, FbE=inf, fb2=10.0
        )
    assert fault.value.code == "value-missing"


@pytest.mark.parametrize("stress", [-1.0, float("nan")])
def test_amounts_have_no_sign(stress: float) -> None:
    with pytest.raises(UsageError, match="wrong-sense"):
        strut(stress)
    with pytest.raises(UsageError, match="wrong-sense"):
        combined.tension_bending_checks(ft=1.0, fb=stress, Ft=1.0, Fb_star=1.0, Fb_star_star=1.0)


def test_a_shifted_centroid_bends_what_is_left() -> None:
    found = combined.residual_stress(force=8000.0, area=8.0, shift=-1.0, modulus=16 / 3, moment=1000.0)
    assert found.value == pytest.approx(1000.0 + 9000.0 / (16 / 3))
