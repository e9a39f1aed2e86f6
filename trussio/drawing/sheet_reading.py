"""The reading sheet: the lines of a drawing in grey under the model read from them, a number at every change.

The numbers are those of the log, in its order; changes at one place share a tag. Only linework around the truss is
shown: what lies on the rest of the sheet is another truss, or none.
"""

from __future__ import annotations

from dataclasses import replace
from math import isnan, tan
from typing import TYPE_CHECKING

from trussio.drawing.paper import Label, PenStroke, Vertex, label_box, text_width
from trussio.drawing.placing import Spot, Wish, place
from trussio.drawing.sheet import sheet

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.drawing.paper import Sheet
    from trussio.drawing.recognise.placing import Placement
    from trussio.drawing.records import Linework
    from trussio.geometry import Point
    from trussio.model.change import Change
    from trussio.model.truss import Truss

AROUND = 0.15
"""How far beyond the truss linework is shown, in spans."""
NEAR = 1.5
"""Changes within so many modules of each other share a tag."""
AWAY = (2.0, 3.0, 4.5, 6.5)
"""How far a tag stands from its place, in modules."""
WIDE, HEIGHT = 0.55, 0.75


def reading_sheet(
    truss: Truss, linework: Linework, placement: Placement, changes: Sequence[Change], *, digest: str
) -> Sheet:
    """The model sheet with the original lines beneath and tags where reading altered them."""
    model = sheet(truss, digest=digest)
    beneath = tuple(_strokes(truss, linework, placement))
    placed = place(
        _tags(changes, model.module),
        boxes=[label_box(label, model.module) for label in model.labels],
        lines=(),
        module=model.module,
    )
    tags = (*placed.leaders, *beneath)
    points = [(vertex.x, vertex.y) for stroke in tags for vertex in stroke.vertices]
    margin = 2 * model.module
    return replace(
        model,
        says=f"{model.says} In grey the lines of the drawing; numbers are those of the log of changes.",
        strokes=(*beneath, *model.strokes, *placed.leaders),
        labels=(*model.labels, *placed.labels),
        left=min([model.left, *(x - margin for x, _ in points)]),
        right=max([model.right, *(x + margin for x, _ in points)]),
        bottom=min([model.bottom, *(y - margin for _, y in points)]),
        top=max([model.top, *(y + margin for _, y in points)]),
        left_out=(*model.left_out, *(label.text for label in placed.left_out)),
    )


def _strokes(truss: Truss, linework: Linework, placement: Placement) -> Iterator[PenStroke]:
    xs, ys = [j.x for j in truss.joints.values()], [j.y for j in truss.joints.values()]
    beyond = AROUND * (max(xs) - min(xs))
    for index in range(len(linework.strokes)):
        row = linework.strokes.row(index)
        first, last = placement.in_truss(row.first), placement.in_truss(row.last)
        if all(
            min(xs) - beyond <= x <= max(xs) + beyond and min(ys) - beyond <= y <= max(ys) + beyond
            for x, y in (first, last)
        ):
            bulge = 0.0 if isnan(row.sweep) else tan(row.sweep / 4)
            yield PenStroke(
                vertices=(Vertex(*first, bulge), Vertex(*last)), holds="note", pen="beneath", width=WIDE
            )


def _tags(changes: Sequence[Change], module: float) -> Iterator[Wish]:
    for at, numbers in _places(changes, module):
        text = ", ".join(str(number) for number in numbers)
        half = text_width(text) * HEIGHT / 2
        spots = [
            Spot(at[0] + (far + half * abs(x)) * module * x, at[1] + far * module * y, 0.0, at)
            for far in AWAY
            for x, y in ((-0.7, 0.7), (0.7, 0.7), (0.7, -0.7), (-0.7, -0.7), (0.0, 1.0), (0.0, -1.0))
        ]
        label = Label(text=text, x=at[0], y=at[1], holds="note", height=HEIGHT, boxed=True)
        yield Wish(label=label, spots=tuple(spots))


def _places(changes: Sequence[Change], module: float) -> list[tuple[Point, list[int]]]:
    """Places with the numbers of the changes there, in the order of the log."""
    found: list[tuple[Point, list[int]]] = []
    for number, change in enumerate(changes, start=1):
        if change.where is None:
            continue
        x, y = change.where
        for (near_x, near_y), numbers in found:
            if abs(near_x - x) <= NEAR * module and abs(near_y - y) <= NEAR * module:
                numbers.append(number)
                break
        else:
            found.append(((x, y), [number]))
    return found
