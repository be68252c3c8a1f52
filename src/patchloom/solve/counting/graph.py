"""The only door to networkx: a cut that shows why a list cannot be filled.

Comes in: numbered nodes with capacities and ways between them.  Goes out: the flow that exists and the nodes of a
smallest cut.  Next: `bounds.py` words it.  networkx is imported on use; a show that is solved never needs it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

__all__ = ["smallest_cut"]


def smallest_cut(
    capacity: Mapping[Any, int], ways: Iterable[tuple[Any, Any]], sources: Mapping[Any, int], sinks: Iterable[Any]
) -> tuple[int, list[Any]]:
    """Return (greatest flow, nodes of a smallest cut in order) from sources with supplies to sinks.

    Every node passes at most its capacity; ways are unlimited.  Deterministic: nodes are added in the order given.
    """
    import networkx as nx

    graph = nx.DiGraph()
    for node, most in capacity.items():
        graph.add_edge((node, "in"), (node, "out"), capacity=most)
    for start, end in ways:
        graph.add_edge((start, "out"), (end, "in"))
    for node, supply in sources.items():
        graph.add_edge("supply", ("from", node), capacity=supply)
        for entry in node:
            graph.add_edge(("from", node), (entry, "in"))
    for node in sinks:
        graph.add_edge((node, "out"), "demand")
    if "supply" not in graph or "demand" not in graph:
        return 0, []
    value, (near, _) = nx.minimum_cut(graph, "supply", "demand")
    return int(value), [node for node in capacity if (node, "in") in near and (node, "out") not in near]
