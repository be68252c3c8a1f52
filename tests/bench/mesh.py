"""Rigs of routers in a mesh, planted: trees are drawn first, links are as wide as their load, wants are what arrives.

Comes in: a seed, sizes, a load.  Goes out: a rig and a show as plain documents.  Next: `families`, `bench`.

Boxes and desks hang on routers; routers form a ring with chords.  Sources come in groups of a few which the same
positions want.  Each group gets one tree, drawn with prices that rise with use; a direction of a link then has as many
channels as its trees use, divided by the load (1.0: no slot to spare, and a patch there is: the trees).
"""

from __future__ import annotations

from heapq import heappop, heappush
from math import ceil
from random import Random
from typing import Any, NamedTuple

__all__ = ["Mesh", "mesh"]

PASSES = ["audio", "clock", "control"]
Document = dict[str, Any]
Way = tuple[str, str]


class Mesh(NamedTuple):
    """How large a mesh is."""

    routers: int
    boxes: int
    sockets: int
    desks: int
    share: float = 0.5
    """Part of all sources a position wants."""
    together: int = 2
    """Sources in a group."""


class _Drawing:
    """The mesh as it is drawn: links, who hangs where, use of each direction."""

    def __init__(self, size: Mesh, rng: Random) -> None:
        self.size, self.rng = size, rng
        self.links: list[Way] = []
        self.use: dict[Way, int] = {}
        self.beside: dict[str, list[str]] = {}
        count = size.routers
        hops = sorted({1, max(2, round(count**0.5)), max(2, count // 3)})
        for hop in hops:
            for here in range(count):
                self._join(f"R{here + 1}", f"R{(here + hop) % count + 1}")
        for number in range(size.boxes):
            self._join(f"BOX{number + 1}", f"R{number % count + 1}")
        for number in range(size.desks):
            for step in (0, count // 2):
                self._join(f"DESK{number + 1}", f"R{(number * 2 + step) % count + 1}")

    def _join(self, one: str, two: str) -> None:
        if one == two or two in self.beside.get(one, ()):
            return
        self.links.append((one, two))
        for here, there in ((one, two), (two, one)):
            self.beside.setdefault(here, []).append(there)
            self.use[here, there] = 0

    def plant(self, start: str, ends: list[str], legs: int) -> None:
        """Carry `legs` from one device to others along one tree of cheap links."""
        before = self._prices(start)
        tree: dict[Way, None] = {}
        for end in ends:
            here = end
            while here != start:
                tree[before[here], here] = None
                here = before[here]
        for way in tree:
            self.use[way] += legs

    def _prices(self, start: str) -> dict[str, str]:
        """Return the device before each on the cheapest way from one; only routers hand on."""
        cost: dict[str, float] = {start: 0.0}
        before: dict[str, str] = {}
        done: dict[str, None] = {}
        todo: list[tuple[float, str]] = [(0.0, start)]
        scale = max(1, self.size.sockets)
        while todo:
            price, here = heappop(todo)
            if here in done:
                continue
            done[here] = None
            if here != start and not here.startswith("R"):
                continue
            for there in self.beside[here]:
                more = price + 1 + self.use[here, there] / scale + self.rng.random() * 0.2
                if more < cost.get(there, 1e9):
                    cost[there], before[there] = more, here
                    heappush(todo, (more, there))
        return before


def mesh(seed: int, size: Mesh, load: float = 0.8) -> tuple[Document, Document]:
    """Return the rig and the show of a mesh; the same seed gives the same documents."""
    rng = Random(seed)
    drawing = _Drawing(size, rng)
    wants: dict[str, list[str]] = {f"DESK{number + 1}": [] for number in range(size.desks)}
    sources, plugs = [], []
    for box in range(1, size.boxes + 1):
        names = [f"s{box}-{number}" for number in range(1, size.sockets + 1)]
        sources.append({"ids": names, "phantom": "no"})
        plugs += [{"source": name, "into": f"BOX{box}.mic[{number}]"} for number, name in enumerate(names, 1)]
        for at in range(0, size.sockets, size.together):
            group = names[at : at + size.together]
            ends = [desk for desk in wants if rng.random() < size.share] or [f"DESK{rng.randrange(size.desks) + 1}"]
            drawing.plant(f"BOX{box}", ends, len(group))
            for desk in ends:
                wants[desk] += group
    feeds = _feeds(drawing)
    for row in wants.values():
        rng.shuffle(row)
    show = {
        "format": "show/1",
        "name": f"mesh, seed {seed}",
        "positions": {f"pos{number + 1}": {"desk": f"DESK{number + 1}"} for number in range(size.desks)},
        "sources": sources,
        "plug": plugs,
        "lists": [
            {"position": f"pos{number + 1}", "at": f"{desk}.ch", "wants": row} for number, (desk, row) in enumerate(wants.items())
        ],
        "feeds": feeds,
    }
    return _rig(seed, drawing, load, max(map(len, wants.values()))), show


def _feeds(drawing: _Drawing) -> list[Document]:
    """Return one stereo mix of each position, brought to a pair of sockets of a box of its own."""
    rows = []
    for number in range(1, drawing.size.desks + 1):
        box = (number * 3) % drawing.size.boxes + 1
        line = (number * 3) // drawing.size.boxes * 2 + 1
        drawing.plant(f"DESK{number}", [f"BOX{box}"], 2)
        to = [{"at": f"BOX{box}.line[{line}-{line + 1}]"}]
        rows.append({"id": f"pa{number}", "kind": "pa", "mixed_at": f"pos{number}", "legs": ["L", "R"], "to": to})
    return rows


def _rig(seed: int, drawing: _Drawing, load: float, channels: int) -> Document:
    ports: dict[str, list[str]] = {}
    formats: Document = {}
    links = []
    spoken: dict[str, dict[str, None]] = {}
    for number, (one, two) in enumerate(drawing.links, 1):
        ends = []
        wide = [max(1, ceil(drawing.use[way] / load)) for way in ((one, two), (two, one))]
        name = f"trunk-{wide[0]}-{wide[1]}"
        formats[name] = {"channels": {"48000": wide}, "pass": PASSES}
        for device in (one, two):
            held = ports.setdefault(device, [])
            held.append(f"p{len(held) + 1}")
            ends.append(f"{device}.{held[-1]}")
            spoken.setdefault(device.rstrip("0123456789"), {})[name] = None
        links.append({"id": f"K{number}", "join": ends, "format": name})
    most = {kind: max(len(row) for key, row in ports.items() if key.startswith(kind)) for kind in spoken}
    return {
        "format": "rig/1",
        "name": f"mesh, seed {seed}",
        "rate": 48000,
        "formats": formats,
        "types": _types(drawing.size, most, {kind: list(row) for kind, row in spoken.items()}, channels),
        "devices": {key: {"type": {"R": "router", "BOX": "box", "DESK": "desk"}[key.rstrip("0123456789")]} for key in ports},
        "links": links,
    }


def _types(size: Mesh, most: dict[str, int], spoken: dict[str, list[str]], channels: int) -> Document:
    def row(kind: str) -> Document:
        return {f"p{number + 1}": {"speaks": spoken[kind], "pass": PASSES} for number in range(most[kind])}

    routers, desk = list(row("R")), row("DESK")
    lines = 2 * ceil(3 * size.desks / size.boxes + 1)
    return {
        "router": {
            "role": "network",
            "ports": row("R"),
            "select": [{"into": f"{key}.out", "from": [f"{other}.in" for other in routers if other != key]} for key in routers],
            "can_lead": False,
            "passes_control": True,
        },
        "box": {
            "role": "box",
            "banks": {"mic": {"slots": size.sockets, "socket": "in"}, "line": {"slots": lines, "socket": "out", "level": "line"}},
            "ports": row("BOX"),
            "select": [{"into": "p1.out", "from": ["mic"]}, {"into": "line", "from": ["p1.in"]}],
            "can_lead": False,
        },
        "desk": {
            "role": "desk",
            "banks": {
                "ch": {"slots": channels, "does": "process", "trim_db": [-24, 24], "taps": {"in": []}},
                "mix": {"slots": 32, "does": "sum", "of": ["ch"], "taps": {"post": ["processing", "mute", "fader"]}},
            },
            "ports": desk,
            "select": [
                {"into": "ch", "from": [f"{key}.in" for key in desk]},
                *({"into": f"{key}.out", "from": ["mix"]} for key in desk),
            ],
        },
    }
