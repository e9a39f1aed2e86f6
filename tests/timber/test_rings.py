"""Split rings and shear plates: the table cell by cell where it was seen, interpolation, geometry, caps."""

from __future__ import annotations

from dataclasses import replace
from math import cos, radians, sin

import pytest

from trussio.errors import UsageError
from trussio.timber import rings
from trussio.timber.rings import ConnectorPlacement

SMALL, LARGE = "2-1/2 in split ring", "4 in split ring"


@pytest.mark.parametrize(
    ("name", "faces", "thickness", "P", "Q"),
    [
        (SMALL, 1, 1.0, 2270, 1620),
        (SMALL, 1, 1.5, 2730, 1940),
        (SMALL, 1, 3.5, 2730, 1940),
        (SMALL, 2, 1.5, 2100, 1500),
        (SMALL, 2, 2.0, 2730, 1940),
        (LARGE, 1, 1.0, 3510, 2440),
        (LARGE, 1, 1.5, 5160, 3590),
        (LARGE, 1, 1.625, 5260, 3660),
        (LARGE, 2, 1.5, 3520, 2450),
        (LARGE, 2, 2.0, 4250, 2960),
        (LARGE, 2, 2.5, 5000, 3480),
        (LARGE, 2, 3.0, 5260, 3660),
        (LARGE, 2, 5.5, 5260, 3660),
        pytest.param(SMALL, 1, 1.25, 2500, 1780, id="half way between two thicknesses"),
    ],
)
def test_group_b(name: str, faces: int, *, thickness: float, P: float, Q: float) -> None:
    """Peurifoy and Oberlender, Formwork for Concrete Structures, Table 4-27."""
    found = rings.connector_values(name=name, group="B", faces=faces, thickness=thickness)
    assert (found.P.value, found.Q.value) == (P, Q)
    assert "Peurifoy" in found.P.lines[-1].source


def test_what_was_not_seen_says_so() -> None:
    found = rings.connector_values(name="4 in shear plate", group="B", faces=1, thickness=1.5)
    assert found.P.lines[-1].source == "from memory"
    assert rings.species_group("Hem-Fir").value == 3
    assert rings.species_group("Eastern Hemlock-Tamarack").value == 4
    assert rings.species_group("Douglas Fir-Larch (North)").value == 2
    with pytest.raises(UsageError, match="unknown-species at Balsa"):
        rings.species_group("Balsa")


def test_thinner_than_the_table_has_no_value() -> None:
    with pytest.raises(UsageError) as fault:
        rings.connector_values(name=SMALL, group="B", faces=2, thickness=1.49)
    assert str(fault.value) == (
        "below-least-thickness at 2-1/2 in split ring: 1.49 in is thinner than 1.5 in, the least in the table. "
        "The standard gives no value; measure again, or count the bolt alone."
    )


@pytest.mark.parametrize("thickness", [1.5, 1.75])
def test_a_gap_in_the_table_is_no_number(thickness: float) -> None:
    with pytest.raises(UsageError, match="the table as known here has a gap"):
        rings.connector_values(name=LARGE, group="A", faces=2, thickness=thickness)
    assert rings.connector_values(name=LARGE, group="A", faces=2, thickness=2.0).Q.value == 3440


def test_connectors_and_faces_that_do_not_exist() -> None:
    with pytest.raises(UsageError, match="unknown-connector"):
        rings.connector("3 in ring")
    with pytest.raises(UsageError, match="connectors on 3 faces"):
        rings.connector_values(name=SMALL, group="B", faces=3, thickness=1.5)


@pytest.mark.parametrize(
    ("end", "towards", "C"),
    [
        pytest.param(5.5, True, 1.0, id="full in tension"),
        pytest.param(2.75, True, 0.625, id="least in tension"),
        pytest.param(4.125, True, 0.8125, id="half way, a straight line"),
        pytest.param(2.74, True, 0.0, id="below"),
        pytest.param(4.0, False, 1.0, id="full in compression"),
        pytest.param(2.5, False, 0.625, id="least in compression"),
        pytest.param(2.49, False, 0.0, id="below in compression"),
    ],
)
def test_end_distance_of_a_small_ring(end: float, *, towards: bool, C: float) -> None:
    at = ConnectorPlacement(angle=0.0, end=end, towards_end=towards, edge=1.75)
    found = rings.connector_geometry(SMALL, at)
    assert found.factor.value == pytest.approx(C)
    assert bool(found.refusals) == (C == 0.0)


@pytest.mark.parametrize(
    ("at", "C"),
    [
        (ConnectorPlacement(angle=0.0, end=7.0, towards_end=True, edge=1.74), 0.0),
        (ConnectorPlacement(angle=90.0, end=7.0, towards_end=True, edge=1.75, loaded_edge=2.75), 1.0),
        (ConnectorPlacement(angle=90.0, end=7.0, towards_end=True, edge=1.75, loaded_edge=1.75), 0.83),
        (ConnectorPlacement(angle=90.0, end=7.0, towards_end=True, edge=1.75, loaded_edge=1.7), 0.0),
        (ConnectorPlacement(angle=0.0, end=7.0, towards_end=True, edge=1.75, spacing=6.75), 1.0),
        (ConnectorPlacement(angle=0.0, end=7.0, towards_end=True, edge=1.75, spacing=3.5), 0.5),
        (
            ConnectorPlacement(
                angle=90.0,
                end=7.0,
                towards_end=True,
                edge=1.75,
                loaded_edge=3.0,
                spacing=4.25,
                axis=90.0,
            ),
            1.0,
        ),
        (
            ConnectorPlacement(angle=30.0, end=7.0, towards_end=True, edge=1.75, loaded_edge=3.0, spacing=4.25),
            0.5 + 0.5 * 0.75 / 1.625,
        ),
    ],
)
def test_edges_and_spacing_of_a_small_ring(at: ConnectorPlacement, C: float) -> None:
    assert rings.connector_geometry(SMALL, at).factor.value == pytest.approx(C)


@pytest.mark.parametrize(
    ("angle", "axis", "spacing", "C"),
    [
        pytest.param(0.0, 90.0, 3.5, 1.0, id="load along, connectors side by side: the least is full"),
        pytest.param(0.0, 90.0, 3.49, 0.0, id="load along, side by side, below the least"),
        pytest.param(0.0, 0.0, 5.125, 0.75, id="load along, one behind the other"),
        pytest.param(
            90.0, 0.0, 3.5, 1.0, id="load across, one behind the other along the grain: the least is full"
        ),
        pytest.param(90.0, 90.0, 3.5, 0.5, id="load across, side by side across the grain"),
        pytest.param(90.0, 90.0, 4.25, 1.0, id="load across, side by side, full"),
        pytest.param(60.0, 90.0, 4.25, 1.0, id="from 60 degrees on as across"),
        pytest.param(7.5, 0.0, 6.375, 1.0, id="half way between two angles of the table"),
        pytest.param(7.5, 0.0, 6.0, 0.5 + 0.5 * 2.5 / 2.875, id="half way, less than full"),
    ],
)
def test_spacing_goes_by_the_load_and_by_the_axis(angle: float, axis: float, spacing: float, C: float) -> None:
    """Spacing at full value by angle of load, along and across the grain: NDS-2018 13.3.3, from memory."""
    at = ConnectorPlacement(
        angle=angle, end=7.0, towards_end=True, edge=3.0, loaded_edge=3.0, spacing=spacing, axis=axis
    )
    found = rings.connector_geometry(SMALL, at)
    assert found.factor.value == pytest.approx(C)
    assert bool(found.refusals) == (C == 0.0)


@pytest.mark.parametrize("name", [SMALL, LARGE])
@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0, 90.0])
def test_full_spacing_lies_on_an_ellipse(name: str, angle: float) -> None:
    along, across = (rings.full_spacing(name, angle=angle, axis=axis) for axis in (0.0, 90.0))
    for axis in (10.0, 30.0, 77.0):
        S = rings.full_spacing(name, angle=angle, axis=axis)
        x, y = S * cos(radians(axis)), S * sin(radians(axis))
        assert (x / along) ** 2 + (y / across) ** 2 == pytest.approx(1.0)


def test_rows_stand_square_to_the_axis() -> None:
    at = ConnectorPlacement(angle=0.0, end=7.0, towards_end=True, edge=3.0, spacing=6.75, gauge=3.5)
    assert rings.connector_geometry(SMALL, at).factor.value == 1.0
    turned = replace(at, axis=90.0)
    assert rings.connector_geometry(SMALL, turned).factor.value == pytest.approx(0.5)
    [refusal] = rings.connector_geometry(SMALL, replace(at, gauge=3.0)).refusals
    assert refusal == "spacing between rows 3 in is below the least, 3.5 in (NDS-2018 table 13.3)"


@pytest.mark.parametrize(("angle", "axis"), [(120.0, 0.0), (0.0, 120.0)])
def test_only_acute_angles_are_taken(angle: float, axis: float) -> None:
    at = ConnectorPlacement(angle=angle, axis=axis, end=7.0, towards_end=True, edge=3.0, loaded_edge=3.0)
    with pytest.raises(UsageError, match=r"120 degrees is outside 0 to 90. Enter the acute angle to the grain."):
        rings.connector_geometry(SMALL, at)


def test_a_refusal_names_the_distance() -> None:
    at = ConnectorPlacement(angle=0.0, end=2.0, towards_end=True, edge=1.75)
    refusals = rings.connector_geometry(SMALL, at).refusals
    assert refusals == ("end distance 2 in is below the least, 2.75 in (NDS-2018 table 13.3)",)


def test_distances_that_are_missing_or_cannot_be() -> None:
    with pytest.raises(UsageError, match="the loaded edge distance is not given"):
        rings.connector_geometry(SMALL, ConnectorPlacement(angle=30.0, end=7.0, towards_end=True, edge=1.75))
    with pytest.raises(UsageError, match="impossible-distance"):
        rings.connector_geometry(SMALL, ConnectorPlacement(angle=0.0, end=-7.0, towards_end=True, edge=1.75))


@pytest.mark.parametrize(
    ("made", "service", "CM"), [(False, False, 1.0), (True, False, 0.8), (True, True, 0.7), (False, True, 0.7)]
)
def test_moisture(*, made: bool, service: bool, CM: float) -> None:
    assert rings.connector_wet_factor(wet_when_made=made, wet_in_service=service).value == CM


def test_steel_caps_and_sides_are_for_plates() -> None:
    assert rings.capped("4 in shear plate", 9000.0, bolt=0.75).value == 4400
    assert rings.capped("4 in shear plate", 9000.0, bolt=0.875).value == 6000
    assert rings.capped("2-5/8 in shear plate", 2000.0, bolt=0.75).value == 2000
    assert rings.capped(LARGE, 9000.0, bolt=0.75).value == 9000.0
    with pytest.raises(UsageError, match="unknown-bolt"):
        rings.capped("4 in shear plate", 9000.0, bolt=1.0)
    assert rings.metal_side_factor("4 in shear plate", "A", metal_side=True).value == 1.18
    assert rings.metal_side_factor("4 in shear plate", "A", metal_side=False).value == 1.0
    assert rings.metal_side_factor(LARGE, "A", metal_side=True).value == 1.0


def test_moduli_for_group_action() -> None:
    assert (rings.connector_modulus(SMALL).value, rings.connector_modulus(LARGE).value) == (400000, 500000)


def test_across_the_grain_the_end_counts_as_in_tension_and_spacing_by_its_own_column() -> None:
    short = ConnectorPlacement(angle=90.0, end=4.0, towards_end=False, edge=1.75, loaded_edge=3.0)
    assert rings.connector_geometry(SMALL, short).factor.value == pytest.approx(0.625 + 0.375 * 1.25 / 2.75)
    close = ConnectorPlacement(angle=90.0, end=6.0, towards_end=True, edge=1.75, loaded_edge=3.0, spacing=4.25)
    assert rings.connector_geometry(SMALL, close).factor.value == 1.0
