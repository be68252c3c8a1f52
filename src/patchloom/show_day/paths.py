"""Every way of every leg, told once for a book: who gets what, by which hops, and what changed since the issue before.

Comes in: a rig, a show, a patch, and the patch it replaces where changes are to be told.  Goes out: a `Paths`.
Next: `pipeline` puts it into the book, renderers follow lines in it.

It reads the patch's own routes, in the words of `trace`; what the rig does not know stays empty.  Hops, and paths that
read the same in several periods, are told once.  Time: linear in the hops of all periods.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import attrs

from patchloom.address import Slot
from patchloom.model.diff import lines
from patchloom.model.patch import Patch, Route, Setting
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, Show, Source
from patchloom.pages import Path, PathEnd, PathGone, PathHop, PathPeriod, PathPosition, Paths, PathSignal, View, list_id
from patchloom.pages.cells import decibels, metres, phantom
from patchloom.show_day.trace import Hop, Way

__all__ = ["paths"]

_NEW = "new"


def paths(rig: Rig, show: Show, patch: Patch, *, previous: Patch | None = None, digest: str = "", language: str = "en") -> Paths:
    """Return the paths of a solved show; with `previous`, what is different from it, and its `digest` to say so.

    `language` is that of the words: for hops, for who may change them, for what is different.
    """
    told = _Told(rig, show)
    for setting in patch.settings:
        before = _setting(previous, setting.period) if previous is not None else None
        _OnePeriod(told, View(rig, show, setting, {"language": language}), before).tell()
    periods = tuple(PathPeriod(row.id, row.name or row.id, row.scene_of) for row in show.periods)
    every = {setting.period for setting in patch.settings}
    kept = told.paths(every)
    return Paths(
        show=patch.show,
        compared=digest,
        periods=tuple(row for row in periods if row.id in every),
        positions=tuple(told.positions.values()),
        ends=tuple(told.ends.values()),
        signals=tuple(told.signals.values()),
        hops=tuple(told.hops),
        paths=kept,
        gone=told.lost(every),
    )


def _setting(patch: Patch, period: str) -> Setting | None:
    return next((row for row in patch.settings if row.period == period), None)


class _Told:
    """What has been told so far: each thing once, in the order of first appearance."""

    def __init__(self, rig: Rig, show: Show) -> None:
        self.rig, self.show = rig, show
        self.hops: dict[PathHop, int] = {}
        self.ways: dict[Path, list[str]] = {}
        self.gone: dict[PathGone, list[str]] = {}
        self.ends: dict[str, PathEnd] = {}
        self.signals: dict[str, PathSignal] = {}
        self.positions: dict[str, PathPosition] = {}

    def number(self, hop: PathHop) -> int:
        """Return the number of a hop, given on its first telling."""
        return self.hops.setdefault(hop, len(self.hops))

    def paths(self, every: set[str]) -> tuple[Path, ...]:
        """Return the paths by end and place, each with its periods; those that hold in every period name none."""
        order = {key: place for place, key in enumerate(self.ends)}
        rows = [
            attrs.evolve(path, periods=() if set(periods) == every else tuple(periods)) for path, periods in self.ways.items()
        ]
        return tuple(sorted(rows, key=lambda path: (order[path.to], path.number, path.alternate)))

    def lost(self, every: set[str]) -> tuple[PathGone, ...]:
        """Return the lines that are no more, each with its periods."""
        return tuple(
            attrs.evolve(row, periods=() if set(periods) == every else tuple(periods)) for row, periods in self.gone.items()
        )


class _Head(NamedTuple):
    """What the paths of one leg have in common in a period."""

    preamp: Slot | None
    owner: str
    gain: str
    phantom: str


class _OnePeriod:
    """The paths of one period."""

    def __init__(self, told: _Told, view: View, before: Setting | None) -> None:
        self.told, self.view, self.before = told, view, before
        self.way = Way(view.rig, view.show, view.setting, say=view.say)
        self.was = {id(now): was for was, now in lines(before, view.setting) if now is not None} if before else {}
        self.gains = {row.at: row for row in view.setting.gains}
        self.feeds = {feed.id: feed for feed in view.show.feeds}
        self.lists = {list_id(row): row for row in view.show.lists}
        self._hops: dict[tuple[Slot | None, Slot, str], int] = {}
        self._heads: dict[tuple[str, Slot], _Head] = {}

    def tell(self) -> None:
        """Tell everything of this period."""
        self._names()
        places: dict[str, int] = {}
        for route in self.view.setting.routes:
            if not route.hops or (route.to not in self.lists and route.to not in self.feeds):
                continue
            if route.to in self.lists:
                number = route.hops[-1].number
            else:
                places[route.to] = number = places.get(route.to, 0) + (not route.alternate)
            self.told.ways.setdefault(self._path(route, number), []).append(self.view.period)
        for was, now in lines(self.before, self.view.setting) if self.before else ():
            if was is not None and now is None:
                words = self.view.say("{first} to {last}", first=self._line(was.hops[0]), last=self._line(was.hops[-1]))
                self.told.gone.setdefault(PathGone(was.leg, was.to, words), []).append(self.view.period)

    def _names(self) -> None:
        view = self.view
        for key in view.positions():
            position, desk = view.position(key), view.show.desk_of(key) or ""
            self.told.positions.setdefault(key, PathPosition(key, position.name or key, position.kind, desk))
        for key, row in self.lists.items():
            place = row.at.replace(".", " ", 1)
            self.told.ends.setdefault(
                key, PathEnd(key, "list", row.name or view.position_name(row.position), row.position, place)
            )
        for feed in view.show.feeds:
            self.told.ends.setdefault(feed.id, PathEnd(feed.id, "feed", feed.name or feed.id, feed.mixed_at, _places(feed)))
        for signal in view.signals.values():
            self.told.signals.setdefault(signal.id, _signal(view, signal))

    def _path(self, route: Route, number: int) -> Path:
        view, row = self.view, self.lists.get(route.to)
        want = view.want(row, route) if row is not None else None
        head = self._head(route)
        position = row.position if row is not None else self.feeds[route.to].mixed_at
        gain = self.gains.get(head.preamp) if head.preamp else None
        trim = gain.trims_db.get(position) if gain is not None else None
        return Path(
            leg=route.leg,
            signal=route.leg.partition(".")[0],
            name=view.name(route.leg, want.name if want is not None else ""),
            to=route.to,
            number=number,
            alternate=route.alternate,
            hops=tuple(self._number(*step, route.leg) for step in zip((None, *route.hops), route.hops, strict=False)),
            phantom=head.phantom,
            preamp=view.line(head.preamp) if head.preamp else "",
            owner=head.owner,
            gain=head.gain,
            trim=f"{decibels(trim, True)} dB" if trim is not None else "",
            notes=tuple(word for word in (want.notes, want.group) if word) if want is not None else (),
            changes=tuple(self._changes(route, number)) if self.before is not None else (),
        )

    def _head(self, route: Route) -> _Head:
        """Return what a route says of its preamp and phantom; asked once for each leg and entry."""
        key = (route.leg, route.hops[0])
        if key not in self._heads:
            at = self.view.preamp_of(route)
            owner = self.view.owner(at) if at is not None else None
            gain = self.gains.get(at) if at is not None else None
            words = f"{decibels(gain.gain_db)} dB" if gain is not None and gain.gain_db is not None else ""
            source = self.view.source(route.leg)
            power = phantom(self.view, route.leg, self.view.setting.plugs.get(route.leg)).text if source is not None else ""
            self._heads[key] = _Head(at, owner.owner if owner is not None else "", words, power)
        return self._heads[key]

    def _number(self, before: Slot | None, here: Slot, leg: str) -> int:
        key = (before, here, leg if before is None else "")
        if key not in self._hops:
            self._hops[key] = self.told.number(self._hop(self.way.hop(before, here, leg), before))
        return self._hops[key]

    def _hop(self, hop: Hop, before: Slot | None) -> PathHop:
        link = self.way.link(before, hop.at) if before is not None and hop.step == "link" else None
        bank = self.view.bank(hop.at.device, hop.at.bank)
        return PathHop(
            at=str(hop.at),
            line=self._line(hop.at),
            device=hop.at.device,
            step=hop.step,
            over=link.id if link is not None else "",
            how=hop.how,
            who=hop.who,
            listen=hop.look_at,
            place=self._place(hop),
            preamp=bool(bank is not None and bank.preamp and bank.socket == "in"),
            notes=hop.notes,
        )

    def _place(self, hop: Hop) -> str:
        """Return where a device stands, its zone by name."""
        place = self.view.rig.devices[hop.at.device].place
        zone = self.view.zone(place.zone) if place is not None and place.zone else ""
        return hop.place.replace(place.zone, zone, 1) if zone and place is not None else hop.place

    def _line(self, at: Slot) -> str:
        return self.view.line(at) if at.device in self.view.rig.devices else str(at)

    def _changes(self, route: Route, number: int) -> Iterator[str]:
        """Yield what is different from the issue before, dearest first."""
        was = self.was.get(id(route))
        if was is None:
            yield _NEW
            return
        if was.hops[0] != route.hops[0]:
            yield self.view.say("came in at {line}", line=self._line(was.hops[0]))
        if was.hops[-1] != route.hops[-1]:
            yield self.view.say("was at {line}", line=self._line(was.hops[-1]))
        if was.hops[1:-1] != route.hops[1:-1] and was.hops[0] == route.hops[0]:
            yield self.view.say("went another way")
        yield from self._set(route, was)

    def _set(self, route: Route, was: Route) -> Iterator[str]:
        """Yield what is set otherwise on the same socket: phantom, and who moves the preamp."""
        assert self.before is not None
        plug = self.view.setting.plugs.get(route.leg)
        old = next((row.on for row in self.before.phantom if plug and row.at.holds(plug)), None)
        new = self.view.phantom(plug) if plug else None
        if old is not None and new is not None and new.on != old:
            yield self.view.say("48V was on" if old else "48V was off")
        at = self.view.preamp_of(route)
        if at is not None and was.hops[0] == route.hops[0]:
            before = next((row.owner for row in self.before.owners if row.preamps.holds(at)), None)
            after = self.view.owner(at)
            if before is not None and after is not None and after.owner != before:
                yield self.view.say("preamp was moved by {owner}", owner=before or self.view.say("nobody from afar"))


def _places(feed: Feed) -> str:
    return ", ".join(dict.fromkeys(row.name for row in feed.to if row.name))


def _signal(view: View, signal: Source | Feed) -> PathSignal:
    name = signal.name or signal.id
    if isinstance(signal, Feed):
        about = tuple(word for word in (signal.person, signal.notes) if word)
        return PathSignal(signal.id, name, signal.kind or "feed", signal.leg_ids(), about)
    cable = view.say("cable {length}", length=metres(signal.cable_m)) if signal.cable_m is not None else ""
    about = tuple(word for word in (signal.mic, signal.stand, signal.person, signal.colour, cable, signal.notes) if word)
    return PathSignal(signal.id, name, signal.kind, signal.leg_ids(), about, view.zone(signal.zone), signal.phantom)
