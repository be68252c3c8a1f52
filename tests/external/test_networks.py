"""Room of links in real networks: what the solver says against maximum flow.

Source of every check here: the SNDlib networks (Orlowski, Pioro, Tomaszewski, Wessaly 2010) as the package topohub carries
them, flows by networkx.  The networks' own capacities are not carried; links get one to three channels by a fixed seed.
"""

from __future__ import annotations

import json
import random
from importlib.resources import files

import networkx
import pytest

import patchloom

from .networks import Edge, all_to, rig_of, show_of

NETWORKS = sorted(path.name.removesuffix(".json") for path in (files("topohub") / "data" / "sndlib").iterdir())


def edges_of(name: str, least: int = 1, most: int = 3) -> dict[Edge, int]:
    """Return the edges of a network, each with a number of channels."""
    data = json.loads((files("topohub") / "data" / "sndlib" / f"{name}.json").read_text(encoding="utf-8"))
    draw = random.Random(name)
    pairs = sorted({(min(row["source"], row["target"]), max(row["source"], row["target"])) for row in data["edges"]})
    return {(f"N{one}", f"N{other}"): draw.randint(least, most) for one, other in pairs}


def graph_of(edges: dict[Edge, int]) -> networkx.DiGraph:
    """Return the same as a graph with capacities, each way."""
    graph = networkx.DiGraph()
    for (one, other), size in edges.items():
        graph.add_edge(one, other, capacity=size)
        graph.add_edge(other, one, capacity=size)
    return graph


def full(name: str) -> tuple[dict[Edge, int], dict[str, int], str]:
    """Return edges, an end, and how many signals of each of three nodes fill all ways to it."""
    edges = edges_of(name)
    graph = graph_of(edges)
    end, *starts = random.Random(name).sample(sorted(graph), 4)
    for start in starts:
        graph.add_edge("all", start, capacity=50)
    value, flow = networkx.maximum_flow(graph, "all", end)
    counts = {start: int(flow["all"][start]) for start in starts}
    assert sum(counts.values()) == value
    return edges, {start: count for start, count in counts.items() if count}, end


@pytest.mark.parametrize("name", NETWORKS)
def test_as_many_signals_as_the_flow(name: str) -> None:
    """A full network is routed to the last channel; one to four signals more are impossible, and short by exactly these."""
    edges, counts, end = full(name)
    patchloom.solve(*all_to(edges, counts, end))  # judged from scratch before it is returned
    over = random.Random(f"over {name}").randint(1, 4)
    more = {**counts, min(counts): counts[min(counts)] + over}
    with pytest.raises(patchloom.Impossible) as proof:
        patchloom.solve(*all_to(edges, more, end), explain=False)
    assert [(fact.there, fact.short) for fact in proof.value.facts] == [(sum(counts.values()), over)]


@pytest.mark.parametrize(
    ("name", "nodes", "edges", "together"),
    [
        ("abilene", 12, 15, 1),
        ("polska", 12, 18, 2),
        ("atlanta", 15, 22, 2),
        ("nobel-germany", 17, 26, 2),
        ("newyork", 16, 49, 2),
        ("germany50", 50, 88, 2),
        ("di-yuan", 11, 42, 7),
        ("pdh", 11, 34, 4),
    ],
)
def test_ways_apart_to_the_least_joined_node(name: str, nodes: int, edges: int, together: int) -> None:
    """As many signals reach the least joined node over links of one channel as its edge connectivity says, and no more.

    Counts of nodes, edges and connectivity as published with the networks.
    """
    single = edges_of(name, 1, 1)
    graph = graph_of(single).to_undirected()
    assert (len(graph), len(single)) == (nodes, edges)
    end = min(graph, key=lambda node: (graph.degree(node), node))
    start = max(graph, key=lambda node: (graph.degree(node), node))
    patchloom.solve(*all_to(single, {start: together}, end))
    with pytest.raises(patchloom.Impossible):
        patchloom.solve(*all_to(single, {start: together + 1}, end), explain=False)


def test_both_directions_are_full_at_once() -> None:
    """A link carries its channels each way: two nodes fill every way between them in both directions."""
    edges = edges_of("polska")
    graph = graph_of(edges)
    one, other = "N0", "N7"
    there, back = networkx.maximum_flow_value(graph, one, other), networkx.maximum_flow_value(graph, other, one)
    rig = rig_of(edges, {one: there, other: back}, {one: back, other: there})
    sent = [(f"there{k}", one, [other]) for k in range(there)] + [(f"back{k}", other, [one]) for k in range(back)]
    assert patchloom.verify(rig, show_of(rig, sent), patchloom.solve(rig, show_of(rig, sent))) == ()
