"""Mutated drawings: whatever is done to the bytes, the answer is linework that adds up, or a refusal in words."""

from __future__ import annotations

from math import tan
from typing import TYPE_CHECKING, Final

import numpy as np
import pytest

from tests.drawing.drafting import bare, drawing, line, saved, saved_binary
from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing
from trussio.drawing.scale import find_scale
from trussio.errors import TrussioError

if TYPE_CHECKING:
    from ezdxf.document import Drawing

MUTANTS: Final = 60
"""For each fixture; a fuzzing run by hand sets more."""


def everything(version: str) -> Drawing:
    """A small drawing with an entity of most kinds."""
    made = drawing(version)
    made.layers.add("WEBS").off()
    space = made.modelspace()
    space.add_line((0, 0), (720, 0), dxfattribs={"layer": "CHORDS"})
    space.add_line((0, 0), (360, 96), dxfattribs={"layer": "WEBS"})
    space.add_arc((360, -627), 723, 60, 120)
    space.add_circle((10, 10), 0.5)
    space.add_point((3, 3))
    space.add_text("2-3x10 %%c \u00bd", height=5).set_placement((100, 20))
    space.add_linear_dim((0, -40), (0, 0), (720, 0), text="60'-0\"").render()
    block = made.blocks.new("POST")
    block.add_line((0, 0), (0, 48))
    grid = {"row_count": 2, "column_count": 3, "row_spacing": 9, "column_spacing": 90, "xscale": -1.0}
    space.add_blockref("POST", (50, 0), dxfattribs=grid).add_attrib("SIZE", "2x6", (1, 1))
    if version != "R12":
        space.add_lwpolyline([(0, 0, tan(0.2)), (50, 0, 0), (90, 40, 0)], format="xyb", close=True)
        space.add_spline([(0, 0), (50, 20), (100, 30), (150, 20)])
        space.add_ellipse((0, 0), (30, 0), 0.4, 0, 2)
        space.add_mtext("2\\S1/2;x8\\PTYP", dxfattribs={"char_height": 4})
        space.add_mline([(0, 0), (90, 0), (90, 90)])
        space.add_leader([(0, 0), (5, 5), (9, 9)])
        space.add_hatch().paths.add_polyline_path([(0, 0), (1, 0), (1, 1)])
    return made


FIXTURES: Final = {
    "bare tags": bare([*line((0, 0), (720, 0), handle="1A"), *line((0, 0, 0), (360.5, 96, 0), handle="1B")]),
    "old text": saved(everything("R12")),
    "new text": saved(everything("R2018")),
    "old binary": saved_binary(everything("R12")),
    "new binary": saved_binary(everything("R2018")),
}


def mutated(data: bytes, chance: np.random.Generator) -> bytes:
    """The bytes with one to four things done to them; in text form three of four deeds leave the tags in step."""
    held = data
    for _ in range(int(chance.integers(1, 5))):
        in_step = b"\x00" not in held[:200] and chance.random() < 0.75
        held = _other_tags(held, chance) if in_step else _other_bytes(held, chance)
    return held


def _other_bytes(data: bytes, chance: np.random.Generator) -> bytes:
    """Bytes changed, cut, doubled, put in or copied from elsewhere."""
    held = bytearray(data)
    start = max(held.rfind(b"ENTITIES"), 0) if chance.random() < 0.7 else 0
    at, length = int(chance.integers(start, max(len(held), start + 1))), int(chance.integers(1, 60))
    deed = int(chance.integers(0, 6))
    if deed == 0:
        held[at : at + 1] = chance.bytes(1)
    elif deed == 1:
        del held[at : at + length]
    elif deed == 2:
        held[at:at] = held[at : at + length]
    elif deed == 3:
        held[at:at] = chance.bytes(length)
    elif deed == 4:
        del held[at:]
    else:
        held[at : at + length] = held[start : start + length]
    return bytes(held)


WORDS: Final = (
    *(b"nan", b"-inf", b"1e308", b"-1e999", b"0", b"-0.0", b"1e-300", b"1,5", b"32767", b"-1", b"1000000000000"),
    *(b"INSERT", b"POST", b"LINE", b"SPLINE", b"ENDSEC", b"*Model_Space", b"", b"\\S1/2;", b"%%", b"<>", b"\xff"),
)
CODES: Final = (
    b"0",
    b"2",
    b"8",
    b"10",
    b"11",
    b"20",
    b"21",
    b"40",
    b"41",
    b"42",
    b"70",
    b"71",
    b"72",
    b"210",
    b"230",
)


def _other_tags(data: bytes, chance: np.random.Generator) -> bytes:
    """A tag with another value or code, left out, doubled, or moved elsewhere."""
    lines = data.split(b"\n")
    count = max(len(lines) // 2, 1)
    first = int(count * 0.5) if chance.random() < 0.7 else 0
    tag = 2 * int(chance.integers(first, count))
    other = 2 * int(chance.integers(0, count))
    deed = int(chance.integers(0, 6))
    if deed <= 1:
        lines[tag + 1 : tag + 2] = [WORDS[int(chance.integers(0, len(WORDS)))]]
    elif deed == 2:
        lines[tag : tag + 1] = [CODES[int(chance.integers(0, len(CODES)))]]
    elif deed == 3:
        del lines[tag : tag + 2]
    elif deed == 4:
        lines[other:other] = lines[tag : tag + 2]
    else:
        lines[tag + 1 : tag + 2] = lines[other + 1 : other + 2]
    return b"\n".join(lines)


def answer(data: bytes) -> str:
    """Linework that adds up, or the code of a refusal in words."""
    try:
        read = read_linework(load_drawing(data, "mutant.dxf"))
    except TrussioError as refusal:
        return refusal.code if refusal.what and refusal.do else "a refusal without words"
    assert read.seen == read.used + sum(aside.count for aside in read.set_aside)
    assert np.isfinite(read.strokes.first).all()
    assert np.isfinite(read.strokes.last).all()
    find_scale(read)
    return "read"


@pytest.mark.parametrize("name", sorted(FIXTURES))
def test_a_fixture_is_read_as_it_stands(name: str) -> None:
    assert answer(FIXTURES[name]) == "read"


@pytest.mark.parametrize("name", sorted(FIXTURES))
def test_a_mutant_is_read_or_refused_in_words(name: str) -> None:
    chance = np.random.default_rng(sorted(FIXTURES).index(name))
    answers = [answer(mutated(FIXTURES[name], chance)) for _ in range(MUTANTS)]
    assert len(set(answers)) > 1
    assert "a refusal without words" not in answers
