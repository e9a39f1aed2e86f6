"""Panel points that nothing explains: a stick runs through, and no member, load, bearing or record is there.

On a top chord such joints are mostly purlins. One or two on bottom chords, and a single one of the whole truss,
are where a post was forgotten; many are a pattern (hangers of a ceiling) and no question.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.graph import graph_of
from trussio.audit.unevaluable import along
from trussio.audit.wording import joint_pointers, listed, member_pointers
from trussio.model.finding import Finding
from trussio.model.loading import JointLoad, LineLoad, PointLoad
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.site import Hung
    from trussio.model.truss import Member, MemberId, Truss

PATTERN: Final = 3
"""So many bare joints of bottom chords are meant."""


def bare_joints(subject: Subject) -> Iterator[Finding]:
    """Joints of a bottom chord, or the only one of all, at which nothing meets the stick."""
    truss = subject.truss
    bare = _bare(subject)
    told = [name for name, stick in bare.items() if truss.members[stick].role == "bottom-chord"]
    if len(bare) == 1:
        told = list(bare)
    if not told or len(told) >= PATTERN:
        return
    across = {name: other for name in told if (other := _across(subject, name)) is not None}
    sticks = dict.fromkeys(stick for name in told for stick in _sticks(truss, name))
    usual = f" A post from {listed(f'{one} to {other}' for one, other in across.items())} would be usual."
    ending = all(name not in truss.members[stick].through[1:-1] for name in told for stick in sticks)
    yield Finding(
        code="bare-joint",
        level="query",
        where=(*joint_pointers(dict.fromkeys((*told, *across.values()))), *member_pointers(sticks)),
        says=f"{listed(sticks)} {_passing(len(sticks), ending=ending)} {listed(told)}, and nothing "
        f"{'else ' if ending else ''}is known to be there: no member, load, butt, brace or connection."
        f"{usual if across else ''}",
        do="Ask what the panel point is for; a post or a rod may have been forgotten.",
        evidence={"joints": [*told], "across": {str(name): other for name, other in across.items()}},
    )


def _passing(sticks: int, *, ending: bool) -> str:
    """What sticks do at a bare joint: run through it, or meet end to end in one line."""
    if ending:
        return "meet end to end at"
    return "runs through" if sticks == 1 else "run through"


def _sticks(truss: Truss, name: JointId) -> list[MemberId]:
    """The stick that runs through a joint, or the two that end there."""
    return [stick for stick, member in truss.members.items() if name in member.through]


def _across(subject: Subject, name: JointId) -> JointId | None:
    """The nearest joint straight above or below, unless a stick at the joint runs there already."""
    here = subject.truss.joints[name]
    upright = [
        (abs(joint.y - here.y), other)
        for other, joint in subject.truss.joints.items()
        if other != name and abs(joint.x - here.x) < subject.snap
    ]
    nearest = min(upright)[1] if upright else None
    return None if nearest in graph_of(subject.truss)[name] else nearest


def _bare(subject: Subject) -> dict[JointId, MemberId]:
    """Joints at which one line runs through and nothing else is known, with the stick, or the first of two."""
    truss, graph = subject.truss, graph_of(subject.truss)
    known, purlins = set(_joints(truss)), _purlins(truss)
    ends = subject.views["pinned"].idealised.stations
    found: dict[JointId, MemberId] = {}
    for name, member in truss.members.items():
        places = _places(truss, name)
        for joint in member.through:
            through = joint in member.through[1:-1] or joint in ends
            if not through or len(graph[joint]) != 2 or joint in known or joint in found:
                continue
            near = [*(place - along(truss, name, joint) for place in places)]
            near += [place - truss.joints[joint].x for place in purlins]
            if not any(abs(apart) < subject.snap for apart in near):
                found[joint] = name
    return found


def _joints(truss: Truss) -> Iterator[JointId]:
    """Joints named by a load, a bearing or a record of the survey."""
    yield from truss.supports
    named: list[JointId | float | None] = []
    for content in truss.loads.cases.values():
        for load in content.loads:
            match load:
                case JointLoad():
                    yield load.joint
                case PointLoad():
                    named.append(load.at)
                case LineLoad():
                    named += [load.start, load.end]
                case _:
                    pass
    named += [place for surface in truss.surfaces.values() for place in surface.purlins or ()]
    named += [place for weight in _hung(truss) for place in (weight.joint, weight.at)]
    named += [joined.joint for joined in truss.connections.values()]
    named += [point.joint for tendon in truss.tendons.values() for point in tendon.path]
    for member in truss.members.values():
        named += _recorded(member)
    yield from (JointId(place) for place in named if isinstance(place, str))


def _places(truss: Truss, name: MemberId) -> list[float]:
    """Distances along a stick at which something is recorded."""
    at = _recorded(truss.members[name])
    at += [weight.at for weight in _hung(truss) if weight.member == name]
    return [place for place in at if isinstance(place, float)]


def _recorded(member: Member) -> list[JointId | float | None]:
    """Where butts and braces of a stick are."""
    butts = [butt.at for butt in member.butts or ()]
    return [*butts, *(brace.at for brace in member.braced or ())]


def _purlins(truss: Truss) -> list[float]:
    return [x for surface in truss.surfaces.values() for x in surface.purlins or () if isinstance(x, float)]


def _hung(truss: Truss) -> list[Hung]:
    return [] if truss.site is None else list((truss.site.hung or {}).values())
