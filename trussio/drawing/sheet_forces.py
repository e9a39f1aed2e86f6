"""The force sheet of a run: axial force of every segment, its letter beside it, and the reactions.

Tension is solid and compression dashed, in two colours that stay apart in grey; the width of a line grows with its
force; a force that prints as 0 is a thin line without a letter. The letter decides, not line or colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.drawing.glyphs import arrow
from trussio.drawing.paper import Box, Label, Pen, PenStroke, pointer, text_width
from trussio.drawing.placing import Spot, Wish, line_boxes
from trussio.drawing.quantities import Scale, force_letter, force_scale, force_text, moment_scale
from trussio.drawing.sheet_content import Content, Sample
from trussio.drawing.sticks import beside, member_holds, middle_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.drawing.glyphs import Symbol
    from trussio.drawing.sticks import Run
    from trussio.geometry import Point
    from trussio.model.check_record import RunCheck
    from trussio.model.forces import RunForces
    from trussio.model.truss import JointId, SegmentId, Truss

THIN, THINNEST, GROWS = 0.06, 0.11, 0.42
"""Widths in modules: of a force near zero, of the least force, and by how much the largest is wider."""


@dataclass(frozen=True, kw_only=True)
class Bars:
    """The axial forces of a sheet, the scale that they are written in, and the largest of them."""

    axial: Mapping[SegmentId, float]
    scale: Scale
    largest: float

    def width(self, axial: float) -> float:
        """Width of a segment's line in modules."""
        if not force_letter(self.scale, axial):
            return THIN
        return THINNEST + GROWS * abs(axial) / self.largest


def force_content(
    truss: Truss,
    drawn: Sequence[Run],
    symbols: Mapping[JointId, Symbol],
    forces: RunForces,
    check: RunCheck | None,
    *,
    module: float,
) -> Content:
    """Segments drawn by their force, labels with T and C, arrows of the reactions."""
    axial = {run.segment.id: forces.segments[run.segment.id].axial for run in drawn}
    scale, largest = sheet_scale(truss, forces), max((abs(force) for force in axial.values()), default=0.0)
    bars = Bars(axial=axial, scale=scale, largest=largest)
    strokes = [_bar(truss, run, bars) for run in drawn]
    arrows, arrow_boxes, reaction_wishes = _reactions(truss, symbols, forces, scale)
    lines = [
        box
        for run, stroke in zip(drawn, strokes, strict=True)
        for box in line_boxes(run.points, module * stroke.width)
    ]
    return Content(
        strokes=(*sorted(strokes, key=lambda stroke: round(stroke.width, 3)), *arrows),
        wishes=(*reaction_wishes, *_force_wishes(truss, drawn, bars, check, module=module)),
        lines=tuple(lines),
        boxes=tuple(arrow_boxes),
        says=_says(axial, forces, scale),
        samples=_samples(scale, largest),
        notes=_notes(scale, doubted=any(_doubted(run.segment.id, check) for run in drawn)),
    )


def sheet_scale(truss: Truss, forces: RunForces) -> Scale:
    """The unit and decimals of every force on the sheet."""
    axial = [abs(segment.axial) for segment in forces.segments.values()]
    held = [max(abs(r.x), abs(r.y)) for r in forces.reactions.values()]
    return force_scale(truss.units, max((*axial, *held), default=0.0))


def force_pen(scale: Scale, axial: float) -> Pen:
    """The pen of a force."""
    pens: dict[str, Pen] = {"T": "tension", "C": "compression", "": "near-zero"}
    return pens[force_letter(scale, axial)]


def _bar(truss: Truss, run: Run, bars: Bars) -> PenStroke:
    axial = bars.axial[run.segment.id]
    return PenStroke(
        vertices=run.vertices,
        holds=member_holds(truss, run.segment.member),
        pen=force_pen(bars.scale, axial),
        width=bars.width(axial),
        of=run.segment.id,
    )


def _force_wishes(
    truss: Truss, drawn: Sequence[Run], bars: Bars, check: RunCheck | None, *, module: float
) -> Iterator[Wish]:
    """One label for every segment, the shortest segments first."""
    middle = middle_of(truss)
    for run in sorted(drawn, key=lambda run: round(run.length, 6)):
        name, force = run.segment.id, bars.axial[run.segment.id]
        doubted = _doubted(name, check)
        text = force_text(bars.scale, force) + _claim(name, check, bars.scale, force)
        pen = force_pen(bars.scale, force)
        label = Label(text=text, x=0.0, y=0.0, holds="mark", pen=pen, boxed=doubted, of=name)
        frame = 0.5 if doubted else 0.0
        width, long = bars.width(force) + frame, text_width(text) + frame
        spots = tuple(beside(run, middle=middle, module=module, width=width, long=long))
        yield Wish(label=label, spots=spots)


def _doubted(segment: SegmentId, check: RunCheck | None) -> bool:
    """Whether the second method disagrees on a segment, or cannot tell."""
    found = None if check is None else check.segments.get(segment)
    return found is not None and found.verdict != "agrees"


def _claim(segment: SegmentId, check: RunCheck | None, scale: Scale, force: float) -> str:
    """What is claimed of a doubted segment, where that prints otherwise than the force shown."""
    if check is None or not _doubted(segment, check):
        return ""
    claimed = check.segments[segment].claimed
    told = "nothing" if claimed is None else force_text(scale, claimed)
    return "" if told == force_text(scale, force) else f", claimed {told}"


def _reactions(
    truss: Truss, symbols: Mapping[JointId, Symbol], forces: RunForces, scale: Scale
) -> tuple[list[PenStroke], list[Box], list[Wish]]:
    """Arrows that push on the truss as its supports do, each with `R` and the force."""
    strokes: list[PenStroke] = []
    boxes: list[Box] = []
    wishes: list[Wish] = []
    turning = moment_scale(truss.units, max((abs(r.turn) for r in forces.reactions.values()), default=0.0))
    for joint, reaction in forces.reactions.items():
        of, symbol = pointer("supports", joint), symbols[joint]
        module = symbol.stand.module
        for force, level in ((reaction.x, True), (reaction.y, False)):
            if scale.number(force) == "0":
                continue
            tail, head = _arrow_ends(symbol, force, middle_of(truss), level=level)
            strokes += arrow(tail, head, module, holds="load", of=of)
            boxes += line_boxes((tail, head), 0.7 * module)
            wishes.append(_reaction_wish(tail, head, f"R {scale.number(abs(force))}", module, of))
        if turning.number(reaction.turn) != "0":
            place = symbol.stand.at(symbol.reach, 0.0)
            wishes.append(_reaction_wish(place, place, f"R {turning.text(reaction.turn)}", module, of))
    return strokes, boxes, wishes


def _reaction_wish(tail: Point, head: Point, text: str, module: float, of: str) -> Wish:
    label = Label(text=text, x=0.0, y=0.0, holds="load", of=of)
    return Wish(label=label, spots=_beside_arrow(tail, head, text, module))


def _arrow_ends(symbol: Symbol, force: float, middle: Point, *, level: bool) -> tuple[Point, Point]:
    """Tail and head of a reaction's arrow: under the symbol, or level on the outer side of it."""
    stand, module = symbol.stand, symbol.stand.module
    if level:
        outer = -1.0 if stand.x <= middle[0] else 1.0
        y = stand.y + module * stand.away[1] * symbol.reach / 2
        near, far = ((stand.x + outer * out * module, y) for out in (1.7, 4.7))
        return (near, far) if force * outer > 0 else (far, near)
    down = -1.0 if stand.away[1] <= 0 else 1.0
    start = symbol.reach * abs(stand.away[1]) + 0.3
    near, far = ((stand.x, stand.y + down * out * module) for out in (start, start + 3.0))
    return (near, far) if force * down > 0 else (far, near)


def _beside_arrow(tail: Point, head: Point, text: str, module: float) -> tuple[Spot, ...]:
    """Spots by the tail of an arrow: at its end, to either side, further along."""
    half = text_width(text) / 2
    x, y = (tail[0] + head[0]) / 2, (tail[1] + head[1]) / 2
    side = (half + 0.7) * module
    if abs(tail[1] - head[1]) > abs(tail[0] - head[0]):
        low, high = min(tail[1], head[1]), max(tail[1], head[1])
        return (
            Spot(x + side, low + 0.6 * module),
            Spot(x - side, low + 0.6 * module),
            Spot(x, low - 0.9 * module),
            Spot(x, high + 0.9 * module),
            Spot(x, low - 2.2 * module),
        )
    left, right = min(tail[0], head[0]), max(tail[0], head[0])
    return (
        Spot(x, y - module),
        Spot(x, y + module),
        Spot(left - side, y),
        Spot(right + side, y),
        Spot(x, y - 2.2 * module),
    )


def _says(axial: Mapping[SegmentId, float], forces: RunForces, scale: Scale) -> str:
    """The run in a sentence or two: the largest forces and the reactions."""
    parts = []
    if axial:
        most, least = max(axial, key=axial.__getitem__), min(axial, key=axial.__getitem__)
        if force_letter(scale, axial[most]) == "T":
            parts.append(f"Largest tension {scale.text(axial[most])} in {most}.")
        if force_letter(scale, axial[least]) == "C":
            parts.append(f"Largest compression {scale.text(-axial[least])} in {least}.")
    parts += [
        f"Reaction at {joint}: {scale.number(reaction.x)} right, {scale.text(reaction.y)} up."
        for joint, reaction in forces.reactions.items()
    ]
    return " ".join([*parts, "The table gives every force."])


def _samples(scale: Scale, largest: float) -> tuple[Sample, ...]:
    half = THINNEST + GROWS / 2
    return (
        Sample(pen="tension", width=half, text="T  tension, pulls on its joints"),
        Sample(pen="compression", width=half, text="C  compression, pushes on them"),
        Sample(pen="near-zero", width=THIN, text=f"0  less than {scale.near_zero_text}"),
        Sample(pen="plain", width=THINNEST + GROWS, text=f"widest line {scale.text(largest)}"),
    )


def _notes(scale: Scale, *, doubted: bool) -> tuple[str, ...]:
    unit = {"k": "kips (k), 1 k = 1,000 lb", "lb": "pounds (lb)", "kN": "kilonewtons (kN)"}[scale.unit]
    sign = "in results files tension is positive and compression negative"
    notes = [f"Axial forces in {unit}; {sign}. R: reaction, as the support pushes."]
    if doubted:
        notes.append("In a frame: the second method does not agree with what is claimed there, or cannot tell.")
    return tuple(notes)
