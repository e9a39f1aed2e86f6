"""How the truss hangs together: parts, loose ends, members and joints on which everything hangs.

The graph has the joints as nodes and the segments as edges; geometry plays no part here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

from trussio.audit.wording import joint_pointers, listed, member_pointers
from trussio.model.finding import Finding
from trussio.model.truss import JointId

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import MemberId, Segment, Truss


def graph_of(truss: Truss) -> nx.MultiGraph[JointId]:
    """Joints and segments of a truss; each edge carries its segment."""
    graph: nx.MultiGraph[JointId] = nx.MultiGraph()
    graph.add_nodes_from(truss.joints)
    for segment in truss.segments:
        graph.add_edge(segment.first, segment.last, key=segment.id, segment=segment)
    return graph


def parts(subject: Subject) -> Iterator[Finding]:
    """Parts that no member connects, the largest taken for the truss itself."""
    graph = graph_of(subject.truss)
    order = {name: index for index, name in enumerate(subject.truss.joints)}
    found = [sorted(part, key=order.__getitem__) for part in nx.connected_components(graph) if len(part) > 1]
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
    met = {joint for segment in subject.truss.segments for joint in (segment.first, segment.last)}
    free = set(subject.view.statics.moving)
    for name in subject.truss.joints:
        if name not in met and name not in free:
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
    for name, degree in graph.degree():
        if degree != 1 or name in subject.truss.supports:
            continue
        member = _only_segment(graph, name).member
        overhang = len(subject.truss.members[member].through) > 2
        yield Finding(
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


def necks(subject: Subject) -> Iterator[Finding]:
    """Joints and members on which a whole framework hangs: without them it falls in two."""
    graph = nx.Graph(graph_of(subject.truss))
    for name in sorted(nx.articulation_points(graph), key=list(subject.truss.joints).index):
        sides = _frameworks_without(graph, name)
        if len(sides) > 1:
            yield Finding(
                code="neck",
                level="note",
                where=joint_pointers([name]),
                says=f"Two frameworks hang together at {name} alone and turn there against each other.",
                do="Nothing, if a hinge is meant; else ask whether a member crosses over beside it.",
                evidence={"joint": name, "sides": [len(side) for side in sides]},
            )
    ties = [(JointId(first), JointId(last)) for first, last in sorted(nx.bridges(graph))]
    for first, last in ties:
        cut = graph.copy()
        cut.remove_edge(first, last)
        if all(_has_ring(cut.subgraph(nx.node_connected_component(cut, end))) for end in (first, last)):
            members = _members_between(subject.truss, first, last)
            yield Finding(
                code="bridge",
                level="note",
                where=member_pointers(members),
                says=f"Two frameworks hang together by {listed(members)} alone, from {first} to {last}.",
                do="Ask whether other members join them; the whole load of one passes through this stick.",
                evidence={"members": [*members], "joints": [first, last]},
            )


def _only_segment(graph: nx.MultiGraph[JointId], name: JointId) -> Segment:
    segment: Segment
    ((_, _, segment),) = graph.edges(name, data="segment")
    return segment


def _frameworks_without(graph: nx.Graph[JointId], name: JointId) -> list[set[JointId]]:
    cut = graph.copy()
    cut.remove_node(name)
    sides = (part | {name} for part in nx.connected_components(cut))
    return [side for side in sides if _has_ring(graph.subgraph(side))]


def _has_ring(graph: nx.Graph[JointId]) -> bool:
    return graph.number_of_edges() >= graph.number_of_nodes()


def _members_between(truss: Truss, first: JointId, last: JointId) -> list[MemberId]:
    return [s.member for s in truss.segments if {s.first, s.last} == {first, last}]
