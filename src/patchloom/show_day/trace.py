"""One channel, hop by hop: where it comes from, what to look at on the way, who can change it.

Comes in: a rig, a show, a patch, and a place somebody points at (list and channel, or a feed's destination).
Goes out: a frozen `Trace`.  Next: `cli` prints it, papers may quote it.

A trace reads the patch's own routes and says about each hop only what the rig says; what the rig does not
know stays empty, it is never invented.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from functools import cache, lru_cache

import attrs

from patchloom.address import Slot, Span, braces, parse
from patchloom.errors import PatchloomError
from patchloom.model.base import at_rate
from patchloom.model.patch import GainSet, Patch, Route, Selection, Setting
from patchloom.model.period import in_period
from patchloom.model.rig import Bank, Device, Link, Rig, Select
from patchloom.model.show import List, Show
from patchloom.pages.words import Say

__all__ = ["Hop", "Trace", "Way", "trace"]

_parse = lru_cache(4096)(parse)


@attrs.frozen
class Hop:
    """One place a leg passes, and the step that brought it there."""

    at: Slot
    """The slot."""
    step: str
    """How it got here: `plug`, `mix`, `link`, `wired` or `select`."""
    how: str
    """The same in words, with link, format, block or tap."""
    mark: str = ""
    """What is printed at the slot, where that is not its number."""
    place: str = ""
    """Where the device stands; empty when the rig does not say."""
    look_at: str = ""
    """What to look at here; empty when the device's type does not say."""
    who: str = ""
    """Who can change this step."""
    notes: tuple[str, ...] = ()
    """Gain, phantom and clock as the patch sets them."""


@attrs.frozen
class Trace:
    """The way of one leg to one place; `hops` is empty when nothing lands there."""

    to: str
    """List or feed asked about."""
    at: Slot | None
    """The slot asked about."""
    leg: str
    """Leg that lands there; empty when nothing does."""
    name: str
    """What the list calls it."""
    period: str
    """Act or scene; empty for the whole show."""
    hops: tuple[Hop, ...] = ()
    """From where it enters to where it is wanted."""
    alternate: tuple[Hop, ...] = ()
    """The same for the channel's alternate input; empty when there is none."""


def trace(rig: Rig, show: Show, patch: Patch, list_id: str, channel: int, *, period: str = "") -> Trace:
    """Return the Trace of what lands on a channel of a list, or on the n-th place of a feed's destinations.

    `list_id` is a list, a position with one list, or a feed; `channel` is the slot's number as the desk
    counts it (for a feed: 1 for the first leg at the first destination, and so on).  Raises PatchloomError
    naming the nearest ids or the channels there are.
    """
    setting = _setting(patch, period)
    rig, show = in_period(rig, show, setting.period)
    if list_id in {feed.id for feed in show.feeds}:
        return _of_feed(rig, show, setting, list_id, channel)
    row = _list(show, list_id)
    spot = _spot(rig, row, channel)
    landing = [route for route in setting.routes if route.to == row.id and route.hops and route.hops[-1] == spot]
    main = next((route for route in landing if not route.alternate), None)
    other = next((route for route in landing if route.alternate), None)
    if main is None:
        return Trace(row.id, spot, "", "", setting.period)
    way = Way(rig, show, setting, row.position)
    return Trace(row.id, spot, main.leg, _name(show, main, row), setting.period, way.hops(main), way.hops(other) if other else ())


def _of_feed(rig: Rig, show: Show, setting: Setting, feed_id: str, number: int) -> Trace:
    feed = next(feed for feed in show.feeds if feed.id == feed_id)
    routes = [route for route in setting.routes if route.to == feed_id and not route.alternate]
    if not 1 <= number <= len(routes):
        there = f"it has {len(routes)}" if routes else "it is delivered nowhere but to lists that want it"
        raise PatchloomError(f"feed {feed_id} has no place {number}: {there}")
    route = routes[number - 1]
    hops = Way(rig, show, setting, feed.mixed_at).hops(route)
    return Trace(feed_id, route.hops[-1] if route.hops else None, route.leg, feed.name or feed.id, setting.period, hops)


def _setting(patch: Patch, period: str) -> Setting:
    try:
        return patch.setting(period)
    except KeyError:
        known = [row.period for row in patch.settings if row.period]
        raise PatchloomError(f"the patch has no period {period!r}{_near(period, known)}") from None


def _list(show: Show, wanted: str) -> List:
    for row in show.lists:
        if (row.id or row.position) == wanted:
            return row
    own = [row for row in show.lists if row.position == wanted]
    if len(own) == 1:
        return own[0]
    if own:
        raise PatchloomError(f"position {wanted} has {len(own)} lists; name one: {', '.join(row.id for row in own)}")
    known = [row.id or row.position for row in show.lists] + [feed.id for feed in show.feeds]
    raise PatchloomError(f"no list, position or feed is called {wanted!r}{_near(wanted, known)}")


def _near(word: str, known: list[str]) -> str:
    close = difflib.get_close_matches(word, known, 1, 0.5)
    if close:
        return f"; did you mean {close[0]!r}?"
    return f"; there are {', '.join(known)}" if known else ""


def _spot(rig: Rig, row: List, channel: int) -> Slot:
    span = parse(row.at)
    bank = span.bank or ""
    most = _size(rig, span.device, bank)
    first, last = span.first or 1, span.last or most
    if not first <= channel <= (last or channel):
        raise PatchloomError(f"list {row.id} has no channel {channel}: {row.at} has {first} to {last}")
    return Slot(span.device, bank, channel)


def _bank(rig: Rig, device: str, bank: str) -> Bank | None:
    return rig.type_of(device).banks.get(bank)


def _size(rig: Rig, device: str, bank: str) -> int | None:
    found = _bank(rig, device, bank)
    if found is None:
        return None
    size = at_rate(found.slots, rig.domain_of(device, found.clock).hertz)  # type: ignore[arg-type]
    return int(size) if size is not None else None


def _name(show: Show, route: Route, row: List) -> str:
    want = row.wants[route.entry - 1] if 1 <= route.entry <= len(row.wants) else None
    if want is not None and want.name:
        return want.name
    signal = show.signals().get(route.leg.split(".")[0])
    return (signal.name or signal.id) if signal is not None else route.leg


class Way:
    """Words for the hops of routes, in a language, seen from one position; seen from none, nobody's trim is told."""

    def __init__(self, rig: Rig, show: Show, setting: Setting, position: str = "", say: Say | None = None) -> None:
        self.rig, self.show, self.setting, self.position = rig, show, setting, position
        self.say = say or Say()
        self._links: dict[str, list[Link]] = {}
        for link in rig.links:
            for device in dict.fromkeys(_parse(end).device for end in link.join):
                self._links.setdefault(device, []).append(link)
        self._taps: dict[tuple[str, str], list[Selection]] = {}
        for pick in setting.selections:
            if pick.tap:
                self._taps.setdefault((pick.into.device, pick.into.bank or ""), []).append(pick)
        self._people = cache(self._people_at)
        self._marks = cache(self._marks_of)

    def hops(self, route: Route) -> tuple[Hop, ...]:
        """Return the hops of a route, the first one by plug or mix."""
        steps = zip((None, *route.hops), route.hops, strict=False)
        return tuple(self.hop(before, here, route.leg) for before, here in steps)

    def hop(self, before: Slot | None, here: Slot, leg: str) -> Hop:
        """Return the hop of a leg to a slot from the one before; from None, where it enters."""
        return self._first(here, leg) if before is None else self._step(before, here)

    def link(self, before: Slot, here: Slot) -> Link | None:
        """Return the link between two slots of two devices; None where the rig has none."""
        return next((row for row in self._links.get(here.device, ()) if _joins(row, before, here)), None)

    def _hop(self, at: Slot, step: str, how: str, who: str, notes: tuple[str, ...] = ()) -> Hop:
        device = self.rig.devices[at.device]
        return Hop(at, step, how, self._mark(at), self._place(device), self._look_at(at), who, notes)

    def _first(self, at: Slot, leg: str) -> Hop:
        if self.setting.plugs.get(leg) == at:
            who = self.say("whoever patches at {device}", device=at.device)
            return self._hop(at, "plug", self.say("{leg} plugs in here", leg=leg), who, tuple(self._preamp(at)))
        return self._hop(at, "mix", self.say("{leg} is mixed here", leg=leg), self._people(at.device))

    def _step(self, before: Slot, here: Slot) -> Hop:
        if before.device != here.device:
            return self._link(self.link(before, here), before, here)
        row = next(self._rows(before, here), None)
        notes = tuple(self._trim(here))
        if row is not None and row.wired:
            how = self.say("wired inside from {slot}", slot=f"{before.bank}[{before.number}]")
            return self._hop(here, "wired", how, self.say("nobody: it is wired"), notes)
        return self._hop(here, "select", self._chosen(row, before, here), self._people(here.device), notes)

    def _link(self, link: Link | None, before: Slot, here: Slot) -> Hop:
        if link is None:
            return self._hop(here, "link", self.say("from {slot}, by no link of this rig", slot=before), "")
        cables = ", ".join(cable.label for cable in link.cables if cable.label)
        name, format_ = f"{link.id}{f' ({cables})' if cables else ''}", link.format or self.say("analogue")
        how = self.say("link {link}, {format}", link=name, format=format_)
        return self._hop(here, "link", how, self.say("whoever plugs the cable"), tuple(self._clock(here.device, link.id)))

    def _chosen(self, row: Select | None, before: Slot, here: Slot) -> str:
        tap = next((pick.tap for pick in self._taps.get((here.device, here.bank), ()) if pick.into.holds(here)), "")
        words = self.say("{bank} takes {slot}", bank=here.bank, slot=f"{before.bank}[{before.number}]")
        if row is not None and row.by > 1:
            low, run = (here.number - 1) // row.by * row.by + 1, (before.number - 1) // row.by * row.by + 1
            block = "{into} from {low} takes {bank} from {run} as a block of {count}"
            words = self.say(block, into=here.bank, low=low, bank=before.bank, run=run, count=row.by)
        if row is not None and row.converts:
            words += self.say(", through the rate converter")
        return words + (self.say(", tap {tap}", tap=tap) if tap else "")

    def _rows(self, before: Slot, here: Slot) -> Iterator[Select]:
        for row in self.rig.type_of(here.device).select:
            choices = (row.wired,) if row.wired else row.from_
            if _inside(here, row.into) and any(_inside(before, choice) for choice in choices):
                yield row

    def _mark(self, at: Slot) -> str:
        marks = self._marks(at.device, at.bank)
        return marks[at.number - 1] if at.number <= len(marks) and marks[at.number - 1] != str(at.number) else ""

    def _marks_of(self, device: str, name: str) -> list[str]:
        bank = _bank(self.rig, device, name)
        return [mark for text in bank.mark for mark in braces(text)] if bank else []

    def _look_at(self, at: Slot) -> str:
        table = self.rig.type_of(at.device).look_at
        return self.say(str(table.get(at.bank) or table.get(at.bank.split(".")[0]) or ""))

    def _people_at(self, device: str) -> str:
        here = [key for key in self._positions() if self.show.desk_of(key) == device]
        manned = self.rig.devices[device].manned
        if here:
            return self.say(" or ").join(here)
        return manned if manned and manned != "no" else self.say("whoever works at {device}", device=device)

    def _positions(self) -> tuple[str, ...]:
        found = dict.fromkeys([*self.show.positions, *(row.position for row in self.show.lists)])
        return tuple(found)

    def _preamp(self, at: Slot) -> Iterator[str]:
        owner = next((row for row in self.setting.owners if row.preamps.holds(at)), None)
        if owner is not None:
            words = "preamp moved by {owner} ({door})" if owner.owner else "preamp moved at the device only"
            yield self.say(words, owner=owner.owner, door=self.say(owner.door))
        gain = self._gain(at)
        if gain is not None and gain.gain_db is not None:
            yield self.say("gain {gain} dB", gain=f"{gain.gain_db:g}")
        if gain is not None and self.position in gain.trims_db:
            trim = f"{gain.trims_db[self.position]:+g}"
            yield self.say("trim at {position} {trim} dB", position=self.position, trim=trim)
        switch = next((row for row in self.setting.phantom if row.at.holds(at)), None)
        if switch is not None:
            yield self.say("phantom on" if switch.on else "phantom off")

    def _gain(self, at: Slot) -> GainSet | None:
        return next((row for row in self.setting.gains if row.at == at), None)

    def _trim(self, here: Slot) -> Iterator[str]:
        bank = _bank(self.rig, here.device, here.bank)
        if bank is not None and bank.trim_db is not None and bank.does == "process":
            low, high = (f"{value:+g}" for value in bank.trim_db)
            yield self.say("trim range {low} to {high} dB", low=low, high=high)

    def _clock(self, device: str, link: str) -> Iterator[str]:
        for domain in self.setting.clock:
            for row in domain.followers:
                if row.device == device and row.link == link:
                    yield self.say("its clock comes by this link, from {device}", device=row.from_)

    def _place(self, device: Device) -> str:
        """Return where a device stands; empty when the rig does not say."""
        if device.place is None:
            return ""
        where = ", ".join(f"{value:g}" for value in device.place.at or ())
        words = (device.place.zone, self.say("at ({where}) m", where=where) if where else "", device.place.note)
        return ", ".join(word for word in words if word)


def _inside(at: Slot, text: str) -> bool:
    return _parse(f"{at.device}.{text}").holds(at)


def _joins(link: Link, before: Slot, here: Slot) -> bool:
    return any(_end(a, before, ".out") and _end(b, here, ".in") for a, b in (link.join, link.join[::-1]))


def _end(text: str, at: Slot, way: str) -> bool:
    span: Span = _parse(text)
    return span.holds(at) or (span.first is None and at == (span.device, f"{span.bank}{way}", at.number))
