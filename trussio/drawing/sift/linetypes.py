"""Lines that their line type or layer tells apart: centre lines, and work of another status.

Line types are those of common practice: long dashes with short ones between for centre lines and grids, dashes
alone for what is hidden. A hidden line can be a real member behind and is kept. Status stands in the name of a
layer, by the letter of the national CAD standard's form or by a word; only English words are known, and a layer
without one has no status.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.heal.net import merged
from trussio.drawing.layers import said_of
from trussio.drawing.sift.aside import Aside, angles

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.net import Net
    from trussio.drawing.records import Strokes
    from trussio.model.change import Question

Status = Literal["existing", "demolished", "new"]
CENTRE: Final = re.compile(r"CENT|DASHDOT|PHANTOM|CHAIN|AXES|ISO(?:0[458]|1[0-5])W")
STATUS: Final[tuple[tuple[Status, re.Pattern[str]], ...]] = (
    ("demolished", re.compile(r"(?:^|[-_ ])(?:DEMO(?:L\w*)?|REMOVE[D]?|D)$|(?:^|[-_ ])DEMO", re.IGNORECASE)),
    ("new", re.compile(r"(?:^|[-_ ])(?:NEW|PROP(?:OSED)?|REPAIR|N)(?:$|[-_ ])", re.IGNORECASE)),
    (
        "existing",
        re.compile(r"(?:^|[-_ ])(?:EXIST(?:ING)?|EXST|EXTG|EX|AS[-_ ]?BUILT|E)(?:$|[-_ ])", re.IGNORECASE),
    ),
)
OPTIONS: Final = ("existing", "new", "all")


def ignored(net: Net, strokes: Strokes, layers: Mapping[str, str]) -> list[Aside]:
    """Lines of layers that the user's map says to ignore, or whose names say that they hold no members."""
    told = {name.casefold() for name in layers}
    gone = np.array([said_of(name, layers) == "ignore" for name in strokes.layers] or [False])
    by_user = np.array([name.casefold() in told for name in strokes.layers] or [False])
    layer = strokes.layer[net.axes.row]
    groups = (
        Aside(reason="user's map", rows=tuple(np.flatnonzero((gone & by_user)[layer]).tolist())),
        Aside(reason="layer without members", rows=tuple(np.flatnonzero((gone & ~by_user)[layer]).tolist())),
    )
    return [group for group in groups if group.rows]


def vouched(net: Net, strokes: Strokes, layers: Mapping[str, str]) -> set[int]:
    """Lines of layers that the user's map says hold members: they are none of what is set aside by its look."""
    if not layers:
        return set()
    told = {name.casefold() for name in layers}
    held = np.array(
        [name.casefold() in told and said_of(name, layers) != "ignore" for name in strokes.layers] or [False]
    )
    return set(np.flatnonzero(held[strokes.layer[net.axes.row]]).tolist())


def centre_lines(net: Net, strokes: Strokes) -> list[Aside]:
    """Lines of a centre-line type, unless most of the drawing is drawn by them."""
    types = np.array([CENTRE.search(name) is not None for name in strokes.linetypes] or [False])
    chosen_rows = types[strokes.linetype[net.axes.row]]
    lengths = net.axes.lengths
    if not chosen_rows.any() or lengths[chosen_rows].sum() > 0.5 * lengths.sum():
        return []
    return [Aside(reason="centre line", rows=(row,)) for row in np.flatnonzero(chosen_rows).tolist()]


def status_of(layer: str) -> Status | None:
    """The status that the name of a layer states."""
    return next((status for status, pattern in STATUS if pattern.search(layer)), None)


def other_status(net: Net, strokes: Strokes, answers: Answers) -> tuple[list[Aside], list[Question]]:
    """New work beside existing work: read what stands there now, and ask."""
    states = [status_of(layer) for layer in strokes.layers]
    layer = strokes.layer[net.axes.row]
    mine = {state for number in np.unique(layer).tolist() if (state := states[number]) is not None}
    if len(mine) < 2:
        return [], []
    new = np.array([state == "new" for state in states])[layer]
    old = np.array([state in {"existing", "demolished"} for state in states])[layer]
    words = " and ".join(sorted(mine))
    rows = np.flatnonzero(new if new.any() else old)
    asked = question(
        "status",
        f"The layers hold {words} work. Which state is to be read?",
        taken="existing",
        options=OPTIONS,
        handles=merged(*(net.axes.handles[row] for row in rows[:20].tolist())),
    )
    answer = chosen(asked, answers, OPTIONS)
    gone = {"existing": new, "new": old, "all": np.zeros(new.size, dtype=bool)}[answer]
    left_out = np.flatnonzero(gone).tolist()
    return ([Aside(reason="other status", rows=tuple(left_out))] if left_out else []), [asked]


def symmetry_lines(net: Net, groups: list[Aside]) -> list[int]:
    """Rows of centre lines that stand upright on the sheet."""
    angle = angles(net.axes)
    return [
        group.rows[0]
        for group in groups
        if group.reason == "centre line" and abs(angle[group.rows[0]] - np.pi / 2) < 0.02
    ]
