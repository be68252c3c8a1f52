"""What is carried where, slot by slot, and what a mix contains.

Comes in: the feeders and signals of a period.  Goes out: plain dicts by address.  Next: `look`.

Everything counts that arrives, wanted or dragged along with a block: choices first, then whatever wires and links do
with it.  Linear in the slots that carry something.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from patchloom.address import Slot
from patchloom.check.feeders import Feeder, Feeders
from patchloom.check.ground import Ground, Way
from patchloom.check.signals import Signals
from patchloom.model.rig import Rig
from patchloom.model.show import Feed

if TYPE_CHECKING:
    from patchloom.check.look.look import Look

__all__ = ["Ahead", "Contents", "Step", "carried", "mixing", "reach", "steps"]


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
        self._always = _forward(feeders.ground)
        self._chosen: dict[Slot, list[Slot]] = {}
        for place, feeder in feeders.chosen():
            if feeder.source is not None:
                self._chosen.setdefault(feeder.source, []).append(place)

    def of(self, here: Slot) -> tuple[Slot, ...]:
        """Return the slots that take from one: by choice, by wire, over a link."""
        found = list(self._chosen.get(here, ()))
        for device, bank, way in self._always.get((here.device, here.bank), ()):
            number = here.number - way.start + way.first
            if way.first <= number <= way.last:
                found.append(Slot(device, bank, number))
        return tuple(found)


Fed = tuple[Slot, str, str, str]
"""What a slot takes from, and how: slot, `select`, `wired` or `link`, link, tap."""


def carried(ground: Ground, signals: Signals, chosen: Iterable[tuple[Slot, Feeder]]) -> tuple[dict[Slot, str], dict[Slot, Fed]]:
    """Return the leg of every slot whose main input carries one, by address, and what each of them takes from."""
    ahead = _forward(ground)
    does: dict[tuple[str, str], bool] = {}

    def plain(device: str, bank: str) -> bool:
        if (device, bank) not in does:
            kind = ground.bank(device, bank)
            does[device, bank] = kind is None or kind.does == "carry"
        return does[device, bank]

    taken: dict[Slot, list[tuple[Slot, str]]] = {}
    found: dict[Slot, str] = {}
    fed: dict[Slot, Fed] = {}
    todo: list[Slot] = []
    for place, feeder in chosen:
        if feeder.source is not None:
            taken.setdefault(feeder.source, []).append((place, feeder.choice.tap if feeder.choice is not None else ""))
        elif feeder.kind != "void" and feeder.leg:
            found[place] = feeder.leg
            todo.append(place)
    while todo:
        here = todo.pop()
        # What leaves a bank that only carries stays what it is; out of channels and mixes the judge's eyes are needed.
        leg = found[here] if plain(here.device, here.bank) else ""
        for there, tap in taken.get(here, ()):
            if there not in found and (what := leg or signals.at(there).leg):
                found[there] = what
                fed[there] = (here, "select", "", tap)
                todo.append(there)
        for device, bank, way in ahead.get((here.device, here.bank), ()):
            number = here.number - way.start + way.first
            there = Slot(device, bank, number)
            if way.first <= number <= way.last and there not in found and (what := leg or signals.at(there).leg):
                found[there] = what
                fed[there] = (here, "link", way.link.id, "") if way.link is not None else (here, "wired", "", "")
                todo.append(there)
    return _sorted(found), fed


def _sorted(found: dict[Slot, str]) -> dict[Slot, str]:
    """Return slots by address; bank by bank, which is several times faster than comparing whole addresses."""
    banks: dict[tuple[str, str], list[int]] = {}
    for device, bank, number in found:
        banks.setdefault((device, bank), []).append(number)
    places = (Slot(device, bank, number) for (device, bank), numbers in sorted(banks.items()) for number in sorted(numbers))
    return {place: found[place] for place in places}


def steps(there: dict[Slot, str], fed: dict[Slot, Fed], turned: Iterable[tuple[Slot, Feeder]]) -> dict[Slot, tuple[Step, ...]]:
    """Return who takes from each slot that carries something, by address; `turned` are the alternate inputs."""
    found: dict[Slot, list[Step]] = {place: [] for place in there}
    for place in there:
        if place in fed:
            source, how, link, tap = fed[place]
            if source in found:
                found[source].append(Step(place, how, link, tap))
    for place, feeder in turned:
        if feeder.source in found:
            tap = feeder.choice.tap if feeder.choice is not None else ""
            found[feeder.source].append(Step(place, feeder.kind, "", tap, True))
    return {place: tuple(rows) for place, rows in found.items()}


def reach(rig: Rig, there: dict[Slot, str]) -> dict[str, tuple[str, ...]]:
    """Return the signals that arrive in banks a device mixes from, by device; those of its channels where no bank says."""
    banks: dict[str, list[str]] = {}
    for device in rig.devices:
        kind = rig.type_of(device)
        sums = [bank for bank in kind.banks.values() if bank.does == "sum"]
        named = [name for bank in sums for name in bank.of]
        if sums:
            banks[device] = named or [bank.id for bank in kind.banks.values() if bank.does == "process"]
    found: dict[str, dict[str, None]] = {device: {} for device in banks}
    for place, leg in there.items():
        if place.bank in banks.get(place.device, ()):
            found[place.device].setdefault(leg.split(".")[0])
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
    mixed_here = {leg.split(".")[0] for leg, place in look.setting.mixes.items() if place.device == desk}
    return tuple(name for name in said if name in arrives or name in mixed_here)


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
