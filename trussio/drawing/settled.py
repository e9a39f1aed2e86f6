"""What is settled and what stays open: answers become confirmed assumptions, open questions unconfirmed ones."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.change import Assumption

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.answers import Answers
    from trussio.model.change import Change, Question
    from trussio.model.truss import Truss


def open_questions(questions: Sequence[Question], answers: Answers) -> tuple[Question, ...]:
    """Questions that nobody has answered, each once."""
    return tuple(dict.fromkeys(asked for asked in questions if answers.to(asked) is None))


def with_origin(truss: Truss, changes: Sequence[Change], questions: Sequence[Question], answers: Answers) -> Truss:
    """A truss that tells every change in its source, and every question among its assumptions."""
    assumptions = [*truss.assumptions.values(), *(_assumed(asked, answers) for asked in dict.fromkeys(questions))]
    return replace(
        truss,
        assumptions={f"a{number}": assumption for number, assumption in enumerate(assumptions, start=1)},
        source=None if truss.source is None else replace(truss.source, changes=tuple(changes)),
    )


def _assumed(asked: Question, answers: Answers) -> Assumption:
    answer = answers.to(asked)
    if answer is None:
        return Assumption(
            what=f"{asked.asks} Taken: {asked.taken}.", rests_on="the likeliest reading of the drawing"
        )
    return Assumption(
        what=f"{asked.asks} Answered: {answer.answer}.",
        rests_on=answers.name or "answers",
        confirmed=answer.author,
    )
