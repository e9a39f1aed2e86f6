"""Bends that a stick of straight pieces takes between its joints: they carry nothing and are no joints.

The model then runs straight from joint to joint. How far that lies off the drawing is told, and asked about beyond
the report distance, since a force along the stick bends it by its size times that much.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.heal.ends import place
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Flags, Floats, Handles, Ints
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Question

BENDS: Final = "bends-passed-over"


def offsets(spots: Floats, kept: Flags) -> Floats:
    """How far each of the spots along sticks lies off the line between the kept ones beside it; 0 where kept."""
    every = np.arange(len(spots))
    before = np.maximum.accumulate(np.where(kept, every, 0))
    after = np.minimum.accumulate(np.where(kept, every, len(spots) - 1)[::-1])[::-1]
    way, own = spots[after] - spots[before], spots - spots[before]
    length = np.hypot(way[:, 0], way[:, 1])
    across = np.abs(way[:, 0] * own[:, 1] - way[:, 1] * own[:, 0])
    return np.where(kept | (length == 0), 0.0, across / np.where(length == 0, 1.0, length))


def bends_told(spots: Floats, owner: Ints, off: Floats, handles: Sequence[Handles], reach: Reach) -> list[Change]:
    """One change for each stick that runs further off than a tape can tell."""
    found = []
    for stick in np.unique(owner[off > reach.silent]).tolist():
        own = np.flatnonzero((owner == stick) & (off > 0))
        worst = own[np.argmax(off[own])]
        found.append(
            Change(
                kind=BENDS,
                says=(
                    f"{own.size} bends at which nothing meets are no joints: the stick runs straight between its "
                    f"joints, up to {reach.told(float(off[worst]))} off the drawn line."
                ),
                where=place(spots[worst]),
                distance=float(off[worst]),
                handles=handles[stick],
            )
        )
    return found


def bends_asked(changes: Iterable[Change], reach: Reach, answers: Answers) -> list[Question]:
    """A question for each entity whose sticks run off its drawn line by more than the report distance."""
    worst: dict[Handles, Change] = {}
    count: Counter[Handles] = Counter()
    for change in changes:
        if change.kind != BENDS or (change.distance or 0.0) <= reach.report:
            continue
        count[change.handles] += 1
        known = worst.setdefault(change.handles, change)
        if (change.distance or 0.0) > (known.distance or 0.0):
            worst[change.handles] = change
    found = []
    for handles, change in worst.items():
        far = f"up to {reach.told(change.distance or 0.0)} off the lines between its joints"
        sticks = "a stick" if count[handles] == 1 else f"a chord of {count[handles]} sticks"
        asked = question(
            BENDS,
            f"As drawn {sticks} follows no circle and runs {far}. Is it straight there?",
            taken="straight",
            options=("straight",),
            settle="If it is curved, draw it as an arc, or give each member a curve in the document.",
            where=change.where,
            handles=handles,
        )
        chosen(asked, answers, ("straight",))
        found.append(asked)
    return found
