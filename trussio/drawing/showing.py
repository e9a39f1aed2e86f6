"""Decides about what does not show: layers off or frozen, invisible entities.

A little of it is set aside and reported. Where more than a tenth of all line length does not show, half the truss
may lie there: then it is taken in and asked about.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.records import HIDDEN
from trussio.model.change import Change

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.records import Strokes
    from trussio.model.change import Question

MUCH: Final = 0.1
"""Share of the line length that may be hidden without a question."""

Wish = Literal["include", "leave out"]


@dataclass(frozen=True, kw_only=True)
class Showing:
    """Whether hidden strokes are taken in, with what is to be said of it."""

    include: bool
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()


def decide_hidden(strokes: Strokes, wish: Wish | None) -> Showing:
    """Take hidden strokes in or leave them out, by the user's wish or by how many they are.

    The question about many of them stands beside the wish that answers it, so that both can be recorded.
    """
    hidden: NDArray[np.bool_] = strokes.hidden > 0
    if not hidden.any():
        return Showing(include=wish == "include")
    lengths = strokes.lengths
    total, part = float(lengths.sum()), float(lengths[hidden].sum())
    share = part / total if total else 1.0
    listed = _layers(strokes, hidden)
    told = f"{int(hidden.sum())} lines of {part:g} drawing units in all ({share:.0%}) do not show: {listed}."
    include = share > MUCH if wish is None else wish == "include"
    done = "taken in" if include else "set aside"
    asked = question(
        "hidden-lines",
        f"{told} Do they belong to the truss?",
        taken="include" if include else "leave out",
        options=("include", "leave out"),
    )
    return Showing(
        include=include,
        changes=(Change(kind="hidden-lines", says=f"{told} They were {done}."),),
        questions=(asked,) if share > MUCH else (),
    )


def _layers(strokes: Strokes, hidden: NDArray[np.bool_]) -> str:
    rows = np.flatnonzero(hidden)
    pairs = Counter(zip(strokes.layer[rows].tolist(), strokes.hidden[rows].tolist(), strict=True))
    return ", ".join(
        f"{count} on {strokes.layers[layer]!r} ({HIDDEN[why]})" for (layer, why), count in pairs.most_common(10)
    )
