"""What a recognised truss leaves open: free ends, tails, crossings without a joint, joints of broken braces."""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.recognise.frame import frame_of
from trussio.drawing.recognise.roles import recognised
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Point
    from trussio.model.change import Question
    from trussio.model.truss import MemberId

SAME_PLACE: Final = 1e-6
MOST_CROSSINGS_SOUGHT: Final = 1500
"""Segments of a truss beyond which crossings are not listed."""


def free_end_doubts(truss: Recognised, reach: Reach) -> tuple[list[Change], list[Question]]:
    """Every free end: a tail of a member that runs on beyond a joint is asked about, any other is told."""
    changes: list[Change] = []
    questions: list[Question] = []
    free = set(truss.frame.free.tolist())
    for name, part in truss.members.items() if free else ():
        for node, beside in ((part.through[0], part.through[1]), (part.through[-1], part.through[-2])):
            if node not in free:
                continue
            where, handles = truss.at(node), truss.handles(part)
            length = reach.told(hypot(*np.subtract(where, truss.at(beside))))
            if len(part.through) > 2:
                asks = f"{name} runs on {length} beyond its last joint. Is it a tail that carries something?"
                questions.append(
                    question("tail", asks, taken="tail", options=("tail", "drop"), where=where, handles=handles)
                )
            else:
                says = f"{name} has a free end; nothing lies near enough to be joined to it."
                changes.append(Change(kind="free-end-kept", says=says, where=where, handles=handles))
                if _ends_alone(truss, name, beside):
                    says = f"{name}, whose other end is free, is all that makes a joint here."
                    changes.append(Change(kind="joint-of-one", says=says, where=truss.at(beside), handles=handles))
    return changes, questions


def _ends_alone(truss: Recognised, name: MemberId, node: int) -> bool:
    """Whether every other member runs through the node where this one ends."""
    return all(
        other == name or node not in (part.through[0], part.through[-1]) for other, part in truss.members.items()
    )


def crossing_doubts(
    truss: Recognised, bolted: Iterable[Point], reach: Reach
) -> tuple[list[Change], list[Question]]:
    """Webs that cross: kept apart where nothing joins them, asked about where one was drawn broken."""
    marked = list(bolted)
    passing: dict[int, list[MemberId]] = {}
    for name, part in truss.members.items():
        if len(part.through) > 2 and part.role in {"web", "other"}:
            for node in part.through[1:-1]:
                passing.setdefault(node, []).append(name)
    crossed = {node: names for node, names in passing.items() if len(names) > 1}
    ending = {node for part in truss.members.values() for node in (part.through[0], part.through[-1])}
    on_chords = {*truss.outline.upper.tolist(), *truss.outline.lower.tolist()} if crossed else set()
    questions = []
    for node, names in crossed.items():
        at = truss.at(node)
        if node in ending or node in on_chords:
            continue
        if any(hypot(at[0] - x, at[1] - y) <= reach.report for x, y in marked):
            continue
        handles = dict.fromkeys(handle for name in names for handle in truss.handles(truss.members[name]))
        asks = f"{' and '.join(names)} cross, and one of them is broken there. Are they joined at the crossing?"
        questions.append(
            question(
                "crossing-broken",
                asks,
                taken="joint",
                options=("joint", "no joint"),
                where=at,
                handles=tuple(handles),
            )
        )
    return _kept_apart(truss), questions


def as_answered(truss: Recognised, questions: Iterable[Question], answers: Answers) -> Recognised:
    """The truss without tails that an answer drops and without joints that an answer denies."""
    sticks = truss.frame.sticks
    gone = np.zeros(sticks.node.size, dtype=bool)
    end = np.zeros(sticks.node.size, dtype=bool)
    end[sticks.start[:-1]] = end[sticks.start[1:] - 1] = True
    for asked in questions:
        answer = chosen(asked, answers)
        if asked.where is None or answer not in {"drop", "no joint"}:
            continue
        here = np.hypot(*(sticks.nodes[sticks.node] - np.array(asked.where)).T) <= SAME_PLACE
        gone |= here & (end if answer == "drop" else ~end)
    if not gone.any():
        return truss
    return recognised(frame_of(sticks.without_entries(gone))) or truss


def _kept_apart(truss: Recognised) -> list[Change]:
    """Every crossing of straight segments between their ends."""
    frame = truss.frame
    edges = np.flatnonzero(frame.sticks.sweep[frame.stick] == 0)
    if edges.size > MOST_CROSSINGS_SOUGHT:
        return []
    first = frame.places[frame.one[edges]]
    along = frame.places[frame.other[edges]] - first
    gap = first[None, :, :] - first[:, None, :]
    cross = along[:, None, 0] * along[None, :, 1] - along[:, None, 1] * along[None, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        mine = (gap[..., 0] * along[None, :, 1] - gap[..., 1] * along[None, :, 0]) / cross
        theirs = (gap[..., 0] * along[:, None, 1] - gap[..., 1] * along[:, None, 0]) / cross
    inside = (mine > 1e-6) & (mine < 1 - 1e-6) & (theirs > 1e-6) & (theirs < 1 - 1e-6)
    changes = []
    for one, other in np.argwhere(np.triu(inside, 1)).tolist():
        x, y = (first[one] + mine[one, other] * along[one]).tolist()
        rows = frame.stick[edges[[one, other]]].tolist()
        changes.append(
            Change(
                kind="crossing-kept-apart",
                says="Two members cross without a joint.",
                where=(x, y),
                handles=tuple(dict.fromkeys(handle for row in rows for handle in frame.sticks.handles[row])),
            )
        )
    return changes
