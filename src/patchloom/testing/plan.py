"""The skeleton of a planted rig: desks and recorders in a tree, boxes on them, and what can reach whom.

Comes in: a seeded `random.Random`, how many desks and sources, the features wanted.  Goes out: a `Plan`, still
without sizes.  Next: `sources` puts signals on sockets, `carry` carries them.

Everything here is mutable and private to this package; what leaves it are model objects.
"""

from __future__ import annotations

from itertools import pairwise
from random import Random

import attrs

__all__ = ["FEATURES", "Box", "Chain", "Edge", "Node", "Pick", "Plan", "Signal", "Way", "draw"]

FEATURES = (
    "box-8",
    "box-16",
    "box-32",
    "box-48",
    "mirror",
    "cascade",
    "phantom-1",
    "phantom-4",
    "phantom-8",
    "two-step",
    "block",
    "slots",
    "wired",
    "pass-blocks",
    "pass-slots",
    "recorder",
    "formats",
    "one-way",
    "fixed-plugs",
    "free-plugs",
    "range-plugs",
    "choice-of-boxes",
    "local-sockets",
    "stereo",
    "need-never",
    "double-rate",
    "converter",
    "home-over-another-desk",
    "feeds-in-lists",
    "talkback",
    "record-lists",
    "owners",
    "shared-gain",
    "spares",
    "fixed-channels",
    "gaps",
    "two-acts",
    "folds",
    "short-runs",
    "leader",
)
"""What a planted rig may have; `generate` says which of them one has."""

_POSITIONS = ("foh", "mon", "bcast", "side", "aux", "lobby", "hall", "stream")


@attrs.define
class Pick:
    """One choice of the hidden patch: `count` slots of `bank` from `first` take `of_bank` from `of_first`."""

    device: str
    bank: str
    first: int
    of_bank: str
    of_first: int
    count: int = 1
    tap: str = ""


@attrs.define
class Box:
    """One stage box: sockets in and out, how phantom is switched."""

    id: str
    inputs: int
    outputs: int = 8
    phantom_by: int = 1


@attrs.define
class Chain:
    """A box, or a box with another one behind it, on one port of its home desk (and a mirror port on another)."""

    id: str
    boxes: list[Box]
    home: str
    home_port: str = ""
    mirror: str = ""
    mirror_port: str = ""
    mirror_carries: int = 0

    def sockets(self) -> list[tuple[Box, int]]:
        """Return every input socket in the order of the link's slots."""
        return [(box, number) for box in self.boxes for number in range(1, box.inputs + 1)]

    def lines(self) -> list[tuple[Box, int]]:
        """Return every output socket in the order of the link's slots."""
        return [(box, number) for box in self.boxes for number in range(1, box.outputs + 1)]


@attrs.define
class Node:
    """A desk or a recorder: how its channels choose, how it hands raw copies on, what it was given so far."""

    id: str
    klass: str
    resend: str = ""
    parent: str = ""
    position: str = ""
    recorder: bool = False
    guest: bool = False
    mic: int = 8
    ports: list[str] = attrs.Factory(list)
    primary: str = ""
    out: list[str] = attrs.Factory(list)
    mixes: dict[str, int] = attrs.Factory(dict)
    lines: dict[str, int] = attrs.Factory(dict)
    taken: list[tuple[str, int]] = attrs.Factory(list)
    size: int = 0
    short: bool = False

    @property
    def lands(self) -> str:
        """Return the bank its list lands in."""
        return "track" if self.recorder else "ch"

    def port(self) -> str:
        """Return the name of one port more."""
        name = "abcdefghijklmnop"[len(self.ports)]
        self.ports.append(name)
        return name


@attrs.define
class Way:
    """One direction between two nodes, or from a desk back to its boxes: what must pass, and on which slot it does."""

    sender: str
    receiver: str
    out_port: str
    in_port: str
    legs: list[str] = attrs.Factory(list)
    content: list[str] | None = None


@attrs.define
class Edge:
    """What joins two nodes: one link both ways or two of one way, perhaps through a rate converter."""

    upper: str
    lower: str
    ports: tuple[str, str, str, str]
    one_way: bool = False
    converter: str = ""


@attrs.define
class Signal:
    """A source or a feed as it is planted."""

    id: str
    names: tuple[str, ...]
    origin: str
    owner: str
    first: int
    phantom: str = "no"
    wanted: list[str] = attrs.Factory(list)
    lines: list[str] = attrs.Factory(list)
    folded: list[str] = attrs.Factory(list)

    def legs(self) -> tuple[str, ...]:
        """Return the leg ids."""
        return tuple(f"{self.id}.{name}" for name in self.names) or (self.id,)


@attrs.define
class Plan:
    """Everything drawn so far."""

    rng: Random
    on: frozenset[str]
    block: int = 8
    nodes: dict[str, Node] = attrs.Factory(dict)
    chains: dict[str, Chain] = attrs.Factory(dict)
    edges: list[Edge] = attrs.Factory(list)
    ways: dict[tuple[str, str], Way] = attrs.Factory(dict)
    sources: dict[str, Signal] = attrs.Factory(dict)
    feeds: dict[str, Signal] = attrs.Factory(dict)
    home: dict[str, Signal] = attrs.Factory(dict)
    picks: list[Pick] = attrs.Factory(list)
    seen: set[str] = attrs.Factory(set)

    def wants(self, feature: str) -> bool:
        """Return whether a feature may be used."""
        return feature in self.on

    def signal(self, leg: str) -> Signal:
        """Return the signal a leg belongs to."""
        return self.home[leg]

    def direct(self, leg: str) -> dict[str, tuple[str, int]]:
        """Return where a leg is without any choice: node to (bank, slot)."""
        signal = self.signal(leg)
        number = signal.first + signal.legs().index(leg)
        if signal.origin == "chain":
            chain = self.chains[signal.owner]
            found = {chain.home: (f"{chain.home_port}.in", number)}
            if chain.mirror and number <= chain.mirror_carries:
                found[chain.mirror] = (f"{chain.mirror_port}.in", number)
            return {key: place for key, place in found.items() if self._open(self.nodes[key], place[0])}
        if signal.origin == "mix":
            number = self.nodes[signal.owner].mixes[leg]
        return {signal.owner: (signal.origin, number)}

    @staticmethod
    def _open(node: Node, bank: str) -> bool:
        return node.klass != "wired" or bank == node.primary

    def path(self, leg: str, node: str) -> list[str]:
        """Return the nodes a leg passes to get to a node, itself last; empty where it cannot get there."""
        found: list[list[str]] = []
        made_here = self.signal(leg).origin in ("mix", "talk")
        for start in sorted(self.direct(leg)):
            way = self.between(start, node)
            passers = way[1:-1] if made_here else way[:-1]
            if way and all(self.nodes[key].resend for key in passers) and self._lets_in(way):
                found.append(way)
        return min(found, key=lambda way: (len(way), way), default=[])

    def _lets_in(self, way: list[str]) -> bool:
        last = self.nodes[way[-1]]
        return len(way) == 1 or last.klass != "wired" or f"{self.ways[way[-2], way[-1]].in_port}.in" == last.primary

    def between(self, start: str, end: str) -> list[str]:
        """Return the nodes from one to another in the tree, ends included; empty where they are not joined."""
        one, two = self._up(start), self._up(end)
        shared = next((key for key in one if key in two), "")
        if not shared:
            return []
        way = [*one[: one.index(shared) + 1], *reversed(two[: two.index(shared)])]
        return way if all(step in self.ways for step in pairwise(way)) else []

    def _up(self, node: str) -> list[str]:
        found = [node]
        while self.nodes[found[-1]].parent:
            found.append(self.nodes[found[-1]].parent)
        return found


def draw(plan: Plan, desks: int, sources: int) -> None:
    """Draw nodes, the tree between them and boxes for about so many sources into a plan."""
    _draw_desks(plan, desks)
    _draw_boxes(plan, sources)
    _draw_mirrors(plan)
    _draw_recorders(plan)
    _set_primaries(plan)


def _draw_desks(plan: Plan, desks: int) -> None:
    rng = plan.rng
    classes = [name for name in ("two-step", "block", "slots", "wired") if plan.wants(name)] or ["slots"]
    passing = [name for name in ("blocks", "slots") if plan.wants(f"pass-{name}")]
    for number in range(1, desks + 1):
        name = rng.choice(classes)
        if name == "wired" and number == 1 and desks > 1:
            name = rng.choice([other for other in classes if other != "wired"] or ["slots"])
        resend = rng.choice(passing) if passing and name != "wired" else ""
        node = Node(f"DESK{number}", name, resend, position=_POSITIONS[(number - 1) % len(_POSITIONS)], mic=rng.choice((8, 16)))
        node.short = plan.wants("short-runs") and name in ("two-step", "block")
        node.guest = plan.wants("converter") and number == desks and desks > 1
        plan.nodes[node.id] = node
        if number > 1:
            _hang(plan, node, [key for key, other in plan.nodes.items() if other.resend and key != node.id and not other.guest])


def _hang(plan: Plan, node: Node, parents: list[str]) -> None:
    """Join a node to one of the nodes it may hang on (to the first desk where none hands anything on)."""
    parent = plan.rng.choice(parents or ["DESK1"])
    node.parent = parent
    upper = plan.nodes[parent]
    crossing = node.guest and not upper.guest
    one_way = plan.wants("one-way") and not crossing and plan.rng.random() < 0.5
    down = (upper.port(), node.port())
    back = (upper.port(), node.port()) if one_way else down
    edge = Edge(parent, node.id, (*down, *back), one_way, "SRC1" if crossing else "")
    plan.edges.append(edge)
    plan.ways[parent, node.id] = Way(parent, node.id, down[0], down[1])
    plan.ways[node.id, parent] = Way(node.id, parent, back[1], back[0])


def _draw_boxes(plan: Plan, sources: int) -> None:
    rng = plan.rng
    sizes = [size for size in (8, 16, 32, 48) if plan.wants(f"box-{size}")] or [8]
    phantoms = [by for by in (1, 4, 8) if plan.wants(f"phantom-{by}")] or [1]
    legs = sources * (1.25 if plan.wants("stereo") else 1)
    total, number = 0, 0
    desks = list(plan.nodes)
    while total < legs * 1.3 + 2 or not plan.chains:
        number += 1
        fitting = [size for size in sizes if size <= max(16, legs)] or sizes[:1]
        box = Box(f"BOX{number}", rng.choice(fitting), phantom_by=rng.choice(phantoms))
        total += box.inputs
        chains = [chain for chain in plan.chains.values() if len(chain.boxes) == 1 and chain.boxes[0].inputs + box.inputs <= 64]
        if chains and plan.wants("cascade") and rng.random() < 0.6:
            rng.choice(chains).boxes.append(box)
            plan.seen.add("cascade")
            continue
        home = "DESK1" if number == 1 or rng.random() < 0.6 else rng.choice(desks)
        plan.chains[box.id] = Chain(box.id, [box], home, plan.nodes[home].port())


def _draw_mirrors(plan: Plan) -> None:
    rng = plan.rng
    if not plan.wants("mirror"):
        return
    for chain in plan.chains.values():
        guest = plan.nodes[chain.home].guest
        others = [key for key, node in plan.nodes.items() if key != chain.home and node.guest == guest]
        if others and rng.random() < 0.7:
            chain.mirror = rng.choice(others)
            chain.mirror_port = plan.nodes[chain.mirror].port()
            chain.mirror_carries = len(chain.sockets())
            plan.seen.add("mirror")


def _draw_recorders(plan: Plan) -> None:
    rng = plan.rng
    if not plan.wants("recorder"):
        return
    for number in range(1, rng.choice((1, 1, 2)) + 1):
        passing = [key for key, node in plan.nodes.items() if node.resend]
        bare = [chain for chain in plan.chains.values() if not chain.mirror] if plan.wants("mirror") else []
        if not passing and not bare:
            return
        node = Node(f"REC{number}", rng.choice(("wired", "slots", "block")), position=f"rec{number}", recorder=True, mic=0)
        plan.nodes[node.id] = node
        plan.seen.add("recorder")
        if passing and (not bare or rng.random() < 0.7):
            parent = rng.choice(passing)
            node.guest = plan.nodes[parent].guest
            _hang(plan, node, [parent])
        else:
            chain = rng.choice(bare)
            node.guest = plan.nodes[chain.home].guest
            chain.mirror, chain.mirror_port, chain.mirror_carries = node.id, node.port(), len(chain.sockets())
            plan.seen.add("mirror")


def _set_primaries(plan: Plan) -> None:
    """Say for each wired node which port its channels are wired to: a box where it has one, else its parent."""
    for node in plan.nodes.values():
        if node.klass != "wired":
            continue
        boxes = [chain.home_port for chain in plan.chains.values() if chain.home == node.id]
        boxes += [chain.mirror_port for chain in plan.chains.values() if chain.mirror == node.id]
        if boxes:
            node.primary = f"{boxes[0]}.in"
        else:
            node.primary = f"{plan.ways[node.parent, node.id].in_port}.in"
