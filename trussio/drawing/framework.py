"""From settled linework to trusses as recognised: sift, heal, part, recognise, in the order that heals best.

What is no structure is set aside before anything is joined; what is joined over a distance that needs a question
comes after the parts of the sheet are known, so that no part is bridged to another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.centrelines.steps import by_edges, centred
from trussio.drawing.heal.arcs import with_arcs
from trussio.drawing.heal.axes import axes_of
from trussio.drawing.heal.crossings import with_bolted_crossings
from trussio.drawing.heal.ends import tied_ends, without_duplicates, without_points
from trussio.drawing.heal.joining import joined_sticks
from trussio.drawing.heal.net import contacts_within, touching, without_axes
from trussio.drawing.heal.reach import reach_of
from trussio.drawing.heal.steps import healed
from trussio.drawing.heal.tails import with_tails
from trussio.drawing.heal.wide_joins import joined_wide
from trussio.drawing.recognise.columns import without_columns
from trussio.drawing.recognise.halves import whole
from trussio.drawing.recognise.judging import judged
from trussio.drawing.recognise.labels import mirrored, size_labels, stated_depths
from trussio.drawing.recognise.supports import Symbol
from trussio.drawing.sift.aside import rows_of, told
from trussio.drawing.sift.evidence import evidence_of
from trussio.drawing.sift.leaders import text_leaders
from trussio.drawing.sift.parts import borders, strange_parts
from trussio.drawing.sift.steps import sifted
from trussio.drawing.turning import leans, level_angle, turned, turned_question, upside_down
from trussio.errors import UnreadableError
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.net import Contacts, Net, Touching
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.labels import Label
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Linework, Point
    from trussio.drawing.sift.evidence import Evidence
    from trussio.model.change import Question


@dataclass(frozen=True, kw_only=True, eq=False)
class Framework:
    """The trusses of a sheet with what they were made of, in base lengths of the drawing's plane.

    `more` counts further parts that may be trusses and were not looked at; `bolted` are the crossings that a mark
    made joints; `angle` is how far the sheet was turned, counter-clockwise: everything here stands upright.
    """

    trusses: tuple[Recognised, ...]
    more: int
    labels: tuple[Label, ...]
    evidence: Evidence
    reach: Reach
    touching: Touching
    bolted: tuple[Point, ...]
    symbols: tuple[Symbol, ...]
    angle: float
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


def framework_of(
    linework: Linework, *, factor: float, inch: float, layers: Mapping[str, str], answers: Answers
) -> Framework:
    """The trusses that settled linework holds, turned upright where the sheet was not.

    Raises UnreadableError `no-truss` where no part looks like one, and `linework-too-dense`.
    """
    head_down = upside_down(linework.texts)
    found = None if head_down else _upright(linework, factor=factor, inch=inch, layers=layers, answers=answers)
    if found is not None and not any(leans(truss.heel, truss.at(truss.outline.right)) for truss in found.trusses):
        return found
    angle = level_angle(linework)
    again = (
        None
        if angle is None
        else _upright(turned(linework, angle), factor=factor, inch=inch, layers=layers, answers=answers)
    )
    if again is not None and angle is not None:
        return replace(again, angle=angle, questions=(*again.questions, turned_question(angle)))
    if head_down:
        found = _upright(linework, factor=factor, inch=inch, layers=layers, answers=answers)
    if found is None:
        raise _no_truss(linework)
    return found


def _upright(
    linework: Linework, *, factor: float, inch: float, layers: Mapping[str, str], answers: Answers
) -> Framework | None:
    """The trusses of linework as it stands, None where it holds none."""
    evidence = evidence_of(linework, factor)
    labels = size_labels(evidence.texts, inch)
    axes = axes_of(linework.strokes, factor)
    largest = max((abs(side) for side in linework.frame.origin), default=0.0) * factor
    reach = reach_of(
        axes, inch=inch, depths=[label.depth for label in labels if not label.size.round], span=largest
    )
    net, changes = tied_ends(axes, reach)
    net, signs, more, questions = sifted(net, linework.strokes, evidence, reach, layers=layers, answers=answers)
    changes += more
    net, changes_by_edges, asked = _centred(net, labels, reach)
    changes += changes_by_edges
    questions += asked
    axes, mirror, asked = whole(net.axes, evidence.texts, signs.upright, reach, answers)
    questions += asked
    if mirror is not None:
        net, _ = tied_ends(axes, reach)
        labels += [mirrored(label, mirror) for label in labels]
    if not len(net.axes):
        return None
    made = healed(net, reach)
    net, contacts, crossed, marked = with_bolted_crossings(
        made.net, made.contacts, (*evidence.marks, *signs.squares), reach, answers
    )
    changes += [*made.changes, *crossed]
    questions += marked
    net, contacts = _without_strange(net, contacts, evidence, reach, changes)
    depths = stated_depths(net.axes, labels, reach) if labels else np.full(len(net.axes), np.nan)
    net, contacts, more, asked = joined_wide(net, contacts, depths, reach, answers)
    net, contacts, tails = with_tails(net, contacts, reach)
    changes += tails
    sticks, dissolved = joined_sticks(net, contacts, reach)
    changes += [*more, *dissolved]
    questions += asked
    found = judged(sticks)
    if not found.trusses:
        return None
    places = [change.where for change in crossed] + [doubt.where for doubt in marked]
    stripped = [without_columns(truss, reach) for truss in found.trusses]
    changes += [column for _, columns in stripped for column in columns]
    return Framework(
        trusses=tuple(truss for truss, _ in stripped),
        more=found.more,
        labels=tuple(labels),
        evidence=evidence,
        reach=reach,
        touching=touching(net, contacts),
        bolted=tuple(place for place in places if place is not None),
        symbols=tuple(
            Symbol(at=change.where, handles=change.handles)
            for change in changes
            if change.where is not None and change.says.endswith("support symbol.")
        ),
        angle=0.0,
        changes=(*changes, *found.others),
        questions=tuple(questions),
    )


def _centred(net: Net, labels: Sequence[Label], reach: Reach) -> tuple[Net, list[Change], list[Question]]:
    """Axes in the place of edges where members are drawn by their edges."""
    if not by_edges(net.axes, reach):
        return net, [], []
    changes: list[Change] = []
    for step in (without_points, without_duplicates, with_arcs):
        net, more = step(net, reach)
        changes += more
    groups = borders(net, contacts_within(net, reach.silent), reach)
    changes += told(net.axes, groups)
    net = net.without(rows_of(groups))
    made = centred(net.axes, stated_depths(net.axes, labels, reach), reach)
    net, _ = tied_ends(made.axes, reach)
    return net, [*changes, *made.changes], list(made.questions)


def _without_strange(
    net: Net, contacts: Contacts, evidence: Evidence, reach: Reach, changes: list[Change]
) -> tuple[Net, Contacts]:
    groups = strange_parts(net, contacts, reach)
    changes += told(net.axes, groups)
    net, contacts = without_axes(net, contacts, rows_of(groups))
    groups = text_leaders(net, contacts, evidence.texts, reach)
    changes += told(net.axes, groups)
    return without_axes(net, contacts, rows_of(groups))


def _no_truss(linework: Linework) -> UnreadableError:
    return UnreadableError(
        "no-truss",
        where=linework.name,
        what="No part of the drawing has two chords with members between them.",
        do="Give a drawing of the truss in elevation, or say which layers hold it.",
    )
