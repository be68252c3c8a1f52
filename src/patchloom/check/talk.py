"""Who is heard in a mix, the desk's own talkback included.

Comes in: a look, a feed.  Goes out: ids of sources.  Next: the rules on talkback.

A talkback microphone goes into the mixes of its own desk without a channel: a socket for that one purpose, and a mix that
says it contains what is plugged there, are enough.
"""

from __future__ import annotations

from patchloom.check.look import Look
from patchloom.model.show import Feed

__all__ = ["heard", "own"]


def own(look: Look, key: str) -> tuple[str, ...]:
    """Return the sources a feed says it contains that are plugged into a socket for that purpose at its own desk."""
    feed = look.signals.get(key)
    if not isinstance(feed, Feed) or not feed.of:
        return ()
    desk = look.show.desk_of(feed.mixed_at)
    return tuple(dict.fromkeys(look.signal_of(leg) for leg in feed.of if _own(look, desk, look.signal_of(leg))))


def _own(look: Look, desk: str, name: str) -> bool:
    source = look.signals.get(name)
    places = [look.setting.plugs.get(leg) for leg in source.leg_ids()] if source is not None else []
    banks = [look.ground.bank(place.device, place.bank) for place in places if place is not None and place.device == desk]
    return any(bank is not None and bank.only_for for bank in banks)


def heard(look: Look, key: str) -> tuple[str, ...]:
    """Return every source in a feed, straight or inside another feed."""
    contents = look.mixing[key]
    talk = (name for feed in (key, *contents.feeds) for name in own(look, feed))
    return tuple(dict.fromkeys((*contents.sources, *talk)))
