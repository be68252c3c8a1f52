"""Trees: the clock against Edmonds' arborescences, one signal for many lists against a Steiner tree."""

from __future__ import annotations

from typing import Any

import networkx
import pytest

import patchloom
from patchloom.model.patch import ClockDomain, Patch
from patchloom.model.rig import Rig
from patchloom.solve.clock import clock_domains

from .networks import rig_of, show_of

EDMONDS = [
    (0, 2, 12), (0, 4, 12), (1, 0, 4), (1, 5, 13), (2, 1, 17), (2, 3, 21), (2, 5, 12), (3, 0, 5), (3, 4, 17), (3, 6, 18),
    (4, 7, 12), (5, 6, 14), (5, 8, 12), (6, 2, 21), (6, 8, 15), (7, 3, 19), (7, 6, 15), (8, 7, 18),
]  # fmt: skip
"""The example of J. Edmonds 1967 by arcs and weights."""


def published() -> networkx.DiGraph:
    """Return the example as a graph."""
    graph = networkx.DiGraph()
    graph.add_weighted_edges_from(EDMONDS)
    return graph


def tree(domain: ClockDomain) -> networkx.DiGraph:
    """Return the arcs clock travels along."""
    return networkx.DiGraph((int(row.from_[1:]), int(row.device[1:])) for row in domain.followers)


def clocked(arcs: list[tuple[int, int]], leader: int | None = None) -> Rig:
    """Return a rig of devices joined by one-way clock lines, one for each arc."""
    nodes = sorted({node for arc in arcs for node in arc})
    ports: dict[int, dict[str, Any]] = {node: {} for node in nodes}
    links = []
    for number, (start, end) in enumerate(arcs):
        ports[start][f"p{number}"] = {"speaks": ["wire"], "ways": "out"}
        ports[end][f"p{number}"] = {"speaks": ["wire"], "ways": "in"}
        links.append({"id": f"L{number}", "join": [f"D{start}.p{number}", f"D{end}.p{number}"], "format": "wire"})
    made: dict[str, Any] = {
        "format": "rig/1",
        "rate": 48000,
        "formats": {"wire": {"channels": {"48000": 0}, "pass": ["clock"], "one_way": True}},
        "types": {f"D{node}": {"role": "box", "ports": ports[node]} for node in nodes},
        "devices": {f"D{node}": f"D{node}" for node in nodes},
        "links": links,
    }
    if leader is not None:
        made["clock"] = {"leader": f"D{leader}"}
    return patchloom.read_rig(made)


def test_published_optimum() -> None:
    """The graph is the published one: its heaviest branching weighs 131.  Source: Edmonds 1967 through networkx' own tests."""
    best = networkx.maximum_branching(published())
    assert sum(weight for _, _, weight in best.edges.data("weight")) == 131


@pytest.mark.parametrize("leader", range(9))
def test_clock_makes_an_arborescence_where_there_is_one(leader: int) -> None:
    """From every leader of Edmonds' graph: all follow, each from one port, over as few links as there can be.

    Source: Edmonds 1967; trees, distances and the published optimum (131, from leader 0) by networkx.
    """
    graph = published()
    domains, facts = clock_domains(clocked([(start, end) for start, end, _ in EDMONDS], leader))
    assert facts == []
    found = tree(domains[0])
    assert networkx.is_arborescence(found)
    assert set(found) == set(graph)
    far = networkx.single_source_shortest_path_length(graph, leader)
    assert {int(row.device[1:]): row.depth for row in domains[0].followers} == {node: hops for node, hops in far.items() if hops}
    assert sum(graph.edges[arc]["weight"] for arc in found.edges) <= 131


@pytest.mark.parametrize("leader", range(9))
def test_clock_is_refused_where_there_is_no_arborescence(leader: int) -> None:
    """Without the arcs into node 0 only node 0 reaches all; any other leader is refused, and who it misses is named.

    Source: Edmonds 1967 graph; who can be reached by networkx.
    """
    arcs = [(start, end) for start, end, _ in EDMONDS if end != 0]
    missing = set(range(9)) - {leader} - networkx.descendants(networkx.DiGraph(arcs), leader)
    domains, facts = clock_domains(clocked(arcs, leader))
    assert bool(domains) is (not missing) is (leader == 0)
    assert {int(name[1:]) for fact in facts for name in fact.members} == missing
    assert sum(fact.short or 0 for fact in facts) == len(missing)


def test_leader_is_the_root_that_reaches_all() -> None:
    """Where nobody is named, the one device that reaches all leads.  Source: Edmonds 1967 graph without the arcs into 0."""
    domains, _ = clock_domains(clocked([(start, end) for start, end, _ in EDMONDS if end != 0]))
    assert domains[0].leader == "D0"


STEINER = {
    ("n1", "n2"): 10,
    ("n2", "n3"): 10,
    ("n3", "n4"): 10,
    ("n4", "n5"): 10,
    ("n5", "n6"): 10,
    ("n2", "n7"): 1,
    ("n5", "n7"): 1,
}
"""A graph of networkx' own tests of Steiner trees."""


def passed(rig: Rig, patch: Patch) -> list[tuple[str, ...]]:
    """Return the edges a patch's lines pass, each once."""
    joined = [rig.link_at(hop.device, hop.bank.split(".")[0]) for route in patch.settings[0].routes for hop in route.hops]
    return sorted({tuple(sorted(end.split(".")[0] for end in link.join)) for link in joined if link is not None})


@pytest.mark.parametrize(("without", "weight"), [("", 32), ("n7", 40)])
def test_one_signal_for_many_lists_takes_a_steiner_tree(without: str, weight: int) -> None:
    """From node 1 to 2, 3, 4, 5, links dear by their weight: what is passed weighs 32, and 40 where node 7 is missing.

    Source: graph of networkx' tests; 32 and 40 by arithmetic.
    """
    edges = {edge: size for edge, size in STEINER.items() if without not in edge}
    ends = ["n2", "n3", "n4", "n5"]
    rig = rig_of(dict.fromkeys(edges, 1), {"n1": 1}, dict.fromkeys(ends, 1))
    show = show_of(rig, [("solo", "n1", ends)])
    weights = {f"L{number}": size for number, size in enumerate(edges.values())}

    @patchloom.routing_rule(name="dear", version="1")
    def dear(hop: Any) -> float | None:
        return 10 * weights[hop.link] if hop.link else None  # far above what handing on inside a box costs of itself

    patch = patchloom.solve(rig, show, rules=[dear])
    assert patchloom.verify(rig, show, patch, rules=[dear]) == ()
    found = passed(rig, patch)
    assert networkx.is_tree(networkx.Graph(found))
    assert sum(edges[edge] for edge in found) == weight


def test_without_weights_the_fewest_links_join_all() -> None:
    """Where every link counts alike, four links join node 1 to 2, 3, 4, 5.  Source: same graph; by arithmetic."""
    ends = ["n2", "n3", "n4", "n5"]
    rig = rig_of(dict.fromkeys(STEINER, 1), {"n1": 1}, dict.fromkeys(ends, 1))
    show = show_of(rig, [("solo", "n1", ends)])
    assert len(passed(rig, patchloom.solve(rig, show))) == 4
