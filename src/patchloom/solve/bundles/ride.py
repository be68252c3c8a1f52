"""A way found once, taken again by every leg alike: no search, no look around, slot by slot.

Comes in: a `State`, and a leg just carried over wires, links and rows by 1 to one exact slot.
Goes out: the next leg from the same segment carried alike, or nothing changed.
Next: `route.py` searches where no ride is known or one is full.

In rigs of routers nearly every leg takes a ride, so this is the innermost loop of big shows.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.solve.path import BOUND, Goal, Leg
from patchloom.solve.state import State, lowest

__all__ = ["Rides"]


class Hop(NamedTuple):
    """One step of a ride; `row` is -1 on a wire or link."""

    to: int
    row: int
    tap: str


class Rides(State):
    """A state that lets legs ride."""

    def ride(self, leg: Leg, goal: Goal) -> tuple[int, int] | None:
        """Carry a leg to an exact slot as one from its segment was; return that place, or None with nothing changed."""
        assert leg.origin is not None
        if goal.offset is None or leg.stained:
            return None
        hops = self._rides.get((leg.origin[0], goal.segments, goal.alternate, leg.allow, leg.feed))
        end = (goal.segments[0], goal.offset)
        if hops is None or (not goal.alternate and (end in self.held or self.block_at[end[0]] >= 0)):
            return None
        tree, parent = leg.tree, leg.parent
        slots = len(leg.slot_holds)
        added: list[tuple[int, int]] = []
        here = leg.origin
        for to, row, tap in hops[:-1]:
            if row < 0:
                there = (to, here[1])
                if there in parent:
                    here = there
                    continue
            else:
                known = tree.get(to)
                if known is not None:
                    here = (to, known)
                    continue
                slot = self._slot(to, leg)
                if slot is None:
                    self.undo(leg, slots, len(leg.block_holds), added)
                    return None
                there = (to, slot)
                self.taken[there] = (*here, row, tap)
                self.hold(leg, to, slot)
            parent[there] = here
            if to not in tree:
                tree[to] = there[1]
            added.append(there)
            here = there
        _, row, tap = hops[-1]
        if goal.alternate:
            self.alternates[end] = (*here, row, tap)
            return end
        self.taken[end] = (*here, row, tap)
        self.hold(leg, *end)
        parent[end] = here
        if end[0] not in tree:
            tree[end[0]] = end[1]
        return end

    def learn(self, leg: Leg, goal: Goal) -> None:
        """Remember the way a leg has just been carried, all of it from where it enters, unless it moves blocks."""
        if goal.offset is None or goal.tail == BOUND or self.fabric.pools or self.along is not None:
            return
        assert leg.origin is not None
        end = (goal.segments[0], goal.offset)
        hops: list[Hop] = []
        at: tuple[int, int] | None = end
        if goal.alternate:
            segment, offset, row, tap = self.alternates[end]
            hops.append(Hop(end[0], row, tap))
            at = (segment, offset)
        while at is not None and at != leg.origin:
            fed = self.taken.get(at)
            if fed is None and self.fabric.fed_by[at[0]] is None:
                return
            hops.append(Hop(at[0], fed[2], fed[3]) if fed is not None else Hop(at[0], -1, ""))
            at = leg.parent[at]
        self._rides[leg.origin[0], goal.segments, goal.alternate, leg.allow, leg.feed] = tuple(reversed(hops))

    def _slot(self, segment: int, leg: Leg) -> int | None:
        """Return a free slot of a segment that a ride enters by a row by 1."""
        if leg.siblings:
            return self.free_slot(segment, leg)
        mask = self.open[segment]
        return lowest(mask) if mask and self.block_at[segment] < 0 else None
