"""One table of layers serves writing and reading."""

from __future__ import annotations

import re

import pytest

from trussio.cli.streams import LAYER_WORDS
from trussio.drawing.layers import LAYERS, LETTERS, SAID, Layer, layer_name, meaning_of, said_of


@pytest.mark.parametrize("layer", LAYERS, ids=lambda layer: layer.name)
def test_what_is_written_is_read_back(layer: Layer) -> None:
    for status in LETTERS:
        expected = status if layer.has_status else None
        assert meaning_of(layer_name(layer.holds, status)) == (layer.holds, expected)


def test_names_have_the_form_of_the_national_standard_and_suit_old_readers() -> None:
    for row in LAYERS:
        for status in LETTERS:
            name = layer_name(row.holds, status)
            assert re.fullmatch(r"[A-Z](-[A-Z]{4}){2}(-[EDNT])?", name), name
            assert len(name) <= 31


def test_every_row_stands_for_one_thing() -> None:
    assert len({row.holds for row in LAYERS}) == len(LAYERS)
    assert len({row.name for row in LAYERS}) == len(LAYERS)


@pytest.mark.parametrize(
    ("name", "meaning"),
    [
        ("s-trus-webs-e", ("web", "existing")),
        ("S-TRUS-TCHD-D", ("top-chord", "demolished")),
        (" S-TRUS-BCHD-N ", ("bottom-chord", "new")),
        ("S-TRUS-WEBS", ("web", None)),
        ("S-TRUS-JNTS", ("joint", None)),
        ("S-TRUS-JNTS-E", None),
        ("S-TRUS-WEBS-Q", None),
        ("S-TRUS-WEBS-", None),
        ("WEBS", None),
        ("0", None),
        ("", None),
    ],
)
def test_a_layer_name_says_what_it_holds_or_nothing(name: str, meaning: object) -> None:
    assert meaning_of(name) == meaning


@pytest.mark.parametrize(
    ("name", "told", "said"),
    [
        ("S-TRUS-WEBS-E", {}, "web"),
        ("S-TRUS-RODS", {}, "member"),
        ("S-TRUS-JNTS", {}, "ignore"),
        ("S-TRUS-SUPT", {}, None),
        ("Gurte", {}, None),
        ("Gurte", {"GURTE": "top chord"}, "top-chord"),
        ("S-TRUS-WEBS-E", {"s-trus-webs-e": "ignore"}, "ignore"),
    ],
)
def test_the_users_word_stands_above_the_name_of_a_layer(
    name: str, told: dict[str, str], said: str | None
) -> None:
    assert said_of(name, told) == said


def test_the_command_line_knows_the_same_words() -> None:
    assert tuple(SAID) == LAYER_WORDS
