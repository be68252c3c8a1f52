"""More current is drawn from a phantom supply than it can give.

What it says: what the sources plugged where phantom is on draw together, held against what the box's supply can give.  A
source whose current is unknown counts with 10 mA, the most P48 allows; that alone is never called a fault.
Why: the voltage sinks for all of them: distortion, noise, one microphone after another dropping out.
When it is no fault: never, with the data given.
What data it needs: `types.preamps.phantom_ma`, and `sources.phantom_ma` where the worst case would be too much; absent:
not checked.  A source that says `phantom` `no` counts as nothing.
What to do: spread them over two boxes, or power some of them otherwise.
Source: IEC 61938 (P48: up to 10 mA; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.library.physics import PHANTOM
from patchloom.model.patch import Patch
from patchloom.model.rig import Preamp, Rig
from patchloom.model.show import Show

__all__ = ["phantom_current"]

_MOST_MA = PHANTOM["P48"].most_ma or 10.0
"""What one source draws at most."""


def phantom_current(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each box whose phantom supply is asked for more than it can give."""
    tally = Tally("phantom-current", show, patch)
    for look in looks(rig, show, patch):
        for (device, key), legs in _fed(look).items():
            tally.seen += 1
            _supply(tally, look, device, look.type(device).preamps[key], legs)
    yield from tally.told("phantom is on nowhere")


def _fed(look: Look) -> dict[tuple[str, str], list[str]]:
    """Return the legs each supply feeds; those that draw nothing are left out."""
    found: dict[tuple[str, str], list[str]] = {}
    for row in look.setting.phantom:
        bank = look.ground.bank(row.at.device, row.at.bank or "")
        if (
            not row.on
            or not row.at.first
            or bank is None
            or not bank.preamp
            or bank.preamp not in look.type(row.at.device).preamps
        ):
            continue
        legs = found.setdefault((row.at.device, bank.preamp), [])
        for place in row.at.slots():
            source = look.sources.get(look.leg(place))
            if source is not None and source.phantom != "no":
                legs.append(look.leg(place))
    return {key: legs for key, legs in found.items() if legs}


def _supply(tally: Tally, look: Look, device: str, preamp: Preamp, legs: list[str]) -> None:
    if preamp.phantom_ma is None:
        tally.lacks("types.preamps.phantom_ma", "what some phantom supplies can give is unknown", device)
        return
    draws = [look.sources[leg].phantom_ma for leg in legs]
    known = sum(row for row in draws if row is not None)
    worst = known + _MOST_MA * draws.count(None)
    if known > preamp.phantom_ma:
        many = f"{len(legs)} sources that draw" if len(legs) > 1 else "a source that draws"
        least = "at least " if None in draws else ""
        told = f"{device} feeds phantom to {many} {least}{known:g} mA; its supply gives {preamp.phantom_ma:g} mA."
        numbers = (("sources", len(legs)), ("mA", known), ("most mA", preamp.phantom_ma))
        tally.found(look.period, told, device, *legs, numbers=numbers)
    elif worst > preamp.phantom_ma:
        bare = [leg for leg in legs if look.sources[leg].phantom_ma is None]
        tally.lacks("sources.phantom_ma", "what some sources draw from phantom is unknown, and the most may be too much", *bare)
