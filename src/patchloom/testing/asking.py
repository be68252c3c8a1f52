"""A show asked of a rig: sources on its sockets, wants in its banks, feeds to its outputs, no more than can be led there.

Comes in: a rig, and what was drawn for each source and each feed as small numbers.  Goes out: a `Show`.  Next:
`strategies`.

Every number means something on every rig (a choice among n is taken modulo n), so no draw is thrown away; what finds no
room, and what nobody could hear, is left out.  Zero is the plainest: the first place, one leg, the first list, every act.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from patchloom.model.base import Table
from patchloom.model.rig import Rig, Type
from patchloom.model.show import Destination, Feed, List, Period, Plug, Position, Show, Source, Want
from patchloom.testing.dress import Extra, dress
from patchloom.testing.lead import Leads, Place

__all__ = ["KINDS", "AskedFeed", "AskedSource", "Listening", "ask", "listening", "sockets"]

KINDS = (
    ((), "no"),
    ((), "need"),
    ((), "unknown"),
    ((), "never"),
    (("L", "R"), "no"),
    (("L", "R"), "need"),
)
"""Legs and need of phantom a source may have; the plainest first."""
_POSITIONS = ("foh", "mon", "bcast", "side", "stream")
_RECORDS = ("rec", "archive", "tape")
_WORK = ("foh", "monitor", "broadcast")


class AskedSource(NamedTuple):
    """What was drawn for one source."""

    place: int
    """Which bank of input sockets."""
    kind: int
    """Which of `KINDS`."""
    wanted: int
    """Which lists want it, one bit each; 0 is the first one only."""
    loose: bool
    """Whether it may stand anywhere in its bank; else its socket is fixed."""
    acts: int
    """Which acts use it, one bit each; 0 is all."""
    extra: str = ""
    """What else is said of it, of `dress.EXTRAS`; nothing where empty."""
    value: int = 0
    """Which of the things that may be said there."""


class AskedFeed(NamedTuple):
    """What was drawn for one feed."""

    desk: int
    """Which desk mixes it."""
    place: int
    """Which device it goes to, the desk's own outputs first."""
    stereo: bool
    acts: int


# Rows are frozen, and the same few come again and again.
_source = cache(lambda key, legs, phantom: Source(id=key, legs=legs, phantom=phantom))
_want = cache(lambda key: Want(signal=key))
_plug = cache(lambda key, place: Plug(source=key, into=(place,)))
_position = cache(lambda key, desk, kind: Position(id=key, desk=desk, kind=kind))


class Listening(NamedTuple):
    """A bank somebody's list lands in."""

    position: str
    device: str
    bank: str
    kind: str


_banks: dict[int, tuple[Type, tuple[tuple[str, str], ...]]] = {}
"""Banks of the types met last, each with what they are for; by identity."""


def _roles(kind: Type) -> tuple[tuple[str, str], ...]:
    """Return the banks of a type that matter here: where lists land, and sockets."""
    found = _banks.get(id(kind))
    if found is None:
        rows = []
        for name, bank in kind.banks.items():
            if bank.does == "process":
                rows.append((name, "channels"))
            elif bank.ends == "record":
                rows.append((name, "tracks"))
            if bank.socket and not bank.only_for:
                rows.append((name, bank.socket))
        if len(_banks) > 200:
            _banks.clear()
        found = _banks[id(kind)] = (kind, tuple(rows))
    return found[1]


def listening(rig: Rig) -> list[Listening]:
    """Return the banks lists land in: the channels of each desk, the tracks of each recorder."""
    found = []
    count = {"channels": 0, "tracks": 0}
    for key in rig.devices:
        for name, role in _roles(rig.type_of(key)):
            if role in count:
                names = _POSITIONS if role == "channels" else _RECORDS
                number = count[role]
                count[role] += 1
                place = names[number] if number < len(names) else f"{names[0]}-{number + 1}"
                kind = "record" if role == "tracks" else _WORK[number] if number < len(_WORK) else "other"
                found.append(Listening(place, key, name, kind))
                break
    return found


def sockets(rig: Rig, way: str) -> list[Place]:
    """Return the banks of sockets `in` or `out`, devices that are no desk first, those for one purpose left out."""
    boxes: list[Place] = []
    desks: list[Place] = []
    for key in rig.devices:
        kind = rig.type_of(key)
        rows = [(key, name) for name, role in _roles(kind) if role == way]
        (desks if kind.role == "desk" else boxes).extend(rows)
    return boxes + desks


def ask(rig: Rig, sources: Sequence[AskedSource], feeds: Sequence[AskedFeed], acts: int) -> Show:
    """Return a show of what was drawn, which the rig can carry."""
    asking = _Asking(rig, acts)
    for source in sources:
        asking.source(source)
    for feed in feeds:
        asking.feed(feed)
    return asking.show()


class _Asking:
    """The show so far."""

    def __init__(self, rig: Rig, acts: int) -> None:
        self.rig = rig
        self.acts = acts
        self.leads = Leads(rig)
        self.places = sockets(rig, "in")
        self.outputs = sockets(rig, "out")
        self.lists = [row for row in listening(rig) if self.leads.size((row.device, row.bank))]
        self.desks = [row for row in self.lists if row.kind != "record"]
        self.next = dict.fromkeys(self.places, 1)
        self.filled: dict[str, int] = {row.position: 0 for row in self.lists}
        self.free = {row.position: self.leads.free((row.device, row.bank)) for row in self.lists}
        self.wants: dict[str, list[Want]] = {row.position: [] for row in self.lists}
        self.sources: list[Source] = []
        self.plugs: list[Plug] = []
        self.feeds: list[Feed] = []
        self.mixes: dict[str, int] = {}
        self.uses: dict[str, int] = {}
        self.phantom: dict[tuple[Place, int], str] = {}
        self.extras: list[Extra] = []

    # sources

    def source(self, asked: AskedSource) -> None:
        """Put one source on sockets, and lead it to whom it was drawn for."""
        legs, phantom = KINDS[asked.kind % len(KINDS)]
        for step in range(len(self.places)):
            place = self.places[(asked.place + step) % len(self.places)]
            first = self.next[place] + (1 if legs and self.next[place] % 2 == 0 else 0)
            last = first + max(len(legs), 1) - 1
            if last <= self.leads.size(place):
                break
        else:
            return
        key = f"s{len(self.sources) + 1}"
        wanted = [item for number, item in enumerate(self.lists) if asked.wanted >> number & 1] or self.lists[:1]
        heard = [self._want(item, key, place, first, max(len(legs), 1)) for item in wanted]
        if not any(heard):
            return
        self.next[place] = last + 1
        row = _source(key, legs, self._phantom(place, first, last, phantom))
        self.sources.append(row)
        self.uses[key] = asked.acts
        if asked.extra:
            self.extras.append(Extra(key, place, 0 if asked.loose else first, asked.extra, asked.value))
        where = f"{place[0]}.{place[1]}"
        run = f"[{first}]" if first == last else f"[{first}-{last}]"
        if asked.loose:
            self.plugs.append(_plug(key, where))
        elif first == last:
            self.plugs.append(_plug(key, where + run))
        else:
            self.plugs.extend(_plug(leg, f"{where}[{first + n}]") for n, leg in enumerate(row.leg_ids()))

    def _phantom(self, place: Place, first: int, last: int, asked: str) -> str:
        kind = self.rig.type_of(place[0])
        amp = kind.preamps.get(kind.banks[place[1]].preamp or "")
        if amp is None or not amp.phantom_by:
            return asked if asked == "never" else "no"
        groups = [(place, (number - 1) // amp.phantom_by) for number in range(first, last + 1)]
        other = {"need": "never", "never": "need"}.get(asked, "")
        if other and any(self.phantom.get(group) == other for group in groups):
            return "no"
        if other:
            self.phantom.update(dict.fromkeys(groups, asked))
        return asked

    def _want(self, item: Listening, key: str, place: Place, first: int, legs: int) -> bool:
        """Have a list ask for a source, and return whether it could be led there."""
        end = (item.device, item.bank)
        free = self.free[item.position]
        at = self.filled[item.position] + 1
        if legs > 1 and at % 2 == 0:
            at += 1
        if free and at + legs - 1 > self.leads.size(end):
            return False
        mark = self.leads.mark()
        landed = [self.leads.lead(place, first + step, end, at + step if free else 0) for step in range(legs)]
        if not all(landed) or (legs > 1 and landed[1] != landed[0] + 1):
            self.leads.back(mark)
            return False
        self.wants[item.position].append(_want(key))
        self.filled[item.position] = at + legs - 1
        return True

    # feeds

    def feed(self, asked: AskedFeed) -> None:
        """Mix one feed, and lead it to outputs."""
        if not self.desks:
            return
        desk = self.desks[asked.desk % len(self.desks)]
        bank = next((name for name, row in self.rig.type_of(desk.device).banks.items() if row.does == "sum"), "")
        if not bank:
            return
        mixes = (desk.device, bank)
        legs = ("L", "R") if asked.stereo else ()
        first = self.mixes.get(desk.device, 0) + 1
        if legs and first % 2 == 0:
            first += 1
        last = first + max(len(legs), 1) - 1
        outputs = [place for place in self.outputs if place[0] == desk.device]
        outputs += [place for place in self.outputs if place[0] != desk.device]
        if last > self.leads.size(mixes) or not outputs:
            return
        target = outputs[asked.place % len(outputs)]
        mark = self.leads.mark()
        landed = [self.leads.lead(mixes, number, target) for number in range(first, last + 1)]
        if not all(landed) or [number - landed[0] for number in landed] != list(range(len(landed))):
            self.leads.back(mark)
            return
        self.mixes[desk.device] = last
        key = f"m{len(self.feeds) + 1}"
        run = f"[{landed[0]}]" if len(landed) == 1 else f"[{landed[0]}-{landed[-1]}]"
        to = Destination(at=(f"{target[0]}.{target[1]}{run}",))
        self.feeds.append(Feed(id=key, legs=legs, mixed_at=desk.position, to=(to,)))
        self.uses[key] = asked.acts

    # the whole

    def show(self) -> Show:
        """Return the show."""
        lists = []
        positions = {}
        for row in self.lists:
            positions[row.position] = _position(row.position, row.device, row.kind)
            if self.wants[row.position]:
                at = f"{row.device}.{row.bank}"
                lists.append(List(id=row.position, position=row.position, at=at, wants=tuple(self.wants[row.position])))
        heard = {row.position for row in lists} | {row.mixed_at for row in self.feeds}
        show = Show(
            name="drawn",
            positions=Table({key: row for key, row in positions.items() if key in heard}),
            sources=tuple(self.sources),
            plug=tuple(self.plugs),
            lists=tuple(lists),
            feeds=tuple(self.feeds),
            periods=self._periods(),
        )
        return dress(self.rig, show, self.extras)

    def _periods(self) -> tuple[Period, ...]:
        if self.acts < 2:
            return ()
        every = (1 << self.acts) - 1
        return tuple(
            Period(
                id=f"act{number + 1}", uses=tuple(key for key, bits in self.uses.items() if (bits & every or every) >> number & 1)
            )
            for number in range(self.acts)
        )
