"""Sifting in order: line types and status first, then small shapes and hatches, each by its own look."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from trussio.drawing.sift.aside import rows_of, told
from trussio.drawing.sift.dimension_lines import dimension_lines
from trussio.drawing.sift.hatching import hatches
from trussio.drawing.sift.leaders import arrow_leaders, arrows, side_leaders
from trussio.drawing.sift.linetypes import centre_lines, ignored, other_status, symmetry_lines, vouched
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

    def without(held: Net, groups: list[Aside]) -> Net:
        kept = vouched(held, strokes, layers) if groups else set()
        groups = [replace(group, rows=tuple(row for row in group.rows if row not in kept)) for group in groups]
        groups = [group for group in groups if group.rows]
        changes.extend(told(held.axes, groups))
        return held.without(rows_of(groups)) if groups else held

    net = without(net, ignored(net, strokes, layers))
    centre = centre_lines(net, strokes)
    upright = [float(net.axes.first[row, 0]) for row in symmetry_lines(net, centre)]
    other, questions = other_status(net, strokes, answers)
    net = without(net, [*centre, *other])
    net = without(net, dimension_lines(net, evidence.texts, reach))
    net = without(net, standing(net, reach))
    broken, asked = break_lines(net, reach)
    net = without(net, broken)
    questions += asked
    outlines = small_outlines(net, strokes, evidence.marks, reach)
    signs = Signs(upright=tuple(upright), squares=tuple(squares(net, outlines, reach)))
    net = without(net, outlines)
    net = without(net, hatches(net, reach))
    led = arrows(net, reach)
    pairs = arrow_leaders(net, led)
    net = without(net, led)
    led, more = side_leaders(net, evidence.texts, evidence.marks, reach)
    signs = replace(signs, leaders=(*pairs, *more))
    net = without(net, led)
    net = without(net, clouds(net, reach))
    return net, signs, changes, questions
