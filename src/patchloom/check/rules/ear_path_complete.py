"""An ear mix that is led nowhere, to somebody else's pack, or shares a transmitter with another.

What it says: an ear mix that is neither mixed nor led anywhere; one for one person that is led to another's pack; a
transmitter whose two inputs get sides of different mixes, or one side of a stereo mix, or the right side first.  Sides
that arrive at places that are no neighbours are `stereo-adjacent`.
Why: one ear missing, or somebody else's voice in it at full level.
When it is no fault: two mono mixes on one transmitter whose packs each take one side: a warning, to be signed off.
What data it needs: `feeds.person` or `feeds.to.person`, to say whose ears; absent: not checked for whom.
What to do: lead both sides to one transmitter, left first, listen on the pack before anybody wears it, limiter on.
Levels at the ear are a matter of health: local law and competent people take precedence.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show

__all__ = ["ear_path_complete"]


def ear_path_complete(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each ear mix that does not arrive whole, and for each transmitter that gets no whole one."""
    tally = Tally("ear-path-complete", show, patch)
    for look in looks(rig, show, patch):
        listed = {want.signal for item in look.show.lists for want in item.wants if want is not None}
        mixed = {look.signal_of(leg) for leg in look.setting.mixes}
        for feed in look.show.feeds:
            if feed.kind == "ear":
                tally.seen += 1
                if not feed.to and feed.id not in listed and feed.id not in mixed:
                    tally.found(look.period, f"{feed.id} is for somebody's ears, and is neither mixed nor led anywhere.", feed.id)
                _person(tally, look, feed)
        _transmitters(tally, look)
    yield from tally.told("there is no ear mix")


def _person(tally: Tally, look: Look, feed: Feed) -> None:
    if feed.to and not feed.person and not all(row.person for row in feed.to):
        tally.lacks("feeds.person", "whose ears some mixes are for is unknown", feed.id)
    for row in feed.to:
        if feed.person and row.person and row.person != feed.person:
            told = f"{feed.id} is for {feed.person}, and the pack it is led to is worn by {row.person}."
            tally.found(look.period, told, feed.id, *row.at, feed.person, row.person)


def _transmitters(tally: Tally, look: Look) -> None:
    """Look at each pair of inputs of each transmitter that is there."""
    for device in look.rig.devices:
        for bank in look.type(device).banks.values():
            if bank.ends != "ear":
                continue
            places = look.slots(f"{device}.{bank.id}")
            for left, right in zip(places[::2], places[1::2], strict=False):
                _pair(tally, look, left, right)


def _pair(tally: Tally, look: Look, left: Slot, right: Slot) -> None:
    legs = (look.leg(left), look.leg(right))
    feeds = [look.feeds.get(leg) for leg in legs]
    if not any(feeds):
        return
    tally.seen += 1
    stereo = next((feed for feed in feeds if feed is not None and len(feed.legs) > 1), None)
    names = [feed.id for feed in feeds if feed is not None]
    told, severity = "", ""
    if all(legs) and feeds[0] is not feeds[1]:
        told = f"{left} gets {legs[0]} and {right} gets {legs[1]}: two mixes on one pair."
        severity = "" if stereo is not None else "warn"
    elif stereo is not None and not all(legs):
        told = f"{left if legs[0] else right} gets {legs[0] or legs[1]}, and the other side of {left.device} gets nothing."
    elif stereo is not None and legs != stereo.leg_ids()[:2]:
        told = f"{left} gets {legs[0]} and {right} gets {legs[1]}: not the two sides in their order."
    if told:
        tally.found(look.period, told, left.device, left, right, *dict.fromkeys(names), severity=severity)
