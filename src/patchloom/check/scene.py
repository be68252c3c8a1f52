"""One period under judgement: rig, show and setting together, and what several checks ask of them.

Comes in: rig and show of a period, its setting, a report.  Goes out: a `Scene`.  Next: every check of `verify`.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from patchloom.address import Slot, Span, parse
from patchloom.check.feeders import Feeders
from patchloom.check.ground import Ground
from patchloom.check.report import Item, Report
from patchloom.check.signals import CHAIN, Node, Signals
from patchloom.model.patch import Route, Setting
from patchloom.model.rig import Preamp, Rig
from patchloom.model.show import Feed, Show, Source

__all__ = ["Scene", "may_come_after"]


class Scene:
    """What the checks of one period share; nothing here decides anything."""

    def __init__(self, rig: Rig, show: Show, setting: Setting, report: Report) -> None:
        self.rig = rig
        self.show = show
        self.setting = setting
        self.report = report
        self.ground = Ground(rig)
        self.feeders = Feeders(self.ground, setting, report)
        self.signals = Signals(self.feeders)
        self.signals_now = show.signals()
        self._legs = {key: item.leg_ids() for key, item in self.signals_now.items()}
        self.sources: dict[str, Source] = {leg: item for item in show.sources for leg in item.leg_ids()}
        """Source leg to source."""
        self.feeds: dict[str, Feed] = {leg: item for item in show.feeds for leg in item.leg_ids()}
        """Feed leg to feed."""
        self.plug_rows: dict[str, list[str]] = {}
        """Source or leg to the addresses the show lets it plug into."""
        for row in show.plug:
            self.plug_rows.setdefault(row.source, []).extend(row.into)
        self.followed: dict[int, Node] = {}
        """Routes, by number, that say what the selections do, with the node they end at."""
        self.stray: dict[int, str] = {}
        """Routes, by number, that speak of nothing there is, and why."""
        self.delivered: list[tuple[str, str, Node]] = []
        """(leg, position that hears it or empty, node) of every delivery that is right."""
        self.told: dict[Slot, Item] = {}
        """Slot to the item that says it takes the wrong thing, or nothing."""
        self.roots: dict[str, Item] = {}
        """Leg to the item that explains why it enters nowhere."""

    @cached_property
    def routes(self) -> dict[tuple[str, int, str, bool], list[Route]]:
        """Return the routes by (list or feed, entry, leg, alternate); asked for where something is wrong."""
        found: dict[tuple[str, int, str, bool], list[Route]] = {}
        for route in self.setting.routes:
            found.setdefault((route.to, route.entry, route.leg, route.alternate), []).append(route)
        return found

    def legs(self, signal: str, leg: str = "") -> tuple[str, ...]:
        """Return the leg ids of a signal, or its one leg; empty when the show has no such signal now."""
        legs = self._legs.get(signal, ())
        return (f"{signal}.{leg}",) if leg and legs else legs

    def slots(self, texts: Iterable[str], socket: str = "") -> list[Slot]:
        """Return the slots addresses name, in order; an address without a bank names the device's `socket` banks."""
        found: list[Slot] = []
        for text in texts:
            span = parse(text)
            if span.device not in self.rig.devices:
                continue
            for name in self._banks(span, socket):
                size = self.ground.size(span.device, name) or 0
                found.extend(Slot(span.device, name, n) for n in range(span.first or 1, min(span.last or size, size) + 1))
        return list(dict.fromkeys(found))

    def _banks(self, span: Span, socket: str) -> list[str]:
        if span.bank is not None:
            return [span.bank] if self.ground.known(span.device, span.bank) else []
        banks = self.rig.type_of(span.device).banks
        return [name for name, kind in banks.items() if kind.socket == socket and not kind.only_for]

    def preamp(self, place: Slot) -> Preamp | None:
        """Return the preamp behind a socket, None when it has none."""
        return self.ground.preamp(place.device, place.bank)

    def fold(self, what: str, node: Node | None, leg: str) -> bool:
        """Fold a lost delivery under the item that explains it; return whether there is one."""
        item = node.cause if node is not None and node.cause is not None else self.roots.get(leg)
        if item is None:
            return False
        item.behind.setdefault(what)
        return True


def may_come_after(after: tuple[str, ...], allow: str, absent: bool) -> bool:
    """Return whether a copy may be taken there: `allow` names the last thing in the channel it may come after."""
    if not after:
        return True
    if not allow:
        return absent
    limit = CHAIN.index(allow) if allow in CHAIN else -1
    return all(word == allow or (word in CHAIN and CHAIN.index(word) <= limit) for word in after)
