"""Shared limits: what a try uses of each, what the show fixes to be filled by it counted too.

Comes in: a fabric, what a try holds.  Goes out: whether there is room.  Next: `state.py` asks before it takes.

A pool counts what is in use: a slot or a block that is chosen and that something comes to.  A slot or block the show fixes is
in use once what it takes is carried there, so it is counted with whatever fills it, by wires alone.  What a block brings
may fill all of them; that is counted as if it did.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.solve.fabric import Fabric

__all__ = ["Pools"]


class Pools:
    """The shared limits of a fabric, over counts that a try keeps: slots and blocks in use, by bank."""

    def __init__(self, fabric: Fabric, slots: list[int], blocks: list[int]) -> None:
        self.fabric, self.slots, self.blocks = fabric, slots, blocks
        self._runs: dict[int, tuple[int, ...]] = {}
        """Segment to the runs fixed to take what it carries."""
        self._users: dict[int, int] = {}
        """Fixed run to how much comes to it."""
        self.follows = bool(fabric.pooled)
        """Whether anything fixed is filled by what others take."""

    def fix(self, run: int, source: int) -> None:
        """Count the block of a run that is fixed, and counted already, only while something comes by its source."""
        if not self.fabric.pools:
            return
        self.follows = True
        self.blocks[self.fabric.runs[run].bank] -= 1
        self._users[run] = 0
        for segment in self.fabric.runs[source].segments:
            at = segment
            while True:
                self._runs[at] = (*self._runs.get(at, ()), run)
                fed = self.fabric.fed_by[at]
                if fed is None:
                    break
                at = fed[0]

    def room(self, bank: int, blocks: int, slots: int) -> bool:
        """Return whether the limits a bank belongs to leave room for so many more blocks and slots."""
        return self._room([bank] * slots, [bank] * blocks)

    def room_at(self, segment: int) -> bool:
        """Return whether there is room for one more slot in use in a segment, and for all that is fixed to take it."""
        if not self.fabric.pools:
            return True
        return self._room([self.fabric.seg_bank[segment], *self.fabric.pooled.get(segment, ())], self._fresh([segment]))

    def room_behind(self, run: int) -> bool:
        """Return whether there is room for all that is fixed to take what a run brings."""
        segments = self.fabric.runs[run].segments
        slots = [bank for at in segments for bank in self.fabric.pooled.get(at, ()) for _ in range(self.fabric.seg_length[at])]
        return self._room(slots, self._fresh(segments))

    def fill(self, segment: int, more: int) -> None:
        """Count what is fixed to take so many slots of a segment, more or (below 0) less."""
        for bank in self.fabric.pooled.get(segment, ()):
            self.slots[bank] += more
        for run in self._runs.get(segment, ()):
            before = self._users[run]
            self._users[run] = before + more
            self.blocks[self.fabric.runs[run].bank] += bool(self._users[run]) - bool(before)

    def _fresh(self, segments: Iterable[int]) -> list[int]:
        """Return the banks of fixed runs that nothing has come to yet, and would by some segments."""
        runs = {run: None for at in segments for run in self._runs.get(at, ()) if not self._users[run]}
        return [self.fabric.runs[run].bank for run in runs]

    def _room(self, slots: list[int], blocks: list[int]) -> bool:
        for banks, most, count in self.fabric.pools:
            asked = sum(bank in banks for bank in (blocks if count == "blocks" else slots))
            if asked and sum((self.blocks if count == "blocks" else self.slots)[bank] for bank in banks) + asked > most:
                return False
        return True
