"""An insert makes a channel late against what it is heard together with.

What it says: for every declared insert, the delay of its way out and back, where the channel's signal is one side of a
pair whose other side has no insert, or is in a group that is summed with another signal at that desk without one.
Why: two paths of one sound that are a fraction of a millisecond apart comb when summed.
When it is no fault: the desk lines channels up by itself, or a plain insert stands on the others.
What data it needs: `banks.latency_ms` of the sockets it goes out and comes back by; absent: not checked.  What stands in
the loop adds its own delay, which nobody has written down.
What to do: put the same insert on all of them, or delay the others by as much.
Source: arithmetic; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot, slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Insert, Show

__all__ = ["insert_latency"]


def insert_latency(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each insert that makes one of several channels late that are heard together."""
    tally = Tally("insert-latency", show, patch)
    for look in looks(rig, show, patch):
        looped = {look.leg(slot(row.channel)) for row in look.show.inserts if _there(look, row)}
        for row in look.show.inserts:
            if _there(look, row) and look.leg(slot(row.channel)):
                tally.seen += 1
                _loop(tally, look, row, looped)
    yield from tally.told("no channel in use has a declared insert")


def _there(look: Look, row: Insert) -> bool:
    return all("[" in text and "-" not in text.rpartition("[")[2] for text in (row.channel, row.send, row.return_))


def _loop(tally: Tally, look: Look, row: Insert, looped: set[str]) -> None:
    channel = slot(row.channel)
    leg = look.leg(channel)
    others = [name for name in _together(look, leg) if name not in looped and _heard(look, name, channel)]
    if not others:
        return
    ms = 0.0
    for place in (slot(row.send), slot(row.return_)):
        bank = look.ground.bank(place.device, place.bank)
        if bank is None or not look.type(place.device).digital:
            continue
        if bank.latency_ms is None:
            field = f"types.{look.type(place.device).id}.banks.{bank.id}.latency_ms"
            tally.lacks(field, "how late some inserts come back is unknown", channel)
            return
        ms += bank.latency_ms
    if ms:
        told = f"The insert on {channel} makes {leg} {ms:g} ms late against {some(others)}, not counting what stands in it."
        numbers = (("ms", round(ms, 3)), ("samples", round(float(look.rate(channel)) * ms / 1000, 1)))
        tally.found(look.period, told, channel, leg, *others, numbers=numbers)


def _together(look: Look, leg: str) -> list[str]:
    """Return the legs heard together with one: the rest of its signal, and of the groups it is summed in."""
    signal = look.signals.get(look.signal_of(leg))
    found = list(signal.leg_ids()) if signal is not None else []
    for group in look.show.groups:
        if group.relation == "summed" and {leg, look.signal_of(leg)} & set(group.of):
            for name in group.of:
                other = look.signals.get(name.split(".")[0])
                found += [name] if "." in name else list(other.leg_ids()) if other is not None else []
    return [name for name in dict.fromkeys(found) if name != leg]


def _heard(look: Look, leg: str, channel: Slot) -> bool:
    return any(place.device == channel.device and place.bank == channel.bank for place in look.spread.get(leg, ()))
