"""Signals put on sockets and mixes, each with whom it reaches.

Comes in: a `Plan` with nodes and boxes.  Goes out: the same plan with sources and feeds.  Next: `carry`.

Whole blocks of a box are given to the same desks, and a source is wanted by some of those who have its block: so
the hidden patch needs few blocks, as a person's would.
"""

from __future__ import annotations

from patchloom.testing.plan import Chain, Plan, Signal

__all__ = ["Room", "plant_feeds", "plant_sources"]


def plant_sources(plan: Plan, count: int) -> None:
    """Put `count` sources on sockets of boxes and desks."""
    rng = plan.rng
    room = Room(plan)
    number = 0
    if plan.wants("local-sockets"):
        for node in [row for row in plan.nodes.values() if row.mic]:
            for _ in range(rng.choice((0, 1, 2))):
                if number < count - 1:
                    number += 1
                    _local(plan, node.id, number)
    if plan.wants("talkback"):
        for node in [row for row in plan.nodes.values() if not row.recorder]:
            if number < count - 1 and rng.random() < 0.6:
                _talk(plan, node.id)
                number += 1
    while number < count:
        number += 1
        _on_box(plan, room, number)


class Room:
    """The free sockets of the boxes, the desks each block is given to, the mode of each phantom group."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.free = {key: list(range(1, len(chain.sockets()) + 1)) for key, chain in plan.chains.items()}
        self.given: dict[tuple[str, int], list[str]] = {}
        self.mode: dict[tuple[str, int], str] = {}

    def place(self, width: int) -> tuple[Chain, int]:
        """Return a chain and the first of `width` free slots, a pair on an odd one; not always the lowest."""
        rng = self.plan.rng
        keys = [key for key in self.free if self._starts(key, width)]
        if not keys:
            key = next(iter(self.free))
            chain = self.plan.chains[key]
            top = len(chain.sockets())
            chain.boxes[-1].inputs += 8
            if chain.mirror:
                chain.mirror_carries += 8
            self.free[key].extend(range(top + 1, top + 9))
            keys = [key]
        key = rng.choice(keys)
        starts = self._starts(key, width)
        first = starts[0] if rng.random() < 0.7 else rng.choice(starts)
        for number in range(first, first + width):
            self.free[key].remove(number)
        return self.plan.chains[key], first

    def _starts(self, key: str, width: int) -> list[int]:
        free = set(self.free[key])
        return [first for first in self.free[key] if width == 1 or (first % 2 and first + 1 in free)]

    def reach(self, chain: Chain, leg: str, first: int) -> list[str]:
        """Return the nodes a block is given to, drawn when it is first asked for."""
        key = (chain.id, (first - 1) // self.plan.block)
        if key not in self.given:
            able = [node for node in self.plan.nodes if self.plan.path(leg, node)]
            chosen = [node for node in able if node == chain.home or self.plan.rng.random() < 0.6]
            self.given[key] = chosen or able[:1]
        return self.given[key]

    def phantom(self, chain: Chain, first: int) -> str:
        """Return what a source may be in the phantom group of a socket."""
        rng = self.plan.rng
        box, number = chain.sockets()[first - 1]
        key = (box.id, (number - 1) // box.phantom_by)
        modes = ("need", "never", "no") if self.plan.wants("need-never") else ("no",)
        mode = self.mode.setdefault(key, rng.choice(modes))
        return rng.choice((mode, mode, "no", "unknown"))


def _add(plan: Plan, signal: Signal) -> Signal:
    for leg in signal.legs():
        plan.home[leg] = signal
    return signal


def _on_box(plan: Plan, room: Room, number: int) -> None:
    rng = plan.rng
    width = 2 if plan.wants("stereo") and rng.random() < 0.25 else 1
    chain, first = room.place(width)
    signal = _add(plan, Signal(f"s{number}", ("L", "R")[:width] if width > 1 else (), "chain", chain.id, first))
    signal.phantom = room.phantom(chain, first)
    if width > 1:
        plan.seen.add("stereo")
        if signal.phantom != room.phantom(chain, first + 1):
            signal.phantom = "no"
    reach = room.reach(chain, signal.legs()[0], first)
    reach = [node for node in reach if all(plan.path(leg, node) for leg in signal.legs())]
    signal.wanted = [node for node in reach if rng.random() < 0.8] or reach[:1]
    plan.sources[signal.id] = signal


def _local(plan: Plan, node: str, number: int) -> None:
    rng = plan.rng
    taken = sum(len(row.legs()) for row in plan.sources.values() if row.origin == "mic" and row.owner == node)
    pair = plan.wants("stereo") and rng.random() < 0.5
    first = taken + 1 + taken % 2
    signal = _add(plan, Signal(f"play{number}", ("L", "R") if pair else (), "mic", node, first))
    able = [key for key in plan.nodes if plan.path(signal.legs()[0], key)]
    signal.wanted = [key for key in able if key == node or rng.random() < 0.5]
    signal.phantom = "never" if plan.wants("need-never") else "no"
    plan.sources[signal.id] = signal
    plan.seen.add("local-sockets")


def _talk(plan: Plan, node: str) -> None:
    rng = plan.rng
    signal = _add(plan, Signal(f"talk-{plan.nodes[node].position}", (), "talk", node, 1))
    able = [key for key, row in plan.nodes.items() if key != node and not row.recorder and plan.path(signal.id, key)]
    signal.wanted = [key for key in able if rng.random() < 0.7] or able[:1]
    if signal.wanted:
        plan.sources[signal.id] = signal
        plan.seen.add("talkback")
    else:
        del plan.home[signal.id]


def plant_feeds(plan: Plan) -> None:
    """Give every desk a few mixes, and each mix somewhere to arrive."""
    for node in [row for row in plan.nodes.values() if not row.recorder]:
        slot = 1
        for number in range(1, plan.rng.choice((1, 2, 2, 3, 4)) + 1):
            slot = _feed(plan, node.id, f"mix{number}-{node.position}", slot)


def _feed(plan: Plan, node: str, key: str, slot: int) -> int:
    rng = plan.rng
    pair = rng.random() < 0.5
    slot += (slot + 1) % 2 if pair else 0
    signal = _add(plan, Signal(key, ("L", "R") if pair else (), "mix", node, slot))
    for step, leg in enumerate(signal.legs()):
        plan.nodes[node].mixes[leg] = slot + step
    _send(plan, signal)
    plan.feeds[key] = signal
    return slot + len(signal.legs())


def _send(plan: Plan, signal: Signal) -> None:
    """Choose where a mix arrives: the desk's own lines, boxes, other people's lists; somewhere at least."""
    rng = plan.rng
    leg, node = signal.legs()[0], signal.owner
    for chain in plan.chains.values():
        if chain.home == node and rng.random() < 0.4:
            signal.lines.append(chain.id)
        elif (
            chain.home != node
            and plan.wants("home-over-another-desk")
            and plan.nodes[chain.home].resend
            and plan.path(leg, chain.home)
            and rng.random() < 0.3
        ):
            signal.lines.append(chain.id)
            plan.seen.add("home-over-another-desk")
    if plan.wants("feeds-in-lists"):
        for key in plan.nodes:
            if key != node and plan.path(leg, key) and rng.random() < 0.2:
                signal.wanted.append(key)
                plan.seen.add("feeds-in-lists")
    if rng.random() < 0.4 or not (signal.lines or signal.wanted):
        signal.lines.append(node)
