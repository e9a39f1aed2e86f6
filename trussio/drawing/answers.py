"""Answers of the surveyor (`trussio/answers`): a file written ready to fill in, and read back.

An answer belongs to a question by its code and the DXF handles that it is about; where there are none, by its
place. An entry with an empty answer is still open. Every answer has an author.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING, Final, Literal

from trussio.errors import Fault, UnreadableError
from trussio.model.change import Question

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

FORMAT: Final = "trussio/answers"
VERSION: Final = 1
HIDDEN_WISHES: Final[tuple[Literal["include", "leave out"], ...]] = ("include", "leave out")
LARGEST: Final = 4 * 2**20
SAME_PLACE: Final = 1e-6
"""Share of the coordinates by which the place of an answer may differ from that of its question."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What one person says to one question; `entry` is its number in the file."""

    code: str
    answer: str
    author: str
    handles: tuple[str, ...] = ()
    where: tuple[float, float] | None = None
    entry: int = 0


@dataclass(frozen=True, kw_only=True)
class Answers:
    """All answers of one file."""

    name: str = ""
    entries: tuple[Answer, ...] = ()

    @property
    def hidden(self) -> Literal["include", "leave out"] | None:
        """What is said of lines that do not show.

        Raises UnreadableError `unknown-answer`.
        """
        answer = self._first("hidden-lines")
        if answer is None:
            return None
        for word in HIDDEN_WISHES:
            if answer.answer == word:
                return word
        raise _unknown(self, answer, "Answer include or leave out.")

    @property
    def sheet(self) -> str | None:
        """Which sheet of paper space is to be read."""
        answer = self._first("paper-space-only")
        return None if answer is None else answer.answer

    @property
    def up(self) -> tuple[float, float, float] | None:
        """Which way is up in a tilted plane.

        Raises UnreadableError `unknown-answer`.
        """
        answer = self._first("which-way-up")
        if answer is None:
            return None
        parts = answer.answer.strip("[]() ").replace(",", " ").split()
        try:
            x, y, z = (float(part) for part in parts)
        except ValueError:
            raise _unknown(self, answer, "Answer with three numbers, such as 0 0 1.") from None
        return (x, y, z)

    @property
    def unit(self) -> str | None:
        """What one drawing unit is, by the answer to whichever question asked for it."""
        found = (self._first(code) for code in ("which-unit", "unit-contradicted", "unit-implausible"))
        return next((answer.answer for answer in found if answer is not None), None)

    def _first(self, code: str) -> Answer | None:
        return next((answer for answer in self.entries if answer.code == code), None)

    def to(self, question: Question) -> Answer | None:
        """The answer to a question, or None while it is open."""
        return next((answer for answer in self.entries if _meant(answer, question)), None)


NO_ANSWERS: Final = Answers()


def _meant(answer: Answer, question: Question) -> bool:
    if answer.code != question.code:
        return False
    if answer.handles or question.handles:
        return set(answer.handles) == set(question.handles)
    if answer.where is None or question.where is None:
        return True
    size = 1.0 + max(abs(side) for side in (*answer.where, *question.where))
    return hypot(answer.where[0] - question.where[0], answer.where[1] - question.where[1]) <= SAME_PLACE * size


def question(
    code: str,
    asks: str,
    *,
    taken: str,
    options: Sequence[str] = (),
    settle: str = "",
    where: tuple[float, float] | None = None,
    handles: tuple[str, ...] = (),
) -> Question:
    """A question whose answers are among `options`, the one taken first."""
    rest = [option for option in options if option != taken]
    listed = f"Answer {' or '.join([taken, *rest])} in the answers file." if options else ""
    return Question(
        code=code,
        asks=asks,
        taken=taken,
        settle=" ".join(part for part in (listed, settle) if part),
        where=where,
        handles=handles,
    )


def chosen(asked: Question, answers: Answers, options: Sequence[str] = ()) -> str:
    """What the answers say to a question, or what is taken while it is open.

    Raises UnreadableError `unknown-answer` for an answer that is not among `options`, where these are given.
    """
    answer = answers.to(asked)
    if answer is None:
        return asked.taken
    if options and answer.answer not in options:
        raise _unknown(answers, answer, asked.settle)
    return answer.answer


def write_answers(drawing: str, questions: Iterable[Question]) -> str:
    """The answers file of a drawing, ready to fill in: write `answer` and `author` beside each question."""
    entries = [
        {
            "code": asked.code,
            "asks": asked.asks,
            "taken": asked.taken,
            "settle": asked.settle,
            "where": None if asked.where is None else list(asked.where),
            "handles": list(asked.handles),
            "answer": "",
            "author": "",
        }
        for asked in questions
    ]
    document = {"format": FORMAT, "version": VERSION, "drawing": drawing, "answers": entries}
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def read_answers(text: str, name: str = "answers") -> Answers:
    """The answers that a file holds; entries without an answer are left out.

    Raises UnreadableError `not-answers` with every fault found.
    """
    if len(text) > LARGEST:
        raise _not_answers(
            name, [Fault(where=name, what="The file is too large.", do="Keep to the questions asked.")]
        )
    try:
        document: object = json.loads(text)
    except (ValueError, RecursionError) as error:
        fault = Fault(
            where=name, what=f"The file is no JSON: {error}.", do="Start from the file as it was written."
        )
        raise _not_answers(name, [fault]) from None
    if not isinstance(document, dict) or document.get("format") != FORMAT or document.get("version") != VERSION:
        fault = Fault(where="/format", what=f'The file is not "{FORMAT}" version 1.', do="Give an answers file.")
        raise _not_answers(name, [fault])
    entries = document.get("answers")
    if not isinstance(entries, list):
        raise _not_answers(name, [Fault(where="/answers", what="There is no list of answers.", do="Add one.")])
    faults: list[Fault] = []
    read = [_entry(entry, number, faults) for number, entry in enumerate(entries)]
    if faults:
        raise _not_answers(name, faults)
    return Answers(name=name, entries=tuple(answer for answer in read if answer is not None))


def _entry(entry: object, number: int, faults: list[Fault]) -> Answer | None:
    where = f"/answers/{number}"
    if not isinstance(entry, dict):
        faults.append(Fault(where=where, what="An answer is an object.", do="Keep the entry as it was written."))
        return None
    code, answer, author = (entry.get(key, "") for key in ("code", "answer", "author"))
    for key, value in (("code", code), ("answer", answer), ("author", author)):
        if not isinstance(value, str):
            faults.append(Fault(where=f"{where}/{key}", what=f"{key} is no text.", do="Write it in quotes."))
            return None
    if not answer.strip():
        return None
    if not author.strip():
        faults.append(Fault(where=f"{where}/author", what="Nobody signs this answer.", do="Write who answers."))
    return Answer(
        code=code,
        answer=answer.strip(),
        author=author.strip(),
        handles=_handles(entry.get("handles"), where, faults),
        where=_place(entry.get("where"), where, faults),
        entry=number,
    )


def _handles(value: object, where: str, faults: list[Fault]) -> tuple[str, ...]:
    if value is None:
        return ()
    if isinstance(value, list) and all(isinstance(handle, str) for handle in value):
        return tuple(value)
    faults.append(Fault(where=f"{where}/handles", what="Handles are a list of texts.", do="Keep them as written."))
    return ()


def _place(value: object, where: str, faults: list[Fault]) -> tuple[float, float] | None:
    if value is None:
        return None
    if isinstance(value, list) and len(value) == 2 and all(type(side) in {int, float} for side in value):
        return float(value[0]), float(value[1])
    faults.append(Fault(where=f"{where}/where", what="A place is two numbers.", do="Keep it as written, or null."))
    return None


def _unknown(answers: Answers, answer: Answer, do: str) -> UnreadableError:
    return UnreadableError(
        "unknown-answer",
        where=f"{answers.name}#/answers/{answer.entry}/answer",
        what=f'"{answer.answer}" is no answer to {answer.code}.',
        do=do,
    )


def _not_answers(name: str, faults: list[Fault]) -> UnreadableError:
    first = faults[0]
    return UnreadableError(
        "not-answers", where=f"{name}#{first.where}", what=first.what, do=first.do, faults=tuple(faults)
    )
