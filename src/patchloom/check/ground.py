"""The rig as documented, for one period: sizes at its rates, select rows, links, clock sections.

Comes in: a rig.  Goes out: a `Ground`, which answers what a slot is and what feeds it without any choice.
Next: `feeders` adds the choices of a patch.

Select rows are read here anew; nothing is shared with the solver.  Everything is looked up when it is
asked for, so that a large rig costs only what the patch uses of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from patchloom.address import Slot, braces, parse
from patchloom.model.base import at_rate
from patchloom.model.rig import Bank, Format, Link, Port, Preamp, Rig, Select, Type

__all__ = ["Carry", "End", "Ground", "Row", "Run", "Way"]

_RUN = re.compile(r"([A-Za-z][\w-]*(?:\.(?:in|out))?)(?:\[(\d+)(?:-(\d+))?\])?\Z")


class Run(NamedTuple):
    """A run inside one device; `last` 0 means to the end of the bank."""

    bank: str
    first: int
    last: int


class Row(NamedTuple):
    """One select row, read."""

    number: int
    into: Run
    sources: tuple[Run, ...]
    by: int
    wired: bool
    select: Select


class End(NamedTuple):
    """One end of a link: a port, or a run of sockets (`last` 0: to the end of the bank)."""

    device: str
    name: str
    first: int
    last: int
    port: Port | None


class Carry(NamedTuple):
    """What a link carries one way: channels, and in words what sets that number."""

    most: int
    why: str
    rule: str


class Way(NamedTuple):
    """A run that is always fed by another run, by a wired row or a link."""

    first: int
    last: int
    device: str
    bank: str
    start: int
    row: Row | None
    link: Link | None


def _run(text: str) -> Run:
    found = _RUN.match(text)
    if found is None:
        return Run(text, 1, 0)
    first = int(found[2]) if found[2] else 1
    return Run(found[1], first, int(found[3] or found[2]) if found[2] else 0)


def _rows(kind: Type) -> tuple[Row, ...]:
    rows = []
    for number, select in enumerate(kind.select, 1):
        texts = (select.wired,) if select.wired else select.from_
        rows.append(Row(number, _run(select.into), tuple(_run(text) for text in texts), select.by, bool(select.wired), select))
    return tuple(rows)


class Ground:
    """The rig in one period, and what follows from it alone."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self._rows: dict[str, tuple[Row, ...]] = {}
        self._into: dict[tuple[str, str], tuple[Row, ...]] = {}
        self._from: dict[tuple[str, str], tuple[Row, ...]] = {}
        self._size: dict[tuple[str, str], int | None] = {}
        self._ways: dict[tuple[str, str], tuple[Way, ...]] = {}
        self._domain: dict[tuple[str, str], Any] = {}
        self._rate: dict[tuple[str, str], Fraction] = {}
        self._carry: dict[tuple[str, int], Carry] = {}
        self._hertz: dict[str, Fraction] = {}
        self._each: dict[tuple[str, int, int], tuple[int, int] | None] = {}
        self._kind: dict[tuple[str, str], Bank | None] = {}
        self._known: dict[tuple[str, str], bool] = {}
        self._preamp: dict[tuple[str, str], Preamp | None] = {}
        self.links: dict[str, Link] = {}
        self.ends: dict[str, tuple[End, End]] = {}
        self.joined: dict[tuple[str, str], list[tuple[Link, int]]] = {}
        """Links at each port or socket bank, with the number of the end that is there."""
        for link in rig.links:
            self.links[link.id] = link
            ends = self.ends[link.id] = tuple(self._end(text) for text in link.join)  # type: ignore[assignment]
            for number, end in enumerate(ends):
                self.joined.setdefault((end.device, end.name), []).append((link, number))

    def _end(self, text: str) -> End:
        span = parse(text)
        name = span.bank or ""
        device = self.rig.devices.get(span.device)
        port = self.rig.types[device.type].ports.get(name) if device else None
        return End(span.device, name, span.first or 1, span.last or 0, port)

    # what a place is

    def port(self, device: str, bank: str) -> tuple[Port, str] | None:
        """Return (port, `in` or `out`) where a bank is a port's side, else None."""
        name, dot, side = bank.partition(".")
        if not dot or side not in ("in", "out") or device not in self.rig.devices:
            return None
        port = self.rig.type_of(device).ports.get(name)
        return (port, side) if port else None

    def bank(self, device: str, bank: str) -> Bank | None:
        """Return a bank's description; None for a port's side and for what is not there."""
        key = (device, bank)
        if key not in self._kind:
            self._kind[key] = self.rig.type_of(device).banks.get(bank) if device in self.rig.devices else None
        return self._kind[key]

    def known(self, device: str, bank: str) -> bool:
        """Return whether the rig has this bank or port side."""
        key = (device, bank)
        if key not in self._known:
            self._known[key] = device in self.rig.devices and (
                self.bank(device, bank) is not None or self.port(device, bank) is not None
            )
        return self._known[key]

    def preamp(self, device: str, bank: str) -> Preamp | None:
        """Return the preamp behind a bank's sockets, None when it has none."""
        key = (device, bank)
        if key not in self._preamp:
            kind = self.bank(device, bank)
            self._preamp[key] = self.rig.type_of(device).preamps.get(kind.preamp) if kind is not None and kind.preamp else None
        return self._preamp[key]

    def domain(self, device: str, bank: str) -> Any:
        """Return the clock domain of a bank or port side."""
        key = (device, bank)
        if key not in self._domain:
            side = self.port(device, bank)
            kind = self.bank(device, bank)
            section = side[0].clock if side else kind.clock if kind else ""
            self._domain[key] = self.rig.domain_of(device, section)
        return self._domain[key]

    def rate(self, device: str, bank: str) -> Fraction:
        """Return the sample rate in Hz a bank or port side works at."""
        key = (device, bank)
        if key not in self._rate:
            domain = self.domain(device, bank)
            if domain.id not in self._hertz:
                self._hertz[domain.id] = domain.hertz
            self._rate[key] = self._hertz[domain.id]
        return self._rate[key]

    def size(self, device: str, bank: str) -> int | None:
        """Return how many slots a bank or port side has at its rate; None where the rate is not supported."""
        key = (device, bank)
        if key not in self._size:
            kind = self.bank(device, bank)
            if kind is not None:
                self._size[key] = at_rate(kind.slots, self.rate(device, bank))  # type: ignore[arg-type]
            else:
                self._size[key] = self._port_size(device, bank)
        return self._size[key]

    def _port_size(self, device: str, bank: str) -> int | None:
        found = self.port(device, bank)
        if found is None:
            return None
        port, side = found
        rate = self.rate(device, bank)
        own = port.slots
        if isinstance(own, Mapping) and ("in" in own or "out" in own):
            own = own.get(side)
        if own is not None:
            return at_rate(own, rate)  # type: ignore[no-any-return,arg-type]
        carry = self.carry_at(device, bank)
        if carry is not None:
            return carry.most
        sizes = [self._each_way(self.rig.formats[name], rate) for name in port.speaks if name in self.rig.formats]
        return max((max(size) for size in sizes if size), default=0)

    # links

    def carry_at(self, device: str, bank: str) -> Carry | None:
        """Return what the link at a port side carries that way; None where nothing is joined there."""
        name, _, side = bank.partition(".")
        joined = self.joined.get((device, name))
        if not joined:
            return None
        link, number = joined[0]
        return self.carry(link, number if side == "out" else 1 - number)

    def carry(self, link: Link, sender: int) -> Carry:
        """Return what a link between two ports carries from its end `sender` (0 or 1) to the other."""
        key = (link.id, sender)
        if key not in self._carry:
            self._carry[key] = self._carry_of(link, sender)
        return self._carry[key]

    def _carry_of(self, link: Link, sender: int) -> Carry:
        ends = self.ends[link.id]
        here, there = ends[sender], ends[1 - sender]
        spoken = self.rig.formats.get(link.format)
        if spoken is None or here.port is None or there.port is None:
            return Carry(0, f"{link.id} joins no two ports in a format of the rig", "no-such-place")
        if link.format not in here.port.speaks or link.format not in there.port.speaks:
            return Carry(0, f"not both ends of {link.id} speak {link.format}", "link-direction")
        rate = self.rate(here.device, f"{here.name}.out")
        each = self._each_way(spoken, rate)
        if each is None:
            return Carry(0, f"{link.format} does not work at {rate} Hz", "rate-unsupported")
        most = each[sender if first_end(ends) == 0 else 1 - sender]
        shut = _shut(link, here, there, spoken, "audio")
        if shut or not most:
            return Carry(0, shut or f"{link.format} carries nothing this way", "link-direction")
        why = f"{link.format} carries {most} this way at {rate} Hz"
        for end, side in ((here, "out"), (there, "in")):
            own = _declared(end.port, side, self.rate(end.device, f"{end.name}.{side}"))
            if own is not None and own < most:
                most, why = own, f"{end.device}.{end.name} has {own} {side} at {rate} Hz"
        return Carry(most, why, "link-capacity" if most else "link-direction")

    def _each_way(self, spoken: Format, rate: Fraction) -> tuple[int, int] | None:
        key = (spoken.id, rate.numerator, rate.denominator)
        if key not in self._each:
            self._each[key] = spoken.each_way(rate)
        return self._each[key]

    def shut(self, link: Link, sender: int, what: str) -> str:
        """Return in words why `what` does not pass a link from its end `sender`; empty where it passes."""
        ends = self.ends[link.id]
        here, there = ends[sender], ends[1 - sender]
        spoken = self.rig.formats.get(link.format)
        if spoken is None or here.port is None or there.port is None:
            return f"{link.id} joins no two ports in a format of the rig"
        if spoken.one_way and sender != first_end(ends):
            return f"{link.format} runs one way, from {there.device}.{there.name}"
        return _shut(link, here, there, spoken, what)

    # what feeds a slot without any choice

    def ways(self, device: str, bank: str) -> tuple[Way, ...]:
        """Return the runs of a bank that are always fed, by wired rows and links, in slot order; none of what is not there."""
        key = (device, bank)
        known = self._ways.get(key)
        if known is None and not self.known(device, bank):
            known = self._ways[key] = ()
        elif known is None:
            found = [*self._wired(device, bank), *self._linked(device, bank)]
            known = self._ways[key] = tuple(sorted(found, key=lambda way: (way.first, way.last)))
        return known

    def _wired(self, device: str, bank: str) -> list[Way]:
        found = []
        for row in self.rows_into(device, bank):
            if row.wired:
                first, last = self.bounds(device, row.into)
                start, end = self.bounds(device, row.sources[0])
                last = min(last, first + end - start)
                if last >= first:
                    found.append(Way(first, last, device, row.sources[0].bank, start, row, None))
        return found

    def _linked(self, device: str, bank: str) -> list[Way]:
        found = []
        name, _, side = bank.partition(".")
        if side == "in":
            for link, number in self.joined.get((device, name), ()):
                other = self.ends[link.id][1 - number]
                most = self.carry(link, 1 - number).most
                if most and other.device in self.rig.devices:
                    found.append(Way(1, most, other.device, f"{other.name}.out", 1, None, link))
        elif not side:
            for link, number in self.joined.get((device, bank), ()):
                here, other = self.ends[link.id][number], self.ends[link.id][1 - number]
                if self.sends(link) == 1 - number and other.device in self.rig.devices:
                    length = min(self._reach(here), self._reach(other))
                    found.append(Way(here.first, here.first + length - 1, other.device, other.name, other.first, None, link))
        return found

    def _reach(self, end: End) -> int:
        return (end.last or self.size(end.device, end.name) or 0) - end.first + 1

    def sends(self, link: Link) -> int:
        """Return the end (0 or 1) of a link between socket runs that sends: the one with output sockets."""
        first = self.ends[link.id][0]
        kind = self.bank(first.device, first.name)
        return 0 if kind is not None and kind.socket == "out" else 1

    # select rows

    def rows_into(self, device: str, bank: str) -> tuple[Row, ...]:
        """Return the select rows that feed a bank."""
        kind = self.rig.devices[device].type
        key = (kind, bank)
        if key not in self._into:
            self._into[key] = tuple(row for row in self._all(kind) if row.into.bank == bank)
        return self._into[key]

    def rows_from(self, device: str, bank: str) -> tuple[Row, ...]:
        """Return the select rows that can take from a bank."""
        kind = self.rig.devices[device].type
        key = (kind, bank)
        if key not in self._from:
            self._from[key] = tuple(row for row in self._all(kind) if any(run.bank == bank for run in row.sources))
        return self._from[key]

    def _all(self, kind: str) -> tuple[Row, ...]:
        if kind not in self._rows:
            self._rows[kind] = _rows(self.rig.types[kind])
        return self._rows[kind]

    def bounds(self, device: str, run: Run) -> tuple[int, int]:
        """Return first and last slot of a run, cut to what the bank has."""
        size = self.size(device, run.bank) or 0
        return run.first, min(run.last or size, size)

    def say(self, place: Slot) -> str:
        """Return an address in words, its printed mark beside it where that is not its number."""
        kind = self.bank(place.device, place.bank)
        if kind is None or not kind.mark:
            return str(place)
        marks = [mark for text in kind.mark for mark in braces(text)]
        if place.number > len(marks) or marks[place.number - 1] == str(place.number):
            return str(place)
        return f"{place} (printed {marks[place.number - 1]})"


def first_end(ends: tuple[End, End]) -> int:
    """Return which end of a link is the first end of its format: what a port says, else the order joined."""
    a, b = ends[0].port, ends[1].port
    if a is not None and a.end:
        return 0 if a.end == "first" else 1
    if b is not None and b.end:
        return 1 if b.end == "first" else 0
    return 0


def _shut(link: Link, here: End, there: End, spoken: Format, what: str) -> str:
    if what != "audio" and what not in spoken.pass_:
        return f"{link.format} carries no {what}"
    if link.pass_ is not None and what not in link.pass_:
        return f"link {link.id} is set to pass no {what}"
    for end, side in ((here, "out"), (there, "in")):
        assert end.port is not None
        if not end.port.passes(side, what, spoken):
            return f"{end.device}.{end.name} passes no {what} {side}"
    return ""


def _declared(port: Port | None, side: str, rate: Fraction) -> int | None:
    size = port.slots if port is not None else None
    if isinstance(size, Mapping) and ("in" in size or "out" in size):
        size = size.get(side)
    if size is None:
        return None
    return at_rate(size, rate) or 0  # type: ignore[arg-type]
