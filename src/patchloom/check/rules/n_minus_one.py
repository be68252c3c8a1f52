"""A far end hears itself come back.

What it says: a feed of kind n-1, or one that says what it excludes, and that contains just that: straight, or inside
another mix.
Why: hearing oneself late makes speaking impossible; over a caller's loudspeaker it howls.
When it is no fault: never, for what the feed itself excludes.
What data it needs: `feeds.excludes` of every feed of kind n-1; `feeds.of` where what is excluded can reach the mix;
absent: not checked.
What to do: take it out with `not`, or mix the far end's feed of its own instead of handing on the programme.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show

__all__ = ["n_minus_one"]


def n_minus_one(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each feed that contains what it excludes."""
    tally = Tally("n-minus-one", show, patch)
    for look in looks(rig, show, patch):
        for feed in look.show.feeds:
            if feed.excludes:
                tally.seen += 1
                _feed(tally, look, feed)
            elif feed.kind == "n-1":
                tally.lacks("feeds.excludes", "whose own signal some N-1 feeds must not contain is unknown", feed.id)
    yield from tally.told("there is no N-1 feed")


def _feed(tally: Tally, look: Look, feed: Feed) -> None:
    contents = look.mixing[feed.id]
    if feed.excludes not in (*contents.sources, *contents.feeds):
        return
    inner = [name for name in contents.signals if name == feed.excludes or feed.excludes in _all(look, name)]
    if (feed.excludes not in contents.signals and any(look.mixing[name].assumed for name in inner)) or contents.assumed:
        unsaid = [name for name in contents.missing if name in (feed.id, *inner)] or list(contents.missing)
        tally.lacks("feeds.of", "what some mixes contain that an N-1 feed is made of is unknown", *unsaid)
        return
    straight = feed.excludes in contents.signals
    told = f"{feed.id} must not contain {feed.excludes}, and does" + ("." if straight else f", inside {' and '.join(inner)}.")
    tally.found(look.period, told, feed.id, feed.excludes, *(() if straight else inner))


def _all(look: Look, name: str) -> tuple[str, ...]:
    row = look.mixing.get(name)
    return (*row.sources, *row.feeds) if row is not None else ()
