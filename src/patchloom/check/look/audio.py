"""What is carried where, slot by slot, and what a mix contains.

Comes in: the feeders and signals of a period.  Goes out: plain dicts by bank or by address.  Next: `look`.

Everything counts that arrives, wanted or dragged along with a block: choices first, then whatever wires and links do
with it.  Linear in the slots that carry something.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from patchloom.address import Slot
from patchloom.check.feeders import Feeder, Feeders
from patchloom.check.ground import Ground, Way
from patchloom.check.side import Side
from patchloom.check.signals import Signals
from patchloom.model.rig import Rig
from patchloom.model.show import Feed

if TYPE_CHECKING:
    from patchloom.check.look.look import Look

__all__ = ["Ahead", "Carried", "Contents", "Legs", "Step", "by_address", "carried", "mixing", "reach", "steps"]

_Place = tuple[str, str]

Legs = dict[_Place, dict[int, str]]
"""The leg carried at each slot, by bank (device and bank) and number."""


class Step(NamedTuple):
    """One slot that takes from another."""

    to: Slot
    how: str
    """`select`, `wired` or `link`."""
    link: str = ""
    tap: str = ""
    """The tap named, where the slot taken is a channel or a mix."""
    alternate: bool = False


class Contents(NamedTuple):
    """What a feed contains in a period."""

    signals: tuple[str, ...]
    """Sources and feeds in it, straight: what its `of` says and its desk gets; all the desk gets where `of` is absent."""
    sources: tuple[str, ...]
    """Every source in it, straight or inside another feed."""
    feeds: tuple[str, ...]
    """Every feed in it, straight or inside another; itself, where it comes back."""
    assumed: bool
    """Whether its own `of` is absent, so that all that can reach it is assumed."""
    missing: tuple[str, ...]
    """Feeds, itself first, whose `of` is absent: fields to ask for."""


def _forward(ground: Ground) -> dict[tuple[str, str], list[tuple[str, str, Way]]]:
    """Return, for each bank, the banks that always take from it."""
    found: dict[tuple[str, str], list[tuple[str, str, Way]]] = {}
    for device in ground.rig.devices:
        kind = ground.rig.type_of(device)
        for bank in (*kind.banks, *(f"{port}.{side}" for port in kind.ports for side in ("in", "out"))):
            for way in ground.ways(device, bank):
                if way.row is None or not way.row.select.alternate:
                    found.setdefault((way.device, way.bank), []).append((device, bank, way))
    return found


class Ahead:
    """Where a slot goes on to, whether it carries anything or not."""

    def __init__(self, feeders: Feeders) -> None:
        self._feeders = feeders
        self._always = _forward(feeders.ground)

    @cached_property
    def _chosen(self) -> dict[Slot, list[Slot]]:
        found: dict[Slot, list[Slot]] = {}
        for place, feeder in self._feeders.chosen():
            if feeder.source is not None:
                found.setdefault(feeder.source, []).append(place)
        return found

    def of(self, here: Slot) -> tuple[Slot, ...]:
        """Return the slots that take from one: by choice, by wire, over a link."""
        return (*self._chosen.get(here, ()), *(place for place, _ in self._wired(here)))

    def over_links(self, here: Slot) -> tuple[Slot, ...]:
        """Return the slots a link brings one to."""
        return tuple(place for place, way in self._wired(here) if way.link is not None)

    def _wired(self, here: Slot) -> Iterator[tuple[Slot, Way]]:
        for device, bank, way in self._always.get((here.device, here.bank), ()):
            number = here.number - way.start + way.first
            if way.first <= number <= way.last:
                yield Slot(device, bank, number), way


class Carried(NamedTuple):
    """What arrives where, bank by bank."""

    legs: Legs
    links: dict[str, None]
    """Links that carry something, wanted or not."""


def carried(feeders: Feeders, signals: Signals) -> Carried:
    """Return the leg of every slot whose main input carries one, bank by bank, and the links that carry any.

    A run is moved as a whole: the cost is that of the slots that carry something, with a small factor.
    """
    ground = feeders.ground
    ahead, found = _forward(ground), Carried({}, {})
    todo, taken = _entering(feeders)
    while todo:
        here = next(iter(todo))
        fresh = todo.pop(here)
        there = found.legs.get(here)
        if there is None:
            found.legs[here] = fresh
        else:
            fresh = {number: leg for number, leg in fresh.items() if number not in there}
            there.update(fresh)
        # What leaves a bank that only carries stays what it is; out of channels and mixes the judge's eyes are needed.
        kind = ground.bank(*here)
        plain = kind is None or kind.does == "carry"
        for device, bank, way in ahead.get(here, ()):
            more = _along(fresh, way, feeders.side(device, bank))
            more = more if plain else _judged(signals, device, bank, more)
            if more:
                todo.setdefault((device, bank), {}).update(more)
                if way.link is not None:
                    found.links.setdefault(way.link.id)
        picked = taken.get(here)
        for (device, bank), pairs in picked.items() if picked and fresh else ():
            more = {into: fresh[number] for into, number in pairs if number in fresh}
            more = more if plain else _judged(signals, device, bank, more)
            if more:
                todo.setdefault((device, bank), {}).update(more)
    return found


def _entering(feeders: Feeders) -> tuple[Legs, dict[_Place, dict[_Place, list[tuple[int, int]]]]]:
    """Return what is plugged and mixed, and for each bank who takes from it by choice: (slot fed, slot taken) by bank."""
    enter: Legs = {}
    taken: dict[_Place, dict[_Place, list[tuple[int, int]]]] = {}
    pairs: list[tuple[int, int]]
    for device, bank, table in feeders.tables():
        for number, feed in table.items():
            move = feed.move
            if move is not None:
                pairs = taken.setdefault((move.device, move.bank), {}).setdefault((device, bank), [])
                pairs.append((number, number + feed.shift))
            elif feed.kind != "void" and feed.leg:
                enter.setdefault((device, bank), {})[number] = feed.leg
    return enter, taken


def _along(legs: dict[int, str], way: Way, side: Side) -> dict[int, str]:
    """Return what a way that always feeds brings, by the slot it arrives at; of two that feed one slot, what the judge takes."""
    shift, first, last = way.first - way.start, way.first, way.last
    if len(side.ways) == 1:
        return {number + shift: leg for number, leg in legs.items() if first <= number + shift <= last}
    at = next(count for count, row in enumerate(side.ways) if row is way)
    return {number + shift: leg for number, leg in legs.items() if side.always(number + shift) == at}


def _judged(signals: Signals, device: str, bank: str, legs: dict[int, str]) -> dict[int, str]:
    """Return what slots that take from channels or mixes really carry; those that carry nothing are left out."""
    return {number: leg for number in legs if (leg := signals.at(Slot(device, bank, number)).leg)}


def by_address(legs: Legs) -> dict[Slot, str]:
    """Return what is carried slot by slot, by address; bank by bank, which is quicker than comparing whole addresses."""
    return {Slot(device, bank, number): rows[number] for (device, bank), rows in sorted(legs.items()) for number in sorted(rows)}


def steps(there: dict[Slot, str], feeders: Feeders) -> dict[Slot, tuple[Step, ...]]:
    """Return who takes from each slot that carries something, by address."""
    found: dict[Slot, list[Step]] = {place: [] for place in there}
    for place in there:
        feeder = feeders.of(place)
        if feeder is not None and feeder.source in found:
            found[feeder.source].append(_step(place, feeder))
    for place, feeder in feeders.chosen(True):
        if feeder.source in found:
            found[feeder.source].append(_step(place, feeder, True))
    return {place: tuple(rows) for place, rows in found.items()}


def _step(place: Slot, feeder: Feeder, alternate: bool = False) -> Step:
    link = feeder.link.id if feeder.link is not None else ""
    return Step(place, feeder.kind, link, feeder.choice.tap if feeder.choice is not None else "", alternate)


def reach(rig: Rig, legs: Legs) -> dict[str, tuple[str, ...]]:
    """Return the signals that arrive in banks a device mixes from, by device; those of its channels where no bank says."""
    banks: dict[str, list[str]] = {}
    for device in rig.devices:
        kind = rig.type_of(device)
        sums = [bank for bank in kind.banks.values() if bank.does == "sum"]
        named = [name for bank in sums for name in bank.of]
        if sums:
            banks[device] = named or [bank.id for bank in kind.banks.values() if bank.does == "process"]
    found: dict[str, dict[str, None]] = {device: {} for device in banks}
    for (device, bank), rows in sorted(legs.items()):
        if bank in banks.get(device, ()):
            found[device].update((rows[number].split(".")[0], None) for number in sorted(rows))
    return {device: tuple(names) for device, names in found.items()}


def mixing(look: Look) -> dict[str, Contents]:
    """Return what each feed in use contains, followed through feeds inside feeds."""
    straight: dict[str, tuple[str, ...]] = {}
    absent: dict[str, bool] = {}
    for feed in look.show.feeds:
        straight[feed.id], absent[feed.id] = _straight(look, feed), feed.of is None
    return {key: _through(key, straight, absent) for key in straight}


def _straight(look: Look, feed: Feed) -> tuple[str, ...]:
    desk = look.show.desk_of(feed.mixed_at)
    arrives = look.reach.get(desk)
    if feed.of is None:
        return arrives or ()
    said = dict.fromkeys(name.split(".")[0] for name in feed.of)
    if arrives is None:
        return tuple(name for name in said if name in look.signals)
    there = set(arrives)
    mixed_here = {leg.split(".")[0] for leg, place in look.setting.mixes.items() if place.device == desk}
    return tuple(name for name in said if name in there or name in mixed_here)


def _through(key: str, straight: dict[str, tuple[str, ...]], absent: dict[str, bool]) -> Contents:
    sources: dict[str, None] = {}
    feeds: dict[str, None] = {}
    missing = {key: None} if absent[key] else {}
    todo = list(straight[key])
    while todo:
        name = todo.pop(0)
        if name not in straight:
            sources.setdefault(name)
        elif name not in feeds:
            feeds.setdefault(name)
            if absent[name]:
                missing.setdefault(name)
            todo.extend(straight[name])
    return Contents(straight[key], tuple(sources), tuple(feeds), absent[key], tuple(missing))
