"""Where an unbroken direct-current path leads from a socket: through splits, multicores and cables.

Comes in: a rig and a socket.  Goes out: amplified sockets, nearest first.  Next: `place.py` and `gain.py` ask which
socket can power a microphone.
"""

from __future__ import annotations

from patchloom.address import Slot, parse
from patchloom.model.rig import Rig
from patchloom.solve.fabric import split_local

__all__ = ["amplified", "copper", "gives_phantom"]


def amplified(rig: Rig, place: Slot) -> bool:
    """Return whether a socket has a microphone amplifier behind it."""
    bank = rig.type_of(place.device).banks.get(place.bank)
    return bank is not None and bool(bank.preamp)


def gives_phantom(rig: Rig, place: Slot) -> bool:
    """Return whether phantom can reach a source plugged into a socket: from the socket itself or down its copper."""
    kind = rig.type_of(place.device)
    bank = kind.banks.get(place.bank)
    if bank is None:
        return False
    if bank.preamp:
        return kind.preamps[bank.preamp].phantom_by is not None
    return bank.phantom_supply or any(gives_phantom(rig, ahead) for ahead in copper(rig, place))


def copper(rig: Rig, place: Slot) -> list[Slot]:
    """Return the amplified sockets that an unbroken direct-current path leads to from a socket, nearest first."""
    found: list[Slot] = []
    todo = [place]
    seen = {place}
    for at in todo:
        for ahead in _steps(rig, at):
            if ahead not in seen:
                seen.add(ahead)
                todo.append(ahead)
                if amplified(rig, ahead):
                    found.append(ahead)
    return found


def _steps(rig: Rig, at: Slot) -> list[Slot]:
    steps = []
    for row in rig.type_of(at.device).select:
        if row.wired and row.dc == "yes":
            bank, first, last = split_local(row.wired)
            into, start, _ = split_local(row.into)
            if bank == at.bank and (first is None or first <= at.number <= (last or at.number)):
                steps.append(Slot(at.device, into, at.number - (first or 1) + (start or 1)))
    for link in rig.links:
        spoken = rig.formats.get(link.format)
        if (spoken is not None and spoken.digital) or any(cable.dc == "no" for cable in link.cables):
            continue
        a, b = (parse(end) for end in link.join)
        for here, there in ((a, b), (b, a)):
            if here.holds(at) and rig.type_of(at.device).banks[at.bank].socket == "out":
                steps.append(Slot(there.device, there.bank or "", at.number - (here.first or 1) + (there.first or 1)))
    return steps
