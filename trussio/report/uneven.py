"""What uneven snow does: segments whose force turns round, those it wakes, and the chord it bends, in words.

Terms as in `waking.py`. Where a web pushes on a joint that a chord runs through, the chord bends there: its
moment in an uneven run stands beside the largest in the even ones.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.drawing.quantities import force_letter, force_text, moment_scale
from trussio.report.elements import Column, el, table, words
from trussio.report.extremes import acting_runs, common_scale, reversals
from trussio.report.waking import EVEN, UNEVEN, runs_of, woken_by_drift

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.drawing.quantities import Scale
    from trussio.model.assessment import Assessment
    from trussio.model.forces import Results, RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, MemberId, SegmentId, Truss
    from trussio.report.elements import Content, Element
    from trussio.report.extremes import Reversal

GROWN: Final = 1.05
"""A chord is told to bend where an uneven run bends it by this much more than any even one."""
TOLD: Final = 3
"""So many joints are told, the worst first."""


class Bent(NamedTuple):
    """A chord bent at a joint by a web that pushes there, and its moment there in the even runs."""

    chord: MemberId
    joint: JointId
    web: SegmentId
    run: RunId
    push: float
    moment: float
    even: float


def uneven_part(assessment: Assessment) -> list[Element]:
    """The table of segments that turn round, and sentences; nothing where no run does it."""
    results, truss = assessment.results, assessment.truss
    said = list(uneven_words(assessment))
    if results is None or not said:
        return []
    runs = acting_runs(truss, results)
    turned = reversals(truss, results, runs, common_scale(truss, results))
    heading = el("h3", "Forces that turn round" if turned else "Uneven load")
    return [heading, *words(said), *([_table(truss, results, runs, turned)] if turned else [])]


def uneven_words(assessment: Assessment) -> Iterator[str]:
    """Sentences: who turns round, who wakes, which chord bends."""
    results, truss = assessment.results, assessment.truss
    if results is None:
        return
    scale = common_scale(truss, results)
    turned = reversals(truss, results, acting_runs(truss, results), scale)
    if turned:
        names = ", ".join(each.tension.segment for each in turned)
        yield f"In tension in some runs and in compression in others: {names}."
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
    """Bottom chords bent by a pushing web in an uneven run more than in any even one, the worst joint first."""
    even = [results.runs[run] for run in runs_of(truss.loads, EVEN) if run in results.runs]
    uneven = [run for run in runs_of(truss.loads, UNEVEN) if run in results.runs]
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
    return sorted(worst.values(), key=lambda one: -abs(round(one.moment, 6)))


def _pushing(truss: Truss, forces: RunForces, joint: JointId) -> SegmentId | None:
    """The web that pushes hardest on a joint, where one does."""
    webs = [
        segment.id
        for segment in truss.segments
        if joint in {segment.first, segment.last}
        and truss.members[segment.member].role == "web"
        and forces.segments[segment.id].axial < 0
    ]
    return min(webs, key=lambda name: forces.segments[name].axial, default=None)


def _moment(truss: Truss, forces: RunForces, chord: MemberId, joint: JointId) -> float:
    """The moment of a stick where it runs through a joint."""
    ends = [
        forces.segments[segment.id].moment[0 if segment.first == joint else 1]
        for segment in truss.segments
        if segment.member == chord and joint in {segment.first, segment.last}
    ]
    return max(ends, key=abs)


def _woken(results: Results, segment: SegmentId, run: RunId, scale: Scale) -> str:
    return f"{segment} ({force_text(scale, results.runs[run].segments[segment].axial)} in {run})"


def _table(truss: Truss, results: Results, runs: Sequence[RunId], turned: Sequence[Reversal]) -> Element:
    """Every segment that turns round, with its largest tension and compression and the runs of each."""
    scale = common_scale(truss, results)
    columns = [
        Column(head="segment", kind="name"),
        Column(head=f"largest tension, {scale.unit}"),
        Column(head="in tension in", kind="words"),
        Column(head=f"largest compression, {scale.unit}"),
        Column(head="in compression in", kind="words"),
    ]
    rows: list[list[Content]] = []
    for each in turned:
        name = each.tension.segment
        there = {run: results.runs[run].segments[name].axial for run in runs if name in results.runs[run].segments}
        letters = {run: force_letter(scale, axial) for run, axial in there.items()}
        pulled, pushed = (", ".join(run for run in letters if letters[run] == letter) for letter in "TC")
        push = scale.number(-each.compression.axial)
        rows.append([name, scale.number(each.tension.axial), pulled, push, pushed])
    return table("Segments whose axial force changes sign between runs", columns, rows)
