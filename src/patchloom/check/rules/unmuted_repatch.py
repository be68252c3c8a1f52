"""A live route changes from one act or scene to the next, and an open mix that hears it is not among those muted first.

What it says: for every act and scene after the first, which feeds stay open while something in them is plugged, chosen
or led otherwise, where neither the feed nor what changes in it is named in `mute` of that act or scene.
Why: a plug pulled under phantom, or a channel that suddenly has the tracks on it, bangs at full level into loudspeakers
and ears.  Mute first, change, look at the meters, open one by one.
When it is no fault: never; mute it and open it again.
What data it needs: `periods.mute`; where no act names anything: not checked.
What to do: between acts name the feeds in `mute`, within an act the signals whose channels change.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Period, Show

__all__ = ["unmuted_repatch"]


def unmuted_repatch(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each act or scene before which an open feed changes and is not muted."""
    tally = Tally("unmuted-repatch", show, patch)
    periods = {period.id: period for period in show.periods}
    said = any(period.mute for period in show.periods)
    rows = looks(rig, show, patch)
    for before, after in pairwise(rows):
        period = periods.get(after.period)
        touched = _touched(before, after, period is not None and not period.scene_of)
        tally.seen += len(touched)
        if touched and not said:
            tally.lacks("periods.mute", "which mixes are muted before an act or scene is set up is unknown", after.period)
        elif period is not None:
            _say(tally, after, period, touched)
    yield from tally.told("nothing that is heard changes from one act or scene to the next")


def _say(tally: Tally, look: Look, period: Period, touched: dict[str, list[str]]) -> None:
    shut = set(period.mute)
    open_ = {}
    for feed, changed in touched.items():
        left = [] if feed in shut else [leg for leg in changed if look.signal_of(leg) not in shut]
        if left:
            open_[feed] = left
    if open_:
        legs = list(dict.fromkeys(leg for row in open_.values() for leg in row))
        stays, under = ("stays", "it") if len(open_) == 1 else ("stay", "them")
        changes = "changes" if len(legs) == 1 else "change"
        told = f"Before {period.name or period.id}, {some(open_)} {stays} open while {some(legs)} {changes} under {under}."
        tally.found(look.period, told, *open_, *legs[:20], numbers=(("open mixes", len(open_)), ("changed", len(legs))))


def _touched(before: Look, after: Look, act: bool) -> dict[str, list[str]]:
    """Return the feeds that are led somewhere before and after, with the legs that change in each."""
    changed = {desk: _changed(before, after, desk, act) for desk in after.at_desk if desk in before.rig.devices}
    found: dict[str, list[str]] = {}
    for key in after.mixing:
        if key not in before.mixing or not before.by_to.get(key) or not after.by_to.get(key):
            continue
        legs = [leg for leg in changed.get(after.into.desks.get(key, ""), ()) if _within(before, after, key, leg)]
        own = [row.leg for row in after.by_to[key] if not _same(row, before)]
        if legs or own:
            found[key] = [*legs, *own]
    return found


def _within(before: Look, after: Look, feed: str, leg: str) -> bool:
    signal = after.signal_of(leg)
    return signal in after.mixing[feed].signals or signal in before.mixing[feed].signals


def _same(row: Any, before: Look) -> bool:
    return any(old.leg == row.leg and old.entry == row.entry and old.hops == row.hops for old in before.by_to.get(row.to, ()))


def _changed(before: Look, after: Look, desk: str, act: bool) -> list[str]:
    """Return the legs whose channel on a desk gets them anew or by another way; in a new act, those that go as well."""
    old, new = _channels(before, desk), _channels(after, desk)
    found: dict[str, None] = {}
    for place in sorted({*old, *new}):
        if old.get(place) != new.get(place):
            if place in new:
                found.setdefault(new[place][0])
            if act and place in old:
                found.setdefault(old[place][0])
    return list(found)


def _channels(look: Look, desk: str) -> dict[Slot, tuple[str, tuple[Slot, ...]]]:
    """Return what each channel a desk mixes from carries, and its way."""
    kind = look.type(desk)
    named = [name for bank in kind.banks.values() if bank.does == "sum" for name in bank.of]
    banks = set(named or [bank.id for bank in kind.banks.values() if bank.does == "process"])
    return {place: (leg, look.way(place)) for place, leg in look.carried.items() if place.device == desk and place.bank in banks}
