"""One try at placing and routing everything.

Comes in: a `Plan` (what stays the same over all tries) and an empty `Net`.  Goes out: a `Placed`.
Next: `place.py` tries again in another order, or is done.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any

from patchloom.address import Slot
from patchloom.model.patch import Route
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric
from patchloom.solve.options import Lazy, union_price
from patchloom.solve.path import BOUND, FRESH, Goal, Leg
from patchloom.solve.route import Net
from patchloom.solve.ruled import abide
from patchloom.solve.ruled.rules import Ruled
from patchloom.solve.slot import Aim, ways_in
from patchloom.solve.unit import Unit

__all__ = ["Attempt", "Placed", "Plan"]


class Placed:
    """The outcome of the tries: the net, where each aim arrived, and what is missing."""

    def __init__(self, net: Net) -> None:
        self.net = net
        self.arrived: dict[int, tuple[int, int, int]] = {}
        """Place of an aim in the list of aims to (segment, offset, which goal)."""
        self.missing: list[str] = []
        self.unmet: list[str] = []
        self.failed: Unit | None = None
        self.spares: list[tuple[int, int]] = []
        self.kept: dict[int, tuple[tuple[int, int, int], Route]] = {}
        """Place of an aim to where it arrived and the route it had before, as long as it still arrives just so."""


class Plan:
    """What stays the same over all tries: aims, hints, keeps, phantom switches."""

    def __init__(self, fabric: Fabric, show: Show, aims: list[Aim], found: list[Unit]) -> None:
        self.fabric = fabric
        self.aims = aims
        self.units = found
        self.hints: dict[str, tuple[int, int]] = {}
        self.seed = 0
        self.unit_of = {leg: unit for unit in found for leg in unit.legs}
        self._signatures = {leg: unit.signature for unit in found for leg in unit.legs}
        positions = sorted({item.position for item in show.lists} | {feed.mixed_at for feed in show.feeds})
        self._positions = {position: number for number, position in enumerate(positions)}
        self._by: dict[int, int | None] = {}
        self._powered: dict[tuple[int, int], bool] = {}
        self.rules: Ruled | None = None
        """Routing rules that take part; None for none."""

    def signature_of(self, leg: str) -> tuple[str, ...]:
        """Return which lists and destinations want a leg."""
        return self._signatures.get(leg, ())

    def position_number(self, position: str) -> int:
        """Return the number of a position."""
        return self._positions.get(position, -1)

    def phantom_by(self, segment: int) -> int | None:
        """Return how many sockets of a segment's bank one phantom switch serves; None without phantom."""
        bank = self.fabric.seg_bank[segment]
        if bank not in self._by:
            kind = self.fabric.kind[bank]
            device = self.fabric.banks[bank][0]
            preamp = self.fabric.rig.type_of(device).preamps.get(kind.preamp) if kind is not None and kind.preamp else None
            self._by[bank] = preamp.phantom_by if preamp is not None else None
        return self._by[bank]

    def no_phantom(self, place: tuple[int, int]) -> bool:
        """Return whether phantom can never reach a source plugged at a place."""
        found = self._powered.get(place)
        if found is None:
            found = self._powered[place] = self.fabric.copper.gives_phantom(self.fabric.place(*place))
        return not found

    def jitter(self, segment: int) -> float:
        """Return a small seeded price that shuffles equal segments in later tries."""
        return 0.0 if self.seed == 0 else random.Random(self.seed * 100_003 + segment).random() * 4


class Attempt:
    """One try at placing and routing everything."""

    def __init__(self, fabric: Fabric, plan: Plan, net: Net) -> None:
        self.fabric = fabric
        self.plan = plan
        self.net = net
        self.out = Placed(net)
        self.phantom: dict[tuple[int, int], list[int]] = {}
        self.group_device: dict[str, str] = {}
        self.costs: dict[tuple[Any, ...], tuple[int, float]] = {}
        self.homes: dict[tuple[Any, ...], int] = {}
        self.landed: dict[tuple[str, int, int], Slot] = {}

    def put(self, unit: Unit) -> bool:
        """Place one unit and carry it to every must; return whether that worked.

        A stereo feed that may choose where it arrives goes side by side where there is a way, be it over a block more.
        """
        if unit.feed and len(unit.legs) == 2 and any(aim.place is None for aim in unit.aims):
            self.net.pairing = True
            done = self._put(unit)
            self.net.pairing = False
            if done:
                return True
        return self._put(unit)

    def _put(self, unit: Unit) -> bool:
        ranked = self._ranked(unit)
        for _, segment, places in ranked:
            if self._commit(unit, places):
                if not unit.fixed:
                    self.homes[self._class(unit)] = segment
                return True
        self.out.failed = unit
        return False

    def _class(self, unit: Unit) -> tuple[Any, ...]:
        return (unit.ends, unit.signature, len(unit.legs), unit.phantom, unit.feed, tuple(unit.choices), unit.spare)

    def _ranked(self, unit: Unit) -> list[tuple[float, int, list[tuple[int, int]]]]:
        """Return the placements to try, cheapest first."""
        if unit.fixed:
            places = [next(iter(allowed)) for allowed in unit.allowed]
            apart = len(set(places)) == len(places)
            return [(0.0, places[0][0], places)] if apart and self._may(unit, places) else []
        options: list[tuple[float, int, list[tuple[int, int]]]] = []
        hinted = [self.plan.hints.get(leg) for leg in unit.legs]
        if all(place is not None for place in hinted):
            places = [place for place in hinted if place is not None]
            if all(place in allowed for place, allowed in zip(places, unit.allowed, strict=True)) and self._may(unit, places):
                options.append((-1e6, places[0][0], places))
        if unit.prefer and len(unit.prefer) == len(unit.legs):
            places = [unit.prefer[leg] for leg in unit.legs]
            if len(set(places)) == len(places) and self._may(unit, places):
                options.append((-1e5, places[0][0], places))
        home = self.homes.get(self._class(unit))
        if home is not None and not options:
            found = self._pick(unit, home)
            if found and found[0] == 0 and self._price(unit, found[1][0]) < FRESH:
                options.append((-1e4, home, found[1]))
        if options:
            # The rest is only looked at when the hint does not work out.
            return Lazy(options, lambda: self._all(unit))  # type: ignore[return-value]
        return self._all(unit)

    def _all(self, unit: Unit) -> list[tuple[float, int, list[tuple[int, int]]]]:
        options = []
        for segment in unit.choices:
            found = self._pick(unit, segment)
            if found is None:
                continue
            misfit, places = found
            price = self._price(unit, places[0]) if unit.aims else 0.0
            if price >= 1e8:
                continue
            options.append((price + misfit + self._waste(unit, segment), segment, places))
        options.sort(key=lambda row: (row[0], row[1]))
        return options

    def _waste(self, unit: Unit, segment: int) -> float:
        """Return a small price for taking room that more widely wanted units could use, and for opening a new box."""
        held = [
            self.net.legs[leg]
            for offset in range(self.fabric.seg_length[segment])
            if (leg := self.net.held.get((segment, offset))) is not None and leg in self.net.legs
        ]
        if not held:
            return 1.0 + self.plan.jitter(segment)
        mine = set(unit.signature)
        strange = sum(1 for leg in held if set(self.plan.signature_of(leg.name)) != mine)
        return 0.5 * strange / len(held)

    def _price(self, unit: Unit, place: tuple[int, int]) -> float:
        key = (self._look(place[0]), unit.ends, unit.allow, unit.feed, self.net.pairing)
        known = self.costs.get(key)
        if known is not None and (known[0] == self.net.epoch or self.net.quick):
            return known[1]
        goals: list[Goal] = []
        for aim in unit.aims:
            if aim.must and aim.partner == 0 and aim.goals and aim.goals[0].tail != BOUND:
                goals.append(aim.goals[0])
        price = 0.0
        if goals and self.net.quick:
            price = sum(self._goal_price(unit, place, goal, key[0]) for goal in goals)
        elif goals:
            probe = new_leg(unit, unit.legs[0])
            self.net.look_around()
            done = self.net.search(probe, goals, {place[0]: place[1]})
            price = 1e9 if len(done) < len(goals) else union_price(done)
        if price >= 1e8 and any(len(ways_in(self.fabric, aim)) > 1 for aim in unit.aims):
            price = 60.0
        self.costs[key] = (self.net.epoch, price)
        return price

    def _goal_price(self, unit: Unit, place: tuple[int, int], goal: Goal, look: tuple[Any, ...]) -> float:
        """Return what one goal costs from a place; goals that lie in the same segments cost the same from places alike."""
        key = (look, goal.segments, goal.offset is None, goal.alternate, unit.allow, unit.feed)
        known = self.costs.get(key)
        if known is None:
            self.net.look_around()
            found = self.net.search(new_leg(unit, unit.legs[0]), [goal], {place[0]: place[1]}).get(0)
            known = self.costs[key] = (self.net.epoch, 1e9 if found is None else found[0])
        return known[1]

    def _look(self, segment: int) -> tuple[Any, ...]:
        """Return what a segment looks like from outside now: where it can lead, and where its blocks already come in.

        Segments that look alike cost the same, so one search prices them all.
        """
        net = self.net
        comes_in: list[int] = []
        todo = [segment]
        for at in todo:
            todo.extend(step.to for step in self.fabric.fixed[at])
            for _, source in self.fabric.blocks_from[at]:
                comes_in.extend(self.fabric.runs[run].bank for run in net.by_source.get(source, ()))
        return (self.fabric.seg_bank[segment], net.segment_kind(segment, 0), tuple(comes_in))

    def _pick(self, unit: Unit, segment: int) -> tuple[float, list[tuple[int, int]]] | None:
        """Return how ill the best free places of a unit in a segment fit, and the places; None without room."""
        best: tuple[float, list[tuple[int, int]]] | None = None
        length, first = self.fabric.seg_length[segment], self.fabric.seg_first[segment]
        if self.net.used[segment] + len(unit.legs) > length or self.net.block_at[segment] >= 0:
            return None
        for offset in range(length):
            places = [(segment, offset + part) for part in range(len(unit.legs))]
            if len(places) > 1 and offset + len(places) > length:
                places = self._across(segment, offset, len(unit.legs)) or []
            if not places or not all(place in allowed for place, allowed in zip(places, unit.allowed, strict=True)):
                continue
            misfit = self._misfit(unit, places)
            if misfit is None:
                continue
            if len(places) == 2 and (first + offset) % 2 == 0:
                misfit += 6.0
            if best is None or misfit < best[0]:
                best = (misfit, places)
            if misfit == 0:
                break
        if best is None and len(unit.legs) > 1:
            return self._scattered(unit, segment)
        return best

    def _across(self, segment: int, offset: int, width: int) -> list[tuple[int, int]] | None:
        bank = self.fabric.seg_bank[segment]
        start = self.fabric.seg_first[segment] + offset
        if start + width - 1 > self.fabric.size[bank]:
            return None
        numbers = [(self.fabric.segment_of[bank][n], n) for n in range(start, start + width)]
        return [(s, n - self.fabric.seg_first[s]) for s, n in numbers]

    def _scattered(self, unit: Unit, segment: int) -> tuple[float, list[tuple[int, int]]] | None:
        """Return places that are not neighbours, the last resort for a stereo unit."""
        free = [
            (segment, offset)
            for offset in range(self.fabric.seg_length[segment])
            if self._misfit(unit, [(segment, offset)]) is not None
        ]
        chosen: list[tuple[int, int]] = []
        for allowed in unit.allowed:
            place = next((place for place in free if place in allowed and place not in chosen), None)
            if place is None:
                return None
            chosen.append(place)
        return (12.0, chosen)

    def _may(self, unit: Unit, places: list[tuple[int, int]]) -> bool:
        return self._misfit(unit, places) is not None

    def _misfit(self, unit: Unit, places: list[tuple[int, int]]) -> float | None:
        """Return how ill free places suit a unit's phantom and groups; None where they are taken or forbidden."""
        for place in places:
            if not self.net.room_at(place[0]):
                return None
            if place in self.net.held or place in self.net.reserved:
                return None
        return self._discord(unit, places)

    def _discord(self, unit: Unit, places: list[tuple[int, int]]) -> float | None:
        """Return how ill places suit a unit's phantom and groups, taken or not; None where they cannot."""
        misfit = 0.0
        for place in places:
            if unit.feed:
                continue
            group = self._phantom_group(place)
            if group is None:
                if unit.phantom == "need" and self.plan.no_phantom(place):
                    return None
                continue
            need, never, other = self.phantom.get(group, (0, 0, 0))
            if (unit.phantom == "need" and never) or (unit.phantom == "never" and need):
                return None
            if unit.phantom == "need":
                misfit += 0.0 if need else (3.0 if other else 1.5)
            elif need:
                misfit += 2.0 if unit.phantom == "unknown" else 0.5
        device = self.fabric.banks[self.fabric.seg_bank[places[0][0]]][0]
        if unit.group_key and self.group_device.get(unit.group_key, device) != device:
            return None
        if self.plan.rules is not None:
            ill = self.plan.rules.suits(self, unit, places)
            return None if ill is None else misfit + ill
        return misfit

    def _phantom_group(self, place: tuple[int, int]) -> tuple[int, int] | None:
        by = self.plan.phantom_by(place[0])
        if not by or by < 2:
            return None
        return self.fabric.seg_bank[place[0]], (self.fabric.seg_first[place[0]] + place[1] - 1) // by

    def _commit(self, unit: Unit, places: list[tuple[int, int]]) -> bool:
        legs = self._enter(unit, places)
        arrived: dict[int, tuple[int, int, int]] = {}
        for leg in legs:
            if not self._carry_all(leg, [aim for aim in unit.aims if aim.leg == leg.name and aim.must], arrived):
                for other in legs:
                    self.net.release(other)
                return False
        self._note(unit, places, arrived)
        return True

    def _carry_all(self, leg: Leg, aims: list[Aim], arrived: dict[int, tuple[int, int, int]]) -> bool:
        """Carry a leg to every aim; one that finds no way is tried again once others stand, as their slots lead on to more."""
        while aims:
            waiting: list[Aim] = []
            for aim in aims:
                found = self.carry(leg, aim)
                if found is None:
                    waiting.append(aim)
                elif aim.number >= 0:
                    arrived[aim.number] = found
            if len(waiting) == len(aims):
                return False
            aims = waiting
        return True

    def _enter(self, unit: Unit, places: list[tuple[int, int]]) -> list[Leg]:
        legs = []
        for name, place in zip(unit.legs, places, strict=True):
            leg = new_leg(unit, name)
            leg.wanted_by = frozenset(self.plan.position_number(aim.position) for aim in unit.aims)
            self.net.enter(leg, *place)
            legs.append(leg)
        return legs

    def _note(self, unit: Unit, places: list[tuple[int, int]], arrived: dict[int, tuple[int, int, int]]) -> None:
        self.out.arrived.update(arrived)
        if not unit.feed:
            for place in places:
                group = self._phantom_group(place)
                if group is not None:
                    counts = self.phantom.setdefault(group, [0, 0, 0])
                    counts[0 if unit.phantom == "need" else 1 if unit.phantom == "never" else 2] += 1
        if unit.group_key:
            self.group_device[unit.group_key] = self.fabric.banks[self.fabric.seg_bank[places[0][0]]][0]

    def carry(self, leg: Leg, aim: Aim) -> tuple[int, int, int] | None:
        """Carry a leg to the first goal of an aim that works by the rules; return (segment, offset, which goal), or None."""
        return self.by_rules(leg, aim, self._carry)

    def by_rules(
        self, leg: Leg, aim: Aim, carry: Callable[[Leg, Aim], tuple[int, int, int] | None], liked: bool = True
    ) -> tuple[int, int, int] | None:
        """Carry a leg in some way, within what routing rules let it pass; with `liked`, where they had rather it passed."""
        if self.plan.rules is not None and self.plan.rules.speaks(leg.name):
            return abide.carry(self.plan.rules, self, leg, aim, carry, liked)
        return carry(leg, aim)

    def _carry(self, leg: Leg, aim: Aim) -> tuple[int, int, int] | None:
        leg.allow = aim.allow or leg.tap
        if self.net.quick and len(aim.goals) == 1:
            place = self.net.ride(leg, aim.goals[0])
            if place is not None:
                return (*place, 0)
        self.net.position = self.plan.position_number(aim.position) if leg.feed else -1
        self.net.after = self.landed.get((aim.to, aim.entry, aim.partner - 1)) if aim.place is None else None
        self.net.leave_room = aim.place is None and aim.partner == 0 and "." in aim.leg
        self.net.prefer_segment = -1
        if not aim.free and aim.place is not None:
            wished = self.fabric.find(aim.place)
            self.net.prefer_segment = wished[0] if wished is not None else -1
        for number, goal in ways_in(self.fabric, aim):
            if number and not (self.may_land(aim, number) and self.is_new(leg, aim, number)):
                continue
            place = self.net.route(leg, goal)
            if place is not None:
                if aim.place is None:
                    self.note_landing(aim, self._end(aim.goals[number], place))
                if aim.place is None or goal.offset is None:
                    leg.ends[self._end(aim.goals[number], place)] = place
                return (*place, number)
        return None

    def _end(self, goal: Goal, place: tuple[int, int]) -> tuple[int, int]:
        """Return where a goal's wires end."""
        return (goal.tail[-1], place[1]) if goal.tail and goal.tail != BOUND else place

    def is_new(self, leg: Leg, aim: Aim, number: int) -> bool:
        """Return whether no other want of a leg has been met at a slot, the goal of that number; each takes one of its own."""
        goal = aim.goals[number]
        return aim.place is not None or self._end(goal, (goal.segments[0], goal.offset or 0)) not in leg.ends

    def may_land(self, aim: Aim, number: int) -> bool:
        """Return whether one slot of a choice is open to a leg: not taken, not kept for others, not before its sibling."""
        goal = aim.goals[number]
        segment, offset = self._end(goal, (goal.segments[0], goal.offset or 0))
        return self.in_order(aim, number) and self.net.carried(segment, offset) is None

    def in_order(self, aim: Aim, number: int) -> bool:
        """Return whether one slot of a choice is neither kept for others nor before the sibling leg's."""
        goal = aim.goals[number]
        assert goal.offset is not None
        segment, _ = self._end(goal, (goal.segments[0], goal.offset))
        place = self.fabric.place(segment, goal.offset)
        after = self.net.after
        if (goal.segments[0], goal.offset) in self.net.reserved or (segment, goal.offset) in self.net.reserved:
            return False
        return not (after is not None and place[:2] == after[:2] and place.number < after.number)

    def note_landing(self, aim: Aim, place: tuple[int, int]) -> None:
        """Remember where a leg landed, so that the next leg of its signal lands after it."""
        self.landed[aim.to, aim.entry, aim.partner] = self.fabric.place(*place)


def new_leg(unit: Unit, name: str) -> Leg:
    """Return a leg of a unit that is nowhere yet."""
    leg = Leg(name, unit.feed, unit.allow)
    leg.tap = unit.tap
    if len(unit.legs) > 1:
        leg.siblings = tuple(other for other in unit.legs if other != name)
    return leg
