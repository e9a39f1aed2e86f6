"""Every member of a truss in every run against its allowable, worst first; what cannot be checked says why.

Checked are the combinations and the permanent cases alone (all cases where nothing is combined), since a snow
case alone stands for no state of the roof. Lengths in the truss plane lie between panel points: a joint where only
one line runs through (a purlin point) holds nothing in the plane. A web is taken as held at its two ends across
the plane; chords need their bracing stated. Results are those of the analysis, in the document's own units.
Source: NDS-2018 for US values, EN 1995-1-1 for European strength classes, as marked by the parts.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.collector import collector_paused
from trussio.model.check import Check, Subject
from trussio.model.loading import LEAST, RunId
from trussio.timber.bench import Bench, Conditions, State, carried
from trussio.timber.connection_facts import CONNECTIONS
from trussio.timber.joints import ends_at, force_on_joint
from trussio.timber.review_connections import connection_checks, connection_review, joined
from trussio.timber.review_faces import unseated
from trussio.timber.review_members import member_checks, segment_review
from trussio.timber.review_tendons import TENDONS, tendon_checks, tendon_review
from trussio.timber.stock import POUND
from trussio.timber.working import NOTHING, not_evaluated, urgency

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.forces import Results
    from trussio.model.truss import JointId, MemberId, SegmentId, Truss
    from trussio.timber.joints import End

PERMANENT: Final = frozenset(("dead", "post-tension"))
DURATION: Final = "NDS-2018 2.3.2, EN 1995-1-1 2.3.1.2"
TIMELESS: Final = (
    "no duration is known for {}: enter its kind (dead, snow, roof-live, live, wind, post-tension, imposed)"
)
UNLOADED: Final = "the document knows no such run, or it holds no load: run the analysis again"
NOT_NAMED: Final = "no connection names {} here: enter what fastens it"
CONNECTION: Final = (
    "no connections are in the document: enter what fastens this joint; net section, tear-out and shear there are "
    "open with it"
)


@collector_paused()
def review(truss: Truss, results: Results, conditions: Conditions | None = None) -> tuple[Check, ...]:
    """Every check of every segment in every run that stands for a state of the roof, worst first.

    Over 1 comes first, then what was not evaluated, then the rest. A member or run that cannot be checked gives
    one check that says what to enter; a joint without connections gives one with the force that it must carry.
    """
    bench, checks = bench_of(truss, results, conditions)
    return tuple(sorted((*checks, *all_checks(bench)), key=urgency))


@collector_paused()
def all_checks(bench: Bench) -> list[Check]:
    """Every check of every element in every state of a bench, in document order."""
    return [
        *member_checks(bench),
        *connection_checks(bench),
        *_joints(bench),
        *unseated(bench),
        *tendon_checks(bench),
    ]


def bench_of(truss: Truss, results: Results, conditions: Conditions | None) -> tuple[Bench, list[Check]]:
    """The bench of the runs that stand for a state of the roof, and a check for each run that does not."""
    states, checks = _states(truss, results)
    return Bench(truss, results, conditions or Conditions(), states), checks


def checks_of(bench: Bench, element: str) -> list[Check]:
    """The checks of one segment, joint or connection in the states of a bench."""
    segment = bench.segments.get(element)
    if segment is not None:
        return segment_review(bench, segment)
    name = element.removeprefix(CONNECTIONS)
    if name != element:
        return connection_review(bench, name) if name in bench.truss.connections else []
    if element.startswith(TENDONS):
        return tendon_review(bench, element.removeprefix(TENDONS))
    return [check for check in _joints(bench) if check.element == element]


def governing(checks: tuple[Check, ...]) -> tuple[Check, ...]:
    """The worst run alone for each element and kind of check, in the order given."""
    seen: set[tuple[str, str]] = set()
    kept = []
    for check in checks:
        key = (check.element, check.what)
        if key not in seen:
            seen.add(key)
            kept.append(check)
    return tuple(kept)


def _states(truss: Truss, results: Results) -> tuple[list[State], list[Check]]:
    """The runs to check, and a check for each run that has no load duration or is not in the document."""
    runs, cases = truss.loads.runs, truss.loads.cases
    states: list[State] = []
    checks: list[Check] = []
    for run in results.runs:
        base = _base(run)
        factors = {case: factor for case, factor in runs.get(run, runs.get(base, {})).items() if factor}
        kinds = tuple(dict.fromkeys(cases[case].kind or "other" for case in factors))
        if base in cases and truss.loads.combinations and not set(kinds) <= PERMANENT:
            continue
        of = Subject(element=f"/loads/{'cases' if base in cases else 'combinations'}/{run}", run=run)
        timeless = [case for case in factors if cases[case].kind in (None, "other")]
        if timeless or not factors:
            reason = TIMELESS.format(", ".join(timeless)) if timeless else UNLOADED
            checks.append(not_evaluated(what="run", clause=DURATION, of=of, reason=reason))
            continue
        states.append(State(run=run, kinds=kinds, factored=any(factor > 1 for factor in factors.values())))
    dead = {case for case, load in cases.items() if load.kind == "dead"}
    alone = any(
        set(state.kinds) <= PERMANENT and dead <= set(runs.get(state.run, runs.get(_base(state.run), {})))
        for state in states
    )
    if dead and not alone:
        names = ", ".join(sorted(dead))
        reason = f"no run holds all dead load alone: add a combination of {names}, which counts CD 0.9"
        of = Subject(element="/loads")
        checks.append(not_evaluated(what="dead load alone", clause=DURATION, of=of, reason=reason))
    return states, checks


def _base(run: RunId) -> RunId:
    """The run of the document that a run after a stage, or of least tendon force, is one of."""
    return RunId(run.rsplit("/", 1)[-1].removesuffix(LEAST))


def _joints(bench: Bench) -> list[Check]:
    """For each joint where a stick ends that no connection names, the greatest force that is carried there."""
    named = joined(bench.truss)
    ends: dict[JointId, list[tuple[MemberId, int]]] = {}
    meeting: dict[JointId, int] = {}
    for name, member in bench.truss.members.items():
        for joint, end in ((member.through[0], 0), (member.through[-1], -1)):
            if (name, joint) not in named:
                ends.setdefault(joint, []).append((name, end))
        for joint in member.through:
            meeting[joint] = meeting.get(joint, 0) + 1
    segments: dict[MemberId, list[SegmentId]] = {}
    for segment in bench.truss.segments:
        segments.setdefault(segment.member, []).append(segment.id)
    pulled = ends_at(bench.truss) if bench.truss.tendons else {}
    checks = []
    for joint in bench.truss.joints:
        if joint in ends and meeting[joint] > 1:
            greatest = max(
                (
                    (
                        _end_force(bench, state.run, segments[name][end], end, pulled.get((name, joint))),
                        state.run,
                        name,
                    )
                    for state in bench.states
                    for name, end in ends[joint]
                ),
                default=None,
            )
            reason = CONNECTION if not named else NOT_NAMED.format(", ".join(name for name, _ in ends[joint]))
            checks.append(_connection(bench.truss, joint, greatest, reason))
    return checks


def _end_force(bench: Bench, run: RunId, segment: SegmentId, end: int, pulled: Sequence[End] | None) -> float:
    """The size of what a stick brings to the joint at its end; tendons may pull where its ends are `pulled`."""
    if pulled:
        return hypot(*force_on_joint(bench, run, pulled)) / POUND[bench.truss.units]
    return abs(bench.forces(run, segment).axial_ends[end])


def _connection(
    truss: Truss, joint: JointId, greatest: tuple[float, RunId, MemberId] | None, reason: str
) -> Check:
    demand, run = NOTHING, None
    if greatest is not None:
        force, run, name = greatest
        demand = carried("force", force, truss, f"greatest end force of {name}")
    return not_evaluated(
        what="connection",
        clause="NDS-2018 11, 12, 13",
        of=Subject(element=f"/joints/{joint}", run=run),
        demand=demand,
        unit="lbf" if truss.units == "us" else "N",
        reason=reason,
    )
