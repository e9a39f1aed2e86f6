"""What a mistyped word most likely meant, and how faults are put into words."""

from __future__ import annotations

import pytest

from trussio.document.ledger import LONGEST_TEXT, MOST_SUGGESTIONS, Ledger, nearest, others, printable


@pytest.mark.parametrize(
    ("word", "candidates", "meant"),
    [
        ("sectoin", ["role", "section", "material"], "section"),
        ("Fy", ["fx", "fy", "moment"], "fy"),
        ("T11", ["B1", "T1", "T21"], "T1"),
        ("T1", ["M9", "B10"], None),
        ("bottom", ["top", "web"], None),
        ("materails", ["material", "materials"], "materials"),
        ("", ["B0"], None),
        ("x" * 25, ["x" * 25], None),
    ],
)
def test_a_word_is_matched_to_what_is_close(word: str, candidates: list[str], meant: str | None) -> None:
    assert nearest(word, candidates) == meant


def test_suggestions_stop_in_a_flood_of_faults() -> None:
    ledger = Ledger()
    for _ in range(MOST_SUGGESTIONS):
        assert ledger.meant("T2", ["T1"]) == 'Did you mean "T1"?'
        ledger.add("", "wrong.", "Mend it.")
    assert ledger.meant("T2", ["T1"]) == ""


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("caf\u00e9 \u03a9", "caf\u00e9 \u03a9"),
        ("a\x1b[31m\n", "a\\x1b[31m\\n"),
        ("\udc9f", "\\udc9f"),
        ("x" * LONGEST_TEXT, "x" * LONGEST_TEXT),
        ("x" * (LONGEST_TEXT + 1), "x" * (LONGEST_TEXT - 3) + "..."),
    ],
)
def test_any_text_can_be_shown(text: str, shown: str) -> None:
    assert printable(text) == shown


@pytest.mark.parametrize(("count", "says"), [(0, ""), (1, " (and 1 more fault)"), (12, " (and 12 more faults)")])
def test_the_faults_that_follow_are_counted(count: int, says: str) -> None:
    assert others(count) == says


def test_a_ledger_without_faults_has_no_error() -> None:
    assert Ledger().error("{}", "truss.json", odd=False) is None
