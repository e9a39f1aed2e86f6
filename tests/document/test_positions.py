"""Each key and value of a JSON text is found where it stands."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.document.json_values import free_values
from trussio.document.positions import escaped, first_too_deep, line_and_column, places, walk

if TYPE_CHECKING:
    from trussio.model.truss import Json


def values_by_pointer(value: Json, where: str = "") -> dict[str, Json]:
    """Every value in a value by its JSON Pointer."""
    found = {where: value}
    for key, item in value.items() if isinstance(value, dict) else ():
        found |= values_by_pointer(item, f"{where}/{escaped(key)}")
    for index, item in enumerate(value) if isinstance(value, list) else ():
        found |= values_by_pointer(item, f"{where}/{index}")
    return found


@given(value=free_values, indent=st.sampled_from([None, 0, 3]), plain=st.booleans())
def test_at_each_place_stands_the_value(*, value: Json, indent: int | None, plain: bool) -> None:
    text = json.dumps(value, indent=indent, ensure_ascii=plain)
    spots = {spot.pointer: spot.offset for spot in walk(text) if not spot.on_key}
    expected = values_by_pointer(value)
    assert spots.keys() == expected.keys()
    for pointer, offset in spots.items():
        found, _ = json.JSONDecoder().raw_decode(text, offset)
        assert found == expected[pointer]


@pytest.mark.parametrize(
    ("text", "repeated"),
    [
        ('{"a": 1, "a": 2}', ["/a"]),
        ('{"a": {"b": 1}, "c": {"b": 1}}', []),
        ('{"a": {"b": 1}, "a": {"b": 1}}', ["/a"]),
        ('[{"a": 1, "\\u0061": 2}, {"a": 1}]', ["/0/a"]),
        ('{"~": 1, "/": 2, "~1": 3}', []),
    ],
)
def test_a_key_that_stands_twice_in_one_object_is_seen(text: str, repeated: list[str]) -> None:
    assert [spot.pointer for spot in walk(text) if spot.repeated] == repeated


def test_lines_and_columns_count_from_one() -> None:
    text = "ab\n\ncd"
    assert line_and_column(text, [0, 1, 3, 4, 5]) == {0: (1, 1), 1: (1, 2), 3: (2, 1), 4: (3, 1), 5: (3, 2)}


def test_a_field_stands_at_its_key_and_an_item_of_a_list_at_itself() -> None:
    text = '{\n  "a": [7,\n    8],\n  "b/c": {}\n}'
    assert places(text) == {"": (1, 1), "/a": (2, 3), "/a/0": (2, 9), "/a/1": (3, 5), "/b~1c": (4, 3)}


@pytest.mark.parametrize(
    ("text", "offset"), [("[[[]]]", None), ("[[[[]]]]", 3), ('["[[[["]', None), ("[[],[],[]]", None), ("[[[{", 3)]
)
def test_the_first_bracket_beyond_the_depth_is_found(text: str, offset: int | None) -> None:
    assert first_too_deep(text, 3) == offset
