"""The rig as segments: runs of slots that always move together, and the ways between them.

Comes in: a rig in one period.  Goes out: a `Fabric`, plain lists indexed by small numbers.
Next: `slot.py` finds where each want must land, `route.py` searches the fabric.

A bank is cut into *segments* wherever a select row, a block or a link begins or ends, here or anywhere it is
wired on to, so that a path found for one slot of a segment holds, shifted, for every other slot of it.
A *run* is what one choice of a select row moves: a block of segments.  Ways between segments:

- fixed: a wired row or a link, slot by slot, no choice;
- block: a run may take any source run of its row, whole;
- single: a row by 1, where each slot of the segment may take any slot of the sources.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from patchloom.address import Slot
from patchloom.model.rig import Bank, Rig, Select

if TYPE_CHECKING:
    from patchloom.solve.copper import Copper

__all__ = ["Fabric", "Fixed", "Row", "Run", "lateness", "split_local"]

_LOCAL = re.compile(r"([A-Za-z][\w-]*(?:\.(?:in|out))?)(?:\[(\d+)(?:-(\d+))?\])?\Z")


TAP_ORDER = ("trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader")
"""Stages of a channel in the order a signal meets them."""


class Fixed(NamedTuple):
    """A fixed way on to another segment; `link` is the link's id, empty for a wired row; `toll` is its price."""

    to: int
    link: str
    toll: float


class Run(NamedTuple):
    """A run of slots that one choice feeds or takes: bank number, first slot, length, its segments in order."""

    bank: int
    first: int
    length: int
    segments: tuple[int, ...]


class Row:
    """One select row with a choice."""

    __slots__ = ("alternate", "by", "into", "into_runs", "number", "source", "sources", "taps")

    def __init__(self, number: int, by: int, taps: tuple[str, ...], alternate: bool, source: Select) -> None:
        self.number = number
        self.by = by
        self.taps = taps
        self.alternate = alternate
        self.source = source
        self.into: list[int] = []
        """Segments it feeds."""
        self.into_runs: list[int] = []
        """Runs it feeds, for a block row."""
        self.sources: list[int] = []
        """Segments it takes from (single), or source runs (block)."""


class Fabric:
    """Banks, segments, runs and ways of one rig; see the module's docstring."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.banks: list[tuple[str, str]] = []
        self.bank_of: dict[tuple[str, str], int] = {}
        self.size: list[int] = []
        self.kind: list[Bank | None] = []
        """The bank's description; None for a port's side."""
        self.segment_of: list[list[int]] = []
        """Per bank: the segment of each slot; index 0 is unused."""
        self.seg_bank: list[int] = []
        self.seg_first: list[int] = []
        self.seg_length: list[int] = []
        self.fixed: list[list[Fixed]] = []
        self.fed_by: list[tuple[int, str] | None] = []
        """Per segment: the segment that always feeds it, and the link's id."""
        self.rows: list[Row] = []
        self.runs: list[Run] = []
        self.run_of: dict[tuple[int, int, int], int] = {}
        self.blocks_from: list[list[tuple[int, int]]] = []
        """Per segment: (row, source run) it can leave by."""
        self.singles_from: list[list[int]] = []
        """Per segment: single rows it can leave by."""
        self.singles_into: list[list[int]] = []
        """Per segment: single rows that can feed it."""
        self.blocks_into: list[list[tuple[int, int]]] = []
        """Per segment: (row, run) that can feed it."""
        self._slots: list[list[Slot | None] | None] = []
        self._taps: dict[tuple[int, int, str, bool], str | None] = {}
        self.set_slots: list[tuple[int, int, int, int, int, str]] = []
        """Slots the show fixes one by one: bank fed, first, length, bank taken from, first, tap."""
        self.parsed: dict[str, tuple[str, int | None, int | None]] = {}
        """Texts of select rows, taken apart once."""
        self._copper: Any = None
        self.exact: dict[int, tuple[tuple[int, ...], tuple[int, ...], bool]] = {}
        """Segment to how a slot of it is aimed at: segments, tail, and whether it is chosen slot by slot; see `slot.py`."""
        self.pools: list[tuple[frozenset[int], int, str]] = []
        self.pooled: dict[int, tuple[int, ...]] = {}
        """Segment to the banks of a pool in which slots the show fixes take what it carries, by wires alone, each as often."""
        """Shared limits: banks, most, `slots` or `blocks`."""

    @property
    def copper(self) -> Copper:
        """The copper of the rig, read when it is first asked for."""
        if self._copper is None:
            from patchloom.solve.copper import Copper

            self._copper = Copper(self.rig)
        return self._copper  # type: ignore[no-any-return]

    def place(self, segment: int, offset: int) -> Slot:
        """Return the address of a slot of a segment; the same object every time."""
        bank, number = self.seg_bank[segment], self.seg_first[segment] + offset
        if not self._slots:
            self._slots = [None] * len(self.banks)
        known = self._slots[bank]
        if known is None:
            known = self._slots[bank] = [None] * (self.size[bank] + 1)
        slot = known[number]
        if slot is None:
            slot = known[number] = Slot(*self.banks[bank], number)
        return slot

    def runs_from(self, segment: int) -> list[int]:
        """Return the source runs a segment's slots travel in, here or further along by wires alone."""
        runs: list[int] = []
        todo = [segment]
        for at in todo:
            runs.extend(run for _, run in self.blocks_from[at])
            todo.extend(way.to for way in self.fixed[at])
        return runs

    def is_set(self, segment: int) -> bool:
        """Return whether a segment's slots are fed as the show fixes it, one by one."""
        bank, first = self.seg_bank[segment], self.seg_first[segment]
        return any(into == bank and start <= first < start + length for into, start, length, *_ in self.set_slots)

    def find(self, place: Slot) -> tuple[int, int] | None:
        """Return (segment, offset) of an address; None where the rig has no such slot at its rate."""
        bank = self.bank_of.get((place.device, place.bank))
        if bank is None or not 1 <= place.number <= self.size[bank]:
            return None
        segment = self.segment_of[bank][place.number]
        return segment, place.number - self.seg_first[segment]

    def through(self, segment: int, offset: int, source: int, run: int) -> tuple[int, int] | None:
        """Return where a slot of a source run comes out when a run takes it: (segment, offset), or None where it is cut off."""
        into, from_ = self.runs[run], self.runs[source]
        along = self.seg_first[segment] + offset - from_.first
        if not 0 <= along < into.length:
            return None
        number = into.first + along
        to = self.segment_of[into.bank][number]
        return to, number - self.seg_first[to]

    def facing(self, segment: int, here: int, there: int) -> list[int]:
        """Return the segments of run `there` that lie opposite a segment of run `here`, in order."""
        first = self.seg_first[segment] - self.runs[here].first
        last = min(first + self.seg_length[segment], self.runs[here].length, self.runs[there].length)
        owner, start = self.segment_of[self.runs[there].bank], self.runs[there].first
        found: list[int] = []
        at = first
        while at < last:
            other = owner[start + at]
            found.append(other)
            at += self.seg_first[other] + self.seg_length[other] - (start + at)
        return found

    def stain(self, bank: int, tap: str) -> int:
        """Return how late a tap of a bank is; 0 for a raw one and for banks that only carry."""
        kind = self.kind[bank]
        if not tap or kind is None or kind.does != "process":
            return 0
        return max(map(lateness, kind.taps.get(tap, ())), default=0)

    def raw_tap(self, bank: int, row: Row, allow: str, feed: bool) -> str | None:
        """Return the tap a copy is taken at when a row takes from a bank; None where it may not be taken.

        `allow` is what the copy may come after besides nothing.  Banks that only carry need no tap: "".
        """
        kind = self.kind[bank]
        if kind is None or kind.does == "carry":
            return ""
        key = (bank, row.number, allow, feed)
        if key not in self._taps:
            self._taps[key] = _tap(kind, row, allow, feed)
        return self._taps[key]


def _tap(kind: Bank, row: Row, allow: str, feed: bool) -> str | None:
    if kind.does == "sum" and not feed:
        return None
    names = [name for name in kind.taps if not row.taps or name in row.taps]
    allowed = [name for name in names if all(lateness(step) <= lateness(allow) for step in kind.taps[name])] if allow else names
    if kind.does == "sum":
        # A mix is taken as late as it may be, faders included; a bank that names no taps has one place only.
        return max(allowed, key=lambda name: (len(kind.taps[name]), name)) if allowed else None if names else ""
    raw = [name for name in names if not kind.taps[name]]
    if raw:
        return raw[0]
    if feed and not allow:
        # A mix that goes through a channel may be taken anywhere behind it; the earlier, the less is done to it.
        return min(allowed, key=lambda name: (len(kind.taps[name]), name)) if allowed else None
    return allowed[0] if allow and allowed else None


def lateness(step: str) -> int:
    """Return how late a stage of a channel comes, from 1; 0 for none, and an unknown one comes last of all."""
    if not step:
        return 0
    return TAP_ORDER.index(step) + 1 if step in TAP_ORDER else len(TAP_ORDER) + 1


def split_local(text: str) -> tuple[str, int | None, int | None]:
    """Return bank, first and last slot of an address inside one device; None where it names no run."""
    found = _LOCAL.match(text)
    if found is None:
        raise ValueError(f"{text!r} names no bank")
    first = int(found[2]) if found[2] else None
    return found[1], first, int(found[3] or found[2]) if found[2] else None
