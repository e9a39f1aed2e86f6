"""The model sheet: every stick with its mark and size, the panel lengths, and the numbers of findings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.paper import Label, PenStroke, Vertex, pointer, text_width
from trussio.drawing.placing import Wish, line_boxes
from trussio.drawing.sheet_content import Content, PanelStrip
from trussio.drawing.sticks import arms, around, beside, member_holds, middle_of, span_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.drawing.sticks import Run
    from trussio.model.finding import Findings
    from trussio.model.material import Section
    from trussio.model.truss import JointId, MemberId, Truss

CHORD, WEB = 0.24, 0.15
"""Widths of lines, in modules."""
MARK_HEIGHT = 0.9
"""Letter height of marks and sizes, in modules."""

Sticks = dict["MemberId", list["Run"]]


def model_content(truss: Truss, drawn: Sequence[Run], findings: Findings | None, *, module: float) -> Content:
    """Sticks, marks and sizes, and tags where `findings` are given."""
    sticks = stick_runs(truss, drawn)
    strokes = tuple(_stick(truss, name, own) for name, own in sticks.items())
    lines = [
        box
        for stroke, own in zip(strokes, sticks.values(), strict=True)
        for run in own
        for box in line_boxes(run.points, module * stroke.width)
    ]
    return Content(
        strokes=strokes,
        wishes=(*tags(truss, findings, sticks, module), *_marks(truss, sticks, module)),
        lines=tuple(lines),
        says=_says(truss),
        notes=_notes(truss, findings),
        strip=_stations(truss, drawn),
    )


def stick_runs(truss: Truss, drawn: Sequence[Run]) -> Sticks:
    """The segments of every stick."""
    return {name: [run for run in drawn if run.segment.member == name] for name in truss.members}


def size_text(section: Section) -> str:
    """The size of a section as drawings write it: its label, `2-2.625x9.5`, or its area."""
    if section.label:
        return section.label
    if section.width is not None and section.depth is not None:
        plies = f"{section.plies}-" if section.plies > 1 else ""
        return f"{plies}{section.width:g}x{section.depth:g}"
    return f"area {section.area:g}" if section.area is not None else ""


def _stick(truss: Truss, name: MemberId, own: Sequence[Run]) -> PenStroke:
    """A stick as one stroke through its joints."""
    holds = member_holds(truss, name)
    return PenStroke(
        vertices=(*(run.vertices[0] for run in own), Vertex(*own[-1].last)),
        holds=holds,
        width=CHORD if holds.endswith("chord") else WEB,
        of=pointer("members", name),
    )


def _marks(truss: Truss, sticks: Sticks, module: float) -> Iterator[Wish]:
    """Mark and size of every stick, the shortest first since they have the least room."""
    middle = middle_of(truss)
    for name, own in sorted(sticks.items(), key=lambda item: max(run.length for run in item[1])):
        enough = 0.8 * max(run.length for run in own)
        central = sorted(own, key=lambda run: (run.length < enough, abs(run.segment.index - len(own) / 2)))
        for text in _mark_texts(truss, name, room=enough / module):
            long = text_width(text) * MARK_HEIGHT
            spots = tuple(
                spot
                for run in central
                for spot in beside(run, middle=middle, module=module, width=CHORD, long=long)
            )
            label = Label(text=text, x=0.0, y=0.0, holds="mark", height=MARK_HEIGHT, of=pointer("members", name))
            yield Wish(label=label, spots=spots)


def _mark_texts(truss: Truss, name: MemberId, *, room: float) -> tuple[str, ...]:
    """Mark and size in one text, or in two where the stick has no room for one."""
    section, drawn = truss.section_of(name), truss.members[name].label
    size = size_text(section) if section is not None else (drawn or "")
    size = size or "no size"
    whole = f"{name}: {size}"
    return (whole,) if text_width(whole) * MARK_HEIGHT <= room else (size, str(name))


def tags(truss: Truss, findings: Findings | None, sticks: Sticks, module: float) -> Iterator[Wish]:
    """The numbers of stops and queries, beside the joints and members that they name."""
    leaving, middle = arms(truss), middle_of(truss)
    for where, numbers in _numbered(truss, findings).items():
        text = ", ".join(str(number) for number in numbers)
        label = Label(text=text, x=0.0, y=0.0, holds="defect", height=0.9, boxed=True, bold=True, of=where)
        kind, name = where.split("/")[1:]
        if kind == "joints":
            joint: JointId = next(joint for joint in truss.joints if joint == _plain(name))
            spots = tuple(around(truss, joint, leaving[joint], module, text_width(text) / 2))
        else:
            run = max(next(own for own_name, own in sticks.items() if own_name == _plain(name)), key=_length)
            long = text_width(text) + 0.5
            spots = tuple(beside(run, middle=middle, module=module, width=CHORD + 0.3, long=long))
        yield Wish(label=label, spots=spots)


def _length(run: Run) -> float:
    return run.length


def _plain(name: str) -> str:
    return name.replace("~1", "/").replace("~0", "~")


def _numbered(truss: Truss, findings: Findings | None) -> Mapping[str, list[int]]:
    """Numbers of the stops and queries in the list, by the joint or member that they point at."""
    known = {pointer("joints", name) for name in truss.joints}
    known |= {pointer("members", name) for name in truss.members}
    numbers: dict[str, list[int]] = {}
    for number, finding in enumerate(findings.findings if findings else (), start=1):
        for where in finding.where if finding.level != "note" else ():
            place = "/".join(where.replace("/supports/", "/joints/").split("/")[:3])
            if place in known and number not in numbers.setdefault(place, []):
                numbers[place].append(number)
    return numbers


def _stations(truss: Truss, drawn: Sequence[Run]) -> PanelStrip:
    """Left to right, the joints of the bottom chord, and the outermost joints."""
    xs = [
        x
        for run in drawn
        if truss.members[run.segment.member].role == "bottom-chord"
        for x, _ in (run.first, run.last)
    ]
    left, _, right, _ = span_of(truss)
    stations = {left, right, *xs}
    return PanelStrip(stations=tuple(sorted(stations)), units=truss.units)


def _size(truss: Truss) -> tuple[str, str]:
    """Width and height over all joints, as drawings write them."""
    left, bottom, right, top = span_of(truss)
    return length_text(truss.units, right - left), length_text(truss.units, top - bottom)


def _says(truss: Truss) -> str:
    wide, high = _size(truss)
    unit = "" if truss.units == "us" else " mm"
    return (
        f"Elevation of the truss: {len(truss.joints)} joints, {len(truss.members)} sticks in "
        f"{len(truss.segments)} segments, {wide}{unit} wide and {high}{unit} high over its joints. "
        "The tables give every joint, stick and support."
    )


def _notes(truss: Truss, findings: Findings | None) -> tuple[str, ...]:
    """What the letters and numbers on the sheet mean."""
    wide, high = _size(truss)
    unit = "feet and inches" if truss.units == "us" else "millimetres"
    notes = [f"Lengths in {unit}, between joints on the lines of the model; over all {wide} wide, {high} high."]
    if _numbered(truss, findings):
        notes.append("A number in a frame is that of the finding in the table.")
    return tuple(notes)
