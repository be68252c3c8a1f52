"""One period of a patch, as rules look at it.

Comes in: rig, show, the setting of a period.  Goes out: a `Look`.  Next: rules.

It reads the rig as the judge does (`ground`, `feeders`, `signals`), and is as forgiving: what a patch says of places
that are not there feeds nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cached_property
from itertools import chain
from operator import attrgetter
from typing import NamedTuple

from patchloom.address import Slot, parse
from patchloom.check.feeders import Feeder, Feeders
from patchloom.check.ground import Ground
from patchloom.check.look import amps, graphs, into, latency
from patchloom.check.look import audio as sound
from patchloom.check.report import Report
from patchloom.check.side import Feed as Fed
from patchloom.check.signals import Node, Signals
from patchloom.model.patch import Ownership, Route, Setting
from patchloom.model.period import in_period
from patchloom.model.rig import Rig, Type
from patchloom.model.show import Destination, Feed, List, Show, Source, Want

__all__ = ["Delivery", "Look"]


class Delivery(NamedTuple):
    """One leg delivered, as the patch's routes say (`verify` holds them against the selections)."""

    to: str
    """List, or feed where the place is a destination of that feed."""
    entry: int
    """Place of the want in its list, or of the destination in its feed, from 1."""
    leg: str
    hops: tuple[Slot, ...]
    """Every slot passed, from socket or mix to the slot it is wanted at."""
    alternate: bool
    position: str
    """Who hears it: the list's position; the one that mixes, where it is a destination of a feed."""
    want: Want | None
    """The entry of the list; None for a destination of a feed."""
    place: Destination | None
    """The destination; None for an entry of a list."""

    devices: tuple[str, ...] = ()
    """Every device passed, in order, each once."""

    @property
    def end(self) -> Slot:
        """Return the slot it is wanted at."""
        return self.hops[-1]

    @property
    def name(self) -> str:
        """Return the delivery as people name it, `foh: kick`."""
        return f"{self.to}: {self.leg}"


class Look:
    """Rig, show and setting of one period, and what follows from them."""

    def __init__(self, rig: Rig, show: Show, setting: Setting) -> None:
        self.period = setting.period
        self.setting = setting
        self.whole = show
        """The show of all periods."""
        self.rig, self.show = in_period(rig, show, setting.period)

    # the rig

    @cached_property
    def ground(self) -> Ground:
        """Return the rig as documented: sizes, rates, select rows, links (see `check.ground`)."""
        return Ground(self.rig)

    def type(self, device: str) -> Type:
        """Return the type of a device that is there; an empty type for one that is not."""
        return self.rig.type_of(device) if device in self.rig.devices else Type(id="")

    def rate(self, place: Slot) -> Fraction:
        """Return the sample rate in Hz at a slot."""
        return self.ground.rate(place.device, place.bank)

    def slots(self, text: str) -> tuple[Slot, ...]:
        """Return the slots an address names; of a bank or device all, of what is not there none."""
        span = parse(text)
        if span.device not in self.rig.devices:
            return ()
        banks = [span.bank] if span.bank else list(self.type(span.device).banks)
        found: list[Slot] = []
        for bank in banks:
            size = (self.ground.size(span.device, bank) or 0) if self.ground.known(span.device, bank) else 0
            found.extend(Slot(span.device, bank, n) for n in range(span.first or 1, min(span.last or size, size) + 1))
        return tuple(found)

    # the show

    @cached_property
    def signals(self) -> dict[str, Source | Feed]:
        """Return what is in use in this period by id, sources first."""
        return self.show.signals()

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Return the source of each source leg."""
        return {leg: item for item in self.show.sources for leg in item.leg_ids()}

    @cached_property
    def feeds(self) -> dict[str, Feed]:
        """Return the feed of each feed leg."""
        return {leg: item for item in self.show.feeds for leg in item.leg_ids()}

    @cached_property
    def lists(self) -> dict[str, List]:
        """Return the lists present, by id."""
        return {item.id: item for item in self.show.lists}

    @cached_property
    def positions(self) -> tuple[str, ...]:
        """Return every position of the period: those named, those of lists, those that mix, in that order."""
        show = self.show
        return tuple(
            dict.fromkeys((*show.positions, *(row.position for row in show.lists), *(row.mixed_at for row in show.feeds)))
        )

    @cached_property
    def desks(self) -> dict[str, str]:
        """Return the desk of each position that has one here."""
        found = {position: self.show.desk_of(position) for position in self.positions}
        return {position: desk for position, desk in found.items() if desk in self.rig.devices}

    @cached_property
    def at_desk(self) -> dict[str, tuple[str, ...]]:
        """Return the positions at each desk."""
        found: dict[str, list[str]] = {}
        for position, desk in self.desks.items():
            found.setdefault(desk, []).append(position)
        return {desk: tuple(names) for desk, names in sorted(found.items())}

    def signal_of(self, leg: str) -> str:
        """Return the id of the signal a leg belongs to."""
        return leg.split(".")[0]

    # deliveries

    @cached_property
    def deliveries(self) -> tuple[Delivery, ...]:
        """Return every leg delivered, as the routes say; routes of lists or feeds that are not here are left out."""
        known: dict[tuple[str, ...], tuple[str, ...]] = {}
        return tuple(found for route in self.setting.routes if (found := self._delivery(route, known)) is not None)

    def _delivery(self, route: Route, known: dict[tuple[str, ...], tuple[str, ...]]) -> Delivery | None:
        item = self.lists.get(route.to)
        if not route.hops:
            return None
        passed = tuple(map(_device, route.hops))
        devices = known.get(passed)
        if devices is None:
            devices = known[passed] = tuple(dict.fromkeys(passed))
        if item is not None:
            want = item.wants[route.entry - 1] if 0 < route.entry <= len(item.wants) else None
            return Delivery(route.to, route.entry, route.leg, route.hops, route.alternate, item.position, want, None, devices)
        feed = self.signals.get(route.to)
        if not isinstance(feed, Feed):
            return None
        place = feed.to[route.entry - 1] if 0 < route.entry <= len(feed.to) else None
        return Delivery(route.to, route.entry, route.leg, route.hops, route.alternate, feed.mixed_at, None, place, devices)

    @cached_property
    def by_leg(self) -> dict[str, tuple[Delivery, ...]]:
        """Return the deliveries of each leg."""
        return _grouped(self.deliveries, lambda row: row.leg)

    @cached_property
    def by_position(self) -> dict[str, tuple[Delivery, ...]]:
        """Return the deliveries each position hears, destinations of its own feeds included."""
        return _grouped(self.deliveries, lambda row: row.position)

    @cached_property
    def by_to(self) -> dict[str, tuple[Delivery, ...]]:
        """Return the deliveries of each list, and of each feed to its destinations."""
        return _grouped(self.deliveries, lambda row: row.to)

    @cached_property
    def used(self) -> frozenset[Slot]:
        """Return every slot that a delivery passes."""
        return frozenset(chain.from_iterable(row.hops for row in self.deliveries))

    @cached_property
    def used_by(self) -> dict[Slot, tuple[Delivery, ...]]:
        """Return who needs each slot that a delivery passes."""
        found: dict[Slot, list[Delivery]] = {}
        for row in self.deliveries:
            for hop in row.hops:
                found.setdefault(hop, []).append(row)
        return {place: tuple(rows) for place, rows in found.items()}

    # what is set

    @cached_property
    def feeders(self) -> Feeders:
        """Return who feeds each slot, plugs and mixes entered (see `check.feeders`)."""
        made = Feeders(self.ground, self.setting, Report(self.period))
        for kind, rows in (("plug", self.setting.plugs), ("mix", self.setting.mixes)):
            for leg, place in rows.items():
                made.enter(kind, leg, place)
        return made

    @cached_property
    def _signals(self) -> Signals:
        return Signals(self.feeders)

    @cached_property
    def chosen(self) -> tuple[tuple[Slot, Feeder], ...]:
        """Return every slot whose main input a choice feeds, with what feeds it."""
        return tuple(row for row in self.feeders.chosen() if row[1].kind == "select")

    def picked(self) -> Iterator[tuple[str, str, dict[int, Fed]]]:
        """Yield device, bank, and what feeds its slots by number, where a choice, a plug or a mix does: `chosen` bank by bank."""
        return self.feeders.tables()

    def feeder(self, place: Slot, alternate: bool = False) -> Feeder | None:
        """Return what feeds a slot: its `kind` plug, mix, select, wired or link, `source` slot, `row`, `link`, `choice`."""
        return self.feeders.of(place, alternate)

    def node(self, place: Slot, alternate: bool = False) -> Node:
        """Return what a slot carries: `leg` (empty: nothing), what it came `after`, `tapped`, `amp`, `up` the node before."""
        return self._signals.full(self._signals.at(place, alternate))

    def leg(self, place: Slot, alternate: bool = False) -> str:
        """Return the leg a slot carries, empty where it carries nothing."""
        return self._signals.at(place, alternate).leg

    def way(self, place: Slot, alternate: bool = False) -> tuple[Slot, ...]:
        """Return every slot passed up to a slot, where the signal enters first; empty where nothing is carried."""
        found: list[Slot] = []
        node: Node | None = self.node(place, alternate)
        if node is None or not node.leg:
            return ()
        while node is not None:
            found.append(node.slot)
            node = node.up
        return tuple(reversed(found))

    def link_between(self, here: Slot, there: Slot) -> str:
        """Return the link that takes a signal from one slot of a way to the next; empty inside a device."""
        if here.device == there.device and not here.bank.endswith(".out"):
            return ""
        found = self.feeders.of(there)
        return found.link.id if found is not None and found.link is not None and found.source == here else ""

    @cached_property
    def owner_at(self) -> dict[Slot, Ownership]:
        """Return who owns each preamp socket, as set."""
        found: dict[Slot, Ownership] = {}
        for row in self.setting.owners:
            if row.preamps.bank and row.preamps.first:
                for place in row.preamps.slots():
                    found.setdefault(place, row)
        return found

    @cached_property
    def amps(self) -> dict[Slot, amps.Amp]:
        """Return every preamp in use by its socket, by address: the leg it amplifies, who owns it, who hears it."""
        return amps.amps(self)

    # audio

    @cached_property
    def legs(self) -> sound.Legs:
        """Return the leg of every slot that carries one over its main input, by bank and number; dragged along or wanted."""
        return self._carried.legs

    @cached_property
    def carrying(self) -> tuple[str, ...]:
        """Return the links that carry something, sorted."""
        return tuple(sorted(self._carried.links))

    @cached_property
    def carried(self) -> dict[Slot, str]:
        """Return what `legs` says slot by slot, by address; asking `legs` is several times quicker."""
        return sound.by_address(self.legs)

    @cached_property
    def _carried(self) -> sound.Carried:
        return sound.carried(self.feeders, self._signals)

    @cached_property
    def spread(self) -> dict[str, tuple[Slot, ...]]:
        """Return every slot each leg is carried by, whether anybody wants it there or not."""
        found: dict[str, list[Slot]] = {}
        for place, leg in self.carried.items():
            found.setdefault(leg, []).append(place)
        return {leg: tuple(places) for leg, places in sorted(found.items())}

    @cached_property
    def audio(self) -> dict[Slot, tuple[sound.Step, ...]]:
        """Return the audio graph: each slot that carries something, and the slots that take from it."""
        return sound.steps(self.carried, self.feeders)

    @cached_property
    def _ahead(self) -> sound.Ahead:
        return sound.Ahead(self.feeders)

    def over_links(self, place: Slot) -> tuple[Slot, ...]:
        """Return the slots links bring a slot to, whether it carries anything or not."""
        return self._ahead.over_links(place)

    def onward(self, place: Slot) -> tuple[Slot, ...]:
        """Return the slots that take from a slot, whether it carries anything or not."""
        return self._ahead.of(place)

    @cached_property
    def reach(self) -> dict[str, tuple[str, ...]]:
        """Return, for each device that mixes, the signals that can reach its mixes over channels or straight from a socket."""
        return sound.reach(self.rig, self.legs)

    @cached_property
    def mixing(self) -> dict[str, sound.Contents]:
        """Return what each feed in use contains (see `Contents`)."""
        return sound.mixing(self)

    # the other graphs

    @cached_property
    def control(self) -> dict[str, tuple[graphs.Edge, ...]]:
        """Return the graph of preamp control: each device, and what control goes out to, over which link."""
        return graphs.control(self.ground)

    def commands(self, device: str) -> dict[str, tuple[str, ...]]:
        """Return each device control gets to from one, with the way: devices and links, alternating."""
        return graphs.commands(self.rig, self.control, device)

    @cached_property
    def clock(self) -> dict[graphs.Part, tuple[graphs.Edge, ...]]:
        """Return the clock graph as set: each part that gives its clock, and who follows it, over which link."""
        return graphs.clock_set(self.ground, self.setting)

    @cached_property
    def clock_ways(self) -> dict[graphs.Part, tuple[graphs.Edge, ...]]:
        """Return every way a clock could take: each part of a device, and what could follow it, over which link."""
        return graphs.clock_ways(self.ground)

    @cached_property
    def dependence(self) -> dict[graphs.Thing, tuple[graphs.Thing, ...]]:
        """Return the graph of dependence: each delivery, device and link, and what it cannot be without."""
        return graphs.dependence(self.rig, self.deliveries, self.link_between)

    @cached_property
    def _leaning(self) -> dict[graphs.Thing, tuple[graphs.Thing, ...]]:
        return graphs.turned(self.dependence)

    def lost_with(self, *things: graphs.Thing) -> tuple[str, ...]:
        """Return the deliveries (`foh: kick`) that cannot be without one of the things, in the order of the routes."""
        gone = graphs.closure(self._leaning, things)
        return tuple(dict.fromkeys(row.name for row in self.deliveries if graphs.Thing("delivery", row.name) in gone))

    def leans_on(self, *things: graphs.Thing) -> tuple[graphs.Thing, ...]:
        """Return everything the things cannot be without, sorted; themselves left out."""
        found = graphs.closure(self.dependence, things)
        return tuple(sorted(thing for thing in found if thing not in things))

    # time

    @cached_property
    def into(self) -> into.Into:
        """Return how each source comes into each feed: over its desk's channels, or inside another feed."""
        return into.Into(self)

    @cached_property
    def timed(self) -> dict[tuple[Slot, ...], list[latency.Part]]:
        """Return what takes time on each way asked about so far."""
        return {}

    def late(self, way: Iterable[Slot]) -> latency.Late:
        """Return how late a signal is along a way: ms, samples, and the fields that are missing to know it whole."""
        return latency.late(self, tuple(way))

    def apart(self, one: Iterable[Slot], two: Iterable[Slot]) -> latency.Late:
        """Return how much later the second way is than the first; what both share is left out, known or not."""
        return latency.apart(self, tuple(one), tuple(two))


_device = attrgetter("device")


def _grouped(rows: Iterable[Delivery], key: object) -> dict[str, tuple[Delivery, ...]]:
    found: dict[str, list[Delivery]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)  # type: ignore[operator]
    return {name: tuple(group) for name, group in found.items()}
