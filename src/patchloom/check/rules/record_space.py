"""A recorder without room for what it is to record.

What it says: tracks in use times rate, bits and hours, held against the free space: a stop beyond it, a warning beyond
80 % of it.  The act with the most tracks counts for all hours.
Why: a disk that is full stops all tracks at once, and late in the evening.
When it is no fault: the medium is changed in a break; give the hours up to the break.
What data it needs: `devices.space_gb` and `devices.record_h` of a device with a bank that ends in a record; absent: not
checked.  `devices.record_bits` absent: 24.
What to do: empty it, take a larger one, or record less.
Source: arithmetic; the 80 % are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Device, Rig
from patchloom.model.show import Show

__all__ = ["record_space"]

_CARE = 0.8


def record_space(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each recorder whose free space is too small, or nearly so."""
    tally = Tally("record-space", show, patch)
    most: dict[str, tuple[int, Fraction]] = {}
    for look in looks(rig, show, patch):
        for device, tracks in _tracks(look).items():
            rate = look.rate(tracks[0])
            most[device] = max(most.get(device, (0, rate)), (len(tracks), rate))
    for key, (count, rate) in most.items():
        tally.seen += 1
        _room(tally, rig.devices[key], count, rate)
    yield from tally.told("nothing is recorded on tracks of their own")


def _tracks(look: Look) -> dict[str, list[Slot]]:
    """Return the tracks in use on each recorder."""
    found: dict[str, dict[Slot, None]] = {}
    tracks = {
        (device, bank.id)
        for device in look.rig.devices
        for bank in look.type(device).banks.values()
        if bank.ends == "record" and look.type(device).digital
    }
    for row in look.deliveries if tracks else ():
        end = row.hops[-1]
        if end[:2] in tracks:
            found.setdefault(end.device, {}).setdefault(end)
    return {device: list(places) for device, places in found.items()}


def _room(tally: Tally, device: Device, tracks: int, rate: Fraction) -> None:
    for field, value in (("space_gb", device.space_gb), ("record_h", device.record_h)):
        if value is None:
            tally.lacks(f"devices.{field}", "how much room a recorder has, or how long it is to run, is unknown", device.id)
    if device.space_gb is None or device.record_h is None:
        return
    need = float(rate) * device.record_bits / 8 * tracks * device.record_h * 3600 / 1e9
    numbers = (("tracks", tracks), ("hours", device.record_h), ("needs GB", round(need, 1)), ("free GB", device.space_gb))
    told = (
        f"{device.id} needs {need:.1f} GB for {tracks} tracks of {device.record_bits} bits at {rate} Hz over "
        f"{device.record_h:g} h, and {device.space_gb:g} GB are free."
    )
    if need > device.space_gb:
        tally.found("", told, device.id, numbers=numbers)
    elif need > _CARE * device.space_gb:
        tally.found("", told, device.id, numbers=numbers, severity="warn")
