"""What each slot carries: signals pushed through the rig, asked for from the far end.

Comes in: `Feeders`.  Goes out: a `Node` per slot asked about, a chain back to where the signal enters.
Next: `wants`, `destinations`, `routes`.

Slots are walked upstream once and remembered, so that all wants together cost the slots they use; what a whole
run has in common is found out once.
Out of a process bank a signal has come *after* something unless the tap is raw; a sum bank hands on the feed
mixed there and nothing that arrives at it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.check.feeders import Feeders
from patchloom.check.ground import Row
from patchloom.check.report import Item
from patchloom.check.side import Feed, Move, Side
from patchloom.model.patch import Route
from patchloom.model.rig import Link

__all__ = ["CHAIN", "Node", "Signals"]

CHAIN = ("trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader")
"""What a tap may come after, in signal order (common practice)."""


class Node(NamedTuple):
    """One slot and what it carries; `leg` is empty where nothing does."""

    slot: Slot
    up: Node | None
    """The slot it takes from; None where the signal enters or the chain ends."""
    leg: str
    after: tuple[str, ...]
    """What the signal has come after, in the order met."""
    tapped: Slot | None
    """The first slot on the way that took it after something."""
    feeder: Feed | None
    cause: Item | None
    """The item that explains a fault on the way here, the nearest to the source."""
    amp: Slot | None = None
    """The first preamp's socket on the way."""
    way: list[Side] | None = None
    """The banks on the way, this one first, where a route was followed; then `up` is left out, see `Signals.full`."""


_Step = tuple[Side, int, Feed | None]
_new = tuple.__new__
"""Tens of thousands of nodes in a big show: made as the tuples they are."""


class Signals:
    """What slots carry in one period."""

    def __init__(self, feeders: Feeders) -> None:
        self.feeders = feeders
        self.ground = feeders.ground
        self.report = feeders.report
        self._looked: set[tuple[str, ...]] = set()
        """Links and rows already looked at for domains that meet there."""

    def at(self, place: Slot, alternate: bool = False) -> Node:
        """Return the node of a slot, walking upstream as far as nothing is known yet."""
        device, bank, number = place
        side = self.feeders.side(device, bank, alternate)
        found: Node | None = side.nodes.get(number)
        if found is not None:
            return found
        steps: list[_Step] = []
        # A circle shows by its length; only where a main and an alternate input may meet is each step looked at.
        patience = 1 if alternate else 32
        while found is None:
            if len(steps) >= patience:
                again = self._again(steps, side, number)
                if again is not None:
                    steps = again
                    break
                patience = patience + 1 if alternate else patience * 2
            feed = side.feed(number)
            steps.append((side, number, feed))
            if feed is None or feed.move is None:
                break
            move = feed.move
            number += feed.shift
            side = move.side or self._begin(move)
            found = side.nodes.get(number)
            if found is not None and found.way is not None:
                found = None
        return self._nodes(steps, found)

    def full(self, node: Node) -> Node:
        """Return a node with all nodes before it, which one found by following a route goes without."""
        if node.way is None:
            return node
        del node.way[0].nodes[node.slot.number]
        return self.at(node.slot, node.way[0].turned)

    def follow(self, route: Route) -> Node | None:
        """Return the node a route ends at, when the signal goes there hop by hop as the route says and nothing is odd.

        None says only that it must be looked into.
        """
        if not route.hops or self.feeders.blame:
            return None
        device, bank, number = route.hops[-1]
        last = side = self.feeders.side(device, bank, route.alternate)
        way: list[Side] = []
        after: tuple[str, ...] = ()
        tapped = amp = feed = None
        for place in reversed(route.hops):
            if place != (side.device, side.bank, number):
                return None
            feed = side.table.get(number)
            if feed is None:
                feed = side.whole if number <= side.reach else side.feed(number)
                if feed is None:
                    return None
            way.append(side)
            move = feed[5]
            if move is None:
                break
            number += feed[6]
            if move.plain:
                side = move.side  # type: ignore[assignment]
                continue
            if not move.looked:
                self._look(feed, move, Slot(move.device, move.bank, number), place)
            if side.preamp:
                amp = place
            side = move.side or self._begin(move)
            new = move.after
            if new is None:
                new = self._after(feed, move, side.feed(number))
            if new is None:
                return None
            if new:
                after, tapped = (*new, *after), place
        if feed is None or feed.move is not None or feed.kind == "void" or feed.leg != route.leg or len(way) != len(route.hops):
            return None
        place = route.hops[-1]
        known: Node | None = last.nodes.get(place[2])
        if known is None:
            amp = route.hops[0] if side.preamp else amp
            end = last.feed(place[2])
            known = last.nodes[place[2]] = _new(Node, (place, None, feed.leg, after, tapped, end, None, amp, way))
        return known

    def follow_alike(self, routes: Sequence[Route], numbers: Sequence[tuple[int, ...]]) -> list[Node] | None:
        """Return the nodes of routes that pass the same banks, `numbers` the slots of each, where `follow` finds all of them.

        Hop by hop for all at once, which is several times quicker; None where one of them, or the way itself, is out of the
        ordinary, and each must be followed alone.
        """
        if self.feeders.blame:
            return None
        hops = routes[0].hops
        way = [
            self.feeders.side(device, bank, routes[0].alternate and at == 0) for at, (device, bank, _) in enumerate(hops[::-1])
        ]
        columns = [list(column) for column in zip(*numbers, strict=True)][::-1]
        ends = feeds = _feeds(way[0], columns[0])
        for at in range(1, len(way)):
            if not _leads(feeds, columns[at - 1], way[at], columns[at]):
                return None
            feeds = _feeds(way[at], columns[at])
        if None in feeds or [feed.leg for feed in feeds if feed] != [route.leg for route in routes]:
            return None
        if any(feed and (feed.move is not None or feed.kind == "void") for feed in feeds):
            return None
        nodes, preamp, found = way[0].nodes, way[-1].preamp, []
        for route, number, end in zip(routes, columns[0], ends, strict=True):
            node = nodes.get(number)
            if node is None:
                hops = route.hops
                amp = hops[0] if preamp else None
                node = nodes[number] = _new(Node, (hops[-1], None, route.leg, (), None, end, None, amp, way))
            found.append(node)
        return found

    def _begin(self, move: Move) -> Side:
        side = move.side = self.feeders.side(move.device, move.bank)
        return side

    def _again(self, steps: list[_Step], side: Side, number: int) -> list[_Step] | None:
        """Return the steps up to the first slot met twice, the circle noted; None where there is none."""
        seen: set[Slot] = set()
        for count, (at, which, _) in enumerate((*steps, (side, number, None))):
            here = Slot(at.device, at.bank, which)
            if here in seen:
                return self._circle(steps[:count], here)
            seen.add(here)
        return None

    def _circle(self, steps: list[_Step], here: Slot) -> list[_Step]:
        ring = [Slot(side.device, side.bank, number) for side, number, _ in steps]
        ring = ring[ring.index(here) :]
        item = self.report.add(
            "signal-loop",
            f"{', '.join(map(str, ring[::-1]))} feed each other in a circle of {len(ring)}.",
            *sorted(ring),
            key=min(ring),
            numbers=(("slots", len(ring)),),
        )
        side, number, _ = steps[-1]
        self.feeders.blame.setdefault((Slot(side.device, side.bank, number), side.turned), item)
        return [*steps[:-1], (side, number, None)]

    def _nodes(self, steps: list[_Step], up: Node | None) -> Node:
        """Return the node of the first step, all steps remembered; `up` is what is known before the last."""
        blame = self.feeders.blame
        if up is None:
            side, number, feed = steps.pop()
            up = side.nodes[number] = self._first(Slot(side.device, side.bank, number), side.turned, feed)
        before, _, leg, after, tapped, _, cause, amp, _ = up
        for side, number, feed in reversed(steps):
            assert feed is not None
            move = feed.move
            assert move is not None
            slot: Slot = _new(Slot, (side.device, side.bank, number))
            if cause is None and blame:
                cause = blame.get((slot, side.turned))
            if not move.looked:
                self._look(feed, move, before, slot)
            new = move.after
            if new is None:
                new = self._after(feed, move, up.feeder)
            if new is None:
                up, leg, after, tapped, amp = Node(slot, None, "", (), None, feed, cause), "", (), None, None
            else:
                if new:
                    tapped, after = tapped or slot, (*after, *new)
                if amp is None and side.preamp:
                    amp = slot
                up = _new(Node, (slot, up, leg, after, tapped, feed, cause, amp, None))
            side.nodes[number] = up
            before = slot
        return up

    def _first(self, slot: Slot, alternate: bool, feed: Feed | None) -> Node:
        cause = self.feeders.blame.get((slot, alternate))
        if feed is None:
            return Node(slot, None, "", (), None, None, cause or self._empty(slot))
        amp = slot if self.ground.preamp(slot.device, slot.bank) is not None else None
        return Node(slot, None, feed.leg, (), None, feed, cause, amp)

    def _look(self, feed: Feed, move: Move, here: Slot, there: Slot) -> None:
        """Look at a way the first time something comes along it."""
        move.looked = True
        self._begin(move)
        self._look_into(feed, move, here, there)
        move.plain = move.after == () and self.ground.preamp(there.device, there.bank) is None

    def _look_into(self, feed: Feed, move: Move, here: Slot, there: Slot) -> None:
        if feed.link is not None:
            move.after = ()
            self._crossing(feed.link, here, there)
            return
        self._conversion(feed.row, here, there)
        kind = self.ground.bank(here.device, here.bank)
        if kind is None or kind.does == "carry":
            move.after = ()
        elif kind.does == "process":
            move.after = self._after(feed, move, None)

    def _after(self, feed: Feed, move: Move, entering: Feed | None) -> tuple[str, ...] | None:
        """Return what a copy comes after where it leaves a bank, into which `entering` feeds; None where it hands nothing on."""
        kind = self.ground.bank(move.device, move.bank)
        if kind is None or kind.does == "carry":
            return ()
        if kind.does == "sum" and (entering is None or entering.kind != "mix"):
            return None
        tap = feed.choice.tap if feed.choice is not None else ""
        allowed = feed.row.select.taps if feed.row is not None else ()
        names = [tap] if tap else [name for name in kind.taps if not allowed or name in allowed]
        if kind.does == "process" and not names:
            return None
        words = [tuple(kind.taps.get(name, ())) for name in names]
        if kind.does == "sum":
            return min(words, key=len, default=())
        return max(words, key=len)

    def _crossing(self, link: Link, here: Slot, there: Slot) -> None:
        if (link.id, here.device) in self._looked:
            return
        self._looked.add((link.id, here.device))
        spoken = self.ground.rig.formats.get(link.format)
        if spoken is None or not spoken.digital:
            return
        one, two = self.ground.domain(here.device, here.bank), self.ground.domain(there.device, there.bank)
        if one is not two:
            self.report.add(
                "rate-crossing",
                f"Link {link.id} carries signal from domain {one.id} ({one.rate} Hz) into domain {two.id} ({two.rate} Hz).",
                link.id,
                here.device,
                there.device,
                numbers=(("from Hz", str(one.rate)), ("to Hz", str(two.rate))),
                key=link.id,
            )
        framing = link.framing
        if len(framing) == 2 and framing[0] != framing[1]:
            self.report.add(
                "framing-mismatch",
                f"Link {link.id} is set to framing {framing[0]} at {link.join[0]} and {framing[1]} at {link.join[1]}.",
                link.id,
            )
        for end, word in zip(self.ground.ends[link.id], framing * (2 // max(1, len(framing))), strict=False):
            have = (end.port.framings if end.port else ()) or spoken.framings
            if have and word not in have:
                self.report.add(
                    "framing-mismatch",
                    f"Link {link.id} is set to framing {word}, but {end.device}.{end.name} has {', '.join(have)}.",
                    link.id,
                )

    def _conversion(self, row: Row | None, here: Slot, there: Slot) -> None:
        if row is None or (here.device, here.bank, there.bank, str(row.number)) in self._looked:
            return
        self._looked.add((here.device, here.bank, there.bank, str(row.number)))
        if row.select.converts or not self.ground.rig.type_of(here.device).clocks:
            return
        one, two = self.ground.domain(here.device, here.bank), self.ground.domain(there.device, there.bank)
        if one is not two:
            self.report.add(
                "converts-missing",
                f"{there.device}.{there.bank} takes {here.bank} across domains {one.id} and {two.id}, "
                f"and select row {row.number} does not convert.",
                f"{there.device}.{there.bank}",
                f"{here.device}.{here.bank}",
                numbers=(("from Hz", str(one.rate)), ("to Hz", str(two.rate))),
            )

    def _empty(self, slot: Slot) -> Item | None:
        """Return the item that explains why nothing arrives at a slot, where the rig itself explains it."""
        found = self.feeders.beyond(slot) or self.feeders.unjoined(slot)
        if found is not None and found.idle is None:
            found.idle = True
        return found


def _feeds(side: Side, numbers: list[int]) -> list[Feed | None]:
    """Return what feeds some slots of a bank."""
    if not side.table and side.whole is not None and max(numbers) <= side.reach:
        return [side.whole] * len(numbers)
    found: list[Feed | None] = list(map(side.table.get, numbers))
    if None in found:
        return [side.feed(number) if feed is None else feed for feed, number in zip(found, numbers, strict=True)]
    return found


def _leads(feeds: list[Feed | None], numbers: list[int], side: Side, taken: list[int]) -> bool:
    """Return whether slots take from the slots named of another bank, by ways along which nothing changes."""
    if None in feeds or any(move is None or not move.plain or move.side is not side for move in {row[5] for row in feeds}):  # type: ignore[index]
        return False
    return [number + row[6] for row, number in zip(feeds, numbers, strict=True)] == taken  # type: ignore[index]
