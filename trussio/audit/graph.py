"""The graph of a truss: joints as nodes, segments as edges; parts, joints and edges whose loss parts it.

Geometry plays no part here. Written out because a graph library takes longer to load than the whole audit.
Source: J. Hopcroft and R. Tarjan, Efficient algorithms for graph manipulation, Communications of the ACM 16 (1973)
(from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from trussio.model.truss import JointId, Truss

    Graph = Mapping[JointId, list[JointId]]


def graph_of(truss: Truss) -> Graph:
    """The joints beside each joint, once for each segment between the two, in document order."""
    beside: dict[JointId, list[JointId]] = {name: [] for name in truss.joints}
    for segment in truss.segments:
        beside[segment.first].append(segment.last)
        beside[segment.last].append(segment.first)
    return beside


def parts_of(graph: Graph, without: Collection[JointId] = ()) -> list[set[JointId]]:
    """The connected parts, some joints left out, by their first joints in document order."""
    found: list[set[JointId]] = []
    seen = set(without)
    for start in graph:
        if start not in seen:
            part: set[JointId] = set()
            waiting = [start]
            while waiting:
                joint = waiting.pop()
                if joint not in seen:
                    seen.add(joint)
                    part.add(joint)
                    waiting += graph[joint]
            found.append(part)
    return found


def edges_within(graph: Graph, joints: Collection[JointId]) -> int:
    """How many pairs of these joints a segment joins."""
    inside = set(joints)
    return sum(len(inside.intersection(graph[joint])) for joint in inside) // 2


def cuts(graph: Graph) -> tuple[list[JointId], list[tuple[JointId, JointId]]]:
    """The joints, and the pairs that a single segment joins, whose loss parts the graph, in document order.

    A walk gives every joint its turn and the earliest turn that can be reached from it without going back the way
    it came. Where nothing beyond a joint reaches earlier than the joint itself, it parts the graph.
    """
    turn: dict[JointId, int] = {}
    earliest: dict[JointId, int] = {}
    joints: set[JointId] = set()
    pairs: set[tuple[JointId, JointId]] = set()
    for root in graph:
        branches = 0
        for before, here in _walked(graph, root, turn, earliest) if root not in turn else ():
            branches += before == root
            if before != root and earliest[here] >= turn[before]:
                joints.add(before)
            if earliest[here] > turn[before]:
                pairs.add((before, here))
        if branches > 1:
            joints.add(root)
    order = {name: index for index, name in enumerate(graph)}
    ends = [(a, b) if order[a] < order[b] else (b, a) for a, b in pairs]
    return sorted(joints, key=order.__getitem__), sorted(ends, key=lambda pair: (order[pair[0]], order[pair[1]]))


def _walked(
    graph: Graph, root: JointId, turn: dict[JointId, int], earliest: dict[JointId, int]
) -> Iterator[tuple[JointId, JointId]]:
    """Walk all that hangs together; each step (from, to) once all beyond it is walked and `earliest` final."""
    turn[root] = earliest[root] = len(turn)
    way: list[tuple[JointId, Iterator[JointId]]] = [(root, iter(graph[root]))]
    while way:
        here, ahead = way[-1]
        before = way[-2][0] if len(way) > 1 else None
        onward = next(ahead, None)
        if onward is None:
            way.pop()
            if before is not None:
                earliest[before] = min(earliest[before], earliest[here])
                yield before, here
        elif onward not in turn:
            turn[onward] = earliest[onward] = len(turn)
            way.append((onward, iter(graph[onward])))
        elif onward != before or graph[here].count(onward) > 1:
            earliest[here] = min(earliest[here], turn[onward])
