"""How each leg gets from where it enters to where it is wanted, sharing one copy wherever it can.

Comes in: a `Fabric`.  Goes out: a `Net`, a `State` that can search and take what it finds.
Next: `attempt.py` decides what to route, `emit.py` reads it out.

The search is shortest path over segments from all places a leg already is.  A free block costs more than a
hop, and more the fuller its bank is, so that scarce blocks are shared; a block that already comes in costs
next to nothing.  A leg that is like one before it repeats that one's way instead of searching.
"""

from __future__ import annotations

from collections.abc import Callable

from patchloom.solve.bundles.ride import Rides
from patchloom.solve.path import BLOCK, BOUND, FIXED, SINGLE, Goal, Leg, Step, static_reach
from patchloom.solve.search import Search

__all__ = ["Net"]


class Net(Rides):
    """A state that finds ways and takes them."""

    def reach(self, goal: Goal, feed: bool) -> dict[int, float]:
        """Return the segments from which a goal can be reached when nothing is full, with the least cost; cached."""
        single = goal.offset is not None and goal.tail != BOUND
        key = (*goal.segments, (-1 if goal.alternate else -2) - (2 if feed else 0) - (4 if single else 0))
        found = self._reach.get(key)
        if found is None:
            found = self._reach[key] = static_reach(self.fabric, goal, feed)
        return found

    def _places_in_block(self, goal: Goal) -> list[int | None]:
        """Return how far into its block the slot lies that feeds a bound goal by wires, for each size of block; None without."""
        if goal.offset is None or goal.tail != BOUND:
            return [None]
        segment = goal.segments[0]
        for _ in range(64):
            fed = self.fabric.fed_by[segment]
            if fed is None:
                break
            segment = fed[0]
        at = self.fabric.seg_first[segment] + goal.offset
        return list(dict.fromkeys(at - self.fabric.runs[run].first for _, run in self.fabric.blocks_into[segment])) or [None]

    def search(
        self, leg: Leg, goals: list[Goal], start: dict[int, int] | None = None
    ) -> dict[int, tuple[float, list[Step], int]]:
        """Return for each goal reached (by its place in `goals`) its cost, the steps, and the segment they start from.

        Starts from every segment the leg is in, or from `start` (segment to offset).  O(segments log segments).
        """
        look = Search(self, leg, goals) if self.view is None else self.view.search(self, leg, goals)
        found: dict[int, tuple[float, list[Step], int]] = look.run(leg.tree if start is None else start)
        return found

    def leads_to_order(self, run: int) -> bool:
        """Return whether a run leads, by wires alone, to a place whose order is wished for."""
        segment = self.fabric.runs[run].segments[0]
        for _ in range(16):
            if segment in self.ordered:
                return True
            if len(self.fabric.fixed[segment]) != 1:
                return False
            segment = self.fabric.fixed[segment][0].to
        return False

    def disorder(self, run: int) -> float:
        """Return a small price for a run that lands away from the segment wished for."""
        segment = self.fabric.runs[run].segments[0]
        while segment not in self.ordered:
            segment = self.fabric.fixed[segment][0].to
        if segment == self.prefer_segment:
            return 0.0
        away = abs(self.fabric.seg_first[segment] - self.fabric.seg_first[self.prefer_segment])
        return 0.5 + min(away, 400) / 100

    def pick_run(self, runs: list[int], source: int) -> int | None:
        """Return the run a block should come in on: where it was before, else the first free one nobody had."""
        if self.hint_run:
            hinted = next((run for run in runs if self.hint_run.get(run) == source), None)
            if hinted is not None and self.run_free(hinted, source):
                return hinted
            fresh = next((run for run in runs if run not in self.hint_run and self.run_free(run, source)), None)
            if fresh is not None:
                return fresh
        for run in runs:
            if run not in self.run_source and self.run_free(run, source):
                return run
        return None

    def row_kinds(self, row_number: int) -> list[tuple[object, list[int]]]:
        """Return the runs of a block row grouped by where they lead, in order; equal runs are interchangeable."""
        known = self._kinds_of_row.get(row_number)
        if known is None:
            grouped: dict[object, list[int]] = {}
            for run in self.fabric.rows[row_number].into_runs:
                grouped.setdefault(self.kind_of(run), []).append(run)
            known = self._kinds_of_row[row_number] = list(grouped.items())
        return known

    def strangers(self, leg: Leg, source: int) -> int:
        """Return how many signals a run would drag along that the position under way does not want."""
        if self.position < 0:
            return 0
        base = leg.name.partition(".")[0]
        count = 0
        for segment in self.fabric.runs[source].segments:
            for offset in range(self.fabric.seg_length[segment]):
                other = self.carried(segment, offset)
                if other is not None and other.partition(".")[0] != base and self.position not in self.legs[other].wanted_by:
                    count += 1
        return count

    def route(self, leg: Leg, goal: Goal) -> tuple[int, int] | None:
        """Carry a leg to a goal and return (segment, offset) it arrived at, or None when there is no way."""
        assert leg.origin is not None
        if goal.offset is not None and not goal.alternate and not leg.stained:
            there = (goal.segments[0], goal.offset)
            if there in leg.parent:
                return there  # another want of it names the same slot
        bound = goal.offset is not None and goal.tail == BOUND
        alongs = self._places_in_block(goal)
        self.along = alongs[0]
        key = (goal.segments, goal.offset is None, bound, goal.alternate, leg.allow, leg.feed)
        if self.quick and not leg.stained:
            place = self._by_habit(leg, goal, key)
            if place is not None:
                return place
        found = self._first_found(leg, goal, alongs)
        if found is None:
            return None
        _, steps, first = found
        start = (self.fabric.seg_bank[first], self.segment_kind(first, 0))
        place = self._follow(leg, steps, goal, first)
        if place is not None and self.quick:
            self._habits.setdefault(key, {})[start] = self._habit(steps, first)
            self.learn(leg, goal)
        return place

    def _first_found(self, leg: Leg, goal: Goal, alongs: list[int | None]) -> tuple[float, list[Step], int] | None:
        """Return what a search finds for a goal, for the first place in a block that leads to one."""
        for along in alongs:
            self.along = along
            found = self.search(leg, [goal]).get(0)
            if found is not None:
                return found
        return None

    def _by_habit(self, leg: Leg, goal: Goal, key: tuple[object, ...]) -> tuple[int, int] | None:
        """Carry a leg the way of a leg alike, from the place nearest its origin that has one; None where that fails."""
        known = self._habits.get(key)
        if not known:
            return None
        for first in list(leg.tree):
            habit = known.get((self.fabric.seg_bank[first], self.segment_kind(first, 0)))
            if habit is None:
                continue
            steps = self._repeat(habit, leg, goal, first)
            place = self._follow(leg, steps, goal, first) if steps is not None else None
            if place is None:
                continue
            if (
                place == (goal.segments[0], goal.offset)
                if goal.offset is not None
                else place[0] in goal.segments and place not in leg.ends
            ):
                return place
            self._undo_last(leg)
        return None

    def _habit(self, steps: list[Step], segment: int) -> list[tuple[int, int, object, int]]:
        """Return a path in words that hold for every segment alike: how, which way or row, kind of run, segment."""
        habit: list[tuple[int, int, object, int]] = []
        for step in steps:
            if step.how == FIXED:
                habit.append((FIXED, [way.to for way in self.fabric.fixed[segment]].index(step.to), None, step.to))
            elif step.how == BLOCK:
                habit.append((BLOCK, step.row, self.kind_of(step.run), step.to))
            else:
                habit.append((SINGLE, step.row, None, step.to))
            segment = step.to
        return habit

    def _repeat(self, habit: list[tuple[int, int, object, int]], leg: Leg, goal: Goal, segment: int) -> list[Step] | None:
        """Return the steps of a habit from a segment a leg is in, on blocks that come in already or else are free."""
        bound = goal.tail == BOUND
        fabric = self.fabric
        offset = leg.tree[segment]
        steps: list[Step] = []
        for number, (how, which, kind, to) in enumerate(habit):
            if how == FIXED:
                if which >= len(fabric.fixed[segment]):
                    return None
                segment = fabric.fixed[segment][which].to
                steps.append(Step(FIXED, segment, -1, -1, -1, ""))
                continue
            row = fabric.rows[which]
            tap = fabric.raw_tap(fabric.seg_bank[segment], row, leg.allow, leg.feed)
            if tap is None:
                return None
            if how == SINGLE:
                if number < len(habit) - 1 or goal.offset is None or bound:
                    slot = self.already_at(leg, to)
                    if slot is None:
                        slot = self.free_slot(to, leg)
                    if slot is None:
                        like = self.segment_kind(to, 0)
                        found = next(
                            (
                                other
                                for other in row.into
                                if self.segment_kind(other, 0) == like and self.free_slot(other, leg) is not None
                            ),
                            None,
                        )
                        if found is None:
                            return None
                        to = found
                        slot = self.free_slot(to, leg)
                    offset = slot or 0
                segment = to
                steps.append(Step(SINGLE, to, which, -1, -1, tap))
                continue
            source = next((run for row_number, run in fabric.blocks_from[segment] if row_number == which), None)
            if source is None:
                return None
            run = next(
                (run for run in self.by_source.get(source, ()) if self.run_source[run][1] == which and self.kind_of(run) == kind),
                None,
            )
            if run is None:
                runs = next(runs for key, runs in self.row_kinds(which) if key == kind)
                run = self.pick_run(runs, source)
                if run is None or not self.pool_room(fabric.runs[run].bank, 1, 0):
                    return None
            there = fabric.through(segment, offset, source, run)
            if there is None:
                return None
            segment, offset = there
            steps.append(Step(BLOCK, segment, which, run, source, tap))
        return steps

    def _undo_last(self, leg: Leg) -> None:
        slots, blocks, added = self._mark
        self.undo(leg, slots, blocks, added)

    def _follow(self, leg: Leg, steps: list[Step], goal: Goal, first: int) -> tuple[int, int] | None:
        """Take every step of a path; undo and return None when a slot on it is no longer free."""
        offset = leg.tree.get(first)
        if offset is None:
            return None
        if (
            goal.offset is not None
            and goal.tail != BOUND
            and not goal.alternate
            and (
                (goal.segments[0], goal.offset) in self.held
                or self.block_at[goal.segments[0]] >= 0
                or not self.room_at(goal.segments[0])
            )
        ):
            return None
        mark_slots, mark_blocks = len(leg.slot_holds), len(leg.block_holds)
        added: list[tuple[int, int]] = []
        self._mark = (mark_slots, mark_blocks, added)
        here = (first, offset)
        stain = leg.stained.get(first, 0)
        for number, step in enumerate(steps):
            last = number == len(steps) - 1
            if leg.allow and not leg.feed:
                stain = max(stain, self.fabric.stain(self.fabric.seg_bank[here[0]], step.tap))
            if last and goal.offset is not None and goal.tail != BOUND and step.how == SINGLE:
                if not goal.alternate and self.pools.follows and not self.room_at(goal.segments[0]):
                    self.undo(leg, mark_slots, mark_blocks, added)  # the way here filled the pool
                    return None
                if stain and not goal.alternate:
                    leg.stained.setdefault(goal.segments[0], stain)
                return self._arrive(leg, here, step, goal)
            known = self.already_at(leg, step.to) if step.how == SINGLE else None
            if step.how == SINGLE:
                slot = known if known is not None else self.free_slot(step.to, leg)
                if slot is None:
                    self.undo(leg, mark_slots, mark_blocks, added)
                    return None
                if known is None:
                    self.taken[step.to, slot] = (*here, step.row, step.tap)
                    self.hold(leg, step.to, slot)
                there = (step.to, slot)
            else:
                ahead: tuple[int, int] | None = (step.to, here[1])
                if step.how == BLOCK:
                    ahead = self.fabric.through(*here, step.source_run, step.run)
                if ahead is None or (step.how == BLOCK and not self.take_run(leg, step)):
                    self.undo(leg, mark_slots, mark_blocks, added)
                    return None
                there = ahead
            if there not in leg.parent:
                leg.parent[there] = here
                if step.to not in leg.tree:
                    leg.tree[step.to] = there[1]
                    if stain:
                        leg.stained[step.to] = stain
                added.append(there)
            here = there
        return here

    def conflicts(self, leg: Leg, steps: list[Step], goal: Goal, first: int) -> list[str]:
        """Return the legs that have to give way before a path can be taken, and remember what was fought over."""
        out: dict[str, None] = {}
        for number, step in enumerate(steps):
            last = number == len(steps) - 1
            if step.how == SINGLE:
                place: tuple[int, int] | None
                if last and goal.offset is not None and goal.tail != BOUND:
                    place = None if goal.alternate else (goal.segments[0], goal.offset)
                    if place is not None and self.block_at[place[0]] >= 0:
                        self._contest(self.block_at[place[0]], out)
                else:
                    slot = self.already_at(leg, step.to)
                    slot = self.free_slot(step.to, leg) if slot is None else slot
                    slot = self.weakest_slot(step.to, leg) if slot is None else slot
                    place = None if slot is None else (step.to, slot)
                holder = self.held.get(place) if place is not None else None
                if place is not None and holder is not None and holder != leg.name:
                    out[holder] = None
                    self.history["slot", *place] = self.history.get(("slot", *place), 0) + 1
            elif step.how == BLOCK and self.run_source.get(step.run, (step.source_run,))[0] != step.source_run:
                self._contest(step.run, out)
        return [name for name in out if name != leg.name]

    def _contest(self, run: int, out: dict[str, None]) -> None:
        """Remember that a run was fought over, and note who uses it."""
        self.history["run", run, 0] = self.history.get(("run", run, 0), 0) + 1
        out.update((name, None) for name, other in self.legs.items() if run in other.block_holds)

    def carry_by_force(self, leg: Leg, goal: Goal, give_way: Callable[[list[str]], None]) -> tuple[int, int] | None:
        """Carry a leg to a goal over whoever stands in the way; `give_way` takes those out first.  None when no way exists."""
        self.force = True
        found = self._first_found(leg, goal, self._places_in_block(goal))
        self.force = False
        if found is None:
            return None
        _, steps, first = found
        self.force = True
        names = self.conflicts(leg, steps, goal, first)
        self.force = False
        give_way(names)
        return self._follow(leg, steps, goal, first)

    def _arrive(self, leg: Leg, here: tuple[int, int], step: Step, goal: Goal) -> tuple[int, int]:
        assert goal.offset is not None
        there = (goal.segments[0], goal.offset)
        if goal.alternate:
            self.alternates[there] = (*here, step.row, step.tap)
            return there
        self.taken[there] = (*here, step.row, step.tap)
        self.hold(leg, *there)
        leg.parent[there] = here
        leg.tree.setdefault(there[0], there[1])
        return there
