"""Laws that hold for every piece: length and decay only weaken, duration scales what it may, load only harms."""

from __future__ import annotations

from dataclasses import replace
from math import inf, nextafter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.timber.roof import BOTTOM, LEFT, STRUT, axial, results, truss
from trussio.model.condition import Worn
from trussio.model.material import Section
from trussio.model.truss import MemberId
from trussio.timber import (
    adjustment,
    bearing,
    bending,
    combined,
    eurocode_members,
    fasteners,
    group_action,
    lateral,
    net_section,
    reference,
    stability,
)
from trussio.timber import axial as struts
from trussio.timber.bench import Conditions
from trussio.timber.design_values import Use, adjusted_value
from trussio.timber.lateral import Piece
from trussio.timber.net_section import Void
from trussio.timber.review import review
from trussio.timber.rings import ConnectorPlacement
from trussio.timber.single_joint import RingPiece, dowel_joint, ring_joint

lengths = st.floats(1.0, 400.0)
growth = st.floats(1.0, 3.0)
stresses = st.floats(1.0, 3000.0)
diameters = st.sampled_from([0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0])
PIECE = reference.sawn(species="Douglas Fir-Larch", grade="No.1", thickness=2.5, width=9.25)


def no_more(greater: float, lesser: float) -> bool:
    """Not greater, but for the rounding of the last digit."""
    return lesser <= nextafter(greater * (1 + 1e-12), inf)


@given(length=lengths, grown=growth, Fc=stresses, d=st.floats(1.0, 12.0))
def test_a_longer_strut_never_carries_more(length: float, grown: float, Fc: float, d: float) -> None:
    def capacity(le: float) -> float:
        axes = (struts.Axis(name="a", le=le, d=d, Emin=580000.0),)
        return struts.strut_values(Fc_star=Fc, axes=axes, c=0.8).Fc.value

    assert no_more(capacity(length), capacity(length * grown))
    assert 0 < capacity(length) <= Fc * (1 + 1e-12)


@given(length=st.floats(10.0, 5000.0), grown=growth)
def test_a_longer_european_strut_never_carries_more(length: float, grown: float) -> None:
    def kc(le: float) -> float:
        return eurocode_members.buckling(le=le, dimension=100.0, fc0k=21.0, E005=7400.0, product="solid").kc.value

    assert no_more(kc(length), kc(length * grown))
    assert 0 < kc(length) <= 1


@given(length=lengths, grown=growth, Fb=stresses)
def test_a_longer_beam_never_carries_more(length: float, grown: float, Fb: float) -> None:
    def stable(le: float) -> float:
        RB = stability.beam_slenderness(le, depth=9.25, width=1.5)
        return stability.beam_stability(Fb_star=Fb, FbE=stability.beam_buckling_stress(580000.0, RB)).value

    assert no_more(stable(length), stable(length * grown))
    assert 0 < stable(length) <= 1 + 1e-12


@given(depth=st.floats(0.01, 2.0), more=st.floats(0.01, 2.0), width=st.floats(0.1, 2.5))
def test_decay_only_takes(depth: float, more: float, width: float) -> None:
    def left(rot: float) -> net_section.ResidualSection:
        return net_section.residual_section(
            width=2.5, depth=9.25, voids=[Void(what="rot", width=width, depth=rot, at=9.25 / 2 - rot / 2)]
        )

    whole, first, second = net_section.residual_section(width=2.5, depth=9.25), left(depth), left(depth + more)
    assert whole.area.value > first.area.value > second.area.value
    assert whole.inertia > first.inertia > second.inertia
    assert whole.modulus > first.modulus
    stress = [
        combined.residual_stress(force=1000.0, area=s.area, shift=s.centroid, modulus=s.modulus).value
        for s in (whole, first, second)
    ]
    assert stress == sorted(stress)


@pytest.mark.parametrize(
    ("symbol", "scales"),
    [("Ft", True), ("Fb", True), ("Fv", True), ("Fc", True), ("Fc_perp", False), ("E", False), ("Emin", False)],
)
@given(CD=st.sampled_from([0.9, 1.0, 1.15, 1.25, 1.6, 2.0]))
def test_duration_scales_strength_and_nothing_else(symbol: str, *, scales: bool, CD: float) -> None:
    def value(duration: float) -> float:
        use = Use(CD=duration, wet=False, temperature=70.0)
        return adjusted_value(PIECE, symbol, use=use, thickness=2.5, width=9.25).value

    assert value(CD) == pytest.approx(value(1.0) * (CD if scales else 1.0))


@given(CD=st.floats(0.9, 2.0), more=growth, length=lengths)
def test_a_shorter_load_never_weakens_a_strut_and_gains_less_than_it_scales(
    CD: float, more: float, length: float
) -> None:
    def capacity(duration: float) -> float:
        axes = (struts.Axis(name="a", le=length, d=2.5, Emin=580000.0),)
        return struts.strut_values(Fc_star=1500.0 * duration, axes=axes, c=0.8).Fc.value

    assert no_more(capacity(CD * more), capacity(CD))
    assert no_more(capacity(CD) * more, capacity(CD * more))


@given(
    fc=st.floats(0.0, 1500.0),
    fb=st.floats(0.0, 3000.0),
    more=growth,
    FcE=st.floats(50.0, 3000.0),
    side=st.floats(50.0, 3000.0),
)
def test_utilisation_never_falls_when_the_load_grows(
    fc: float, fb: float, *, more: float, FcE: float, side: float
) -> None:
    def ratios(factor: float) -> tuple[float, float]:
        main, sideways = combined.compression_bending_checks(
            fc=fc * factor, Fc=600.0, fb1=fb * factor, Fb1=1000.0, FcE1=FcE, FcE2=side, FbE=2000.0
        )
        assert main.ratio is not None
        assert sideways.ratio is not None
        return main.ratio, sideways.ratio

    for before, after in zip(ratios(1.0), ratios(more), strict=True):
        assert before >= 0
        assert no_more(after, before)


@given(fc=st.floats(1.0, 5000.0), fb=st.floats(1.0, 5000.0), FcE=st.floats(10.0, 3000.0))
def test_beyond_buckling_is_never_met(fc: float, fb: float, FcE: float) -> None:
    main, _ = combined.compression_bending_checks(fc=fc, Fc=1e9, fb1=fb, Fb1=1e9, FcE1=FcE, FcE2=inf, FbE=inf)
    assert (main.verdict == "met") == (fc < FcE and (main.ratio or 0.0) <= 1)
    if fc >= FcE:
        assert main.verdict == "not met"


@given(angle=st.floats(0.0, 90.0), P=stresses, share=st.floats(0.05, 1.0))
def test_an_angle_lies_between_its_ends(angle: float, P: float, share: float) -> None:
    value = bearing.hankinson(P, P * share, angle).value
    assert P * share * (1 - 1e-12) <= value <= P * (1 + 1e-12)


@given(diameter=diameters, t=st.floats(0.5, 6.0), more=growth, G=st.sampled_from([0.36, 0.43, 0.5, 0.55, 0.67]))
def test_a_thicker_piece_never_holds_a_bolt_worse(diameter: float, t: float, more: float, G: float) -> None:
    def bolt(thickness: float) -> float:
        return lateral.lateral_value(
            fastener=fasteners.bolt(diameter), main=Piece(thickness=3.5, G=G), side=Piece(thickness=thickness, G=G)
        ).Z.value

    assert no_more(bolt(t * more), bolt(t))


@given(diameter=diameters, angle=st.floats(0.0, 89.0), more=st.floats(0.0, 1.0))
def test_turning_the_grain_never_helps_a_bolt(diameter: float, angle: float, more: float) -> None:
    def bolt(theta: float) -> float:
        piece = Piece(thickness=1.5, G=0.5, angle=theta)
        return lateral.lateral_value(
            fastener=fasteners.bolt(diameter), main=piece, side=piece, shear="double"
        ).Z.value

    assert no_more(bolt(angle), bolt(angle + more))


@given(n=st.integers(1, 20), s=st.floats(1.0, 10.0), EA=st.floats(1e6, 1e8), share=st.floats(0.05, 1.0))
def test_a_longer_row_shares_less_evenly_but_carries_no_less(n: int, s: float, EA: float, share: float) -> None:
    def sharing(count: int) -> float:
        return group_action.group_action(
            in_row=count, spacing=s, gamma=120000.0, EA_main=EA, EA_side=EA * share
        ).value

    assert 0 < sharing(n) <= 1 + 1e-9
    assert no_more(sharing(n), sharing(n + 1) * (1 - 1e-9))
    assert (n + 1) * sharing(n + 1) >= n * sharing(n) * (1 - 1e-9)


@given(width=st.floats(3.0, 12.0), depth=st.floats(12.0, 48.0), length=st.floats(60.0, 720.0), more=growth)
def test_a_greater_volume_is_never_stronger(width: float, depth: float, length: float, more: float) -> None:
    def volume(factor: float) -> float:
        return adjustment.volume_factor(
            length=length * factor, depth=depth, width=width, southern_pine=False
        ).value

    assert no_more(volume(1.0), volume(more))


def amounts(most: float) -> st.SearchStrategy[float]:
    """Forces that are none, or enough to be no rounding."""
    return st.just(0.0) | st.floats(0.01, most)


@given(tension=amounts(40000.0), push=amounts(20000.0), moment=amounts(40000.0), more=growth)
def test_in_a_whole_truss_more_load_never_lowers_a_ratio(
    tension: float, push: float, moment: float, more: float
) -> None:
    roof = truss()
    held = Conditions(
        wet=False, temperature=70.0, lateral={MemberId(name): 48.0 for name in ("bottom", "left", "right")}
    )

    def ratios(factor: float) -> dict[tuple[str, str], float]:
        forces = {
            BOTTOM: axial(tension * factor, moment * factor, 100.0 * factor),
            LEFT: axial(-push * factor, moment * factor),
            STRUT: axial(-push * factor / 10),
        }
        checks = review(roof, results(roof, {"D+S": forces}), held)
        return {(c.element, c.what): c.ratio for c in checks if c.ratio is not None and "3.9-2" not in c.clause}

    less, greater = ratios(1.0), ratios(more)
    for key, ratio in less.items():
        assert no_more(greater[key], ratio), key


@given(tension=amounts(40000.0), moment=amounts(40000.0), left=st.floats(5.0, 9.0), more=st.floats(0.1, 3.0))
def test_in_a_whole_truss_decay_never_lowers_a_ratio(
    tension: float, moment: float, left: float, more: float
) -> None:
    """Depth of sound wood on a stretch of the bottom chord: whole, `left`, and less by `more`."""
    held = Conditions(wet=False, temperature=70.0, lateral={MemberId("bottom"): 48.0})

    def worst(depth: float | None) -> float:
        roof = truss()
        if depth is not None:
            stretch = Worn(start=20.0, end=40.0, section=Section(width=2.625, depth=depth), shift=0.0)
            chord = replace(roof.members[MemberId("bottom")], worn=(stretch,))
            roof = replace(roof, members={**roof.members, MemberId("bottom"): chord})
        checks = review(roof, results(roof, {"D+S": {BOTTOM: axial(tension, moment)}}), held)
        return max(c.ratio for c in checks if c.ratio is not None and c.element == BOTTOM) if checks else 0.0

    if tension or moment:
        assert no_more(worst(left), worst(None))
        assert no_more(worst(left - more), worst(left))


RING = RingPiece(thickness=2.0, faces=1, placement=ConnectorPlacement(angle=0, end=8, towards_end=True, edge=3))


@given(CD=st.sampled_from([0.9, 1.15, 1.25, 1.6]), diameter=diameters, angle=st.floats(0.0, 90.0))
def test_duration_scales_what_wood_holds_and_not_what_steel_does(CD: float, diameter: float, angle: float) -> None:
    def bolt(duration: float) -> float:
        piece = Piece(thickness=2.5, G=0.5, angle=angle)
        return dowel_joint(fastener=fasteners.bolt(diameter), main=piece, side=piece, CD=duration).value.value

    def ring(name: str, duration: float) -> float:
        return ring_joint(name=name, group="A", pieces=[RING], bolt=0.75, CD=duration).value.value

    assert bolt(CD) == pytest.approx(bolt(1.0) * CD)
    assert ring("4 in split ring", CD) == pytest.approx(ring("4 in split ring", 1.0) * CD)
    assert ring("4 in shear plate", CD) == 4400.0  # the steel of a 3/4 in bolt, and group A gives 5090


@given(force=st.floats(0.0, 1e6), area=st.floats(0.1, 100.0), Ft=stresses)
def test_a_ratio_is_demand_over_capacity(force: float, area: float, Ft: float) -> None:
    check = struts.tension_check(force=force, net_area=area, Ft=Ft)
    assert check.demand is not None
    assert check.capacity is not None
    assert check.ratio == pytest.approx(check.demand / check.capacity)
    bent = bending.bending_check(moment=force, modulus=area, Fb=Ft)
    assert bent.ratio == pytest.approx(check.ratio)
