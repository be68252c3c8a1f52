"""A try that can take a way from others: whoever is in the way gives way and is placed again.

Comes in: an attempt under way.  Goes out: a unit placed, and the units that had to leave.  Next: `place.py` puts those
back.  What is fought over grows dearer each time (the accumulated cost of negotiated congestion), so that no two units
take the same thing from each other for ever.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.solve.attempt import Attempt, new_leg
from patchloom.solve.options import union_price
from patchloom.solve.path import BOUND, Leg
from patchloom.solve.slot import Aim, ways_in
from patchloom.solve.unit import Unit

__all__ = ["RipUp"]


class RipUp(Attempt):
    """An attempt in which a unit that finds no way takes it from others."""

    def remove(self, unit: Unit) -> None:
        """Take a unit out again: its places, its routes, its part in the phantom groups."""
        for name in unit.legs:
            leg = self.net.legs.get(name)
            if leg is None or leg.origin is None:
                continue
            group = None if unit.feed else self._phantom_group(leg.origin)
            if group is not None:
                self.phantom[group][0 if unit.phantom == "need" else 1 if unit.phantom == "never" else 2] -= 1
            self.net.release(leg)
        for aim in unit.aims:
            self.out.arrived.pop(aim.number, None)
        self.homes.pop(self._class(unit), None)

    def force(self, unit: Unit) -> list[Unit] | None:
        """Place a unit over whoever stands in the way; return the units taken out, or None when there is no way at all."""
        victims: dict[str, Unit] = {}

        def give_way(names: list[str]) -> None:
            for name in names:
                other = self.plan.unit_of.get(name)
                if other is not None and other is not unit:
                    victims[other.name] = other
                    self.remove(other)

        for places in self._forced_places(unit):
            for place in places:
                if place in self.net.held:
                    self.net.history["slot", *place] = self.net.history.get(("slot", *place), 0) + 1
            give_way([self.net.held[place] for place in places if place in self.net.held])
            legs = self._enter(unit, places)
            arrived: dict[int, tuple[int, int, int]] = {}
            musts = [(leg, aim) for leg in legs for aim in unit.aims if aim.leg == leg.name and aim.must]
            waiting = [(leg, aim) for leg, aim in musts if not self._note_arrival(aim, self.carry(leg, aim), arrived)]
            if all(self._carry_forced(leg, aim, give_way, arrived) for leg, aim in waiting):
                self._note(unit, places, arrived)
                return list(victims.values())
            for leg in legs:
                self.net.release(leg)
        if not victims and self.plan.rules is not None:
            give_way([leg for other in self.plan.rules.make_way(self, unit) for leg in other.legs])
        return None if not victims else [*victims.values(), unit]

    def _carry_forced(
        self, leg: Leg, aim: Aim, give_way: Callable[[list[str]], None], arrived: dict[int, tuple[int, int, int]]
    ) -> bool:
        def by_force(leg: Leg, aim: Aim) -> tuple[int, int, int] | None:
            leg.allow = aim.allow or leg.tap
            for number, goal in ways_in(self.fabric, aim):
                if number and not (self.in_order(aim, number) and self.is_new(leg, aim, number)):
                    continue
                place = self.net.carry_by_force(leg, goal, give_way)
                if place is not None:
                    self.note_landing(aim, self._end(aim.goals[number], place))
                    if aim.place is None or goal.offset is None:
                        leg.ends[self._end(aim.goals[number], place)] = place
                    return (*place, number)
            return None

        found = self.carry(leg, aim) or self.by_rules(leg, aim, by_force, liked=False)
        return self._note_arrival(aim, found, arrived)

    def _note_arrival(self, aim: Aim, found: tuple[int, int, int] | None, arrived: dict[int, tuple[int, int, int]]) -> bool:
        """Note where an aim was met, and return whether it was."""
        if found is not None and aim.number >= 0:
            arrived[aim.number] = found
        return found is not None

    def _forced_places(self, unit: Unit) -> list[list[tuple[int, int]]]:
        """Return where a unit could enter if others gave way, the likeliest first; free places before held ones."""
        if unit.fixed:
            fixed = [next(iter(allowed)) for allowed in unit.allowed]
            return [fixed] if len(set(fixed)) == len(fixed) and self._discord(unit, fixed) is not None else []
        ranked: list[tuple[float, int, list[tuple[int, int]]]] = []
        for segment in unit.choices:
            found = self._pick(unit, segment)
            if found is not None:
                price = self._forced_price(unit, found[1][0])
                ranked.append((price + found[0], segment, found[1]))
                continue
            held = self._held_places(unit, segment)
            if held is not None:
                price = self._forced_price(unit, held[0]) + sum(self.net.slot_price(*place) for place in held)
                ranked.append((price, segment, held))
        ranked.sort(key=lambda row: (row[0], row[1]))
        return [places for price, _, places in ranked[:3] if price < 1e8]

    def _forced_price(self, unit: Unit, place: tuple[int, int]) -> float:
        aims = [aim for aim in unit.aims if aim.must and aim.partner == 0 and aim.goals and aim.goals[0].tail != BOUND]
        goals = [aim.goals[0] for aim in aims]
        if not goals:
            return 0.0
        self.net.look_around()
        self.net.force = True
        done = self.net.search(new_leg(unit, unit.legs[0]), goals, {place[0]: place[1]})
        self.net.force = False
        lost = [aim for number, aim in enumerate(aims) if number not in done]
        if any(aim.goals[0].offset is not None and len(ways_in(self.fabric, aim)) == 1 for aim in lost):
            return 1e9
        return union_price(done) + 60.0 * len(lost)

    def _held_places(self, unit: Unit, segment: int) -> list[tuple[int, int]] | None:
        """Return places of a segment that others hold and could leave for somewhere else."""
        best: tuple[int, list[tuple[int, int]]] | None = None
        for offset in range(self.fabric.seg_length[segment] - len(unit.legs) + 1):
            places = [(segment, offset + part) for part in range(len(unit.legs))]
            holders = [self.plan.unit_of.get(self.net.held.get(place, "")) for place in places]
            if not all(place in allowed for place, allowed in zip(places, unit.allowed, strict=True)):
                continue
            if any(place in self.net.reserved for place in places) or any(
                place in self.net.held and (other is None or other.fixed) for place, other in zip(places, holders, strict=True)
            ):
                continue
            if self._discord(unit, places) is None:
                continue
            fought = sum(self.net.history.get(("slot", *place), 0) for place in places)
            if best is None or fought < best[0]:
                best = (fought, places)
        if best is None:
            return None
        return best[1]
