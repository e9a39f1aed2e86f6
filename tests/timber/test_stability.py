"""Stability: CP and CL against the equations they solve, effective lengths at their switches."""

from __future__ import annotations

from math import inf, pi, sqrt

import numpy as np
import pytest

from trussio.errors import UsageError
from trussio.timber import stability


@pytest.mark.parametrize("c", [0.8, 0.85, 0.9])
@pytest.mark.parametrize("ratio", [0.02, 0.5, 1.0, 3.0, 40.0, 1e6])
def test_column_factor_is_the_smaller_root_of_its_quadratic(ratio: float, c: float) -> None:
    found = stability.column_stability(Fc_star=1000.0, FcE=1000.0 * ratio, c=c).value
    assert found == pytest.approx(np.roots([c, -(1 + ratio), ratio]).real.min(), rel=1e-9)


@pytest.mark.parametrize("ratio", [0.05, 0.9, 2.0, 1e5])
def test_beam_factor_is_the_smaller_root_of_its_quadratic(ratio: float) -> None:
    found = stability.beam_stability(Fb_star=2000.0, FbE=2000.0 * ratio).value
    assert found == pytest.approx(np.roots([0.95, -(1 + ratio), ratio]).real.min(), rel=1e-9)


def test_what_is_held_throughout_does_not_buckle() -> None:
    FcE = stability.euler_stress(580000.0, stability.slenderness(0.0, 1.5))
    assert FcE.value == inf
    assert stability.column_stability(Fc_star=1000.0, FcE=FcE, c=0.8).value == 1.0
    assert stability.beam_stability(Fb_star=1000.0, FbE=stability.beam_buckling_stress(580000.0, 0.0)).value == 1.0


def test_spaced_columns_gain_by_their_end_blocks() -> None:
    plain = stability.euler_stress(580000.0, 40.0).value
    assert stability.euler_stress(580000.0, 40.0, Kx=2.5).value == pytest.approx(2.5 * plain)


@pytest.mark.parametrize(
    ("load", "lu", "le"),
    [
        ("uniform", 6.99, 2.06 * 6.99),
        ("uniform", 7.0, 1.63 * 7 + 3),
        ("centre load", 6.9, 1.80 * 6.9),
        ("centre load", 7.0, 1.37 * 7 + 3),
        ("equal end moments", 20.0, 1.84 * 20),
        ("cantilever, end load", 8.0, 1.44 * 8 + 3),
        ("any", 6.9, 2.06 * 6.9),
        ("any", 7.0, 1.63 * 7 + 3),
        ("any", 14.3, 1.63 * 14.3 + 3),
        ("any", 14.31, 1.84 * 14.31),
    ],
)
def test_effective_length_of_a_beam_one_inch_deep(load: str, lu: float, le: float) -> None:
    assert stability.beam_length(lu, 1.0, load).value == pytest.approx(le)


def test_a_loading_that_the_table_lacks() -> None:
    with pytest.raises(UsageError) as fault:
        stability.beam_length(96.0, 7.25, "crane")
    assert fault.value.do.startswith("Enter 'any' or one of: uniform; centre load;")


def test_end_conditions() -> None:
    assert stability.effective_length(100.0, "flagpole").value == pytest.approx(210.0)
    assert stability.effective_length(100.0).value == 100.0
    with pytest.raises(UsageError, match="unknown-end-condition"):
        stability.effective_length(100.0, "welded")


@pytest.mark.parametrize(
    ("support", "d"),
    [
        ("large end fixed", 4 + 2 * (0.7 - 0.15 * (1 - 4 / 6))),
        ("small end fixed", 4 + 2 * (0.3 - 0.05)),
        ("tapered to both ends", 4 + 2 * 0.65),
        ("other", 4 + 2 / 3),
    ],
)
def test_tapered_columns(support: stability.TaperSupport, d: float) -> None:
    assert stability.tapered_dimension(4.0, 6.0, support).value == pytest.approx(d)


def test_a_round_column_is_the_square_of_its_area() -> None:
    assert stability.round_as_square(10.0).value ** 2 == pytest.approx(pi * 25)
    assert stability.round_as_square(10.0).value == pytest.approx(5 * sqrt(pi))


@pytest.mark.parametrize("d", [0.0, -1.5, float("nan")])
def test_a_dimension_that_cannot_be(d: float) -> None:
    with pytest.raises(UsageError) as fault:
        stability.slenderness(96.0, d, " across")
    assert fault.value.code == "impossible-distance"
    assert fault.value.do == "Enter d as measured, greater than zero."
