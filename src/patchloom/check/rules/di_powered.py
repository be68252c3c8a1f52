"""A DI that lives on phantom gets none, because the show also says that it needs none.

What it says: a DI is powered by phantom, and its `phantom` is not `need`: nobody switches it on for it. It stops the show
where no switch on its way is on, and is a warning where one happens to be on for somebody else.
Why: dead bass in bar one; or dead as soon as the neighbour's condenser is taken out and the group is switched off
(common practice, no source). Where `phantom` is `need`, `verify` follows the direct current from the supply to the DI,
past every transformer.
When it is no fault: never; one of the two fields is wrong.
What data it needs: `sources.kind` (di), `sources.powered_by` and `sources.phantom`. Where both of the latter are unknown
it is not checked; a DI whose phantom is `no` or `never`, and not by phantom, is taken at its word.
What to do: say `phantom: need`, or say that a battery or the mains powers it.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["di_powered"]


def di_powered(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each DI on phantom that nobody gives it."""
    tally = Tally("di-powered", show, patch)
    for look in looks(rig, show, patch):
        for leg in look.setting.plugs:
            source = look.sources.get(leg)
            if source is None or source.kind != "di":
                continue
            tally.seen += 1
            if source.powered_by == "phantom" and source.phantom != "need":
                _judge(tally, look, leg, source.phantom)
            elif not source.powered_by and source.phantom == "unknown":
                tally.lacks("sources.powered_by", "what powers a DI is not said", source.id)
    yield from tally.told("no DI is plugged")


def _judge(tally: Tally, look: Look, leg: str, phantom: str) -> None:
    place = look.setting.plugs[leg]
    slots = {place, *(hop for row in look.by_leg.get(leg, ()) for hop in row.hops)}
    on: object = next((row.at for row in look.setting.phantom if row.on and any(row.at.holds(slot) for slot in slots)), None)
    bank = look.ground.bank(place.device, place.bank)
    on = place if bank is not None and bank.phantom_supply else on
    word = "unknown" if phantom == "unknown" else f"{phantom!r}"
    told = f"{leg} at {look.ground.say(place)} is a DI powered by phantom, and its need of phantom is {word}"
    if on is None:
        tally.found(look.period, f"{told}: no switch on its way is on.", leg, place)
    else:
        tally.found(look.period, f"{told}: {on} is on, but not for it.", leg, place, on, severity="warn")
