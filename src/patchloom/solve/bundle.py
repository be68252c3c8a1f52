"""Whole bundles of legs carried at once, where every choice on the way is made slot by slot.

Comes in: fabric, show, aims and units.  Goes out: a `Bundled`, plugs, mixes, selections and routes of the period; or
None where the show asks for more than slots (blocks, free sockets, shared limits ...) or the bundles do not all fit:
then `place.py` searches leg by leg.  Next: `answer.py` adds what is set over the plugs.

Legs that enter by one segment and are wanted by the same lists are alike: one tree serves all of them, slot beside
slot.  A tree grows by the cheapest way from wherever it is to the next list, over segments with room for the whole
bundle; where no way has that much room, the bundle is cut in two.  What is full grows dearer from round to round (the
accumulated cost of negotiated congestion).  O(wants x hops) and one search for each pair of segment and list.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route, Selection
from patchloom.model.show import Show
from patchloom.solve.emit import Choice, join_choices
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, FAR, FEED_TAP, HOP, RESEND, TAP, Goal, static_reach
from patchloom.solve.slot import Aim
from patchloom.solve.state import lowest
from patchloom.solve.unit import Unit

__all__ = ["Bundled", "bundle"]

ROUNDS = 12
CROWD = 2.0
"""Price of a segment that is nearly full, against an empty one."""

Place = tuple[int, int]
Target = tuple[int, bool]
"""A segment legs must come into slot by slot, and whether on the alternate input."""
Hop = tuple[int, int, str]
"""Segment, row by 1 (-1 for a wire or link), tap."""


class Bundled(NamedTuple):
    """What bundles give of a setting."""

    plugs: dict[str, Slot]
    mixes: dict[str, Slot]
    selections: list[Selection]
    routes: list[Route]


class _Rider(NamedTuple):
    """One leg: its name, where it enters, its aims in the order of the bundle's targets."""

    name: str
    place: Place
    aims: tuple[Aim, ...]


class _Kind(NamedTuple):
    """What legs have in common that travel together."""

    origin: int
    targets: tuple[Target, ...]
    allow: str
    feed: bool


class _Tree:
    """A tree under construction: node 0 is where the legs enter."""

    __slots__ = ("ends", "nodes", "of")

    def __init__(self, origin: int) -> None:
        self.nodes: list[tuple[int, int, int, str]] = [(origin, -1, -1, "")]
        """(segment, node before, row, tap) of each node."""
        self.of = {origin: 0}
        """Segment to its node."""
        self.ends: list[tuple[int, int, str]] = []
        """(node, row, tap) by which each target is fed."""

    def grow(self, at: int, hops: Sequence[Hop]) -> int:
        """Add hops from a node on, those it has already left out; return the last node."""
        for segment, row, tap in hops:
            known = self.of.get(segment)
            if known is None:
                known = self.of[segment] = len(self.nodes)
                self.nodes.append((segment, at, row, tap))
            at = known
        return at

    def hops_to(self, node: int) -> list[Hop]:
        """Return the hops from where the legs enter to a node."""
        hops: list[Hop] = []
        while node:
            segment, before, row, tap = self.nodes[node]
            hops.append((segment, row, tap))
            node = before
        return hops[::-1]


def bundle(fabric: Fabric, show: Show, wanted: Sequence[Aim], found: Sequence[Unit]) -> Bundled | None:
    """Return a period's plugs and routes carried in bundles; None where the general search has to do it."""
    if not _simple(fabric, show, wanted):
        return None
    riders = _enter(fabric, wanted, found)
    if riders is None:
        return None
    kinds: dict[_Kind, list[_Rider]] = {}
    for kind, rider in riders:
        kinds.setdefault(kind, []).append(rider)
    history: dict[int, float] = {}
    first: list[_Kind] = []
    for _ in range(ROUNDS):
        carrier = _Carrier(fabric, history)
        carrier.keep(show, wanted)
        failed = carrier.carry_all(kinds, first)
        if failed is None:
            return carrier.result(found, riders)
        first = [failed, *(kind for kind in first if kind != failed)]
        for segment in carrier.crowded():
            history[segment] = history.get(segment, 0.0) + HOP
    return None


def _simple(fabric: Fabric, show: Show, wanted: Sequence[Aim]) -> bool:
    """Return whether a show asks for nothing but exact slots over rows by 1."""
    if fabric.pools or show.fixed or show.groups or show.routing or show.wishes is not None:
        return False
    if any(row.by > 1 for row in fabric.rows):
        return False
    for aim in wanted:
        if len(aim.goals) != 1 or not aim.must or not aim.free:
            return False
        goal = aim.goals[0]
        if goal.offset is None or goal.tail == BOUND:
            return False
    return True


def _enter(fabric: Fabric, wanted: Sequence[Aim], found: Sequence[Unit]) -> list[tuple[_Kind, _Rider]] | None:
    """Return every leg with its kind; None where a plug is free, taken twice, or lacks the phantom it needs."""
    riders: list[tuple[_Kind, _Rider]] = []
    taken: set[Place] = set()
    for unit in found:
        places = _places(fabric, unit, taken)
        if places is None:
            return None
        taken.update(places)
        by_leg: dict[str, list[Aim]] = {}
        for aim in unit.aims:
            by_leg.setdefault(aim.leg, []).append(aim)
        for name, place in zip(unit.legs, places, strict=True):
            aims = by_leg.get(name, [])
            targets = tuple((aim.goals[0].segments[0], aim.goals[0].alternate) for aim in aims)
            if len(set(targets)) < len(targets) or any(target[0] == place[0] for target in targets):
                return None
            riders.append((_Kind(place[0], targets, unit.allow, unit.feed), _Rider(name, place, tuple(aims))))
    return riders


def _places(fabric: Fabric, unit: Unit, taken: set[Place]) -> list[Place] | None:
    """Return where the legs of a unit enter: its fixed sockets, or the first mix slots that are free side by side."""
    if unit.fixed:
        places = [next(iter(allowed)) for allowed in unit.allowed]
        if len(set(places)) < len(places) or not taken.isdisjoint(places):
            return None
        if unit.phantom == "need" and not all(fabric.copper.gives_phantom(fabric.place(*place)) for place in places):
            return None
        return places
    if not unit.feed:
        return None
    width = len(unit.legs)
    for segment, offset in sorted(unit.allowed[0]):
        places = [(segment, offset + part) for part in range(width)]
        if width == 2 and (fabric.seg_first[segment] + offset) % 2 == 0:
            continue
        if taken.isdisjoint(places) and all(place in allowed for place, allowed in zip(places, unit.allowed, strict=True)):
            return places
    return None


class _Carrier:
    """One round: what is taken so far, and the rows and routes that come of it."""

    def __init__(self, fabric: Fabric, history: dict[int, float]) -> None:
        self.fabric = fabric
        self.history = history
        self.open = [(1 << length) - 1 for length in fabric.seg_length]
        self.free = list(fabric.seg_length)
        self.full: set[int] = set()
        self.ways: dict[tuple[int, Target, str, bool], tuple[list[Hop], int, str]] = {}
        """(segment legs enter by, target, tap allowed, feed) to the hops there, the last row and its tap."""
        self.finals: dict[tuple[Target, str, bool], dict[int, tuple[int, str]]] = {}
        self.reach: dict[tuple[Target, bool], dict[int, float]] = {}
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

    def crowded(self) -> list[int]:
        """Return the segments legs were turned away from, in order."""
        return sorted(self.full)

    def carry_all(self, kinds: dict[_Kind, list[_Rider]], first: Sequence[_Kind]) -> _Kind | None:
        """Carry every bundle, some first; return the first that finds no way, or None when all are carried."""
        for kind in dict.fromkeys((*first, *kinds)):
            todo = [kinds[kind]]
            while todo:
                riders = todo.pop()
                tree = self._plan(kind, len(riders))
                if tree is not None:
                    self._take(kind, tree, riders)
                    continue
                if len(riders) == 1:
                    return kind
                room = self._room(kind)
                if room == 0:
                    return kind
                cut = min(room, len(riders) - 1)
                todo.extend((riders[cut:], riders[:cut]))
        return None

    def _room(self, kind: _Kind) -> int:
        """Return how many legs of a kind fit on the tree a single one would take."""
        tree = self._plan(kind, 1)
        if tree is None:
            return 0
        return min((self.free[segment] for segment, _, row, _ in tree.nodes if row >= 0), default=1 << 30)

    def _plan(self, kind: _Kind, count: int) -> _Tree | None:
        """Return a tree with room for so many legs of a kind, nothing taken yet; None where there is none."""
        tree = _Tree(kind.origin)
        free = self.free
        for target in kind.targets:
            key = (kind.origin, target, kind.allow, kind.feed)
            way = self.ways.get(key)
            if way is not None:
                hops, row, tap = way
                if all(number < 0 or free[segment] >= count or segment in tree.of for segment, number, _ in hops):
                    tree.ends.append((tree.grow(0, hops), row, tap))
                    continue
            found = self._search(tree, target, kind, count)
            if found is None:
                return None
            at, hops, row, tap = found
            end = tree.grow(at, hops)
            tree.ends.append((end, row, tap))
            self.ways[key] = (tree.hops_to(end), row, tap)
        return tree

    def _search(self, tree: _Tree, target: Target, kind: _Kind, count: int) -> tuple[int, list[Hop], int, str] | None:
        """Return the cheapest way from a tree to a target: node it leaves by, hops, last row, its tap."""
        fabric, free = self.fabric, self.free
        finals = self._finals(target, kind)
        reach = self._reach(target, kind.feed)
        best: dict[int, float] = {}
        back: dict[int, tuple[int, int, str]] = {}
        heap: list[tuple[float, int]] = []
        for segment in tree.of:
            ahead = reach.get(segment)
            if ahead is not None:
                best[segment] = 0.0
                heappush(heap, (ahead, segment))
        settled: set[int] = set()
        while heap:
            _, segment = heappop(heap)
            if segment in settled:
                continue
            settled.add(segment)
            if segment in finals:
                return self._way(tree, segment, back, finals[segment])
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
                    if ahead is None or to in settled or to in tree.of or fabric.seg_bank[to] == bank:
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

    def _way(
        self, tree: _Tree, segment: int, back: dict[int, tuple[int, int, str]], last: tuple[int, str]
    ) -> tuple[int, list[Hop], int, str]:
        hops: list[Hop] = []
        while segment not in tree.of:
            before, row, tap = back[segment]
            hops.append((segment, row, tap))
            segment = before
        return tree.of[segment], hops[::-1], *last

    def _send_on(self, bank: int, feed: bool) -> float:
        """Return the price of taking a leg out of a bank slot by slot and sending it on."""
        kind = self.fabric.kind[bank]
        price = HOP + (0.0 if feed else RESEND)
        if kind is not None and kind.does == "process":
            price += FEED_TAP if feed else TAP
        return price

    def _finals(self, target: Target, kind: _Kind) -> dict[int, tuple[int, str]]:
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

    def _take(self, kind: _Kind, tree: _Tree, riders: Sequence[_Rider]) -> None:
        """Take the slots of a tree for a bundle, and note its choices and routes."""
        fabric, choices = self.fabric, self.choices
        offsets: list[list[int]] = [[rider.place[1] for rider in riders]]
        slots: list[list[Slot]] = [[fabric.place(*rider.place) for rider in riders]]
        for segment, before, row, tap in tree.nodes[1:]:
            source = tree.nodes[before][0]
            mine = offsets[before] if row < 0 else self._lowest(segment, len(riders))
            bank, first = fabric.seg_bank[segment], fabric.seg_first[segment]
            device, name = fabric.banks[bank]
            offsets.append(mine)
            slots.append([Slot(device, name, first + offset) for offset in mine])
            if row >= 0:
                start = fabric.seg_first[source]
                from_ = fabric.seg_bank[source]
                for into, out in zip(mine, offsets[before], strict=True):
                    choices.append((bank, first + into, 1, from_, start + out, tap, False, True))
        paths = [self._path(tree, node) for node, _, _ in tree.ends]
        for number, (node, _, tap) in enumerate(tree.ends):
            segment = tree.nodes[node][0]
            from_, start, path, out = fabric.seg_bank[segment], fabric.seg_first[segment], paths[number], offsets[node]
            rows = [slots[step] for step in path]
            target, alternate = kind.targets[number]
            bank, first = fabric.seg_bank[target], fabric.seg_first[target]
            for index, rider in enumerate(riders):
                aim = rider.aims[number]
                goal = aim.goals[0]
                offset = goal.offset or 0
                choices.append((bank, first + offset, 1, from_, start + out[index], tap, alternate, True))
                hops = [row[index] for row in rows]
                if goal.tail:
                    hops.append(fabric.place(target, offset))
                    hops.extend([fabric.place(after, offset) for after in goal.tail])
                else:
                    hops.append(aim.slots[0])
                self.routes[aim.number] = Route(rider.name, aim.to, aim.entry, tuple(hops), alternate)

    def _path(self, tree: _Tree, node: int) -> list[int]:
        path = [node]
        while node:
            node = tree.nodes[node][1]
            path.append(node)
        return path[::-1]

    def _lowest(self, segment: int, count: int) -> list[int]:
        """Take the lowest free offsets of a segment."""
        mask = self.open[segment]
        taken = []
        for _ in range(count):
            offset = lowest(mask)
            mask &= mask - 1
            taken.append(offset)
        self.open[segment] = mask
        self.free[segment] -= count
        return taken

    def result(self, found: Sequence[Unit], riders: Sequence[tuple[_Kind, _Rider]]) -> Bundled:
        """Return what was carried, everything in order."""
        entered = {rider.name: self.fabric.place(*rider.place) for _, rider in riders}
        feeds = {name for unit in found if unit.feed for name in unit.legs}
        plugs = {name: entered[name] for name in sorted(entered) if name not in feeds}
        mixes = {name: entered[name] for name in sorted(entered) if name in feeds}
        routes = [self.routes[number] for number in sorted(self.routes)]
        return Bundled(plugs, mixes, join_choices(self.fabric, self.choices), routes)
