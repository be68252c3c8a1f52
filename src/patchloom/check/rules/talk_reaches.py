"""Somebody cannot be talked to who should be.

What it says: for every row of `talk`, that its source does not get to a list of a position, into a feed, or into a mix a
person hears.  A position talks by the talkback sources plugged into its desk.
Why: lost minutes, and hand signs across the stage.
When it is no fault: there is a talkback ring beside the rig: take the row out.
What data it needs: `talk`; absent while there are talkback sources: not checked.  `feeds.of` and `feeds.person` of the
mixes people hear; absent: not checked for those.
What to do: put the talkback on the list, or into the mix.
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
from patchloom.model.show import Show, Talk

__all__ = ["talk_reaches"]


def talk_reaches(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each partner somebody must talk to and does not reach; a wish is a warning."""
    tally = Tally("talk-reaches", show, patch)
    for look in looks(rig, show, patch):
        talkers = [source.id for source in look.show.sources if source.kind == "talkback"]
        if talkers and not show.talk:
            tally.lacks("talk", "who must talk to whom is unknown", *talkers)
        for row in look.show.talk:
            _row(tally, look, row)
    yield from tally.told("there is no talkback")


def _row(tally: Tally, look: Look, row: Talk) -> None:
    voices = _voices(look, row.from_)
    if voices is None:
        return
    severity = "" if row.priority is None else "warn"
    for partner in row.to:
        tally.seen += 1
        if not voices:
            told = f"{row.from_} is to talk to {partner}, and no talkback source is plugged into its desk."
            tally.found(look.period, told, row.from_, partner, severity=severity)
            continue
        reached, unsaid = _hears(look, partner, voices)
        if not reached and unsaid:
            tally.lacks("feeds.of", "what some mixes contain that people are talked to in is unknown", *unsaid)
        elif not reached:
            told = f"{row.from_} does not reach {partner}: {some(voices)} {_miss(look, partner)}."
            tally.found(look.period, told, row.from_, partner, *voices, severity=severity)


def _voices(look: Look, name: str) -> list[str] | None:
    """Return the sources somebody talks by; None where that is not there in this period."""
    if name in look.signals:
        return [name]
    if name in {source.id for source in look.whole.sources} or name not in look.positions:
        return None
    desk = look.desks.get(name, "")
    talk = [source for source in look.show.sources if source.kind == "talkback"]
    return [
        row.id
        for row in talk
        if any(look.setting.plugs[leg].device == desk for leg in row.leg_ids() if leg in look.setting.plugs)
    ]


def _hears(look: Look, partner: str, voices: list[str]) -> tuple[bool, list[str]]:
    """Return whether a partner hears one of some sources, and the mixes of which that is unknown."""
    if partner in look.mixing:
        feeds = [partner]
    elif partner in look.positions:
        on_lists = {look.signal_of(row.leg) for row in look.by_position.get(partner, ()) if row.want is not None}
        if on_lists & set(voices):
            return True, []
        feeds = [key for key in look.mixing if key in on_lists]
    else:
        feeds = [feed.id for feed in look.show.feeds if partner in (feed.person, *(row.person for row in feed.to))]
    among = [feed for feed in feeds if set(voices) & set(heard(look, feed))]
    unsaid = [feed for feed in among if look.mixing[feed].missing and not set(voices) & set(own(look, feed))]
    sure = [feed for feed in among if feed not in unsaid]
    return bool(sure), unsaid


def _miss(look: Look, partner: str) -> str:
    if partner in look.mixing:
        return "is not in that mix"
    if partner in look.positions:
        return "is on none of its lists, nor in a mix on them"
    return "is in no mix for that person"
