"""Reference values: the right row for the section, the user's own before all, and old stamps with both values."""

from __future__ import annotations

from itertools import pairwise

import pytest

from trussio.errors import UsageError
from trussio.timber import reference, tables

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


@pytest.mark.parametrize(
    ("species", "grade", "thickness", "width", "values"),
    [
        (DFL, "Stud", 1.5, 5.5, (700, 450, 180, 625, 850, 1.4e6, 510000)),
        (DFL, "Construction", 1.5, 3.5, (1000, 650, 180, 625, 1650, 1.5e6, 550000)),
        ("Hem-Fir", "Standard", 1.5, 3.5, (550, 325, 150, 405, 1300, 1.2e6, 440000)),
        ("Southern Pine", "No.1 Dense", 1.5, 11.25, (1100, 750, 175, 660, 1500, 1.8e6, 660000)),
        ("Southern Pine", "Dense No. 1", 1.5, 11.25, (1100, 750, 175, 660, 1500, 1.8e6, 660000)),
        ("Southern Pine", "Dense Select Structural", 2.5, 9.25, (1950, 1300, 175, 660, 1800, 1.9e6, 690000)),
        ("Southern Pine", "No.2", 5.5, 11.5, (850, 550, 165, 375, 525, 1.2e6, 440000)),
        ("Southern Pine", "Select Structural", 7.5, 7.5, (1500, 1000, 165, 375, 950, 1.5e6, 550000)),
        ("Hem-Fir", "No. 1", 5.5, 11.5, (1050, 525, 140, 405, 750, 1.3e6, 470000)),
        ("Hem-Fir", "No. 1", 5.5, 5.5, (975, 650, 140, 405, 850, 1.3e6, 470000)),
        ("Spruce-Pine-Fir", "No. 2", 7.5, 7.5, (500, 325, 125, 425, 500, 1.0e6, 370000)),
        ("Spruce-Pine-Fir (South)", "No. 2", 1.5, 5.5, (775, 350, 135, 335, 1000, 1.1e6, 400000)),
        ("Eastern Hemlock-Tamarack", "No. 1", 2.5, 9.5, (775, 350, 170, 555, 1000, 1.1e6, 400000)),
        ("Eastern White Pine", "Select Structural", 2.5, 9.5, (1250, 575, 135, 350, 1200, 1.2e6, 440000)),
        ("Western Cedars", "No.2", 1.5, 5.5, (700, 425, 155, 425, 650, 1.0e6, 370000)),
        ("White Oak", "Select Structural", 2.5, 9.5, (1200, 700, 220, 800, 1100, 1.1e6, 400000)),
    ],
)
def test_species_and_grades_of_old_trusses(
    species: str, grade: str, thickness: float, width: float, values: tuple[float, ...]
) -> None:
    """NDS-2018 Supplement tables 4A, 4B and 4D, from memory."""
    row = reference.sawn(species=species, grade=grade, thickness=thickness, width=width)
    assert tuple(row.values[symbol] for symbol in ("Fb", "Ft", "Fv", "Fc_perp", "Fc", "E", "Emin")) == values
    assert row.source == "from memory"


def test_light_framing_grades_end_at_four_inches() -> None:
    """A chord stamped Construction in its day finds no value of today's grade of that name."""
    with pytest.raises(UsageError, match="unknown-grade at Douglas Fir-Larch Construction"):
        reference.sawn(species=DFL, grade="Construction", thickness=2.625, width=9.5)


def _key(row: tables.SawnRow) -> tuple[str, ...]:
    grade = " ".join(sorted(reference.plain(row["grade"]).split()))
    return (row["species"], grade, row["size_class"], row["width"], row["edition"])


@pytest.mark.parametrize(
    "row",
    [row for row in tables.sawn_rows() if row["edition"] == "NDS-2018"],
    ids=lambda row: f"{row['species']} {row['grade']} {row['size_class']} {row['width']}",
)
def test_no_row_has_a_slip_of_the_pen(row: tables.SawnRow) -> None:
    """Emin is that of appendix D rounded to 10,000; tension is less than bending; each row stands once."""
    values = row["values"]
    D = 1.03 * values["E"] * (1 - 1.645 * 0.25) / 1.66
    assert abs(values["Emin"] - D) <= 10000
    assert 0.35 * values["Fb"] < values["Ft"] < values["Fb"]
    assert values["Fc"] % 25 == values["Fb"] % 25 == values["Ft"] % 25 == 0
    assert [_key(other) for other in tables.sawn_rows()].count(_key(row)) == 1


def test_better_grades_are_never_weaker() -> None:
    order = ("Select Structural", "No.1", "No.2", "No.3")
    groups: dict[tuple[str, str, str], dict[str, dict[str, float]]] = {}
    for row in tables.sawn_rows():
        if row["edition"] == "NDS-2018":
            groups.setdefault((row["species"], row["size_class"], row["width"]), {})[row["grade"]] = row["values"]
    for key, grades in groups.items():
        known = [grades[grade] for grade in order if grade in grades]
        for better, worse in pairwise(known):
            assert all(better[symbol] >= worse[symbol] for symbol in worse), key


def test_southern_pine_of_before_2013_is_not_given_for_today() -> None:
    row = reference.sawn(species="Southern Pine", grade="Select Structural", thickness=3.5, width=11.25)
    assert row.values["Fb"] == 1600


def test_an_unknown_species_is_named_with_those_known() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species="Redwood", grade="No.1", thickness=1.5, width=5.5)
    assert str(fault.value) == (
        "unknown-species at Redwood: no reference values are tabulated here for this species. Enter one of "
        "Douglas Fir-Larch, Hem-Fir, Spruce-Pine-Fir, Southern Pine, Douglas Fir-Larch (North), "
        "Douglas Fir-South, Hem-Fir (North), Spruce-Pine-Fir (South), Eastern Hemlock-Tamarack, "
        "Eastern Softwoods, Eastern White Pine, "
        "Western Cedars, Western Woods, Red Oak, White Oak, or state the values with their source."
    )


def test_an_unknown_grade_is_named_with_those_known() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species=DFL, grade="Utility", thickness=1.5, width=5.5)
    assert fault.value.code == "unknown-grade"
    assert "Select Structural, No.1 & Btr, No.1, No.2, No.3" in fault.value.what


def test_a_class_that_the_tables_lack_has_no_grade() -> None:
    with pytest.raises(UsageError) as fault:
        reference.sawn(species="Red Oak", grade="No.1", thickness=5.5, width=5.5)
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
