"""Addresses of slots and runs of slots, and the braces that make many names from one.

Comes in: text such as `BOX.mic[1-8]`, `BOX.p1.out[3]`, `BOX`, `vox{1-8}`.
Goes out: `Span` and `Slot` tuples, lists of names.  Everyone imports this module.

An address may stop early: the shorter, the freer.  Slots count from 1.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from patchloom.errors import AddressError

__all__ = ["ID", "Slot", "Span", "braces", "parse", "slot", "spans"]

ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
"""An id: a letter, then letters, digits, `_` and `-`."""

_ADDRESS = re.compile(
    r"(?P<device>[A-Za-z][A-Za-z0-9_-]*)"
    r"(?:\.(?P<bank>[A-Za-z][A-Za-z0-9_-]*(?:\.[A-Za-z][A-Za-z0-9_-]*)?))?"
    r"(?:\[(?P<first>[0-9]{1,6})(?:-(?P<last>[0-9]{1,6}))?\])?\Z"
)
_BRACE = re.compile(r"\{([^{}]*)\}")
_MOST = 100_000


class Slot(NamedTuple):
    """One numbered place: device, bank (`mic`, or `port.in` / `port.out`), number from 1."""

    device: str
    bank: str
    number: int

    def __str__(self) -> str:
        return f"{self.device}.{self.bank}[{self.number}]"


class Span(NamedTuple):
    """A device, a bank of it, or a run of slots of that bank; None where the address stops early."""

    device: str
    bank: str | None = None
    first: int | None = None
    last: int | None = None

    def __str__(self) -> str:
        if self.bank is None:
            return self.device
        if self.first is None:
            return f"{self.device}.{self.bank}"
        if self.first == self.last:
            return f"{self.device}.{self.bank}[{self.first}]"
        return f"{self.device}.{self.bank}[{self.first}-{self.last}]"

    def slots(self) -> Iterator[Slot]:
        """Yield the slots of a span that names its run; raise AddressError for one that does not."""
        if self.bank is None or self.first is None or self.last is None:
            raise AddressError(f"{self} names no run of slots; write {self.device}.bank[first-last]")
        for number in range(self.first, self.last + 1):
            yield Slot(self.device, self.bank, number)

    def holds(self, place: Slot) -> bool:
        """Return whether the slot lies inside this span."""
        return (
            place.device == self.device
            and (self.bank is None or place.bank == self.bank)
            and (self.first is None or self.first <= place.number <= (self.last or self.first))
        )


def parse(text: str) -> Span:
    """Return the Span a text names.

    Raises AddressError when the text is no address or its run is backward or starts below 1.
    """
    found = _ADDRESS.match(text) if isinstance(text, str) else None
    if found is None:
        raise AddressError(f"{text!r} is no address; write device, device.bank or device.bank[first-last]")
    device, bank, first, last = found.group("device", "bank", "first", "last")
    if first is None:
        return Span(device, bank)
    if bank is None:
        raise AddressError(f"{text!r} numbers a slot but names no bank; write {device}.bank[{first}]")
    low, high = int(first), int(last or first)
    if low < 1:
        raise AddressError(f"{text!r} counts from {low}; slots count from 1")
    if high < low:
        raise AddressError(f"{text!r} runs backward; write [{high}-{low}]")
    return Span(device, bank, low, high)


def slot(text: str) -> Slot:
    """Return the one Slot a text names; raise AddressError when it names more or less than one."""
    span = parse(text)
    if span.first is None or span.first != span.last or span.bank is None:
        raise AddressError(f"{text!r} does not name one slot; write device.bank[number]")
    return Slot(span.device, span.bank, span.first)


def spans(places: list[Slot]) -> list[Span]:
    """Return the runs of consecutive slots, in the order given."""
    runs: list[Span] = []
    for place in places:
        if runs:
            run = runs[-1]
            if run.device == place.device and run.bank == place.bank and run.last == place.number - 1:
                runs[-1] = run._replace(last=place.number)
                continue
        runs.append(Span(place.device, place.bank, place.number, place.number))
    return runs


def braces(text: str) -> list[str]:
    """Return the names a text with at most one brace stands for: `vox{1-3}` or `FX{a,c}`.

    `{01-12}` keeps its leading zeros.  Raises AddressError on nested, empty, backward or second braces.
    """
    found = _BRACE.findall(text)
    if not found and "{" not in text and "}" not in text:
        return [text]
    if len(found) != 1 or text.count("{") != 1 or text.count("}") != 1:
        raise AddressError(f"{text!r}: one brace a string, such as vox{{1-8}}")
    names = []
    for part in found[0].split(","):
        ends = re.fullmatch(r"\s*([0-9]{1,6})-([0-9]{1,6})\s*", part)
        if ends is None:
            if not part.strip():
                raise AddressError(f"{text!r}: an empty item inside the brace")
            names.append(part.strip())
            continue
        low, high = int(ends[1]), int(ends[2])
        if high < low:
            raise AddressError(f"{text!r}: the range {low}-{high} runs backward")
        if high - low >= _MOST:
            raise AddressError(f"{text!r}: more than {_MOST} names")
        width = len(ends[1]) if ends[1].startswith("0") else 0
        names.extend(str(number).zfill(width) for number in range(low, high + 1))
    head, _, rest = text.partition("{")
    return [f"{head}{name}{rest.partition('}')[2]}" for name in names]
