"""A microphone feeds more than three inputs by copper alone.

What it says: how many inputs load one source through passive splits, multicores and cables: preamps, digital devices, and
inputs that say their impedance (an active split says it, and counts as one).
Why: every further input takes level and changes the tone; usually a microphone is split to three inputs, sometimes four,
without electronics. By arithmetic a 200 ohm source into 1500 ohm inputs loses 1.0 dB with two loads, 1.8 dB with three,
2.6 dB with four.
When it is no fault: inputs of high impedance, or a source that drives lines: line, speaker and digital sources are left
out.
What data it needs: the rig's copper; `banks.load_ohm` for the loss in dB, which is left out where it is absent.
What to do: use an active split, or take a position off the copper and feed it from another's preamp.
Source: trade articles on splitting (thebroadcastbridge.com entry 8053; uneeda-audio.com/phantom/split.htm); the loss is
arithmetic
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.library.physics import split_loss_db
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["passive_split_loading"]

_MOST = 3
"""Inputs a microphone is usually split to without electronics."""
_MIC_OHM = 200.0
"""Impedance of a microphone, typical."""


def passive_split_loading(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each split whose sources feed too many inputs."""
    tally = Tally("passive-split-loading", show, patch)
    for look in looks(rig, show, patch):
        heavy: dict[tuple[str, tuple[str, ...]], list[tuple[str, tuple[Slot, ...]]]] = {}
        for leg, place in look.setting.plugs.items():
            source = look.sources.get(leg)
            if source is None or source.level in ("line", "speaker", "digital") or look.type(place.device).digital:
                continue
            tally.seen += 1
            loads = _inputs(look, place)
            if len(loads) > _MOST:
                devices = tuple(dict.fromkeys(load.device for load in loads))
                heavy.setdefault((place.device, devices), []).append((leg, loads))
        for (split, devices), rows in heavy.items():
            _say(tally, look, split, devices, rows)
    yield from tally.told("no microphone is plugged into copper")


def _inputs(look: Look, place: Slot) -> tuple[Slot, ...]:
    """Return the inputs that load what is plugged into a socket: copper is followed until something loads it."""
    found: list[Slot] = []
    todo, seen = [place], {place}
    while todo:
        here = todo.pop()
        if _loads(look, here):
            found.append(here)
            continue
        for step in look.audio.get(here, ()):
            if step.to not in seen:
                seen.add(step.to)
                todo.append(step.to)
    return tuple(sorted(found))


def _loads(look: Look, place: Slot) -> bool:
    bank = look.ground.bank(place.device, place.bank)
    return look.type(place.device).digital or (bank is not None and (bank.preamp is not None or bank.load_ohm is not None))


def _say(tally: Tally, look: Look, split: str, devices: tuple[str, ...], rows: list[tuple[str, tuple[Slot, ...]]]) -> None:
    legs = [leg for leg, _ in rows]
    loads = max((inputs for _, inputs in rows), key=len)
    told = f"Each of {some(legs)}" if len(legs) > 1 else legs[0]
    told += f" feeds {len(loads)} inputs by copper behind {split} ({', '.join(devices)}); {_MOST} are usual"
    numbers: list[tuple[str, object]] = [("inputs", len(loads)), ("usual", _MOST)]
    banks = [look.ground.bank(load.device, load.bank) for load in loads]
    ohms = [bank.load_ohm for bank in banks if bank is not None and bank.load_ohm is not None]
    if len(ohms) == len(loads):
        loss = round(split_loss_db(_MIC_OHM, min(ohms), len(loads)), 1)
        told += f", about {loss:g} dB below one"
        numbers.append(("loss dB", loss))
    tally.found(look.period, f"{told}.", split, *legs, *loads, numbers=numbers)
