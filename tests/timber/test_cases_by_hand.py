"""Whole cases with every factor, worked out again here from the clauses and not with the package's parts.

Formulas of NDS-2018 (3.3.3, 3.7.1, 3.9.2, 11.3.6, 12.1 to 12.5), from memory; values as tabulated.
"""

from __future__ import annotations

from math import floor, radians, sqrt
from math import sin as sine

import pytest

from trussio.model.check import Check
from trussio.timber.fasteners import bolt, common_nail, lag_screw, wood_screw
from trussio.timber.geometry_factors import Placement
from trussio.timber.lateral import Piece
from trussio.timber.reference import sawn
from trussio.timber.single_joint import dowel_joint
from trussio.timber.single_member import stick_checks, use_of


def smaller_root(strength: float, buckling: float, c: float) -> float:
    r = buckling / strength
    half = (1 + r) / (2 * c)
    return half - sqrt(half**2 - r / c)


def fifties(value: float) -> float:
    return 50 * floor(value / 50 + 0.5)


def bearing(G: float, D: float, angle: float = 0.0) -> float:
    along, across = fifties(11200 * G), fifties(6100 * G**1.45 / sqrt(D))
    s = sine(radians(angle)) ** 2
    return along * across / (along * s + across * (1 - s))


def least_mode(
    D: float, lengths: tuple[float, float], Fe: tuple[float, float], Fyb: float, Rd: list[float]
) -> float:
    """Single shear; Rd of modes I, II, and III with IV."""
    (lm, ls), (Fm, Fs), (R1, R2, R3) = lengths, Fe, Rd
    Re, Rt = Fm / Fs, lm / ls
    k1 = (sqrt(Re + 2 * Re**2 * (1 + Rt + Rt**2) + Rt**2 * Re**3) - Re * (1 + Rt)) / (1 + Re)
    k2 = -1 + sqrt(2 * (1 + Re) + 2 * Fyb * (1 + 2 * Re) * D**2 / (3 * Fm * lm**2))
    k3 = -1 + sqrt(2 * (1 + Re) / Re + 2 * Fyb * (2 + Re) * D**2 / (3 * Fm * ls**2))
    hinges = (k2 * lm / (1 + 2 * Re), k3 * ls / (2 + Re), D * sqrt(2 * Fyb / (3 * Fm * (1 + Re))))
    return min(D * lm * Fm / R1, D * ls * Fs / R1, k1 * D * ls * Fs / R2, *(D * Fm * one / R3 for one in hinges))


def named(checks: tuple[Check, ...], what: str) -> Check:
    [found] = [check for check in checks if check.what == what]
    return found


def test_a_wet_incised_joist_held_each_8_ft() -> None:
    """Hem-Fir No.2 2x12, snow: Fb CF 850 spares CM of Fb; Ci 0.8, 0.95; CM of Emin 0.9, of Fv 0.97."""
    fir = sawn(species="Hem-Fir", grade="No.2", thickness=1.5, width=11.25)
    use = use_of(["dead", "snow"], wet=True, incised=True)
    checks = stick_checks(
        fir, width=1.5, depth=11.25, use=use, moment=2e4, shear=600, across=96, loading="uniform"
    )
    Fb = 850 * 1.15 * 0.8
    FbE = 1.2 * 470000 * 0.9 * 0.95 / ((1.63 * 96 + 3 * 11.25) * 11.25 / 1.5**2)
    assert named(checks, "bending").capacity == pytest.approx(Fb * smaller_root(Fb, FbE, 0.95))
    assert named(checks, "shear").capacity == pytest.approx(150 * 1.15 * 0.97 * 0.8)


def test_a_chord_in_compression_with_bending_held_unequally() -> None:
    """DF-L Select Structural 4x8: CF 1.3 of Fb, 1.05 of Fc; 10 ft in the plane, 5 ft across."""
    fir = sawn(species="Douglas Fir-Larch", grade="Select Structural", thickness=3.5, width=7.25)
    checks = stick_checks(
        fir, width=3.5, depth=7.25, use=use_of(CD=1.15), axial=-8000, moment=15000, in_plane=120, across=60
    )
    fc, fb = 8000 / (3.5 * 7.25), 15000 / (3.5 * 7.25**2 / 6)
    Fc, Fb, E = 1700 * 1.15 * 1.05, 1500 * 1.15 * 1.3, 690000
    FcE1, FcE2 = 0.822 * E / (120 / 7.25) ** 2, 0.822 * E / (60 / 3.5) ** 2
    FbE = 1.2 * E / ((1.63 * 60 + 3 * 7.25) * 7.25 / 3.5**2)
    column = Fc * smaller_root(Fc, min(FcE1, FcE2), 0.8)
    beam = Fb * smaller_root(Fb, FbE, 0.95)
    assert named(checks, "compression with bending").ratio == pytest.approx(
        (fc / column) ** 2 + fb / (beam * (1 - fc / FcE1))
    )


@pytest.mark.parametrize(
    ("D", "lm", "ls", "angles"),
    [(0.625, 3.5, 1.5, (0, 0)), (0.75, 5.5, 1.5, (90, 0)), (0.5, 1.5, 1.5, (0, 37)), (0.875, 3.5, 3.5, (90, 90))],
)
def test_bolts_in_single_shear(D: float, lm: float, ls: float, angles: tuple[float, float]) -> None:
    main, side = (Piece(thickness=t, G=0.5, angle=a) for t, a in zip((lm, ls), angles, strict=True))
    K = 1 + max(angles) / 360
    Fe = (bearing(0.5, D, angles[0]), bearing(0.5, D, angles[1]))
    found = dowel_joint(fastener=bolt(D), main=main, side=side, CD=1.0).value.value
    assert found == pytest.approx(least_mode(D, (lm, ls), Fe, 45000, [4 * K, 3.6 * K, 3.2 * K]))


def test_sixteen_bolts_between_steel_with_every_reduction() -> None:
    """Hem-Fir 4x12, two rows of eight at 2-5/8 in (of 3), end 4 in (of 5-1/4): C_delta 0.762; Cg of eight."""
    place = Placement(
        angle=0,
        end=4,
        towards_end=True,
        edge=3,
        bearing_over_diameter=4.67,
        in_row=8,
        spacing=2.625,
        rows=2,
        gauge=4,
    )
    EA = (1.3e6 * 3.5 * 11.25, 29e6 * 3.0)
    found = dowel_joint(
        fastener=bolt(0.75),
        main=Piece(thickness=3.5, G=0.43),
        side=Piece(thickness=0.25, Fe=87000),
        shear="double",
        count=16,
        rows=2,
        spacing=2.625,
        EA_main=EA[0],
        EA_side=EA[1],
        CD=1.15,
        placements=[place],
    )
    u = 1 + 270000 * 0.75**1.5 * 2.625 / 2 * (1 / EA[0] + 1 / EA[1])
    m, R = u - sqrt(u**2 - 1), min(EA) / max(EA)
    Cg = m * (1 - m**16) * (1 + R) / (8 * ((1 + R * m**8) * (1 + m) - 1 + m**16) * (1 - m))
    Fm, Re = bearing(0.43, 0.75), bearing(0.43, 0.75) / 87000
    k3 = -1 + sqrt(2 * (1 + Re) / Re + 2 * 45000 * (2 + Re) * 0.75**2 / (3 * Fm * 0.25**2))
    one = min(
        0.75 * 3.5 * Fm / 4,
        2 * 0.75 * 0.25 * 87000 / 4,
        2 * k3 * 0.75 * 0.25 * Fm / ((2 + Re) * 3.2),
        2 * 0.75**2 / 3.2 * sqrt(2 * Fm * 45000 / (3 * (1 + Re))),
    )
    assert not found.refusals
    assert found.value.value == pytest.approx(16 * one * 1.15 * Cg * 4 / 5.25)


def test_screws_and_nails_with_short_penetration() -> None:
    """Lag 5/8 at 4 in of 8 D; screw No.10 at 1-3/4 in of 10 D; 16d at 1.3 in; half the tip does not bear."""
    wood = Piece(thickness=1.5, G=0.5)
    lag = dowel_joint(
        fastener=lag_screw(0.625),
        main=Piece(thickness=7.5, G=0.5, angle=90),
        side=wood,
        penetration=4,
        CD=1.15,
    )
    Fe = (bearing(0.5, 0.625, 90), bearing(0.5, 0.625))
    one = least_mode(0.471, (4 + 0.40625 / 2, 1.5), Fe, 45000, [5.0, 4.5, 4.0])
    assert lag.value.value == pytest.approx(one * 4 / 5 * 1.15)
    for fastener, D, root, Fyb, into in (
        (wood_screw(10), 0.19, 0.152, 80000, 1.75),
        (common_nail("16d"), 0.162, 0.162, 90000, 1.3),
    ):
        found = dowel_joint(
            fastener=fastener, main=Piece(thickness=3.5, G=0.5), side=wood, penetration=into, CD=1.6
        )
        Fe = (fifties(16600 * 0.5**1.84),) * 2
        one = least_mode(root, (into - D, 1.5), Fe, Fyb, [2.2] * 3)
        assert found.value.value == pytest.approx(one * into / (10 * D) * 1.6)
