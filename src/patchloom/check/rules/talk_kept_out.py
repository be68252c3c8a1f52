"""Talkback, click or timecode is in a mix the audience, the stream or a recording gets.

What it says: every feed of kind pa, stream, programme, record or press that contains a source of kind talkback, or one
tagged `talk` or `private`: straight, or inside another mix.
Why: the click in the loudspeakers, the swearing on air.  Tracks of their own may have them.
When it is no fault: an announcement from a talkback microphone: give that source another kind, and no such tag.
What data it needs: `feeds.of` where such a source can reach the mix; absent: not checked.
What to do: take it out with `not`.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.talk import heard, own
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show

__all__ = ["talk_kept_out"]

_OPEN = ("pa", "stream", "programme", "record", "press")
_TAGS = {"talk", "private"}


def talk_kept_out(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each open feed with something private in it."""
    tally = Tally("talk-kept-out", show, patch)
    for look in looks(rig, show, patch):
        private = [row.id for row in look.show.sources if row.kind == "talkback" or _TAGS & set(row.tags)]
        for feed in look.show.feeds if private else ():
            if feed.kind in _OPEN:
                tally.seen += 1
                _feed(tally, look, feed, private)
    yield from tally.told("there is no talkback, click or timecode, or no mix that goes out to others")


def _feed(tally: Tally, look: Look, feed: Feed, private: list[str]) -> None:
    contents = look.mixing[feed.id]
    inside = heard(look, feed.id)
    there = [name for name in private if name in inside]
    if not there:
        return
    sure = [name for name in there if _sure(look, feed.id, name, set())]
    if not sure:
        tally.lacks("feeds.of", "what some mixes contain that private sources can reach is unknown", *contents.missing)
        return
    inner = [name for name in contents.signals if name in look.mixing and set(sure) & set(heard(look, name))]
    within = f", inside {' and '.join(inner)}" if inner and not set(sure) & {*contents.signals, *own(look, feed.id)} else ""
    told = f"{feed.id} ({feed.kind}) contains {some(sure)}{within}."
    tally.found(look.period, told, feed.id, *sure, numbers=(("private sources", len(sure)),))


def _sure(look: Look, feed: str, name: str, seen: set[str]) -> bool:
    """Return whether a source is in a feed by what feeds say, nothing assumed."""
    contents = look.mixing.get(feed)
    if contents is None or contents.assumed or feed in seen:
        return False
    seen.add(feed)
    return (
        name in contents.signals or name in own(look, feed) or any(_sure(look, inner, name, seen) for inner in contents.signals)
    )
