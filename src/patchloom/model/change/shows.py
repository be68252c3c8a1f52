"""Changes of what is asked for: wants, plugs, groups, fixed choices, gains.

Comes in: rig, show, what is changed and to what.  Goes out: the pair with another show.  Next: `change/__init__.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import attrs

from patchloom.address import parse
from patchloom.model.base import Table, at_rate, build
from patchloom.model.rig import Rig
from patchloom.model.show import Gain, List, Plug, Show, Want

__all__ = ["DOES", "Doing", "want_key"]

Pair = tuple[Rig, Show]
Doing = Callable[[Rig, Show, tuple[str, ...], Any], Pair]
WISH = 9
"""The priority a must gets when it becomes a wish: dear to nobody."""


def want_key(list_id: str, signal: str, leg: str = "") -> str:
    """Return how an entry of a list is named: `foh: kick`, `foh: keys.L`."""
    return f"{list_id}: {signal}.{leg}" if leg else f"{list_id}: {signal}"


def _wants(show: Show, change: Callable[[str, Want], Any]) -> Show:
    """Return a show whose wants, those of periods included, are what `change(list id, want)` gives: wants or None."""
    lists = tuple(attrs.evolve(item, wants=_changed(item.id, item.wants, change)) for item in show.lists)
    periods = []
    for period in show.periods:
        own = {
            key: _changed(key, tuple(None if row is None else build(Want, row) for row in rows), change)
            for key, rows in period.lists.items()
        }
        periods.append(attrs.evolve(period, lists=Table(own)) if own else period)
    return attrs.evolve(show, lists=lists, periods=tuple(periods))


def _changed(key: str, wants: tuple[Want | None, ...], change: Callable[[str, Want], Any]) -> tuple[Want | None, ...]:
    made: list[Want | None] = []
    for want in wants:
        made.extend((None,) if want is None else change(key, want))
    while made and made[-1] is None:
        made.pop()
    return tuple(made)


def _named(key: str, want: Want, names: frozenset[str]) -> bool:
    return want_key(key, want.signal, want.leg) in names


def without_wants(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Leave wants out; their places stay empty, unless the list would not fit its bank then."""
    names = frozenset(of)
    widths = {key: len(signal.leg_ids()) for key, signal in show.signals().items()}

    def change(key: str, want: Want) -> tuple[Want | None, ...]:
        if want.alternate and want_key(key, want.alternate) in names:
            want = attrs.evolve(want, alternate="")
        if not _named(key, want, names):
            return (want,)
        return (None,) * (1 if want.leg or want.fold else widths.get(want.signal, 1))

    show = _wants(show, change)
    return rig, attrs.evolve(show, lists=tuple(_fitted(rig, item, widths) for item in show.lists))


def _fitted(rig: Rig, item: List, widths: dict[str, int]) -> List:
    """Return a list without so many of its gaps, the last ones first, as it is too long for its bank."""
    span = parse(item.at)
    bank = rig.type_of(span.device).banks.get(span.bank or "") if span.device in rig.devices else None
    if bank is None:
        return item
    room = at_rate(bank.slots, rig.domain_of(span.device, bank.clock).hertz) or 0
    last = min(span.last or room, room)
    kept = list(item.wants)
    for at in reversed(range(len(kept))):
        if kept[at] is None and _ends(kept, widths, span.first or 1, bank.pairs) > last:
            del kept[at]
    return attrs.evolve(item, wants=tuple(kept))


def _ends(wants: list[Want | None], widths: dict[str, int], first: int, pairs: bool) -> int:
    """Return the last slot entries take in order; with `pairs` stereo starts on odd slots."""
    at = first
    for want in wants:
        width = 1 if want is None or want.leg or want.fold else widths.get(want.signal, 1)
        at += width + (1 if pairs and width == 2 and at % 2 == 0 else 0)
    return at - 1


def without_destinations(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Leave destinations of feeds out."""
    names = frozenset(of)
    feeds = tuple(
        attrs.evolve(feed, to=tuple(row for row in feed.to if f"{feed.id}: {', '.join(row.at)}" not in names))
        for feed in show.feeds
    )
    return rig, attrs.evolve(show, feeds=feeds)


def without_sources(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Leave sources out: their wants, plugs and whatever else speaks of them."""
    gone = frozenset(of)
    legs = {leg for source in show.sources if source.id in gone for leg in source.leg_ids()}
    every = {key.partition(".")[0] for key in gone}
    names = tuple(
        want_key(item.id, want.signal, want.leg)
        for item in show.lists
        for want in item.wants
        if want is not None and want.signal in gone
    ) + tuple(f"{item.id}: {key}" for item in show.lists for key in sorted(gone))
    rig, show = without_wants(rig, show, names, None)
    groups = tuple(attrs.evolve(row, of=tuple(key for key in row.of if key not in gone)) for row in show.groups)
    feeds = tuple(
        feed if feed.of is None else attrs.evolve(feed, of=tuple(key for key in feed.of if key not in gone))
        for feed in show.feeds
    )
    periods = tuple(
        row if row.uses is None else attrs.evolve(row, uses=tuple(key for key in row.uses if key not in gone))
        for row in show.periods
    )
    show = attrs.evolve(
        show,
        sources=tuple(source for source in show.sources if source.id not in gone),
        plug=tuple(row for row in show.plug if row.source not in legs and row.source.partition(".")[0] not in every),
        groups=tuple(row for row in groups if row.of),
        feeds=feeds,
        periods=periods,
    )
    return rig, show


def wish(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Make musts wishes: wants and destinations."""
    names = frozenset(of)

    def change(key: str, want: Want) -> tuple[Want | None, ...]:
        mine = _named(key, want, names) or bool(want.alternate and want_key(key, want.alternate) in names)
        return (attrs.evolve(want, priority=WISH),) if mine and want.priority is None else (want,)

    feeds = tuple(
        attrs.evolve(
            feed,
            to=tuple(
                attrs.evolve(row, priority=WISH) if f"{feed.id}: {', '.join(row.at)}" in names and row.priority is None else row
                for row in feed.to
            ),
        )
        for feed in show.feeds
    )
    return rig, attrs.evolve(_wants(show, change), feeds=feeds)


def _evolve_wants(show: Show, of: tuple[str, ...], **values: Any) -> Show:
    names = frozenset(of)
    return _wants(show, lambda key, want: (attrs.evolve(want, **values) if _named(key, want, names) else want,))


def any_channel(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let wants land on any channel."""
    return rig, _evolve_wants(show, of, channel=None)


def anywhere_in_list(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let wants land outside the run they were to land within."""
    return rig, _evolve_wants(show, of, within="")


def tap(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let wants, or the copies of a feed, be taken after what `to` names."""
    names = frozenset(of)
    feeds = tuple(attrs.evolve(feed, tap=to) if feed.id in names else feed for feed in show.feeds)
    return rig, attrs.evolve(_evolve_wants(show, of, tap=to), feeds=feeds)


def plug(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let sources plug into further places."""
    return rig, _plugs(rig, show, of, lambda into: tuple(dict.fromkeys((*into, *to))))


def plug_anywhere(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let sources plug into any socket of the rig that takes a source."""
    return rig, _plugs(rig, show, of, lambda into: tuple(rig.devices))


def _plugs(rig: Rig, show: Show, of: tuple[str, ...], change: Callable[[tuple[str, ...]], tuple[str, ...]]) -> Show:
    names = frozenset(of)
    rows = tuple(
        Plug(source=row.source, into=change(row.into)) if row.source in names or row.source.partition(".")[0] in names else row
        for row in show.plug
    )
    return attrs.evolve(show, plug=rows)


def _sources(show: Show, of: tuple[str, ...], **values: Any) -> Show:
    names = frozenset(of)
    return attrs.evolve(
        show, sources=tuple(attrs.evolve(source, **values) if source.id in names else source for source in show.sources)
    )


def phantom_any(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Leave out whether sources need phantom or must never have it."""
    return rig, _sources(show, of, phantom="no")


def own_supply(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Power sources that need phantom from a supply of their own."""
    return rig, _sources(show, of, powered_by="mains")


def want_db(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let positions want another gain of sources: `foh: vox` to so many dB, None for no gain stated."""
    changed: dict[str, dict[str, Any]] = {}
    for key in of:
        position, _, name = key.partition(": ")
        changed.setdefault(name, {})[position] = to
    sources = []
    for source in show.sources:
        if source.id in changed:
            rows = {**source.want_db, **changed[source.id]}
            source = attrs.evolve(source, want_db=Table({key: value for key, value in rows.items() if value is not None}))
        sources.append(source)
    return rig, attrs.evolve(show, sources=tuple(sources))


def peak(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let the peak of sources be `to` dBu; None for unknown."""
    return rig, _sources(show, of, peak_dbu=to)


def any_gain(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let the gain of sources be chosen."""
    names = frozenset(of)
    fixed = tuple(row for row in show.gain.fixed if row.signal.partition(".")[0] not in names)
    gain: Gain = attrs.evolve(show.gain, fixed=fixed)
    return rig, attrs.evolve(_sources(show, of, gain_db=None), gain=gain)


def reserve(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Keep `to` dB of headroom above the loudest level."""
    return rig, attrs.evolve(show, gain=attrs.evolve(show.gain, reserve_db=to))


def release(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Take rows of the show away, named by their paths: `groups[0]`, `fixed[2]`, `owners[1]`, `routing[0]`."""
    gone: dict[str, set[int]] = {}
    for key in of:
        field, _, number = key.rstrip("]").partition("[")
        gone.setdefault(field, set()).add(int(number))
    for field, numbers in gone.items():
        rows = getattr(show, field)
        kept: dict[str, Any] = {field: tuple(row for at, row in enumerate(rows) if at not in numbers)}
        show = attrs.evolve(show, **kept)
    if "owners" in gone:
        show = attrs.evolve(show, periods=tuple(attrs.evolve(row, owners=()) for row in show.periods))
    return rig, show


DOES: dict[str, Doing] = {
    "any-channel": any_channel,
    "any-gain": any_gain,
    "anywhere-in-list": anywhere_in_list,
    "own-supply": own_supply,
    "peak": peak,
    "phantom-any": phantom_any,
    "plug": plug,
    "plug-anywhere": plug_anywhere,
    "release": release,
    "reserve": reserve,
    "tap": tap,
    "want-db": want_db,
    "wish": wish,
    "without-destinations": without_destinations,
    "without-sources": without_sources,
    "without-wants": without_wants,
}
