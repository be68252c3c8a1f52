"""One search: the cheapest ways from where a leg is to one or more goals, as things stand.

Comes in: a net (only read here), a leg, goals.  Goes out: steps.  Next: `route.py` takes them.

A node is a segment.  When a goal binds a place in a block, a segment the leg would pass at another place is a node of
its own, so that a way that cannot arrive never hides one that can.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import TYPE_CHECKING

from patchloom.solve.fabric import lateness
from patchloom.solve.path import (
    BLOCK,
    BOUND,
    FAR,
    FEED_TAP,
    FIXED,
    FRESH,
    HOP,
    LEAK,
    RESEND,
    SHARED,
    SINGLE,
    TAP,
    Goal,
    Leg,
    Step,
    least,
)

if TYPE_CHECKING:
    from patchloom.solve.route import Net

__all__ = ["Search"]


class Search:
    """The state of one search."""

    __slots__ = (
        "allowed",
        "back",
        "best",
        "done",
        "fabric",
        "finals",
        "goals",
        "heap",
        "leg",
        "loose",
        "net",
        "settled",
        "wished",
    )

    def __init__(self, net: Net, leg: Leg, goals: list[Goal]) -> None:
        self.net = net
        self.fabric = net.fabric
        self.leg = leg
        self.goals = goals
        useful = [net.reach(goal, leg.feed) for goal in goals]
        self.allowed = useful[0] if len(useful) == 1 else least(useful)
        guide = net.guide.get(leg.name, {}) if net.guide is not None else None
        if guide is not None:
            self.allowed = {segment: cost for segment, cost in self.allowed.items() if segment in guide}
        self.best: dict[int, float] = {}
        self.back: dict[int, tuple[int, Step]] = {}
        self.heap: list[tuple[float, int, int]] = []
        self.settled: set[int] = set()
        self.done: dict[int, tuple[float, list[Step], int]] = {}
        self.finals: dict[int, list[int]] = {}
        """Single row to the goals it feeds."""
        self.loose: dict[int, list[int]] = {}
        """Segment to the goals that lie in it."""
        self.wished: dict[int, int] = {}
        """Segment of a bound goal to the one place of it that will do."""
        for number, goal in enumerate(goals):
            if goal.offset is None or goal.tail == BOUND:
                for segment in goal.segments if guide is None else filter(guide.__contains__, goal.segments):
                    self.loose.setdefault(segment, []).append(number)
                if goal.offset is not None:
                    self.wished[goal.segments[0]] = goal.offset
            else:
                for row in self.fabric.singles_into[goal.segments[0]]:
                    if self.fabric.rows[row].alternate == goal.alternate:
                        self.finals.setdefault(row, []).append(number)

    def run(self, start: dict[int, int]) -> dict[int, tuple[float, list[Step], int]]:
        """Return for each goal reached its cost, the steps, and the segment they start from."""
        stained, most = self.leg.stained, lateness(self.leg.allow)
        for segment in sorted(start):
            if not stained or stained.get(segment, 0) <= most:
                self._push(None, segment, start[segment], 0.0, None)
        pending = len(self.goals)
        while self.heap and len(self.done) < pending:
            _, segment, offset = heappop(self.heap)
            key = self._key(segment, offset)
            if key in self.settled:
                continue
            self.settled.add(key)
            cost = self.best[key]
            if segment in self.loose:
                self._land(key, segment, offset, cost)
            if segment in self.allowed:
                self._singles(key, segment, cost)
                for to, _, toll in self.fabric.fixed[segment]:
                    self._push(key, to, offset, cost + toll, Step(FIXED, to, -1, -1, -1, ""))
                self._blocks(key, segment, offset, cost)
        return self.done

    def _key(self, segment: int, offset: int) -> int:
        """Return the node of a place: the segment, or its complement where a bound goal needs another place of it."""
        if self.net.along is None:
            return segment
        wished = self.wished.get(segment)
        if wished is None:
            wished = self.net.opposite(segment)
        return segment if wished is None or wished == offset else ~segment

    def _push(self, key: int | None, to: int, offset: int, price: float, step: Step | None) -> None:
        if to not in self.allowed and to not in self.loose:
            return
        node = self._key(to, offset)
        if node in self.settled or price >= self.best.get(node, FAR):
            return
        self.best[node] = price
        if key is not None and step is not None:
            self.back[node] = (key, step)
        heappush(self.heap, (price + self.allowed.get(to, 0.0), to, offset))

    def _path(self, key: int) -> tuple[list[Step], int]:
        steps: list[Step] = []
        while key in self.back:
            key, step = self.back[key]
            steps.append(step)
        return steps[::-1], key if key >= 0 else ~key

    def _land(self, key: int, segment: int, offset: int, cost: float) -> None:
        for number in self.loose[segment]:
            goal = self.goals[number]
            if number in self.done or (goal.offset is not None and goal.offset != offset):
                continue
            if goal.offset is None and (
                (segment, offset) in self.net.reserved
                or (segment, offset) in self.leg.ends
                or self._too_early(segment, offset)
                or (self.net.leave_room and not self._room_after(segment, offset, goal))
            ):
                continue
            self.done[number] = (cost, *self._path(key))

    def _too_early(self, segment: int, offset: int) -> bool:
        """Return whether a place comes before the one its sibling leg landed at."""
        after = self.net.after
        if after is None:
            return False
        place = self.fabric.place(segment, offset)
        return place[:2] == after[:2] and place.number < after.number

    def _room_after(self, segment: int, offset: int, goal: Goal) -> bool:
        """Return whether the slot beside a place is left for the next leg."""
        place = self.fabric.place(segment, offset)
        beside = self.fabric.find(place._replace(number=place.number + 1))
        if beside is None or beside[0] not in goal.segments or beside in self.net.reserved:
            return False
        return self.net.carried(*beside) is None

    def _singles(self, key: int, segment: int, cost: float) -> None:
        fabric, net, leg = self.fabric, self.net, self.leg
        bank = fabric.seg_bank[segment]
        for number in fabric.singles_from[segment]:
            row = fabric.rows[number]
            tap = fabric.raw_tap(bank, row, leg.allow, leg.feed)
            if tap is None:
                continue
            for goal in self.finals.get(number, ()):
                if goal not in self.done:
                    steps, first = self._path(key)
                    last = Step(SINGLE, self.goals[goal].segments[0], number, -1, -1, tap)
                    self.done[goal] = (cost + HOP, [*steps, last], first)
            if row.alternate:
                continue
            kind = fabric.kind[bank]
            price = cost + HOP + (0.0 if leg.feed else RESEND)
            if kind is not None and kind.does == "process":
                price += FEED_TAP if leg.feed else TAP
            for to in row.into:
                if (
                    to not in self.allowed
                    or to in self.settled
                    or net.already_at(leg, to) is not None
                    or fabric.seg_bank[to] == bank
                ):
                    continue
                # A segment in use already is preferred by a hair, so that signals gather in few blocks.
                here = price + (0.0 if net.used[to] else 0.01) + (net.noise[to] if net.noise else 0.0)
                if to in fabric.pooled:
                    here += FRESH  # it costs a pool as well
                if here < self.best.get(to, FAR):
                    slot = net.free_slot(to, leg)
                    if slot is None and net.force:
                        slot = net.weakest_slot(to, leg)
                        here += net.slot_price(to, slot) if slot is not None else 0.0
                    if slot is not None and net.room_at(to):
                        self._push(key, to, slot, here, Step(SINGLE, to, number, -1, -1, tap))

    def _blocks(self, key: int, segment: int, offset: int, cost: float) -> None:
        fabric, net, leg = self.fabric, self.net, self.leg
        bank = fabric.seg_bank[segment]
        for number, source in fabric.blocks_from[segment]:
            row = fabric.rows[number]
            tap = None if row.alternate else fabric.raw_tap(bank, row, leg.allow, leg.feed)
            if tap is None:
                continue
            into_bank = fabric.runs[row.into_runs[0]].bank
            seen: set[int] = set()
            for run in net.by_source.get(source, ()):
                taken = net.run_source[run]
                if fabric.runs[run].bank == into_bank and taken[1] == number and (taken[2] == tap or not tap):
                    seen.add(net.kind_of(run))
                    self._offer(key, segment, offset, cost + SHARED, Step(BLOCK, -1, number, run, source, tap))
            kinds = net.row_kinds(number)
            if leg.ends:
                seen.clear()  # the same block may have to come in again, to another place
            if len(seen) == len(kinds) or not (net.force or net.pool_room(into_bank, 1, 0)):
                continue
            price = cost + FRESH * (1.0 + net.bank_blocks[into_bank] / len(row.into_runs))
            if leg.feed and fabric.kind[bank] is None:
                price += LEAK * net.strangers(leg, source)
            for kind, runs in kinds:
                if kind not in seen:
                    self._fresh(key, segment, offset, price, Step(BLOCK, -1, number, -1, source, tap), runs)

    def _fresh(self, key: int, segment: int, offset: int, price: float, step: Step, runs: list[int]) -> None:
        net = self.net
        run = None
        if not net.force or net.pool_room(self.fabric.runs[runs[0]].bank, 1, 0):
            run = net.pick_run(runs, step.source_run)
        if run is None:
            run = net.weakest_run(runs, step.source_run) if net.force else None
            if run is None:
                return
            price += net.run_price(run)
        if net.hint_run.get(run, step.source_run) != step.source_run:
            price += 0.5
        if net.prefer_segment >= 0 and net.leads_to_order(run):
            price += net.disorder(run)
        self._offer(key, segment, offset, price, Step(BLOCK, -1, step.row, run, step.source_run, step.tap))

    def _offer(self, key: int, segment: int, offset: int, price: float, step: Step) -> None:
        there = self.fabric.through(segment, offset, step.source_run, step.run)
        if there is None or (there[0] not in self.allowed and there[0] not in self.loose):
            return
        self._push(key, *there, price, Step(BLOCK, there[0], step.row, step.run, step.source_run, step.tap))
