"""Parts, joints and pairs whose loss parts the graph, against networkx as an outside library."""

from __future__ import annotations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.audit.forms import pitched
from trussio.audit.graph import cuts, edges_within, graph_of, parts_of
from trussio.model.truss import JointId

NAMES = [JointId(f"j{k}") for k in range(9)]
PAIR = st.tuples(st.sampled_from(NAMES), st.sampled_from(NAMES)).filter(lambda pair: pair[0] != pair[1])


def made(pairs: list[tuple[JointId, JointId]]) -> dict[JointId, list[JointId]]:
    beside: dict[JointId, list[JointId]] = {name: [] for name in NAMES}
    for first, last in pairs:
        beside[first].append(last)
        beside[last].append(first)
    return beside


@settings(max_examples=400, deadline=None)
@given(st.lists(PAIR, max_size=16))
def test_parts_and_cuts_are_those_that_networkx_finds(pairs: list[tuple[JointId, JointId]]) -> None:
    peer: nx.MultiGraph[JointId] = nx.MultiGraph()
    peer.add_nodes_from(NAMES)
    peer.add_edges_from(pairs)
    graph = made(pairs)
    assert {frozenset(part) for part in parts_of(graph)} == {frozenset(p) for p in nx.connected_components(peer)}
    joints, ends = cuts(graph)
    assert set(joints) == set(nx.articulation_points(nx.Graph(peer)))
    assert {frozenset(pair) for pair in ends} == {frozenset(pair) for pair in nx.bridges(peer)}
    assert edges_within(graph, NAMES[:5]) == nx.Graph(peer).subgraph(NAMES[:5]).number_of_edges()


def test_a_pitched_truss_is_one_part_and_nothing_single_parts_it() -> None:
    graph = graph_of(pitched())
    assert [len(part) for part in parts_of(graph)] == [12]
    assert cuts(graph) == ([], [])


def test_a_long_row_of_sticks_is_walked_without_recursion() -> None:
    row = [JointId(f"r{k}") for k in range(5000)]
    graph = {name: [row[k] for k in (place - 1, place + 1) if 0 <= k < 5000] for place, name in enumerate(row)}
    joints, pairs = cuts(graph)
    assert (len(joints), len(pairs)) == (4998, 4999)
