"""From a loaded drawing to its linework: every entity as strokes, marks, texts and dimensions in one plane.

In this order: read a space and the blocks that it leads to, refuse unsound numbers, make the copies, find the
plane, put arcs and smooth curves into it, part off what does not show or cannot belong, and count everything.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.collector import collector_paused
from trussio.drawing.content import DEGENERATE
from trussio.drawing.entities import CUSTOM
from trussio.drawing.extents import extent
from trussio.drawing.flattening import bent_curves, flat_rows
from trussio.drawing.opened_space import open_space
from trussio.drawing.outliers import far_out_question, outliers_question, outlying
from trussio.drawing.placed_signs import place_signs
from trussio.drawing.plane import find_plane
from trussio.drawing.plausibility import provisional_inches
from trussio.drawing.records import HIDDEN, Linework, Mark, SetAside
from trussio.drawing.remarks import changes_of, questions_of
from trussio.drawing.showing import decide_hidden
from trussio.drawing.spaces import (
    PAPER_SPACE,
    count_others,
    paper_only_question,
    space_named,
    spaces_of,
    viewport_scales,
)
from trussio.drawing.strokes import traced_strokes
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from trussio.drawing.flattening import Bent
    from trussio.drawing.loading import Loaded
    from trussio.drawing.opened_space import OpenedSpace
    from trussio.drawing.placed_signs import Signs
    from trussio.drawing.plane import Plane
    from trussio.drawing.records import Header, Spot
    from trussio.drawing.showing import Wish
    from trussio.drawing.strokes import Traced
    from trussio.model.change import Question

FEW: Final = 3
"""A drawing of custom objects and no more lines than this holds its truss in those objects."""

Aside = Counter[tuple[str, str]]


def read_linework(
    loaded: Loaded, *, sheet: str | None = None, hidden: Wish | None = None, up: Spot | None = None
) -> Linework:
    """The linework of a drawing.

    `sheet` names a sheet of paper space to read instead of model space; `hidden` is the user's word on what does
    not show; `up` on which way is up in a tilted plane. A question that such a word answers stands all the same,
    with the word as what was taken.

    Raises UnreadableError `no-linework`, `custom-objects`, `no-model-space`, `no-such-sheet`, `bad-number`,
    `cyclic-block`, `blocks-too-deep`, `too-many-copies`, `too-many-curves` or `external-reference`.
    """
    with collector_paused():
        return _linework(loaded, sheet, hidden, up)


def _linework(loaded: Loaded, sheet: str | None, hidden: Wish | None, up: Spot | None) -> Linework:
    space, aside, asked = _space(loaded, sheet)
    views = viewport_scales(spaces_of(loaded.drawing))
    seen = space.seen + sum(aside.values())
    aside += space.aside
    plane = _plane(space, loaded.header, up)
    flat = flat_rows(space.rows, plane.frame)
    bent = tuple(bent_curves(space.rows, flat, space.copies, space.states, plane.frame))
    signs = place_signs(space.contents, space.copies, space.states, plane.frame, space.spelling)
    signs = replace(signs, marks=(*signs.marks, *(_circle(curve, space) for curve in bent if curve.is_circle)))
    traced = _with_length(traced_strokes(space.rows, flat, bent, space.spelling), aside)
    showing = decide_hidden(traced.strokes, hidden)
    shown = traced if showing.include else _shown(traced, aside)
    far = outlying(shown.strokes)
    _count(aside, "far away", shown.wholly_in(far))
    signs = signs if showing.include else _showing_signs(signs, aside)
    return Linework(
        name=loaded.name,
        header=loaded.header,
        frame=plane.frame,
        strokes=shown.take(~far).strokes,
        hidden=traced.strokes.take((traced.strokes.hidden > 0) & (not showing.include)),
        marks=signs.marks,
        texts=signs.texts,
        dimensions=signs.dimensions,
        leaders=signs.leaders,
        set_aside=_listed(aside),
        seen=seen,
        used=seen - sum(aside.values()),
        changes=(
            *loaded.changes,
            *views,
            *plane.changes,
            *showing.changes,
            *changes_of(space, bent, signs.lost_bytes),
        ),
        questions=(
            *asked,
            *plane.questions,
            *showing.questions,
            *outliers_question(shown.strokes, far),
            *far_out_question(float(np.abs(space.rows.ends).max(initial=0.0))),
            *questions_of(space, bent),
        ),
    )


def _space(loaded: Loaded, sheet: str | None) -> tuple[OpenedSpace, Aside, tuple[Question, ...]]:
    """The space to read, what stands in the others, and a question where model space draws nothing."""
    spaces = spaces_of(loaded.drawing)
    name = space_named(spaces, sheet)
    space = open_space(spaces[name], loaded.drawing)
    asked: tuple[Question, ...] = ()
    model, *sheets = spaces
    if not space.lines or name != model:
        opened = {other: open_space(spaces[other], loaded.drawing) for other in spaces if other != name}
        opened[name] = space
        drawn = [other for other in sheets if opened[other].lines]
        if not opened[model].lines and drawn:
            name = sheet or max(drawn, key=lambda other: opened[other].lines)
            space, asked = opened[name], (paper_only_question(name, drawn),)
    custom = sum(count for (reason, _), count in space.aside.items() if reason == CUSTOM)
    if not space.lines or (custom and space.lines <= FEW):
        raise _no_lines(loaded.name, space)
    others = {(PAPER_SPACE, kind): count for kind, count in count_others(spaces, name).items()}
    return space, Counter(others), asked


def _no_lines(name: str, space: OpenedSpace) -> UnreadableError:
    held = ", ".join(f"{count} {kind} ({reason})" for (reason, kind), count in sorted(space.aside.items()))
    custom = any(reason == CUSTOM for reason, _ in space.aside)
    do = "Save it with every object exploded into lines." if custom else "Check that this is the right file."
    if space.missing:
        do = "Save it again with its blocks; what they draw is not in the file."
    what = f"The drawing has no line to read{f'; it holds {held}' if held else ''}."
    return UnreadableError("no-linework", where=name, what=what, do=do)


def _plane(space: OpenedSpace, header: Header, up: Spot | None) -> Plane:
    """The plane of what shows, or of everything where nothing does."""
    rows = space.rows
    curves = [
        block.moved(curve.points[np.linspace(0, len(curve.points) - 1, 8).astype(int)]).reshape(-1, 2, 3)
        for block in space.copies
        for curve in block.content.smooth
    ]
    ends = np.concatenate([rows.ends, *curves])
    handles = rows.handles + [""] * (len(ends) - len(rows.handles))
    visible = np.append(rows.hidden == 0, np.ones(len(ends) - len(rows.handles), dtype=bool))
    if visible.any() and not visible.all():
        ends, handles = ends[visible], [handles[row] for row in np.flatnonzero(visible)]
    points = ends.reshape(-1, 3)
    flat = not np.ptp(points[:, 2])
    spans = extent(points if flat else np.quantile(points, (0.05, 0.95), axis=0))
    return find_plane(ends, handles, provisional_inches(header, float(spans.max())), up)


def _with_length(traced: Traced, aside: Aside) -> Traced:
    """The strokes that have a length in the plane."""
    strokes = traced.strokes
    points = (strokes.first == strokes.last).all(axis=1) & strokes.straight
    _count(aside, DEGENERATE, traced.wholly_in(points))
    return traced.take(~points)


def _shown(traced: Traced, aside: Aside) -> Traced:
    """The strokes that show."""
    for number, reason in enumerate(HIDDEN):
        if number:
            _count(aside, reason, traced.wholly_in(traced.strokes.hidden == number))
    return traced.take(traced.strokes.hidden == 0)


def _showing_signs(signs: Signs, aside: Aside) -> Signs:
    """The signs that show; copies of one array count as one reference."""
    gone: dict[tuple[str, str, str, str], None] = {}
    for mark in signs.marks:
        gone[mark.hidden, _TYPES[mark.kind], mark.handle, mark.path] = None
    for text in signs.texts:
        gone[text.hidden, text.kind, text.handle, text.path] = None
    for dimension in signs.dimensions:
        gone[dimension.hidden, "DIMENSION", dimension.handle, dimension.path] = None
    for leader in signs.leaders:
        gone[leader.hidden, "LEADER", leader.handle, leader.path] = None
    aside.update((hidden, kind) for hidden, kind, _, _ in gone if hidden)
    return replace(
        signs,
        marks=tuple(mark for mark in signs.marks if not mark.hidden),
        texts=tuple(text for text in signs.texts if not text.hidden),
        dimensions=tuple(dimension for dimension in signs.dimensions if not dimension.hidden),
        leaders=tuple(leader for leader in signs.leaders if not leader.hidden),
    )


_TYPES: Final = {"circle": "CIRCLE", "point": "POINT", "block": "INSERT", "solid": "SOLID", "hatch": "HATCH"}


def _circle(curve: Bent, space: OpenedSpace) -> Mark:
    """A closed curve that is a circle, as the mark that a circle is."""
    centre, radius = (curve.arc.centre, curve.arc.radius) if curve.arc is not None else ((0.0, 0.0), 0.0)
    names = space.spelling
    return Mark(
        kind="circle",
        at=centre,
        radius=radius,
        handle=curve.handle,
        layer=names.layers[curve.layer],
        linetype=names.linetypes[curve.linetype],
        path=names.paths[curve.path],
        hidden=HIDDEN[curve.hidden],
    )


def _count(aside: Aside, reason: str, kinds: Counter[str]) -> None:
    for kind, count in kinds.items():
        aside[reason, kind] += count


def _listed(aside: Aside) -> tuple[SetAside, ...]:
    return tuple(
        SetAside(reason=reason, kind=kind, count=count) for (reason, kind), count in sorted(aside.items()) if count
    )
