"""How each leg gets from where it enters to where it is wanted, sharing one copy wherever it can.

Comes in: a `Fabric`.  Goes out: a `Net`, the mutable state of one try: which slot takes which, which run
takes which run, and the tree of every leg.  Next: `place.py` decides what to route, `emit.py` reads it out.

The search is shortest path over segments from all places a leg already is.  A free block costs more than a
hop, and more the fuller its bank is, so that scarce blocks are shared; a block that already comes in costs
next to nothing.  What is full is no way on: capacity holds at every step, nothing is overused on the way.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import NamedTuple

from patchloom.solve.fabric import Fabric

__all__ = ["BOUND", "Goal", "Leg", "Net", "Step"]

FIXED, BLOCK, SINGLE = 0, 1, 2
HOP, SHARED, FRESH, LEAK = 1.0, 0.25, 12.0, 6.0
RESEND, TAP = 8.0, 30.0
"""Extra price of a source sent on one by one, and of one taken out of a channel: a desk more it depends on."""
FEED_TAP = 6.0
_FAR = 1e9


class Goal(NamedTuple):
    """Where one leg must land: one slot that a single row feeds, or any free slot of some segments.

    `segments` has one member and `offset` is set for an exact slot; `exact_in` also binds a slot that only
    blocks or wires feed.  `alternate` asks for the alternate input.
    """

    segments: tuple[int, ...]
    offset: int | None
    alternate: bool
    tail: tuple[int, ...]
    """Segments that follow by wire to the slot wanted, in order; empty when the slot itself is fed."""


class Leg:
    """One leg of a signal in one try: where it enters, where it is, what it holds."""

    __slots__ = ("allow", "block_holds", "feed", "name", "origin", "parent", "slot_holds", "tree", "wants_banks")

    def __init__(self, name: str, feed: bool, allow: str) -> None:
        self.name = name
        self.feed = feed
        self.allow = allow
        self.origin: tuple[int, int] | None = None
        self.tree: dict[int, int] = {}
        self.parent: dict[tuple[int, int], tuple[int, int] | None] = {}
        self.slot_holds: list[tuple[int, int]] = []
        self.block_holds: list[int] = []
        self.wants_banks: frozenset[int] = frozenset()


class Step(NamedTuple):
    """One step of a path: how, to which segment, by which row (or run pair)."""

    how: int
    to: int
    row: int
    run: int
    source_run: int
    tap: str


class Net:
    """The state of one try; every change is undone by `release`."""

    def __init__(self, fabric: Fabric, reach_cache: dict[tuple[int, ...], dict[int, float]]) -> None:
        self.fabric = fabric
        self.legs: dict[str, Leg] = {}
        self.held: dict[tuple[int, int], str] = {}
        """(segment, offset) to the leg put there by a plug, a mix or a single row."""
        self.used = [0] * len(fabric.seg_bank)
        self.taken: dict[tuple[int, int], tuple[int, int, int, str]] = {}
        """(segment, offset) fed by a single row: (source segment, offset, row, tap)."""
        self.alternates: dict[tuple[int, int], tuple[int, int, int, str]] = {}
        self.run_source: dict[int, tuple[int, int, str]] = {}
        """Run to (source run, row, tap)."""
        self.run_users: dict[int, int] = {}
        self.by_source: dict[int, list[int]] = {}
        self.block_at = [-1] * len(fabric.seg_bank)
        self.bank_blocks = [0] * len(fabric.banks)
        self.bank_slots = [0] * len(fabric.banks)
        self.reserved: set[tuple[int, int]] = set()
        self.reserved_count = [0] * len(fabric.seg_bank)
        self.epoch = 0
        self.hint_run: dict[int, int] = {}
        self.fixed_run: dict[int, int] = {}
        """Runs whose source the user has fixed."""
        self.fixed_slot: dict[tuple[int, int], tuple[int, int]] = {}
        self.prefer_segment = -1
        """Segment a list in an inherited order would like; -1 when there is none."""
        self.position = -1
        """Number of the position a leg is being carried to; -1 when it is not known."""
        self._reach = reach_cache
        self.quick = True
        """Whether legs may repeat the way of a leg alike instead of searching."""
        self._habits: dict[tuple[object, ...], list[tuple[int, int, object, int]]] = {}
        self._mark: tuple[int, int, list[tuple[int, int]]] = (0, 0, [])
        self._kinds: dict[int, int] = {}
        self._segment_kinds: dict[int, int] = {}
        self._names: dict[object, int] = {}
        self._kinds_of_row: dict[int, list[tuple[object, list[int]]]] = {}
        self.ordered: frozenset[int] = frozenset()
        self.along: int | None = None
        """Place in its block a bound goal needs; slots chosen on the way take it where they can."""

    # ---- what can be had -------------------------------------------------------------------------------

    def reach(self, goal: Goal) -> dict[int, float]:
        """Return the segments from which a goal can be reached when nothing is full, with the least cost; cached."""
        key = (*goal.segments, -1 if goal.alternate else -2)
        found = self._reach.get(key)
        if found is None:
            found = self._reach[key] = _static_reach(self.fabric, goal)
        return found

    def reserve(self, segment: int, offset: int) -> None:
        """Keep a slot for what is wanted exactly there."""
        if (segment, offset) not in self.reserved:
            self.reserved.add((segment, offset))
            self.reserved_count[segment] += 1

    def free_slot(self, segment: int, leg: Leg, offset: int | None = None) -> int | None:
        """Return a free offset in a segment that single rows feed: the one asked for, or the best for the leg."""
        if self.block_at[segment] >= 0 or self.fabric.fed_by[segment] is not None:
            return None
        length = self.fabric.seg_length[segment]
        if self.used[segment] >= length:
            return None
        if offset is not None:
            return offset if (segment, offset) not in self.held else None
        if self.used[segment] + self.reserved_count[segment] >= length and self._crowded(segment):
            return None
        if self.along is not None:
            wished = self._opposite(segment)
            if wished is not None and self._open(segment, wished):
                return wished
        first = self.fabric.seg_first[segment]
        base, _, part = leg.name.partition(".")
        if part:
            sibling = self._sibling(segment, base, leg.name)
            if sibling is not None and sibling + 1 < length and self._open(segment, sibling + 1):
                return sibling + 1
            if sibling is None:
                for number in range(length - 1):
                    if (first + number) % 2 and self._open(segment, number) and self._open(segment, number + 1):
                        return number
        for number in range(length):
            if self._open(segment, number):
                return number
        return None

    def _crowded(self, segment: int) -> bool:
        return not any(self._open(segment, number) for number in range(self.fabric.seg_length[segment]))

    def _open(self, segment: int, offset: int) -> bool:
        place = (segment, offset)
        return place not in self.held and place not in self.reserved and place not in self.fixed_slot

    def _place_in_block(self, goal: Goal) -> int | None:
        """Return how far into its block the slot lies that feeds a bound goal by wires; None without a block."""
        assert goal.offset is not None
        segment = goal.segments[0]
        for _ in range(64):
            fed = self.fabric.fed_by[segment]
            if fed is None:
                break
            segment = fed[0]
        rows = self.fabric.blocks_into[segment]
        if not rows:
            return None
        return self.fabric.seg_first[segment] + goal.offset - self.fabric.runs[rows[0][1]].first

    def _opposite(self, segment: int) -> int | None:
        """Return the offset in a segment that a block would carry to the place wished for."""
        assert self.along is not None
        for _, source in self.fabric.blocks_from[segment]:
            offset = self.fabric.runs[source].first + self.along - self.fabric.seg_first[segment]
            if 0 <= offset < self.fabric.seg_length[segment]:
                return offset
        return None

    def _sibling(self, segment: int, base: str, name: str) -> int | None:
        best = None
        for offset in range(self.fabric.seg_length[segment]):
            leg = self.held.get((segment, offset))
            if leg and leg != name and leg.partition(".")[0] == base:
                best = offset
        return best

    def _run_free(self, run: int, source: int) -> bool:
        fixed = self.fixed_run.get(run)
        if fixed is not None and fixed != source:
            return False
        if run in self.run_source:
            return False
        return all(self.used[segment] == 0 and self.block_at[segment] < 0 and self.fabric.fed_by[segment] is None
                   for segment in self.fabric.runs[run].segments)

    def pool_room(self, bank: int, blocks: int, slots: int) -> bool:
        for banks, most, count in self.fabric.pools:
            if bank in banks:
                have = sum((self.bank_blocks if count == "blocks" else self.bank_slots)[other] for other in banks)
                if have + (blocks if count == "blocks" else slots) > most:
                    return False
        return True

    def _kind_of(self, run: int) -> int:
        known = self._kinds.get(run)
        if known is None:
            parts = tuple(self._segment_kind(segment, 0) for segment in self.fabric.runs[run].segments)
            known = self._kinds[run] = self._names.setdefault(parts, len(self._names))
        return known

    def _segment_kind(self, segment: int, depth: int) -> int:
        """Return a number that is the same for segments that lead to the same places in the same way."""
        known = self._segment_kinds.get(segment)
        if known is None:
            kind = self._describe(segment, depth)
            known = self._segment_kinds[segment] = self._names.setdefault(kind, len(self._names))
        return known

    def _describe(self, segment: int, depth: int) -> tuple[object, ...]:
        fabric = self.fabric
        if segment in self.ordered or depth > 12:
            return (segment,)
        return (fabric.seg_length[segment], tuple(sorted({row for row, _ in fabric.blocks_from[segment]})),
                tuple(fabric.singles_from[segment]),
                tuple(self._segment_kind(step.to, depth + 1) for step in fabric.fixed[segment]))

    # ---- searching -------------------------------------------------------------------------------------

    def search(self, leg: Leg, goals: list[Goal], start: dict[int, int] | None = None) -> dict[int, tuple[float, list[Step], int]]:
        """Return for each goal reached (by its place in `goals`) its cost, the steps, and the segment they start from.

        Starts from every segment the leg is in, or from `start` (segment to offset).  O(segments log segments).
        """
        fabric = self.fabric
        origin = leg.tree if start is None else start
        useful = [self.reach(goal) for goal in goals]
        allowed = useful[0] if len(useful) == 1 else _least(useful)
        best: dict[int, float] = {}
        back: dict[int, tuple[int, Step]] = {}
        heap: list[tuple[float, int, int]] = []
        done: dict[int, tuple[float, list[Step], int]] = {}
        finals: dict[int, list[int]] = {}
        loose: dict[int, list[int]] = {}
        for number, goal in enumerate(goals):
            if goal.offset is not None and goal.tail == BOUND:
                loose.setdefault(goal.segments[0], []).append(number)
            elif goal.offset is not None:
                rows = fabric.singles_into[goal.segments[0]]
                for row in rows:
                    if fabric.rows[row].alternate == goal.alternate:
                        finals.setdefault(row, []).append(number)
            else:
                for segment in goal.segments:
                    loose.setdefault(segment, []).append(number)
        for segment in sorted(origin):
            if segment in allowed or segment in loose:
                best[segment] = 0.0
                heappush(heap, (allowed.get(segment, 0.0), segment, origin[segment]))
        pending = len(goals)
        settled: set[int] = set()
        while heap and len(done) < pending:
            _, segment, offset = heappop(heap)
            if segment in settled:
                continue
            settled.add(segment)
            cost = best[segment]
            for number in loose.get(segment, ()):
                goal = goals[number]
                if number not in done and (goal.offset is None or goal.offset == offset) and not (
                        goal.offset is None and (segment, offset) in self.reserved):
                    done[number] = (cost, *_path(segment, back))
            if segment not in allowed:
                continue
            bank = fabric.seg_bank[segment]
            for row_number in fabric.singles_from[segment]:
                row = fabric.rows[row_number]
                tap = fabric.raw_tap(bank, row, leg.allow, leg.feed)
                if tap is None:
                    continue
                for number in finals.get(row_number, ()):
                    if number not in done:
                        steps, first = _path(segment, back)
                        step = Step(SINGLE, goals[number].segments[0], row_number, -1, -1, tap)
                        done[number] = (cost + HOP, [*steps, step], first)
                if row.alternate:
                    continue
                kind = fabric.kind[bank]
                passing = HOP + (0.0 if leg.feed else RESEND)
                if kind is not None and kind.does == "process":
                    passing += FEED_TAP if leg.feed else TAP
                for to in row.into:
                    if to in allowed and to not in settled and to not in leg.tree and fabric.seg_bank[to] != bank:
                        price = cost + passing + 0.01 * (self.used[to] == 0)
                        if price < best.get(to, _FAR):
                            slot = self.free_slot(to, leg)
                            if slot is not None and self.pool_room(fabric.seg_bank[to], 0, 1):
                                best[to] = price
                                back[to] = (segment, Step(SINGLE, to, row_number, -1, -1, tap))
                                heappush(heap, (price + allowed[to], to, slot))
            for to, _, toll in fabric.fixed[segment]:
                if (to in allowed or to in loose) and to not in settled:
                    price = cost + toll
                    if price < best.get(to, _FAR):
                        best[to] = price
                        back[to] = (segment, Step(FIXED, to, -1, -1, -1, ""))
                        heappush(heap, (price + allowed.get(to, 0.0), to, offset))
            for row_number, source in fabric.blocks_from[segment]:
                row = fabric.rows[row_number]
                if row.alternate:
                    continue
                tap = fabric.raw_tap(bank, row, leg.allow, leg.feed)
                if tap is None:
                    continue
                self._expand_block(leg, row_number, source, segment, offset, cost, tap, allowed, loose, settled, best, back, heap)
        return done

    def _expand_block(self, leg: Leg, row_number: int, source: int, segment: int, offset: int, cost: float, tap: str,
                      allowed: dict[int, float], loose: dict[int, list[int]], settled: set[int], best: dict[int, float],
                      back: dict[int, tuple[int, Step]], heap: list[tuple[float, int, int]]) -> None:
        fabric = self.fabric
        row = fabric.rows[row_number]
        seen: set[int] = set()
        into_bank = fabric.runs[row.into_runs[0]].bank
        for run in self.by_source.get(source, ()):
            if fabric.runs[run].bank == into_bank and self.run_source[run][1] == row_number and (
                    self.run_source[run][2] == tap or not tap):
                seen.add(self._kind_of(run))
                self._offer(run, segment, offset, cost + SHARED, Step(BLOCK, -1, row_number, run, source, tap),
                            allowed, loose, settled, best, back, heap)
        kinds = self._row_kinds(row_number)
        if len(seen) == len(kinds) or not self.pool_room(into_bank, 1, 0):
            return
        full = self.bank_blocks[into_bank] / len(row.into_runs)
        price = cost + FRESH * (1.0 + full)
        if leg.feed and fabric.kind[fabric.seg_bank[segment]] is None:
            price += LEAK * self._strangers(leg, source)
        step = Step(BLOCK, -1, row_number, -1, source, tap)
        for kind, runs in kinds:
            if kind in seen:
                continue
            run = self._pick_run(runs, source)
            if run is not None:
                extra = 0.0 if self.hint_run.get(run, source) == source else 0.5
                if self.prefer_segment >= 0 and self._leads_to_order(run):
                    extra += self._disorder(run)
                self._offer(run, segment, offset, price + extra, step._replace(run=run),
                            allowed, loose, settled, best, back, heap)

    def _leads_to_order(self, run: int) -> bool:
        """Return whether a run leads, by wires alone, to a place whose order is wished for."""
        segment = self.fabric.runs[run].segments[0]
        for _ in range(16):
            if segment in self.ordered:
                return True
            if len(self.fabric.fixed[segment]) != 1:
                return False
            segment = self.fabric.fixed[segment][0].to
        return False

    def _disorder(self, run: int) -> float:
        """Return a small price for a run that lands away from the segment wished for."""
        segment = self.fabric.runs[run].segments[0]
        while segment not in self.ordered:
            segment = self.fabric.fixed[segment][0].to
        if segment == self.prefer_segment:
            return 0.0
        away = abs(self.fabric.seg_first[segment] - self.fabric.seg_first[self.prefer_segment])
        return 0.5 + min(away, 400) / 100

    def _pick_run(self, runs: list[int], source: int) -> int | None:
        """Return the run a block should come in on: where it was before, else the first free one nobody had."""
        if self.hint_run:
            hinted = next((run for run in runs if self.hint_run.get(run) == source), None)
            if hinted is not None and self._run_free(hinted, source):
                return hinted
            fresh = next((run for run in runs if run not in self.hint_run and self._run_free(run, source)), None)
            if fresh is not None:
                return fresh
        for run in runs:
            if run not in self.run_source and self._run_free(run, source):
                return run
        return None

    def _row_kinds(self, row_number: int) -> list[tuple[object, list[int]]]:
        """Return the runs of a block row grouped by where they lead, in order; equal runs are interchangeable."""
        known = self._kinds_of_row.get(row_number)
        if known is None:
            grouped: dict[object, list[int]] = {}
            for run in self.fabric.rows[row_number].into_runs:
                grouped.setdefault(self._kind_of(run), []).append(run)
            known = self._kinds_of_row[row_number] = list(grouped.items())
        return known

    def _offer(self, run: int, segment: int, offset: int, price: float, step: Step, allowed: dict[int, float],
               loose: dict[int, list[int]], settled: set[int], best: dict[int, float],
               back: dict[int, tuple[int, Step]], heap: list[tuple[float, int, int]]) -> None:
        there = self.fabric.through(segment, offset, step.source_run, run)
        if there is None:
            return
        to, offset = there
        if to in settled or (to not in allowed and to not in loose):
            return
        if price < best.get(to, _FAR):
            best[to] = price
            back[to] = (segment, step._replace(to=to))
            heappush(heap, (price + allowed.get(to, 0.0), to, offset))

    def _strangers(self, leg: Leg, source: int) -> int:
        """Return how many signals a run would drag along that the position under way does not want."""
        if self.position < 0:
            return 0
        base = leg.name.partition(".")[0]
        count = 0
        for segment in self.fabric.runs[source].segments:
            for offset in range(self.fabric.seg_length[segment]):
                other = self.carried(segment, offset)
                if other is not None and other.partition(".")[0] != base and self.position not in self.legs[other].wants_banks:
                    count += 1
        return count

    def carried(self, segment: int, offset: int) -> str | None:
        """Return the leg a slot carries now, followed upstream; None when nothing comes in."""
        for _ in range(64):
            leg = self.held.get((segment, offset))
            if leg is not None:
                return leg
            fed = self.fabric.fed_by[segment]
            if fed is not None:
                segment = fed[0]
                continue
            run = self.block_at[segment]
            if run < 0:
                return None
            there = self.fabric.through(segment, offset, run, self.run_source[run][0])
            if there is None:
                return None
            segment, offset = there
        return None

    # ---- taking and giving back ------------------------------------------------------------------------

    def enter(self, leg: Leg, segment: int, offset: int) -> None:
        """Put a leg on the socket or mix slot it enters by."""
        leg.origin = (segment, offset)
        leg.tree[segment] = offset
        leg.parent[segment, offset] = None
        self.legs[leg.name] = leg
        self._hold(leg, segment, offset)

    def _hold(self, leg: Leg, segment: int, offset: int) -> None:
        self.held[segment, offset] = leg.name
        self.used[segment] += 1
        self.bank_slots[self.fabric.seg_bank[segment]] += 1
        leg.slot_holds.append((segment, offset))

    def route(self, leg: Leg, goal: Goal) -> tuple[int, int] | None:
        """Carry a leg to a goal and return (segment, offset) it arrived at, or None when there is no way."""
        assert leg.origin is not None
        bound = goal.offset is not None and goal.tail == BOUND
        self.along = self._place_in_block(goal) if bound else None
        key = (self.fabric.seg_bank[leg.origin[0]], self._segment_kind(leg.origin[0], 0), goal.segments, goal.offset is None,
               goal.alternate, leg.allow, leg.feed)
        if self.quick and key in self._habits:
            steps = self._repeat(self._habits[key], leg, goal)
            if steps is not None:
                place = self._follow(leg, steps, goal, leg.origin[0])
                if place is not None and (place == (goal.segments[0], goal.offset) if goal.offset is not None
                                          else place[0] in goal.segments):
                    return place
                if place is not None:
                    self._undo_last(leg)
        found = self.search(leg, [goal]).get(0)
        if found is None:
            return None
        _, steps, first = found
        place = self._follow(leg, steps, goal, first)
        if place is not None and first == leg.origin[0] and self.quick:
            self._habits[key] = self._habit(steps, first)
        return place

    def _habit(self, steps: list[Step], segment: int) -> list[tuple[int, int, object, int]]:
        """Return a path in words that hold for every segment alike: how, which way or row, kind of run, segment."""
        habit: list[tuple[int, int, object, int]] = []
        for step in steps:
            if step.how == FIXED:
                habit.append((FIXED, [way.to for way in self.fabric.fixed[segment]].index(step.to), None, step.to))
            elif step.how == BLOCK:
                habit.append((BLOCK, step.row, self._kind_of(step.run), step.to))
            else:
                habit.append((SINGLE, step.row, None, step.to))
            segment = step.to
        return habit

    def _repeat(self, habit: list[tuple[int, int, object, int]], leg: Leg, goal: Goal) -> list[Step] | None:
        """Return the steps of a habit from a leg's own origin, on blocks that come in already or else are free."""
        assert leg.origin is not None
        bound = goal.tail == BOUND
        fabric = self.fabric
        segment, offset = leg.origin
        steps: list[Step] = []
        for number, (how, which, kind, to) in enumerate(habit):
            if how == FIXED:
                segment = fabric.fixed[segment][which].to
                steps.append(Step(FIXED, segment, -1, -1, -1, ""))
                continue
            row = fabric.rows[which]
            tap = fabric.raw_tap(fabric.seg_bank[segment], row, leg.allow, leg.feed)
            if tap is None:
                return None
            if how == SINGLE:
                if number < len(habit) - 1 or goal.offset is None or bound:
                    slot = leg.tree.get(to)
                    if slot is None:
                        slot = self.free_slot(to, leg)
                    if slot is None:
                        like = self._segment_kind(to, 0)
                        found = next((other for other in row.into if self._segment_kind(other, 0) == like
                                      and self.free_slot(other, leg) is not None), None)
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
            run = next((run for run in self.by_source.get(source, ())
                        if self.run_source[run][1] == which and self._kind_of(run) == kind), None)
            if run is None:
                runs = next(runs for key, runs in self._row_kinds(which) if key == kind)
                run = self._pick_run(runs, source)
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
        self._undo(leg, slots, blocks, added)

    def _follow(self, leg: Leg, steps: list[Step], goal: Goal, first: int) -> tuple[int, int] | None:
        """Take every step of a path; undo and return None when a slot on it is no longer free."""
        offset = leg.tree.get(first)
        if offset is None:
            return None
        if goal.offset is not None and goal.tail != BOUND and not goal.alternate and (
                (goal.segments[0], goal.offset) in self.held or not self.pool_room(self.fabric.seg_bank[goal.segments[0]], 0, 1)):
            return None
        mark_slots, mark_blocks = len(leg.slot_holds), len(leg.block_holds)
        added: list[tuple[int, int]] = []
        self._mark = (mark_slots, mark_blocks, added)
        here = (first, offset)
        for number, step in enumerate(steps):
            last = number == len(steps) - 1
            if last and goal.offset is not None and goal.tail != BOUND and step.how == SINGLE:
                return self._arrive(leg, here, step, goal)
            known = leg.tree.get(step.to)
            if step.how == SINGLE:
                slot = known if known is not None else self.free_slot(step.to, leg)
                if slot is None:
                    self._undo(leg, mark_slots, mark_blocks, added)
                    return None
                if known is None:
                    self.taken[step.to, slot] = (*here, step.row, step.tap)
                    self._hold(leg, step.to, slot)
                there = (step.to, slot)
            else:
                ahead: tuple[int, int] | None = (step.to, here[1])
                if step.how == BLOCK:
                    ahead = self.fabric.through(*here, step.source_run, step.run)
                if ahead is None or (step.how == BLOCK and not self._take_run(leg, step)):
                    self._undo(leg, mark_slots, mark_blocks, added)
                    return None
                there = ahead
            if there not in leg.parent:
                leg.parent[there] = here
                if step.to not in leg.tree:
                    leg.tree[step.to] = there[1]
                added.append(there)
            here = there
        return here

    def _arrive(self, leg: Leg, here: tuple[int, int], step: Step, goal: Goal) -> tuple[int, int]:
        assert goal.offset is not None
        there = (goal.segments[0], goal.offset)
        if goal.alternate:
            self.alternates[there] = (*here, step.row, step.tap)
            return there
        self.taken[there] = (*here, step.row, step.tap)
        self._hold(leg, *there)
        leg.parent[there] = here
        leg.tree.setdefault(there[0], there[1])
        return there

    def _take_run(self, leg: Leg, step: Step) -> bool:
        known = self.run_source.get(step.run)
        if known is None:
            if not self._run_free(step.run, step.source_run) or not self.pool_room(self.fabric.runs[step.run].bank, 1, 0):
                return False
            self.run_source[step.run] = (step.source_run, step.row, step.tap)
            self.run_users[step.run] = 0
            self.by_source.setdefault(step.source_run, []).append(step.run)
            for segment in self.fabric.runs[step.run].segments:
                self.block_at[segment] = step.run
            self.bank_blocks[self.fabric.runs[step.run].bank] += 1
            self.epoch += 1
        elif known[0] != step.source_run:
            return False
        if step.run not in leg.block_holds:
            self.run_users[step.run] += 1
            leg.block_holds.append(step.run)
        return True

    def _undo(self, leg: Leg, slots: int, blocks: int, added: list[tuple[int, int]]) -> None:
        for place in added:
            del leg.parent[place]
            if leg.tree.get(place[0]) == place[1]:
                del leg.tree[place[0]]
        while len(leg.slot_holds) > slots:
            self._drop_slot(leg.slot_holds.pop())
        while len(leg.block_holds) > blocks:
            self._drop_run(leg.block_holds.pop())

    def _drop_slot(self, place: tuple[int, int]) -> None:
        self.held.pop(place, None)
        self.taken.pop(place, None)
        self.used[place[0]] -= 1
        self.bank_slots[self.fabric.seg_bank[place[0]]] -= 1

    def _drop_run(self, run: int) -> None:
        self.run_users[run] -= 1
        if self.run_users[run] == 0:
            source, _, _ = self.run_source.pop(run)
            self.by_source[source].remove(run)
            for segment in self.fabric.runs[run].segments:
                self.block_at[segment] = -1
            self.bank_blocks[self.fabric.runs[run].bank] -= 1
            self.epoch += 1

    def release(self, leg: Leg) -> None:
        """Take a leg out of the rig: its plug, its slots, its share of every block."""
        self._undo(leg, 0, 0, [])
        for place in [place for place, fed in self.alternates.items() if (fed[0], fed[1]) in leg.parent]:
            del self.alternates[place]
        leg.tree.clear()
        leg.parent.clear()
        leg.origin = None
        self.legs.pop(leg.name, None)

    def hops(self, leg: Leg, place: tuple[int, int], alternate: bool = False) -> list[tuple[int, int]]:
        """Return the (segment, offset) places a leg passes, from its origin to a place it arrived at."""
        chain = [place]
        at: tuple[int, int] | None
        if alternate:
            fed = self.alternates[place]
            at = (fed[0], fed[1])
        else:
            at = leg.parent[place]
        while at is not None:
            chain.append(at)
            at = leg.parent[at]
        return chain[::-1]


BOUND = (-1,)
"""Tail of a goal whose exact slot only blocks or wires feed."""


def _least(useful: list[dict[int, float]]) -> dict[int, float]:
    """Return the least cost over several goals for every segment some goal can be reached from."""
    least: dict[int, float] = {}
    for costs in useful:
        for segment, cost in costs.items():
            if cost < least.get(segment, _FAR):
                least[segment] = cost
    return least


def _path(segment: int, back: dict[int, tuple[int, Step]]) -> tuple[list[Step], int]:
    steps: list[Step] = []
    while segment in back:
        segment, step = back[segment]
        steps.append(step)
    return steps[::-1], segment


def _static_reach(fabric: Fabric, goal: Goal) -> dict[int, float]:
    """Return every segment from which a goal can be reached when nothing is full, with the least it can cost from there."""
    heap: list[tuple[float, int]] = []
    best: dict[int, float] = {}

    def offer(segment: int, price: float) -> None:
        if price < best.get(segment, _FAR):
            best[segment] = price
            heappush(heap, (price, segment))

    if goal.offset is not None and goal.tail != BOUND:
        for row in fabric.singles_into[goal.segments[0]]:
            if fabric.rows[row].alternate == goal.alternate:
                for source in fabric.rows[row].sources:
                    offer(source, HOP)
    else:
        for segment in goal.segments:
            offer(segment, 0.0)
    rows_seen: set[int] = set()
    faces: set[tuple[int, int, int]] = set()
    settled: set[int] = set()
    while heap:
        price, segment = heappop(heap)
        if segment in settled:
            continue
        settled.add(segment)
        fed = fabric.fed_by[segment]
        if fed is not None:
            toll = next(way.toll for way in fabric.fixed[fed[0]] if way.to == segment)
            offer(fed[0], price + toll)
            continue
        for row in fabric.singles_into[segment]:
            if row not in rows_seen and not fabric.rows[row].alternate:
                rows_seen.add(row)
                for source in fabric.rows[row].sources:
                    offer(source, price + HOP)
        for row, run in fabric.blocks_into[segment]:
            face = (row, fabric.seg_first[segment] - fabric.runs[run].first, fabric.seg_length[segment])
            if face not in faces and not fabric.rows[row].alternate:
                # The runs of one row are alike: the first to be reached is reached cheapest.
                faces.add(face)
                for source in fabric.rows[row].sources:
                    for other in fabric.facing(segment, run, source):
                        offer(other, price + SHARED)
    return best
