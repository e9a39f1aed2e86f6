"""What a recognised truss leaves open: free ends, tails, crossings without a joint, joints of broken braces."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.answers import question
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.heal.joining import Sticks
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.frame import Stick
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Point
    from trussio.model.change import Question

MOST_CROSSINGS_SOUGHT = 2000
"""Segments of a truss beyond which crossings are not listed."""


def free_end_doubts(truss: Recognised, sticks: Sticks, reach: Reach) -> tuple[list[Change], list[Question]]:
    """Every free end: a tail of a member that runs on beyond a joint is asked about, any other is told."""
    changes: list[Change] = []
    questions: list[Question] = []
    free = set(truss.free)
    for name, part in truss.members.items():
        for node, beside in ((part.through[0], part.through[1]), (part.through[-1], part.through[-2])):
            if node not in free:
                continue
            where = truss.frame.places[node]
            handles = _handles(part.sticks, sticks)
            length = reach.told(hypot(*np.subtract(where, truss.frame.places[beside])))
            if len(part.through) > 2:
                asks = f"{name} runs on {length} beyond its last joint. Is it a tail that carries something?"
                questions.append(
                    question("tail", asks, taken="tail", options=("tail", "drop"), where=where, handles=handles)
                )
            else:
                says = f"{name} has a free end; nothing lies near enough to be joined to it."
                changes.append(Change(kind="free-end-kept", says=says, where=where, handles=handles))
    return changes, questions


def crossing_doubts(
    truss: Recognised, sticks: Sticks, bolted: Iterable[Point], reach: Reach
) -> tuple[list[Change], list[Question]]:
    """Webs that cross: kept apart where nothing joins them, asked about where one was drawn broken."""
    marked = list(bolted)
    questions = []
    passing: dict[int, list[str]] = {}
    ending: set[int] = set()
    for name, part in truss.members.items():
        ending.update((part.through[0], part.through[-1]))
        for node in part.through[1:-1]:
            passing.setdefault(node, []).append(name)
    on_chords = {*truss.outline.upper, *truss.outline.lower}
    for node, names in passing.items():
        at = truss.frame.places[node]
        if len(names) < 2 or node in ending or node in on_chords:
            continue
        if any(hypot(at[0] - x, at[1] - y) <= reach.report for x, y in marked):
            continue
        handles = tuple(
            dict.fromkeys(h for name in names for h in _handles(truss.members[name].sticks, sticks))  # type: ignore[index]
        )
        asks = f"{' and '.join(names)} cross, and one of them is broken there. Are they joined at the crossing?"
        questions.append(
            question(
                "crossing-broken", asks, taken="joint", options=("joint", "no joint"), where=at, handles=handles
            )
        )
    return _kept_apart(truss, sticks), questions


def _kept_apart(truss: Recognised, sticks: Sticks) -> list[Change]:
    edges = truss.frame.edges()
    if len(edges) > MOST_CROSSINGS_SOUGHT:
        return []
    first = np.array([truss.frame.places[edge.one] for edge in edges])
    along = np.array([truss.frame.places[edge.other] for edge in edges]) - first
    gap = first[None, :, :] - first[:, None, :]
    cross = along[:, None, 0] * along[None, :, 1] - along[:, None, 1] * along[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        mine = (gap[..., 0] * along[None, :, 1] - gap[..., 1] * along[None, :, 0]) / cross
        theirs = (gap[..., 0] * along[:, None, 1] - gap[..., 1] * along[:, None, 0]) / cross
    inside = (mine > 1e-6) & (mine < 1 - 1e-6) & (theirs > 1e-6) & (theirs < 1 - 1e-6)
    changes = []
    for one, other in np.argwhere(np.triu(inside, 1)).tolist():
        if truss.frame.sticks[edges[one].stick].turn or truss.frame.sticks[edges[other].stick].turn:
            continue
        at = first[one] + mine[one, other] * along[one]
        pair = (truss.frame.sticks[edges[one].stick], truss.frame.sticks[edges[other].stick])
        changes.append(
            Change(
                kind="crossing-kept-apart",
                says="Two members cross without a joint.",
                where=(float(at[0]), float(at[1])),
                handles=_handles(pair, sticks),
            )
        )
    return changes


def _handles(parts: Sequence[Stick], sticks: Sticks) -> tuple[str, ...]:
    return tuple(dict.fromkeys(handle for stick in parts for handle in sticks.handles[stick.number]))
