"""Schedules: marks on the members (W1), and a table elsewhere that gives the size of each mark."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.recognise.labels import ranked_axes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.axes import Axes
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.labels import Label
    from trussio.drawing.records import Text
    from trussio.drawing.sizes import SizeLabel
    from trussio.model.truss import MemberId

MARK: Final = re.compile(r"^\(?([A-Z]{1,3}[-.]?\d{1,3}[A-Z]?)\)?$")
ROW: Final = re.compile(r"^\(?([A-Z]{1,3}[-.]?\d{1,3}[A-Z]?)\)?\s*[:=-]?\s+\S")
SAME_ROW_HEIGHTS: Final = 0.6
"""Cells of one row stand on one level within so many text heights."""
WIDEST_ROW_HEIGHTS: Final = 40.0


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """Sizes by member as a table gives them, and the handles of the texts that are rows of it."""

    sizes: dict[MemberId, SizeLabel]
    rows: tuple[str, ...]


def scheduled(
    axes: Axes, owner: Sequence[MemberId], labels: Sequence[Label], texts: Sequence[Text], reach: Reach
) -> Schedule:
    """What a table of marks says of the members that carry them."""
    marks = [text for text in texts if MARK.match(text.says.strip())]
    table: dict[str, tuple[SizeLabel, str]] = {}
    for label in labels:
        mark = _mark_of(label, marks)
        if mark is not None:
            table.setdefault(mark, (label.size, label.text.handle))
    sizes: dict[MemberId, SizeLabel] = {}
    everywhere = np.ones(len(axes), dtype=bool)
    for text in marks:
        found = table.get(_plain(text))
        ranked = ranked_axes(axes, text, reach, everywhere) if found is not None else []
        if ranked and found is not None:
            sizes.setdefault(owner[ranked[0][1]], found[0])
    rows = tuple(handle for _, handle in table.values()) if sizes else ()
    return Schedule(sizes=sizes, rows=rows)


def _plain(text: Text) -> str:
    return text.says.strip().strip("()")


def _mark_of(label: Label, marks: Sequence[Text]) -> str | None:
    """The mark whose size a label gives: written before it, or in the cell to its left."""
    written = ROW.match(label.text.says.strip())
    if written is not None:
        return written[1]
    here = label.text
    left = [
        text
        for text in marks
        if abs(text.centre[1] - here.centre[1]) <= SAME_ROW_HEIGHTS * here.height
        and 0 < here.centre[0] - text.centre[0] <= WIDEST_ROW_HEIGHTS * here.height
        and abs(text.angle - here.angle) < 0.02
    ]
    return _plain(max(left, key=lambda text: text.centre[0])) if left else None
