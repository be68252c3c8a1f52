"""Two devices with one address on the same network or chain.

What it says: devices joined by digital or control links that share a network address or unit number; and boxes whose
preamps one desk moves over links and that have no address written down.  Two boxes wired to one offset of a chain write the
same slots, which is `one-feeder`; two devices or links with one id are not read at all (`reading:duplicate-id`).
Why: both vanish, or gains land on the wrong box.
When it is no fault: units that number themselves by the port they hang on; sign it off with a waiver.
What data it needs: `devices.address`; absent for two boxes or more under one desk: not checked.
What to do: give each its own, and label the box with it.
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
from patchloom.model.show import Show

__all__ = ["address_unique"]


def address_unique(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each address that several joined devices have, and one for boxes that have none."""
    tally = Tally("address-unique", show, patch)
    for look in looks(rig, show, patch):
        nets = _nets(look.rig)
        taken: dict[tuple[str, str], list[str]] = {}
        for device in look.rig.devices.values():
            if device.address.strip():
                taken.setdefault((nets[device.id], device.address.strip().casefold()), []).append(device.id)
        tally.seen += len(taken) - len({net for net, _ in taken})
        for devices in taken.values():
            if len(devices) > 1:
                address = look.rig.devices[devices[0]].address.strip()
                told = (
                    f"{' and '.join(devices)} both have address {address!r}."
                    if len(devices) == 2
                    else (f"{', '.join(devices)} all have address {address!r}.")
                )
                tally.found(look.period, told, *devices, numbers=(("devices", len(devices)),))
        _without(tally, look)
    yield from tally.told("no two devices that are joined are told apart by address")


def _nets(rig: Rig) -> dict[str, str]:
    """Return the first device, by name, of the net each device is in: what links between ports join."""
    root = {device: device for device in rig.devices}

    def first(device: str) -> str:
        while root[device] != device:
            root[device] = device = root[root[device]]
        return device

    for link in rig.links:
        spoken = rig.formats.get(link.format)
        ends = [parse(text).device for text in link.join]
        if spoken is not None and spoken.digital and all(end in root for end in ends):
            one, two = sorted(map(first, ends))
            root[two] = one
    return {device: first(device) for device in rig.devices}


def _without(tally: Tally, look: Look) -> None:
    """Note boxes with remote preamps that one desk moves and that have no address."""
    for desk in look.at_desk:
        boxes = [device for device in look.commands(desk) if device != desk and _remote(look, device)]
        bare = [device for device in boxes if not look.rig.devices[device].address.strip()]
        if len(boxes) > 1:
            tally.seen += 1
            if bare:
                tally.lacks("devices.address", f"{desk} moves preamps of several boxes and not all have an address", *bare)


def _remote(look: Look, device: str) -> bool:
    preamps = look.type(device).preamps.values()
    return any({"port", "network"} & set(preamp.doors or ("port",)) for preamp in preamps)
