"""A way found once, taken again by every leg alike: no search, no look around, slot by slot.

Comes in: a `State` and the steps of a way that ends in one exact slot and passes only wires, links and rows by 1.
Goes out: the leg carried, or nothing changed.  Next: `route.py` searches where no ride is known or one is full.

In rigs of routers nearly every leg takes a ride, so this is the innermost loop of big shows.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.solve.path import FIXED, SINGLE, Goal, Leg, Step
from patchloom.solve.state import State, lowest

__all__ = ["Hop", "Rides", "ride_of"]


class Hop(NamedTuple):
    """One step of a ride; `row` is -1 on a wire or link."""

    to: int
    row: int
    tap: str


def ride_of(steps: list[Step]) -> tuple[Hop, ...] | None:
    """Return the steps of a way as a ride; None where it moves blocks or does not end on a row by 1."""
    if any(step.how not in (FIXED, SINGLE) for step in steps) or not steps or steps[-1].how != SINGLE:
        return None
    return tuple(Hop(step.to, step.row if step.how == SINGLE else -1, step.tap) for step in steps)


class Rides(State):
    """A state that lets legs ride."""

    def ride(self, leg: Leg, goal: Goal, first: int, hops: tuple[Hop, ...]) -> tuple[int, int] | None:
        """Carry a leg from a segment it is in to an exact slot; return that place, or None with nothing changed."""
        assert goal.offset is not None
        end = (goal.segments[0], goal.offset)
        if not goal.alternate and end in self.held:
            return None
        tree, parent = leg.tree, leg.parent
        slots = len(leg.slot_holds)
        added: list[tuple[int, int]] = []
        here = (first, tree[first])
        for hop in hops[:-1]:
            to = hop.to
            if hop.row < 0:
                there = (to, here[1])
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
                self.taken[there] = (*here, hop.row, hop.tap)
                self.hold(leg, to, slot)
            if there not in parent:
                parent[there] = here
                tree.setdefault(to, there[1])
                added.append(there)
            here = there
        last = hops[-1]
        if goal.alternate:
            self.alternates[end] = (*here, last.row, last.tap)
            return end
        self.taken[end] = (*here, last.row, last.tap)
        self.hold(leg, *end)
        parent[end] = here
        tree.setdefault(*end)
        return end

    def _slot(self, segment: int, leg: Leg) -> int | None:
        """Return a free slot of a segment that a ride enters by a row by 1."""
        if leg.siblings:
            return self.free_slot(segment, leg)
        mask = self.open[segment]
        return lowest(mask) if mask and self.block_at[segment] < 0 else None
