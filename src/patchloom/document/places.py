"""What an address names on a rig: which bank, how many slots at the rate, fed from where.

Comes in: an expanded rig.  Goes out: `Places`, asked by `rig_refs.py` and `cross_refs.py`.

Small on purpose: it knows what there is, not what can be routed.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any, NamedTuple

from patchloom.address import Span

__all__ = ["Place", "Places", "as_rate", "at_rate", "each_way"]


class Place(NamedTuple):
    """A bank, or one side of a port, of one device."""

    device: str
    bank: str
    kind: str
    """in-socket, out-socket, carry, process, sum, port-in or port-out."""
    size: int | None
    """Slots at the rate; None when it is not known."""
    supported: bool
    """Whether it exists at the rate at all."""
    row: dict[str, Any]


def as_rate(value: Any) -> Fraction | None:
    """Return a sample rate as an exact fraction; None when the value is none."""
    try:
        rate = Fraction(value) if isinstance(value, (int, str)) and not isinstance(value, bool) else None
    except (ValueError, ZeroDivisionError):
        return None
    return rate if rate is not None and rate > 0 else None


def at_rate(size: Any, rate: Fraction | None) -> Any:
    """Return a size at a rate: the number itself, or the row of the nominal rate (0.2 % pull allowed); else None."""
    if not isinstance(size, Mapping):
        return size
    best = None
    for key in sorted((key for key in size if key.isdigit()), key=int):
        if rate is not None and abs(rate - int(key)) * 500 <= int(key):
            best = size[key]
    return best


def each_way(form: dict[str, Any], rate: Fraction | None) -> tuple[int, int] | None:
    """Return channels of a format (first end to second, back) at a rate; None where it is not supported."""
    size = at_rate(form.get("channels", {}), rate)
    if size is None:
        return None
    pair = size if isinstance(size, list) else [size, size]
    if len(pair) != 2 or not all(isinstance(number, int) for number in pair):
        return None
    return pair[0], 0 if form.get("one_way") else pair[1]


class Places:
    """The places of one rig."""

    def __init__(self, rig: dict[str, Any]) -> None:
        self.rig = rig
        self.devices: dict[str, Any] = rig.get("devices", {})
        self.types: dict[str, Any] = rig.get("types", {})
        self.formats: dict[str, Any] = rig.get("formats", {})
        self.links: dict[str, dict[str, Any]] = {}
        self._joined: dict[str, tuple[dict[str, Any], int]] = {}
        for link in rig.get("links", []):
            self.links.setdefault(link.get("id", ""), link)
            for number, end in enumerate(link.get("join", [])):
                self._joined.setdefault(end, (link, number))
        self._found: dict[tuple[str, str], Place | None] = {}

    def type_of(self, device: str) -> dict[str, Any] | None:
        """Return the type of a device, or None."""
        found = self.types.get(self.devices.get(device, {}).get("type"))
        return found if isinstance(found, dict) else None

    def rate(self, device: str, section: str = "") -> Fraction | None:
        """Return the sample rate of a clock section of a device."""
        row = self.devices.get(device, {})
        domains = self.rig.get("domains", {})
        sections = (self.type_of(device) or {}).get("clocks") or ["main"]
        key = row.get("clocks", {}).get(section or sections[0]) or row.get("domain") or self.default_domain()
        return as_rate(domains.get(key or "", {}).get("rate"))

    def default_domain(self) -> str | None:
        """Return the domain of a device that names none: the only one, or the one named main."""
        domains = self.rig.get("domains", {})
        return next(iter(domains)) if len(domains) == 1 else "main" if "main" in domains else None

    def banks(self, device: str) -> list[str]:
        """Return the names an address on a device can go on with, port sides included."""
        kind = self.type_of(device) or {}
        names = list(kind.get("banks", {}))
        for port, row in kind.get("ports", {}).items():
            names.extend(f"{port}.{side}" for side in ("in", "out") if row.get("ways", "both") in ("both", side))
        return names

    def find(self, device: str, bank: str) -> Place | None:
        """Return the place a device and a bank name, or None."""
        key = (device, bank)
        if key not in self._found:
            self._found[key] = self._bank(device, bank) or self._side(device, bank)
        return self._found[key]

    def _bank(self, device: str, bank: str) -> Place | None:
        row = (self.type_of(device) or {}).get("banks", {}).get(bank)
        if row is None:
            return None
        size = at_rate(row.get("slots"), self.rate(device, row.get("clock", "")))
        kind = f"{row['socket']}-socket" if row.get("socket") else row.get("does", "carry")
        return Place(device, bank, kind, size, size is not None, row)

    def _side(self, device: str, bank: str) -> Place | None:
        port, _, side = bank.partition(".")
        row = (self.type_of(device) or {}).get("ports", {}).get(port)
        if row is None or side not in ("in", "out") or row.get("ways", "both") not in ("both", side):
            return None
        rate = self.rate(device, row.get("clock", ""))
        own = row.get("slots")
        if isinstance(own, dict) and ("in" in own or "out" in own):
            own = own.get(side)
        size = at_rate(own, rate)
        carried = self.carried(device, port, side, rate)
        known = [number for number in (size, carried) if isinstance(number, int)]
        return Place(device, bank, f"port-{side}", min(known) if known else None, own is None or size is not None, row)

    def carried(self, device: str, port: str, side: str, rate: Fraction | None) -> int | None:
        """Return the channels the joined link's format carries out of or into a port; None when not known."""
        link, end = self._joined.get(f"{device}.{port}", (None, 0))
        form = self.formats.get(link.get("format", "")) if link else None
        ways = each_way(form, rate) if form else None
        if ways is None:
            return None
        first = self.end(device, port, end) == "first"
        return ways[0 if first == (side == "out") else 1]

    def end(self, device: str, port: str, number: int) -> str:
        """Return which end of its format a port stands at: what it says, else its place in the link's join."""
        row = (self.type_of(device) or {}).get("ports", {}).get(port, {})
        return str(row.get("end") or ("first" if number == 0 else "second"))

    def inputs(self, device: str) -> list[str]:
        """Return the general `in` socket banks of a device: those kept for one purpose are left out."""
        banks = (self.type_of(device) or {}).get("banks", {})
        return [name for name, row in banks.items() if row.get("socket") == "in" and not row.get("only_for")]

    def arrives(self, place: Place) -> bool:
        """Return whether signal of the rig arrives at sockets: a link comes in there, or something ends there."""
        if place.kind != "in-socket":
            return False
        ends = f"{place.device}.{place.bank}"
        return bool(place.row.get("ends")) or any(end == ends or end.startswith(f"{ends}[") for end in self._joined)

    def over(self, span: Span) -> int | None:
        """Return the size of the place a span runs out of, or None when it fits or is not known."""
        place = self.find(span.device, span.bank) if span.bank else None
        if place is None or place.size is None or span.last is None:
            return None
        return place.size if span.last > place.size else None
