"""A block brings a desk what is private, or brings its own mix back, though nobody there asked for it.

What it says: what travels in a block to a desk whose lists do not want it, where it is private (talkback, or tagged
`private`, `talk` or `off-air`), or a mix made at that very desk.  What else a block drags along costs slots and harms
nobody; `capacity` on the proof page counts it.
Why: it is one wrong touch from the PA or the air; a mix that comes back to its own desk is one touch from a howl
(common practice, no source).
When it is no fault: everybody at that desk may hear it: sign it off with a waiver, or put it on a list.
What data it needs: `sources.tags`, `sources.kind`; a source without either is taken to be public.
What to do: plug it in another block, or tell the desk that it is there and must stay closed.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show

__all__ = ["block_leak"]

_PRIVATE = ("private", "talk", "off-air")


def block_leak(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each desk to which a block brings what is private, or its own mix."""
    tally = Tally("block-leak", show, patch)
    for look in looks(rig, show, patch):
        heard: set[tuple[str, str]] | None = None
        private: dict[str, dict[str, Slot]] = {}
        own: dict[str, dict[str, Slot]] = {}
        dragged, count = _dragged(look)
        tally.seen += count
        for place, signal in sorted(dragged.items()):
            heard = _heard(look) if heard is None else heard
            for device in _arrives(look, place):
                if (signal, device) not in heard:
                    if _private(look, signal):
                        private.setdefault(device, {}).setdefault(signal, place)
                    elif look.show.desk_of(getattr(look.signals.get(signal), "mixed_at", "")) == device:
                        own.setdefault(device, {}).setdefault(signal, place)
        _say(tally, look, private, "private, and on none of its lists")
        _say(tally, look, own, "mixed there, and comes back to it")
    yield from tally.told("nothing travels in blocks")


def _heard(look: Look) -> set[tuple[str, str]]:
    """Return the signals lists get, each with the device they get it at."""
    return {(look.signal_of(row.leg), row.end.device) for row in look.deliveries if row.want is not None}


def _dragged(look: Look) -> tuple[dict[Slot, str], int]:
    """Return what may not travel unasked, by the slot of a block nobody needs it at, and how many slots blocks fill in all."""
    private = [name for name, item in look.signals.items() if isinstance(item, Feed) or _private(look, name)]
    delicate = {leg: name for name in private for leg in look.signals[name].leg_ids()}
    found: dict[Slot, str] = {}
    count = 0
    for device, bank, table in look.picked():
        legs = look.legs.get((device, bank), {})
        for number, feed in table.items():
            if feed.row is not None and feed.row.by > 1 and feed.kind == "select":
                count += 1
                signal = delicate.get(legs.get(number, ""))
                if signal is not None and (place := Slot(device, bank, number)) not in look.used:
                    found[place] = signal
    return found, count


def _say(tally: Tally, look: Look, leaks: dict[str, dict[str, Slot]], why: str) -> None:
    for device, signals in sorted(leaks.items()):
        told = some(f"{signal} at {place}" for signal, place in signals.items())
        where = (device, *signals, *signals.values())
        numbers = (("signals", len(signals)),)
        tally.found(look.period, f"{device} gets in a block, unasked: {told}: {why}.", *where, numbers=numbers)


def _arrives(look: Look, place: Slot) -> Iterator[str]:
    """Yield the desks a slot of a block brings its signal to: its own device's, and the one behind its link."""
    if place.device in look.at_desk and not place.bank.endswith(".out"):
        yield place.device
    for there in look.over_links(place):
        if there.device in look.at_desk and look.leg(there) == look.leg(place):
            yield there.device


def _private(look: Look, signal: str) -> bool:
    item = look.signals.get(signal)
    return item is not None and (item.kind == "talkback" or any(tag in _PRIVATE for tag in item.tags))
