"""Coordinates that are no places are refused by type, handle and layer."""

from __future__ import annotations

import pytest

from tests.drawing.drafting import bare, codes, line, linework
from trussio.errors import UnreadableError


@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e999", "1e16", "-2e15"])
@pytest.mark.parametrize("code", ["10", "21"])
def test_a_number_that_is_no_place_is_refused_by_type_handle_and_layer(value: str, code: str) -> None:
    tags = [
        (key, value if key == int(code) else held) for key, held in line((0, 0), (9, 9), layer="WEBS", handle="2F")
    ]
    with pytest.raises(UnreadableError, match="bad-number at LINE 2F") as caught:
        linework(bare(tags))
    assert "layer WEBS" in str(caught.value)


def test_the_largest_place_is_still_read_but_asked_about() -> None:
    read = linework(bare(line((1e15, 0), (9e14, 5))))
    assert codes(read) == ["far-out-drawing"]


@pytest.mark.parametrize(
    "tags",
    [
        [(0, "CIRCLE"), (8, "0"), (10, 0.0), (20, 0.0), (40, "inf")],
        [(0, "TEXT"), (8, "0"), (10, "nan"), (20, 0.0), (40, 3.0), (1, "2x8")],
        [
            (0, "POLYLINE"),
            (8, "0"),
            (66, 1),
            (210, 0.0),
            (220, -1.0),
            (230, 0.0),
            (0, "VERTEX"),
            (8, "0"),
            (10, "inf"),
            (20, 0.0),
            (0, "VERTEX"),
            (8, "0"),
            (10, 9.0),
            (20, 0.0),
            (0, "SEQEND"),
        ],
        [
            (0, "POLYLINE"),
            (8, "0"),
            (66, 1),
            (0, "VERTEX"),
            (8, "0"),
            (10, 0.0),
            (20, 0.0),
            (42, "nan"),
            (0, "VERTEX"),
            (8, "0"),
            (10, 9.0),
            (20, 0.0),
            (0, "SEQEND"),
        ],
        [(0, "ELLIPSE"), (8, "0"), (10, 0.0), (20, 0.0), (11, "inf"), (21, 0.0), (40, 0.5), (41, 0.0), (42, 3.0)],
        [(0, "POINT"), (8, "0"), (10, "nan"), (20, 0.0)],
        [(0, "ARC"), (8, "0"), (10, 0.0), (20, 0.0), (40, 5.0), (50, "nan"), (51, 90.0)],
    ],
)
def test_other_entities_with_such_numbers_are_refused_too(tags: list[tuple[int, object]]) -> None:
    with pytest.raises(UnreadableError, match=f"bad-number at {tags[0][1]}"):
        linework(bare([*line((0, 0), (9, 9)), *tags]))


def test_every_bad_number_is_told_up_to_a_limit() -> None:
    tags = [tag for index in range(30) for tag in line((0, index), ("nan", 1), handle=f"{index + 16:X}")]
    with pytest.raises(UnreadableError, match="30 entities are so") as caught:
        linework(bare(tags))
    assert len(caught.value.faults) == 20
