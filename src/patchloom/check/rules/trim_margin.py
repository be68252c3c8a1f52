"""A position trims a shared preamp to within a few dB of its end, or lifts it so far that it is noisy.

What it says: a trim leaves less than the wanted margin at one end (where the patch owns up to that; where it claims the
margin is kept, `verify` says so), or lifts by more than 18 dB.
Why: with 2 dB left a position cannot follow a voice that drops; a large digital lift brings the preamp's noise up with
it (common practice, no source; 18 dB is typical).
When it is no fault: what the position does with the signal makes it not matter, an audience microphone for instance.
What data it needs: `sources.want_db` of every position that hears a shared preamp and can trim it, `banks.trim_db`,
`gain.margin_db`. Where nobody says what is wanted it is not checked.
What to do: ask the positions for other totals, pad or move the loud source, or give one position a preamp of its own.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from patchloom.check.look import Amp, Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["trim_margin"]

_NOISY_DB = 18.0
"""A lift beyond which noise is to be heard (common practice, no source)."""
_CLOSE = 0.051
"""Decibels two numbers may differ by and still be the same: patches round to a tenth."""


class _Trim(NamedTuple):
    """One position's trim in one range; equal ones are one finding."""

    position: str
    trim: float
    low: float
    high: float


def trim_margin(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each trim near its end or lifting far, of one position and one size together."""
    tally = Tally("trim-margin", show, patch)
    near: dict[_Trim, tuple[dict[str, None], list[str]]] = {}
    for look in looks(rig, show, patch):
        for amp in look.amps.values():
            able = _able(look, amp)
            if not any(position != amp.owner for position in able):
                continue
            tally.seen += 1
            if any(position not in amp.source.want_db for position in able):
                because = "the total gain wanted of a shared preamp is not given for every position that can trim it"
                tally.lacks("sources.want_db", because, amp.source.id)
            for row in _trims(look, amp):
                if _is_near(look, amp, row) or row.trim > _NOISY_DB + _CLOSE:
                    legs, periods = near.setdefault(row, ({}, []))
                    legs.setdefault(amp.leg)
                    periods.append(look.period)
    for row, (legs, periods) in near.items():
        _say(tally, show.gain.margin_db, row, list(legs), periods)
    yield from tally.told("no preamp in use is shared with a position that can trim")


def _able(look: Look, amp: Amp) -> tuple[str, ...]:
    """Return the positions that hear a preamp where they can trim it; a recorder takes what comes."""
    banks = ((row.position, look.ground.bank(row.end.device, row.end.bank)) for row in amp.heard)
    return tuple(dict.fromkeys(position for position, bank in banks if bank is not None and bank.trim_db is not None))


def _trims(look: Look, amp: Amp) -> Iterator[_Trim]:
    trims = amp.gain.trims_db if amp.gain is not None else {}
    seen = set()
    for row in amp.heard:
        bank = look.ground.bank(row.end.device, row.end.bank)
        trim = trims.get(row.position)
        if bank is not None and bank.trim_db is not None and trim is not None:
            found = _Trim(row.position, float(trim), float(bank.trim_db[0]), float(bank.trim_db[1]))
            if found not in seen:
                seen.add(found)
                yield found


def _is_near(look: Look, amp: Amp, row: _Trim) -> bool:
    left = min(row.trim - row.low, row.high - row.trim)
    wanted = min(look.show.gain.margin_db, (row.high - row.low) / 2)
    return amp.gain is not None and not amp.gain.margin and -_CLOSE <= left < wanted - _CLOSE


def _say(tally: Tally, margin: float, row: _Trim, legs: list[str], periods: list[str]) -> None:
    left = round(min(row.trim - row.low, row.high - row.trim), 1)
    words = f"{row.position} trims {some(legs)} by {row.trim:+g} dB of {row.low:+g} to {row.high:+g} dB{tally.when(periods)}"
    if left < min(margin, (row.high - row.low) / 2) - _CLOSE:
        words += f", which leaves {left:g} dB where {margin:g} dB are wanted"
    if row.trim > _NOISY_DB + _CLOSE:
        words += f", a lift of more than {_NOISY_DB:g} dB, which brings noise up"
    numbers = (("trim dB", row.trim), ("left dB", left), ("margin dB", margin), ("noisy above dB", _NOISY_DB))
    tally.found("", f"{words}.", row.position, *legs, numbers=numbers)
