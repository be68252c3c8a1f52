"""How sources come into feeds: over the channels of the desk that mixes, or inside another feed.

Comes in: a look.  Goes out: ways, slot by slot, from socket to mix.  Next: `look`, rules on coherence and monitoring.

A way into a feed ends on its desk; the mix itself and what lies behind it belong to the feed's own deliveries.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from patchloom.address import Slot

if TYPE_CHECKING:
    from patchloom.check.look.look import Delivery, Look

__all__ = ["Into"]

Way = tuple[Slot, ...]


class Into:
    """Ways into the feeds of a period, worked out as they are asked for."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._known: dict[tuple[str, str], Way] = {}
        self._signals: dict[str, frozenset[str]] = {}
        self._feeds: dict[str, tuple[str, ...]] = {}

    @cached_property
    def arrivals(self) -> dict[tuple[str, str], tuple[Delivery, ...]]:
        """Return what lists get, main inputs only, by (signal, device it arrives at)."""
        found: dict[tuple[str, str], list[Delivery]] = {}
        for row in self._look.deliveries:
            if row.want is not None and not row.alternate:
                found.setdefault((self._look.signal_of(row.leg), row.end.device), []).append(row)
        return {key: tuple(rows) for key, rows in found.items()}

    def straight(self, source: str, feed: str) -> Way:
        """Return the way a signal comes over the channels of a feed's desk; empty where it does not."""
        rows = self.arrivals.get((source, self.desks.get(feed, "")))
        return rows[0].hops if rows else ()

    @cached_property
    def desks(self) -> dict[str, str]:
        """Return the device each feed is mixed on."""
        return {self._look.signal_of(leg): place.device for leg, place in self._look.setting.mixes.items()}

    def inside(self, source: str, inner: str, feed: str) -> Way:
        """Return the way a source comes into a feed inside another one; empty where it does not."""
        first, then = self.way(source, inner), self.straight(inner, feed)
        return (*first, *then) if first and then else ()

    def way(self, source: str, feed: str) -> Way:
        """Return one way a source comes into a feed: straight where it can, else inside the first feed that has it."""
        key = (source, feed)
        found = self._known.get(key)
        if found is None:
            self._known[key] = ()  # a feed inside itself adds no way
            found = self.straight(source, feed) if source in self.signals(feed) else ()
            if not found:
                ways = (self.inside(source, inner, feed) for inner in self.feeds(feed) if self._holds(inner, source))
                found = next((way for way in ways if way), ())
            self._known[key] = found
        return found

    def signals(self, feed: str) -> frozenset[str]:
        """Return what a feed contains straight, to ask of."""
        if feed not in self._signals:
            contents = self._look.mixing.get(feed)
            self._signals[feed] = frozenset(contents.signals if contents is not None else ())
        return self._signals[feed]

    def feeds(self, feed: str) -> tuple[str, ...]:
        """Return the feeds a feed contains straight, by name; itself left out."""
        if feed not in self._feeds:
            mixing = self._look.mixing
            self._feeds[feed] = tuple(sorted(name for name in self.signals(feed) if name in mixing and name != feed))
        return self._feeds[feed]

    def _holds(self, feed: str, source: str) -> bool:
        contents = self._look.mixing.get(feed)
        return contents is not None and source in contents.sources
