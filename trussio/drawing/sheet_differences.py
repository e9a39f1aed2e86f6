"""The sheet of differences: on every segment by how much somebody's force is off, in the run where it is worst.

A segment that agrees in every run compared has `=` beside a thin line. One that disagrees has a thick line and, in
a frame, claimed less rechecked with the run; `?` is what cannot be told. Signs and widths tell it, no colour.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.drawing.paper import Label, PenStroke, text_width
from trussio.drawing.placing import Wish, line_boxes
from trussio.drawing.quantities import force_scale
from trussio.drawing.sheet_content import Content, Sample
from trussio.drawing.sticks import beside, member_holds, middle_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.drawing.quantities import Scale
    from trussio.drawing.sticks import Run
    from trussio.model.check_record import CheckRecord, SegmentCheck
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss

THIN, THICK, MARK = 0.11, 0.55, 0.9
"""Widths of lines, and the height of letters, in modules."""
AGREES, OPEN = "=", "?"
HOW_TO_READ: Final = (
    "In a frame: claimed less rechecked, tension positive, in the run where it is furthest outside its tolerance. "
    "= agrees in every run compared. ? cannot be told, which is no agreement."
)
TO_SIGN: Final = "Originator: ..................  Checker: ..................  Date: .................."


class Worst(NamedTuple):
    """What is said of a segment in the run where it stands worst."""

    run: RunId
    check: SegmentCheck


def worst_of(record: CheckRecord) -> dict[SegmentId, Worst]:
    """For each segment compared, the run in which it is furthest outside its tolerance."""
    worst: dict[SegmentId, Worst] = {}
    for run, of in record.runs.items():
        for name, check in of.segments.items():
            if name not in worst or _outside(check) > _outside(worst[name].check):
                worst[name] = Worst(run, check)
    return worst


def _outside(check: SegmentCheck) -> float:
    """How far outside its tolerance a figure is; one that is missing is as far as its force."""
    off = check.rechecked if check.difference is None else check.difference
    return abs(off) - check.tolerance + (1e300 if check.difference is None else 0.0)


def difference_content(truss: Truss, drawn: Sequence[Run], record: CheckRecord, *, module: float) -> Content:
    """Segments with what their forces are off by."""
    worst = worst_of(record)
    scale = force_scale(truss.units, max((abs(one.check.rechecked) for one in worst.values()), default=0.0))
    strokes = [
        PenStroke(
            vertices=run.vertices,
            holds=member_holds(truss, run.segment.member),
            pen="plain" if run.segment.id in worst else "faint",
            width=THICK if _differs(worst.get(run.segment.id)) else THIN,
            of=run.segment.id,
        )
        for run in drawn
    ]
    lines = [
        box
        for run, stroke in zip(drawn, strokes, strict=True)
        for box in line_boxes(run.points, module * stroke.width)
    ]
    return Content(
        strokes=tuple(sorted(strokes, key=lambda stroke: stroke.width)),
        wishes=tuple(_wishes(truss, drawn, worst, scale, module)),
        lines=tuple(lines),
        says=f"Recheck of {record.compared}: {record.verdict}. {record.says}",
        samples=(
            Sample(pen="plain", width=THICK, text="disagrees"),
            Sample(pen="plain", width=THIN, text="agrees"),
            Sample(pen="faint", width=THIN, text="cannot be told"),
        ),
        notes=(f"Verdict: {record.verdict}.", HOW_TO_READ, TO_SIGN),
    )


def _differs(one: Worst | None) -> bool:
    return one is not None and one.check.verdict == "disagrees"


def difference_text(one: Worst | None, scale: Scale) -> str:
    """What stands on a segment."""
    if one is None or one.check.verdict == "cannot tell":
        return OPEN
    if one.check.verdict == "agrees":
        return AGREES
    if one.check.difference is None:
        return f"missing in {one.run}"
    off = one.check.difference
    size = scale.number(abs(off))
    number = f"{abs(off) / scale.base:.2g}" if size == "0" else size
    return f"{'-' if off < 0 else '+'}{number} {scale.unit} in {one.run}"


def _wishes(
    truss: Truss, drawn: Sequence[Run], worst: Mapping[SegmentId, Worst], scale: Scale, module: float
) -> Iterator[Wish]:
    """One label for every segment, those that disagree first and then the shortest."""
    middle = middle_of(truss)
    for run in sorted(drawn, key=lambda run: (not _differs(worst.get(run.segment.id)), round(run.length, 6))):
        one = worst.get(run.segment.id)
        text, boxed = difference_text(one, scale), _differs(one)
        frame = 0.5 if boxed else 0.0
        label = Label(
            text=text, x=0.0, y=0.0, holds="mark", height=MARK, boxed=boxed, bold=boxed, of=run.segment.id
        )
        long = text_width(text, bold=boxed) * MARK + frame
        width = (THICK if boxed else THIN) + frame
        yield Wish(label=label, spots=tuple(beside(run, middle=middle, module=module, width=width, long=long)))
