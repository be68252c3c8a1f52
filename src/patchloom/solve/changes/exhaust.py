"""Every way there is, looked at one by one: whether units can be placed and carried at all.

Comes in: fabric, plan (with most places held), a `Net` made ready.  Goes out: True, False (proven), or None where the
number of steps was not enough.  Next: `change.py` takes False as proof that so few sockets cannot move.

For small questions only: units with one or two places left each.  Runs that lead to the same places in the same way are
tried once; a slot on the way is any free one where a block carries it on, else the lowest.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from patchloom.solve.attempt import Attempt, Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BLOCK, BOUND, FIXED, SINGLE, Goal, Leg, Step
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim, ways_in
from patchloom.solve.unit import Unit
from patchloom.solve.whole.crowd import asked_exactly

__all__ = ["exhaust"]

STEPS = 20_000
"""Steps at most, each one slot or block taken."""

_Place = tuple[int, int]


class _Enough(Exception):
    """So many steps were taken as were allowed."""


def exhaust(fabric: Fabric, plan: Plan, net: Net, steps: int = STEPS) -> bool | None:
    """Return whether all units of a plan can be placed and carried to their musts; None where it stays open."""
    # Slots kept for wishes and gaps are a habit of the search: a proof may not lean on them.
    for segment, offset in sorted(net.reserved - asked_exactly(plan)):
        net.reserved.discard((segment, offset))
        net.open[segment] |= 1 << offset
    net.ordered = frozenset(goal.segments[0] for aim in plan.aims for goal in aim.goals if goal.offset is not None)
    look = _Look(fabric, plan, net, steps)
    if not look.enter_fixed():
        return False
    try:
        return look.all(sorted(plan.units, key=lambda unit: (unit.fixed, len(unit.allowed[0]), unit.number)), 0)
    except _Enough:
        return None


class _Look(Attempt):
    """The one attempt that goes through everything."""

    def __init__(self, fabric: Fabric, plan: Plan, net: Net, steps: int) -> None:
        super().__init__(fabric, plan, net)
        self.steps = steps
        self.entered: dict[str, list[Leg]] = {}
        self._slotwise: dict[int, bool] = {}
        loose = (goal.segments for aim in plan.aims for goal in aim.goals if goal.offset is None)
        self._choices = [frozenset(segments) for segments in dict.fromkeys(loose)]
        self._belongs: dict[int, frozenset[int]] = {}

    def enter_fixed(self) -> bool:
        """Enter every unit that has one place only; return whether they can all be there."""
        for unit in self.plan.units:
            if unit.fixed:
                places = [next(iter(allowed)) for allowed in unit.allowed]
                if not self._may(unit, places):
                    return False
                self.entered[unit.name] = self._enter(unit, places)
                self._mark(unit, places, 1)
        return True

    def _carry_on(self, units: list[Unit], at: int, legs: list[Leg]) -> bool:
        aims = [(leg, aim) for leg in legs for aim in units[at].aims if aim.leg == leg.name and aim.must]
        return any(self.all(units, at + 1) for _ in self._carried(aims, 0))

    def all(self, units: list[Unit], at: int) -> bool:
        """Return whether the units from one on can all stand."""
        if at == len(units):
            return True
        unit = units[at]
        if unit.name in self.entered:
            return self._carry_on(units, at, self.entered[unit.name])
        for places in self._placements(unit):
            if not self._may(unit, places):
                continue
            legs = self._enter(unit, places)
            self._mark(unit, places, 1)
            if self._carry_on(units, at, legs):
                return True
            self._mark(unit, places, -1)
            for leg in legs:
                self.net.release(leg)
        return False

    def _placements(self, unit: Unit) -> Iterator[list[_Place]]:
        for places in product(*(sorted(allowed) for allowed in unit.allowed)):
            if len(set(places)) == len(places):
                self._step()
                yield list(places)

    def _mark(self, unit: Unit, places: list[_Place], more: int) -> None:
        if unit.feed:
            return
        for place in places:
            group = self._phantom_group(place)
            if group is not None:
                counts = self.phantom.setdefault(group, [0, 0, 0])
                counts[0 if unit.phantom == "need" else 1 if unit.phantom == "never" else 2] += more

    def _carried(self, aims: list[tuple[Leg, Aim]], at: int) -> Iterator[None]:
        """Yield once for each way to carry some legs to their aims, with the way taken."""
        if at == len(aims):
            yield
            return
        leg, aim = aims[at]
        for _, goal in ways_in(self.fabric, aim):
            for start in list(leg.parent):
                for _ in self._ways(leg, start, goal, aim, {segment for segment, _ in leg.parent}):
                    yield from self._carried(aims, at + 1)

    def _ways(self, leg: Leg, here: _Place, goal: Goal, aim: Aim, seen: set[int]) -> Iterator[None]:
        """Yield once for each way from a place a leg is at to a goal, with the way taken."""
        if self._lands(leg, here, goal, aim):
            yield
            return
        for step, there, end in self._steps(leg, here, goal):
            if not end and there[0] in seen:
                continue
            self._step()
            slots, blocks = len(leg.slot_holds), len(leg.block_holds)
            if not self._take(leg, here, there, step, goal.alternate and end):
                continue
            if end:
                yield
            else:
                yield from self._ways(leg, there, goal, aim, seen | {there[0]})
            if goal.alternate and end:
                self.net.alternates.pop(there, None)
            else:
                self.net.undo(leg, slots, blocks, [there])

    def _lands(self, leg: Leg, here: _Place, goal: Goal, aim: Aim) -> bool:
        if goal.offset is not None and goal.tail != BOUND:
            return False
        if here[0] not in goal.segments or (goal.offset is not None and goal.offset != here[1]):
            return False
        return goal.offset is not None or here not in self.net.reserved

    def _steps(self, leg: Leg, here: _Place, goal: Goal) -> Iterator[tuple[Step, _Place, bool]]:
        """Yield every step on from a place: the step, where to, and whether it is the last one."""
        fabric, net = self.fabric, self.net
        reach = net.reach(goal, leg.feed)
        bank = fabric.seg_bank[here[0]]
        exact = goal.offset is not None and goal.tail != BOUND
        for way in fabric.fixed[here[0]]:
            if way.to in reach or way.to in goal.segments:
                yield Step(FIXED, way.to, -1, -1, -1, ""), (way.to, here[1]), False
        for number in fabric.singles_from[here[0]]:
            row = fabric.rows[number]
            tap = fabric.raw_tap(bank, row, leg.allow, leg.feed)
            if tap is None:
                continue
            if exact and row.alternate == goal.alternate and number in fabric.singles_into[goal.segments[0]]:
                end = (goal.segments[0], goal.offset or 0)
                yield Step(SINGLE, end[0], number, -1, -1, tap), end, True
            if row.alternate:
                continue
            for to in row.into:
                if to in reach or to in goal.segments:
                    for slot in self._free(to, leg):
                        yield Step(SINGLE, to, number, -1, -1, tap), (to, slot), False
        yield from self._blocks(leg, here, goal, reach)

    def _blocks(self, leg: Leg, here: _Place, goal: Goal, reach: dict[int, float]) -> Iterator[tuple[Step, _Place, bool]]:
        fabric, net = self.fabric, self.net
        for number, source in fabric.blocks_from[here[0]]:
            row = fabric.rows[number]
            tap = None if row.alternate else fabric.raw_tap(fabric.seg_bank[here[0]], row, leg.allow, leg.feed)
            if tap is None:
                continue
            runs = [run for run in net.by_source.get(source, ()) if net.run_source[run] == (source, number, tap)]
            seen: set[tuple[int, tuple[frozenset[int], ...]]] = set()
            for run in row.into_runs:
                if run in net.run_source or not net.run_free(run, source):
                    continue
                kind = (net.kind_of(run), tuple(self._goals_at(segment) for segment in fabric.runs[run].segments))
                if kind not in seen:
                    seen.add(kind)
                    runs.append(run)
            for run in runs:
                there = fabric.through(*here, source, run)
                if there is not None and (there[0] in reach or there[0] in goal.segments):
                    yield Step(BLOCK, there[0], number, run, source, tap), there, False

    def _free(self, segment: int, leg: Leg) -> list[int]:
        """Return the slots of a segment to try: all free ones where a block carries them on, else the lowest."""
        net = self.net
        if net.block_at[segment] >= 0 or self.fabric.fed_by[segment] is not None:
            return []
        mask = net.open[segment]
        free = [offset for offset in range(self.fabric.seg_length[segment]) if mask >> offset & 1]
        return free if self._moves_on(segment) else free[:1]

    def _moves_on(self, segment: int) -> bool:
        """Return whether a block takes a segment on, there or further along its wires."""
        known = self._slotwise.get(segment)
        if known is None:
            todo = [segment]
            for at in todo:
                todo.extend(way.to for way in self.fabric.fixed[at])
            known = self._slotwise[segment] = any(self.fabric.blocks_from[at] for at in todo)
        return known

    def _goals_at(self, segment: int) -> frozenset[int]:
        """Return the numbers of the choices a segment belongs to, there or further along its wires."""
        known = self._belongs.get(segment)
        if known is None:
            found = {number for number, segments in enumerate(self._choices) if segment in segments}
            for way in self.fabric.fixed[segment]:
                found |= self._goals_at(way.to)
            known = self._belongs[segment] = frozenset(found)
        return known

    def _take(self, leg: Leg, here: _Place, there: _Place, step: Step, alternate: bool) -> bool:
        net = self.net
        if alternate:
            if there in net.alternates:
                return False
            net.alternates[there] = (*here, step.row, step.tap)
            return True
        if there in leg.parent:
            return False
        if step.how == SINGLE:
            if there in net.held or net.block_at[there[0]] >= 0 or not net.room_at(there[0]):
                return False
            net.taken[there] = (*here, step.row, step.tap)
            net.hold(leg, *there)
        elif step.how == BLOCK and not net.take_run(leg, step):
            return False
        leg.parent[there] = here
        leg.tree.setdefault(*there)
        return True

    def _step(self) -> None:
        self.steps -= 1
        if self.steps < 0:
            raise _Enough
