"""Where an unbroken direct-current path leads from a socket: through splits, multicores and cables.

Comes in: a rig and a socket.  Goes out: amplified sockets, nearest first.  Next: `attempt.py` and `gain.py` ask which
socket can power a microphone.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.address import Slot, parse
from patchloom.model.rig import Rig
from patchloom.solve.fabric import split_local

__all__ = ["Copper"]


class _Lead(NamedTuple):
    """A run of slots that copper joins, slot by slot, to a run that starts at `start`."""

    first: int
    last: int | None
    device: str
    bank: str
    start: int


class Copper:
    """The copper of one rig, read once: which sockets have an amplifier, and where direct current gets to."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.banks = frozenset(
            (device, name) for device in rig.devices for name, bank in rig.type_of(device).banks.items() if bank.preamp
        )
        """Device and bank of every amplified socket."""
        self._leads: dict[tuple[str, str], list[_Lead]] = {}
        for device in rig.devices:
            for row in rig.type_of(device).select:
                if row.wired and row.dc == "yes":
                    bank, first, last = split_local(row.wired)
                    into, start, _ = split_local(row.into)
                    self._leads.setdefault((device, bank), []).append(_Lead(first or 1, last, device, into, start or 1))
        for link in rig.links:
            spoken = rig.formats.get(link.format)
            if (spoken is not None and spoken.digital) or any(cable.dc == "no" for cable in link.cables):
                continue
            a, b = (parse(end) for end in link.join)
            for here, there in ((a, b), (b, a)):
                bank = here.bank or ""
                if bank in rig.type_of(here.device).banks and rig.type_of(here.device).banks[bank].socket == "out":
                    lead = _Lead(here.first or 1, here.last, there.device, there.bank or "", there.first or 1)
                    self._leads.setdefault((here.device, bank), []).append(lead)

    def amplified(self, place: Slot) -> bool:
        """Return whether a socket has a microphone amplifier behind it."""
        return place[:2] in self.banks

    def gives_phantom(self, place: Slot) -> bool:
        """Return whether phantom can reach a source plugged into a socket: from the socket itself or down its copper."""
        kind = self.rig.type_of(place.device)
        bank = kind.banks.get(place.bank)
        if bank is None:
            return False
        if bank.preamp:
            return kind.preamps[bank.preamp].phantom_by is not None
        return bank.phantom_supply or any(self.gives_phantom(ahead) for ahead in self.ahead(place))

    def ahead(self, place: Slot) -> list[Slot]:
        """Return the amplified sockets that an unbroken direct-current path leads to from a socket, nearest first."""
        if place[:2] not in self._leads:
            return []
        found: list[Slot] = []
        todo = [place]
        seen = {place}
        for at in todo:
            for first, last, device, bank, start in self._leads.get(at[:2], ()):
                ahead = Slot(device, bank, at.number - first + start)
                if at.number >= first and (last is None or at.number <= last) and ahead not in seen:
                    seen.add(ahead)
                    todo.append(ahead)
                    if self.amplified(ahead):
                        found.append(ahead)
        return found
