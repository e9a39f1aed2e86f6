"""Tables of what was calculated: axial forces, bending moments, reactions and movements, run beside run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.quantities import force_letter, moment_scale, movement_scale
from trussio.model.loading import LEAST, RunId
from trussio.report.elements import Column, el, table
from trussio.report.extremes import common_scale
from trussio.report.ways import legs_text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results, RunForces
    from trussio.model.truss import JointId, SegmentId, Truss
    from trussio.report.elements import Content, Element

RUNS_BESIDE = 6
"""Runs in one table; more runs make more tables."""
NOT_THERE = "\u2014"
"""For a segment or joint that a run does not have: other sticks were there at that stage."""
MOMENT_SIGN = (
    "A moment is positive where it pulls on the right-hand face of a stick, going from its first joint to its "
    "last: the underside of a chord that runs from left to right."
)


def force_tables(truss: Truss, results: Results) -> list[Element]:
    """Axial force of every segment, each with its letter."""
    scale = common_scale(truss, results)

    def cell(run: RunForces, segment: SegmentId) -> Content:
        return force_cell(scale, run.segments[segment].axial) if segment in run.segments else NOT_THERE

    caption = f"Axial forces in {unit_words(scale)}, T tension, C compression, 0 below {scale.near_zero_text}"
    return _segment_tables(_segments(truss, results), results, caption, cell)


def _segments(truss: Truss, results: Results) -> list[SegmentId]:
    """Every segment of the truss, and those that were there in a run after a stage alone."""
    own = [segment.id for segment in truss.segments]
    return list(dict.fromkeys([*own, *(name for run in results.runs.values() for name in run.segments)]))


def moment_tables(truss: Truss, results: Results) -> list[Element]:
    """The largest bending moment along every segment that bends, and where it is."""
    peaks = [abs(f.moment_peak) for run in results.runs.values() for f in run.segments.values()]
    scale = moment_scale(truss.units, max(peaks, default=0.0))

    def cell(run: RunForces, segment: SegmentId) -> Content:
        if segment not in run.segments:
            return NOT_THERE
        forces = run.segments[segment]
        number = scale.number(forces.moment_peak)
        return number if number == "0" else f"{number} at {length_text(truss.units, forces.moment_peak_at)}"

    bent = [
        name
        for name in _segments(truss, results)
        if any(
            name in r.segments and scale.number(r.segments[name].moment_peak) != "0" for r in results.runs.values()
        )
    ]
    if not bent:
        return [el("p", "No segment bends.")]
    along = "along it from its first joint" + ("" if truss.units == "us" else ", mm")
    caption = f"Largest bending moment of every segment that bends, in {scale.unit}, and where {along}"
    return [el("p", MOMENT_SIGN), *_segment_tables(bent, results, caption, cell)]


def _segment_tables(
    segments: Sequence[SegmentId],
    results: Results,
    caption: str,
    cell: Callable[[RunForces, SegmentId], Content],
) -> list[Element]:
    """A row for every segment and a column for every run, in as many tables as the runs need."""
    made = []
    for runs in _chunks([*results.runs]):
        columns = [Column(head="segment", kind="name"), *(Column(head=str(run)) for run in runs)]
        rows = [[str(segment), *(cell(results.runs[run], segment) for run in runs)] for segment in segments]
        made.append(table(_with_runs(caption, runs, results), columns, rows))
    return made


def reaction_tables(truss: Truss, results: Results) -> list[Element]:
    """Reactions on the truss, right and up positive, rotation counter-clockwise."""
    scale = common_scale(truss, results)
    turns = [r.turn for run in results.runs.values() for r in run.reactions.values()]
    turning = moment_scale(truss.units, max(map(abs, turns), default=0.0))
    with_turn = any(turning.number(turn) != "0" for turn in turns)
    columns = [
        Column(head="run", kind="name"),
        Column(head="support", kind="words"),
        Column(head=f"to the right, {scale.unit}"),
        Column(head=f"up, {scale.unit}"),
        *([Column(head=f"against rotation, {turning.unit}")] if with_turn else []),
    ]
    rows = [
        [
            str(run),
            str(joint),
            scale.number(r.x),
            scale.number(r.y),
            *([turning.number(r.turn)] if with_turn else []),
        ]
        for run, forces in results.runs.items()
        for joint, r in forces.reactions.items()
    ]
    found = [table("Reactions: what the supports do to the truss", columns, rows)]
    return [*found, _tendon_table(scale, results)] if any(run.tendons for run in results.runs.values()) else found


def _tendon_table(scale: Scale, results: Results) -> Element:
    """The force of every tendon in every run that holds it, leg by leg."""
    columns = [
        Column(head="run", kind="name"),
        Column(head="tendon", kind="words"),
        Column(head=f"greatest force, {scale.unit}"),
        Column(head=f"least force, {scale.unit}"),
    ]
    rows = []
    for run, forces in results.runs.items():
        least = results.runs.get(RunId(f"{run}{LEAST}"))
        for name, legs in forces.tendons.items() if not run.endswith(LEAST) else ():
            lower = None if least is None else least.tendons.get(name)
            low = NOT_THERE if lower is None else legs_text(lower, scale)
            rows.append([str(run), name, legs_text(legs, scale), low])
    return table("Tendons: force of each leg from the first anchor on, where the legs differ", columns, rows)


def movement_tables(truss: Truss, results: Results) -> list[Element]:
    """How far each joint moves, right and up positive."""
    scale = movement_scale(truss.units)
    made = []
    for runs in _chunks([*results.runs], RUNS_BESIDE // 2):
        columns = [Column(head="joint", kind="name")]
        columns += [Column(head=f"{run}, {way}") for run in runs for way in ("right", "up")]
        rows = [
            [
                str(joint),
                *(cell for run in runs for cell in _moved(scale, results.runs[run], joint)),
            ]
            for joint in truss.joints
        ]
        made.append(table(_with_runs(f"Movements of the joints in {scale.unit}", runs, results), columns, rows))
    return made


def _moved(scale: Scale, run: RunForces, joint: JointId) -> tuple[str, str]:
    if joint not in run.joints:
        return NOT_THERE, NOT_THERE
    return scale.number(run.joints[joint].dx), scale.number(run.joints[joint].dy)


def force_cell(scale: Scale, axial: float) -> Element:
    """A force and its letter, set so that numbers stay in column."""
    return el("span", scale.number(abs(axial)), el("b", force_letter(scale, axial), class_="letter"))


def unit_words(scale: Scale) -> str:
    """A unit of force in full."""
    return {"k": "kips (1 k = 1,000 lb)", "lb": "pounds", "kN": "kilonewtons"}[scale.unit]


def _with_runs(caption: str, runs: Sequence[RunId], results: Results) -> str:
    """A caption that tells the tables apart where the runs make several."""
    return caption if len(runs) == len(results.runs) else f"{caption}: {', '.join(runs)}"


def _chunks(runs: Sequence[RunId], most: int = RUNS_BESIDE) -> Iterator[Sequence[RunId]]:
    for start in range(0, len(runs), most):
        yield runs[start : start + most]
