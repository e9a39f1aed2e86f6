"""Reference values: the right row for the section, the user's own before all, and old stamps with both values."""

from __future__ import annotations

import pytest

from trussio.errors import UsageError
from trussio.timber import reference

DFL = "Douglas Fir-Larch"


@pytest.mark.parametrize(
    ("thickness", "width", "expected"),
    [
        pytest.param(1.5, 5.5, "dimension", id="a 2x6"),
        pytest.param(4.0, 12.0, "dimension", id="full-sawn 4 in is the last of dimension lumber"),
        pytest.param(4.5, 4.5, "posts-and-timbers", id="5 in nominal begins the timbers"),
        pytest.param(5.5, 7.5, "posts-and-timbers", id="2 in wider exactly is still a post"),
        pytest.param(5.5, 7.51, "beams-and-stringers", id="a hair more than 2 in wider is a stringer"),
        pytest.param(9.5, 5.5, "beams-and-stringers", id="the order of the sides does not matter"),
    ],
)
def test_size_class_follows_the_section(thickness: float, width: float, expected: str) -> None:
    assert reference.size_class(thickness, width) == expected


def test_between_four_and_four_and_a_half_inches_somebody_must_say() -> None:
    with pytest.raises(UsageError) as fault:
        reference.size_class(4.25, 9.5)
    assert fault.value.code == "size-class-unclear"
    assert fault.value.do == "Enter the size class: dimension, beams-and-stringers or posts-and-timbers."
    row = reference.sawn(species=DFL, grade="No.1", thickness=4.25, width=9.5, stated_class="dimension")
    assert row.values["Fb"] == 1000


@pytest.mark.parametrize(
    ("thickness", "width", "Fb", "Ft"),
    [
        pytest.param(1.5, 5.5, 1000, 675, id="dimension lumber"),
        pytest.param(5.5, 11.25, 1350, 675, id="beams and stringers"),
        pytest.param(5.5, 5.5, 1200, 825, id="posts and timbers have another tension"),
    ],
)
def test_one_grade_has_three_rows(thickness: float, width: float, Fb: float, Ft: float) -> None:
    row = reference.sawn(species=DFL, grade="No. 1", thickness=thickness, width=width)
    assert (row.values["Fb"], row.values["Ft"]) == (Fb, Ft)


def test_every_value_shows_edition_table_and_mark() -> None:
    line = reference.sawn(species="hem-fir", grade="no.1", thickness=1.5, width=5.5).value("Ft").lines[0]
    assert line == ("Ft", 625, "psi", "", "NDS-2018 Supplement table 4A", "from memory")


@pytest.mark.parametrize(
    ("width", "Fb"), [(3.5, 1500), (4.0, 1500), (4.1, 1350), (7.25, 1250), (11.25, 1000), (13.25, 1000)]
)
def test_southern_pine_goes_by_width(width: float, Fb: float) -> None:
    row = reference.sawn(species="Southern Pine", grade="No.1", thickness=1.5, width=width)
    assert row.values["Fb"] == Fb
    assert row.southern_pine


def test_southern_pine_of_before_2013_is_not_given_for_today() -> None:
    row = reference.sawn(species="Southern Pine", grade="Select Structural", thickness=3.5, width=11.25)
    assert row.values["Fb"] == 1600


def test_an_unknown_species_is_named_with_those_known() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species="Redwood", grade="No.1", thickness=1.5, width=5.5)
    assert str(fault.value) == (
        "unknown-species at Redwood: no reference values are tabulated here for this species. Enter one of "
        "Douglas Fir-Larch, Hem-Fir, Spruce-Pine-Fir, Southern Pine, or state the values with their source."
    )


def test_an_unknown_grade_is_named_with_those_known() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species=DFL, grade="Utility", thickness=1.5, width=5.5)
    assert fault.value.code == "unknown-grade"
    assert "Select Structural, No.1 & Btr, No.1, No.2, No.3" in fault.value.what


def test_a_class_that_the_tables_lack_has_no_grade() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species="Hem-Fir", grade="No.1", thickness=5.5, width=5.5)
    assert fault.value.what == "the tables here give for posts-and-timbers of this species: no grade at all."


def test_a_size_class_that_does_not_match_is_refused() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species=DFL, grade="No.1", thickness=5.5, width=5.5, stated_class="beams-and-stringers")
    assert str(fault.value) == (
        "size-class-mismatch at Douglas Fir-Larch No.1: 5.5 x 5.5 in is posts-and-timbers, not "
        "beams-and-stringers. Enter size class posts-and-timbers, or correct the section."
    )


def test_a_size_class_that_is_none_is_refused() -> None:
    with pytest.raises(UsageError, match="size-class-unknown"):
        reference.sawn(species=DFL, grade="No.1", thickness=5.5, width=5.5, stated_class="joists")


@pytest.mark.parametrize(
    ("laminations", "Fc", "Fby"), [(2, 1600, 1300), (3, 1600, 1600), (4, 1950, 1800), (9, 1950, 1800)]
)
def test_axial_glulam_goes_by_the_number_of_laminations(laminations: int, Fc: float, Fby: float) -> None:
    row = reference.glulam(combination="2", laminations=laminations, depth=12.0)
    assert (row.values["Fc"], row.values["Fby"]) == (Fc, Fby)
    assert row.values["Emin_y"] == row.values["Emin"] == 850000


def test_glulam_whose_laminations_nobody_counted_lacks_what_depends_on_them() -> None:
    row = reference.glulam(combination="2", laminations=None, depth=12.0)
    with pytest.raises(UsageError) as fault:
        row.value("Fc")
    assert fault.value.code == "value-missing"
    assert fault.value.do == "Enter Fc in psi with its source."


@pytest.mark.parametrize(("depth", "given"), [(15.0, True), (15.01, False)])
def test_axial_glulam_has_its_bending_value_up_to_15_in(depth: float, *, given: bool) -> None:
    assert ("Fb" in reference.glulam(combination="2", laminations=8, depth=depth).values) == given


def test_bending_glulam() -> None:
    row = reference.glulam(combination="24f-v4", laminations=8, depth=24.0)
    assert (row.values["Fb"], row.values["Ft"], row.values["Emin_y"]) == (2400, 1100, 850000)
    with pytest.raises(UsageError, match="unknown-combination"):
        reference.glulam(combination="30F", laminations=8, depth=24.0)
    with pytest.raises(UsageError, match="outside-table"):
        reference.glulam(combination="24F-V4", laminations=1, depth=24.0)


def test_stated_values_carry_their_source() -> None:
    row = reference.as_stated(
        name="chord 2",
        species=DFL,
        size_class="in place",
        values={"Ft": 450.0},
        source="graded in place, 2024",
    )
    assert row.value("Ft").lines[0].source == "graded in place, 2024"


@pytest.mark.parametrize(
    ("values", "source", "code"),
    [
        ({"Fx": 100.0}, "somebody", "unknown-value"),
        ({"Ft": 0.0}, "somebody", "value-not-positive"),
        ({"Ft": float("nan")}, "somebody", "value-not-positive"),
        ({"Ft": 450.0}, " ", "source-missing"),
    ],
)
def test_stated_values_are_looked_at(values: dict[str, float], source: str, code: str) -> None:
    with pytest.raises(UsageError) as fault:
        reference.as_stated(name="chord", species=DFL, size_class="in place", values=values, source=source)
    assert fault.value.code == code


def test_a_stamp_has_the_tension_of_its_day_and_the_later_one() -> None:
    grade = reference.historic_grade("1200f")
    assert grade.bending.value == 1200
    assert grade.tension_of_its_day.value == 1200
    assert grade.tension_later.value == pytest.approx(660)
    assert "from memory" in grade.tension_later.lines[-1].source
    assert grade.compression is None


def test_a_grade_name_of_the_fifties() -> None:
    grade = reference.historic_grade("Dense construction")
    assert grade.compression is not None
    assert (grade.bending.value, grade.compression.value) == (1750, 1400)
    assert grade.compression.lines[0].source == "from memory, unverified"


def test_a_stamp_that_nobody_knows() -> None:
    with pytest.raises(UsageError) as fault:
        reference.historic_grade("A1")
    assert fault.value.code == "unknown-stamp"
    assert "Enter the stamp as read on the piece" in fault.value.do
