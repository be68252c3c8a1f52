"""A fabric cut finer, so that a stretch of slots goes through every block whole: the ground of the exact programme.

Comes in: a `Fabric`, slots that must stand alone.  Goes out: a `Grain`: stretches, kinds of runs.  Next: `lattice.py`.

Segments hold for single slots.  Here whole stretches are counted, so a stretch must not be torn by a block further on: every
cut of a run that takes is carried back to the runs it may take.  Runs that lead to the same places in the same way are one
*kind* and are counted; a run whose slots can also be fed otherwise, or whose slots later blocks mix with others, is a kind
of its own, and what it takes is told slot by slot (it is *told apart*).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

from patchloom.solve.fabric import Fabric

__all__ = ["Grain", "Kind"]

Place = tuple[int, int]
"""Bank and slot number."""


class Kind(NamedTuple):
    """Runs that are alike: their numbers in order, the rows that can feed them, whether they are told apart."""

    runs: tuple[int, ...]
    rows: tuple[int, ...]
    apart: bool
    only: int
    """The source run the user has fixed for it; -1 for none."""


class Grain:
    """Stretches and kinds of a fabric; see the module's docstring."""

    def __init__(
        self,
        fabric: Fabric,
        alone: Iterable[Place],
        entered: Iterable[int],
        marks: dict[int, tuple[int, ...]],
        fixed_run: dict[int, int],
    ) -> None:
        self.fabric = fabric
        self.marks = marks
        """Segment to what is special about it: wants that may land there, rules that speak of it."""
        self.fixed_run = fixed_run
        self._fixed_sources = frozenset(fixed_run.values())
        self.cuts: list[set[int]] = [set() for _ in fabric.banks]
        for bank, first in zip(fabric.seg_bank, fabric.seg_first, strict=True):
            self.cuts[bank].add(first)
        for bank, number in alone:
            self.cuts[bank] |= {number, number + 1}
        self.rows_into: dict[int, list[int]] = {}
        for row in fabric.rows:
            if not row.alternate:
                for run in row.into_runs:
                    self.rows_into.setdefault(run, []).append(row.number)
        self.entered = set(entered)
        """Segments that signals enter by."""
        self._descriptions: dict[int, tuple[object, ...]] = {}
        self.kinds: list[Kind] = []
        self.kind_of: dict[int, int] = {}
        self._find_kinds()
        self._carry_cuts()

    # kinds

    def _find_kinds(self) -> None:
        grouped: dict[tuple[object, ...], list[int]] = {}
        for run in sorted(self.rows_into):
            only = self.fixed_run.get(run, -1)
            apart = not self._closed(run)
            key: tuple[object, ...] = (run,)
            if not apart:
                parts = tuple(self.describe(segment, 0) for segment in self.fabric.runs[run].segments)
                key = (self.fabric.runs[run].bank, tuple(self.rows_into[run]), only, parts)
            grouped.setdefault(key, []).append(run)
        for runs in grouped.values():
            number = len(self.kinds)
            only = self.fixed_run.get(runs[0], -1)
            self.kinds.append(Kind(tuple(runs), tuple(self.rows_into[runs[0]]), not self._closed(runs[0]), only))
            self.kind_of.update(dict.fromkeys(runs, number))

    def _closed(self, run: int) -> bool:
        """Return whether only this run feeds its slots, and whether later blocks take from it alone."""
        fabric = self.fabric
        mine: set[int] = set()
        for segment in fabric.runs[run].segments:
            if segment in self.entered or fabric.singles_into[segment] or fabric.fed_by[segment] is not None:
                return False
            if any(other != run for row, other in fabric.blocks_into[segment] if not fabric.rows[row].alternate):
                return False
            mine.update(self.tree(segment))
        return all(set(fabric.runs[source].segments) <= mine for segment in mine for _, source in fabric.blocks_from[segment])

    def tree(self, segment: int) -> list[int]:
        """Return a segment and all that wires lead it to."""
        found = [segment]
        for at in found:
            found.extend(way.to for way in self.fabric.fixed[at] if way.to not in found)
        return found

    def describe(self, segment: int, depth: int) -> tuple[object, ...]:
        """Return words that are the same for segments that lead to the same places in the same way."""
        known = self._descriptions.get(segment)
        if known is None:
            fabric = self.fabric
            known = (
                self.marks.get(segment),
                fabric.seg_length[segment],
                # A run that somebody takes because the show says so leads where no other does.
                tuple(
                    sorted(
                        (row, fabric.seg_first[segment] - fabric.runs[run].first, run if run in self._fixed_sources else -1)
                        for row, run in fabric.blocks_from[segment]
                    )
                ),
                tuple(fabric.singles_from[segment]),
                tuple(self.describe(way.to, depth + 1) for way in fabric.fixed[segment]) if depth < 24 else (segment,),
            )
            self._descriptions[segment] = known
        return known

    # cuts

    def _carry_cuts(self) -> None:
        """Carry cuts back: up wires, from runs that take to those they may take; and on into runs told apart."""
        fabric = self.fabric
        wires = [
            (fabric.seg_bank[at], fabric.seg_first[at], fabric.seg_bank[way.to], fabric.seg_first[way.to], fabric.seg_length[at])
            for at in range(len(fabric.seg_bank))
            for way in fabric.fixed[at]
        ]
        rows = [row for row in fabric.rows if row.by > 1]
        changed = True
        while changed:
            changed = False
            for from_, f1, into, f2, length in wires:
                back = {cut - f2 for cut in self.cuts[into] if f2 < cut < f2 + length}
                changed |= self._cut(from_, {f1 + cut for cut in back})
            for row in rows:
                asked: set[int] = set()
                for run in row.into_runs:
                    asked |= self._inner(run)
                    asked.add(fabric.runs[run].length)
                for source in row.sources:
                    first, length = fabric.runs[source].first, fabric.runs[source].length
                    changed |= self._cut(fabric.runs[source].bank, {first + cut for cut in asked if cut < length})
                apart = [run for run in row.into_runs if not row.alternate and self.kinds[self.kind_of[run]].apart]
                if apart:
                    given: set[int] = set()
                    for source in row.sources:
                        given |= self._inner(source)
                        given.add(fabric.runs[source].length)
                    for run in apart:
                        first, length = fabric.runs[run].first, fabric.runs[run].length
                        changed |= self._cut(fabric.runs[run].bank, {first + cut for cut in given if cut < length})

    def _inner(self, run: int) -> set[int]:
        bank, first, length = self.fabric.runs[run][:3]
        return {cut - first for cut in self.cuts[bank] if first < cut < first + length}

    def _cut(self, bank: int, numbers: set[int]) -> bool:
        new = numbers - self.cuts[bank]
        self.cuts[bank] |= new
        return bool(new)

    def stretches(self, bank: int) -> list[tuple[int, int]]:
        """Return (first slot, length) of every stretch of a bank, in order."""
        ends = sorted(cut for cut in self.cuts[bank] if cut <= self.fabric.size[bank])
        return [(first, after - first) for first, after in pairwise([*ends, self.fabric.size[bank] + 1])]
