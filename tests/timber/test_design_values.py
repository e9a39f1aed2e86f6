"""Adjusted design values of one piece: which factors table 4.3.1 and 5.3.1 let in."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import reference
from trussio.timber.design_values import Use, adjusted_value

PIECE = reference.sawn(species="Douglas Fir-Larch", grade="No.2", thickness=1.5, width=7.25)
GLULAM = reference.glulam(combination="24F-V4", laminations=8, depth=12.0)
DRY = Use(CD=1.15, wet=False, temperature=70.0)
HARD = Use(CD=1.15, wet=True, temperature=110.0, incised=True, repetitive=True)


@pytest.mark.parametrize(
    ("symbol", "use", "expected"),
    [
        pytest.param("Ft", DRY, 575 * 1.15 * 1.2, id="tension CD CF"),
        pytest.param("Fb", DRY, 900 * 1.15 * 1.2, id="bending CD CF"),
        pytest.param("Fc", DRY, 1350 * 1.15 * 1.05, id="compression CD CF"),
        pytest.param("Fv", DRY, 180 * 1.15, id="CD alone"),
        pytest.param("Fc_perp", DRY, 625.0, id="no CD across the grain"),
        pytest.param("Emin", DRY, 580000.0, id="no CD on Emin"),
        pytest.param("Fb", HARD, 900 * 1.15 * 1.2 * 1.0 * 0.7 * 0.8 * 1.15, id="low Fb CF is spared CM"),
        pytest.param("Fc", HARD, 1350 * 1.15 * 1.05 * 0.8 * 0.7 * 0.8, id="all of them"),
        pytest.param("Emin", HARD, 580000 * 0.9 * 0.9 * 0.95, id="CM Ct Ci"),
        pytest.param("Fc_perp", HARD, 625 * 0.67 * 0.7, id="CM Ct"),
    ],
)
def test_sawn(symbol: str, use: Use, expected: float) -> None:
    assert adjusted_value(PIECE, symbol, use=use, thickness=1.5, width=7.25).value == pytest.approx(expected)


@pytest.mark.parametrize(
    ("symbol", "flat", "expected"),
    [
        pytest.param("Fb", False, 2400 * 1.15 * 0.8 * 0.7, id="no Ci, no Cr, no CF"),
        pytest.param("Fby", True, 1450 * 1.15 * 0.8 * 0.7 * (12 / 5.125) ** (1 / 9), id="flat use"),
        pytest.param("Emin_y", False, 850000 * 0.833 * 0.9, id="weak axis"),
    ],
)
def test_glulam(symbol: str, *, flat: bool, expected: float) -> None:
    found = adjusted_value(GLULAM, symbol, use=HARD, thickness=5.125, width=12.0, flat=flat)
    assert found.value == pytest.approx(expected)


def test_a_value_that_the_source_lacks_is_named() -> None:
    row = reference.as_stated(
        name="chord", species="pine", size_class="in place", values={"Ft": 500.0}, source="tested"
    )
    with pytest.raises(UsageError, match=r"value-missing at chord: Fc is not given by stated values"):
        adjusted_value(row, "Fc", use=DRY, thickness=1.5, width=5.5)


@pytest.mark.parametrize(("thickness", "width", "times"), [(1.5, 9.25, 0.8), (5.5, 9.5, 1.0), (5.5, 5.5, 1.0)])
def test_an_incised_timber_keeps_its_values(thickness: float, width: float, times: float) -> None:
    row = reference.sawn(species="Douglas Fir-Larch", grade="No.1", thickness=thickness, width=width)
    plain, incised = (
        adjusted_value(
            row,
            "Fv",
            use=Use(CD=1.0, wet=False, temperature=70.0, incised=incised),
            thickness=thickness,
            width=width,
        ).value
        for incised in (False, True)
    )
    assert incised == pytest.approx(times * plain)
