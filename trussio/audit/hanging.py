"""How the truss hangs together: parts, loose ends, members and joints on which a whole framework hangs.

A *framework* is a set of joints with a ring of members in it, so that it is more than a row of sticks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.audit.graph import cuts, edges_within, graph_of, parts_of
from trussio.audit.wording import joint_pointers, listed, member_pointers
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.graph import Graph
    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, MemberId, Truss


def parts(subject: Subject) -> Iterator[Finding]:
    """Parts that no member connects, the largest taken for the truss itself."""
    order = {name: index for index, name in enumerate(subject.truss.joints)}
    found = [sorted(part, key=order.__getitem__) for part in parts_of(graph_of(subject.truss)) if len(part) > 1]
    found.sort(key=lambda part: (-len(part), order[part[0]]))
    for part in found[1:]:
        held = [name for name in part if name in subject.truss.supports]
        bearing = f"It has bearings of its own at {listed(held)}." if held else "No bearing holds it."
        yield Finding(
            code="parts",
            level="query",
            where=joint_pointers(part),
            says=f"{listed(part)} are a part of their own: no member joins them to the rest. {bearing}",
            do="Ask whether a joint is missing where the parts touch, or give each truss a document of its own.",
            evidence={"joints": [*part], "supports": [*held], "parts": len(found)},
        )


def lone_joints(subject: Subject) -> Iterator[Finding]:
    """Joints that no member meets and that a bearing holds; the others are mechanisms."""
    graph, free = graph_of(subject.truss), set(subject.view.statics.moving)
    for name in subject.truss.joints:
        if not graph[name] and name not in free:
            yield Finding(
                code="lone-joint",
                level="query",
                where=joint_pointers([name]),
                says=f"No member meets {name}; its bearing carries nothing but what is put on it.",
                do="Delete the joint, or say which member bears there.",
                evidence={"joint": name},
            )


def loose_ends(subject: Subject) -> Iterator[Finding]:
    """Ends that meet nothing: overhangs of longer sticks are a note, single pieces a query."""
    graph = graph_of(subject.truss)
    for segment in subject.truss.segments:
        for name in (segment.first, segment.last):
            if len(graph[name]) == 1 and name not in subject.truss.supports:
                yield _loose_end(name, subject.truss, segment.member)


def necks(subject: Subject) -> Iterator[Finding]:
    """Joints and members on which a whole framework hangs: without them it falls in two."""
    graph = graph_of(subject.truss)
    joints, pairs = cuts(graph)
    for name in joints:
        sides = [side for part in parts_of(graph, [name]) if _is_framework(graph, side := part | {name})]
        if len(sides) > 1:
            yield Finding(
                code="neck",
                level="note",
                where=joint_pointers([name]),
                says=f"Two frameworks hang together at {name} alone and turn there against each other.",
                do="Nothing, if a hinge is meant; else ask whether a member crosses over beside it.",
                evidence={"joint": name, "sides": [len(side) for side in sides]},
            )
    for first, last in pairs:
        if all(_is_framework(graph, _side(graph, here, there)) for here, there in ((first, last), (last, first))):
            members = _members_between(subject.truss, first, last)
            yield Finding(
                code="bridge",
                level="note",
                where=member_pointers(members),
                says=f"Two frameworks hang together by {listed(members)} alone, from {first} to {last}.",
                do="Ask whether other members join them; the whole load of one passes through this stick.",
                evidence={"members": [*members], "joints": [first, last]},
            )


def _loose_end(name: JointId, truss: Truss, member: MemberId) -> Finding:
    overhang = len(truss.members[member].through) > 2
    return Finding(
        code="overhang" if overhang else "loose-end",
        level="note" if overhang else "query",
        where=(*joint_pointers([name]), *member_pointers([member])),
        says=f"{member} runs on past its last meeting and ends free at {name}."
        if overhang
        else f"{member} ends at {name} and meets nothing there: no other member, no bearing.",
        do="Nothing, if it is an overhang of the eaves."
        if overhang
        else "Ask what it is joined to; a gap in the drawing may have kept it from its joint.",
        evidence={"joint": name, "member": member},
    )


def _side(graph: Graph, here: JointId, there: JointId) -> set[JointId]:
    """The joints on this side of a pair whose segment is cut."""
    (side,) = (part for part in parts_of(graph, [there]) if here in part)
    return side


def _is_framework(graph: Graph, joints: set[JointId]) -> bool:
    return edges_within(graph, joints) >= len(joints)


def _members_between(truss: Truss, first: JointId, last: JointId) -> list[MemberId]:
    return [s.member for s in truss.segments if {s.first, s.last} == {first, last}]
