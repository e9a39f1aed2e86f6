"""Every code explained in words of the trade."""

from __future__ import annotations

import pytest

from trussio.audit.explain import EXPLAINED, explain
from trussio.errors import UsageError


@pytest.mark.parametrize("code", list(EXPLAINED))
def test_an_explanation_says_what_why_and_how(code: str) -> None:
    assert set(EXPLAINED[code]) == {"means", "matters", "cure"}
    assert all(text.strip() == text and text.endswith(".") for text in EXPLAINED[code].values())
    assert not any(
        word in " ".join(EXPLAINED[code].values()).split() for word in ("safe", "approved", "certified")
    )


def test_the_text_of_one() -> None:
    assert explain("duplicate") == (
        "duplicate\n\n"
        "What it means\n"
        "  Two members run between the same two joints on the same line.\n\n"
        "Why it matters\n"
        "  Each takes a share of the force, so that neither shows what the one real stick carries.\n\n"
        "How to cure it\n"
        "  Delete one if a line was drawn twice; make one section of two plies if there are two sticks.\n"
    )


def test_an_unknown_code_is_answered_with_those_that_are_near() -> None:
    with pytest.raises(UsageError, match=r"unknown-code: No finding has the code mech\.") as refused:
        explain("mech")
    assert refused.value.do == "Codes that are near: mechanism."


def test_a_code_like_no_other_is_answered_with_all() -> None:
    with pytest.raises(UsageError) as refused:
        explain("")
    assert all(code in refused.value.do for code in EXPLAINED)
