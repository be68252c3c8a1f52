"""What one try has taken so far: slots, runs, and the tree of every leg.

Comes in: a `Fabric`.  Goes out: a `State`; every change is undone by `release`.
Next: `route.py` adds the search, `emit.py` reads the state out.

What is full is no way on: capacity holds at every step, nothing is overused on the way.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from patchloom.address import Slot
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import PENALTY, Leg, Step
from patchloom.solve.pools import Pools

__all__ = ["State", "lowest"]

_ODD = sum(1 << bit for bit in range(0, 8192, 2))
"""Offsets 0, 2, 4 ...: odd slots of a segment that begins on an odd one."""
_EVEN = _ODD << 1


def lowest(mask: int) -> int:
    """Return the place of the lowest bit set."""
    return (mask & -mask).bit_length() - 1


class State:
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
        self.pools = Pools(fabric, self.bank_slots, self.bank_blocks)
        self.reserved: set[tuple[int, int]] = set()
        self.open = [(1 << length) - 1 for length in fabric.seg_length]
        """Per segment: a bit for each slot, lowest offset first, set while it is neither held nor reserved."""
        self.epoch = 0
        self.noise: list[float] = []
        """A seeded price on each segment that makes later tries look elsewhere; empty for none."""
        self.force = False
        """Whether the search may take what others hold, at a price; `conflicts` then says who has to give way."""
        self.history: dict[tuple[str, int, int], int] = {}
        """How often a slot or a run was contested; what is fought over grows dear."""
        self.hint_run: dict[int, int] = {}
        self.fixed_run: dict[int, int] = {}
        """Runs whose source the user has fixed."""
        self.fixed_sources: frozenset[int] = frozenset()
        """Runs that some run takes because the user has fixed it: they lead where no other does."""
        self.after: Slot | None = None
        """Slot the leg before this one landed at, when this one must come later in the same bank."""
        self.pairing = False
        """Whether the legs of a signal must take slots side by side wherever they are chosen, the first an odd one."""
        self.leave_room = False
        """Whether the leg under way must leave a later slot of its bank to the next leg of its signal."""
        self.prefer_segment = -1
        """Segment a list in an inherited order would like; -1 when there is none."""
        self.position = -1
        """Number of the position a leg is being carried to; -1 when it is not known."""
        self._reach = reach_cache
        self.quick = True
        """Whether legs may repeat the way of a leg alike instead of searching."""
        self._habits: dict[tuple[object, ...], dict[tuple[int, int], list[tuple[int, int, object, int]]]] = {}
        self._rides: dict[tuple[object, ...], Any] = {}
        self._mark: tuple[int, int, list[tuple[int, int]]] = (0, 0, [])
        self._kinds: dict[int, int] = {}
        self.segment_kinds: dict[int, int] = {}
        self._names: dict[object, int] = {}
        self._kinds_of_row: dict[int, list[tuple[object, list[int]]]] = {}
        self.ordered: frozenset[int] = frozenset()
        self._opposites: dict[tuple[int, int], int | None] = {}
        self.guard: Callable[[int, int], bool] | None = None
        """Asked whether a run may take a source run, where routing rules forbid signals to be dragged along; see `rules.py`."""
        self.marks: dict[int, tuple[int, ...]] = {}
        """Segment to the routing rules that speak of it."""
        self.view: Any = None
        """What the leg under way may pass by the routing rules; None where none speaks of it; see `abide.py`."""
        self.ways: dict[tuple[str, str, int, bool], Any] = {}
        """Deliveries routing rules speak of, as last carried."""
        self.shunned: dict[tuple[str, int], float] = {}
        """(leg, segment) to the price of it, where the leg stood in the way of a signal it has to keep away from."""
        self.guide: dict[str, dict[int, int]] | None = None
        """Leg to the segments it keeps to, each with a bit for every slot it may take there; None where it is free to go."""
        self.along: int | None = None
        """Place in its block a bound goal needs; slots chosen on the way take it where they can."""

    def reserve(self, segment: int, offset: int) -> None:
        """Keep a slot for what is wanted exactly there."""
        if (segment, offset) not in self.reserved:
            self.reserved.add((segment, offset))
            self.open[segment] &= ~(1 << offset)

    def free_slot(self, segment: int, leg: Leg) -> int | None:
        """Return the free offset that suits a leg best in a segment that single rows feed; None where it is full."""
        if self.block_at[segment] >= 0 or self.fabric.fed_by[segment] is not None:
            return None
        mask = self.open[segment]
        if self.guide is not None:
            mask &= self.guide.get(leg.name, {}).get(segment, 0)
        if not mask:
            return None
        if self.along is not None:
            wished = self.opposite(segment)
            if wished is not None:
                return wished if mask >> wished & 1 else None
        if leg.siblings:
            sibling = self._sibling(segment, leg)
            if sibling is not None:
                later = mask >> (sibling + 1)
                if self.pairing:
                    return sibling + 1 if later & 1 else None
                if later:
                    return sibling + 1 + lowest(later)
            else:
                odd = _ODD if self.fabric.seg_first[segment] % 2 else _EVEN
                pairs = mask & (mask >> 1) & odd
                if pairs:
                    return lowest(pairs)
                if self.pairing:
                    return None
        return lowest(mask)

    def already_at(self, leg: Leg, segment: int) -> int | None:
        """Return where a leg already is in a segment; None where it is not, or a bound goal needs it at another place of it."""
        known = leg.tree.get(segment)
        if known is not None and self.along is not None:
            wished = self.opposite(segment)
            if wished is not None and wished != known:
                return wished if self.held.get((segment, wished)) == leg.name else None
        return known

    def look_around(self) -> None:
        """Forget what the leg under way asked for, so that a price does not depend on who was carried last."""
        self.along = None
        self.after = None
        self.leave_room = False
        self.prefer_segment = -1
        self.position = -1

    def weakest_slot(self, segment: int, leg: Leg) -> int | None:
        """Return the slot of a segment that is taken from its holder most cheaply; None where none may be taken."""
        if self.block_at[segment] >= 0 or self.fabric.fed_by[segment] is not None:
            return None
        wished = self.opposite(segment) if self.along is not None else None
        base = leg.name.partition(".")[0]
        best: tuple[int, int] | None = None
        for offset in range(self.fabric.seg_length[segment]) if wished is None else (wished,):
            place = (segment, offset)
            if place in self.reserved or self.held.get(place, "").partition(".")[0] == base:
                continue
            fought = self.history.get(("slot", segment, offset), 0)
            if best is None or fought < best[0]:
                best = (fought, offset)
        return best[1] if best is not None else None

    def weakest_run(self, runs: list[int], source: int) -> int | None:
        """Return the run that is taken from its users most cheaply; None where none may be taken."""
        taken = [
            run
            for run in runs
            if run in self.run_source and self.run_source[run][0] != source and self.fixed_run.get(run, source) == source
        ]
        return min(taken, key=lambda run: (self.run_price(run), run)) if taken else None

    def run_price(self, run: int) -> float:
        """Return what it costs to take a run from its users."""
        fought = self.run_users[run] + self.history.get(("run", run, 0), 0)
        return fought * PENALTY * self._whim(self.fabric.runs[run].segments[0])

    def slot_price(self, segment: int, offset: int) -> float:
        """Return what it costs to take a slot from its holder."""
        return PENALTY * (1 + self.history.get(("slot", segment, offset), 0)) * self._whim(segment)

    def _whim(self, segment: int) -> float:
        """Return a seeded factor, 1 in the first tries, that lets later tries give way elsewhere."""
        return 0.3 + self.noise[segment] / 10 if self.noise else 1.0

    def opposite(self, segment: int) -> int | None:
        """Return the offset in a segment that a block, there or further along its wires, carries to the place wished for."""
        assert self.along is not None
        key = (segment, self.along)
        if key not in self._opposites:
            self._opposites[key] = self._find_opposite(segment, self.along)
        return self._opposites[key]

    def _find_opposite(self, segment: int, along: int) -> int | None:
        todo = [segment]
        for at in todo:
            for _, source in self.fabric.blocks_from[at]:
                offset = self.fabric.runs[source].first + along - self.fabric.seg_first[at]
                if 0 <= offset < self.fabric.seg_length[segment]:
                    return offset
            if len(todo) < 32:
                todo.extend(way.to for way in self.fabric.fixed[at])
        return None

    def _sibling(self, segment: int, leg: Leg) -> int | None:
        """Return the last offset at which another leg of a leg's signal is held in a segment."""
        best = None
        for name in leg.siblings:
            other = self.legs.get(name)
            offset = other.tree.get(segment) if other is not None else None
            if offset is not None and (best is None or offset > best):
                best = offset
        return best

    def run_free(self, run: int, source: int) -> bool:
        """Return whether a run is free to take a source run."""
        fixed = self.fixed_run.get(run)
        if fixed is not None and fixed != source:
            return False
        if run in self.run_source or (self.guard is not None and not self.guard(run, source)):
            return False
        return all(
            self.used[segment] == 0 and self.block_at[segment] < 0 and self.fabric.fed_by[segment] is None
            for segment in self.fabric.runs[run].segments
        )

    def pool_room(self, bank: int, blocks: int, slots: int) -> bool:
        """Return whether the shared limits a bank belongs to leave room for so many more blocks and slots."""
        return not self.fabric.pools or self.pools.room(bank, blocks, slots)

    def room_at(self, segment: int) -> bool:
        """Return whether the shared limits leave room for one more slot in use in a segment."""
        return self.pools.room_at(segment)

    def kind_of(self, run: int) -> int:
        """Return a number that is the same for runs that lead to the same places in the same way."""
        known = self._kinds.get(run)
        if known is None:
            parts = tuple(self.segment_kind(segment, 0) for segment in self.fabric.runs[run].segments)
            known = self._kinds[run] = self._names.setdefault(parts, len(self._names))
        return known

    def segment_kind(self, segment: int, depth: int) -> int:
        """Return a number that is the same for segments that lead to the same places in the same way."""
        known = self.segment_kinds.get(segment)
        if known is None:
            kind = self._describe(segment, depth)
            known = self.segment_kinds[segment] = self._names.setdefault(kind, len(self._names))
        return known

    def _describe(self, segment: int, depth: int) -> tuple[object, ...]:
        fabric = self.fabric
        if segment in self.ordered or depth > 12:
            return (segment,)
        return (
            self.marks.get(segment),
            fabric.seg_length[segment],
            tuple(sorted({(row, run if run in self.fixed_sources else -1) for row, run in fabric.blocks_from[segment]})),
            tuple(fabric.singles_from[segment]),
            tuple(self.segment_kind(step.to, depth + 1) for step in fabric.fixed[segment]),
        )

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

    def enter(self, leg: Leg, segment: int, offset: int) -> None:
        """Put a leg on the socket or mix slot it enters by."""
        leg.origin = (segment, offset)
        leg.tree[segment] = offset
        leg.parent[segment, offset] = None
        self.legs[leg.name] = leg
        self.hold(leg, segment, offset)

    def hold(self, leg: Leg, segment: int, offset: int) -> None:
        """Note that a leg has been put on a slot of its own."""
        self.held[segment, offset] = leg.name
        self.open[segment] &= ~(1 << offset)
        self.used[segment] += 1
        self.bank_slots[self.fabric.seg_bank[segment]] += 1
        if self.pools.follows:
            self.pools.fill(segment, 1)
        leg.slot_holds.append((segment, offset))

    def set_run(self, run: int, source: int, row: int, tap: str) -> None:
        """Let a free run take a source run, nobody using it yet."""
        self.run_source[run] = (source, row, tap)
        self.run_users[run] = 0
        self.by_source.setdefault(source, []).append(run)
        for segment in self.fabric.runs[run].segments:
            self.block_at[segment] = run
            if self.pools.follows:
                self.pools.fill(segment, self.fabric.seg_length[segment])
        self.bank_blocks[self.fabric.runs[run].bank] += 1
        self.epoch += 1

    def take_run(self, leg: Leg, step: Step) -> bool:
        """Let a run take the source run of a step, or share it when it does already; return whether it could."""
        known = self.run_source.get(step.run)
        if known is None:
            if not self.run_free(step.run, step.source_run) or not self.pool_room(self.fabric.runs[step.run].bank, 1, 0):
                return False
            if self.pools.follows and not self.pools.room_behind(step.run):
                return False
            self.set_run(step.run, step.source_run, step.row, step.tap)
        elif known[0] != step.source_run:
            return False
        if step.run not in leg.block_holds:
            self.run_users[step.run] += 1
            leg.block_holds.append(step.run)
        return True

    def undo(self, leg: Leg, slots: int, blocks: int, added: list[tuple[int, int]]) -> None:
        """Give back what a leg took since it held so many slots and blocks, and forget the places added since."""
        for place in added:
            del leg.parent[place]
            if leg.tree.get(place[0]) == place[1]:
                del leg.tree[place[0]]
                leg.stained.pop(place[0], None)
        if leg.ends and added:
            leg.ends = {end: place for end, place in leg.ends.items() if place in leg.parent}
        while len(leg.slot_holds) > slots:
            self._drop_slot(leg.slot_holds.pop())
        while len(leg.block_holds) > blocks:
            self._drop_run(leg.block_holds.pop())

    def _drop_slot(self, place: tuple[int, int]) -> None:
        self.held.pop(place, None)
        self.taken.pop(place, None)
        if place not in self.reserved:
            self.open[place[0]] |= 1 << place[1]
        self.used[place[0]] -= 1
        self.bank_slots[self.fabric.seg_bank[place[0]]] -= 1
        if self.pools.follows:
            self.pools.fill(place[0], -1)

    def _drop_run(self, run: int) -> None:
        self.run_users[run] -= 1
        if self.run_users[run] == 0:
            source, _, _ = self.run_source.pop(run)
            self.by_source[source].remove(run)
            for segment in self.fabric.runs[run].segments:
                self.block_at[segment] = -1
                if self.pools.follows:
                    self.pools.fill(segment, -self.fabric.seg_length[segment])
            self.bank_blocks[self.fabric.runs[run].bank] -= 1
            self.epoch += 1

    def release(self, leg: Leg) -> None:
        """Take a leg out of the rig: its plug, its slots, its share of every block."""
        self.undo(leg, 0, 0, [])
        for place in [place for place, fed in self.alternates.items() if (fed[0], fed[1]) in leg.parent]:
            del self.alternates[place]
        leg.tree.clear()
        leg.parent.clear()
        leg.ends.clear()
        leg.stained.clear()
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
