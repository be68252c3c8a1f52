"""A setting that was, put into an empty try as it was, as far as it is still asked for and still possible.

Comes in: an attempt with nothing taken, the setting before.  Goes out: the same attempt with every line of before that
still holds, and what is owed: units with no place yet, wants with no way yet.
Next: `change.py` places what is owed, moving as little as it can.

Nothing is searched here: hops are looked up, slot by slot, so this costs a fraction of finding them.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route, Setting
from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BLOCK, BOUND, FIXED, SINGLE, Leg, Step
from patchloom.solve.ripup import RipUp
from patchloom.solve.route import Net
from patchloom.solve.ruled import abide
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["Before", "Owed", "Replay"]

_Place = tuple[int, int]


class Owed(NamedTuple):
    """What an old setting does not answer: units with no place, and wants of placed units with no way."""

    units: list[Unit]
    aims: list[tuple[Unit, Aim]]


class Before:
    """The setting before in the numbers of a fabric, read once for many tries."""

    def __init__(self, fabric: Fabric, plan: Plan, setting: Setting) -> None:
        self.fabric = fabric
        self.setting = setting
        self.spares = [place for text in setting.spares if (place := _find(fabric, text)) is not None]
        self._ways: dict[tuple[int, int], list[Step]] = {}
        self.routes: dict[int, Route] = {}
        """By number of the aim, the route that answered it before."""
        self._lines = self._match(plan)
        self._onward: dict[_Place, list[_Place]] | None = None

    def origin(self, unit: Unit) -> list[_Place] | None:
        """Return where the legs of a unit entered before, where each may still enter; None where one may not."""
        table = self.setting.mixes if unit.feed else self.setting.plugs
        places: list[_Place] = []
        for name, allowed in zip(unit.legs, unit.allowed, strict=True):
            was = table.get(name)
            place = self.fabric.find(was) if was is not None else None
            if place is None or place not in allowed:
                return None
            places.append(place)
        return places

    def forced(self, plan: Plan) -> tuple[int, int, int]:
        """Return how many sockets and channels cannot stay: plugs no longer allowed, slots the show now says otherwise."""
        sockets = channels = 0
        for unit in plan.units:
            table = self.setting.mixes if unit.feed else self.setting.plugs
            for name, allowed in zip(unit.legs, unit.allowed, strict=True):
                if name in table and self.fabric.find(table[name]) not in allowed:
                    sockets, channels = sockets + (not unit.feed), channels + unit.feed
        for number, (_, which) in self._lines.items():
            aim = plan.aims[number]
            if aim.must and which < 0 and all(goal.offset is not None for goal in aim.goals):
                away = aim.leg.partition(".")[0] == aim.to
                sockets, channels = sockets + away, channels + (not away)
        return sockets, channels, 0

    def hold(self, plan: Plan, loose: frozenset[str]) -> Plan:
        """Return a plan in which every source that stood, but some, may only stand there."""
        units: list[Unit] = []
        for unit in plan.units:
            places = self.origin(unit) if unit.name not in loose and not unit.feed else None
            if places is not None:
                unit = copy(unit)
                unit.allowed = [{place} for place in places]
                unit.choices = [places[0][0]]
                unit.fixed = True
            units.append(unit)
        held = copy(plan)
        held.units = units
        held.unit_of = {**plan.unit_of, **{leg: unit for unit in units for leg in unit.legs}}
        return held

    def line(self, number: int) -> tuple[list[_Place], int] | None:
        """Return the places an aim's line passed and the goal they end at (-1: none of today's); None where there was none."""
        return self._lines.get(number)

    def _match(self, plan: Plan) -> dict[int, tuple[list[_Place], int]]:
        """Return, by number of the aim, the line that answered it before."""
        old: dict[tuple[str, str, bool], list[Route]] = {}
        for route in self.setting.routes:
            if route.hops:
                old.setdefault((route.leg, route.to, route.alternate), []).append(route)
        found: dict[int, tuple[list[_Place], int]] = {}
        for number, aim in enumerate(plan.aims):
            rows = old.get((aim.leg, aim.to, aim.alternate))
            if not rows:
                continue
            best = 0
            if len(rows) > 1:
                best = min(range(len(rows)), key=lambda n: (rows[n].hops[-1] != aim.place, rows[n].entry != aim.entry, n))
            route = rows.pop(best)
            line = self._read(aim, route.hops)
            if line is not None:
                found[number] = line
                self.routes[number] = route
        return found

    def _read(self, aim: Aim, hops: tuple[Slot, ...]) -> tuple[list[_Place], int] | None:
        fabric = self.fabric
        places: list[_Place] = []
        for slot in hops:
            place = fabric.find(slot)
            if place is None:
                return None
            places.append(place)
        for number, goal in enumerate(aim.goals):
            segment, offset = places[-1]
            tail = goal.tail if goal.tail != BOUND else ()
            end = tail[-1] if tail else goal.segments[0]
            if (goal.offset is None and segment in goal.segments) or (goal.offset == offset and segment == end):
                return places[: len(places) - len(tail)], number
        if not aim.goals:
            return None
        # The show asks for another slot now: the way up to the last choice may stay.
        while len(places) > 1 and fabric.fed_by[places[-1][0]] is not None:
            places.pop()
        return places[:-1], -1

    def step(self, here: _Place, there: _Place, alternate: bool) -> Step | None:
        """Return the step from one place to the next; None where the rig has none."""
        key = (here[0], there[0])
        ways = self._ways.get(key)
        if ways is None:
            ways = self._ways[key] = self._between(*key)
        for way in ways:
            if way.how == BLOCK:
                if self.fabric.through(*here, way.source_run, way.run) == there:
                    return way
            elif way.how == FIXED:
                return way if here[1] == there[1] else None
            elif self.fabric.rows[way.row].alternate == alternate:
                return way
        return None

    def _between(self, here: int, there: int) -> list[Step]:
        fabric = self.fabric
        fed = fabric.fed_by[there]
        if fed is not None:
            return [Step(FIXED, there, -1, -1, -1, "")] if fed[0] == here else []
        into = set(fabric.singles_into[there])
        ways = [Step(SINGLE, there, row, -1, -1, "") for row in fabric.singles_from[here] if row in into]
        for row, source in fabric.blocks_from[here]:
            ways += [Step(BLOCK, there, row, run, source, "") for number, run in fabric.blocks_into[there] if number == row]
        return ways

    def onward(self, place: _Place) -> list[_Place]:
        """Return where a place was taken to before, by choices and wires."""
        if self._onward is None:
            self._onward = {}
            for row in self.setting.selections:
                for into, from_ in zip(row.into.slots(), row.from_.slots(), strict=False):
                    here, there = self.fabric.find(from_), self.fabric.find(into)
                    if here is not None and there is not None and not row.alternate:
                        self._onward.setdefault(here, []).append(there)
        return [*((way.to, place[1]) for way in self.fabric.fixed[place[0]]), *self._onward.get(place, ())]


class Replay(RipUp):
    """An attempt that begins where the setting before ended."""

    def __init__(self, fabric: Fabric, plan: Plan, net: Net, before: Before) -> None:
        super().__init__(fabric, plan, net)
        self.before = before
        self.kept: dict[str, Unit] = {}
        """Units that stand where they stood."""
        self.dangling: dict[str, Leg] = {}
        """Legs that may hold a way to nowhere: their old one, up to the last choice."""

    def replay(self, loose: Iterable[str] = (), ways: Iterable[str] = ()) -> Owed:
        """Put everything back that still holds; return what is owed.

        Units named in `loose` are left out; those in `ways` are plugged as before, and their wants are owed.
        """
        owed = Owed([], [])
        out, free = set(loose), set(ways)
        for unit in self.plan.units:
            places = self.before.origin(unit) if unit.name not in out else None
            if places is None or not self._may(unit, places):
                owed.units.append(unit)
                continue
            self.kept[unit.name] = unit
            arrived: dict[int, tuple[int, int, int]] = {}
            legs = {leg.name: leg for leg in self._enter(unit, places)}
            for aim in unit.aims:
                if unit.name in free or not self._again(legs[aim.leg], aim, arrived):
                    if aim.must:
                        owed.aims.append((unit, aim))
            self._note(unit, places, arrived)
        return owed

    def suits(self, unit: Unit, place: _Place) -> bool:
        """Return whether a place suits a unit's phantom and group as things stand."""
        return self._discord(unit, [place]) is not None

    def stand(self, unit: Unit, places: list[_Place]) -> bool:
        """Put the legs of a unit on places, nothing carried yet; return whether they may stand there."""
        if not self._may(unit, places):
            return False
        self._enter(unit, places)
        self._note(unit, places, {})
        return True

    def restore(self, unit: Unit) -> bool:
        """Place a unit as it was, with the old way of each want that is still free; return whether all its musts are carried."""
        places = self.before.origin(unit)
        if places is None or not self._may(unit, places):
            return False
        legs = {leg.name: leg for leg in self._enter(unit, places)}
        arrived: dict[int, tuple[int, int, int]] = {}
        lost = [aim for aim in unit.aims if not self._again(legs[aim.leg], aim, arrived)]
        self._note(unit, places, arrived)
        if all(self.fulfil(unit, aim) for aim in lost if aim.must):
            return True
        self.remove(unit)
        return False

    def fulfil(self, unit: Unit, aim: Aim) -> bool:
        """Carry one want of a unit that stands: the way it was, else any; return whether it arrived."""
        leg = self.net.legs[aim.leg]
        number = aim.number
        if number in self.out.arrived or self._again(leg, aim, self.out.arrived):
            return True
        found = self.carry(leg, aim)
        if found is None:
            return False
        self.out.arrived[number] = found
        self.prune(leg)
        return True

    def _again(self, leg: Leg, aim: Aim, arrived: dict[int, tuple[int, int, int]]) -> bool:
        """Take a want's old way again; return whether it arrives."""
        number = aim.number
        line = self.before.line(number)
        if line is None:
            return False
        places, which = line
        mark = (len(leg.slot_holds), len(leg.block_holds), len(leg.parent))
        if places[0] != leg.origin or not self.follow(leg, places, aim.alternate and which >= 0, which, aim):
            return False
        if which < 0:
            self.dangling[leg.name] = leg
            return False
        found = (*places[-1], which)
        rules = self.plan.rules
        if rules is not None and rules.speaks(leg.name) and not abide.keeps(rules, self, leg, aim, found):
            if aim.alternate:
                self.net.alternates.pop(places[-1], None)
            self.net.undo(leg, mark[0], mark[1], list(leg.parent)[mark[2] :])
            return False
        arrived[number] = found
        self.out.kept[number] = (found, self.before.routes[number])
        if aim.place is None:
            self.note_landing(aim, self._end(aim.goals[which], places[-1]))
        return True

    def follow(self, leg: Leg, places: list[_Place], alternate: bool, which: int, aim: Aim | None = None) -> bool:
        """Take the way through places in order; return whether it could be taken, with nothing changed when not."""
        net, parent = self.net, leg.parent
        slots, blocks = len(leg.slot_holds), len(leg.block_holds)
        added: list[_Place] = []
        exact = aim is not None and which >= 0 and aim.goals[which].offset is not None and aim.goals[which].tail != BOUND
        last = len(places) - 1
        here = places[0]
        for number in range(1, last + 1):
            there = places[number]
            turn = alternate and number == last
            if not turn and there in parent:
                if parent[there] != here:
                    break
                here = there
                continue
            step = self.before.step(here, there, turn)
            if step is None or not self._take(leg, here, there, step, turn, exact and number == last):
                break
            if not turn:
                parent[there] = here
                leg.tree.setdefault(*there)
                added.append(there)
            here = there
        else:
            return True
        net.undo(leg, slots, blocks, added)
        return False

    def _take(self, leg: Leg, here: _Place, there: _Place, step: Step, turn: bool, end: bool) -> bool:
        """Take one step; return whether it was free.  `turn`: onto an alternate input; `end`: where the want says exactly."""
        net = self.net
        if step.how == FIXED:
            return True
        row = self.fabric.rows[step.row]
        tap = self.fabric.raw_tap(self.fabric.seg_bank[here[0]], row, leg.allow, leg.feed)
        if tap is None:
            return False
        if step.how == BLOCK:
            known = net.run_source.get(step.run)
            if known is not None and known != (step.source_run, step.row, tap):
                return False
            return net.take_run(leg, step._replace(tap=tap))
        if turn:
            net.alternates[there] = (*here, step.row, tap)
            return True
        if there in net.held or (not end and there in net.reserved) or net.block_at[there[0]] >= 0:
            return False
        if not net.room_at(there[0]):
            return False
        net.taken[there] = (*here, step.row, tap)
        net.hold(leg, *there)
        return True

    def prune(self, leg: Leg) -> None:
        """Give back what a leg holds on the way to nowhere."""
        used: set[_Place] = {leg.origin} if leg.origin is not None else set()
        unit = self.plan.unit_of[leg.name]
        for aim in unit.aims:
            found = self.out.arrived.get(aim.number)
            if found is not None and aim.leg == leg.name:
                used.update(self.net.hops(leg, found[:2], aim.alternate))
        self._keep_only(leg, used)

    def tidy(self) -> None:
        """Give back every way to nowhere."""
        for leg in self.dangling.values():
            if leg.origin is not None:
                self.prune(leg)
        self.dangling.clear()

    def _keep_only(self, leg: Leg, used: set[_Place]) -> None:
        dead = [place for place in leg.parent if place not in used]
        if not dead:
            return
        inside = {segment for segment, _ in used}
        runs = self.fabric.runs
        slots = [place for place in leg.slot_holds if place in used]
        blocks = [run for run in leg.block_holds if any(segment in inside for segment in runs[run].segments)]
        gone = [place for place in leg.slot_holds if place not in used], [run for run in leg.block_holds if run not in blocks]
        leg.slot_holds[:], leg.block_holds[:] = [*slots, *gone[0]], [*blocks, *gone[1]]
        self.net.undo(leg, len(slots), len(blocks), dead)
        leg.tree.clear()
        for place in leg.parent:
            leg.tree.setdefault(*place)

    def keep_spare(self, unit: Unit, place: _Place) -> bool:
        """Keep a spare line at a socket, on the way it had before; return whether that worked."""
        if place not in unit.allowed[0] or not self._may(unit, [place]):
            return False
        (leg,) = self._enter(unit, [place])
        for aim in unit.aims:
            way = self._spare_way(place, frozenset(aim.goals[0].segments))
            if way is None or not self.follow(leg, way, False, -1):
                if self.carry(leg, aim) is None:
                    self.net.release(leg)
                    return False
        self._note(unit, [place], {})
        return True

    def _spare_way(self, place: _Place, ends: frozenset[int]) -> list[_Place] | None:
        """Return the places from a socket to where a spare line came in before; None where it did not."""
        back: dict[_Place, _Place | None] = {place: None}
        todo = [place]
        for at in todo:
            if at[0] in ends:
                way = [at]
                while (before := back[way[-1]]) is not None:
                    way.append(before)
                return way[::-1]
            for there in self.before.onward(at):
                if there not in back:
                    back[there] = at
                    todo.append(there)
        return None


def _find(fabric: Fabric, text: str) -> _Place | None:
    from patchloom.address import slot

    return fabric.find(slot(text))
