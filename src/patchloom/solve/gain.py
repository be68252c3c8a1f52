"""Gain of each preamp, and the trim of everybody who hears it.

Comes in: rig and show in one period, and which positions hear which leg where.
Goes out: `GainSet`s, or `Fact`s.  Next: `controls.py`.

Shared gain is an interval problem: a position that wants D dB in all and can trim between a and b dB needs the
preamp between D - b and D - a.  The preamp's own range and the headroom cap (full scale - peak - reserve) bound
it too.  The answer is the highest gain, in steps, of the interval with the wished margin kept off every trim
limit; where that is empty, of the hard one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from patchloom.address import Slot
from patchloom.finding import Fact
from patchloom.model.base import Table
from patchloom.model.patch import GainSet
from patchloom.model.rig import Bank, Preamp, Rig
from patchloom.model.show import Show, Source

__all__ = ["gains", "suits"]

Bound = tuple[float, str]
"""A gain in dB and who sets it."""


Heard = Mapping[tuple[str, Slot], list[tuple[str, Bank]]]
"""(leg, amplified socket) to the (position, bank) pairs that hear the leg through it."""


def gains(rig: Rig, show: Show, heard: Heard) -> tuple[list[GainSet], list[Fact]]:
    """Return gain and trims for every amplified socket in use, by socket; and the facts that leave no gain."""
    sources = {leg: source for source in show.sources for leg in source.leg_ids()}
    found, facts = [], []
    for leg, place in sorted(heard, key=lambda row: (row[1], row[0])):
        kind = rig.type_of(place.device)
        preamp = kind.preamps[kind.banks[place.bank].preamp]
        result = _gain(leg, place, sources[leg], preamp, heard[leg, place], show)
        if isinstance(result, Fact):
            facts.append(result)
        else:
            found.append(result)
    return found, facts


def suits(leg: str, place: Slot, source: Source, preamp: Preamp, heard: list[tuple[str, Bank]], show: Show) -> bool:
    """Return whether some gain at a socket suits everybody who hears a leg through it."""
    return isinstance(_gain(leg, place, source, preamp, heard, show), GainSet)


def _gain(leg: str, place: Slot, source: Source, preamp: Preamp, heard: list[tuple[str, Bank]], show: Show) -> GainSet | Fact:
    low: Bound = (preamp.gain_db[0], f"the preamp at {place} starts at") if preamp.gain_db else (-math.inf, "")
    high: Bound = (preamp.gain_db[1], f"the preamp at {place} ends at") if preamp.gain_db else (math.inf, "")
    if source.peak_dbu is not None and preamp.full_scale_dbu is not None:
        cap = preamp.full_scale_dbu - source.peak_dbu - show.gain.reserve_db
        if cap < high[0]:
            high = (
                cap,
                f"headroom ({preamp.full_scale_dbu:g} dBu full scale, {source.peak_dbu:g} dBu peak, "
                f"{show.gain.reserve_db:g} dB reserve) needs at most",
            )
    rows = [(position, source.want_db[position], bank.trim_db) for position, bank in heard if position in source.want_db]
    rows = list(dict.fromkeys(rows))
    soft_low, soft_high = low[0], high[0]
    for position, want, trim in rows:
        bottom, top = trim if trim else (0.0, 0.0)
        if want - top > low[0]:
            low = (want - top, f"{position} (wants {want:g} dB, trim up to {top:g} dB) needs at least")
        if want - bottom < high[0]:
            high = (want - bottom, f"{position} (wants {want:g} dB, trim down to {bottom:g} dB) needs at most")
        margin = min(show.gain.margin_db, (top - bottom) / 2)
        soft_low, soft_high = max(soft_low, want - top + margin), min(soft_high, want - bottom - margin)
    fixed = next((row.gain_db for row in show.gain.fixed if row.signal in (leg, source.id)), source.gain_db)
    if fixed is not None:
        if fixed < low[0]:
            high = (fixed, f"the gain of {leg} is fixed at")
        elif fixed > high[0]:
            low = (fixed, f"the gain of {leg} is fixed at")
    if low[0] > high[0]:
        return _conflict(leg, place, low, high)
    if fixed is not None:
        gain: float | None = fixed
        margin_kept = soft_low <= fixed <= soft_high
    else:
        gain, margin_kept = _choose(low[0], high[0], soft_low, soft_high, preamp, bool(rows) or high[1].startswith("headroom"))
        if gain is None and (rows or high[1].startswith("headroom")):
            return Fact(
                limit=f"gain of {leg}",
                text=f"No step of the preamp at {place} ({preamp.step_db:g} dB steps) lies between "
                f"{low[0]:g} and {high[0]:g} dB, as {leg} needs.",
                members=(leg, str(place)),
            )
    trims = Table({position: round(want - gain, 6) for position, want, _ in sorted(rows)}) if gain is not None else Table()
    interval = (
        (low[0], high[0]) if math.isfinite(low[0]) and math.isfinite(high[0]) and (rows or source.peak_dbu is not None) else None
    )
    return GainSet(leg=leg, at=place, gain_db=gain, interval_db=interval, trims_db=trims, margin=margin_kept)


def _choose(low: float, high: float, soft_low: float, soft_high: float, preamp: Preamp, bound: bool) -> tuple[float | None, bool]:
    if not bound or not math.isfinite(high):
        return None, True
    if soft_low <= soft_high:
        gain = _snap(soft_high, preamp)
        if gain >= soft_low - 1e-9:
            return gain, True
    gain = _snap(high, preamp)
    return (gain, False) if gain >= low - 1e-9 else (None, False)


def _snap(value: float, preamp: Preamp) -> float:
    if not preamp.step_db or not preamp.gain_db:
        return value
    steps = math.floor((value - preamp.gain_db[0]) / preamp.step_db + 1e-9)
    return round(preamp.gain_db[0] + steps * preamp.step_db, 6)


def _conflict(leg: str, place: Slot, low: Bound, high: Bound) -> Fact:
    return Fact(
        limit=f"gain of {leg}",
        text=f"No gain at {place} suits {leg}: {low[1]} {low[0]:g} dB, and {high[1]} {high[0]:g} dB: "
        f"{low[0] - high[0]:g} dB short.",
        asked=low[0],
        there=high[0],
        short=low[0] - high[0],
        members=(leg, str(place)),
    )
