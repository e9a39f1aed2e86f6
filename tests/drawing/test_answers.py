"""The answers file: written ready to fill in, read back, and refused with every fault named."""

from __future__ import annotations

import json

import pytest

from trussio.drawing.answers import Answers, chosen, question, read_answers, write_answers
from trussio.errors import UnreadableError

ASKED = question(
    "gap-wide",
    "An end stops 3 in short. Do they meet?",
    taken="join",
    options=("join", "leave"),
    where=(120.0, 3.0),
    handles=("2A",),
)


def filled(answer: str, author: str = "A B") -> Answers:
    document = json.loads(write_answers("hall.dxf", [ASKED]))
    document["answers"][0] |= {"answer": answer, "author": author}
    return read_answers(json.dumps(document), "answers.json")


def test_a_file_as_written_holds_no_answer_yet() -> None:
    text = write_answers("hall.dxf", [ASKED])
    assert read_answers(text).entries == ()
    assert '"asks": "An end stops 3 in short. Do they meet?"' in text
    assert '"settle": "Answer join or leave in the answers file."' in text


def test_an_answer_settles_its_question_and_keeps_its_author() -> None:
    answers = filled("leave")
    answer = answers.to(ASKED)
    assert answer is not None
    assert (answer.answer, answer.author) == ("leave", "A B")
    assert chosen(ASKED, answers, ("join", "leave")) == "leave"


def test_an_answer_about_other_entities_settles_nothing() -> None:
    other = question("gap-wide", "?", taken="join", handles=("2B",))
    assert filled("leave").to(other) is None


def test_an_answer_that_means_nothing_is_refused_with_its_place() -> None:
    with pytest.raises(UnreadableError) as refusal:
        chosen(ASKED, filled("perhaps"), ("join", "leave"))
    assert str(refusal.value) == (
        'unknown-answer at answers.json#/answers/0/answer: "perhaps" is no answer to gap-wide. '
        "Answer join or leave in the answers file."
    )


def test_an_answer_without_an_author_is_refused() -> None:
    with pytest.raises(UnreadableError, match="Nobody signs this answer"):
        filled("leave", author=" ")


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("{", "answers.json"),
        ("[]", "/format"),
        ('{"format": "trussio/basis", "version": 1}', "/format"),
        ('{"format": "trussio/answers", "version": 1}', "/answers"),
        ('{"format": "trussio/answers", "version": 1, "answers": [3]}', "/answers/0"),
        ('{"format": "trussio/answers", "version": 1, "answers": [{"answer": 3}]}', "/answers/0/answer"),
        ("[" * 100000, "answers.json"),
    ],
)
def test_what_is_no_answers_file_is_refused(text: str, place: str) -> None:
    with pytest.raises(UnreadableError) as refusal:
        read_answers(text, "answers.json")
    assert refusal.value.code == "not-answers"
    assert refusal.value.faults[0].where == place


def test_every_fault_is_told_at_once() -> None:
    entries = [{"answer": 3}, {"code": "x", "answer": "y", "author": ""}]
    text = json.dumps({"format": "trussio/answers", "version": 1, "answers": entries})
    with pytest.raises(UnreadableError) as refusal:
        read_answers(text, "a")
    assert [fault.where for fault in refusal.value.faults] == ["/answers/0/answer", "/answers/1/author"]
