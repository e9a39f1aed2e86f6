"""Tension, compression, slenderness and end bearing: what meets its allowable, what does not, what stays open."""

from __future__ import annotations

from math import inf

import pytest

from trussio.errors import UsageError
from trussio.model.check import Subject
from trussio.timber import axial

AXES = (
    axial.Axis(name="in depth", le=96.0, d=5.5, Emin=580000.0),
    axial.Axis(name="across", le=48.0, d=1.5, Emin=580000.0),
)


@pytest.mark.parametrize(
    ("force", "verdict"),
    [
        pytest.param(0.0, "met", id="no force"),
        pytest.param(8000.0, "met", id="exactly at the allowable"),
        pytest.param(8000.1, "not met", id="a hair over"),
    ],
)
def test_tension(force: float, verdict: str) -> None:
    check = axial.tension_check(force=force, net_area=8.0, Ft=1000.0, of=Subject("bottom", "D+S", "No.1"))
    assert check.verdict == verdict
    assert (check.element, check.run, check.unit, check.interaction) == ("bottom", "D+S", "psi", False)
    assert [line.symbol for line in check.derivation.lines] == ["T", "A_net", "ft", "Ft'"]


@pytest.mark.parametrize("force", [-1.0, float("nan"), inf])
def test_the_other_sense_is_refused(force: float) -> None:
    with pytest.raises(UsageError) as fault:
        axial.tension_check(force=force, net_area=8.0, Ft=1000.0)
    assert fault.value.code == "wrong-sense"
    with pytest.raises(UsageError, match="the compression is"):
        axial.net_compression_check(force=force, net_area=8.0, Fc_star=1000.0)


def test_the_slender_axis_governs() -> None:
    strut = axial.strut_values(Fc_star=1500.0, axes=AXES, c=0.8)
    assert strut.governing == 1
    assert strut.CP[1].value < strut.CP[0].value
    assert strut.Fc.value == pytest.approx(1500.0 * strut.CP[1].value)
    check = axial.compression_check(force=strut.Fc.value * 8.25, gross_area=8.25, strut=strut)
    assert check.ratio == pytest.approx(1.0)
    assert check.remarks == ("buckling across governs, le/d 32.0",)
    over = axial.compression_check(force=strut.Fc.value * 8.25 * 1.01, gross_area=8.25, strut=strut)
    assert over.verdict == "not met"


def test_a_section_reduced_where_it_buckles_counts_net() -> None:
    strut = axial.strut_values(Fc_star=1500.0, axes=AXES, c=0.8)
    gross = axial.compression_check(force=1000.0, gross_area=8.25, strut=strut)
    net = axial.compression_check(force=1000.0, gross_area=8.25, net_area=7.0, strut=strut)
    assert gross.demand == pytest.approx(1000 / 8.25)
    assert net.demand == pytest.approx(1000 / 7.0)


def test_bracing_that_nobody_gave() -> None:
    with pytest.raises(UsageError) as fault:
        axial.strut_values(Fc_star=1500.0, axes=(), c=0.8)
    assert str(fault.value) == (
        "bracing-missing at compression: no axis is given in which the piece may buckle. Enter for both axes the "
        "length between restraints, 0 where it is held throughout."
    )


@pytest.mark.parametrize(
    ("le", "construction", "verdict"),
    [(75.0, False, "met"), (75.1, False, "not met"), (112.5, True, "met"), (112.6, True, "not met")],
)
def test_slenderness_up_to_fifty_or_seventy_five(le: float, verdict: str, *, construction: bool) -> None:
    strut = axial.strut_values(Fc_star=1.0, axes=(axial.Axis(name="a", le=le, d=1.5, Emin=1.0),), c=0.8)
    assert axial.slenderness_check(strut=strut, during_construction=construction).verdict == verdict


@pytest.mark.parametrize(
    ("stress", "plate", "verdict"),
    [
        (1000.0, True, "met"),
        (1000.1, True, "not met"),
        (750.0, False, "met"),
        (750.1, False, "not met"),
        (750.0, None, "met"),
        (750.1, None, "not evaluated"),
    ],
)
def test_end_grain_needs_a_plate_over_three_quarters(stress: float, *, plate: bool | None, verdict: str) -> None:
    check = axial.end_bearing_check(force=stress * 10, area=10.0, Fc_star=1000.0, plate=plate)
    assert check.verdict == verdict
    if verdict == "not evaluated":
        assert check.ratio is None
        assert check.reason == "fc is over 0.75 Fc*: enter whether a steel plate lies between the ends"


def test_net_compression_has_no_buckling() -> None:
    assert axial.net_compression_check(force=8000.0, net_area=8.0, Fc_star=1000.0).verdict == "met"
    assert axial.net_compression_check(force=8001.0, net_area=8.0, Fc_star=1000.0).verdict == "not met"
