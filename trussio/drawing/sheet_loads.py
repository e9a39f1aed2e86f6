"""A load diagram over the truss that it lies on: small, so that many stand beside each other on a page.

The diagram gives the load per horizontal area, straight between its points, drawn to one scale for all diagrams of
a truss above the outline of its sticks; each size is written once, where it first stands from the left.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from trussio.drawing.paper import Label, PenStroke, Sheet, Vertex, path, text_width
from trussio.drawing.sticks import runs, span_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.truss import Truss

    Points = Sequence[tuple[float, float]]

WIDE: Final = 34.0
"""Modules that the truss measures from side to side."""
TALL: Final = 6.0
"""Modules that the largest load of all diagrams is high."""
ABOVE: Final = 1.2
"""Modules between the highest stick and the foot of the diagram."""
ARROWS: Final = 24
"""Upright lines in a diagram over the whole truss."""
SAME: Final = 1e-6


def load_sheet(truss: Truss, name: str, diagram: Points, *, largest: float) -> Sheet:
    """One diagram, in psf or kPa; `largest` is the greatest load of all diagrams that stand beside it."""
    left, bottom, right, top = span_of(truss)
    module = (right - left) / WIDE or 1.0
    foot = top + ABOVE * module
    tall = TALL * module / (largest or 1.0)
    shape = [(x, foot + load * tall) for x, load in diagram]
    unit = "psf" if truss.units == "us" else "kPa"
    outline = ((shape[0][0], foot), *shape, (shape[-1][0], foot))
    return Sheet(
        title=f"Load diagram of {name}",
        says=f"{name}, load per horizontal area: "
        + ", ".join(f"{load:.4g} {unit} at {x - left:.4g} from the left end" for x, load in diagram)
        + ".",
        module=module,
        left=left - 2 * module,
        right=right + 2 * module,
        bottom=bottom - module,
        top=foot + (TALL + 2.0) * module,
        strokes=(
            *(PenStroke(vertices=run.vertices, holds="member", pen="faint", width=0.08) for run in runs(truss)),
            *_hatch(diagram, foot, tall),
            PenStroke(vertices=path(outline), holds="load", width=0.14, closed=True),
        ),
        labels=tuple(_labels(diagram, foot, tall, module)),
    )


def _hatch(diagram: Points, foot: float, tall: float) -> Iterator[PenStroke]:
    """Upright lines under the diagram."""
    start, end = diagram[0][0], diagram[-1][0]
    for number in range(1, ARROWS):
        x = start + (end - start) * number / ARROWS
        load = _at(diagram, x)
        if load > 0:
            yield PenStroke(
                vertices=(Vertex(x, foot + load * tall), Vertex(x, foot)), holds="load", pen="beneath", width=0.08
            )


def _at(diagram: Points, x: float) -> float:
    """The load at a place."""
    for (x0, load0), (x1, load1) in pairwise(diagram):
        if x0 <= x <= x1 and x1 > x0:
            return load0 + (load1 - load0) * (x - x0) / (x1 - x0)
    return 0.0


def _labels(diagram: Points, foot: float, tall: float, module: float) -> Iterator[Label]:
    """Each size once: over the middle of a level stretch, else over its point; clear of those before it."""
    taken: list[tuple[float, float, float]] = []
    told: set[str] = set()
    spots = [((x0 + x1) / 2, one) for (x0, one), (x1, other) in pairwise(diagram) if abs(one - other) < SAME]
    for x, load in (*spots, *diagram):
        text = f"{load:.3g}"
        half = text_width(text) * module / 2
        y = foot + load * tall + 0.9 * module
        clear = all(abs(x - at) > half + wide or abs(y - high) > 1.3 * module for at, high, wide in taken)
        if text not in told and clear:
            told.add(text)
            taken.append((x, y, half))
            yield Label(text=text, x=x, y=y, holds="load")
