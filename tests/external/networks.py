"""Rigs made from graphs: every node a device that joins anything to anything, every edge a link of so many channels.

Comes in: a graph as pairs of node names, channels by edge, what is sent from where to where.  Goes out: a rig and a show.
Next: the tests hold what `solve` says against flows, trees and pairings found by other libraries.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import patchloom
from patchloom.model.rig import Rig
from patchloom.model.show import Show

Edge = tuple[str, str]


def rig_of(edges: Mapping[Edge, int], sockets: Mapping[str, int], tracks: Mapping[str, int], *, one_way: bool = False) -> Rig:
    """Return a rig with a device for each node and a link for each edge, of so many channels each way, or there only.

    No sampled audio, so that clock is no question here.
    `sockets` says how many inputs a node has, `tracks` how many slots end there.
    """
    nodes = sorted({node for edge in edges for node in edge} | set(sockets) | set(tracks))
    ports: dict[str, list[str]] = {node: [] for node in nodes}
    links = []
    for number, (one, other) in enumerate(edges):
        ports[one].append(f"p{number}")
        ports[other].append(f"p{number}")
        links.append(
            {"id": f"L{number}", "join": [f"{one}.p{number}", f"{other}.p{number}"], "format": f"wire{edges[one, other]}"}
        )
    return patchloom.read_rig(
        {
            "format": "rig/1",
            "rate": 48000,
            "formats": {
                f"wire{size}": {"channels": {"48000": size}, "pass": ["audio"], "one_way": one_way, "digital": False}
                for size in sorted(set(edges.values()))
            },
            "types": {node: _node(node, ports[node], edges, sockets.get(node, 0), tracks.get(node, 0)) for node in nodes},
            "devices": {node: node for node in nodes},
            "links": links,
        }
    )


def _node(node: str, ports: Sequence[str], edges: Mapping[Edge, int], sockets: int, tracks: int) -> dict[str, Any]:
    banks: dict[str, Any] = {}
    if sockets:
        banks["mic"] = {"slots": sockets, "socket": "in"}
    if tracks:
        banks["track"] = {"slots": tracks, "ends": "record"}
    inner = ["mic"] if sockets else []
    speaks = sorted({f"wire{size}" for size in edges.values()})
    rows = []
    for port in ports:
        among = [*inner, *(f"{other}.in" for other in ports if other != port)]
        if among:
            rows.append({"into": f"{port}.out", "from": among})
    if tracks:
        rows.append({"into": "track", "from": [*inner, *(f"{port}.in" for port in ports)]})
    joined = {port: {"speaks": speaks} for port in ports}
    return {"role": "box", "digital": False, "banks": banks, "ports": joined, "select": rows}


def show_of(rig: Rig, sent: Iterable[tuple[str, str, Sequence[str]]]) -> Show:
    """Return a show: each row is (signal, node it plugs into, nodes that record it)."""
    rows = list(sent)
    lists: dict[str, list[str]] = {}
    for signal, _, ends in rows:
        for end in ends:
            lists.setdefault(end, []).append(signal)
    return patchloom.read_show(
        {
            "format": "show/1",
            "sources": [{"ids": [signal]} for signal, _, _ in rows],
            "plug": [{"sources": [signal], "into": f"{node}.mic"} for signal, node, _ in rows],
            "lists": [{"position": f"rec-{end}", "at": f"{end}.track", "wants": wants} for end, wants in lists.items()],
        },
        rig,
    )


def all_to(edges: Mapping[Edge, int], counts: Mapping[str, int], end: str) -> tuple[Rig, Show]:
    """Return a rig and a show in which so many signals of each node are to reach one node."""
    total = sum(counts.values())
    rig = rig_of(edges, counts, {end: total})
    names = [(f"s{node}_{number}", node) for node, count in counts.items() for number in range(1, count + 1)]
    return rig, show_of(rig, [(name, node, [end]) for name, node in names])
