"""From microphone to ear it takes longer than who listens can bear.

What it says: for each ear mix and wedge, the microphones it contains that come to the ear later than the limit: the
source's own delay, sockets, links, channels, converters on both ways, and what stands behind the destination. The limit is
the feed's `most_ms`; else 3 ms for somebody's own voice in their own ear, and 6 ms for everything else. The air between a
wedge and the ear is not counted.
Why: a singer hears their own voice through bone at once; a copy some milliseconds later makes it hollow. How much is borne
depends on instrument and ears: one study found from possibly less than 1.4 ms to 42 ms acceptable, with ears the least for
saxophone and voice.
When it is no fault: whoever listens has tried it and is content: say `most_ms`.
What data it needs: `latency_ms` of banks, formats and converting rows on the way, `sources.latency_ms` of radio
sources, `feeds.to.latency_ms` behind an ear mix's destination. What is known may exceed the limit alone; where it does
not and a part is absent, it is not checked.
What to do: take the mix at the desk the microphone comes to first, avoid a second network hop, use shorter packets, or an
analogue radio to the ear.
Source: limits by common practice, no source; tests: Lester and Boley 2007, AES convention paper 7198 (read as an excerpt)
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Delivery, Late, Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show, Source

__all__ = ["monitor_budget"]

_OWN_VOICE_MS = 3.0
_OTHERS_MS = 6.0
"""Limits where the feed gives none (common practice, no source)."""
_VOICE_STANDS = ("hand-held", "headset", "straight")
_CLOSE = 1e-6

_Row = tuple[str, float]
"""A microphone, and how late it comes to the ear in ms."""


def monitor_budget(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each ear mix or wedge that is late."""
    tally = Tally("monitor-budget", show, patch)
    for look in looks(rig, show, patch):
        known: dict[tuple[Slot, ...], Late] = {}
        late: dict[tuple[float, tuple[_Row, ...]], dict[str, None]] = {}
        for feed in look.show.feeds:
            if feed.kind in ("ear", "wedge") and feed.id in look.mixing:
                for limit, rows in _late(tally, look, feed, known):
                    late.setdefault((limit, rows), {}).setdefault(feed.id)
        for (limit, rows), feeds in late.items():
            _say(tally, look, list(feeds), limit, rows)
    yield from tally.told("no ear mix or wedge contains a microphone")


def _late(tally: Tally, look: Look, feed: Feed, known: dict[tuple[Slot, ...], Late]) -> Iterator[tuple[float, tuple[_Row, ...]]]:
    """Yield (limit, the microphones beyond it, the latest first) of a mix, for each limit; `known` are ways met before."""
    contents = look.mixing[feed.id]
    if contents.assumed:
        tally.lacks("feeds.of", "an ear mix or a wedge does not say what it contains", feed.id)
        return
    ends = [row for row in look.by_to.get(feed.id, ()) if row.place is not None and row.leg == feed.leg_ids()[0]]
    sources = {item.id: item for item in look.show.sources}
    heard = [sources[name] for name in contents.sources if sources[name].kind in ("mic", "radio")]
    for end in ends:
        out = look.late(end.hops)
        behind = _behind(look, feed, end)
        late: dict[float, list[tuple[float, str]]] = {}
        for source in heard:
            way = look.into.way(source.id, feed.id)
            if not way:
                continue
            tally.seen += 1
            if way not in known:
                known[way] = look.late(way)
            total = round((source.latency_ms or 0.0) + known[way].ms + out.ms + (behind or 0.0), 6)
            limit = _limit(feed, end, source)
            if total > limit + _CLOSE:
                late.setdefault(limit, []).append((-total, source.id))
            else:
                _lacking(tally, feed, source, (*known[way].missing, *out.missing), behind)
        for limit, rows in sorted(late.items()):
            yield limit, tuple((name, -total) for total, name in sorted(rows))


def _behind(look: Look, feed: Feed, end: Delivery) -> float | None:
    """Return the delay behind a destination in ms; None where it is not known. A wedge is taken for a loudspeaker."""
    assert end.place is not None
    if end.place.latency_ms is not None:
        return end.place.latency_ms
    bank = look.ground.bank(end.end.device, end.end.bank)
    if bank is not None and bank.latency_ms is not None and not look.type(end.end.device).digital:
        return bank.latency_ms
    return 0.0 if feed.kind == "wedge" else None


def _limit(feed: Feed, end: Delivery, source: Source) -> float:
    if feed.most_ms is not None:
        return feed.most_ms
    assert end.place is not None
    person = end.place.person or feed.person
    own = bool(person) and source.person == person and source.stand in _VOICE_STANDS
    return _OWN_VOICE_MS if own else _OTHERS_MS


def _lacking(tally: Tally, feed: Feed, source: Source, fields: tuple[str, ...], behind: float | None) -> None:
    because = "a delay between microphone and ear is not known, and what is known is within the limit"
    for field in fields:
        tally.lacks(field, because, feed.id)
    if behind is None:
        tally.lacks("feeds.to.latency_ms", because, feed.id)
    if source.latency_ms is None and source.kind == "radio":
        tally.lacks("sources.latency_ms", because, source.id)


def _say(tally: Tally, look: Look, feeds: list[str], limit: float, late: tuple[_Row, ...]) -> None:
    names = some(f"{name} ({total:g} ms)" for name, total in late)
    verb = "brings" if len(feeds) == 1 else "bring"
    told = f"{some(feeds)} {verb} {names} from microphone to ear; the limit is {limit:g} ms."
    numbers = (("longest ms", late[0][1]), ("limit ms", limit), ("microphones", len(late)))
    tally.found(look.period, told, *feeds, *(name for name, _ in late), numbers=numbers)
