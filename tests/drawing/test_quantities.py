"""Forces, moments and lengths are written as people write them."""

from __future__ import annotations

import pytest

from trussio.drawing.lengths import length_text
from trussio.drawing.quantities import force_letter, force_scale, force_text, moment_scale, movement_scale
from trussio.units import UnitSystem


@pytest.mark.parametrize(
    ("units", "largest", "force", "text"),
    [
        ("us", 41234.0, 41234.0, "41.2 T"),
        ("us", 41234.0, -940.0, "0.9 C"),
        ("us", 41234.0, 49.0, "0"),
        ("us", 41234.0, -49.0, "0"),
        ("us", 41234.0, 51.0, "0.1 T"),
        ("us", 4123.0, -4123.0, "4.12 C"),
        ("us", 1000.0, 1000.0, "1.00 T"),
        ("us", 999.0, 999.0, "999 T"),
        ("us", 5.0, 5.0, "5.00 T"),
        ("us", 0.0, 0.0, "0"),
        ("us", 2.5e6, 2.5e6, "2,500.0 T"),
        ("si", 18000.0, -18000.0, "18.0 C"),
        ("si", 999.0, 1.0, "0.001 T"),
    ],
)
def test_a_force_has_three_figures_of_the_largest_and_its_letter(
    units: UnitSystem, largest: float, force: float, text: str
) -> None:
    assert force_text(force_scale(units, largest), force) == text


def test_near_zero_is_half_of_the_last_decimal() -> None:
    scale = force_scale("us", 41234.0)
    assert scale.near_zero == 50.0
    assert (force_letter(scale, 49.9), force_letter(scale, 50.1)) == ("", "T")


def test_kips_need_no_minus_before_a_zero() -> None:
    assert force_scale("us", 41234.0).text(-0.1) == "0 k"


def test_moments_are_in_foot_kips_and_kilonewton_metres() -> None:
    assert moment_scale("us", 150000.0).text(150000.0) == "12.5 ft-k"
    assert moment_scale("si", 1.25e6).text(-1.25e6) == "-1.25 kN-m"


def test_movements_are_in_inches_and_millimetres() -> None:
    assert movement_scale("us").text(-0.456) == "-0.46 in."
    assert movement_scale("si").text(12.34) == "12.3 mm"


@pytest.mark.parametrize(
    ("units", "length", "text"),
    [
        ("us", 150.5, "12'-6 1/2\""),
        ("us", 0.0, '0"'),
        ("si", 1200.0, "1200"),
        ("si", 1200.04, "1200"),
        ("si", 33.333, "33.3"),
    ],
)
def test_lengths_are_written_as_on_drawings(units: UnitSystem, length: float, text: str) -> None:
    assert length_text(units, length) == text
