"""From edges to axes, in order: whole edges, pairs, axes with depth, what is left over, and axes that meet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.centrelines.alongside import alongside
from trussio.drawing.centrelines.edge_lines import edge_lines
from trussio.drawing.centrelines.leftovers import sorted_out
from trussio.drawing.centrelines.meeting import met_axes
from trussio.drawing.centrelines.middles import middle_axes
from trussio.drawing.centrelines.pairing import PARALLEL, bundles, pairs
from trussio.drawing.heal.axes import headings, stations, together
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.centrelines.pairing import Bundle
    from trussio.drawing.heal.axes import Axes, Floats
    from trussio.drawing.heal.reach import Reach
    from trussio.model.change import Question

MOST_EDGES: Final = 3000
"""A drawing by edges with more lines than this is not taken for one truss, and its edges are not paired."""
SAMPLE: Final = 64
LEAST_SHARED: Final = 0.75
"""Edges that share less of their length are told of as unequal."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Centred:
    """Axes of members drawn by edges, and of single lines among them; what was done and what must be asked."""

    axes: Axes
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


def edges_share(axes: Axes, reach: Reach) -> float:
    """How much of the length of a drawing's lines has a partner beside it, told from a sample of its lines."""
    count = len(axes)
    if not 4 <= count <= MOST_EDGES:
        return 0.0
    rows = np.unique(np.linspace(0, count - 1, min(count, SAMPLE)).astype(np.intp))
    lengths = axes.lengths
    with_partner = sum(float(lengths[row]) for row in rows.tolist() if has_partner(axes, row, reach))
    return with_partner / max(float(lengths[rows].sum()), 1e-300)


def has_partner(axes: Axes, row: int, reach: Reach) -> bool:
    """Whether another axis runs beside one, a member's depth apart."""
    others = np.flatnonzero((np.arange(len(axes)) != row) & (axes.straight == axes.straight[row]))
    spots = (axes.first[row] + axes.last[row]) / 2
    if axes.sweep[row]:
        apart = np.hypot(*(axes.centre[others] - axes.centre[row]).T)
        spacing = np.abs(axes.radius[others] - axes.radius[row])
        return bool(((spacing >= 1.4 * reach.inch) & (spacing <= 16 * reach.inch) & (apart <= spacing / 2)).any())
    at, off = stations(axes, others, np.repeat(spots[None], others.size, axis=0))
    mine = headings(axes, np.array([row]), np.array([True]))[0]
    theirs = headings(axes, others, np.ones(others.size, dtype=bool))
    sine = np.abs(mine[0] * theirs[:, 1] - mine[1] * theirs[:, 0])
    near = (np.abs(off) >= 1.4 * reach.inch) & (np.abs(off) <= 16 * reach.inch)
    return bool((near & (at > 0) & (at < axes.lengths[others]) & (sine <= 2 * np.sin(PARALLEL))).any())


def centred(axes: Axes, depths: Floats, reach: Reach) -> Centred:
    """The axes of a drawing by edges; `depths` are those that labels state of each line, nan where none does."""
    edges, depths = edge_lines(axes, depths, reach)
    likely = pairs(edges, reach)
    spare = alongside(edges, likely, reach)
    likely = [pair for pair in likely if pair.one not in spare and pair.other not in spare]
    made = bundles(edges, likely, reach)
    if not made:
        return Centred(axes=axes, changes=(), questions=())
    middles, slack = middle_axes(edges, made)
    used = {row for bundle in made for row in bundle.rows} | spare
    left = [row for row in range(len(edges)) if row not in used]
    rest = sorted_out(edges, made, middles, left, depths=depths, reach=reach)
    doubt = np.array(
        [np.sin(bundle.turn) / 2 * length for bundle, length in zip(made, middles.lengths, strict=True)]
    )
    extra = len(rest.axes)
    met = met_axes(
        together((middles, rest.axes)) if extra else middles,
        np.concatenate((slack, np.zeros((extra, 2)))),
        np.concatenate((doubt, rest.doubt)),
        reach,
    )
    changes, questions = _told(edges, made, reach)
    changes += [_accompanies(edges, row) for row in sorted(spare)]
    for row in np.flatnonzero(doubt > reach.report / 4).tolist():
        changes += [_doubtful(met, row, end, float(doubt[row]), reach) for end in (met.first[row], met.last[row])]
    return Centred(axes=met, changes=(*changes, *rest.changes), questions=(*questions, *rest.questions))


def _doubtful(axes: Axes, row: int, end: Floats, doubt: float, reach: Reach) -> Change:
    """What is told of either end of a tapered member."""
    return Change(
        kind="end-doubtful",
        says=f"The edges of this member taper: its end may lie {reach.told(doubt)} beside this place.",
        where=place(end),
        distance=doubt,
        handles=axes.handles[row],
    )


def _accompanies(edges: Axes, row: int) -> Change:
    return Change(
        kind="set-aside",
        says="1 line set aside: it runs along a member that has both its edges.",
        where=place((edges.first[row] + edges.last[row]) / 2),
        handles=edges.handles[row],
    )


def _told(edges: Axes, made: Sequence[Bundle], reach: Reach) -> tuple[list[Change], list[Question]]:
    """The table of pairs, as changes, and a question for each bundle that is no plain pair."""
    changes: list[Change] = []
    questions: list[Question] = []
    for bundle in made:
        handles = merged(*(edges.handles[row] for row in bundle.rows))
        where = place((edges.first[bundle.rows[0]] + edges.last[bundle.rows[-1]]) / 2)
        says = f"{len(bundle.rows)} edges {reach.told(bundle.spacing)} apart became one axis."
        if bundle.turn > PARALLEL:
            says += f" They taper by {np.degrees(bundle.turn):.1f} degrees; the axis bisects them."
        lengths = edges.lengths[list(bundle.rows)]
        if lengths.min() < LEAST_SHARED * lengths.max():
            says += " They are of unequal length."
        changes.append(
            Change(kind="edges-paired", says=says, where=where, distance=bundle.spacing, handles=handles)
        )
        if len(bundle.rows) > 2:
            questions.append(
                question(
                    "built-up",
                    f"{len(bundle.rows)} lines run beside each other over {reach.told(bundle.spacing)}. "
                    "Of how many pieces is this member, and how are they arranged?",
                    taken="one member",
                    options=("one member",),
                    settle="Write its size on the drawing, such as 2-3x10.",
                    where=where,
                    handles=handles,
                )
            )
    return changes, questions
