"""Every slot of a small rig, what always feeds it and what may: the ground of the exhaustive search.

Comes in: a rig.  Goes out: its `Slots`, one number a slot, with wires, choices, entries.  Next: `exact.py`.

The rig is read here by code of its own, slot by slot and in the plainest way there is; nothing is shared with the
search that works on runs, so that the two can be held against each other.  For rigs of a few dozen slots.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any, NamedTuple

from patchloom.address import Slot, Span, parse
from patchloom.model.base import at_rate
from patchloom.model.rig import Bank, Link, Port, Rig, Select

__all__ = ["Choice", "Slots"]

_LOCAL = re.compile(r"([^\[]+)(?:\[(\d+)(?:-(\d+))?\])?$")


class Choice(NamedTuple):
    """One setting of one select row: a run of slots takes a run, at one tap."""

    covers: tuple[int, ...]
    """Slots that can have no other feeder then, those that get nothing included."""
    takes: dict[int, int]
    """Slot to the slot it takes."""
    tap: str
    after: tuple[str, ...]
    """What a copy has come after there."""


class Slots:
    """The slots of a rig by number.

    The alternate input of slot `n` is number `n + count`.
    """

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.names: list[Slot] = []
        self.number: dict[Slot, int] = {}
        self.size: dict[tuple[str, str], int] = {}
        self.bank: dict[tuple[str, str], Bank | None] = {}
        self.wire: dict[int, tuple[int, tuple[str, ...] | None]] = {}
        """Slot to what always feeds it and what comes between; None where nothing is handed on."""
        self.copper: dict[int, list[tuple[int, str]]] = {}
        """Slot to where its copper leads, and whether direct current passes."""
        self.choices: dict[int, list[Choice]] = {}
        self.singly: set[int] = set()
        """Slots with a row that chooses for each slot alone."""
        self.pools: list[tuple[tuple[Span, ...], int, str, int]] = []
        self._list()
        self.count = len(self.names)
        for link in rig.links:
            self._join(link)
        for device in rig.devices:
            for row in rig.type_of(device).select:
                self._row(device, row)
            self._pools_of(device)

    # sizes

    def _list(self) -> None:
        for device in self.rig.devices:
            kind = self.rig.type_of(device)
            for name, bank in kind.banks.items():
                self._add(device, name, bank, at_rate(bank.slots, self._rate(device, bank.clock)) or 0)
            for name in kind.ports:
                for side in ("in", "out"):
                    self._add(device, f"{name}.{side}", None, self._port_size(device, name, side))

    def _add(self, device: str, name: str, bank: Bank | None, size: int) -> None:
        self.size[device, name] = size
        self.bank[device, name] = bank
        for number in range(1, size + 1):
            place = Slot(device, name, number)
            self.number[place] = len(self.names)
            self.names.append(place)

    def _rate(self, device: str, section: str) -> Fraction:
        return self.rig.domain_of(device, section).hertz

    def _own(self, device: str, name: str, side: str) -> int | None:
        """Return what a port itself says of its size; None where it leaves that to the format."""
        port = self._port(device, name)
        size: Any = port.slots
        if isinstance(size, dict) and ("in" in size or "out" in size):
            size = size.get(side)
        return None if size is None else at_rate(size, self._rate(device, port.clock)) or 0

    def _port(self, device: str, name: str) -> Port:
        port: Port = self.rig.type_of(device).ports[name]
        return port

    def _port_size(self, device: str, name: str, side: str) -> int:
        link = self.rig.link_at(device, name)
        if link is None:
            return 0  # nothing comes or goes there
        own = self._own(device, name, side)
        return self.carried(device, name, side) if own is None else own

    def carried(self, device: str, name: str, side: str) -> int:
        """Return how many channels the link at a port carries out of it or into it."""
        link = self.rig.link_at(device, name)
        if link is None:
            return 0
        ends = [parse(text) for text in link.join]
        here = 0 if (ends[0].device, ends[0].bank) == (device, name) else 1
        return self._carries(link, here if side == "out" else 1 - here)

    def _carries(self, link: Link, sender: int) -> int:
        ends = [parse(text) for text in link.join]
        spoken = self.rig.formats.get(link.format)
        if spoken is None or (link.pass_ is not None and "audio" not in link.pass_):
            return 0
        (d1, p1), (d2, p2) = [(ends[n].device, ends[n].bank or "") for n in (sender, 1 - sender)]
        out, into = self._port(d1, p1), self._port(d2, p2)
        if link.format not in out.speaks or link.format not in into.speaks:
            return 0
        if not out.passes("out", "audio", spoken) or not into.passes("in", "audio", spoken):
            return 0
        if spoken.digital and self.rig.domain_of(d1, out.clock) is not self.rig.domain_of(d2, into.clock):
            return 0
        each = spoken.each_way(self._rate(d1, out.clock))
        if each is None:
            return 0
        first = sender == (
            0 if not (out.end or into.end) else sender if out.end == "first" or into.end == "second" else 1 - sender
        )
        most = each[0] if first else each[1]
        return min([most, *(own for own in (self._own(d1, p1, "out"), self._own(d2, p2, "in")) if own is not None)])

    # what always feeds a slot

    def _join(self, link: Link) -> None:
        ends = [parse(text) for text in link.join]
        if not all(end.device in self.rig.devices for end in ends):
            return
        if link.format and (ends[0].device, ends[0].bank) not in self.bank:
            for sender in (0, 1):
                here, there = ends[sender], ends[1 - sender]
                for number in range(1, self._carries(link, sender) + 1):
                    self._wire(Slot(here.device, f"{here.bank}.out", number), Slot(there.device, f"{there.bank}.in", number))
            return
        kind = self.bank[ends[0].device, ends[0].bank or ""]
        sender = 0 if kind is not None and kind.socket == "out" else 1
        sent, taken = self._run(ends[sender]), self._run(ends[1 - sender])
        words = [cable.dc or "unknown" for cable in link.cables]
        dc = "yes" if "yes" in words else "no" if words and set(words) == {"no"} else "unknown"
        for one, other in zip(sent, taken, strict=False):
            self._wire(one, other)
            self.copper.setdefault(self.number[one], []).append((self.number[other], dc))

    def _wire(self, here: Slot, there: Slot, after: tuple[str, ...] | None = ()) -> None:
        if here in self.number and there in self.number:
            self.wire[self.number[there]] = (self.number[here], after)

    def _run(self, span: Span) -> list[Slot]:
        """Return the slots of an address, cut to what is there; of a whole device, none."""
        if span.bank is None:
            return []
        size = self.size.get((span.device, span.bank), 0)
        return [Slot(span.device, span.bank, n) for n in range(span.first or 1, min(span.last or size, size) + 1)]

    # select rows

    def _local(self, device: str, text: str) -> list[Slot]:
        found = _LOCAL.match(text)
        assert found is not None
        first = int(found[2]) if found[2] else None
        return self._run(Span(device, found[1], first, int(found[3] or found[2]) if found[2] else None))

    def _row(self, device: str, row: Select) -> None:
        into = self._local(device, row.into)
        for text in (row.wired,) if row.wired else row.from_:
            source = self._local(device, text)
            if not into or not source or not self._clocks_agree(row, into[0], source[0]):
                continue
            taps = self._taps(row, source[0])
            if row.wired:
                self._wired(row, into, source, taps)
            else:
                self._choosable(row, into, source, taps)

    def _clocks_agree(self, row: Select, one: Slot, other: Slot) -> bool:
        return row.converts or self._domain(one) is self._domain(other)

    def _domain(self, place: Slot) -> Any:
        bank = self.bank[place.device, place.bank]
        clock = bank.clock if bank is not None else self._port(place.device, place.bank.partition(".")[0]).clock
        return self.rig.domain_of(place.device, clock)

    def _taps(self, row: Select, source: Slot) -> list[tuple[str, tuple[str, ...]]]:
        """Return the taps a row can take a bank at, with what each comes after; none where nothing is handed on."""
        bank = self.bank[source.device, source.bank]
        if bank is None or bank.does == "carry":
            return [("", ())]
        taps = [(name, tuple(words)) for name, words in bank.taps.items() if not row.taps or name in row.taps]
        return taps if taps or bank.does == "process" else [("", ())]

    def _wired(self, row: Select, into: list[Slot], source: list[Slot], taps: list[tuple[str, tuple[str, ...]]]) -> None:
        afters = sorted((after for _, after in taps), key=len)
        bank = self.bank[source[0].device, source[0].bank]
        mixed = bank is not None and bank.does == "sum"
        after = None if not afters else afters[0] if mixed else afters[-1]
        analogue = not self.rig.type_of(into[0].device).digital
        for one, other in zip(source, into, strict=False):
            self._wire(one, other, after)
            if analogue:
                self.copper.setdefault(self.number[one], []).append((self.number[other], row.dc or "unknown"))

    def _choosable(self, row: Select, into: list[Slot], source: list[Slot], taps: list[tuple[str, tuple[str, ...]]]) -> None:
        turned = self.count if row.alternate else 0
        if row.by == 1 and not row.alternate:
            self.singly.update(self.number[place] for place in into)
        for at in range(0, len(into), row.by):
            run = into[at : at + row.by]
            covers = tuple(self.number[place] + turned for place in run)
            if not self._within(run[0]):
                continue
            for start in range(0, len(source), row.by):
                taken = source[start : start + row.by]
                if not self._within(taken[0]):
                    continue
                takes = {cover: self.number[place] for cover, place in zip(covers, taken, strict=False)}
                for tap, after in taps:
                    choice = Choice(covers, takes, tap, after)
                    for cover in takes:
                        self.choices.setdefault(cover, []).append(choice)

    def _within(self, place: Slot) -> bool:
        """Return whether a slot is one its link carries; slots of banks are all there."""
        port, dot, side = place.bank.partition(".")
        return not dot or place.number <= self.carried(place.device, port, side)

    def _pools_of(self, device: str) -> None:
        for limit in self.rig.type_of(device).limits:
            spans = tuple(parse(f"{device}.{text}") for text in limit.of)
            bank = self.bank[device, spans[0].bank or ""]
            most = at_rate(limit.most, self._rate(device, bank.clock if bank is not None else ""))
            if most is not None:
                self.pools.append((spans, most, limit.count, limit.by))

    # asking

    def chosen_singly(self, number: int) -> bool:
        """Return whether somebody can choose what a slot takes, there or where it is wired on from."""
        seen: set[int] = set()
        while number in self.wire and number not in seen:
            seen.add(number)
            number = self.wire[number][0]
        return number in self.singly

    def named(self, texts: tuple[str, ...], socket: str) -> list[int]:
        """Return the slots addresses name, in order; a device alone names its general sockets of that kind."""
        found: dict[int, None] = {}
        for text in texts:
            span = parse(text)
            if span.device not in self.rig.devices:
                continue
            banks = self.rig.type_of(span.device).banks
            names = [span.bank] if span.bank else [n for n, b in banks.items() if b.socket == socket and not b.only_for]
            for name in names:
                found.update(dict.fromkeys(self.number[place] for place in self._run(span._replace(bank=name))))
        return list(found)
