"""Adjustment factors: each table at its limits, and what is refused."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import adjustment
from trussio.timber.tables import SizeClass


@pytest.mark.parametrize(
    ("kinds", "CD"),
    [
        (["dead"], 0.9),
        (["dead", "post-tension"], 0.9),
        (["dead", "live"], 1.0),
        (["dead", "snow"], 1.15),
        (["snow", "dead", "roof-live"], 1.25),
        (["dead", "wind", "snow"], 1.6),
        (["impact"], 2.0),
        (["ten years"], 1.0),
    ],
)
def test_the_shortest_load_sets_the_duration(kinds: list[str], CD: float) -> None:
    assert adjustment.duration_factor(kinds).value == CD


def test_a_load_without_a_duration_is_named() -> None:
    with pytest.raises(UsageError) as fault:
        adjustment.duration_factor(["dead", "other"])
    assert fault.value.what == "the load kind 'other' has no load duration."
    with pytest.raises(UsageError, match="no load acts"):
        adjustment.duration_factor([])


def test_impact_is_not_for_connections() -> None:
    with pytest.raises(UsageError, match="for a connection"):
        adjustment.duration_factor(["impact"], connection=True)


@pytest.mark.parametrize(
    ("symbol", "product", "CM"),
    [
        pytest.param("Fb", 1150.0, 1.0, id="spared up to 1150 exactly"),
        pytest.param("Fb", 1150.1, 0.85, id="above 1150"),
        pytest.param("Fc", 750.0, 1.0, id="spared up to 750 exactly"),
        pytest.param("Fc", 751.0, 0.8, id="above 750"),
        pytest.param("Ft", 1000.0, 1.0, id="tension does not suffer"),
        pytest.param("Emin", 1.0, 0.9, id="Emin"),
        pytest.param("Fc_perp", 625.0, 0.67, id="across the grain"),
    ],
)
def test_wet_dimension_lumber(symbol: str, product: float, CM: float) -> None:
    found = adjustment.wet_service_factor(symbol, size_class="dimension", wet=True, size_adjusted=product)
    assert found.value == CM


@pytest.mark.parametrize(
    ("symbol", "southern_pine", "CM"), [("Fc_perp", True, 1.0), ("Fc_perp", False, 0.67), ("Fc", True, 1.0)]
)
def test_wet_timbers_of_southern_pine_stand_in_the_table_as_they_are(
    symbol: str, *, southern_pine: bool, CM: float
) -> None:
    """NDS-2018 table 4D, from memory; dimension lumber of that species is reduced as any other."""
    found = adjustment.wet_service_factor(
        symbol, size_class="posts-and-timbers", wet=True, southern_pine=southern_pine
    )
    assert found.value == CM
    thin = adjustment.wet_service_factor(
        symbol, size_class="dimension", wet=True, size_adjusted=2000.0, southern_pine=True
    )
    assert thin.value < 1


@pytest.mark.parametrize("grade", ["Construction", "Standard"])
@pytest.mark.parametrize("symbol", ["Fb", "Ft", "Fc"])
def test_light_framing_has_its_size_in_its_values(grade: str, symbol: str) -> None:
    found = adjustment.size_factor(
        symbol, size_class="dimension", grade=grade, thickness=1.5, width=3.5, southern_pine=False
    )
    assert found.value == 1.0


@pytest.mark.parametrize(
    ("size_class", "symbol", "CM"),
    [
        ("posts-and-timbers", "Fc", 0.91),
        ("beams-and-stringers", "Fb", 1.0),
        ("glulam", "Fb", 0.8),
        ("glulam", "Fby", 0.8),
        ("glulam", "Emin_y", 0.833),
        ("glulam", "Fc_perp_y", 0.53),
    ],
)
def test_wet_timbers_and_glulam(size_class: SizeClass, symbol: str, CM: float) -> None:
    assert adjustment.wet_service_factor(symbol, size_class=size_class, wet=True).value == CM


def test_wet_needs_what_decides_it() -> None:
    with pytest.raises(UsageError, match=r"Fb x CF decides CM"):
        adjustment.wet_service_factor("Fb", size_class="dimension", wet=True)
    with pytest.raises(UsageError, match="stated in place"):
        adjustment.wet_service_factor("Fb", size_class="in place", wet=True)
    assert adjustment.wet_service_factor("Fb", size_class="in place", wet=False).value == 1.0


@pytest.mark.parametrize(
    ("symbol", "temperature", "wet", "Ct"),
    [
        ("Fb", 100.0, False, 1.0),
        ("Fb", 100.1, False, 0.8),
        ("Fb", 125.0, True, 0.7),
        ("Fc", 125.1, False, 0.7),
        ("Fc", 150.0, True, 0.5),
        ("Ft", 140.0, True, 0.9),
        ("Emin_y", 101.0, False, 0.9),
    ],
)
def test_temperature(symbol: str, temperature: float, *, wet: bool, Ct: float) -> None:
    assert adjustment.temperature_factor(symbol, temperature=temperature, wet=wet).value == Ct


@pytest.mark.parametrize("temperature", [150.1, float("nan")])
def test_hotter_than_the_table(temperature: float) -> None:
    with pytest.raises(UsageError, match="outside-table"):
        adjustment.temperature_factor("Fb", temperature=temperature, wet=False)


@pytest.mark.parametrize(
    ("symbol", "thickness", "width", "CF"),
    [
        ("Fb", 1.5, 3.5, 1.5),
        ("Fb", 1.5, 5.5, 1.3),
        ("Fb", 3.5, 7.25, 1.3),
        ("Fb", 3.0, 7.25, 1.2),
        ("Fb", 3.625, 11.5, 1.1),
        ("Ft", 1.5, 7.25, 1.2),
        ("Fc", 1.5, 7.25, 1.05),
        ("Fc", 1.5, 4.5, 1.1),
        ("Fb", 1.5, 12.0, 1.0),
        ("Fb", 1.5, 13.25, 0.9),
        ("Ft", 1.5, 15.5, 0.9),
        ("Fv", 1.5, 5.5, 1.0),
    ],
)
def test_size_of_dimension_lumber(symbol: str, thickness: float, width: float, CF: float) -> None:
    found = adjustment.size_factor(
        symbol, size_class="dimension", grade="No.1", thickness=thickness, width=width, southern_pine=False
    )
    assert found.value == CF


@pytest.mark.parametrize(("symbol", "width", "CF"), [("Fb", 3.5, 1.1), ("Fc", 4.0, 1.05), ("Ft", 5.5, 1.0)])
def test_size_of_stud_grade(symbol: str, width: float, CF: float) -> None:
    found = adjustment.size_factor(
        symbol, size_class="dimension", grade="Stud", thickness=1.5, width=width, southern_pine=False
    )
    assert found.value == CF


def test_wide_studs_are_number_three() -> None:
    with pytest.raises(UsageError) as fault:
        adjustment.size_factor(
            "Fb", size_class="dimension", grade="Stud", thickness=1.5, width=7.25, southern_pine=False
        )
    assert fault.value.do.startswith("Enter grade No.3")


@pytest.mark.parametrize(
    ("symbol", "thickness", "width", "CF"),
    [
        ("Fb", 1.5, 11.25, 1.0),
        ("Fb", 3.5, 7.25, 1.1),
        ("Fb", 3.5, 5.5, 1.0),
        ("Ft", 1.5, 13.25, 0.9),
        ("Fb", 3.5, 13.25, 0.99),
    ],
)
def test_size_of_southern_pine_stands_in_its_table(symbol: str, thickness: float, width: float, CF: float) -> None:
    found = adjustment.size_factor(
        symbol, size_class="dimension", grade="No.1", thickness=thickness, width=width, southern_pine=True
    )
    assert found.value == pytest.approx(CF)


@pytest.mark.parametrize(
    ("size_class", "symbol", "width", "CF"),
    [
        ("beams-and-stringers", "Fb", 12.0, 1.0),
        ("beams-and-stringers", "Fb", 24.0, 0.5 ** (1 / 9)),
        ("beams-and-stringers", "Ft", 24.0, 1.0),
        ("in place", "Fb", 24.0, 1.0),
        ("glulam", "Fb", 24.0, 1.0),
    ],
)
def test_size_of_timbers(size_class: SizeClass, symbol: str, width: float, CF: float) -> None:
    found = adjustment.size_factor(
        symbol, size_class=size_class, grade="No.1", thickness=8.0, width=width, southern_pine=False
    )
    assert found.value == pytest.approx(CF)


@pytest.mark.parametrize(
    ("size_class", "symbol", "grade", "thickness", "width", "Cfu"),
    [
        ("dimension", "Fb", "No.2", 1.5, 5.5, 1.15),
        ("dimension", "Fb", "No.2", 3.5, 9.25, 1.1),
        ("dimension", "Ft", "No.2", 1.5, 5.5, 1.0),
        ("glulam", "Fby", "24F-V4", 6.0, 6.0, 2 ** (1 / 9)),
        ("glulam", "Fby", "24F-V4", 12.0, 12.0, 1.0),
        ("beams-and-stringers", "Fb", "No.1", 6.0, 12.0, 0.74),
        ("beams-and-stringers", "Emin", "No.1", 6.0, 12.0, 0.9),
        ("posts-and-timbers", "Fb", "No.1", 6.0, 6.0, 1.0),
    ],
)
def test_flat_use(
    size_class: SizeClass, symbol: str, grade: str, *, thickness: float, width: float, Cfu: float
) -> None:
    found = adjustment.flat_use_factor(
        symbol, size_class=size_class, grade=grade, thickness=thickness, width=width
    )
    assert found.value == pytest.approx(Cfu)


@pytest.mark.parametrize(
    ("size_class", "grade", "thickness", "width"),
    [("dimension", "No.1", 3.5, 2.5), ("beams-and-stringers", "Dense No.1", 6.0, 12.0)],
)
def test_flat_use_that_no_table_gives(size_class: SizeClass, grade: str, thickness: float, width: float) -> None:
    with pytest.raises(UsageError, match="no flat use factor is tabulated"):
        adjustment.flat_use_factor("Fb", size_class=size_class, grade=grade, thickness=thickness, width=width)


@pytest.mark.parametrize(("symbol", "Ci"), [("Fb", 0.8), ("Emin", 0.95), ("Fc_perp", 1.0)])
def test_incising(symbol: str, Ci: float) -> None:
    assert adjustment.incising_factor(symbol, size_class="dimension", incised=True).value == Ci
    assert adjustment.incising_factor(symbol, size_class="dimension", incised=False).value == 1.0


@pytest.mark.parametrize("size_class", ["beams-and-stringers", "posts-and-timbers", "glulam"])
def test_incising_is_for_dimension_lumber_alone_and_says_so(size_class: SizeClass) -> None:
    """NDS 4.3.8 multiplies where dimension lumber is incised, from memory; the values of 4.3.8 in the table."""
    found = adjustment.incising_factor("Fb", size_class=size_class, incised=True)
    assert found.value == 1.0
    assert found.lines[-1].formula == f"incised; the clause is for dimension lumber, not {size_class}"


def test_incising_of_values_stated_in_place_is_refused() -> None:
    with pytest.raises(UsageError, match="State values that hold for the incised piece"):
        adjustment.incising_factor("Fb", size_class="in place", incised=True)
    assert adjustment.incising_factor("Fb", size_class="in place", incised=False).value == 1.0


def test_load_sharing_is_for_dimension_lumber_alone() -> None:
    assert adjustment.repetitive_factor(size_class="dimension", repetitive=True).value == 1.15
    assert adjustment.repetitive_factor(size_class="dimension", repetitive=False).value == 1.0
    assert adjustment.repetitive_factor(size_class="posts-and-timbers", repetitive=True).value == 1.0


def test_volume_factor_is_one_for_the_reference_beam_and_never_more() -> None:
    assert adjustment.volume_factor(length=252, depth=12, width=5.125, southern_pine=False).value == 1.0
    assert adjustment.volume_factor(length=100, depth=9, width=5.125, southern_pine=False).value == 1.0
    assert adjustment.volume_factor(length=504, depth=12, width=5.125, southern_pine=False).value < 1.0


def test_a_modulus_of_no_known_product() -> None:
    with pytest.raises(UsageError, match="unknown-product"):
        adjustment.minimum_modulus(1.6e6, product="bamboo")


def test_an_adjusted_value_shows_its_arithmetic() -> None:
    found = adjustment.adjusted("Ft'", 1000.0, {"CD": adjustment.duration_factor(["snow"]), "CF": 1.2})
    assert found.value == pytest.approx(1380.0)
    assert [(line.symbol, line.value, line.source) for line in found.lines] == [
        ("Ft", 1000.0, "given"),
        ("CD", 1.15, "from memory; 0.9 to 1.6 seen in a university wood design course"),
        ("CF", 1.2, "given"),
        ("Ft'", pytest.approx(1380.0), "from memory"),
    ]
    assert found.lines[-1].formula == "Ft x CD x CF"
