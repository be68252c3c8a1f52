"""Everything that could be otherwise in a rig and a show: the facts an explanation is made of.

Comes in: a rig and a show in one period.  Goes out: `Atom`s, each of which can be dropped alone, and a `Problem` that
says what the rig and the show are like without some of them.  Next: `explain_shrink.py` finds which of them conflict.

An atom is a *demand* (a position wants a signal, a feed must arrive, a source is plugged in), a *rule* (a fixed
choice, a group, who owns what, where a source may plug) or a *limit* (so many slots, so many channels).  What is
joined to what is nobody's atom: it is the ground on which they conflict.

A source that nobody wants needs no socket.  Wishes take no part: nothing is impossible because of a wish.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

import attrs

from patchloom.address import parse
from patchloom.model.base import at_rate
from patchloom.model.change import Change, apply
from patchloom.model.change.shows import want_key
from patchloom.model.rig import Rig
from patchloom.model.show import Plug, Show, Want
from patchloom.solve.cutting import build_fabric
from patchloom.solve.fabric import Fabric
from patchloom.solve.slot import cut_at

__all__ = ["COUNTED", "DEMANDS", "Atom", "Problem", "block_of", "musts", "problem_of"]

DEMANDS = ("without-wants", "without-destinations", "without-sources")
COUNTED = ("slots", "channels", "pool")
"""Drops of limits that are counted."""
ANY_TRIM = (-999.0, 999.0)
ROWS = ("groups", "fixed", "owners", "routing", "talk", "inserts")
"""Rows of a show that are rules."""


class Atom(NamedTuple):
    """One fact that can be dropped."""

    drop: str
    """The change that drops it, a key of `DOES`."""
    key: str
    """What the change is done to."""
    to: Any
    position: str
    """Who asks, for a demand of a position; else empty."""
    kin: tuple[Any, ...]
    """Atoms with the same kin are interchangeable."""
    tokens: frozenset[str]
    """Signals, legs, banks, links it speaks of, by which a proof may name it."""


class Problem:
    """A rig, a show and their atoms."""

    def __init__(self, rig: Rig, show: Show, atoms: tuple[Atom, ...]) -> None:
        self.rig = rig
        self.show = show
        self.atoms = atoms

    def without(self, dropped: Iterable[int]) -> tuple[Rig, Show]:
        """Return the rig and the show without some atoms, by number."""
        rows: dict[tuple[str, Any], list[str]] = {}
        for number in sorted(dropped):
            atom = self.atoms[number]
            rows.setdefault((atom.drop, atom.to), []).append(atom.key)
        sources = rows.pop(("without-sources", None), [])
        demands = [Change(do, tuple(rows.pop((do, None)))) for do in DEMANDS if (do, None) in rows]
        rules = [Change(do, tuple(keys), to) for (do, to), keys in rows.items()]
        rig, show = apply(self.rig, self.show, (*rules, *demands))
        wanted = {key for item in show.lists for want in item.wants if want for key in (want.signal, want.alternate)}
        gone = tuple(key for key in sources if key not in wanted)
        return apply(rig, show, (Change("without-sources", gone),)) if gone else (rig, show)


def problem_of(rig: Rig, show: Show) -> Problem:
    """Return the problem of a rig and a show in one period, its wishes left out."""
    show = _musts(rig, show)
    atoms = (*_demands(show), *_rules(rig, show), *_limits(rig, show))
    return Problem(rig, show, tuple(dict.fromkeys(atoms)))


def _musts(rig: Rig, show: Show) -> Show:
    """Return a show without its wishes and periods, each source in use with a plug row of its own."""
    show = musts(show)
    plugged = {row.source for row in show.plug}
    wanted = {want.signal for item in show.lists for want in item.wants if want}
    loose = tuple(
        Plug(source=source.id, into=tuple(rig.devices))
        for source in show.sources
        if source.id in wanted and not any(key in plugged for key in (source.id, *source.leg_ids()))
    )
    return attrs.evolve(show, plug=(*show.plug, *loose), periods=())


def musts(show: Show) -> Show:
    """Return a show without its wishes; their places in the lists stay empty."""
    widths = {key: len(signal.leg_ids()) for key, signal in show.signals().items()}
    lists = []
    for item in show.lists:
        wants: list[Want | None] = []
        for want in item.wants:
            wish = want is not None and want.priority is not None
            gap = (None,) * (1 if want.leg or want.fold else widths.get(want.signal, 1)) if want is not None else (None,)
            wants.extend(gap if wish else (want,))
        lists.append(attrs.evolve(item, wants=tuple(wants)))
    feeds = tuple(attrs.evolve(feed, to=tuple(row for row in feed.to if row.priority is None)) for feed in show.feeds)
    return attrs.evolve(show, lists=tuple(lists), feeds=feeds, wishes=None)


def _demands(show: Show) -> Iterator[Atom]:
    traits = _traits(show)
    legs = {key: signal.leg_ids() for key, signal in show.signals().items()}
    for item in show.lists:
        for want in item.wants:
            if want is None:
                continue
            for signal, leg in ((want.signal, want.leg), *(((want.alternate, ""),) if want.alternate else ())):
                main = signal == want.signal
                own = (want.channel, want.within, want.tap, want.fold, leg)
                kin: tuple[Any, ...] = (item.id, main, *own, traits.get(signal))
                tokens = frozenset((signal, *legs.get(signal, ()), item.id, item.position))
                yield Atom("without-wants", want_key(item.id, signal, leg), None, item.position, kin, tokens)
    for feed in show.feeds:
        for row in feed.to:
            kin = (feed.mixed_at, row.at, len(feed.legs), feed.from_, feed.tap)
            tokens = frozenset((feed.id, *feed.leg_ids()))
            yield Atom("without-destinations", f"{feed.id}: {', '.join(row.at)}", None, feed.mixed_at, kin, tokens)
    for source in show.sources:
        tokens = frozenset((source.id, *source.leg_ids()))
        yield Atom("without-sources", source.id, None, "", ("source", traits[source.id]), tokens)


def _traits(show: Show) -> dict[str, tuple[Any, ...]]:
    """Return, for each signal, what tells it from others: where it may plug, who wants it, phantom, legs, groups."""
    wanted: dict[str, list[Any]] = {}
    for item in show.lists:
        for want in item.wants:
            if want is not None:
                wanted.setdefault(want.signal, []).append((item.id, want.channel, want.within, want.tap))
    into: dict[str, list[Any]] = {}
    for row in show.plug:
        into.setdefault(row.source.partition(".")[0], []).append((row.source.partition(".")[2], row.into))
    groups = {key: tuple(n for n, row in enumerate(show.groups) if key in row.of) for key in show.signals()}
    ruled = {key: tuple(n for n, row in enumerate(show.routing) if key in row.signals) for key in show.signals()}
    found: dict[str, tuple[Any, ...]] = {}
    for source in show.sources:
        found[source.id] = (
            tuple(wanted.get(source.id, ())),
            tuple(into.get(source.id, ())),
            source.phantom,
            source.powered_by,
            len(source.legs),
            groups[source.id],
            ruled[source.id],
        )
    for feed in show.feeds:
        found[feed.id] = ("feed", feed.mixed_at, feed.from_, len(feed.legs), tuple(row.at for row in feed.to), groups[feed.id])
    return found


def _rules(rig: Rig, show: Show) -> Iterator[Atom]:
    for row in show.plug:
        if set(row.into) != set(rig.devices):
            tokens = frozenset((row.source, row.source.partition(".")[0], *(text.partition("[")[0] for text in row.into)))
            yield Atom("plug-anywhere", row.source, None, "", ("plug", row.into), tokens)
    for field in ROWS:
        for number, row in enumerate(getattr(show, field)):
            yield Atom("release", f"{field}[{number}]", None, "", (field, number), _row_tokens(row))
    for source in show.sources:
        tokens = frozenset((source.id, *source.leg_ids()))
        if source.phantom in ("need", "never"):
            yield Atom("phantom-any", source.id, None, "", ("phantom", source.phantom, source.id), tokens)
        for position in source.want_db:
            yield Atom("want-db", f"{position}: {source.id}", None, position, ("gain", position, source.id), tokens)
        if source.peak_dbu is not None:
            yield Atom("peak", source.id, None, "", ("peak", source.id), tokens)
        if source.gain_db is not None or any(row.signal.partition(".")[0] == source.id for row in show.gain.fixed):
            yield Atom("any-gain", source.id, None, "", ("fixed gain", source.id), tokens)
    for item in show.lists:
        for want in item.wants:
            if want is not None:
                yield from _entry_rules(item.id, want)


def _row_tokens(row: Any) -> frozenset[str]:
    values = (getattr(row, field.name) for field in attrs.fields(type(row)))
    return frozenset(
        part.partition("[")[0]
        for value in values
        for part in (value if isinstance(value, tuple) else (value,))
        if part and isinstance(part, str)
    )


def _entry_rules(key: str, want: Want) -> Iterator[Atom]:
    name, tokens = want_key(key, want.signal, want.leg), frozenset((want.signal, key))
    if want.channel is not None:
        yield Atom("any-channel", name, None, "", ("channel", name), tokens)
    if want.within:
        yield Atom("anywhere-in-list", name, None, "", ("within", key, want.within), tokens)


def _limits(rig: Rig, show: Show) -> Iterator[Atom]:
    """Yield the limits.

    A limit gone is one so large that every signal, or every block there is to choose from, has room; where there is so
    much room already, there is no limit.
    """
    fabric = build_fabric(rig, cut_at(show))
    much = sum(len(signal.leg_ids()) for signal in show.signals().values())
    for device in rig.devices:
        kind = rig.type_of(device)
        for name, bank in kind.banks.items():
            place = f"{device}.{name}"
            tokens = frozenset((place, device))
            size = at_rate(bank.slots, rig.domain_of(device, bank.clock).hertz) or 0
            more = _room(fabric, device, name, much) - size
            if size and more > 0:
                yield Atom("slots", place, more, "", ("slots", place), tokens)
            if bank.pairs:
                yield Atom("any-pairs", place, None, "", ("pairs", place), tokens)
            preamp = kind.preamps.get(bank.preamp) if bank.preamp else None
            if preamp is not None:
                if (preamp.phantom_by or 1) > 1:
                    yield Atom("switched-alone", place, None, "", ("phantom by", place), tokens)
                if preamp.gain_db is not None:
                    yield Atom("any-preamp-gain", place, None, "", ("gain range", place), tokens)
                if preamp.owner_by != "socket":
                    yield Atom("owned-alone", place, None, "", ("owner by", place), tokens)
            if any(item.at.partition("[")[0] == place for item in show.lists):
                yield Atom("trim", place, ANY_TRIM, "", ("trim", place), tokens)
        for number, _ in enumerate(kind.limits):
            key = f"{device}.limits[{number}]"
            banks = (f"{device}.{text}" for text in kind.limits[number].of)
            yield Atom("pool", key, much * kind.limits[number].by, "", ("pool", key), frozenset((key, device, *banks)))
    yield from _joined(rig, fabric, much)


def _room(fabric: Fabric, device: str, bank: str, much: int) -> int:
    """Return how many slots are more than anybody could need: one a signal, or every block that can be chosen."""
    fed = [row for row in fabric.rig.type_of(device).select if row.into.partition("[")[0] == bank]
    rows = [row for row in fed if not row.wired]
    for row in fed:
        if row.wired:  # slot by slot, so that the last of what is wired here counts
            much = max(much, parse(f"{device}.{row.into}").last or _size(fabric, device, row.wired.partition("[")[0]))
    by = max((row.by for row in rows), default=1)
    if by == 1:
        return much
    taken = {text.partition("[")[0] for row in rows for text in row.from_}
    slots = sum(fabric.size[fabric.bank_of[device, name]] for name in sorted(taken) if (device, name) in fabric.bank_of)
    return max(-(-slots // by), 4) * by


def _size(fabric: Fabric, device: str, bank: str) -> int:
    at = fabric.bank_of.get((device, bank))
    return 0 if at is None else fabric.size[at]


def _joined(rig: Rig, fabric: Fabric, much: int) -> Iterator[Atom]:
    for link in rig.links:
        ends = [end.partition("[")[0] for end in link.join]
        tokens = frozenset((link.id, *ends, *(f"{end}.{side}" for end in ends for side in ("in", "out"))))
        if link.format and rig.formats[link.format].channels:
            sides = (end.split(".") for end in ends)
            more = tuple(
                max(0, _room(fabric, device, f"{port}.out", much) - _size(fabric, device, f"{port}.out"))
                for device, port in sides
            )
            if any(more):
                yield Atom("channels", link.id, more, "", ("link", link.id), tokens)
        if link.pass_ is not None:
            yield Atom("carries-all", link.id, None, "", ("pass", link.id), tokens)
    for key, domain in rig.domains.items():
        if domain.leader:
            yield Atom("leader", key, None, "", ("leader", key), frozenset((key, domain.leader)))
    for device, placed in rig.devices.items():
        if placed.can_lead is False or (placed.can_lead is None and not rig.type_of(device).can_lead):
            yield Atom("may-lead", device, None, "", ("may lead", device), frozenset((device,)))


def block_of(rig: Rig, device: str, bank: str) -> int:
    """Return how many slots of a bank are fed at once: the block of its select rows, 1 where slots are chosen one by one."""
    sizes = [row.by for row in rig.type_of(device).select if not row.wired and row.into.partition("[")[0] == bank]
    return max(sizes, default=1)
