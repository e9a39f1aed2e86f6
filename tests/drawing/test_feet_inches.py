"""Feet and inches: the whole string or none of it, and exact both ways."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trussio.drawing.feet_inches import feet_inches, read_feet_inches, write_feet_inches
from trussio.errors import UnreadableError


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("12'-6 1/2\"", Fraction(301, 2)),
        ("12' 6-1/2\"", Fraction(301, 2)),
        ("24' - 0 1/2\"", Fraction(577, 2)),
        ("24'0\"", Fraction(288)),
        ("24'-0\"", Fraction(288)),
        ("24 FT 0 IN", Fraction(288)),
        ("12ft 6in", Fraction(150)),
        ("24.5'", Fraction(294)),
        ('294"', Fraction(294)),
        ("12'-6.5\"", Fraction(301, 2)),
        ("0'-6\"", Fraction(6)),
        ('6"', Fraction(6)),
        ("12''", Fraction(12)),
        ('3/4"', Fraction(3, 4)),
        ("5' 3/4\"", Fraction(243, 4)),
        ("10'6\"", Fraction(126)),
        ("12'-6", Fraction(150)),
        ("24\u2032\u20136\u2033", Fraction(294)),
        ("24\u2019-6\u201d", Fraction(294)),
        ('2\u00bd"', Fraction(5, 2)),
        ("6'-\u00be\"", Fraction(291, 4)),
        ('1\u20441\u2044 "'.replace("1\u2044 ", "2"), Fraction(1, 2)),
        ("-1'-0 1/16\"", Fraction(-193, 16)),
        ("5'-11 255/256\"", Fraction(71 * 256 + 255, 256)),
        ("5'-0\"", Fraction(60)),
    ],
)
def test_a_length_is_read_exactly(text: str, inches: Fraction) -> None:
    assert read_feet_inches(text) == inches


@pytest.mark.parametrize(
    "text",
    [
        "12",  # no unit mark
        "24-0",  # could be anything
        '21/2"',  # two and a half that lost its blank
        '8/8"',  # a fraction that is a whole: exactly on the limit
        '1/0"',
        "12'-12\"",  # twelve inches are a foot: exactly on the limit
        "12.5'-6\"",
        "2'-11 1\"",
        "12'-6 1/2\" TYP.",
        "about 12'",
        "12' 13'",
        '1,200"',
        "'",
        "",
        "9" * 81 + "'",
    ],
)
def test_what_is_not_one_length_is_refused(text: str) -> None:
    assert feet_inches(text) is None
    with pytest.raises(UnreadableError, match="not-a-length") as caught:
        read_feet_inches(text)
    assert "Write it like 12'-6 1/2\"" in str(caught.value)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (Fraction(301, 2), "12'-6 1/2\""),
        (120, "10'-0\""),
        (Fraction(13, 2), '6 1/2"'),
        (0.75, '3/4"'),
        (0, '0"'),
        (12, "1'-0\""),
        (Fraction(11 * 256 + 255, 256), "1'-0\""),  # the carry
        (Fraction(11 * 16 + 15, 16), '11 15/16"'),
        (35.9999, "3'-0\""),
        (Fraction(-193, 16), "-1'-0 1/16\""),
        (-0.01, '0"'),
        (12.5, "1'-0 1/2\""),
    ],
)
def test_a_length_is_written_as_drawings_do(inches: Fraction | float, text: str) -> None:
    assert write_feet_inches(inches) == text


def test_a_tape_without_such_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="a denominator of 10 is on no tape"):
        write_feet_inches(1, 10)


@given(st.integers(-(10**6), 10**6), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_what_was_written_is_read_back(units: int, denominator: int) -> None:
    length = Fraction(units, denominator)
    assert read_feet_inches(write_feet_inches(length, denominator)) == length


@given(st.text(alphabet="0123456789'\"/-. ftin", max_size=20))
def test_any_string_is_a_length_or_none(text: str) -> None:
    inches = feet_inches(text)
    assert inches is None or inches == feet_inches(text)
    if inches is not None and text.strip().isdigit():
        pytest.fail("a bare number was taken for a length")
