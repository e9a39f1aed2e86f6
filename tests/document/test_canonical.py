"""RFC 8785 against its own examples (appendix B, sections 3.2.2 and 3.2.3; values from memory of the text)."""

from __future__ import annotations

import json
import struct
from hashlib import sha256
from math import isfinite
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.document.json_values import free_values
from trussio.document.canonical import canonical_text, digest_of, number_text, utf8
from trussio.errors import CannotWriteError

if TYPE_CHECKING:
    from trussio.model.truss import Json

APPENDIX_B = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "spelled"), APPENDIX_B)
def test_numbers_of_appendix_b(bits: str, spelled: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert number_text(number) == spelled


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_not_written(number: float) -> None:
    with pytest.raises(
        CannotWriteError, match=r"not-finite: a value is (nan|inf|-inf), which no document can hold"
    ):
        number_text(number)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_spelled_number_reads_as_the_same_double(number: float) -> None:
    spelled = number_text(number)
    assert float(spelled) == number
    assert "E" not in spelled
    assert not spelled.endswith(".0")


def test_the_sample_of_section_3_2_2() -> None:
    text = r"""{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"""
    assert canonical_text(json.loads(text)) == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


def test_keys_go_by_their_utf_16_units_as_in_section_3_2_3() -> None:
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    value: Json = dict.fromkeys(keys, 0)
    assert list(json.loads(canonical_text(value))) == [
        "\r",
        "1",
        "\u0080",
        "\u00f6",
        "\u20ac",
        "\U0001f600",
        "\ufb33",
    ]


@given(free_values)
def test_the_order_of_keys_and_the_spelling_of_numbers_leave_the_digest_alone(value: Json) -> None:
    other = json.loads(json.dumps(turned_round(value)))
    assert digest_of(other) == digest_of(value)
    assert digest_of(value) == "sha256:" + sha256(canonical_text(value).encode()).hexdigest()


def turned_round(value: Json) -> Json:
    """The same value: keys in the opposite order, whole numbers as decimals and the other way round."""
    if isinstance(value, dict):
        return {key: turned_round(value[key]) for key in reversed(value)}
    if isinstance(value, list):
        return [turned_round(item) for item in value]
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value
    assert isfinite(value)
    return int(value) if type(value) is float and value.is_integer() and abs(value) < 2**53 else float(value)


@pytest.mark.parametrize(
    ("one", "other"), [({"a": 1}, {"a": "1"}), ([1, 2], [2, 1]), ({"a": None}, {}), (0.1, 0.1 + 1e-17 + 2e-17)]
)
def test_what_differs_has_another_digest(one: Json, other: Json) -> None:
    assert digest_of(one) != digest_of(other)


def test_half_a_character_is_named() -> None:
    with pytest.raises(CannotWriteError, match=r"not-text: half of a surrogate pair .* after '2x\\udc9f'"):
        utf8("2x\udc9f10")
