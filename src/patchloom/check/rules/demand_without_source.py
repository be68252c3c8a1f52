"""A channel, an output or a link slot is set to take a place where nothing comes in this act.

What it says: a choice of a single slot that takes a socket without a plug, a mix nobody mixes, or an empty slot of a
link, and no want says so.  A want without its signal is `verify`'s (`not-delivered`, `want-absent`), and so are a gap of
a list that is fed (`gap-not-empty`), and a plug or a mix of something that is not there in this act (`plug-unknown`,
`mix-unknown`).  A list that names what the show does not have at all is complained of by reading.
Why: what is left over from the last act looks like a dead channel, somebody hunts the fault, and what is plugged there
next is live at once (common practice, no source).
When it is no fault: a choice the show fixes (`fixed`), a declared insert, a spare patched through, a choice that serves
another act and stays set, and the empty slots of a block, which come along.
What data it needs: the patch alone.
What to do: clear the choice, or put what it should carry on the list.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patchloom.address import Slot, parse
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["demand_without_source"]


def demand_without_source(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each bank with single choices that take nothing."""
    tally = Tally("demand-without-source", show, patch)
    seen = looks(rig, show, patch)
    serving = _serving(seen) if len(seen) > 1 else set()
    for look in seen:
        listed, wanted = _listed(look), _declared(look)
        empty: dict[tuple[str, str], list[tuple[Slot, Slot]]] = {}
        for device, bank, table in look.picked():
            legs, last = look.legs.get((device, bank), {}), listed.get((device, bank), 0)
            for number, feed in table.items():
                if feed.row is None or feed.row.by > 1 or feed.move is None:
                    continue
                tally.seen += 1
                if number not in legs and number > last:
                    place, source = Slot(device, bank, number), Slot(feed.move.device, feed.move.bank, number + feed.shift)
                    if place not in wanted and (place, source) not in serving and not _spare(look, place):
                        empty.setdefault((device, bank), []).append((place, source))
        for rows in empty.values():
            _say(tally, look.period, sorted(rows))
    yield from tally.told("nothing is chosen slot by slot")


def _serving(seen: Iterable[Look]) -> set[tuple[Slot, Slot]]:
    """Return the choices that bring something in some period: they stay set from act to act."""
    return {
        (place, feeder.source)
        for look in seen
        for place, feeder in look.chosen
        if feeder.source is not None and place in look.carried
    }


def _say(tally: Tally, period: str, rows: list[tuple[Slot, Slot]]) -> None:
    told = some(f"{place} takes {source}" for place, source in rows)
    word = "a place" if len(rows) == 1 else "places"
    where = [*(place for place, _ in rows), *(source for _, source in rows)]
    tally.found(period, f"{told}: {word} where nothing comes in.", *where, numbers=(("choices", len(rows)),))


def _listed(look: Look) -> dict[tuple[str, str], int]:
    """Return, for each bank a list lands in, the last slot its wants can take: up to there verify speaks."""
    found: dict[tuple[str, str], int] = {}
    for item in look.show.lists:
        span = parse(item.at)
        key = (span.device, span.bank or "")
        width = 0
        for want in item.wants:
            signal = look.signals.get(want.signal) if want is not None else None
            width += 1 if want is None or signal is None or want.fold or want.leg else len(signal.leg_ids())
        ends = [row.end.number for row in look.by_to.get(item.id, ())]
        channels = [want.channel for want in item.wants if want is not None and want.channel]
        found[key] = max(found.get(key, 0), (span.first or 1) - 1 + width, *ends, *channels)
    return found


def _spare(look: Look, place: Slot) -> bool:
    """Return whether a slot takes a socket that is kept free as a spare, however far away."""
    spares = {spare for text in look.setting.spares for spare in look.slots(text)}
    here: Slot | None = place
    for _ in range(256 if spares else 0):
        feeder = look.feeder(here) if here is not None else None
        here = feeder.source if feeder is not None else None
        if here is None or here in spares:
            return here is not None
    return False


def _declared(look: Look) -> set[Slot]:
    """Return the slots the show itself sets: fixed choices, sends and returns of inserts."""
    texts = [row.into for row in look.show.fixed]
    for insert in look.show.inserts:
        texts += [insert.send, insert.channel, insert.return_]
    return {place for text in texts for place in look.slots(text)}
