"""The preamps in use: what each amplifies, who owns it, who hears it.

Comes in: a look.  Goes out: an `Amp` by socket.  Next: `look`, rules on gain.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import GainSet
from patchloom.model.rig import Preamp
from patchloom.model.show import Source

if TYPE_CHECKING:
    from patchloom.check.look.look import Delivery, Look

__all__ = ["Amp", "amps"]


class Amp(NamedTuple):
    """One preamp that amplifies something."""

    at: Slot
    kind: Preamp
    leg: str
    source: Source
    owner: str
    """The position that moves it; empty where nobody does, or the patch does not say."""
    heard: tuple[Delivery, ...]
    """What comes through it into lists, main or alternate, in the order of the routes."""
    gain: GainSet | None
    """What the patch says of its gain."""

    @property
    def positions(self) -> tuple[str, ...]:
        """Return the positions that hear it."""
        return tuple(dict.fromkeys(row.position for row in self.heard))

    @property
    def sharers(self) -> tuple[str, ...]:
        """Return the positions that hear it and do not own it."""
        return tuple(position for position in self.positions if position != self.owner)


def amps(look: Look) -> dict[Slot, Amp]:
    """Return every preamp with something plugged, or passed on the way to a list, by address."""
    sources = look.sources
    found: dict[Slot, tuple[str, list[Delivery]]] = {}
    known: dict[tuple[str, str], Preamp | None] = {}

    def kind(place: Slot) -> Preamp | None:
        key = (place.device, place.bank)
        if key not in known:
            known[key] = look.ground.preamp(*key)
        return known[key]

    for leg, place in look.setting.plugs.items():
        if leg in sources and kind(place) is not None:
            found.setdefault(place, (leg, []))
    there = any(look.type(device).preamps for device in look.rig.devices)
    for row in look.deliveries if there else ():
        if row.leg in sources:
            place = next((hop for hop in row.hops if kind(hop) is not None), None)
            if place is not None:
                found.setdefault(place, (row.leg, []))[1].append(row)
    gains = {row.at: row for row in look.setting.gains}
    made = {}
    for place, (leg, heard) in sorted(found.items()):
        preamp, owned = kind(place), look.owner_at.get(place)
        assert preamp is not None
        listed = tuple(row for row in heard if row.want is not None)
        owner = owned.owner if owned is not None else ""
        made[place] = Amp(place, preamp, leg, sources[leg], owner, listed, gains.get(place))
    return made
