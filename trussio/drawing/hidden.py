"""Lines that do not show: where the truss that shows has no webs, they are taken in, and asked about."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.framework import framework_of
from trussio.drawing.records import Strokes
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.answers import Answers
    from trussio.drawing.framework import Framework
    from trussio.drawing.records import Linework


def shown_framework(
    linework: Linework, *, factor: float, inch: float, layers: Mapping[str, str], answers: Answers
) -> Framework:
    """The trusses of what shows, or of all lines where those that show are chords alone.

    Raises UnreadableError `no-truss` and `linework-too-dense`.
    """
    try:
        found = framework_of(linework, factor=factor, inch=inch, layers=layers, answers=answers)
    except UnreadableError:
        if not len(linework.hidden) or answers.hidden is not None:
            raise
    else:
        webless = all(part.role != "web" for truss in found.trusses for part in truss.members.values())
        if not webless or not len(linework.hidden) or answers.hidden is not None:
            return found
    whole = replace(linework, strokes=_both(linework.strokes, linework.hidden))
    again = framework_of(whole, factor=factor, inch=inch, layers=layers, answers=answers)
    asked = question(
        "hidden-lines",
        f"Without {len(linework.hidden)} lines that do not show the truss has no webs. Do they belong to it?",
        taken="include",
        options=("include", "leave out"),
    )
    return replace(again, questions=(*again.questions, asked))


def _both(one: Strokes, other: Strokes) -> Strokes:
    """Two sets of strokes of one drawing, which share their names, as one."""
    return Strokes(
        first=np.concatenate((one.first, other.first)),
        last=np.concatenate((one.last, other.last)),
        centre=np.concatenate((one.centre, other.centre)),
        radius=np.concatenate((one.radius, other.radius)),
        sweep=np.concatenate((one.sweep, other.sweep)),
        residual=np.concatenate((one.residual, other.residual)),
        chain=np.concatenate((one.chain, other.chain)),
        closed=np.concatenate((one.closed, other.closed)),
        kind=np.concatenate((one.kind, other.kind)),
        layer=np.concatenate((one.layer, other.layer)),
        linetype=np.concatenate((one.linetype, other.linetype)),
        path=np.concatenate((one.path, other.path)),
        hidden=np.concatenate((one.hidden, other.hidden)),
        handles=one.handles + other.handles,
        kinds=one.kinds,
        layers=one.layers,
        linetypes=one.linetypes,
        paths=one.paths,
    )
