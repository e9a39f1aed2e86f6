"""The sheet of ratios: on every segment how near it is to its allowable, and at the joints their connections.

A number with % is per cent of one allowable; one without is an interaction of several stresses, whose limit is 1.
At the limit and over it the number is framed; what was not evaluated is said in words. Lines grow with the ratio.
"""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Final

from trussio.drawing.paper import Label, PenStroke, pointer, text_width
from trussio.drawing.placing import Wish, line_boxes
from trussio.drawing.sheet_content import Content, Sample
from trussio.drawing.sticks import arms, around, beside, member_holds, middle_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.drawing.sticks import Run
    from trussio.model.check import Check
    from trussio.model.standing import Checks, Standing
    from trussio.model.truss import JointId, Truss

THIN, GROWS, MOST = 0.11, 0.34, 1.5
"""Width of a line without ratio, what is added at the limit (modules), the ratio from which none is wider."""
OPEN: Final = "not evaluated"
OPEN_SHORT: Final = "open"
IN_PART: Final = "in part"
IN_PART_SHORT: Final = "part"
"""What is not evaluated, in words, and shorter where a segment has no room for them."""
MARK: Final = 0.9
ROOMY: Final = 1.6
"""Height of letters in modules, and how much longer than its words a segment must be for the long ones."""
HOW_TO_READ: Final = (
    "A number with % is per cent of one allowable; one without is an interaction of several stresses, limit 1. "
    "In a frame: at the limit or over it; nothing over it is acceptable. No bound: it buckles under less."
)
WHAT_IS_OPEN: Final = (
    "In part: the number is that of what was evaluated, and other checks of the segment are not. Open: not "
    "evaluated, which proves nothing. The table tells run, clause and cause."
)


def ratio_content(truss: Truss, drawn: Sequence[Run], checks: Checks, *, module: float) -> Content:
    """Segments as wide as they are near to their limit, with their numbers, and those of connections at joints."""
    standings = {one.element: one for one in checks.standings}
    strokes = [_bar(truss, run, standings.get(run.segment.id)) for run in drawn]
    lines = [
        box
        for run, stroke in zip(drawn, strokes, strict=True)
        for box in line_boxes(run.points, module * stroke.width)
    ]
    joined, unknown = _connections(truss, standings)
    return Content(
        strokes=tuple(sorted(strokes, key=lambda stroke: round(stroke.width, 3))),
        wishes=(*_joint_wishes(truss, joined, module), *_segment_wishes(truss, drawn, standings, module=module)),
        lines=tuple(lines),
        says=_says(checks),
        samples=(
            Sample(pen="plain", width=_width(1.0), text="at its limit"),
            Sample(pen="plain", width=_width(MOST), text=f"{MOST:g} times its limit or more"),
            Sample(pen="faint", width=THIN, text=OPEN),
        ),
        notes=(HOW_TO_READ, WHAT_IS_OPEN, *_unknown_words(unknown)),
    )


def ratio_text(check: Check) -> str:
    """A ratio as it stands on a segment: `113 %`, `1.20`, `no bound`, `no capacity`."""
    if check.ratio == inf:
        return "no bound" if check.interaction else "no capacity"
    return check.reads.removeprefix("interaction ")


def _width(ratio: float | None) -> float:
    return THIN if ratio is None else THIN + GROWS * min(ratio, MOST)


def _bar(truss: Truss, run: Run, one: Standing | None) -> PenStroke:
    ratio = None if one is None else one.governs.ratio
    return PenStroke(
        vertices=run.vertices,
        holds=member_holds(truss, run.segment.member),
        pen="faint" if ratio is None else "plain",
        width=_width(ratio),
        of=run.segment.id,
    )


def _text(one: Standing | None, room: float = inf) -> str:
    """What stands on a segment that is so many modules long, or at a joint."""
    if one is None or one.governs.ratio is None:
        return _fitting(OPEN, OPEN_SHORT, room)
    ratio = ratio_text(one.governs)
    if one.verdict != "met in part":
        return ratio
    return _fitting(f"{ratio} {IN_PART}", f"{ratio} {IN_PART_SHORT}", room)


def _fitting(long: str, short: str, room: float) -> str:
    return long if ROOMY * text_width(long) * MARK <= room else short


def _boxed(one: Standing | None) -> bool:
    return one is not None and one.governs.ratio is not None and one.governs.ratio >= 1.0


def _segment_wishes(
    truss: Truss, drawn: Sequence[Run], standings: Mapping[str, Standing], *, module: float
) -> Iterator[Wish]:
    """One label for every segment, the framed ones first and then the shortest segments."""
    middle = middle_of(truss)
    for run in sorted(drawn, key=lambda run: (not _boxed(standings.get(run.segment.id)), round(run.length, 6))):
        one = standings.get(run.segment.id)
        text, boxed = _text(one, run.length / module), _boxed(one)
        frame = 0.5 if boxed else 0.0
        ratio = None if one is None else one.governs.ratio
        label = Label(
            text=text, x=0.0, y=0.0, holds="mark", height=MARK, boxed=boxed, bold=boxed, of=run.segment.id
        )
        long = text_width(text, bold=boxed) * MARK + frame
        spots = tuple(beside(run, middle=middle, module=module, width=_width(ratio) + frame, long=long))
        yield Wish(label=label, spots=spots)


def _connections(truss: Truss, standings: Mapping[str, Standing]) -> tuple[dict[JointId, Standing], list[JointId]]:
    """The worst standing of the connections at each joint, and the joints where none was evaluated."""
    at: dict[JointId, list[Standing]] = {}
    for name in truss.joints:
        if (one := standings.get(pointer("joints", name))) is not None:
            at.setdefault(name, []).append(one)
    for key, connection in truss.connections.items():
        one = standings.get(pointer("connections", key))
        if one is not None and connection.joint is not None:
            at.setdefault(connection.joint, []).append(one)
    worst = {
        joint: max(known, key=lambda one: one.governs.ratio or 0.0)
        for joint, standing in at.items()
        if (known := [one for one in standing if one.governs.ratio is not None])
    }
    return worst, [joint for joint in at if joint not in worst]


def _joint_wishes(truss: Truss, worst: Mapping[JointId, Standing], module: float) -> Iterator[Wish]:
    """The worst ratio of the connections at a joint, led by the joint's name."""
    leaving = arms(truss)
    for joint, one in worst.items():
        text, boxed = f"{joint}: {_text(one)}", _boxed(one)
        label = Label(text=text, x=0.0, y=0.0, holds="mark", height=MARK, boxed=boxed, bold=True, of=one.element)
        half = text_width(text, bold=True) * MARK / 2
        yield Wish(label=label, spots=tuple(around(truss, joint, leaving[joint], module, half)))


def _unknown_words(unknown: Sequence[JointId]) -> tuple[str, ...]:
    return (f"Connections not evaluated at {', '.join(unknown)}.",) if unknown else ()


def _says(checks: Checks) -> str:
    """The sheet in a sentence or two."""
    verdicts = [one.verdict for one in checks.standings]
    over, unknown = verdicts.count("not met"), verdicts.count("not evaluated")
    worst = next((one for one in checks.standings if one.governs.ratio is not None), None)
    told = f"Per cent of allowable: {over} elements over their limit, {unknown} not evaluated."
    return told if worst is None else f"{told} Worst: {worst.element}, {worst.governs.reads}. The table tells all."
