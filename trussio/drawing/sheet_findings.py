"""The audit sheet: how mechanisms move, rigid regions, sticks on which all hangs, and twins that are missing.

Everything comes from the evidence of the findings. A mechanism is a thin solid outline of where its joints could
go, with arrows, drawn far larger than need be; dashes stay for what is hidden or removed. A stick whose loss makes
a mechanism is wide. A missing stick is a thin line with the number of its finding and a question mark. Members of
a rigid region lie in a grey band with its letter.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, NamedTuple

from trussio.drawing.glyphs import arrow
from trussio.drawing.paper import Label, PenStroke, Vertex, path
from trussio.drawing.placing import Spot, Wish, line_boxes
from trussio.drawing.sheet_content import Content, Sample
from trussio.drawing.sheet_model import stick_runs, tags
from trussio.drawing.sticks import member_holds, span_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.drawing.sticks import Run
    from trussio.geometry import Point
    from trussio.model.finding import Findings
    from trussio.model.truss import JointId, Json, Truss

PLAIN, HANGS, BAND, OUTLINE = 0.15, 0.45, 0.9, 0.09
"""Widths in modules: of a stick, of one on which all hangs, of a region's band, of a moved outline."""
REACH = 0.05
"""The largest movement as drawn, as a share of the truss."""
MOST_REGIONS = 8
MISSING = frozenset({"missing-twin", "chord-gap"})
"""Findings of a stick that is not there, with the two joints between which it is missing."""


class Told(NamedTuple):
    """What one finding, or one put under it, gives to draw: its number in the list, its code and evidence."""

    number: int
    code: str
    evidence: Mapping[str, Json]


class Region(NamedTuple):
    """Joints that are rigid among themselves, and the members spare there."""

    letter: str
    joints: frozenset[str]
    spare: int


def findings_content(truss: Truss, drawn: Sequence[Run], findings: Findings, *, module: float) -> Content:
    """Sticks, and over them what the audit found."""
    told = list(_told(findings))
    single = {str(name) for one in told for name in _list(one.evidence.get("single_sticks"))}
    hangs = single if len(single) < len(truss.members) else set()
    regions = _regions(truss, told)
    moved = [moves for one in told for moves in _motions(truss, one)]
    absent: list[tuple[Told, tuple[JointId, JointId]]] = []
    for one in told:
        ends = _absent(truss, one)
        if ends is not None and all(ends != known for _, known in absent):
            absent.append((one, ends))
    outlines = [stroke for moves in moved for stroke in _outline(truss, drawn, moves, module)]
    return Content(
        strokes=(
            *(_band(run) for region in regions for run in drawn if _inside(run, region)),
            *(_stick(truss, run, hangs) for run in drawn),
            *(_missing(truss, ends) for _, ends in absent),
            *outlines,
        ),
        wishes=(
            *(_mark(truss, one, ends) for one, ends in absent),
            *tags(truss, findings, stick_runs(truss, drawn), module),
            *(_letter(truss, region) for region in regions),
        ),
        lines=(
            *(box for run in drawn for box in line_boxes(run.points, PLAIN * module)),
            *(
                box
                for stroke in outlines
                for box in line_boxes([v[:2] for v in stroke.vertices], OUTLINE * module)
            ),
        ),
        says=_says(findings, len(moved), len(absent)),
        samples=tuple(_samples(moving=bool(moved), hanging=bool(hangs), absent=bool(absent))),
        notes=tuple(_notes(regions, single, len(truss.members))),
    )


def _told(findings: Findings) -> Iterator[Told]:
    for number, finding in enumerate(findings.findings, start=1):
        yield Told(number, finding.code, finding.evidence)
        for follow in _list(finding.evidence.get("follows")):
            if isinstance(follow, dict):
                yield Told(number, str(follow.get("code")), _dict(follow.get("evidence")))


def _list(value: Json) -> list[Json]:
    return value if isinstance(value, list) else []


def _dict(value: Json) -> dict[str, Json]:
    return value if isinstance(value, dict) else {}


def _motions(truss: Truss, one: Told) -> Iterator[dict[JointId, Point]]:
    """The first motion of a mechanism; those of what stands by bending, where no mechanism shows the same."""
    if one.code not in {"mechanism", "stands-by-bending", "hinges-in-line"}:
        return
    for motion in _list(one.evidence.get("motions"))[:1]:
        moves = _dict(_dict(motion).get("moves", motion))
        found: dict[JointId, Point] = {}
        for name in truss.joints:
            match moves.get(name):
                case [int() | float() as x, int() | float() as y]:
                    found[name] = (float(x), float(y))
                case _:
                    continue
        if found:
            yield found


def _outline(
    truss: Truss, drawn: Sequence[Run], moves: Mapping[JointId, Point], module: float
) -> Iterator[PenStroke]:
    """Where the segments would be, and arrows from the joints that move."""
    left, bottom, right, top = span_of(truss)
    largest = max(hypot(x, y) for x, y in moves.values())
    scale = REACH * max(right - left, top - bottom) / largest if largest else 0.0
    places = {
        name: (joint.x + scale * moves[name][0], joint.y + scale * moves[name][1])
        for name, joint in truss.joints.items()
        if name in moves
    }
    still = {name: (joint.x, joint.y) for name, joint in truss.joints.items()}
    for run in drawn:
        first, last = run.segment.first, run.segment.last
        if first in places or last in places:
            start, end = places.get(first, still[first]), places.get(last, still[last])
            bulge = run.vertices[0].bulge
            yield PenStroke(
                vertices=(Vertex(*start, bulge), Vertex(*end)), holds="defect", pen="faint", width=OUTLINE
            )
    for name, place in places.items():
        if hypot(place[0] - still[name][0], place[1] - still[name][1]) > module:
            yield from arrow(still[name], place, module, holds="defect")


def _absent(truss: Truss, one: Told) -> tuple[JointId, JointId] | None:
    """The two joints between which a stick is missing."""
    names = [name for name in _list(one.evidence.get("absent")) if isinstance(name, str)]
    known = [name for name in truss.joints if name in names]
    return (known[0], known[1]) if one.code in MISSING and len(known) == 2 else None


def _missing(truss: Truss, ends: tuple[JointId, JointId]) -> PenStroke:
    points = [(truss.joints[name].x, truss.joints[name].y) for name in ends]
    return PenStroke(vertices=path(points), holds="defect", pen="faint", width=OUTLINE)


def _mark(truss: Truss, one: Told, ends: tuple[JointId, JointId]) -> Wish:
    first, last = (truss.joints[name] for name in ends)
    label = Label(text=f"{one.number}?", x=0.0, y=0.0, holds="defect", height=0.9, bold=True)
    shares = (0.5, 0.4, 0.6, 0.3, 0.7)
    spots = tuple(Spot(first.x + t * (last.x - first.x), first.y + t * (last.y - first.y)) for t in shares)
    return Wish(label=label, spots=spots)


def _stick(truss: Truss, run: Run, hangs: set[str]) -> PenStroke:
    member = run.segment.member
    return PenStroke(
        vertices=run.vertices,
        holds=member_holds(truss, member),
        width=HANGS if member in hangs else PLAIN,
        of=run.segment.id,
    )


def _regions(truss: Truss, told: Sequence[Told]) -> list[Region]:
    """Rigid regions, where there is more than one or members are spare, the largest first."""
    found = []
    for one in told:
        for each in _list(one.evidence.get("regions")) if one.code == "count" else []:
            region = _dict(each)
            joints = frozenset(str(name) for name in _list(region.get("joints")) if name in truss.joints)
            spare = region.get("spare")
            found.append(("", joints, spare if isinstance(spare, int) else 0))
    found.sort(key=lambda region: -len(region[1]))
    return [Region(chr(ord("A") + k), joints, spare) for k, (_, joints, spare) in enumerate(found[:MOST_REGIONS])]


def _inside(run: Run, region: Region) -> bool:
    return run.segment.first in region.joints and run.segment.last in region.joints


def _band(run: Run) -> PenStroke:
    return PenStroke(vertices=run.vertices, holds="note", pen="beneath", width=BAND)


def _letter(truss: Truss, region: Region) -> Wish:
    joints = [truss.joints[name] for name in truss.joints if name in region.joints]
    x, y = sum(j.x for j in joints) / len(joints), sum(j.y for j in joints) / len(joints)
    left, _, right, _ = span_of(truss)
    step = (right - left) / 60
    spots = tuple(
        Spot(x + i * step, y + j * step) for i, j in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (2, 0), (-2, 0))
    )
    return Wish(label=Label(text=region.letter, x=0.0, y=0.0, holds="note", height=1.3, bold=True), spots=spots)


def _samples(*, moving: bool, hanging: bool, absent: bool) -> Iterator[Sample]:
    yield Sample(pen="plain", width=PLAIN, text="member")
    if hanging:
        yield Sample(pen="plain", width=HANGS, text="member whose loss makes a mechanism")
    if moving or absent:
        words = [*(["where joints can move"] if moving else []), *(["missing stick, marked ?"] if absent else [])]
        yield Sample(pen="faint", width=OUTLINE, text="; ".join(words))


def _notes(regions: Sequence[Region], single: set[str], members: int) -> Iterator[str]:
    yield "A number in a frame is that of the finding in the list. Movements are drawn far larger than need be."
    if single and len(single) == members:
        yield "The loss of any one member makes a mechanism."
    for region in regions:
        enough = f"{region.spare} more than needed" if region.spare > 0 else "just enough"
        yield f"Region {region.letter}, rigid as pinned, members {enough}: {', '.join(sorted(region.joints))}."


def _says(findings: Findings, moving: int, absent: int) -> str:
    levels = [finding.level for finding in findings.findings]
    return (
        f"The audit of the truss. Stops: {levels.count('stop')}; queries: {levels.count('query')}; notes: "
        f"{levels.count('note')}. Movements drawn: {moving}; missing sticks drawn: {absent}."
    )
