"""What a show asks of the slots of a small rig: for each leg the places it may enter by and those it must land on.

Comes in: `Slots` and a show.  Goes out: `Need`s, places of entry, fixed choices, all by slot number.  Next: `exact.py`.

Lists are laid out here by code of its own, from the same words as everybody's: entries take slots in order, as many each
as they have legs; stereo starts on an odd slot where the bank insists, or where the list asks for it and still fits.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.address import Slot, parse
from patchloom.model.show import Feed, List, Show, Want
from patchloom.solve.exact.slots import Choice, Slots

__all__ = ["Need", "fixed_rows", "needs_of", "places_of"]

_CHAIN = ("trim", "polarity", "filter", "delay", "insert", "processing", "mute", "fader")
"""What a copy can come after, in the order of a channel (common practice, no source)."""


_ENTERS = 1000
"""Part of a need that asks no more than to enter, and those after it."""


class Need(NamedTuple):
    """One leg that has to land on one of some slots."""

    leg: str
    feed: bool
    targets: tuple[int, ...]
    to: str
    entry: int
    part: int
    priority: int | None
    tap: str
    """The last thing a copy may come after; empty: nothing for a source, anything for a feed."""
    limit: str
    """The same, as the feed itself says."""
    rising: bool
    """Whether the slots are a choice of a feed's destination."""

    def allows(self, after: tuple[str, ...]) -> bool:
        """Return whether a copy that comes after these may serve."""
        return _not_later(after, self.tap, self.feed) and _not_later(after, self.limit, True)


def _not_later(after: tuple[str, ...], last: str, otherwise: bool) -> bool:
    if not after or not last:
        return not after or otherwise
    until = _CHAIN[: _CHAIN.index(last) + 1] if last in _CHAIN else ()
    return all(word == last or word in until for word in after)


def places_of(slots: Slots, show: Show) -> dict[str, frozenset[int]]:
    """Return, for each leg, the slots it may enter by: sockets nothing is wired to, or mixes of its position's desk."""
    found: dict[str, frozenset[int]] = {}
    rows: dict[str, list[str]] = {}
    for plug in show.plug:
        rows.setdefault(plug.source, []).extend(plug.into)
    for source in show.sources:
        for leg in source.leg_ids():
            texts = rows.get(leg) or rows.get(source.id) or list(slots.rig.devices)
            named = slots.named(tuple(texts), "in")
            found[leg] = frozenset(n for n in named if n not in slots.wire and _is(slots, n, "socket", "in"))
    for feed in show.feeds:
        desk = show.desk_of(feed.mixed_at)
        texts = [feed.from_] if feed.from_ else [f"{desk}.{name}" for name in slots.rig.type_of(desk).banks] if desk else []
        mixes = frozenset(n for n in slots.named(tuple(texts), "") if n not in slots.wire and _is(slots, n, "does", "sum"))
        found.update(dict.fromkeys(feed.leg_ids(), mixes))
    return found


def _is(slots: Slots, number: int, what: str, word: str) -> bool:
    return getattr(slots.bank[slots.names[number][:2]], what, "") == word


def fixed_rows(slots: Slots, show: Show) -> list[tuple[int, list[Choice]]] | None:
    """Return each slot the user fixed with the choices that set it so; None where one cannot be set."""
    found = []
    for row in show.fixed:
        for into, source in zip(slots.named((row.into,), ""), slots.named((row.from_,), ""), strict=False):
            if slots.wire.get(into, (-1,))[0] == source and not row.tap:
                continue
            options = [c for c in slots.choices.get(into, ()) if c.takes[into] == source and row.tap in ("", c.tap)]
            if not options:
                return None
            found.append((into, options))
    return found


def needs_of(slots: Slots, show: Show) -> list[Need] | None:
    """Return everything that is wanted, lists first; None where a list is longer than what it lands in."""
    found: list[Need] = []
    for item in show.lists:
        rows = _list(slots, show, item)
        if rows is None:
            return None
        found += rows
    found += _entering(slots, show)
    for feed in show.feeds:
        for entry, destination in enumerate(feed.to, 1):
            targets = slots.named(destination.at, "out")
            legs = feed.leg_ids()
            exact = len(targets) == len(legs)
            for part, leg in enumerate(legs):
                here = (targets[part],) if exact else tuple(targets)
                found.append(Need(leg, True, here, feed.id, entry, part, destination.priority, feed.tap, feed.tap, not exact))
    return found


def _entering(slots: Slots, show: Show) -> list[Need]:
    """Return a need to enter anywhere for every leg of what is wanted, those included that are folded away."""
    places = places_of(slots, show)
    found: dict[tuple[str, str, int], Need] = {}
    for item in show.lists:
        for entry, want in enumerate(item.wants, 1):
            if want is None:
                continue
            owner = ("", 0) if want.priority is None else (item.id, entry)
            signals = [show.signals()[name] for name in (want.signal, want.alternate) if name]
            legs = [leg for signal in signals for leg in signal.leg_ids()]
            if want.leg:
                legs = [leg for leg in legs if not leg.startswith(f"{want.signal}.") or leg == f"{want.signal}.{want.leg}"]
            for leg in legs:
                anywhere = tuple(sorted(places[leg]))
                part = _ENTERS + len(found)
                found.setdefault((leg, *owner), Need(leg, False, anywhere, *owner, part, want.priority, "", "", False))
    return list(found.values())


def _list(slots: Slots, show: Show, item: List) -> list[Need] | None:
    span = parse(item.at)
    device, bank = span.device, span.bank or ""
    size = slots.size[device, bank]
    first, last = span.first or 1, min(span.last or size, size)
    kind = slots.bank[device, bank]
    hard = kind is not None and kind.pairs
    odd = hard or item.pairs == "odd" or (not item.pairs and kind is not None and kind.does == "process")
    widths = {number: len(_legs(show, want)) for number, want in enumerate(item.wants, 1) if want is not None}
    starts = _starts(item, widths, first, last, odd)
    if odd and not hard and _end(starts, widths) > last:
        starts = _starts(item, widths, first, last, False)
    musts = {entry: width for entry, width in widths.items() if (want := item.wants[entry - 1]) and want.priority is None}
    if _end(starts, musts) > last:
        return None
    rows = [(entry, want, starts[entry]) for entry, want in enumerate(item.wants, 1) if want is not None]
    exactly = [Slot(device, bank, start + part) for entry, _, start in rows for part in range(widths[entry])]
    free = all(slots.chosen_singly(slots.number[place]) for place in exactly if place.number <= last)
    found = []
    for entry, want, start in rows:
        loose = not free and want.channel is None
        inside = parse(want.within) if want.within else span
        for part, leg in enumerate(_legs(show, want)):
            place = slots.number.get(Slot(device, bank, start + part), -1)
            targets = [place] if start + part <= last else []
            if loose:
                run = (Slot(device, bank, n) for n in range(first, last + 1))
                targets = [slots.number[there] for there in run if inside.holds(there)]
            elif targets and want.within and not inside.holds(slots.names[place]):
                targets = []
            found.append(_need(show, item, want, entry, part, leg, tuple(targets)))
        if want.alternate:
            signal = show.signals()[want.alternate]
            for part, leg in enumerate(signal.leg_ids()[: widths[entry]]):
                fits = start + part <= last
                turned = (slots.number[Slot(device, bank, start + part)] + slots.count,) if fits else ()
                found.append(_need(show, item, want, entry, part + widths[entry], leg, turned))
    return found


def _need(show: Show, item: List, want: Want, entry: int, part: int, leg: str, targets: tuple[int, ...]) -> Need:
    signal = show.signals()[leg.partition(".")[0]]
    feed = isinstance(signal, Feed)
    limit = signal.tap if isinstance(signal, Feed) else ""
    return Need(leg, feed, targets, item.id, entry, part, want.priority, want.tap, limit, False)


def _legs(show: Show, want: Want) -> tuple[str, ...]:
    if want.leg:
        return (f"{want.signal}.{want.leg}",)
    legs = show.signals()[want.signal].leg_ids()
    if want.fold:
        return (legs[-1] if want.fold == "right" else legs[0],)
    return legs


def _end(starts: dict[int, int], widths: dict[int, int]) -> int:
    return max((starts[entry] + width - 1 for entry, width in widths.items()), default=0)


def _starts(item: List, widths: dict[int, int], first: int, last: int, odd: bool) -> dict[int, int]:
    """Return the first slot of each entry."""
    taken = {
        want.channel + step
        for entry, want in enumerate(item.wants, 1)
        if want is not None and want.channel is not None
        for step in range(widths[entry])
    }
    starts: dict[int, int] = {}
    here = first
    for entry, want in enumerate(item.wants, 1):
        if want is None:
            while here in taken:
                here += 1
            here += 1
            continue
        width = widths[entry]
        if want.channel is not None:
            starts[entry] = want.channel
            here = max(here, want.channel + width)
            continue
        start = here
        if want.within:
            run = parse(want.within)
            start = max(here, run.first or first)
            if start + width - 1 > (run.last or last):
                start = run.first or first
        while taken & set(range(start, start + width)) or (odd and width == 2 and start % 2 == 0):
            start += 1
        starts[entry] = start
        taken.update(range(start, start + width))
        if start >= here:
            here = start + width
    return starts
