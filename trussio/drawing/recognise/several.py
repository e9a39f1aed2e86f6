"""Several trusses on one sheet: all of them, or the one that was asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.answers import chosen, question
from trussio.errors import UsageError
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Text
    from trussio.model.change import Question

MOST_DESCRIBED: Final = 6
"""More trusses than this are described in the log, one by one, and only counted in the question."""


def picked(
    trusses: Sequence[Recognised], more: int, texts: Sequence[Text], part: int | None, answers: Answers
) -> tuple[list[Recognised], list[Change], list[Question]]:
    """The trusses to read; `part` counts from 1; `more` is how many there may be beyond those looked at.

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
        return [trusses[part - 1]], [], []
    if not more and (len(trusses) == 1 or _copies(trusses)):
        return list(trusses), [], []
    listed = [f"{number}: {_described(truss, texts)}" for number, truss in enumerate(trusses, 1)]
    told = [
        Change(kind="truss-of-a-sheet", says=f"Truss {said}.", where=truss.heel)
        for truss, said in zip(trusses, listed, strict=True)
        if len(trusses) > MOST_DESCRIBED
    ]
    asked = _which(listed, more)
    numbers = [str(number) for number in range(1, len(trusses) + 1)]
    answer = chosen(asked, answers, (asked.taken, "all", *numbers))
    return [trusses[int(answer) - 1]] if answer in numbers else list(trusses), told, [asked]


def _which(listed: Sequence[str], more: int) -> Question:
    """Which truss is meant; few are described in the question, many only counted."""
    count = len(listed)
    few = count <= MOST_DESCRIBED
    taken = f"the first {count}" if more else "all"
    held = f"The sheet holds {count} trusses"
    if more:
        held = f"The sheet holds {count} trusses and {more} more parts that may be some"
    words = f" ({'; '.join(listed)})" if few else ", each told in the log"
    return question(
        "several-trusses",
        f"{held}{words}. Which one is meant?",
        taken=taken,
        options=(taken, *(str(number) for number in range(1, count + 1))) if few else (taken, f"1 to {count}"),
        settle="Or give its number with --part.",
    )


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
