"""Chooses what to read of a drawing: model space, or a sheet of paper space where model space draws nothing.

The two are never merged: a sheet shows the model at a scale of its own, with a border and a title block.
"""

from __future__ import annotations

from collections import Counter
from math import isfinite
from typing import TYPE_CHECKING, Final

from ezdxf.entities.viewport import Viewport

from trussio.drawing.answers import question
from trussio.drawing.signature import LOADER_FAULTS
from trussio.errors import UnreadableError
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Layout

    from trussio.model.change import Question

PAPER_SPACE: Final = "paper space"
WHOLE_SHEET: Final = 1
"""Number of the viewport that stands for the sheet itself."""
MOST_TOLD: Final = 5


def spaces_of(drawing: Drawing) -> dict[str, Layout]:
    """Model space and every sheet by name, model space first.

    Raises UnreadableError `no-model-space`.
    """
    try:
        model = drawing.modelspace()
        return {model.name: model, **{layout.name: layout for layout in drawing.layouts}}
    except LOADER_FAULTS as fault:
        raise UnreadableError(
            "no-model-space",
            where="the layouts of the drawing",
            what="None of them is the model space.",
            do="Open it in the program that made it, save it as DXF again, and give that file.",
        ) from fault


def space_named(spaces: Mapping[str, Layout], wanted: str | None) -> str:
    """The name of the space to read: the one that is wanted, or model space.

    Raises UnreadableError `no-such-sheet`.
    """
    if wanted is None:
        return next(iter(spaces))
    if wanted not in spaces:
        listed = ", ".join(spaces)
        raise UnreadableError(
            "no-such-sheet", where=wanted, what="The drawing has no sheet of that name.", do=f"It has: {listed}."
        )
    return wanted


def count_others(spaces: Mapping[str, Layout], read: str) -> Counter[str]:
    """How many entities of each type stand in the spaces that are not read."""
    return Counter(entity.dxftype() for name, space in spaces.items() if name != read for entity in space)


def viewport_scales(spaces: Mapping[str, Layout]) -> list[Change]:
    """At which scales the sheets show the model: told for the drafter to compare, and taken for nothing."""
    told: dict[str, dict[str, None]] = {}
    for name, space in list(spaces.items())[1:]:
        for view in space:
            if not isinstance(view, Viewport) or view.dxf.get("id", 0) == WHOLE_SHEET:
                continue
            shown, high = view.dxf.get("view_height", 0.0), view.dxf.get("height", 0.0)
            if isfinite(shown) and isfinite(high) and shown > 0 and high > 0 and isfinite(shown / high):
                told.setdefault(name, {})[f"{shown / high:.6g}"] = None
    return [
        Change(
            kind="viewport-scale",
            says=f"Sheet {name!r} shows the model with {' and '.join(list(scales)[:MOST_TOLD])} model units "
            "to one of the sheet; told for comparison, and not used.",
        )
        for name, scales in list(told.items())[:MOST_TOLD]
    ]


def paper_only_question(taken: str, drawn: Sequence[str]) -> Question:
    """Ask about a drawing whose model space draws nothing."""
    listed = ", ".join(repr(name) for name in drawn)
    return question(
        "paper-space-only",
        f"Model space draws nothing; lines stand in paper space alone ({listed}). On which sheet is the truss, "
        "and at which scale?",
        taken=taken,
        options=drawn,
        settle="Say the scale with --scale.",
    )
