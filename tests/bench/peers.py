"""What other ways of solving the same rigs take, each asked in a process of its own.

Comes in: a peer's name, a rig and a show as documents.  Goes out: a dict with `outcome` and `seconds`.  Next: `bench`.

- `slots`: the whole question as one CP-SAT model, every slot a variable (the oracle of the tests);
- `blocks-cpsat`, `blocks-highs`: the compact block model of hubs: how many of each kind of source stand in each block
  (or phantom group of a block), which desks take which block in.  Sockets are free within a box, blocks of 8;
- `paths`, `paths-weighted`: one networkx shortest path per want on the graph of devices, no capacities.

The block models know hubs only: boxes every desk hears, two-step desks.  They pack, and neither route nor lay out nor
name a clock: what they are given to do is less than what the product does.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

__all__ = ["PEERS", "Hub", "hub_of"]

LIMIT_S = 60.0


class Hub(NamedTuple):
    """What the packing of a hub asks: kinds of sources, blocks of boxes, how many blocks each desk takes."""

    kinds: list[tuple[tuple[str, str, tuple[str, ...], int], int]]
    """((box, phantom, desks, width), how many)."""
    blocks: list[tuple[str, tuple[int, ...]]]
    """(box, size of each phantom group)."""
    most: dict[str, int]


def hub_of(rig: dict[str, Any], show: dict[str, Any]) -> Hub:
    """Return the packing question of a hub's documents."""
    wanting: dict[str, list[str]] = {}
    for row in show["lists"]:
        for want in row["wants"]:
            wanting.setdefault(want, []).append(row["at"].split(".")[0])
    at = {row["source"]: row["into"].split(".")[0] for row in show["plug"]}
    kinds: Counter[tuple[str, str, tuple[str, ...], int]] = Counter()
    for row in show["sources"]:
        key = row["id"]
        kinds[at[key], row["phantom"], tuple(sorted(wanting.get(key, ()))), len(row.get("legs", "1"))] += 1
    blocks: list[tuple[str, tuple[int, ...]]] = []
    most: dict[str, int] = {}
    for name, device in rig["devices"].items():
        kind = rig["types"][device["type"]]
        if kind["role"] == "box":
            by = min(8, kind["preamps"]["pre"]["phantom_by"])
            for first in range(0, kind["banks"]["mic"]["slots"], 8):
                size = min(8, kind["banks"]["mic"]["slots"] - first)
                blocks.append((name, tuple(min(by, size - step) for step in range(0, size, by))))
        else:
            most[name] = kind["banks"]["intake"]["slots"] // 8
    return Hub(sorted(kinds.items()), blocks, most)


def _parts(hub: Hub) -> list[tuple[int, int, int]]:
    """Return (kind, block, group) of every place a kind may stand."""
    return [
        (kind, block, group)
        for kind, (key, _) in enumerate(hub.kinds)
        for block, (box, groups) in enumerate(hub.blocks)
        if key[0] == box
        for group in range(len(groups))
    ]


def blocks_cpsat(rig: dict[str, Any], show: dict[str, Any]) -> str:
    """Return what CP-SAT says of the compact block model."""
    from ortools.sat.python import cp_model

    hub, model = hub_of(rig, show), cp_model.CpModel()
    desks = list(hub.most)
    takes = {(b, d): model.new_bool_var("") for b in range(len(hub.blocks)) for d in desks}
    powered = {(b, g): model.new_bool_var("") for b, (_, groups) in enumerate(hub.blocks) for g in range(len(groups))}
    stand = {}
    for kind, block, group in _parts(hub):
        (_, phantom, wanted, width), count = hub.kinds[kind]
        top = min(count, hub.blocks[block][1][group] // width)
        here = stand[kind, block, group] = model.new_int_var(0, top, "")
        for desk in wanted:
            model.add(here <= top * takes[block, desk])
        if phantom == "need":
            model.add(here <= top * powered[block, group])
        elif phantom == "never":
            model.add(here <= top * (1 - powered[block, group]))
    _rows(hub, stand, lambda terms, low, top: model.add_linear_constraint(sum(terms), low, top), takes)
    for one in range(len(hub.blocks) - 1):  # equal blocks of a box in the order of who takes them
        if hub.blocks[one] == hub.blocks[one + 1]:
            model.add(sum(2**n * (takes[one, d] - takes[one + 1, d]) for n, d in enumerate(desks)) >= 0)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = LIMIT_S
    solver.parameters.num_workers = 2
    return {"OPTIMAL": "solved", "FEASIBLE": "solved", "INFEASIBLE": "impossible"}.get(
        solver.status_name(solver.solve(model)), "open"
    )


def _rows(hub: Hub, stand: dict[Any, Any], add: Callable[[list[Any], int, int], Any], takes: dict[Any, Any]) -> None:
    """Add what both models share: everybody stands somewhere, groups hold so many, desks take so many."""
    for kind, (_, count) in enumerate(hub.kinds):
        add([here for key, here in stand.items() if key[0] == kind], count, count)
    for block, (_, groups) in enumerate(hub.blocks):
        for group, size in enumerate(groups):
            held = [hub.kinds[key[0]][0][3] * here for key, here in stand.items() if key[1:] == (block, group)]
            if held:
                add(held, 0, size)
    for desk, most in hub.most.items():
        add([takes[block, desk] for block in range(len(hub.blocks))], 0, most)


def blocks_highs(rig: dict[str, Any], show: dict[str, Any]) -> str:
    """Return what HiGHS says of the compact block model."""
    import highspy

    hub, model = hub_of(rig, show), highspy.Highs()
    model.silent()
    model.setOptionValue("time_limit", LIMIT_S)
    model.setOptionValue("threads", 1)
    desks = list(hub.most)
    takes = {(b, d): model.addBinary() for b in range(len(hub.blocks)) for d in desks}
    powered = {(b, g): model.addBinary() for b, (_, groups) in enumerate(hub.blocks) for g in range(len(groups))}
    stand = {}
    for kind, block, group in _parts(hub):
        (_, phantom, wanted, width), count = hub.kinds[kind]
        top = min(count, hub.blocks[block][1][group] // width)
        here = stand[kind, block, group] = model.addIntegral(0, top)
        for desk in wanted:
            model.addConstr(here - top * takes[block, desk] <= 0)
        if phantom == "need":
            model.addConstr(here - top * powered[block, group] <= 0)
        elif phantom == "never":
            model.addConstr(here + top * powered[block, group] <= top)

    def add(terms: list[Any], low: int, top: int) -> None:
        total = model.qsum(terms)
        if low == top:
            model.addConstr(total == top)
        else:
            model.addConstr(total <= top)

    _rows(hub, stand, add, takes)
    model.solve()
    said = model.modelStatusToString(model.getModelStatus())
    return {"Optimal": "solved", "Infeasible": "impossible"}.get(said, "open")


def slots(rig: dict[str, Any], show: dict[str, Any]) -> str:
    """Return what the slot-level model says; a show with acts is asked for its first one."""
    sys.path.insert(0, str(Path(__file__).parents[1] / "oracle"))
    from oracle_model import answer

    from patchloom import read_rig, read_show
    from patchloom.model.period import acts, in_period

    here = read_rig(rig)
    tonight = read_show(show, here)
    if acts(tonight):
        here, tonight = in_period(here, tonight, acts(tonight)[0].id)
    return answer(here, tonight, LIMIT_S)[0]


def _paths(rig: dict[str, Any], show: dict[str, Any], weight: str | None) -> str:
    import networkx

    graph = networkx.Graph()
    for link in rig["links"]:
        graph.add_edge(*(end.split(".")[0] for end in link["join"]), ms=1.0)
    at = {row["source"]: row["into"].split(".")[0] for row in show["plug"]}
    for row in show["lists"]:
        for want in row["wants"]:
            networkx.shortest_path(graph, at[want], row["at"].split(".")[0], weight=weight)
    return "solved"


def timed(name: str, rig: dict[str, Any], show: dict[str, Any]) -> dict[str, Any]:
    """Return the outcome of a peer and its seconds; paths are asked five times and the median told."""
    engine = {"slots": "ortools.sat.python.cp_model", "blocks-cpsat": "ortools.sat.python.cp_model", "blocks-highs": "highspy"}
    try:
        __import__(engine.get(name, "networkx"))
    except ImportError:
        return {"outcome": "not installed, left out", "seconds": None}
    spent = []
    for _ in range(5 if name.startswith("paths") else 1):
        start, clock = time.process_time(), time.perf_counter()
        said = PEERS[name](rig, show)
        spent.append(min(time.process_time() - start, time.perf_counter() - clock))  # the less, in the peer's favour
    return {"outcome": said, "seconds": sorted(spent)[len(spent) // 2]}


PEERS: dict[str, Callable[[dict[str, Any], dict[str, Any]], str]] = {
    "slots": slots,
    "blocks-cpsat": blocks_cpsat,
    "blocks-highs": blocks_highs,
    "paths": lambda rig, show: _paths(rig, show, None),
    "paths-weighted": lambda rig, show: _paths(rig, show, "ms"),
}
