"""Where what is in a place can have come from, when nothing is full.

Comes in: a fabric.  Goes out: sets of segments and places.  Next: `blocks.py` and `measure.py` count with them.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.solve.fabric import Fabric

__all__ = ["Upstream"]

_Place = tuple[int, int]


class Upstream:
    """The ways of a fabric backwards, each looked up once.

    `allows` are the taps that somebody may take a copy at (empty: raw ones); ways that only others could go are left out.
    """

    def __init__(self, fabric: Fabric, allows: Iterable[str] = ("",)) -> None:
        self.fabric = fabric
        self.allows = tuple(allows)
        self._sources: dict[tuple[int, bool], tuple[int, ...]] = {}
        self._by_block: dict[tuple[int, bool], tuple[int, ...]] = {}
        self._of_row: dict[int, frozenset[int]] = {}

    def of(self, ends: Iterable[int], feed: bool, without: int = -1) -> set[int]:
        """Return the segments from which a source (or a feed) reaches some, by no block into one bank; O(segments)."""
        fabric = self.fabric
        todo = list(ends)
        found = set(todo)
        rows_seen: set[int] = set()
        while todo:
            segment = todo.pop()
            fed = fabric.fed_by[segment]
            if fed is not None:
                if fed[0] not in found:
                    found.add(fed[0])
                    todo.append(fed[0])
                continue
            more = list(self.by_block(segment, feed)) if fabric.seg_bank[segment] != without else []
            for row in fabric.singles_into[segment]:
                if row not in rows_seen:
                    rows_seen.add(row)
                    more.extend(self.sources(row, feed))
            for other in more:
                if other not in found:
                    found.add(other)
                    todo.append(other)
        return found

    def by_block(self, segment: int, feed: bool) -> tuple[int, ...]:
        """Return the segments that a block can bring to a segment."""
        known = self._by_block.get((segment, feed))
        if known is None:
            fabric = self.fabric
            found: dict[int, None] = {}
            for row, run in fabric.blocks_into[segment]:
                for source in fabric.rows[row].sources:
                    if self.passes(fabric.runs[source].bank, row, feed):
                        found.update(dict.fromkeys(fabric.facing(segment, run, source)))
            known = self._by_block[segment, feed] = tuple(found)
        return known

    def sources(self, row: int, feed: bool) -> tuple[int, ...]:
        """Return the segments a row by 1 can take a source (or a feed) from."""
        known = self._sources.get((row, feed))
        if known is None:
            banks = self.fabric.seg_bank
            taken = [segment for segment in self.fabric.rows[row].sources if self.passes(banks[segment], row, feed)]
            known = self._sources[row, feed] = tuple(taken)
        return known

    def passes(self, bank: int, row: int, feed: bool) -> bool:
        """Return whether a row can take a source (or a feed) out of a bank, by some tap somebody may use."""
        return any(self.fabric.raw_tap(bank, self.fabric.rows[row], allow, feed) is not None for allow in self.allows)

    def of_row(self, row: int) -> frozenset[int]:
        """Return the segments from which a row by 1 can take anything, however far."""
        known = self._of_row.get(row)
        if known is None:
            ends = self.fabric.rows[row].sources
            known = self._of_row[row] = frozenset(self.of(ends, False) | self.of(ends, True))
        return known

    def exactly(self, place: _Place) -> tuple[set[_Place], list[frozenset[int]]]:
        """Return the places that blocks and wires carry to a slot, and segments from any slot of which it can be reached."""
        fabric = self.fabric
        found = {place}
        todo = [place]
        rows: dict[int, None] = {}
        while todo:
            segment, offset = todo.pop()
            fed = fabric.fed_by[segment]
            more: list[_Place] = []
            if fed is not None:
                more.append((fed[0], offset))
            else:
                rows.update(dict.fromkeys(fabric.singles_into[segment]))
                for row, run in fabric.blocks_into[segment]:
                    along = fabric.seg_first[segment] + offset - fabric.runs[run].first
                    for source in fabric.rows[row].sources:
                        from_ = fabric.runs[source]
                        if along < from_.length:
                            other = fabric.segment_of[from_.bank][from_.first + along]
                            more.append((other, from_.first + along - fabric.seg_first[other]))
            for at in more:
                if at not in found:
                    found.add(at)
                    todo.append(at)
        return found, [self.of_row(row) for row in rows]
