"""Tendons: stressed in every combination, stiffness known, and what they do not relieve.

The stops are for `stops`, the rest is a rule of the audit. A *tension chord* is what the document calls a bottom
chord; which of its segments are in tension is for the forces to say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.wording import listed, pointer
from trussio.model.finding import Finding
from trussio.model.tendon import defaults, jacking_force, loads_of, stiff, stressing

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from trussio.audit.subject import Subject
    from trussio.model.loading import RunId
    from trussio.model.tendon import Tendon, TendonLoad
    from trussio.model.truss import JointId, MemberId, Segment, Truss


def tendon_stops(truss: Truss, runs: Collection[RunId] | None = None) -> Iterator[Finding]:
    """Combinations that leave a tendon out, and tendons that act as members of unknown stiffness.

    Only combinations among `runs` count; None means all.
    """
    cases = stressing(truss.loads)
    for name in truss.tendons:
        lacking = [
            run
            for run, factors in truss.loads.combinations.items()
            if name in cases
            and (runs is None or run in runs)
            and not any(factors.get(case) for case in cases[name])
        ]
        if lacking:
            yield Finding(
                code="combination-without-tendon",
                level="stop",
                where=(*(pointer("loads", "combinations", run) for run in lacking), pointer("tendons", name)),
                says=f"The tendon {name} is stressed in {listed(cases[name])}, which {listed(lacking)} "
                f"{'does' if len(lacking) == 1 else 'do'} not hold.",
                do="Add the post-tension case to every combination, with the factor 1.",
                evidence={"runs": [*lacking]},
            )
    for name, tendon in truss.tendons.items():
        if name in cases and tendon.acts == "member" and not stiff(tendon):
            lack = " and ".join(what for what, value in (("area", tendon.area), ("E", tendon.E)) if not value)
            yield Finding(
                code="tendon-without-stiffness",
                level="stop",
                where=(pointer("tendons", name),),
                says=f"The tendon {name} acts as a member after lock-off, and nothing states its {lack}.",
                do='State it; or say "acts": "force" where later loads shall not stretch it.',
            )


def tendons(subject: Subject) -> Iterable[Finding]:
    """What is to be asked about tendons."""
    truss = subject.truss
    cases = stressing(truss.loads)
    for name, tendon in truss.tendons.items():
        yield from _beyond(truss, name, tendon)
        yield from _anchors(name, tendon)
        yield from _relief(truss, name, tendon)
        if name not in cases:
            yield Finding(
                code="tendon-never-stressed",
                level="query",
                where=(pointer("tendons", name),),
                says=f"The tendon {name} is stressed in no load case, so that it is in no run.",
                do="Add a case of kind post-tension with its force, or take it out.",
            )
        elif not any(jacking_force(tendon, load) for load in _loads_on(truss, name)):
            yield Finding(
                code="tendon-never-stressed",
                level="query",
                where=(pointer("tendons", name),),
                says=f"The tendon {name} is stressed to no force: it is there, and slack.",
                do="State the force at its jack, or take it out.",
            )
        yield from _factored(truss, name, cases.get(name, ()))
        taken = defaults(tendon)
        if taken and name in cases:
            yield Finding(
                code="tendon-losses-assumed",
                level="query",
                where=tuple(pointer("tendons", name, one.field) for one in taken),
                says=f"Losses of {name} are not stated; its least force takes it that "
                f"{listed(one.says for one in taken)}.",
                do="State friction, slip and loss of this tendon, each where it is known.",
                evidence={one.field: one.value for one in taken},
            )


def _factored(truss: Truss, name: str, stressed_in: Collection[RunId]) -> Iterator[Finding]:
    """Combinations that hold a tendon with another factor than 1."""
    factors = {
        run: by[case]
        for run, by in truss.loads.combinations.items()
        for case in stressed_in
        if by.get(case, 1.0) not in {0.0, 1.0}
    }
    if factors:
        told = listed(f"{by:g} in {run}" for run, by in factors.items())
        yield Finding(
            code="tendon-factored",
            level="query",
            where=(*(pointer("loads", "combinations", run) for run in factors), pointer("tendons", name)),
            says=f"The force of the tendon {name} is taken {told} times; it is what it was jacked to.",
            do="Give its case the factor 1: every run is made with its greatest and its least force besides.",
            evidence={"factors": {str(run): by for run, by in factors.items()}},
        )


def _loads_on(truss: Truss, name: str) -> Iterator[TendonLoad]:
    """What any case does to a tendon."""
    return (load for case in truss.loads.cases.values() for load in loads_of(case) if load.tendon == name)


def _beyond(truss: Truss, name: str, tendon: Tendon) -> Iterator[Finding]:
    """Segments of the tension chord beyond the anchors of a tendon that runs along it."""
    first, last = tendon.path[0].joint, tendon.path[-1].joint
    chord = [s for s in truss.segments if truss.members[s.member].role == "bottom-chord"]
    touched = {joint for segment in chord for joint in (segment.first, segment.last)}
    if not {first, last} <= touched:
        return
    outside = [segment for segment in chord if not 0.0 <= _part(truss, first, last, segment) <= 1.0]
    if outside:
        names = [segment.id for segment in outside]
        yield Finding(
            code="tension-beyond-anchor",
            level="query",
            where=(pointer("tendons", name), *_members(outside)),
            says=f"The tendon {name} is anchored at {first} and {last}; beyond its anchors "
            f"{'lies' if len(names) == 1 else 'lie'} {listed(names)} of the tension chord and "
            f"{'gets' if len(names) == 1 else 'get'} none of its force.",
            do="Check them and the heels beyond for the whole force, or anchor the tendon at the heels.",
            evidence={"segments": [*names]},
        )


def _part(truss: Truss, first: JointId, last: JointId, segment: Segment) -> float:
    """Where the middle of a segment lies on the way from one joint to another."""
    start, end = truss.joints[first], truss.joints[last]
    one, other = truss.joints[segment.first], truss.joints[segment.last]
    x, y = (one.x + other.x) / 2 - start.x, (one.y + other.y) / 2 - start.y
    along_x, along_y = end.x - start.x, end.y - start.y
    return (x * along_x + y * along_y) / (along_x**2 + along_y**2)


def _members(segments: Iterable[Segment]) -> tuple[str, ...]:
    names: dict[MemberId, None] = dict.fromkeys(segment.member for segment in segments)
    return tuple(pointer("members", name) for name in names)


def _anchors(name: str, tendon: Tendon) -> Iterator[Finding]:
    bare = [(place, tendon.path[place]) for place in (0, -1) if tendon.path[place].bears_on is None]
    if bare:
        joints = [point.joint for _, point in bare]
        yield Finding(
            code="anchor-bearing-unstated",
            level="query",
            where=tuple(pointer("tendons", name, "path", place % len(tendon.path)) for place, _ in bare),
            says=f"It is not stated what the tendon {name} bears on at {listed(joints)}; a shoe is taken that "
            "every stick there meets.",
            do="Name the stick that its anchor presses on, or confirm the shoe.",
        )


def _relief(truss: Truss, name: str, tendon: Tendon) -> Iterator[Finding]:
    """Anchors on a bottom chord where another stick ends: the connection there is not relieved."""
    for place in (0, -1):
        point = tendon.path[place]
        if point.bears_on is None or truss.members[point.bears_on].role != "bottom-chord":
            continue
        others = [
            other
            for other, member in truss.members.items()
            if member.role == "top-chord" and point.joint in (member.through[0], member.through[-1])
        ]
        if others:
            yield Finding(
                code="anchor-on-chord",
                level="note",
                where=(pointer("tendons", name, "path", place % len(tendon.path)), pointer("joints", point.joint)),
                says=f"The tendon {name} bears on {point.bears_on} at {point.joint}: it relieves the chord and "
                f"not its connection to {listed(others)}, which still takes the whole force.",
                do="Check that connection for the chord force and the force of the tendon together.",
            )
