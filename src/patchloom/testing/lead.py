"""Signals led through any rig one after another, so that a show can ask for what is known to arrive.

Comes in: a rig, and which leg goes from which slot to which bank.  Goes out: the slot it arrives at, and nothing where the
nearest way has no room.  Next: `asking` puts into a drawn show what was led.

The way is the shortest over whole banks, found once for each pair; along it every signal takes what is chosen already,
else the first run that is free.  So what is led is right, and not all that could be led is.  Select rows are read here
anew: nothing is shared with the solver, nor with the judge.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Any, NamedTuple

from patchloom.model.base import at_rate, rate_of
from patchloom.model.rig import Format, Link, Rig, Type

__all__ = ["Leads", "Place"]

_RUN = re.compile(r"([^\[]+)(?:\[(\d+)(?:-(\d+))?\])?\Z")

Place = tuple[str, str]
"""A device and a bank of it."""


class _Run(NamedTuple):
    """A run of a bank; `last` 0 is to its end."""

    bank: str
    first: int
    last: int


class _Row(NamedTuple):
    """One pair of runs of a select row: blocks of `by` of one may be taken from the other (0: always, slot by slot)."""

    into: _Run
    source: _Run
    by: int


class _Step(NamedTuple):
    """One step between banks: inside a device by a row, or along a link, which moves numbers by `shift` up to `most`."""

    to: Place
    row: _Row | None
    shift: int = 0
    low: int = 1
    most: int = 0


@cache
def _run(text: str) -> _Run:
    found = _RUN.match(text)
    if found is None:
        return _Run(text, 1, 0)
    return _Run(found[1], int(found[2] or 1), int(found[3] or found[2] or 0))


_seen: dict[int, tuple[Type, dict[str, list[_Row]]]] = {}
"""Rows of the types met last, by identity: to hash a type costs more than to read it."""


def _by_source(kind: Type) -> dict[str, list[_Row]]:
    """Return the rows of a type by the bank they take from."""
    found = _seen.get(id(kind))
    if found is None:
        if len(_seen) > 200:
            _seen.clear()
        rows: dict[str, list[_Row]] = {}
        for row in _read(kind):
            rows.setdefault(row.source.bank, []).append(row)
        found = _seen[id(kind)] = (kind, rows)
    return found[1]


def _read(kind: Type) -> Iterator[_Row]:
    for row in kind.select:
        if row.alternate:
            continue
        texts = (row.wired,) if row.wired else row.from_
        for text in texts:
            source = _run(text)
            bank = kind.banks.get(source.bank)
            if bank is not None and bank.does == "process":
                continue  # what a channel hands on is led by nobody here
            yield _Row(_run(row.into), source, 0 if row.wired else row.by)


class Leads:
    """What has been led through a rig so far."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self._taken: dict[tuple[str, str, int], tuple[str, int]] = {}
        """Slot to the bank and slot of its device it takes; a whole run at once."""
        self._steps: dict[Place, list[_Step]] = {}
        self._ways: dict[tuple[Place, Place], list[_Step]] = {}
        self._sizes: dict[Place, int] = {}
        for link in rig.links:
            self._join(link)
        self._links = self._steps
        self._steps = {}

    def size(self, place: Place) -> int:
        """Return how many slots a bank has at its rate, a port's side as many as its link carries; 0 for none."""
        if place not in self._sizes:
            bank = self.rig.type_of(place[0]).banks.get(place[1])
            if bank is not None and type(bank.slots) is int:
                self._sizes[place] = bank.slots
            elif bank is not None:
                self._sizes[place] = at_rate(bank.slots, self.rig.domain_of(place[0], bank.clock).hertz) or 0
            else:
                self._sizes[place] = 0
        return self._sizes[place]

    def free(self, place: Place) -> bool:
        """Return whether every slot of a bank can be chosen one by one."""
        rows = [row for some in _by_source(self.rig.type_of(place[0])).values() for row in some if row.into.bank == place[1]]
        return bool(rows) and all(row.by == 1 and row.into[1:] == (1, 0) for row in rows)

    def lead(self, start: Place, number: int, end: Place, at: int = 0) -> int:
        """Return the slot of `end` a signal on a slot of `start` was led to (on slot `at` when given); 0 where it was not."""
        if start == end:
            return number if at in (0, number) else 0
        chosen: list[tuple[tuple[str, str, int], tuple[str, int]]] = []
        here = start
        for step in self._way(start, end):
            number = self._go(here, number, step, at if step.to == end else 0, chosen)
            if not number:
                break
            here = step.to
        if here != end:
            for key, _ in chosen:
                del self._taken[key]
            return 0
        return number

    def mark(self) -> dict[tuple[str, str, int], tuple[str, int]]:
        """Return what is chosen so far, to come back to."""
        return dict(self._taken)

    def back(self, mark: dict[tuple[str, str, int], tuple[str, int]]) -> None:
        """Forget what was chosen since."""
        self._taken = mark

    # one step

    def _go(
        self, here: Place, number: int, step: _Step, at: int, chosen: list[tuple[tuple[str, str, int], tuple[str, int]]]
    ) -> int:
        if step.row is None:
            there = number + step.shift
            return there if step.low <= number <= step.most and (not at or at == there) else 0
        row = step.row
        last = row.source.last or self.size(here)
        if not row.source.first <= number <= last:
            return 0
        offset = number - row.source.first
        end = row.into.last or self.size(step.to)
        if row.by == 0:
            there = row.into.first + offset
            return there if there <= end and (not at or at == there) else 0
        block, inside = divmod(offset, row.by)
        first = row.source.first + block * row.by
        length = min(row.by, last - first + 1)
        for run in range(row.into.first, end + 1, row.by):
            there = run + inside
            if there > end or (at and at != there):
                continue
            taken = self._taken.get((*step.to, run))
            if taken == (here[1], first):
                return there
            if taken is not None or any((*step.to, run + more) in self._taken for more in range(min(row.by, end - run + 1))):
                continue
            for more in range(min(row.by, end - run + 1)):
                key = (*step.to, run + more)
                value = (here[1], first + more) if more < length else ("", 0)
                self._taken[key] = value
                chosen.append((key, value))
            return there
        return 0

    # ways over whole banks

    def _way(self, start: Place, end: Place) -> list[_Step]:
        key = (start, end)
        if key not in self._ways:
            before: dict[Place, tuple[Place, _Step] | None] = {start: None}
            todo = [start]
            for here in todo:
                if end in before:
                    break
                for step in self._from(here):
                    if step.to not in before:
                        before[step.to] = (here, step)
                        todo.append(step.to)
            found: list[_Step] = []
            at = before.get(end)
            while at is not None:
                found.append(at[1])
                at = before[at[0]]
            self._ways[key] = found[::-1]
        return self._ways[key]

    def _from(self, here: Place) -> list[_Step]:
        if here not in self._steps:
            device, bank = here
            rows = _by_source(self.rig.type_of(device)).get(bank, ())
            self._steps[here] = [*(_Step((device, row.into.bank), row) for row in rows), *self._links.get(here, ())]
        return self._steps[here]

    def _join(self, link: Link) -> None:
        for place, step in self._carried(link):
            self._steps.setdefault(place, []).append(step)

    def _carried(self, link: Link) -> Iterator[tuple[Place, _Step]]:
        """Yield the steps a link makes, and set the sizes of the ports it joins."""
        one, two = (_end(text) for text in link.join)
        spoken = self.rig.formats.get(link.format)
        if spoken is None:
            for here, there in ((one, two), (two, one)):
                if self._socket(here) == "out" and self._socket(there) == "in":
                    most = here[1].last or self.size((here[0], here[1].bank))
                    shift = there[1].first - here[1].first
                    yield (here[0], here[1].bank), _Step((there[0], there[1].bank), None, shift, here[1].first, most)
            return
        rate = self.rig.domain_of(one[0]).rate
        wide = _wide(spoken, rate)
        for here, there, most in ((one, two, wide[0]), (two, one, wide[1])):
            sending, taking = (here[0], f"{here[1].bank}.out"), (there[0], f"{there[1].bank}.in")
            most = min(most, self._side(here, "out", rate, most), self._side(there, "in", rate, most))
            self._sizes[sending] = self._sizes[taking] = most
            yield sending, _Step(taking, None, 0, 1, most)

    def _socket(self, end: tuple[str, _Run]) -> str | None:
        bank = self.rig.type_of(end[0]).banks.get(end[1].bank)
        return bank.socket if bank is not None else None

    def _side(self, end: tuple[str, _Run], way: str, rate: int | str, most: int) -> int:
        port = self.rig.type_of(end[0]).ports.get(end[1].bank)
        if port is None or port.ways not in ("both", way):
            return 0
        size: Any = port.slots
        if isinstance(size, dict) and way in size:
            size = size[way]
        if size is None or type(size) is int:
            return most if size is None else size
        return at_rate(size, rate_of(rate)) or 0


_known: dict[tuple[int, int | str], tuple[Format, tuple[int, int]]] = {}


def _wide(spoken: Format, rate: int | str) -> tuple[int, int]:
    """Return what a format carries each way at a rate; kept, for the same few formats are asked for again and again."""
    key = (id(spoken), rate)
    if key not in _known:
        if len(_known) > 200:
            _known.clear()
        _known[key] = (spoken, spoken.each_way(rate_of(rate)) or (0, 0))
    return _known[key][1]


def _end(text: str) -> tuple[str, _Run]:
    device, _, rest = text.partition(".")
    return device, _run(rest)
