"""From settled linework to trusses as recognised: sift, heal, part, recognise, in the order that heals best.

What is no structure is set aside before anything is joined; what is joined over a distance that needs a question
comes after the parts of the sheet are known, so that no part is bridged to another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.centrelines.pairing import DOUBLE_SHARE, SURELY_EDGES
from trussio.drawing.centrelines.steps import MOST_EDGES, centred, edges_share
from trussio.drawing.heal.arcs import with_arcs
from trussio.drawing.heal.axes import axes_of
from trussio.drawing.heal.bends import bends_asked
from trussio.drawing.heal.crossings import with_bolted_crossings
from trussio.drawing.heal.ends import tied_ends, without_duplicates, without_points
from trussio.drawing.heal.joining import joined_sticks
from trussio.drawing.heal.net import contacts_within, touching, without_axes
from trussio.drawing.heal.reach import reach_of
from trussio.drawing.heal.steps import healed
from trussio.drawing.heal.tails import with_tails
from trussio.drawing.heal.wide_joins import joined_wide
from trussio.drawing.plausibility import SPAN
from trussio.drawing.recognise.by_layer import with_layer_roles
from trussio.drawing.recognise.columns import without_columns
from trussio.drawing.recognise.halves import whole
from trussio.drawing.recognise.judging import judged
from trussio.drawing.recognise.labels import (
    carried,
    mirrored,
    mirrored_text,
    size_labels,
    speaks_of_trusses,
    stated_depths,
)
from trussio.drawing.recognise.partnered import is_by_axes
from trussio.drawing.recognise.supports import Symbol, filled_symbols
from trussio.drawing.sift.aside import rows_of, told
from trussio.drawing.sift.evidence import evidence_of
from trussio.drawing.sift.leaders import text_leaders
from trussio.drawing.sift.parts import borders, strange_parts
from trussio.drawing.sift.steps import sifted
from trussio.drawing.sizing_up import span_within_border
from trussio.drawing.turning import leans, level_angles, turned, turned_question, upright_share, upside_down
from trussio.errors import UnreadableError
from trussio.model.change import Change
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Axes
    from trussio.drawing.heal.net import Contacts, Net, Touching
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.labels import Label
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Linework, Point, Strokes
    from trussio.drawing.sift.evidence import Evidence
    from trussio.drawing.sift.steps import Signs
    from trussio.model.change import Question

LEAST_TILT: Final = 1e-9
MOST_TILT: Final = 0.2
LONGER: Final = 1.02
UPRIGHTS: Final = 0.6
"""A truss is turned another way where it becomes so many times as long, or more of its posts stand upright."""
ODD: Final = 3.0
"""A drawing so many times shorter or longer than roof trusses span has a doubtful unit (own judgement)."""


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

    def read(upright: Linework) -> Framework | None:
        return _upright(upright, factor=factor, inch=inch, layers=layers, answers=answers)

    head_down = upside_down(linework.texts)
    found = None if head_down else read(linework)
    stands = found is not None and not any(
        leans(truss.heel, truss.at(truss.outline.right)) for truss in found.trusses
    )
    if found is not None and stands and any(_has_level_chord(truss) for truss in found.trusses):
        return found
    best = _turned_best(linework, read, found, stands=stands)
    if best is not None:
        angle, again = best
        if again is found:
            return found
        tilt = _tilt(again)
        finer = None if not tilt else read(turned(linework, angle + tilt))
        if finer is not None:
            angle, again = angle + tilt, finer
        return replace(again, angle=angle, questions=(*again.questions, turned_question(angle)))
    if head_down:
        found = read(linework)
    if found is None:
        raise _no_truss(linework, factor / inch)
    return found if head_down else replace(found, questions=(*found.questions, turned_question(0.0)))


def _turned_best(
    linework: Linework, read: Callable[[Linework], Framework | None], found: Framework | None, *, stands: bool
) -> tuple[float, Framework] | None:
    """The angle by which the sheet is best turned, nought where what was `found` stands, and what it holds."""
    worth, best = (_worth(linework, found, 0.0), (0.0, found)) if found is not None and stands else (0.0, None)
    angles = level_angles(linework, leaning=found is not None and not stands)
    for angle in angles[: 1 if len(linework.strokes) > MOST_EDGES else None]:
        again = read(turned(linework, angle))
        now = 0.0 if again is None else _worth(linework, again, angle)
        if again is not None and (best is None or now > LONGER * worth):
            worth, best = now, (angle, again)
    return best


def _worth(linework: Linework, found: Framework, angle: float) -> float:
    """How well trusses stand on a sheet so turned: one is longest from heel to heel, and its posts are upright."""
    return max(truss.span for truss in found.trusses) * (1 + UPRIGHTS * upright_share(linework, angle))


def _has_level_chord(truss: Recognised) -> bool:
    """Whether some panel of a chord is level, as one is of every truss but scissors and those that lie turned."""
    return any(
        not leans(tuple(one), tuple(other))
        for way in (truss.outline.lower, truss.outline.upper)
        for one, other in pairwise(truss.frame.places[way].tolist())
    )


def _tilt(found: Framework) -> float:
    """How far the heels of the widest truss are from level where it was turned by its lines: a chord may sag."""
    widest = max(found.trusses, key=lambda truss: truss.span)
    x, y = np.subtract(widest.at(widest.outline.right), widest.heel).tolist()
    tilt = atan2(y, x)
    return tilt if LEAST_TILT < abs(tilt) < MOST_TILT else 0.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Sifted:
    """A drawing without what is no member by its own look, and what goes with it."""

    net: Net
    strokes: Strokes
    layers: Mapping[str, str]
    signs: Signs
    evidence: Evidence
    labels: tuple[Label, ...]
    reach: Reach
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


def _upright(
    linework: Linework, *, factor: float, inch: float, layers: Mapping[str, str], answers: Answers
) -> Framework | None:
    """The trusses of linework as it stands, None where it holds none."""
    evidence = evidence_of(linework, factor)
    labels = size_labels(evidence.texts, inch)
    axes = axes_of(linework.strokes, factor)
    largest = max((abs(side) for side in linework.frame.origin), default=0.0) * factor
    reach = reach_of(
        axes,
        inch=inch,
        depths=[label.depth for label in labels if not (label.size.round or label.size.metric == "doubtful")],
        span=largest,
    )
    net, changes = tied_ends(axes, reach)
    net, signs, more, questions = sifted(net, linework.strokes, evidence, reach, layers=layers, answers=answers)
    drawn = Sifted(
        net=net,
        strokes=linework.strokes,
        layers=layers,
        signs=signs,
        evidence=evidence,
        labels=tuple(labels),
        reach=reach,
        changes=(*changes, *more),
        questions=tuple(questions),
    )
    share = edges_share(_within_borders(net, reach), reach)
    if share < DOUBLE_SHARE:
        return _framed(drawn, answers)
    # Some lines run beside each other, most do not: a truss by its axes may stand beside a roof or a wall.
    single = _framed(drawn, answers) if share < SURELY_EDGES else None
    if single is not None and all(is_by_axes(truss, net.axes, reach) for truss in single.trusses):
        return single
    return _framed(_centred(drawn), answers)


def _within_borders(net: Net, reach: Reach) -> Axes:
    """The axes without a border around them, whose two lines would pass for a member's edges."""
    if len(net.axes) > MOST_EDGES:
        return net.axes
    return net.without(rows_of(borders(net, contacts_within(net, reach.silent), reach))).axes


def _framed(drawn: Sifted, answers: Answers) -> Framework | None:
    """The trusses among axes, None where there is none."""
    net, reach, labels = drawn.net, drawn.reach, list(drawn.labels)
    changes, questions = list(drawn.changes), list(drawn.questions)
    axes, mirror, asked = whole(net.axes, drawn.evidence.texts, drawn.signs.upright, reach, answers)
    questions += asked
    if mirror is not None:
        net, _ = tied_ends(axes, reach)
        labels += [mirrored(label, mirror) for label in labels]
        texts = drawn.evidence.texts
        both = (*texts, *(mirrored_text(text, mirror) for text in texts))
        drawn = replace(drawn, evidence=replace(drawn.evidence, texts=both))
    if not len(net.axes):
        return None
    made = healed(net, reach)
    net, contacts, crossed, marked = with_bolted_crossings(
        made.net, made.contacts, (*drawn.evidence.marks, *drawn.signs.squares), reach, answers
    )
    changes += [*made.changes, *crossed]
    questions += marked
    net, contacts, labels = _without_strange(net, contacts, drawn, labels, changes)
    depths = stated_depths(net.axes, labels, reach) if labels else np.full(len(net.axes), np.nan)
    net, contacts, more, asked = joined_wide(net, contacts, depths, reach, answers)
    net, contacts, tails = with_tails(net, contacts, reach)
    changes += tails
    sticks, dissolved = joined_sticks(net, contacts, reach)
    changes += [*more, *dissolved]
    questions += [*asked, *bends_asked(dissolved, reach, answers)]
    found = judged(sticks, reach, labelled=bool(labels) or speaks_of_trusses(drawn.evidence.texts))
    if not found.trusses:
        return None
    places = [change.where for change in crossed] + [doubt.where for doubt in marked]
    stripped = [without_columns(truss, reach) for truss in found.trusses]
    changes += [column for _, columns in stripped for column in columns]
    stated = [with_layer_roles(truss, drawn.strokes, drawn.layers) for truss, _ in stripped]
    changes += [change for _, more in stated for change in more]
    return Framework(
        trusses=tuple(truss for truss, _ in stated),
        more=found.more,
        labels=tuple(labels),
        evidence=drawn.evidence,
        reach=reach,
        touching=touching(net, contacts),
        bolted=tuple(place for place in places if place is not None),
        symbols=(
            *(
                Symbol(at=change.where, handles=change.handles)
                for change in changes
                if change.where is not None and change.says.endswith("support symbol.")
            ),
            *filled_symbols(drawn.evidence.marks, reach),
        ),
        angle=0.0,
        changes=(*changes, *found.others),
        questions=(*questions, *found.questions),
    )


def _centred(drawn: Sifted) -> Sifted:
    """Axes in the place of edges."""
    net, reach = drawn.net, drawn.reach
    changes: list[Change] = []
    for step in (without_points, without_duplicates, with_arcs):
        net, more = step(net, reach)
        changes += more
    groups = borders(net, contacts_within(net, reach.silent), reach)
    changes += told(net.axes, groups)
    net = net.without(rows_of(groups))
    made = centred(net.axes, stated_depths(net.axes, drawn.labels, reach), reach)
    net, _ = tied_ends(made.axes, reach)
    return replace(
        drawn,
        net=net,
        changes=(*drawn.changes, *changes, *made.changes),
        questions=(*drawn.questions, *made.questions),
    )


def _without_strange(
    net: Net, contacts: Contacts, drawn: Sifted, labels: list[Label], changes: list[Change]
) -> tuple[Net, Contacts, list[Label]]:
    """The net without strange parts and leaders; the labels that leaders carry have their tips."""
    groups = strange_parts(net, contacts, drawn.reach)
    changes += told(net.axes, groups)
    net, contacts = without_axes(net, contacts, rows_of(groups))
    groups, pairs = text_leaders(net, contacts, drawn.evidence.texts, drawn.reach)
    changes += told(net.axes, groups)
    net, contacts = without_axes(net, contacts, rows_of(groups))
    return net, contacts, carried(labels, [*drawn.signs.leaders, *pairs])


def _no_truss(linework: Linework, inches: float) -> UnreadableError:
    """What is said where no truss was found at so many inches to a drawing unit; a strange size is told first."""
    do = "Give a drawing of the truss in elevation, or say which layers hold it."
    long = (span_within_border(linework.strokes) or 0.0) * inches
    if not SPAN[0] / ODD <= long <= SPAN[1] * ODD:
        metres = long * MM_PER_INCH / 1000
        size = f"{long / 12:.3g} ft ({metres:.3g} m)"
        do = f"Look at the unit first: as it was taken, all that is drawn is {size} long. {do}"
    return UnreadableError(
        "no-truss",
        where=linework.name,
        what="No part of the drawing has two chords with members between them.",
        do=do,
    )
