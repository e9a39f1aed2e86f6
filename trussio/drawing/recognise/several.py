"""Several trusses on one sheet: all of them, or the one that was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.answers import chosen, question
from trussio.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Text
    from trussio.model.change import Question

MOST: Final = 24
"""More trusses than this are not read from one sheet unasked."""


def picked(
    trusses: Sequence[Recognised], more: int, texts: Sequence[Text], part: int | None, answers: Answers
) -> tuple[list[Recognised], list[Question]]:
    """The trusses to read; `part` counts from 1; `more` is how many there are beyond those looked at.

    Raises UsageError `no-such-part`.
    """
    if part is not None:
        if not 1 <= part <= len(trusses):
            raise UsageError(
                "no-such-part",
                where=str(part),
                what=f"The sheet holds {len(trusses)} {'truss' if len(trusses) == 1 else 'trusses'}.",
                do=f"Give a number from 1 to {len(trusses)}.",
            )
        return [trusses[part - 1]], []
    if len(trusses) == 1 and not more:
        return list(trusses), []
    if not more and _copies(trusses):
        return list(trusses), []
    numbers = [str(number) for number in range(1, len(trusses) + 1)]
    listed = "; ".join(f"{number}: {_described(truss, texts)}" for number, truss in enumerate(trusses[:MOST], 1))
    taken = "all" if len(trusses) + more <= MOST else f"the first {MOST}"
    asked = question(
        "several-trusses",
        f"The sheet holds {len(trusses) + more} trusses ({listed}). Which one is meant?",
        taken=taken,
        options=(taken, *numbers[:MOST]),
        settle="Or give its number with --part.",
    )
    answer = chosen(asked, answers, (taken, "all", *numbers))
    if answer in numbers:
        return [trusses[int(answer) - 1]], [asked]
    return list(trusses[:MOST] if answer == taken else trusses), [asked]


def _copies(trusses: Sequence[Recognised]) -> bool:
    """Whether all are copies of one block, drawn by the very same entities."""
    kinds = {
        frozenset(handle for handles in truss.frame.sticks.handles for handle in handles) for truss in trusses
    }
    return len(kinds) == 1


def _described(truss: Recognised, texts: Sequence[Text]) -> str:
    """Extents of a truss, and the largest text near its foot."""
    left, bottom, right, top = truss.frame.box
    reach = 0.5 * (right - left)
    near = [
        text
        for text in texts
        if left <= text.centre[0] <= right and bottom - reach <= text.centre[1] <= top + reach / 2
    ]
    title = max(near, key=lambda text: text.height).says.split("\n")[0] if near else ""
    size = f"{right - left:.0f} x {top - bottom:.0f}"
    return f"{title}, {size}" if title else size
