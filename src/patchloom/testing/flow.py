"""What every slot of a patched rig holds: a small walker with its own reading of select rows.

Comes in: a rig and a setting.  Goes out: the leg a slot holds and the hops it came by.  Next: `generate` asks a show
for what is delivered.

It shares nothing with `solve` or `check`; a choice that no select row allows is an AssertionError here, for it is a
mistake of whoever planted it.  Linear in the slots passed.
"""

from __future__ import annotations

from patchloom.address import Slot, parse
from patchloom.model.base import at_rate
from patchloom.model.patch import Selection, Setting
from patchloom.model.rig import Link, Rig, Select

__all__ = ["Flow"]


class Flow:
    """The walker of one setting."""

    def __init__(self, rig: Rig, setting: Setting) -> None:
        self.rig = rig
        self.enters = {place: leg for leg, place in (*setting.plugs.items(), *setting.mixes.items())}
        self.chosen: dict[Slot, Slot] = {}
        self._sizes: dict[tuple[str, str], int] = {}
        self.joined: dict[str, tuple[str, Link, int]] = {}
        for link in rig.links:
            for number, end in enumerate(link.join):
                self.joined[end] = (link.join[1 - number], link, number)
        for row in setting.selections:
            self._choose(row)

    def at(self, place: Slot) -> tuple[str, list[Slot]]:
        """Return the leg a slot holds (empty text for none) and every slot it passed, the first one first."""
        hops = [place]
        while hops[-1] not in self.enters:
            above = self._above(hops[-1])
            if above is None or above in hops:
                return "", hops[::-1]
            hops.append(above)
        return self.enters[hops[-1]], hops[::-1]

    def size(self, device: str, bank: str) -> int:
        """Return how many slots a bank or the side of a port has at its rate."""
        key = (device, bank)
        if key not in self._sizes:
            self._sizes[key] = self._size(device, bank)
        return self._sizes[key]

    def _size(self, device: str, bank: str) -> int:
        kind = self.rig.type_of(device)
        if bank in kind.banks:
            row = kind.banks[bank]
            return int(at_rate(row.slots, self.rig.domain_of(device, row.clock).hertz) or 0)  # type: ignore[arg-type]
        name, _, side = bank.partition(".")
        port = kind.ports[name]
        own = port.slots
        if hasattr(own, "get") and ("in" in own or "out" in own):
            own = own.get(side)
        carried = self._carried(device, name, side)
        mine = carried if own is None else int(at_rate(own, self.rig.domain_of(device, port.clock).hertz) or 0)  # type: ignore[arg-type]
        return min(mine, carried)

    def _carried(self, device: str, name: str, side: str) -> int:
        if f"{device}.{name}" not in self.joined:
            return 0
        _, link, number = self.joined[f"{device}.{name}"]
        port = self.rig.type_of(device).ports[name]
        each = self.rig.formats[link.format].each_way(self.rig.domain_of(device, port.clock).hertz) or (0, 0)
        return each[number if side == "out" else 1 - number]

    # upstream

    def _above(self, place: Slot) -> Slot | None:
        if place in self.chosen:
            return self.chosen[place]
        if place.bank.endswith(".in"):
            return self._across(place)
        for row in self.rig.type_of(place.device).select:
            if row.wired:
                into, start, length = _ends(row.into)
                bank, first, run = _ends(row.wired)
                step = place.number - start
                if into == place.bank and 0 <= step < min(length, run):
                    return Slot(place.device, bank, first + step)
        return None

    def _across(self, place: Slot) -> Slot | None:
        there = self.joined.get(f"{place.device}.{place.bank[:-3]}")
        if there is None or place.number > self.size(place.device, place.bank):
            return None
        span = parse(there[0])
        above = Slot(span.device, f"{span.bank}.out", place.number)
        return above if place.number <= self.size(above.device, above.bank) else None

    # choices

    def _choose(self, row: Selection) -> None:
        assert any(self._allows(select, row) for select in self.rig.type_of(row.into.device).select), (
            f"no select row allows {row}"
        )
        for place, above in zip(row.into.slots(), row.from_.slots(), strict=True):
            assert place not in self.chosen, f"{place} is chosen twice"
            self.chosen[place] = above

    def _allows(self, select: Select, row: Selection) -> bool:
        into, start, length = _ends(select.into)
        if into != row.into.bank or select.wired or row.into.device != row.from_.device:
            return False
        assert row.into.first
        assert row.into.last
        assert row.from_.first
        top = min(start + length - 1, self.size(row.into.device, into))
        if not start <= row.into.first <= row.into.last <= top:
            return False
        for text in select.from_:
            bank, first, run = _ends(text)
            step, other = row.into.first - start, row.from_.first - first
            end = min(first + run - 1, self.size(row.from_.device, bank)) if bank == row.from_.bank else 0
            last = row.from_.first + row.into.last - row.into.first
            if bank == row.from_.bank and first <= row.from_.first <= last <= end:
                if select.by == 1 or (step % select.by == other % select.by == 0 and row.into.last - row.into.first < select.by):
                    return True
        return False


def _ends(text: str) -> tuple[str, int, int]:
    """Return bank, first slot and length of a run; a bank without a run is as long as can be."""
    bank, _, run = text.partition("[")
    if not run:
        return bank, 1, 1_000_000
    low, _, high = run.rstrip("]").partition("-")
    return bank, int(low), int(high or low) - int(low) + 1
