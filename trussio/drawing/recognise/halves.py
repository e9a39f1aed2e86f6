"""Half trusses: drawn up to a line of symmetry, with a text that says so."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.heal.axes import together
from trussio.drawing.heal.ends import tied_ends
from trussio.drawing.heal.net import contacts_within, net_parts

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Axes, Ints
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Text
    from trussio.model.change import Question

SYMMETRY: Final = re.compile(r"\bSYMM?(?:ETR\w*)?\b|\bHALF\s+TRUSS\b|\u2104", re.IGNORECASE)
OPTIONS: Final = ("mirror", "as drawn")


def whole(
    axes: Axes, texts: Iterable[Text], upright: Sequence[float], reach: Reach, answers: Answers
) -> tuple[Axes, float | None, list[Question]]:
    """The axes with their mirror image where a text states symmetry and all lie on one side of the line.

    `upright` are the places of upright centre lines. Also returns where the mirror stood, None for no mirror.
    """
    says = next((text for text in texts if SYMMETRY.search(text.says)), None)
    if says is None or not len(axes):
        return axes, None, []
    part = _largest(axes, reach)
    line = _line(axes.take(part), upright, reach)
    if line is None:
        return axes, None, []
    asked = question(
        "half-truss",
        f"The text '{says.says}' states symmetry and one half is drawn. Is the other half its mirror image?",
        taken="mirror",
        options=OPTIONS,
        where=says.centre,
        handles=(says.handle,),
    )
    if chosen(asked, answers, OPTIONS) == "as drawn":
        return axes, None, [asked]
    return together((axes, _mirrored(axes.take(part), line))), line, [asked]


def _largest(axes: Axes, reach: Reach) -> Ints:
    """The axes that lie within the box of the part that has most: the half, without lines that pass it by."""
    net, _ = tied_ends(axes, reach)
    label = net_parts(net, contacts_within(net, reach.ask))
    part = label == np.bincount(label).argmax()
    spots = np.concatenate((axes.first[part], axes.last[part]))
    low, high = spots.min(axis=0) - reach.ask, spots.max(axis=0) + reach.ask
    inside = ((axes.first >= low) & (axes.first <= high) & (axes.last >= low) & (axes.last <= high)).all(axis=1)
    return np.flatnonzero(inside)


def _line(axes: Axes, upright: Sequence[float], reach: Reach) -> float | None:
    """Where the line of symmetry stands, None where linework lies on both sides of every candidate."""
    xs = np.concatenate((axes.first[:, 0], axes.last[:, 0]))
    ys = np.concatenate((axes.first[:, 1], axes.last[:, 1]))
    low, high = float(xs.min()), float(xs.max())
    # The symmetry line is where the two chords end one above the other.
    heights = [float(np.ptp(ys[np.abs(xs - x) <= reach.report])) for x in (low, high)]
    side = low if heights[0] > heights[1] else high
    drawn = [x for x in upright if abs(x - side) <= reach.ask]
    if drawn:
        return min(drawn, key=lambda x: abs(x - side))
    return None if max(heights) <= 2 * reach.ask or any(low < x < high for x in upright) else side


def _mirrored(axes: Axes, x: float) -> Axes:
    flip = np.array((-1.0, 1.0))
    shift = np.array((2 * x, 0.0))
    return replace(
        axes,
        first=axes.first * flip + shift,
        last=axes.last * flip + shift,
        centre=axes.centre * flip + shift,
        sweep=-axes.sweep,
    )
