"""Columns and walls under the heels: lines that hang down there are no members, but show where a truss stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.recognise.frame import Frame, core_of
from trussio.drawing.recognise.roles import recognised

if TYPE_CHECKING:
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.frame import Stick
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Point

BESIDE_INCHES: Final = 18.0
"""A line hangs under a heel when it meets the truss no further from it than this, sideways."""
LEAN: Final = 0.18
"""Sideways over downwards of a column, at most."""


def without_columns(truss: Recognised, reach: Reach) -> tuple[Recognised, list[Stick]]:
    """The truss without the lines that hang down at its heels, and those lines."""
    frame = truss.frame
    core, loose = core_of(frame.edges())
    inner = {node for edge in core for node in (edge.one, edge.other)}
    held = {edge.stick for edge in core}
    heels = [frame.places[node] for node in (truss.outline.left, truss.outline.right)]
    columns = [
        place
        for place, stick in enumerate(frame.sticks)
        if place not in held
        and any(edge.stick == place for edge in loose)
        and _hangs(frame, stick, inner, heels, BESIDE_INCHES * reach.inch)
    ]
    if not columns:
        return truss, []
    kept = tuple(stick for place, stick in enumerate(frame.sticks) if place not in columns)
    used = {node for stick in kept for node in stick.through}
    after = recognised(Frame(sticks=kept, places={node: at for node, at in frame.places.items() if node in used}))
    return (truss, []) if after is None else (after, [frame.sticks[place] for place in columns])


def _hangs(frame: Frame, stick: Stick, inner: set[int], heels: list[Point], beside: float) -> bool:
    ends = (stick.through[0], stick.through[-1])
    tops = [node for node in ends if node in inner]
    if len(tops) != 1 or stick.turn:
        return False
    foot = ends[0] if ends[1] == tops[0] else ends[1]
    (x, y), (to_x, to_y) = frame.places[tops[0]], frame.places[foot]
    down = y - to_y
    return down > 0 and abs(to_x - x) <= LEAN * down and any(abs(x - heel[0]) <= beside for heel in heels)
