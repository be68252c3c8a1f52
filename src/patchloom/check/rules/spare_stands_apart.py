"""A source and its spare hang on one box, or on one supply.

What it says: for every source that stands in for another one (a second player, a spare microphone), whether both come
in at the same device although the spare may be plugged elsewhere, or at two devices on one supply.
Why: a spare is for the day the box or its supply dies.
When it is no fault: there is one box only: nothing is said where the spare has no other place to go.
What data it needs: `sources.spare_of`, `plug`; `devices.power` where they are at two devices; absent: not checked.
What to do: plug one of them into another box, on another supply.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import parse
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Source

__all__ = ["spare_stands_apart"]


def spare_stands_apart(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each spare that is lost together with what it stands in for."""
    tally = Tally("spare-stands-apart", show, patch)
    for look in looks(rig, show, patch):
        for spare in look.show.sources:
            main = look.signals.get(spare.spare_of)
            if isinstance(main, Source):
                _pair(tally, look, main, spare)
    yield from tally.told("no source that is plugged in stands in for another one that is")


def _pair(tally: Tally, look: Look, main: Source, spare: Source) -> None:
    one, two = _stands(look, main), _stands(look, spare)
    if not one or not two:
        return
    tally.seen += 1
    shared = [device for device in one if device in two]
    if shared:
        if set(one) <= set(two) and _elsewhere(look, main, spare, shared[0]):
            told = f"{main.id} and its spare {spare.id} both come in at {shared[0]}: one loss takes both."
            tally.found(look.period, told, shared[0], main.id, spare.id)
        return
    powers = [look.rig.devices[device].power for device in (one[0], two[0])]
    if not all(powers):
        bare = [device for device in (one[0], two[0]) if not look.rig.devices[device].power]
        tally.lacks("devices.power", "what supply some boxes with a source or its spare hang on is unknown", *bare)
    elif powers[0] == powers[1]:
        told = f"{main.id} at {one[0]} and its spare {spare.id} at {two[0]} hang on one supply, {powers[0]}."
        tally.found(look.period, told, one[0], two[0], main.id, spare.id)


def _stands(look: Look, source: Source) -> list[str]:
    """Return the devices with electronics a source comes to first: where it is plugged, or behind a split."""
    found: dict[str, None] = {}
    for leg in source.leg_ids():
        for row in look.by_leg.get(leg, ()):
            found.update(dict.fromkeys([hop.device for hop in row.hops if look.type(hop.device).digital][:1]))
        plug = look.setting.plugs.get(leg)
        if plug is not None and not found and look.type(plug.device).digital:
            found.setdefault(plug.device)
    return list(found)


def _elsewhere(look: Look, main: Source, spare: Source, device: str) -> bool:
    """Return whether one of the two may be plugged into another device."""
    ids = {*main.leg_ids(), *spare.leg_ids(), main.id, spare.id}
    places = [parse(text).device for row in look.show.plug if row.source in ids for text in row.into]
    return any(place != device and place in look.rig.devices for place in places)
