"""Size labels in every spelling, and the dressed sizes that nominal ones stand for."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from trussio.drawing.sizes import dressed, read_sizes, section_of
from trussio.model.material import Sizing

HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "plies", "width", "depth"),
    [
        ("2x8", 1, 2, 8),
        ("2 X 8", 1, 2, 8),
        ("2 by 8", 1, 2, 8),
        ("2\u00d78", 1, 2, 8),
        ('2"x8"', 1, 2, 8),
        ("(3) 2x10", 3, 2, 10),
        ("(2)-2x8", 2, 2, 8),
        ("3-2x10", 3, 2, 10),
        ("3 - 2 X 10", 3, 2, 10),
        ("2-3x10", 2, 3, 10),
        ("2 PCS 3x12", 2, 3, 12),
        ("2x10 - 3 PLY", 3, 2, 10),
        ("DBL 2x6", 2, 2, 6),
        ("2-2x8's", 2, 2, 8),
        ("2/50x150", 2, 50, 150),
        ("50x150", 1, 50, 150),
        ("38x89", 1, 38, 89),
        ("1 5/8 x 7 1/2", 1, Fraction(13, 8), Fraction(15, 2)),
        ("1-5/8x7-1/2", 1, Fraction(13, 8), Fraction(15, 2)),
        ("2-1 5/8x7 1/2", 2, Fraction(13, 8), Fraction(15, 2)),
        ("2\u00bdx8", 1, Fraction(5, 2), 8),
        ("1.625 x 7.5", 1, Fraction(13, 8), Fraction(15, 2)),
        ("6x8 D.F. #1", 1, 6, 8),
        ("TOP CHORD 2-3x10", 2, 3, 10),
        ("2x8x14'-0\"", 1, 2, 8),
        ("W1-2x6", 1, 2, 6),
        ("(2x8)", 1, 2, 8),
    ],
)
def test_a_label_has_one_reading(text: str, plies: int, width: Fraction, depth: Fraction) -> None:
    (label,) = read_sizes(text)
    assert (label.plies, label.width, label.depth) == (plies, width, depth)
    assert label.raw == text


@pytest.mark.parametrize(
    "text",
    [
        "24'-0\"",
        "SEE PHOTO 12",
        '3/4" BOLT',
        "1/4x6x12",
        "L3x3x1/4",
        "W8x31",
        "36x24",
        "2x0",
        "2'x8'",
        "",
        "x" * 501,
    ],
)
def test_what_is_no_size_is_none(text: str) -> None:
    assert read_sizes(text) == ()


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("2x8 2x10", ["2x8", "2x10"]),
        ("2x8/2x10", ["2x8", "2x10"]),
        ("1/2x8", ["2x8", "1/2x8"]),  # one 2x8, or half an inch by eight
    ],
)
def test_a_label_with_two_readings_gives_both(text: str, names: list[str]) -> None:
    assert [label.name for label in read_sizes(text)] == names


def test_what_stands_beside_a_size_is_noticed() -> None:
    (typical,) = read_sizes("2x8 TYP.")
    (spaced,) = read_sizes('2x8 @ 24" O.C.')
    (plies,) = read_sizes("3-2x10")
    (plain,) = read_sizes("(3) 2x10")
    (graded,) = read_sizes("6x8 DF #1")
    assert typical.typical
    assert spaced.spaced
    assert plies.by_hyphen
    assert (plain.typical, plain.spaced, plain.by_hyphen) == (False, False, False)
    assert graded.words == "DF #1"


@pytest.mark.parametrize(
    ("text", "unit", "diameter"),
    [('3/4" ROD', "in", Fraction(3, 4)), ('1 1/8"\u2300 TIE ROD', "in", Fraction(9, 8)), ("ROD 24", "mm", 24)],
)
def test_a_rod_has_a_diameter(text: str, unit: str, diameter: Fraction) -> None:
    (rod,) = read_sizes(text)
    assert (rod.round, rod.unit, rod.width) == (True, unit, diameter)
    section = section_of(rod, "measured", "si" if unit == "mm" else "us")
    assert section is not None
    assert section.area == pytest.approx(pi * float(diameter) ** 2 / 4)


@pytest.mark.parametrize(
    ("text", "sizing", "size"),
    [
        ("2x8", "current", (Fraction(3, 2), Fraction(29, 4))),
        ("4x4", "current", (Fraction(7, 2), Fraction(7, 2))),  # 4 in is the thickest dimension lumber
        ("5x5", "current", (5 - HALF, 5 - HALF)),  # 5 in is the least timber: exactly on the limit
        ("6x8", "current", (6 - HALF, 8 - HALF)),
        ("3x10", "before-1970", (Fraction(21, 8), Fraction(19, 2))),
        ("2x8", "full-sawn", (Fraction(2), Fraction(8))),
        ("2x8", "measured", (Fraction(2), Fraction(8))),
        ("1 5/8 x 7 1/2", "current", (Fraction(13, 8), Fraction(15, 2))),  # measured already
    ],
)
def test_a_nominal_size_is_dressed_by_its_sizing(
    text: str, sizing: Sizing, size: tuple[Fraction, Fraction]
) -> None:
    # Current: American softwood lumber standard, from memory; before 1970: as commonly stated, from memory.
    (label,) = read_sizes(text)
    assert dressed(label, sizing) == size


def test_a_size_that_no_table_has_is_not_guessed() -> None:
    (label,) = read_sizes("2x7")
    assert dressed(label, "current") is None
    assert section_of(label, "current", "us") is None


def test_a_section_is_in_the_base_lengths_of_the_document() -> None:
    (label,) = read_sizes("2-3x10")
    section = section_of(label, "before-1970", "si")
    assert section is not None
    assert (section.width, section.depth, section.plies) == (2.625 * 25.4, 9.5 * 25.4, 2)
    assert (section.label, section.sizing, section.joined) == ("2-3x10", "before-1970", "none")
