"""A preamp leaves less than 6 dB between the loudest level and full scale, though the show's own reserve is kept.

What it says: full scale less gain less peak is at least the reserve the show asks for (else `verify` says so), and is
below the 6 dB a sound check typically needs.
Why: the show is louder than the sound check, and a clip at a shared converter is heard at every position and cannot be
undone (common practice, no source; 6 to 12 dB over the peak of the sound check is typical).
When it is no fault: playback whose peak is known to the tenth of a dB and cannot rise.
What data it needs: `sources.peak_dbu`, `preamps.full_scale_dbu`, the gain in the patch (from `sources.want_db` or a fixed
gain). What lacks one of them is not checked.
What to do: turn the gain down and let the positions trim up; or pad the source.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Amp, Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["converter_headroom"]

_TYPICAL_DB = 6.0
"""Headroom left over the peak of a sound check at least (common practice, no source)."""
_CLOSE = 0.051
"""Decibels two numbers may differ by and still be the same: patches round to a tenth."""


def converter_headroom(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each preamp with little headroom."""
    tally = Tally("converter-headroom", show, patch)
    for look in looks(rig, show, patch):
        for amp in look.amps.values():
            tally.seen += 1
            left = _left(tally, look, amp)
            if left is not None and look.show.gain.reserve_db - _CLOSE <= left < _TYPICAL_DB - _CLOSE:
                _say(tally, look, amp, left)
    yield from tally.told("no preamp is in use")


def _left(tally: Tally, look: Look, amp: Amp) -> float | None:
    """Return the headroom left in dB, None where something is not known."""
    peak, full, gain = amp.source.peak_dbu, amp.kind.full_scale_dbu, amp.gain.gain_db if amp.gain is not None else None
    if peak is None:
        tally.lacks("sources.peak_dbu", "the loudest level is not given for every source at a preamp", amp.source.id)
    if full is None:
        field = f"types.{look.type(amp.at.device).id}.preamps.{amp.kind.id}.full_scale_dbu"
        tally.lacks(field, f"a preamp does not say which level reaches full scale ({amp.at.device})", amp.at.device)
    if gain is None and peak is not None:
        tally.lacks("sources.want_db", "no gain follows where nobody says what is wanted", amp.source.id)
    return None if peak is None or full is None or gain is None else full - gain - peak


def _say(tally: Tally, look: Look, amp: Amp, left: float) -> None:
    reserve = look.show.gain.reserve_db
    told = (
        f"{amp.leg} at {look.ground.say(amp.at)} is left {left:g} dB below full scale; the show asks for {reserve:g} dB, "
        f"and {_TYPICAL_DB:g} dB is the least that is usual."
    )
    numbers = (("left dB", round(left, 1)), ("reserve dB", reserve), ("usual dB", _TYPICAL_DB))
    tally.found(look.period, told, amp.at, amp.leg, *amp.positions, numbers=numbers)
