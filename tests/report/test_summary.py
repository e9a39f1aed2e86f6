"""The summary fits one screen of a terminal, and what is urgent is the last to be left out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drawing import roofs
from tests.report import assessments, standings
from trussio.errors import UsageError
from trussio.model.assessment import Assessment
from trussio.report.summary import Block, fitted, summary

ALL = {
    "complete": assessments.complete(),
    "bare": assessments.bare(roofs.nameless()),
    "troubled": assessments.troubled(),
    "checked": standings.checked(),
    "long bowstring": assessments.complete(assessments.loaded(roofs.bowstring(22))),
}


@pytest.mark.parametrize(("width", "height"), [(80, 24), (100, 30), (60, 24), (40, 12)])
@pytest.mark.parametrize("name", ALL)
def test_it_fits_the_screen(name: str, width: int, height: int) -> None:
    lines = summary(ALL[name], width=width, height=height).splitlines()
    assert len(lines) < height
    assert max(map(len, lines)) <= width
    assert all(line == line.rstrip() for line in lines)


@pytest.mark.parametrize("name", ALL)
def test_every_entry_keeps_a_line_in_order(name: str) -> None:
    text = summary(ALL[name])
    nearest = "Largest" if ALL[name].checks is None else "Five worst"
    headings = ["Truss", "Danger", "Not evaluated", "To settle", "Loads", "Recheck", nearest, "Limits"]
    found = [line[:17].split("+")[0].strip() for line in text.splitlines()[1:] if line[:17].strip()]
    assert found == headings


def test_what_is_left_out_is_counted() -> None:
    text = summary(assessments.troubled())
    assert text.splitlines()[0].endswith("+n: n more lines on the page")
    assert "Danger +1" in text
    assert "+" not in summary(assessments.bare(roofs.nameless())).replace("+n", "+")


def test_urgent_lines_stay_when_others_go() -> None:
    text = " ".join(summary(assessments.troubled()).split())
    for words in (
        "Calculated over a stop",
        "T7 is a part of its own",
        "Stop: w3 has no material.",
        "do not balance",
        "Disagrees with our own analysis:",
    ):
        assert words in text


def test_blocks_lose_their_last_lines_the_longest_first() -> None:
    short = Block("a", (("1",),))
    long = Block("b", (("1",), ("2", "2"), ("3",)))
    urgent = Block("c", (("1",), ("2",), ("3",), ("4",)), urgent=4)
    assert fitted([short, long, urgent], 9) == [short, long, urgent]
    assert fitted([short, long, urgent], 8) == [short, Block("b", (("1",), ("2", "2")), left_out=1), urgent]
    assert fitted([short, long, urgent], 6) == [short, Block("b", (("1",),), left_out=2), urgent]
    assert fitted([short, long, urgent], 5)[2].left_out == 1


def test_a_line_that_is_alone_is_cut_with_an_ellipsis() -> None:
    assert fitted([Block("a", (("one two", "three", "four"),))], 2) == [Block("a", (("one two", "thre…"),))]
    assert fitted([Block("a", (("one",),))], 0) == [Block("a", (("one",),))]


def test_control_characters_of_a_title_do_not_reach_the_terminal() -> None:
    hostile = replace(roofs.king_post(), title="\x1b[31mred\x07\nnext")
    text = summary(assessments.bare(hostile))
    assert text.startswith("[31mred next\n")
    assert all(c.isprintable() or c == "\n" for c in text)


def test_results_of_another_document_are_refused() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    other: Assessment = replace(whole, results=replace(whole.results, model="sha256:ffff"))
    with pytest.raises(UsageError, match="other-model"):
        summary(other)
