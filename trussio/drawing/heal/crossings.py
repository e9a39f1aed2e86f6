"""Crossings that a mark makes a joint: a bolt, a point or a block where two axes cross between their ends.

A crossing without a mark is no joint. One bolt at a crossing is a pin between two members that both run through.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.heal.axes import headings, stations
from trussio.drawing.heal.cells import near_axes, near_points
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.near_joins import crossing_of
from trussio.drawing.heal.net import Net, merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Floats, Ints
    from trussio.drawing.heal.net import Contacts
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Mark
    from trussio.model.change import Question

LARGEST_BOLT_INCHES: Final = 1.0
"""Radius; a larger circle is no bolt."""
LEAST_ANGLE: Final = 0.17
OPTIONS = ("joint", "no joint")


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """Where a mark sits on a crossing of axes."""

    at: tuple[float, float]
    off: float
    axes: tuple[int, ...]
    mark: str


def with_bolted_crossings(
    net: Net, contacts: Contacts, marks: Sequence[Mark], reach: Reach, answers: Answers
) -> tuple[Net, Contacts, list[Change], list[Question]]:
    """The net with a node at every crossing that a mark makes a joint."""
    found = _crossings(net, marks, reach)
    changes: list[Change] = []
    questions: list[Question] = []
    kept: list[Crossing] = []
    for crossing in found:
        handles = merged((crossing.mark,), *(net.axes.handles[axis] for axis in crossing.axes))
        if crossing.off <= reach.silent:
            says = "Two members cross under a bolt; both run through the joint there."
            changes.append(
                Change(
                    kind="crossing-joined", says=says, where=crossing.at, distance=crossing.off, handles=handles
                )
            )
            kept.append(crossing)
            continue
        asks = (
            f"A mark stands {reach.told(crossing.off)} beside the crossing of two members. Are they joined there?"
        )
        asked = question(
            "crossing-marked", asks, taken="joint", options=OPTIONS, where=crossing.at, handles=handles
        )
        questions.append(asked)
        if chosen(asked, answers, OPTIONS) == "joint":
            kept.append(crossing)
    if not kept:
        return net, contacts, changes, questions
    nodes = np.concatenate((net.nodes, np.array([crossing.at for crossing in kept])))
    node = [len(net.nodes) + number for number, crossing in enumerate(kept) for _ in crossing.axes]
    axis = [row for crossing in kept for row in crossing.axes]
    return replace(net, nodes=nodes), contacts.with_more(node, axis), changes, questions


def _crossings(net: Net, marks: Sequence[Mark], reach: Reach) -> list[Crossing]:
    likely = [mark for mark in marks if not mark.corners and mark.radius <= LARGEST_BOLT_INCHES * reach.inch]
    if not likely or not len(net.axes):
        return []
    spots = np.array([mark.at for mark in likely])
    used = np.unique(net.ends)
    passing = near_axes(spots, net.axes, reach.report)
    ending = near_points(spots, net.nodes[used], 2 * reach.report)
    found: dict[tuple[int, ...], Crossing] = {}
    for number, mark in enumerate(likely):
        rows = passing.of(number)
        if rows.size < 2 or ending.of(number).size:
            continue
        crossing = _crossing(net, rows, spots[number], mark, reach)
        if crossing is not None and (crossing.axes not in found or crossing.off < found[crossing.axes].off):
            found[crossing.axes] = crossing
    return list(found.values())


def _crossing(net: Net, rows: Ints, spot: Floats, mark: Mark, reach: Reach) -> Crossing | None:
    ahead = headings(net.axes, rows, np.ones(rows.size, dtype=bool))
    sine = np.abs(ahead[0, 0] * ahead[:, 1] - ahead[0, 1] * ahead[:, 0])
    if sine.max() < LEAST_ANGLE:
        return None
    at = crossing_of(net.axes, rows, spot, reach)
    off = float(np.hypot(*(at - spot)))
    _, aside = stations(net.axes, rows, np.repeat(at[None], rows.size, axis=0))
    if off > reach.report or float(np.abs(aside).max()) > reach.silent:
        return None
    return Crossing(at=place(at), off=off, axes=tuple(sorted(rows.tolist())), mark=mark.handle)
