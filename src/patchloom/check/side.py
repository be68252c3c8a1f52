"""The inputs of one bank in one period: what feeds each of its slots, run by run.

Comes in: the ways that always feed it.  Goes out: `Side`, which `feeders` fills with choices, plugs and mixes, and
`signals` walks upstream.  Next: those two.

A run of slots fed alike shares one `Feed`; the `Feeder` of a single slot is made when somebody asks for it.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import Any, NamedTuple

from patchloom.address import Slot
from patchloom.check.ground import Row, Way
from patchloom.model.patch import Selection
from patchloom.model.rig import Link

__all__ = ["Feed", "Feeder", "Move", "Side", "feeder"]


class Feeder(NamedTuple):
    """What feeds a slot: `plug`, `mix`, `select`, `wired` or `link`."""

    kind: str
    source: Slot | None
    leg: str
    row: Row | None
    link: Link | None
    choice: Selection | None


class Feed(NamedTuple):
    """What feeds a run of slots: a `Feeder` but for the slot taken; that is `shift` on from the slot fed, where `move` begins."""

    kind: str
    leg: str
    row: Row | None
    link: Link | None
    choice: Selection | None
    move: Move | None
    """None where nothing is taken from: a plug, a mix, and `void`, the empty tail of a block."""
    shift: int


class Move:
    """One way from one bank into another, shared by all that moves along it."""

    __slots__ = ("after", "bank", "device", "looked", "plain", "side")

    def __init__(self, device: str, bank: str) -> None:
        self.device = device
        self.bank = bank
        self.side: Side | None = None
        """The bank it begins at, once somebody has asked."""
        self.looked = False
        """Whether `signals` has looked at it."""
        self.plain = False
        """Whether what comes along it stays as it is, and meets no preamp where it arrives; then `side` is known."""
        self.after: tuple[str, ...] | None = None
        """What a copy has come after here, where that is the same for every slot; `signals` fills it."""


class Side:
    """The main (or alternate) inputs of one bank: who feeds each slot by choice, plug or mix, and what always does."""

    __slots__ = ("bank", "device", "feeds", "nodes", "preamp", "reach", "starts", "table", "turned", "ways", "whole")

    def __init__(self, device: str, bank: str, turned: bool, ways: list[Way], preamp: bool) -> None:
        self.device = device
        self.bank = bank
        self.turned = turned
        self.preamp = preamp
        self.ways = ways
        self.starts = [way.first for way in ways]
        self.feeds = [
            Feed("link" if way.link else "wired", "", way.row, way.link, None, Move(way.device, way.bank), way.start - way.first)
            for way in ways
        ]
        self.whole = self.feeds[0] if len(ways) == 1 and ways[0].first == 1 else None
        """What feeds every slot up to `reach`, where one way does."""
        self.reach = ways[0].last if self.whole is not None else 0
        self.table: dict[int, Feed] = {}
        self.nodes: dict[int, Any] = {}
        """What `signals` knows of each slot."""

    def always(self, number: int) -> int:
        """Return which of the ways feeds a slot whatever is chosen; -1 where none does."""
        at = bisect_right(self.starts, number) - 1
        while at >= 0 and number > self.ways[at].last:
            at -= 1
        return at

    def feed(self, number: int) -> Feed | None:
        """Return what feeds a slot, None when nothing does."""
        found = self.table.get(number)
        if found is not None:
            return None if found.kind == "void" else found
        if not self.starts:
            return None
        at = self.always(number)
        return self.feeds[at] if at >= 0 else None


def feeder(feed: Feed, number: int) -> Feeder:
    """Return the feeder of one slot of a run."""
    kind, leg, row, link, choice, move, shift = feed
    return Feeder(kind, None if move is None else Slot(move.device, move.bank, number + shift), leg, row, link, choice)
