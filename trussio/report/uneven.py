"""What uneven snow does: segments whose force turns round, those it wakes, and the chord it bends, in words.

Terms as in `waking.py`. Where a web pushes on a joint that a chord runs through, the chord bends there: its
moment in an uneven run stands beside the largest in the even ones.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.drawing.quantities import force_letter, force_text, moment_scale
from trussio.report.extremes import acting_runs, common_scale, reversals
from trussio.report.waking import EVEN, IDLE, UNEVEN, runs_of, woken_by_drift

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, MemberId, SegmentId, Truss

WIDE: Final = 110
"""Columns of a sentence on a terminal."""
GROWN: Final = 1.05
"""A chord is told to bend where an uneven run bends it by this much more than any even one."""
TOLD: Final = 3
"""So many joints are told, the worst first."""


TURN: Final = "In tension in some runs and in compression in others"


class Turned(NamedTuple):
    """A segment that turns round: its largest tension and compression, and the runs of each."""

    segment: SegmentId
    pull: float
    pulled: tuple[RunId, ...]
    push: float
    pushed: tuple[RunId, ...]


class Bent(NamedTuple):
    """A chord bent at a joint by a web that pushes there, and its moment there in the even runs."""

    chord: MemberId
    joint: JointId
    web: SegmentId
    run: RunId
    push: float
    moment: float
    even: float


def turned_rows(truss: Truss, results: Results) -> list[Turned]:
    """Every segment that is in tension in some acting runs and in compression in others, in the truss's order."""
    runs, scale = acting_runs(truss, results), common_scale(truss, results)
    found = []
    for each in reversals(truss, results, runs, scale):
        name = each.tension.segment
        there = [run for run in runs if name in results.runs[run].segments]
        letters = {run: force_letter(scale, results.runs[run].segments[name].axial) for run in there}
        pulled, pushed = (tuple(run for run in there if letters[run] == letter) for letter in "TC")
        found.append(Turned(name, each.tension.axial, pulled, -each.compression.axial, pushed))
    return found


def uneven_lines(truss: Truss, results: Results) -> list[str]:
    """The table as lines of text, then the sentences; nothing where no force turns round and no load is uneven."""
    scale = common_scale(truss, results)
    rows = [
        f"  {row.segment}: {scale.text(row.pull)} T, {scale.text(row.push)} C; {_which(row)}"
        for row in turned_rows(truss, results)
    ]
    said = [sentence for sentence in uneven_words(truss, results) if not sentence.startswith(TURN)]
    wrapped = [line for sentence in said for line in wrap(sentence, WIDE, break_on_hyphens=False)]
    return [*(["axial force changes sign between runs"] if rows else []), *rows, *wrapped]


def _which(row: Turned) -> str:
    """The runs of the rarer sign, and how many have the other."""
    rare, runs, other, many = "C", row.pushed, "T", len(row.pulled)
    if len(row.pulled) < len(row.pushed):
        rare, runs, other, many = "T", row.pulled, "C", len(row.pushed)
    return f"{rare} in {', '.join(runs)}, {other} in {many} other run{'s' if many > 1 else ''}"


def uneven_words(truss: Truss, results: Results) -> Iterator[str]:
    """Sentences: who turns round, who wakes, which chord bends."""
    scale = common_scale(truss, results)
    turned = reversals(truss, results, acting_runs(truss, results), scale)
    if turned:
        names = ", ".join(each.tension.segment for each in turned)
        yield f"{TURN}: {names}."
    woken = woken_by_drift(truss, results)
    if woken:
        told = ", ".join(_woken(results, segment, run, scale) for segment, run in woken.items())
        yield f"Near zero under even load, and strut or tie under uneven snow: {told}."
    bent = bent_chords(truss, results)
    moment = moment_scale(truss.units, max((abs(one.moment) for one in bent), default=0.0))
    for one in bent[:TOLD]:
        yield (
            f"In {one.run} {one.web} pushes on {one.chord} at {one.joint} with {scale.text(-one.push)} of "
            f"compression and {one.chord} bends there: {moment.text(abs(one.moment))}, under even load "
            f"{moment.text(abs(one.even))}."
        )


def bent_chords(truss: Truss, results: Results) -> list[Bent]:
    """Bottom chords bent by a pushing web in an uneven run more than in any even one, the largest growth first."""
    even = [results.runs[run] for run in runs_of(truss, results, EVEN)]
    uneven = runs_of(truss, results, UNEVEN)
    chords = {
        joint: name
        for name, member in truss.members.items()
        if member.role == "bottom-chord"
        for joint in member.through[1:-1]
    }
    worst: dict[JointId, Bent] = {}
    for run in uneven if even else ():
        forces = results.runs[run]
        for joint, chord in chords.items():
            web = _pushing(truss, forces, joint)
            if web is None:
                continue
            moment = _moment(truss, forces, chord, joint)
            usual = max((_moment(truss, each, chord, joint) for each in even), key=abs)
            known = worst.get(joint)
            if abs(moment) > GROWN * abs(usual) and (known is None or abs(moment) > abs(known.moment)):
                push = forces.segments[web].axial
                worst[joint] = Bent(chord, joint, web, run, push, moment, usual)
    return sorted(worst.values(), key=lambda one: round(abs(one.even) - abs(one.moment), 6))


def _pushing(truss: Truss, forces: RunForces, joint: JointId) -> SegmentId | None:
    """The web that pushes hardest on a joint, where one does that is not idle."""
    least = IDLE * max(abs(segment.axial) for segment in forces.segments.values())
    webs = [
        segment.id
        for segment in truss.segments
        if joint in {segment.first, segment.last}
        and truss.members[segment.member].role == "web"
        and segment.id in forces.segments
        and forces.segments[segment.id].axial < -least
    ]
    return min(webs, key=lambda name: forces.segments[name].axial, default=None)


def _moment(truss: Truss, forces: RunForces, chord: MemberId, joint: JointId) -> float:
    """The moment of a stick where it runs through a joint."""
    ends = [
        forces.segments[segment.id].moment[0 if segment.first == joint else 1]
        for segment in truss.segments
        if segment.member == chord and joint in {segment.first, segment.last} and segment.id in forces.segments
    ]
    return max(ends, key=abs, default=0.0)


def _woken(results: Results, segment: SegmentId, run: RunId, scale: Scale) -> str:
    return f"{segment} ({force_text(scale, results.runs[run].segments[segment].axial)} in {run})"
