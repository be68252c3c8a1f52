"""The words of the search: goals, legs, steps, prices, and the least a way can cost.

Comes in: a `Fabric`.  Goes out: small records, and for a goal the segments it can be reached from.
Next: `state.py` holds what is taken, `route.py` searches.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import NamedTuple

from patchloom.solve.fabric import Fabric

__all__ = [
    "BLOCK",
    "BOUND",
    "FAR",
    "FEED_TAP",
    "FIXED",
    "FRESH",
    "HOP",
    "LEAK",
    "PENALTY",
    "RESEND",
    "SHARED",
    "SINGLE",
    "TAP",
    "Goal",
    "Leg",
    "Step",
    "least",
    "static_reach",
]

FIXED, BLOCK, SINGLE = 0, 1, 2
HOP, SHARED, FRESH, LEAK = 1.0, 0.25, 12.0, 6.0
RESEND, TAP = 8.0, 30.0
"""Extra price of a source sent on one by one, and of one taken out of a channel: a desk more it depends on."""
FEED_TAP = 6.0
PENALTY = 40.0
"""Price of taking a slot, or each use of a block, from whoever holds it."""
FAR = 1e9
BOUND = (-1,)
"""Tail of a goal whose exact slot only blocks or wires feed."""


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

    __slots__ = (
        "allow",
        "block_holds",
        "ends",
        "feed",
        "name",
        "origin",
        "parent",
        "siblings",
        "slot_holds",
        "stained",
        "tap",
        "tree",
        "wanted_by",
    )

    def __init__(self, name: str, feed: bool, allow: str) -> None:
        self.name = name
        self.feed = feed
        self.allow = allow
        """What the copy under way may come after."""
        self.tap = ""
        """What every copy of it may come after: a feed's own tap."""
        self.stained: dict[int, int] = {}
        """Segment to how late a tap the leg has come by there; none for a raw one.  A raw copy never starts from there."""
        self.origin: tuple[int, int] | None = None
        self.tree: dict[int, int] = {}
        self.parent: dict[tuple[int, int], tuple[int, int] | None] = {}
        self.ends: dict[tuple[int, int], tuple[int, int]] = {}
        """Places where it has arrived, each with the place wires lead there from; each want of it takes one of its own."""
        self.slot_holds: list[tuple[int, int]] = []
        self.block_holds: list[int] = []
        self.wanted_by: frozenset[int] = frozenset()
        self.siblings: tuple[str, ...] = ()
        """The other legs of its signal."""


class Step(NamedTuple):
    """One step of a path: how, to which segment, by which row (or run pair)."""

    how: int
    to: int
    row: int
    run: int
    source_run: int
    tap: str


def least(useful: list[dict[int, float]]) -> dict[int, float]:
    """Return the least cost over several goals for every segment some goal can be reached from."""
    least: dict[int, float] = {}
    for costs in useful:
        for segment, cost in costs.items():
            if cost < least.get(segment, FAR):
                least[segment] = cost
    return least


def static_reach(fabric: Fabric, goal: Goal, feed: bool) -> dict[int, float]:
    """Return every segment from which a goal can be reached when nothing is full, with the least it can cost from there.

    `feed` says whether a feed is carried: a source pays more for being sent on one by one.
    """
    send_on, tapped = (HOP, FEED_TAP) if feed else (HOP + RESEND, TAP)
    heap: list[tuple[float, int]] = []
    best: dict[int, float] = {}

    def offer(segment: int, price: float) -> None:
        if price < best.get(segment, FAR):
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
                    kind = fabric.kind[fabric.seg_bank[source]]
                    offer(source, price + send_on + (tapped if kind is not None and kind.does == "process" else 0.0))
        for row, run in fabric.blocks_into[segment]:
            face = (row, fabric.seg_first[segment] - fabric.runs[run].first, fabric.seg_length[segment])
            if face not in faces and not fabric.rows[row].alternate:
                # The runs of one row are alike: the first to be reached is reached cheapest.
                faces.add(face)
                for source in fabric.rows[row].sources:
                    for other in fabric.facing(segment, run, source):
                        offer(other, price + SHARED)
    return best
