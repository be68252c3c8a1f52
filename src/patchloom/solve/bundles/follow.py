"""Bundles after a patch that stands: every line that is still asked for stays, and only what is owed is carried.

Comes in: fabric, show, aims and units, the setting before.  Goes out: a `Followed`, a whole period like any bundles give, and
what could not stay; or None where the show asks for more than slots, where an old line is no way any more, or where what is
owed finds no room beside the lines that stand: then `changes/` looks leg by leg.  Next: `answer.py`.

A line is looked up place by place and never searched for.  Where only its last slot is another today, all but the last choice
stays.  Every leg that is owed more grows on from where its lines stand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route, Setting
from patchloom.model.show import Show
from patchloom.solve.bundles.bundle import Bundled, Carrier, Node, Tree
from patchloom.solve.bundles.riders import Kind, Place, Rider, Target, enter, simple
from patchloom.solve.fabric import Fabric
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["Followed", "follow"]

_WIRE = -1


class Followed(NamedTuple):
    """What bundles give of a setting, and how many sockets, channels and link slots could not stay, whatever one does."""

    whole: Bundled
    forced: tuple[int, int, int]


class _Held(NamedTuple):
    """A place a leg stands on: where, and the slot before it, None where it enters."""

    segment: int
    offset: int
    before: Slot | None


def follow(fabric: Fabric, show: Show, wanted: Sequence[Aim], found: Sequence[Unit], before: Setting) -> Followed | None:
    """Return a period in which every old line stands and what is new is carried beside; None where that cannot be done."""
    if before.unmet or before.spares or not simple(fabric, show, wanted):
        return None
    kinds = enter(fabric, found, before.mixes)
    if kinds is None:
        return None
    carrier = Carrier(fabric, {}, {})
    carrier.keep(show, wanted)
    return _Follower(fabric, before, carrier).follow(found, kinds)


class _Follower:
    """The lines that stand, and the carrier of what is owed."""

    def __init__(self, fabric: Fabric, before: Setting, carrier: Carrier) -> None:
        self.fabric, self.before, self.carrier = fabric, before, carrier
        self.sockets = self.channels = 0
        self.old: dict[tuple[str, str, bool], Route] = {}
        self.entered: set[int] = set()
        """Segments the leg looked at stands on; it stands once on each."""
        self.steps: dict[tuple[int, int, str, bool], tuple[int, str] | None] = {}
        """(from segment, to segment, allowed taps, feed) to the row and tap of the step; None where there is none."""

    def follow(self, found: Sequence[Unit], kinds: dict[Kind, list[Rider]]) -> Followed | None:
        """Put every line back, carry what is owed; None where one cannot be put back or something owed finds no room."""
        for route in self.before.routes:
            if not route.hops or self.old.setdefault((route.leg, route.to, route.alternate), route) is not route:
                return None  # which of two lines answers which want is for the general search to say
        for unit in found:
            self._count_moved(unit)
        fresh: dict[Kind, list[Rider]] = {}
        grown: list[tuple[Kind, Rider, dict[Slot, _Held]]] = []
        for kind, riders in kinds.items():
            for rider in riders:
                mine: dict[Slot, _Held] = {}
                owed = self._stand(kind, rider, mine)
                if owed is None:
                    return None
                if owed and len(mine) > 1:
                    grown.append((kind, rider._replace(aims=owed), mine))
                elif owed:
                    fresh.setdefault(kind, []).append(rider._replace(aims=owed))
        carrier = self.carrier
        for kind, rider, mine in grown:
            tree = carrier.plan(kind, [rider], _tree(mine))
            if tree is None:
                return None
            carrier.take(tree, [rider])
        if carrier.carry_all(fresh, ()) is not None:
            return None
        return Followed(carrier.result(found, kinds), (self.sockets, self.channels, 0))

    def _count_moved(self, unit: Unit) -> None:
        """Count the legs that may not stay where they enter."""
        table = self.before.mixes if unit.feed else self.before.plugs
        for name, allowed in zip(unit.legs, unit.allowed, strict=True):
            if name in table and self.fabric.find(table[name]) not in allowed:
                self.sockets += not unit.feed
                self.channels += unit.feed

    def _stand(self, kind: Kind, rider: Rider, mine: dict[Slot, _Held]) -> dict[Target, Aim] | None:
        """Put a leg's lines back, noting the places in `mine`; return what it is owed, None where a line is in the way."""
        owed: dict[Target, Aim] = {}
        origin = self.fabric.place(*rider.place)
        mine[origin] = _Held(*rider.place, None)
        self.entered = {rider.place[0]}
        for target, aim in rider.aims.items():
            route = self.old.get((aim.leg, aim.to, aim.alternate))
            if route is None:
                owed[target] = aim
                continue
            if route.hops[-1] != aim.slots[0]:
                away = aim.leg.partition(".")[0] == aim.to
                self.sockets += away
                self.channels += not away
            core = route.hops[: -1 - len(aim.goals[0].tail)]
            last = self.fabric.find(core[-1]) if core and core[0] == origin else None
            final = self.carrier.finals_of(target, kind).get(last[0]) if last is not None else None
            if last is None or final is None:
                owed[target] = aim  # it enters elsewhere, or its last choice cannot be made from there
            elif self._walk(kind, core, mine):
                self._land(aim, route, core, last, target, final)
            else:
                return None
        return owed

    def _walk(self, kind: Kind, core: Sequence[Slot], mine: dict[Slot, _Held]) -> bool:
        """Take the places of a line but for its last choice; return whether all are there and free."""
        fabric, carrier, steps = self.fabric, self.carrier, self.steps
        before = core[0]
        here = mine[before]
        for slot in core[1:]:
            known = mine.get(slot)
            if known is not None:
                if known.before != before:
                    return False
                before, here = slot, known
                continue
            place = fabric.find(slot)
            if place is None or place[0] in self.entered:
                return False
            segment, offset = place
            key = (here.segment, segment, kind.allow, kind.feed)
            if key not in steps:
                steps[key] = self._between(*key)
            step = steps[key]
            if step is None:
                return False
            if step[0] == _WIRE:
                if offset != here.offset:
                    return False
            elif carrier.hold(segment, offset):
                carrier.choose(segment, offset, here.segment, here.offset, step[1], False)
            else:
                return False
            self.entered.add(segment)
            mine[slot] = here = _Held(segment, offset, before)
            before = slot
        return True

    def _between(self, here: int, there: int, allow: str, feed: bool) -> tuple[int, str] | None:
        """Return the row and tap by which one segment is taken into another, row -1 for a wire; None where nothing is."""
        fabric = self.fabric
        fed = fabric.fed_by[there]
        if fed is not None:
            return (_WIRE, "") if fed[0] == here else None
        into = set(fabric.singles_into[there])
        for number in fabric.singles_from[here]:
            row = fabric.rows[number]
            if number in into and not row.alternate:
                tap = fabric.raw_tap(fabric.seg_bank[here], row, allow, feed)
                if tap is not None:
                    return number, tap
        return None

    def _land(self, aim: Aim, route: Route, core: Sequence[Slot], last: Place, target: Target, final: tuple[int, str]) -> None:
        """Let a line arrive where its want says today."""
        goal, place = aim.goals[0], self.fabric.place
        offset = goal.offset or 0
        self.carrier.choose(target[0], offset, *last, final[1], aim.alternate)
        if route.hops[-1] != aim.slots[0]:
            ends = [place(segment, offset) for segment in (target[0], *goal.tail)]
            route = Route(aim.leg, aim.to, aim.entry, (*core, *ends), aim.alternate)
        elif route.entry != aim.entry:
            route = Route(aim.leg, aim.to, aim.entry, route.hops, aim.alternate)
        self.carrier.routes[aim.number] = route


def _tree(mine: Mapping[Slot, _Held]) -> Tree:
    """Return the places a leg stands on as a tree to grow on from."""
    nodes: dict[Slot, Node] = {}
    for slot, held in mine.items():
        node = Node(held.segment, nodes[held.before] if held.before is not None else None, _WIRE, "")
        node.mask, node.offsets, node.slots = 1, [held.offset], [slot]
        nodes[slot] = node
    return Tree({node.segment: node for node in nodes.values()}, [])
