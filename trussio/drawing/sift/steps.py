"""Sifting in order: line types and status first, then small shapes and hatches, each by its own look."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from trussio.drawing.sift.aside import rows_of, told
from trussio.drawing.sift.dimension_lines import dimension_lines
from trussio.drawing.sift.hatching import hatches
from trussio.drawing.sift.leaders import arrow_leaders, arrows, side_leaders
from trussio.drawing.sift.linetypes import centre_lines, ignored, other_status, symmetry_lines
from trussio.drawing.sift.outlines import small_outlines, squares
from trussio.drawing.sift.standing import standing
from trussio.drawing.sift.zigzags import break_lines, clouds

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.net import Net
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Mark, Point, Strokes
    from trussio.drawing.sift.aside import Aside
    from trussio.drawing.sift.evidence import Evidence
    from trussio.model.change import Change, Question


@dataclass(frozen=True, kw_only=True)
class Signs:
    """What lines set aside tell: upright centre lines, squares, which mark a joint, and leaders (tip, tail)."""

    upright: tuple[float, ...]
    squares: tuple[Mark, ...]
    leaders: tuple[tuple[Point, Point], ...] = ()


def sifted(
    net: Net, strokes: Strokes, evidence: Evidence, reach: Reach, *, layers: Mapping[str, str], answers: Answers
) -> tuple[Net, Signs, list[Change], list[Question]]:
    """The net without what is no member by its own look, and the signs among that."""
    changes: list[Change] = []
    net = _without(net, ignored(net, strokes, layers), changes)
    centre = centre_lines(net, strokes)
    upright = [float(net.axes.first[row, 0]) for row in symmetry_lines(net, centre)]
    other, questions = other_status(net, strokes, answers)
    net = _without(net, [*centre, *other], changes)
    net = _without(net, dimension_lines(net, evidence.texts, reach), changes)
    net = _without(net, standing(net, reach), changes)
    broken, asked = break_lines(net, reach)
    net = _without(net, broken, changes)
    questions += asked
    outlines = small_outlines(net, strokes, evidence.marks, reach)
    signs = Signs(upright=tuple(upright), squares=tuple(squares(net, outlines, reach)))
    net = _without(net, outlines, changes)
    net = _without(net, hatches(net, reach), changes)
    led = arrows(net, reach)
    pairs = arrow_leaders(net, led)
    net = _without(net, led, changes)
    led, more = side_leaders(net, evidence.texts, evidence.marks, reach)
    signs = replace(signs, leaders=(*pairs, *more))
    net = _without(net, led, changes)
    net = _without(net, clouds(net, reach), changes)
    return net, signs, changes, questions


def _without(net: Net, groups: list[Aside], changes: list[Change]) -> Net:
    if not groups:
        return net
    changes += told(net.axes, groups)
    return net.without(rows_of(groups))
