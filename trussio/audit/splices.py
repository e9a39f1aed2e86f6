"""Where sticks and their plies are spliced: butts close together, two in one panel, in the middle of a bent panel.

Terms: a *panel* is the stretch of a stick between joints where something holds it in the plane: another stick, a
bearing, its own end. A *butt* is where one ply ends and the next begins. Plies that run through carry for a butted
one, so that butts of two plies should lie `APART`; a piece of timber shorter than a panel was put in for want of a
longer one; and where a chord bends most, in the middle half of a panel, it should be whole. All of it is common
practice, no source.
"""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Final

from trussio.audit.graph import graph_of
from trussio.audit.unevaluable import along, targets
from trussio.audit.wording import joint_pointers, length, listed, member_pointers, pointer, rounded
from trussio.model.finding import Finding
from trussio.model.loading import LineLoad, PointLoad
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.connection import Butt
    from trussio.model.truss import JointId, MemberId, Truss

APART: Final = 24 * MM_PER_INCH
"""Butts of different plies should lie at least so far from each other, mm."""
CHORDS: Final = ("top-chord", "bottom-chord")
NEAR: Final = 0.25
"""A butt nearer to the end of its panel than this share of it lies where a chord bends little."""


def butts(subject: Subject) -> Iterator[Finding]:
    """Butts near each other, two of one ply in a panel, those in the middle of a panel that bends."""
    truss = subject.truss
    bent = set(_bent(truss))
    for name, member in truss.members.items():
        placed = [(index, butt, along(truss, name, butt.at)) for index, butt in enumerate(member.butts or ())]
        if placed:
            yield from _close(truss, name, placed)
            yield from _same_panel(subject, name, placed)
            if name in bent:
                yield from _mid_panel(subject, name, placed)


def splices(subject: Subject) -> Iterator[Finding]:
    """Splices of whole sticks where nothing else meets: in a bent chord, and two in one panel."""
    truss = subject.truss
    meeting: dict[JointId, list[MemberId]] = {name: [] for name in truss.joints}
    for segment in truss.segments:
        meeting[segment.first].append(segment.member)
        meeting[segment.last].append(segment.member)
    bare = {
        joint: names
        for joint, names in meeting.items()
        if len(set(names)) == 2 == len(names)
        and joint not in truss.supports
        and all(truss.members[name].role in CHORDS for name in names)
    }
    for joint, names in bare.items():
        if all(truss.members[name].curve is not None and not truss.members[name].fixed for name in names):
            yield Finding(
                code="splice-in-bent-chord",
                level="query",
                where=(*joint_pointers([joint]), *member_pointers(names)),
                says=f"{listed(names)} are spliced at {joint}, where no web meets them: a hinge in the bend of a "
                "chord, which moves in or out under load on one side.",
                do="See whether it is a hinge, or what passes the moment on; make it one if one stick runs on.",
                evidence={"joint": joint, "members": [*names]},
            )
    for name, member in truss.members.items():
        first, last = member.through[0], member.through[-1]
        if first in bare and last in bare and all(len(meeting[joint]) < 3 for joint in member.through):
            yield _two(name, (first, last), f"at {first} and {last}")


def _close(truss: Truss, name: MemberId, placed: list[tuple[int, Butt, float]]) -> Iterator[Finding]:
    """Butts of different plies nearer to each other than they should be."""
    least = APART / MM_PER_INCH if truss.units == "us" else APART
    for (one, first, start), (other, second, end) in combinations(placed, 2):
        gap = abs(end - start)
        if first.ply != second.ply and gap < least:
            units = truss.units
            yield Finding(
                code="butts-close",
                level="query",
                where=tuple(pointer("members", name, "butts", index) for index in (one, other)),
                says=f"Plies {first.ply} and {second.ply} of {name} are butted {length(gap, units)} apart, "
                f"{length(start, units)} and {length(end, units)} along it."
                if gap > 0
                else f"Plies {first.ply} and {second.ply} of {name} are butted at one place, "
                f"{length(start, units)} along it.",
                do="Measure both again; find what brings the force of both plies past this place.",
                evidence={"member": name, "plies": [first.ply, second.ply], "apart": rounded(gap)},
            )


def _same_panel(subject: Subject, name: MemberId, placed: list[tuple[int, Butt, float]]) -> Iterator[Finding]:
    """Two butts of one ply within a panel."""
    truss = subject.truss
    for start, end in pairwise(_held(subject, name)):
        inside = [(butt.ply, place) for _, butt, place in placed if start < place < end]
        for ply in dict.fromkeys(ply for ply, _ in inside):
            places = [place for each, place in inside if each == ply]
            if len(places) > 1:
                at = listed(length(place, truss.units) for place in sorted(places))
                yield _two(name, (), f"in ply {ply}, {at} along it")


def _two(name: MemberId, joints: tuple[JointId, ...], at: str) -> Finding:
    return Finding(
        code="splices-in-panel",
        level="query",
        where=(*joint_pointers(joints), *member_pointers([name])),
        says=f"{name} has two splices in one panel, {at}: a piece shorter than it, held by nothing else.",
        do="Measure again; a splice may be a joint of a web, or the piece a repair.",
        evidence={"member": name, "joints": [*joints]},
    )


def _mid_panel(subject: Subject, name: MemberId, placed: list[tuple[int, Butt, float]]) -> Iterator[Finding]:
    """Butts in the middle half of a panel that bends."""
    held = _held(subject, name)
    inside = [
        (index, butt, place)
        for index, butt, place in placed
        for start, end in pairwise(held)
        if min(place - start, end - place) > NEAR * (end - start)
    ]
    if inside:
        units = subject.truss.units
        each = listed(f"ply {butt.ply} {length(place, units)} along it" for _, butt, place in inside)
        yield Finding(
            code="splice-mid-panel",
            level="query",
            where=tuple(pointer("members", name, "butts", index) for index, _, _ in inside),
            says=f"{name} bends between its joints and is butted in the middle of a panel: {each}.",
            do="Find what passes the moment on there; only the plies that run through may be counted in bending.",
            evidence={"member": name, "at": [rounded(place) for _, _, place in inside]},
        )


def _held(subject: Subject, name: MemberId) -> list[float]:
    """Distances along a stick of its ends and of joints where something holds it."""
    truss, graph = subject.truss, graph_of(subject.truss)
    through = truss.members[name].through
    ends = {through[0], through[-1]}
    held = [joint for joint in through if joint in ends or joint in truss.supports or len(graph[joint]) > 2]
    return [along(truss, name, joint) for joint in held]


def _bent(truss: Truss) -> Iterator[MemberId]:
    """Chords that are curved, or loaded between their joints."""
    loads = (load for case in truss.loads.cases.values() for load in case.loads)
    loaded = [name for load in loads if isinstance(load, LineLoad | PointLoad) for name in targets(truss, load.on)]
    for name, member in truss.members.items():
        if member.role in CHORDS and (member.curve is not None or name in loaded):
            yield name
