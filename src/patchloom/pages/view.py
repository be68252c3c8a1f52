"""One period's answer, indexed for papers: what lands where, what passes a socket, who moves a preamp.

Comes in: a rig, a show, one `Setting` of a patch.  Goes out: a `View`, to be asked.  Next: the paper
plugins, ours and strangers' alike; nothing here decides what a paper looks like.

A view reads the patch's own routes; it never searches and never guesses.  What is not known stays empty.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from unicodedata import bidirectional

from patchloom.address import Slot, Span, braces, parse
from patchloom.model.base import at_rate
from patchloom.model.patch import GainSet, Ownership, Patch, PhantomSet, Route, Setting
from patchloom.model.period import in_period
from patchloom.model.rig import Bank, Device, Link, Rig, Type
from patchloom.model.show import Feed, List, Position, Show, Source, Want
from patchloom.pages.options import Options

__all__ = ["View", "list_id", "views"]


def list_id(row: List) -> str:
    """Return the id of a list: its own, or its position's."""
    return row.id or row.position


def views(rig: Rig, show: Show, patch: Patch, options: Mapping[str, Any] | Options | None = None) -> Iterator[View]:
    """Yield one View for each period of a patch, in order; `options` are those a paper was given."""
    for setting in patch.settings:
        yield View(rig, show, setting, options)


class View:
    """Rig and show as they stand in one period, with that period's answer."""

    def __init__(self, rig: Rig, show: Show, setting: Setting, options: Mapping[str, Any] | Options | None = None) -> None:
        self.options = Options.of(options)
        self.say = self.options.say
        self.period = setting.period
        self.period_name = next((row.name or row.id for row in show.periods if row.id == setting.period), "")
        self.rig, self.show = in_period(rig, show, setting.period)
        self.setting = setting
        self.signals = self.show.signals()
        self._marks: dict[tuple[str, str], tuple[str, ...]] = {}
        self._passing: dict[Slot, list[Route]] = {}
        self._landed: dict[tuple[str, Slot, bool], Route] = {}
        self._ways: dict[str, list[Route]] = {}
        for route in setting.routes:
            self._ways.setdefault(route.leg, []).append(route)
            for place in route.hops:
                self._passing.setdefault(place, []).append(route)
            if route.hops:
                self._landed[route.to, route.hops[-1], route.alternate] = route
        self._plugged = {place: leg for leg, place in setting.plugs.items()}
        self._mixed = {place: leg for leg, place in setting.mixes.items()}

    # -- who is where ------------------------------------------------------------------------------------

    def positions(self) -> tuple[str, ...]:
        """Return the ids of the positions that have a list or make a feed, in the order of the show's lists."""
        return tuple(dict.fromkeys([*(row.position for row in self.show.lists), *(feed.mixed_at for feed in self.show.feeds)]))

    def position(self, key: str) -> Position:
        """Return a position by id."""
        return self.show.position(key)

    def position_name(self, key: str) -> str:
        """Return what people call a position."""
        return self.position(key).name or key

    def device(self, key: str) -> Device:
        """Return a device by id."""
        return self.rig.devices[key]

    def device_name(self, key: str) -> str:
        """Return what people call a device, its id included where that differs."""
        name = self.rig.devices[key].name if key in self.rig.devices else ""
        return f"{name} ({key})" if name and name != key else key

    def type_of(self, device: str) -> Type:
        """Return the type of a device."""
        return self.rig.type_of(device)

    def bank(self, device: str, bank: str) -> Bank | None:
        """Return a bank of a device; None for a port's side and for what is not there."""
        return self.rig.type_of(device).banks.get(bank) if device in self.rig.devices else None

    def size(self, device: str, bank: str) -> int:
        """Return how many slots a bank has at its rate; 0 where it has none."""
        row = self.bank(device, bank)
        if row is None:
            return 0
        size = at_rate(row.slots, self.rig.domain_of(device, row.clock).hertz)  # type: ignore[arg-type]
        return int(size or 0)

    def sockets(self, device: str, way: str) -> tuple[Bank, ...]:
        """Return the banks of a device whose slots are connectors, `in` or `out`, in the type's order."""
        return tuple(bank for bank in self.rig.type_of(device).banks.values() if bank.socket == way)

    def marks(self, device: str, bank: str) -> tuple[str, ...]:
        """Return what is printed at each slot of a bank, its number where nothing else is."""
        if (device, bank) not in self._marks:
            row = self.bank(device, bank)
            printed = [mark for text in row.mark for mark in braces(text)] if row else []
            size = self.size(device, bank)
            self._marks[device, bank] = tuple(printed[n] if n < len(printed) else str(n + 1) for n in range(size))
        return self._marks[device, bank]

    def mark(self, at: Slot) -> str:
        """Return what is printed at a slot."""
        marks = self.marks(at.device, at.bank)
        return marks[at.number - 1] if at.number <= len(marks) else str(at.number)

    def said(self, leg: str, name: str = "") -> str:
        """Return a leg's name to stand among other words: kept to itself where it runs right to left."""
        words = self.name(leg, name)
        return f"\u2068{words}\u2069" if any(bidirectional(sign) in ("R", "AL", "AN") for sign in words) else words

    def line(self, at: Slot) -> str:
        """Return a slot as people say it: `BOX1-7` for its chief sockets in, `BOX1 line-7` for any other bank."""
        bank = self.bank(at.device, at.bank)
        if bank is None:
            return f"{at.device} {at.bank}-{at.number}"
        chief = self.sockets(at.device, "in")
        if chief and chief[0].id == at.bank:
            return f"{at.device}-{self.mark(at)}"
        return f"{at.device} {at.bank}-{self.mark(at)}"

    # -- signals -----------------------------------------------------------------------------------------

    def signal(self, leg: str) -> Source | Feed | None:
        """Return the source or feed a leg belongs to."""
        return self.signals.get(leg.split(".")[0])

    def source(self, leg: str) -> Source | None:
        """Return the source a leg belongs to; None for a feed."""
        found = self.signal(leg)
        return found if isinstance(found, Source) else None

    def name(self, leg: str, name: str = "") -> str:
        """Return what a leg is called: the signal's name (or `name`), its leg after it when it has several."""
        found = self.signal(leg)
        words = name or (found.name or found.id if found is not None else leg)
        return f"{words} {leg.split('.')[1]}" if "." in leg and found is not None else words

    def zone(self, key: str) -> str:
        """Return what people call a zone, empty for none."""
        row = self.show.stage.zones.get(key) if self.show.stage is not None else None
        return (row.name or row.id) if row is not None else key

    def notes_for(self, row: str) -> tuple[str, ...]:
        """Return the period's notes that speak of a list, or of no list at all."""
        lists = {list_id(each) for each in self.show.lists}
        found = []
        for note in self.setting.notes:
            named = lists.intersection(note.replace(".", " ").replace(",", " ").replace(":", " ").split())
            if not named or row in named:
                found.append(note)
        return tuple(found)

    # -- what the patch says -----------------------------------------------------------------------------

    def landed(self, row: str, at: Slot, alternate: bool = False) -> Route | None:
        """Return the route that delivers to a list (or a feed's destination) at a slot."""
        return self._landed.get((row, at, alternate))

    def run(self, row: List) -> tuple[Slot, ...]:
        """Return the slots a list may land in."""
        span = parse(row.at)
        bank = span.bank or ""
        first, last = span.first or 1, span.last or self.size(span.device, bank)
        return tuple(Slot(span.device, bank, number) for number in range(first, last + 1))

    def want(self, row: List, route: Route) -> Want | None:
        """Return the entry of a list a route answers."""
        return row.wants[route.entry - 1] if 0 < route.entry <= len(row.wants) else None

    def routes_of(self, leg: str) -> tuple[Route, ...]:
        """Return the routes of a leg."""
        return tuple(self._ways.get(leg, ()))

    def passing(self, at: Slot) -> tuple[Route, ...]:
        """Return the routes that pass a slot."""
        return tuple(self._passing.get(at, ()))

    def legs_at(self, at: Slot) -> tuple[str, ...]:
        """Return the legs a slot is known to carry: what is plugged or mixed there, and what passes."""
        own = [leg for leg in (self._plugged.get(at), self._mixed.get(at)) if leg]
        return tuple(dict.fromkeys([*own, *(route.leg for route in self._passing.get(at, ()))]))

    def plugged(self, at: Slot) -> str:
        """Return the source leg plugged into a socket; empty when none is."""
        return self._plugged.get(at, "")

    def mixed(self, at: Slot) -> str:
        """Return the feed leg mixed on a slot; empty when none is."""
        return self._mixed.get(at, "")

    def starts(self, leg: str) -> Slot | None:
        """Return where a leg enters: its socket, or the slot it is mixed on."""
        return self.setting.plugs.get(leg) or self.setting.mixes.get(leg)

    def preamp_of(self, route: Route) -> Slot | None:
        """Return the socket whose preamp a route passes first; None where it passes none."""
        for place in route.hops:
            bank = self.bank(place.device, place.bank)
            if bank is not None and bank.preamp and bank.socket == "in":
                return place
        return None

    def gain(self, at: Slot) -> GainSet | None:
        """Return the gain set at a socket."""
        return next((row for row in self.setting.gains if row.at == at), None)

    def owner(self, at: Slot) -> Ownership | None:
        """Return who owns the preamp at a socket."""
        return next((row for row in self.setting.owners if row.preamps.holds(at)), None)

    def phantom(self, at: Slot) -> PhantomSet | None:
        """Return the phantom switch of a socket."""
        return next((row for row in self.setting.phantom if row.at.holds(at)), None)

    def supplies(self, leg: str) -> tuple[PhantomSet, ...]:
        """Return the phantom switches that are on along the ways of a leg."""
        places = dict.fromkeys(place for route in self.setting.routes if route.leg == leg for place in route.hops)
        return tuple(row for row in self.setting.phantom if row.on and any(row.at.holds(place) for place in places))

    # -- links -------------------------------------------------------------------------------------------

    def link_into(self, at: Slot) -> tuple[Link, Slot] | None:
        """Return the analogue link that feeds a socket and the socket at its other end; None when none does."""
        for link in self.rig.links:
            if len(link.join) == 2:
                ends = [parse(end) for end in link.join]
                for far, near in (ends, ends[::-1]):
                    if near.first is not None and near.holds(at) and far.first is not None and far.bank is not None:
                        return link, Slot(far.device, far.bank, far.first + at.number - near.first)
        return None

    def links_of(self, device: str) -> tuple[Link, ...]:
        """Return the links joined to a device, in the rig's order."""
        return tuple(link for link in self.rig.links if any(parse(end).device == device for end in link.join))

    def blocks(self, into: Span) -> int:
        """Return how many slots at once a selection's destination takes: the `by` of the narrowest select row."""
        rows = [
            row.by
            for row in self.rig.type_of(into.device).select
            if not row.wired and _meets(parse(f"{into.device}.{row.into}"), into)
        ]
        return min(rows) if rows else 1


def _meets(row: Span, into: Span) -> bool:
    if row.bank != into.bank:
        return False
    return row.first is None or into.first is None or (row.first <= (into.last or 0) and into.first <= (row.last or 0))
