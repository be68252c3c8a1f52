"""The two legs of a stereo signal are not treated alike on the way.

What it says: its legs are plugged into two boxes or two kinds of preamp, have different gains or trims, one has phantom
and the other not, or they arrive at different times.
Why: the image shifts to one side, or smears: a leg that is 0.5 ms late is heard from the other side (common practice, no
source).
When it is no fault: a pair of microphones that is no stereo pair: make it two sources.
What data it needs: plugs, gains, phantom switches; delays of banks and formats where the legs take different ways.
What to do: plug both into one box, side by side; set both preamps alike; lead both the same way.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Amp, Delivery, Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["stereo_legs_alike"]

_CLOSE = 0.051
"""Decibels two numbers may differ by and still be the same: patches round to a tenth."""


def stereo_legs_alike(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each stereo signal whose legs part, in one way or several."""
    tally = Tally("stereo-legs-alike", show, patch)
    for look in looks(rig, show, patch):
        amps: dict[str, list[Amp]] = {}
        for amp in look.amps.values():
            amps.setdefault(amp.leg, []).append(amp)
        for key, item in look.signals.items():
            legs = [leg for leg in item.leg_ids() if leg in look.setting.plugs or leg in look.setting.mixes]
            if len(legs) < 2:
                continue
            tally.seen += 1
            unlike = [*_at_the_socket(look, legs), *_at_the_preamp(look, [amps.get(leg, []) for leg in legs])]
            unlike = unlike or list(_on_the_way(tally, look, legs))
            if unlike:
                told = f"The legs of {key} are not alike: {'; '.join(unlike)}."
                tally.found(look.period, told, key, *legs, numbers=(("differences", len(unlike)),))
    yield from tally.told("nothing stereo is plugged or mixed")


def _at_the_socket(look: Look, legs: list[str]) -> Iterator[str]:
    places = [look.setting.plugs[leg] for leg in legs if leg in look.setting.plugs]
    preamps = {look.ground.preamp(place.device, place.bank) for place in places}
    if len({place.device for place in places}) > 1:
        yield f"plugged into {', '.join(map(str, places))}"
    elif len(preamps) > 1:
        yield f"behind different preamps, at {', '.join(map(str, places))}"


def _at_the_preamp(look: Look, chains: list[list[Amp]]) -> Iterator[str]:
    for one in chains[0]:
        for chain in chains[1:]:
            two = next((amp for amp in chain if (amp.at.device, amp.at.bank) == (one.at.device, one.at.bank)), None)
            if two is not None:
                yield from _gains(one, two)
                on, off = _phantom(look, one), _phantom(look, two)
                if on != off:
                    yield f"phantom is {on} at {one.at} and {off} at {two.at}"


def _gains(one: Amp, two: Amp) -> Iterator[str]:
    if one.gain is None or two.gain is None or one.gain.gain_db is None or two.gain.gain_db is None:
        return
    if abs(one.gain.gain_db - two.gain.gain_db) > _CLOSE:
        yield f"gain {one.gain.gain_db:g} dB at {one.at} and {two.gain.gain_db:g} dB at {two.at}"
        return  # the trims follow from the gains
    for position, first in one.gain.trims_db.items():
        second = two.gain.trims_db.get(position, first)  # who hears one leg only trims one leg only
        if abs(first - second) > _CLOSE:
            yield f"{position} trims {first:+g} dB and {second:+g} dB"


def _phantom(look: Look, amp: Amp) -> str:
    return "on" if any(row.on and row.at.holds(amp.at) for row in look.setting.phantom) else "off"


def _on_the_way(tally: Tally, look: Look, legs: list[str]) -> Iterator[str]:
    """Yield where a leg arrives later than the first one."""
    first = {(row.to, row.entry, row.alternate): row for row in look.by_leg.get(legs[0], ())}
    for leg in legs[1:]:
        for row in look.by_leg.get(leg, ()):
            other = first.get((row.to, row.entry, row.alternate))
            if other is None or _banks(other) == _banks(row):
                continue
            apart = look.apart(other.hops, row.hops)
            for field in apart.missing:
                tally.lacks(field, "the legs of a stereo signal come by ways whose delay is not known", row.name)
            if apart.samples and not apart.missing:
                late = leg if apart.samples > 0 else legs[0]
                yield f"at {row.to}, {late} is {abs(float(apart.samples)):g} samples ({abs(apart.ms):g} ms) late"


def _banks(row: Delivery) -> list[tuple[str, str]]:
    return [(hop.device, hop.bank) for hop in row.hops]
