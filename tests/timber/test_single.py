"""One stick, one beam, one joint without a truss: one call gives what the parts give one by one."""

from __future__ import annotations

from math import cos, inf, radians, sin, sqrt

import pytest

from trussio.errors import UsageError
from trussio.model.check import Check
from trussio.timber import adjustment, stability
from trussio.timber.fasteners import bolt, common_nail, lag_screw, toe_nail
from trussio.timber.geometry_factors import Placement
from trussio.timber.lateral import Piece, lateral_value
from trussio.timber.notches import notched_shear_check
from trussio.timber.reference import as_stated, glulam, sawn
from trussio.timber.rings import ConnectorPlacement
from trussio.timber.simple_beam import simple_beam
from trussio.timber.single_joint import RingPiece, dowel_joint, ring_joint, withdrawal_joint
from trussio.timber.single_member import adjusted_values, stick_checks, use_of
from trussio.timber.withdrawal import combined_value

DFL = sawn(species="Douglas Fir-Larch", grade="No. 1", thickness=3.5, width=9.25)
DRY = use_of(["dead", "snow"])


def named(checks: tuple[Check, ...], what: str) -> Check:
    [found] = [check for check in checks if check.what == what]
    return found


def test_the_values_of_one_piece() -> None:
    """DF-L No.1, 4x10 (CF of Fb 1.2, Ft 1.1, Fc 1.0), snow."""
    found = adjusted_values(DFL, width=3.5, depth=9.25, use=DRY)
    assert found["Fb"].value == pytest.approx(1000 * 1.15 * 1.2)
    assert found["Ft"].value == pytest.approx(675 * 1.15 * 1.1)
    assert found["Fc"].value == pytest.approx(1500 * 1.15)
    assert found["Fc_perp"].value == pytest.approx(625)
    assert found["Emin"].value == pytest.approx(620000)


def test_a_beam_over_two_spans_with_its_lateral_stability() -> None:
    """4x10, two spans of 12 ft under 100 lb/ft: M = w L^2 / 8 over the middle; the edge is held at supports."""
    span = 144.0
    forces = simple_beam(span=span, even=100 / 12, spans=2, EI=1.7e6 * 3.5 * 9.25**3 / 12)
    assert forces.moment.value == pytest.approx(100 / 12 * span**2 / 8)
    assert forces.shear.value == pytest.approx(0.625 * 100 / 12 * span)
    checks = stick_checks(
        DFL,
        width=3.5,
        depth=9.25,
        use=DRY,
        moment=forces.moment.value,
        shear=forces.shear.value,
        across=span,
        loading="uniform",
    )
    le = 1.63 * span + 3 * 9.25
    FbE = 1.2 * 620000 / (le * 9.25 / 3.5**2)
    Fb = 1000 * 1.15 * 1.2
    CL = (1 + FbE / Fb) / 1.9 - sqrt(((1 + FbE / Fb) / 1.9) ** 2 - FbE / Fb / 0.95)
    check = named(checks, "bending")
    assert check.capacity == pytest.approx(Fb * CL)
    assert check.demand == pytest.approx(forces.moment.value / (3.5 * 9.25**2 / 6))
    assert named(checks, "shear").demand == pytest.approx(1.5 * forces.shear.value / (3.5 * 9.25))
    assert forces.deflection is not None
    assert forces.deflection.value == pytest.approx(0.00542 * 100 / 12 * span**4 / (1.7e6 * 230.84), rel=2e-3)


def test_a_simple_beam_under_both_loads() -> None:
    found = simple_beam(span=100.0, even=2.0, centre=30.0, EI=1e6)
    assert found.moment.value == pytest.approx(2 * 100**2 / 8 + 30 * 100 / 4)
    assert found.shear.value == pytest.approx(100 + 15)
    assert found.deflection is not None
    assert found.deflection.value == pytest.approx((5 * 2 * 1e8 / 384 + 30 * 1e6 / 48) / 1e6)
    assert simple_beam(span=100.0, even=2.0).deflection is None
    with pytest.raises(UsageError, match="3 spans"):
        simple_beam(span=100.0, spans=3)


def test_a_strut_held_differently_in_its_two_planes() -> None:
    checks = stick_checks(DFL, width=3.5, depth=9.25, use=DRY, axial=-9000.0, in_plane=120.0, across=60.0)
    slender = stability.slenderness(60.0, 3.5)
    FcE = stability.euler_stress(620000.0, slender)
    CP = stability.column_stability(Fc_star=1500 * 1.15, FcE=FcE, c=0.8)
    check = named(checks, "compression with buckling")
    assert check.capacity == pytest.approx(1500 * 1.15 * CP.value)
    assert named(checks, "slenderness").demand == pytest.approx(60 / 3.5)
    unknown = stick_checks(DFL, width=3.5, depth=9.25, use=DRY, axial=-9000.0, in_plane=120.0)
    assert named(unknown, "compression across the truss plane").verdict == "not evaluated"


def test_a_tie_that_bends() -> None:
    checks = stick_checks(DFL, width=3.5, depth=9.25, use=DRY, axial=12000.0, moment=9000.0, across=0.0)
    ft, fb = 12000 / (3.5 * 9.25), 9000 / (3.5 * 9.25**2 / 6)
    assert named(checks, "tension with bending").ratio == pytest.approx(
        ft / (675 * 1.15 * 1.1) + fb / (1000 * 1.15 * 1.2)
    )


def test_glulam_asks_for_the_length_that_its_volume_factor_goes_by() -> None:
    beam = glulam(combination="24F-V4", laminations=None, depth=24.0)
    with pytest.raises(UsageError, match="length between points of zero moment"):
        stick_checks(beam, width=6.75, depth=24.0, use=DRY, moment=1e5, across=0.0)
    [bending] = stick_checks(beam, width=6.75, depth=24.0, use=DRY, moment=1e5, across=0.0, length=480.0)
    CV = adjustment.volume_factor(length=480.0, depth=24.0, width=6.75, southern_pine=False).value
    assert bending.capacity == pytest.approx(2400 * 1.15 * CV)


def test_the_compressed_edge_of_a_tie_spares_the_volume_factor() -> None:
    """24F-V4, 6-3/4 x 30 over 60 ft held each 10 ft: CV 0.84, CL 0.98; Fb** of 3.9-2 has CL alone (3.9.1)."""
    beam = glulam(combination="24F-V4", laminations=None, depth=30.0)
    checks = stick_checks(
        beam,
        width=6.75,
        depth=30.0,
        use=DRY,
        axial=2e4,
        moment=2.5e6,
        across=120.0,
        length=720.0,
        loading="uniform",
    )
    ft, fb = 2e4 / (6.75 * 30), 2.5e6 / (6.75 * 30**2 / 6)
    CV = (21 / 60 * 12 / 30 * 5.125 / 6.75) ** 0.1
    a = 1.2 * 850000 / (2.06 * 120 * 30 / 6.75**2) / (2400 * 1.15)
    CL = (1 + a) / 1.9 - sqrt(((1 + a) / 1.9) ** 2 - a / 0.95)
    assert CV < CL
    edge = named(checks, "tension with bending")
    assert edge.ratio == pytest.approx(ft / (1100 * 1.15) + fb / (2400 * 1.15 * CV))
    other = named(checks, "tension with bending, compression side")
    assert other.ratio == pytest.approx((fb - ft) / (2400 * 1.15 * CL))


@pytest.mark.parametrize(("width", "in_plane"), [(0.0, 10.0), (3.5, -1.0), (inf, 10.0)])
def test_impossible_sizes_are_named(width: float, in_plane: float) -> None:
    with pytest.raises(UsageError, match="impossible-distance"):
        stick_checks(DFL, width=width, depth=9.25, use=DRY, axial=-1.0, in_plane=in_plane, across=0.0)


@pytest.mark.parametrize(("left", "share"), [(9.25, 1.0), (7.0, (7 / 9.25) ** 2)])
def test_a_notch_on_the_tension_side_falls_with_the_square(left: float, share: float) -> None:
    check = notched_shear_check(force=1000.0, width=3.5, depth=9.25, left=left, Fv=180.0)
    assert check.capacity == pytest.approx(2 / 3 * 180 * 3.5 * left * share)


def test_a_notch_on_the_compression_side_spares_the_beam() -> None:
    """By d - (d - dn) e / dn: the whole depth at e = 0, dn at e = dn."""
    whole, full = (
        notched_shear_check(force=1.0, width=3.5, depth=9.25, left=7.0, Fv=180.0, compression_side=e).capacity
        for e in (0.0, 7.0)
    )
    assert whole == pytest.approx(2 / 3 * 180 * 3.5 * 9.25)
    assert full == pytest.approx(2 / 3 * 180 * 3.5 * 7.0)
    with pytest.raises(UsageError, match="impossible-distance"):
        notched_shear_check(force=1.0, width=3.5, depth=9.25, left=10.0, Fv=180.0)


WOOD = Piece(thickness=3.5, G=0.5)
SIDE = Piece(thickness=1.5, G=0.5)
FULL = Placement(angle=0, end=5.25, towards_end=True, edge=3.0, bearing_over_diameter=4, in_row=3, spacing=3.0)


def test_a_wood_steel_wood_splice_with_every_factor() -> None:
    steel = Piece(thickness=0.25, Fe=87000.0)
    joint = dowel_joint(
        fastener=bolt(0.75),
        main=WOOD,
        side=steel,
        shear="double",
        count=6,
        rows=2,
        spacing=3.0,
        EA_main=1.7e6 * 3.5 * 9.25,
        EA_side=2 * 29e6 * 0.25 * 5,
        placements=[Placement(angle=0, end=2.625, towards_end=True, edge=3, bearing_over_diameter=4)],
        loads=["dead", "snow"],
    )
    one = lateral_value(fastener=bolt(0.75), main=WOOD, side=steel, shear="double")
    assert joint.one is not None
    assert joint.one.Z.value == one.Z.value
    Cg = joint.factors["Cg"]
    assert not isinstance(Cg, float)
    assert joint.value.value == pytest.approx(6 * one.Z.value * 1.15 * Cg.value * 0.5)
    assert not joint.refusals


def test_a_joint_below_a_floor_carries_nothing_and_says_why() -> None:
    near = Placement(angle=0, end=2.0, towards_end=True, edge=3.0, bearing_over_diameter=4)
    joint = dowel_joint(fastener=bolt(0.75), main=WOOD, side=SIDE, placements=[near], CD=1.0)
    assert joint.value.value == 0.0
    assert joint.refusals[0].startswith("end distance 2 in is below the least, 2.625 in")


@pytest.mark.parametrize(("spacing", "EA_main", "EA_side"), [(None, 5e7, 5e7), (3, None, 5e7), (3, 5e7, None)])
def test_a_row_asks_for_what_shares_the_load(
    spacing: float | None, EA_main: float | None, EA_side: float | None
) -> None:
    with pytest.raises(UsageError, match="group action"):
        dowel_joint(
            fastener=bolt(0.75),
            main=WOOD,
            side=SIDE,
            count=3,
            CD=1.0,
            spacing=spacing,
            EA_main=EA_main,
            EA_side=EA_side,
        )


def test_a_green_group_in_end_grain_and_toe_nails() -> None:
    grain = dowel_joint(fastener=bolt(0.5), main=Piece(thickness=6, G=0.5, end_grain=True), side=SIDE, CD=1.0)
    assert grain.factors["Ceg"].value == 0.67  # type: ignore[union-attr]  # a derivation
    toe = dowel_joint(
        fastener=common_nail("16d"), main=WOOD, side=SIDE, CD=1.6, penetration=2.0, toe_nailed=True, wet=True
    )
    assert toe.one is not None
    assert toe.value.value == pytest.approx(toe.one.Z.value * 1.6 * 0.7 * 0.83)


def test_a_toe_nail_bears_a_third_of_its_length_in_the_side_piece() -> None:
    """16d common, 3-1/2 in, in DF-L: side 1.167 in, penetration 3.5 cos 30 - 1.167; Z by hand, times 0.83."""
    nail = common_nail("16d")
    at = toe_nail(nail)
    assert at == pytest.approx((3.5 / 3, 3.5 * 3**0.5 / 2 - 3.5 / 3))
    D, Fe, Fyb, KD = 0.162, 4650.0, 90000.0, 2.2
    k3 = -1 + (4 + 2 * Fyb * 3 * D**2 / (3 * Fe * at.side**2)) ** 0.5
    IIIs, IV = k3 * D * at.side * Fe / (3 * KD), D**2 / KD * (2 * Fe * Fyb / 6) ** 0.5
    wood = Piece(thickness=at.side, G=0.5)
    found = dowel_joint(
        fastener=nail,
        main=Piece(thickness=3.5, G=0.5),
        side=wood,
        penetration=at.penetration,
        CD=1.0,
        toe_nailed=True,
    )
    assert found.value.value == pytest.approx(0.83 * min(IIIs, IV))
    with pytest.raises(UsageError, match="value-missing at bolt"):
        toe_nail(bolt(0.75))


def test_a_lag_screw_across_and_pulled_at_once() -> None:
    lag = lag_screw(0.5, length=6.0)
    across = dowel_joint(fastener=lag, main=Piece(thickness=5.5, G=0.5), side=SIDE, CD=1.6, penetration=4.1875)
    pulled = withdrawal_joint(fastener=lag, G=0.5, into=3.1875, CD=1.6)
    assert pulled.value.value == pytest.approx(1800 * 0.5**1.5 * 0.5**0.75 * 3.1875 * 1.6)
    both = combined_value(kind="lag screw", withdrawal=pulled.value, lateral=across.value, angle=40.0)
    W, Z, a = pulled.value.value, across.value.value, radians(40)
    assert both.value == pytest.approx(W * Z / (W * cos(a) ** 2 + Z * sin(a) ** 2))


@pytest.mark.parametrize(("made", "service", "CM"), [(False, False, 1), (True, False, 0.25), (True, True, 1)])
def test_nails_lose_their_hold_where_green_wood_dries(*, made: bool, service: bool, CM: float) -> None:
    """Toe-nails take Ctn 0.67 instead of CM (NDS-2018 12.5.4.1, from memory)."""
    nail, toe = (
        withdrawal_joint(
            fastener=common_nail("16d"), G=0.5, into=2.0, CD=1.0, wet_when_made=made, wet=service, toe_nailed=on
        )
        for on in (False, True)
    )
    assert nail.value.value == pytest.approx(1380 * 0.5**2.5 * 0.162 * 2 * CM)
    assert toe.value.value == pytest.approx(1380 * 0.5**2.5 * 0.162 * 2 * 0.67)
    assert withdrawal_joint(fastener=common_nail("16d"), G=0.5, into=2.0, CD=1.0, end_grain=True).value.value == 0


def test_a_ring_at_an_angle_with_a_short_end() -> None:
    """2-1/2 in ring, group B, 1-1/2 in, one face, 30 degrees, end 4-1/8 in of 5-1/2: C = 0.8125 halfway."""
    place = ConnectorPlacement(angle=30, end=4.125, towards_end=True, edge=2.0, loaded_edge=2.75)
    piece = RingPiece(thickness=1.5, faces=1, placement=place)
    joint = ring_joint(name="2-1/2 in split ring", group="B", pieces=[piece], bolt=0.5, count=2, CD=1.15)
    P, Q, a = 2730 * 1.15 * 0.8125, 1940 * 1.15 * 0.8125, radians(30)
    assert joint.value.value == pytest.approx(2 * P * Q / (P * sin(a) ** 2 + Q * cos(a) ** 2))
    near = RingPiece(
        thickness=1.5, faces=1, placement=ConnectorPlacement(angle=0, end=2, towards_end=True, edge=2)
    )
    refused = ring_joint(name="2-1/2 in split ring", group="B", pieces=[near], bolt=0.5, CD=1.0)
    assert (refused.value.value, len(refused.refusals)) == (0.0, 1)


def test_own_values_go_by_their_source() -> None:
    own = as_stated(
        name="tie", species="oak", size_class="in place", values={"Ft": 600.0}, source="graded by A.B. 2021"
    )
    [check] = stick_checks(own, width=6.0, depth=8.0, use=use_of(CD=0.9), axial=10000.0, across=0.0)
    assert check.capacity == pytest.approx(540)
    assert "graded by A.B. 2021" in {line.source for line in check.derivation.lines}
