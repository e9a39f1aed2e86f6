"""Dowel bearing, fasteners, yield modes and lateral values: rounding, bands, limits, refusals."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import dowel_bearing, fasteners, lateral, working, yield_modes
from trussio.timber.lateral import Piece

OAK = Piece(thickness=1.5, G=0.73)


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [
        (584.999, 10.0, 580.0),
        (585.0, 10.0, 590.0),
        (595.0, 10.0, 600.0),
        (4625.0, 50.0, 4650.0),
        (0.125, 0.01, 0.13),
    ],
)
def test_halves_go_up(value: float, step: float, expected: float) -> None:
    assert working.half_up(value, step) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("G", "diameter", "angle", "Fe"),
    [
        pytest.param(0.5, 0.5, 0.0, 5600, id="along"),
        pytest.param(0.5, 0.5, 90.0, 3150, id="across"),
        pytest.param(0.43, 0.5, 0.0, 4800, id="4816 rounds to 4800"),
        pytest.param(0.5, 0.249, 90.0, 4650, id="a small dowel does not see the grain"),
        pytest.param(0.5, 0.25, 90.0, 4450, id="a quarter inch sees it"),
        pytest.param(0.5, 0.5, 45.0, 2 * 5600 * 3150 / 8750, id="between by Hankinson of the rounded ends"),
    ],
)
def test_bearing_strength(G: float, diameter: float, angle: float, Fe: float) -> None:
    assert dowel_bearing.bearing_strength(G=G, diameter=diameter, angle=angle).value == pytest.approx(Fe)


def test_bearing_strength_unrounded() -> None:
    found = dowel_bearing.bearing_strength(G=0.43, diameter=0.5, angle=0.0, rounded=False)
    assert found.value == pytest.approx(4816.0)


def test_steel_and_species() -> None:
    assert dowel_bearing.steel_bearing("A36").value == 87000.0
    assert dowel_bearing.steel_bearing_of(Fu=58000.0, hot_rolled=True).value == pytest.approx(87000.0)
    assert dowel_bearing.steel_bearing_of(Fu=45000.0, hot_rolled=False).value == pytest.approx(61875.0)
    assert dowel_bearing.specific_gravity("hem-fir").value == 0.43
    with pytest.raises(UsageError, match="unknown-steel at S355"):
        dowel_bearing.steel_bearing("S355")
    with pytest.raises(UsageError, match="unknown-species at Balsa"):
        dowel_bearing.specific_gravity("Balsa")


@pytest.mark.parametrize(
    ("diameter", "Fyb"),
    [
        (0.099, 100000),
        (0.142, 100000),
        (0.148, 90000),
        (0.177, 90000),
        (0.19, 80000),
        (0.25, 70000),
        (0.3125, 60000),
    ],
)
def test_yield_strength_goes_by_bands(diameter: float, Fyb: float) -> None:
    assert fasteners.nail(diameter=diameter, length=4.0).Fyb == Fyb


@pytest.mark.parametrize("diameter", [0.098, 0.4])
def test_a_nail_without_a_tabulated_strength(diameter: float) -> None:
    with pytest.raises(UsageError) as fault:
        fasteners.nail(diameter=diameter, length=4.0)
    assert fault.value.do == "State Fyb in psi with its source."
    assert fasteners.nail(diameter=diameter, length=4.0, Fyb=50000.0).Fyb == 50000.0


def test_lag_screws_work_with_their_root() -> None:
    lag = fasteners.lag_screw(0.375)
    assert (lag.nominal, lag.diameter, lag.Fyb, lag.tip) == (0.375, 0.265, 45000, 0.21875)
    assert fasteners.lag_screw(0.3125).Fyb == 60000
    assert fasteners.bolt(0.75).diameter == 0.75
    assert fasteners.threaded_bolt(0.75).diameter == 0.627


def test_fasteners_that_no_table_knows() -> None:
    with pytest.raises(UsageError, match="unknown-fastener at lag screw"):
        fasteners.lag_screw(0.33)
    with pytest.raises(UsageError, match="unknown-fastener at wood screw"):
        fasteners.wood_screw(11)
    with pytest.raises(UsageError, match="unknown-fastener at common nail"):
        fasteners.common_nail("9d")
    with pytest.raises(UsageError, match="unknown-fastener at bolt"):
        fasteners.threaded_bolt(0.8)


@pytest.mark.parametrize(
    ("number", "nominal", "root", "Fyb"),
    [
        (14, 0.242, 0.196, 70000),
        (16, 0.268, 0.209, 70000),
        (18, 0.294, 0.232, 60000),
        (20, 0.32, 0.255, 60000),
        (24, 0.372, 0.298, 45000),
    ],
)
def test_large_wood_screws(number: int, nominal: float, root: float, Fyb: float) -> None:
    """NDS-2018 table L3, from memory beyond number 14."""
    screw = fasteners.wood_screw(number)
    assert (screw.nominal, screw.diameter, screw.Fyb) == (nominal, root, Fyb)


def test_a_screw_of_a_quarter_inch_and_more_is_reduced_by_its_root_and_by_the_angle() -> None:
    """Number 16 across the grain in mode IV: root 0.209 below 1/4 in, so KD Kt; bearing by the nominal 0.268."""
    screw = fasteners.wood_screw(16)
    piece = Piece(thickness=3.5, G=0.5, angle=90.0)
    found = lateral.lateral_value(fastener=screw, main=piece, side=piece, penetration=3.0)
    Fe = 50 * round(6100 * 0.5**1.45 / 0.268**0.5 / 50)
    IV = 0.209**2 / ((10 * 0.209 + 0.5) * 1.25) * (2 * Fe * 70000 / (3 * 2)) ** 0.5
    assert found.mode == "IV"
    assert found.Z.value == pytest.approx(IV)


def test_species_that_nobody_quoted_say_so() -> None:
    assert dowel_bearing.specific_gravity("Eastern Hemlock-Tamarack").value == 0.41
    assert dowel_bearing.specific_gravity("red pine").lines[0].source == "from memory"
    assert dowel_bearing.specific_gravity("Hem-Fir").lines[0].source != "from memory"


def test_a_common_nail() -> None:
    assert fasteners.common_nail("60d") == fasteners.nail(diameter=0.263, length=6.0)
    assert fasteners.common_nail("50d").Fyb == 70000
    assert fasteners.common_nail("16d") == fasteners.nail(diameter=0.162, length=3.5)


@pytest.mark.parametrize(
    ("diameter", "nominal", "angle", "terms"),
    [
        (0.75, 0.75, 0.0, (4.0, 3.6, 3.2)),
        (0.75, 0.75, 90.0, (5.0, 4.5, 4.0)),
        (0.75, 0.75, 45.0, (4.5, 4.05, 3.6)),
        (0.17, 0.17, 90.0, (2.2, 2.2, 2.2)),
        (0.2, 0.2, 90.0, (2.5, 2.5, 2.5)),
        (0.173, 0.25, 90.0, (2.23 * 1.25,) * 3),
        (1.0, 1.0, 0.0, (4.0, 3.6, 3.2)),
    ],
)
def test_reduction_terms(diameter: float, nominal: float, angle: float, terms: tuple[float, float, float]) -> None:
    found = yield_modes.reduction_terms(diameter=diameter, nominal=nominal, angle=angle)
    assert (found.crushing, found.rotation, found.hinges) == pytest.approx(terms)


def test_beyond_one_inch_nothing_is_extrapolated() -> None:
    with pytest.raises(UsageError) as fault:
        lateral.lateral_value(fastener=fasteners.bolt(1.25), main=OAK, side=OAK)
    assert str(fault.value) == (
        "diameter-beyond-equations at fastener: 1.25 in is over 1 in, where the yield equations end; they are not "
        "extrapolated. State a value from tests or from the rule of the day with its source."
    )


def test_double_shear_is_worth_both_planes() -> None:
    bolt = fasteners.bolt(0.5)
    single = lateral.lateral_value(fastener=bolt, main=OAK, side=OAK)
    double = lateral.lateral_value(fastener=bolt, main=OAK, side=OAK, shear="double")
    assert double.modes["Im"] == single.modes["Im"]
    assert double.modes["IV"] == pytest.approx(2 * single.modes["IV"])
    assert set(double.modes) == {"Im", "Is", "IIIs", "IV"}


def test_the_worst_angle_of_any_member_counts() -> None:
    bolt = fasteners.bolt(0.75)
    turned = Piece(thickness=1.5, G=0.5, angle=90.0)
    straight = Piece(thickness=1.5, G=0.5)
    steel = Piece(thickness=0.25, Fe=87000.0)
    first = lateral.lateral_value(fastener=bolt, main=straight, side=turned).modes["Im"]
    second = lateral.lateral_value(fastener=bolt, main=straight, side=straight).modes["Im"]
    assert first == pytest.approx(second / 1.25)
    with_steel = lateral.lateral_value(fastener=bolt, main=straight, side=steel).modes["Im"]
    assert with_steel == pytest.approx(second)


def test_end_grain_bears_across_the_grain() -> None:
    bolt = fasteners.bolt(0.75)
    end = lateral.lateral_value(
        fastener=bolt, main=Piece(thickness=6.0, G=0.5, end_grain=True), side=Piece(thickness=1.5, G=0.5)
    )
    across = lateral.lateral_value(
        fastener=bolt, main=Piece(thickness=6.0, G=0.5, angle=90.0), side=Piece(thickness=1.5, G=0.5)
    )
    assert end.Z.value == across.Z.value
    assert lateral.end_grain_factor(end_grain=True).value == 0.67


@pytest.mark.parametrize(
    ("kind", "times", "share"),
    [("lag", 8.0, 1.0), ("lag", 4.0, 0.5), ("nail", 10.0, 1.0), ("nail", 6.0, 0.6), ("nail", 12.0, 1.0)],
)
def test_short_penetration_takes_its_share(kind: str, times: float, share: float) -> None:
    fastener = fasteners.lag_screw(0.5) if kind == "lag" else fasteners.common_nail("16d")
    found = lateral.lateral_value(
        fastener=fastener,
        main=Piece(thickness=12.0, G=0.5),
        side=Piece(thickness=1.5, G=0.5),
        penetration=times * fastener.nominal,
    )
    assert found.Z.value == pytest.approx(share * found.modes[found.mode])
    assert found.rounded(1.0) == working.half_up(found.modes[found.mode], 1.0)


@pytest.mark.parametrize(("kind", "times"), [("lag", 3.99), ("nail", 5.99)])
def test_too_short_is_not_permitted(kind: str, times: float) -> None:
    fastener = fasteners.lag_screw(0.5) if kind == "lag" else fasteners.common_nail("16d")
    piece = Piece(thickness=12.0, G=0.5)
    with pytest.raises(UsageError, match="penetration-not-permitted"):
        lateral.lateral_value(fastener=fastener, main=piece, side=piece, penetration=times * fastener.nominal)
    with pytest.raises(UsageError, match="penetration-missing"):
        lateral.lateral_value(fastener=fastener, main=piece, side=piece)


@pytest.mark.parametrize("piece", [Piece(thickness=1.5), Piece(thickness=1.5, G=0.5, Fe=5600.0)])
def test_a_piece_is_wood_or_it_is_not(piece: Piece) -> None:
    with pytest.raises(UsageError, match="one of the two"):
        lateral.lateral_value(fastener=fasteners.bolt(0.5), main=piece, side=OAK)


@pytest.mark.parametrize(
    ("made", "service", "diameter", "rows", "fasteners_", "plates", "CM"),
    [
        pytest.param(False, False, 0.75, 2, 6, False, 1.0, id="dry throughout"),
        pytest.param(False, True, 0.75, 2, 6, False, 0.7, id="wet in service"),
        pytest.param(True, False, 0.75, 2, 6, False, 0.4, id="framed green, two rows"),
        pytest.param(True, False, 0.75, 1, 3, False, 1.0, id="one row is free to shrink"),
        pytest.param(True, False, 0.75, 1, 1, False, 1.0, id="one fastener"),
        pytest.param(True, False, 0.75, 2, 6, True, 1.0, id="separate plates"),
        pytest.param(True, False, 0.2, 2, 6, False, 0.7, id="small dowels"),
        pytest.param(True, True, 0.75, 1, 1, False, 0.7, id="wet in service goes before"),
    ],
)
def test_moisture_of_a_connection(
    *, made: bool, service: bool, diameter: float, rows: int, fasteners_: int, plates: bool, CM: float
) -> None:
    found = lateral.connection_wet_factor(
        wet_when_made=made,
        wet_in_service=service,
        diameter=diameter,
        fasteners=fasteners_,
        rows=rows,
        separate_plates=plates,
    )
    assert found.value == CM


@pytest.mark.parametrize(
    ("temperature", "wet", "Ct"), [(100.0, True, 1.0), (110.0, False, 0.8), (125.0, True, 0.7), (126.0, True, 0.5)]
)
def test_temperature_of_a_connection(temperature: float, *, wet: bool, Ct: float) -> None:
    assert lateral.connection_temperature_factor(temperature=temperature, wet=wet).value == Ct


def test_hotter_than_the_table() -> None:
    with pytest.raises(UsageError, match="outside-table"):
        lateral.connection_temperature_factor(temperature=151.0, wet=False)


def test_factors_multiply_and_strangers_are_refused() -> None:
    found = lateral.adjusted_lateral(1000.0, {"CD": 1.15, "Cg": 0.9, "C_delta": 0.8}, fasteners=4)
    assert found.value == pytest.approx(4 * 1000 * 1.15 * 0.9 * 0.8)
    with pytest.raises(UsageError, match="unknown-factor at CF"):
        lateral.adjusted_lateral(1000.0, {"CF": 1.2})
    with pytest.raises(UsageError, match=r"duration-over-1\.6"):
        lateral.adjusted_lateral(1000.0, {"CD": 2.0})


@pytest.mark.parametrize("lengths", [(0.0, 1.5), (1.5, -1.0)])
def test_lengths_that_cannot_be(lengths: tuple[float, float]) -> None:
    with pytest.raises(UsageError, match="impossible-distance"):
        yield_modes.yield_value(
            diameter=0.5, lm=lengths[0], ls=lengths[1], Fem=5600.0, Fes=5600.0, Fyb=45000.0, angle=0.0
        )


@pytest.mark.parametrize("shear", ["single", "double"])
@pytest.mark.parametrize(
    ("lm", "ls", "Fem", "Fes"), [(1.5, 1.5, 5600, 5600), (3.5, 1.5, 3150, 5600), (3.5, 0.25, 5600, 87000)]
)
def test_without_a_gap_the_general_equations_are_the_yield_equations(
    shear: yield_modes.Shear, lm: float, ls: float, *, Fem: float, Fes: float
) -> None:
    """The closed forms were read in secondary copies, the general ones are from memory: each checks the other."""

    def modes(gap: float) -> dict[str, float]:
        found = yield_modes.yield_value(
            diameter=0.75, lm=lm, ls=ls, Fem=Fem, Fes=Fes, Fyb=45000.0, angle=30.0, shear=shear, gap=gap
        )
        return dict(found.modes)

    assert modes(1e-12) == pytest.approx(modes(0.0), rel=1e-9)
    open_joint, closed = modes(0.25), modes(0.0)
    assert all(open_joint[name] <= closed[name] for name in closed)
    assert open_joint["IV"] < closed["IV"]


def test_a_gap_is_never_negative() -> None:
    with pytest.raises(UsageError, match=r"the gap between the members is -0\.1 in"):
        lateral.lateral_value(fastener=fasteners.bolt(0.5), main=OAK, side=OAK, gap=-0.1)


def test_the_point_of_a_fastener_bears_half() -> None:
    lag = fasteners.lag_screw(0.5)
    assert fasteners.bearing_length(lag, 4.0) == pytest.approx(4.0 + 0.3125 / 2)
    assert fasteners.bearing_length(fasteners.common_nail("16d"), 2.0) == pytest.approx(2.0 - 0.162)


def test_a_screw_bears_no_deeper_than_the_piece_that_it_enters() -> None:
    lag, side = fasteners.lag_screw(0.5), Piece(thickness=1.5, G=0.5)

    def crushing(thickness: float) -> float:
        main = Piece(thickness=thickness, G=0.5)
        return lateral.lateral_value(fastener=lag, main=main, side=side, penetration=4.0).modes["Im"]

    assert crushing(2.0) == pytest.approx(crushing(20.0) * 2.0 / (4.0 + 0.3125 / 2))
