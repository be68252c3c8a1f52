"""Whole bundles of legs carried at once, where every choice on the way is made slot by slot.

Comes in: fabric, show, aims and units.  Goes out: a `Bundled`, plugs, mixes, selections and routes of the period; or
None where the show asks for more than slots (blocks, free sockets, shared limits ...) or the bundles do not all fit:
then `place.py` searches leg by leg.  Next: `answer.py` adds what is set over the plugs.

Legs that enter by one segment are a bundle, and one tree serves them all: it grows list by list by the cheapest way
from wherever it is, over segments with room for everybody who has to pass, slot beside slot.  Where no way has that
much room, the bundle is cut in two.  What is full grows dearer from round to round (the accumulated cost of negotiated
congestion).  One search for each pair of segment and list, and O(wants x hops) for the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route, Selection
from patchloom.model.show import Show
from patchloom.solve.bundles.riders import Kind, Rider, Target, enter, simple
from patchloom.solve.emit import Choice, join_choices
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import FAR, FEED_TAP, HOP, RESEND, TAP, Goal, static_reach
from patchloom.solve.slot import Aim
from patchloom.solve.state import lowest
from patchloom.solve.unit import Unit

__all__ = ["Bundled", "Carrier", "Node", "Tree", "bundle"]

ROUNDS = 12
CROWD = 2.0
"""Price of a segment that is nearly full, against an empty one."""

_new = tuple.__new__
"""Makes a named tuple without its argument list: half the time, and big shows have hundreds of thousands of slots."""


class Bundled(NamedTuple):
    """What bundles give of a setting."""

    plugs: dict[str, Slot]
    mixes: dict[str, Slot]
    selections: list[Selection]
    routes: list[Route]


class Node:
    """One segment of a tree: the node before it, how it is entered (row -1 for a wire or link), who passes."""

    __slots__ = ("before", "mask", "offsets", "row", "segment", "slots", "tap")

    def __init__(self, segment: int, before: Node | None, row: int, tap: str) -> None:
        self.segment = segment
        self.before = before
        self.row = row
        self.tap = tap
        self.mask = 0
        """A bit for each rider of the bundle that passes here."""
        self.offsets: list[int] = []
        """By rider; -1 for one that does not pass."""
        self.slots: list[Slot | None] = []


class Tree(NamedTuple):
    """The tree of a bundle: its nodes, those before others first, and by target the node, row and tap that feed it."""

    nodes: dict[int, Node]
    ends: list[tuple[Target, int, Node, int, str]]
    """Target, mask of the riders it is for, the node that feeds it, row, tap."""


def bundle(fabric: Fabric, show: Show, wanted: Sequence[Aim], found: Sequence[Unit]) -> Bundled | None:
    """Return a period's plugs and routes carried in bundles; None where the general search has to do it."""
    if not simple(fabric, show, wanted):
        return None
    kinds = enter(fabric, found)
    if kinds is None:
        return None
    history: dict[int, float] = {}
    reach: dict[tuple[Target, bool], dict[int, float]] = {}
    first: list[Kind] = []
    for _ in range(ROUNDS):
        carrier = Carrier(fabric, history, reach)
        carrier.keep(show, wanted)
        failed = carrier.carry_all(kinds, first)
        if failed is None:
            return carrier.result(found, kinds)
        first = [failed, *(kind for kind in first if kind != failed)]
        for segment in sorted(carrier.full):
            history[segment] = history.get(segment, 0.0) + HOP
    return None


def _numbers(mask: int) -> list[int]:
    """Return the places of the bits set, lowest first."""
    found = []
    while mask:
        found.append(lowest(mask))
        mask &= mask - 1
    return found


class Carrier:
    """One round: what is taken so far, and the choices and routes that come of it."""

    def __init__(self, fabric: Fabric, history: dict[int, float], reach: dict[tuple[Target, bool], dict[int, float]]) -> None:
        self.fabric = fabric
        self.history = history
        self.open = [(1 << length) - 1 for length in fabric.seg_length]
        self.free = list(fabric.seg_length)
        self.full: set[int] = set()
        """Segments somebody was turned away from."""
        self.finals: dict[tuple[Target, str, bool], dict[int, tuple[int, str]]] = {}
        self.reach = reach
        self.taken: list[tuple[Tree, Sequence[Rider]]] = []
        self.choices: list[Choice] = []
        self.routes: dict[int, Route] = {}

    def keep(self, show: Show, wanted: Sequence[Aim]) -> None:
        """Keep every slot that somebody wants exactly, and those a list leaves empty, from legs passing through."""
        highest: dict[str, Slot] = {}
        masks: dict[int, int] = {}
        for aim in wanted:
            goal = aim.goals[0]
            masks[goal.segments[0]] = masks.get(goal.segments[0], 0) | 1 << (goal.offset or 0)
            if aim.place is not None:
                known = highest.get(aim.to)
                if known is None or aim.place.number > known.number:
                    highest[aim.to] = aim.place
        fabric = self.fabric
        for item in show.lists:
            top = highest.get(item.id)
            bank = fabric.bank_of.get((top.device, top.bank)) if top is not None else None
            if top is None or bank is None:
                continue
            for segment in dict.fromkeys(fabric.segment_of[bank][1 : top.number + 1]):
                length = min(fabric.seg_length[segment], top.number - fabric.seg_first[segment] + 1)
                masks[segment] = masks.get(segment, 0) | (1 << length) - 1
        for segment, mask in masks.items():
            self.open[segment] &= ~mask
            self.free[segment] = self.open[segment].bit_count()

    def carry_all(self, kinds: dict[Kind, list[Rider]], first: Sequence[Kind]) -> Kind | None:
        """Carry every bundle, some first; return the first that finds no way, or None when all are carried."""
        for kind in dict.fromkeys((*first, *kinds)):
            todo = [kinds[kind]]
            while todo:
                riders = todo.pop()
                tree = self.plan(kind, riders)
                if tree is not None:
                    self.take(tree, riders)
                elif len(riders) == 1:
                    return kind
                else:
                    middle = len(riders) // 2
                    todo.extend((riders[middle:], riders[:middle]))
        return None

    def plan(self, kind: Kind, riders: Sequence[Rider], tree: Tree | None = None) -> Tree | None:
        """Return a tree with room for all riders, nothing taken yet, grown on from one that stands; None where there is none."""
        tree = tree or Tree({kind.origin: Node(kind.origin, None, -1, "")}, [])
        masks: dict[Target, int] = {}
        for number, rider in enumerate(riders):
            for target in rider.aims:
                masks[target] = masks.get(target, 0) | 1 << number
        for target, mask in masks.items():
            found = self._search(tree, target, kind, mask)
            if found is None:
                return None
            node, row, tap = found
            tree.ends.append((target, mask, node, row, tap))
            at: Node | None = node
            while at is not None:
                at.mask |= mask
                at = at.before
        return tree

    def _search(self, tree: Tree, target: Target, kind: Kind, mask: int) -> tuple[Node, int, str] | None:
        """Grow a tree by the cheapest way to a target; return the node that feeds it, row and tap; None without a way."""
        fabric, free = self.fabric, self.free
        finals = self.finals_of(target, kind)
        reach = self._reach(target, kind.feed)
        count = mask.bit_count()
        best: dict[int, float] = {}
        back: dict[int, tuple[int, int, str]] = {}
        heap: list[tuple[float, int]] = []
        for segment, node in tree.nodes.items():
            ahead = reach.get(segment)
            if ahead is not None and self._lets_pass(node, mask):
                best[segment] = 0.0
                heappush(heap, (ahead, segment))
        settled: set[int] = set()
        while heap:
            _, segment = heappop(heap)
            if segment in settled:
                continue
            settled.add(segment)
            if segment in finals:
                return self._grow(tree, segment, back), *finals[segment]
            cost = best[segment]
            for to, _, toll in fabric.fixed[segment]:
                ahead = reach.get(to)
                if ahead is not None and cost + toll < best.get(to, FAR):
                    best[to] = cost + toll
                    back[to] = (segment, -1, "")
                    heappush(heap, (cost + toll + ahead, to))
            bank = fabric.seg_bank[segment]
            for number in fabric.singles_from[segment]:
                row = fabric.rows[number]
                tap = None if row.alternate else fabric.raw_tap(bank, row, kind.allow, kind.feed)
                if tap is None:
                    continue
                price = cost + self._send_on(bank, kind.feed)
                for to in row.into:
                    ahead = reach.get(to)
                    if ahead is None or to in settled or to in tree.nodes or fabric.seg_bank[to] == bank:
                        continue
                    if free[to] < count or fabric.fed_by[to] is not None:
                        self.full.add(to)
                        continue
                    crowd = 1.0 - free[to] / fabric.seg_length[to]
                    here = price + CROWD * crowd**4 + self.history.get(to, 0.0)
                    if here < best.get(to, FAR):
                        best[to] = here
                        back[to] = (segment, number, tap)
                        heappush(heap, (here + ahead, to))
        return None

    def _lets_pass(self, node: Node, mask: int) -> bool:
        """Return whether all riders of a mask fit on a node and on those before it."""
        at: Node | None = node
        while at is not None:
            if at.row >= 0 and (at.mask | mask).bit_count() > self.free[at.segment]:
                self.full.add(at.segment)
                return False
            at = at.before
        return True

    def _grow(self, tree: Tree, segment: int, back: dict[int, tuple[int, int, str]]) -> Node:
        """Add the nodes of a way that was found, and return its last."""
        steps: list[tuple[int, int, str]] = []
        while segment not in tree.nodes:
            before, row, tap = back[segment]
            steps.append((segment, row, tap))
            segment = before
        node = tree.nodes[segment]
        for segment, row, tap in reversed(steps):
            node = tree.nodes[segment] = Node(segment, node, row, tap)
        return node

    def _send_on(self, bank: int, feed: bool) -> float:
        """Return the price of taking a leg out of a bank slot by slot and sending it on."""
        kind = self.fabric.kind[bank]
        price = HOP + (0.0 if feed else RESEND)
        if kind is not None and kind.does == "process":
            price += FEED_TAP if feed else TAP
        return price

    def finals_of(self, target: Target, kind: Kind) -> dict[int, tuple[int, str]]:
        """Return the segments that can feed a target, each with the row and the tap."""
        key = (target, kind.allow, kind.feed)
        known = self.finals.get(key)
        if known is None:
            known = self.finals[key] = {}
            fabric = self.fabric
            for number in fabric.singles_into[target[0]]:
                row = fabric.rows[number]
                if row.alternate == target[1]:
                    for segment in row.sources:
                        tap = fabric.raw_tap(fabric.seg_bank[segment], row, kind.allow, kind.feed)
                        if tap is not None:
                            known.setdefault(segment, (number, tap))
        return known

    def _reach(self, target: Target, feed: bool) -> dict[int, float]:
        key = (target, feed)
        known = self.reach.get(key)
        if known is None:
            known = self.reach[key] = static_reach(self.fabric, Goal((target[0],), 0, target[1], ()), feed)
        return known

    def take(self, tree: Tree, riders: Sequence[Rider]) -> None:
        """Put the riders of a bundle on slots of every segment its tree enters."""
        count = len(riders)
        for node in tree.nodes.values():
            if node.offsets:
                continue  # it stands already
            if node.before is None:
                node.offsets = [rider.place[1] for rider in riders]
            elif node.row < 0:
                node.offsets = node.before.offsets
            else:
                numbers = _numbers(node.mask)
                node.offsets = [-1] * count
                for number, offset in zip(numbers, self._lowest(node.segment, len(numbers)), strict=True):
                    node.offsets[number] = offset
        self.taken.append((tree, riders))

    def _tell(self, tree: Tree, riders: Sequence[Rider]) -> None:
        """Note the choices and routes of a bundle, once all of them are carried."""
        for node in tree.nodes.values():
            numbers = _numbers(node.mask)
            if node.before is not None and node.row >= 0:
                self._choose(node, node.before, numbers)
            device, name = self.fabric.banks[self.fabric.seg_bank[node.segment]]
            first, offsets = self.fabric.seg_first[node.segment], node.offsets
            slots = node.slots = [None] * len(riders)
            for number in numbers:
                slots[number] = _new(Slot, (device, name, first + offsets[number]))
        for target, mask, node, _, tap in tree.ends:
            self._land(target, riders, _numbers(mask), node, tap)

    def hold(self, segment: int, offset: int) -> bool:
        """Take one slot of a segment; return whether it was free to pass through."""
        bit = 1 << offset
        if not self.open[segment] & bit:
            return False
        self.open[segment] ^= bit
        self.free[segment] -= 1
        return True

    def choose(self, segment: int, offset: int, source: int, source_offset: int, tap: str, alternate: bool) -> None:
        """Note the choice of one slot."""
        bank, first = self.fabric.seg_bank, self.fabric.seg_first
        self.choices.append(
            (bank[segment], first[segment] + offset, 1, bank[source], first[source] + source_offset, tap, alternate, True)
        )

    def _choose(self, node: Node, before: Node, numbers: Sequence[int]) -> None:
        """Note the choices by which riders come into a node, those that keep step as one."""
        fabric = self.fabric
        bank, first = fabric.seg_bank[node.segment], fabric.seg_first[node.segment]
        from_, start = fabric.seg_bank[before.segment], fabric.seg_first[before.segment]
        into = out = length = -1
        for number in numbers:
            if length > 0 and node.offsets[number] == into + length and before.offsets[number] == out + length:
                length += 1
                continue
            if length > 0:
                self.choices.append((bank, first + into, length, from_, start + out, node.tap, False, True))
            into, out, length = node.offsets[number], before.offsets[number], 1
        if length > 0:
            self.choices.append((bank, first + into, length, from_, start + out, node.tap, False, True))

    def _land(self, target: Target, riders: Sequence[Rider], numbers: Sequence[int], node: Node, tap: str) -> None:
        """Let the riders of one target arrive, each on the slot it is wanted at."""
        fabric, choices, routes = self.fabric, self.choices, self.routes
        segment, alternate = target
        bank, first = fabric.seg_bank[segment], fabric.seg_first[segment]
        from_, start = fabric.seg_bank[node.segment], fabric.seg_first[node.segment]
        rows: list[list[Slot | None]] = []
        at: Node | None = node
        while at is not None:
            rows.append(at.slots)
            at = at.before
        rows.reverse()
        offsets = node.offsets
        for number in numbers:
            aim = riders[number].aims[target]
            goal = aim.goals[0]
            offset = goal.offset or 0
            choices.append((bank, first + offset, 1, from_, start + offsets[number], tap, alternate, True))
            hops = [row[number] for row in rows]
            if goal.tail:
                hops.append(fabric.place(segment, offset))
                hops.extend([fabric.place(after, offset) for after in goal.tail])
            else:
                hops.append(aim.slots[0])
            routes[aim.number] = Route(aim.leg, aim.to, aim.entry, tuple(hops), alternate)

    def _lowest(self, segment: int, count: int) -> Sequence[int]:
        """Take the lowest free offsets of a segment."""
        mask = self.open[segment]
        self.free[segment] -= count
        start = lowest(mask)
        run = (1 << count) - 1 << start
        if mask & run == run:
            self.open[segment] = mask ^ run
            return range(start, start + count)
        taken = []
        for _ in range(count):
            taken.append(lowest(mask))
            mask &= mask - 1
        self.open[segment] = mask
        return taken

    def result(self, found: Sequence[Unit], kinds: dict[Kind, list[Rider]]) -> Bundled:
        """Return what was carried, everything in order."""
        for tree, riders in self.taken:
            self._tell(tree, riders)
        place = self.fabric.place
        ends = {
            feed: sorted((r.name, r.place) for kind, riders in kinds.items() if kind.feed == feed for r in riders)
            for feed in (False, True)
        }
        plugs, mixes = ({name: place(*at) for name, at in ends[feed]} for feed in (False, True))
        routes = [self.routes[number] for number in sorted(self.routes)]
        return Bundled(plugs, mixes, join_choices(self.fabric, self.choices), routes)
