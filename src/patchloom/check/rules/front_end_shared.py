"""A pad, a polarity switch or a filter is set at a shared preamp, where those who share it cannot see it.

What it says: which sources have something set at their preamp beside gain and phantom, and which positions other than
the owner hear it that way; and where a pad is set on a preamp that has none.
Why: a follower's desk shows a channel without pad, polarity or filter; who turns polarity again, or looks for the 20 dB
that are missing, works against a switch they cannot see (common practice, no source).
When it is no fault: everybody has been told and has it on paper: this finding is on their papers; sign a waiver.
What data it needs: `sources.front_end` (absent: nothing is set), owners, `preamps.pad_db`.
What to do: tell the positions named, or set it in the channels instead.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["front_end_shared"]


def front_end_shared(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each setting, and those who share it, with all preamps it is set at."""
    tally = Tally("front-end-shared", show, patch)
    for look in looks(rig, show, patch):
        shared: dict[tuple[tuple[str, ...], str, tuple[str, ...]], dict[str, Slot]] = {}
        padless: dict[tuple[str, str], list[str]] = {}
        for amp in look.amps.values():
            words = amp.source.front_end
            if not words:
                continue
            tally.seen += 1
            if "pad" in words and amp.kind.pad_db is None:
                padless.setdefault((amp.at.device, amp.at.bank), []).append(amp.leg)
            elif amp.sharers:
                shared.setdefault((words, amp.owner, amp.sharers), {})[amp.leg] = amp.at
        for (device, bank), legs in padless.items():
            told = f"A pad is to be set for {some(legs)}, and the preamps of {device}.{bank} have none."
            tally.found(look.period, told, f"{device}.{bank}", *legs, numbers=(("preamps", len(legs)),))
        for (words, owner, sharers), places in shared.items():
            _say(tally, look, words, owner, sharers, places)
    yield from tally.told("nothing but gain and phantom is set at a preamp in use")


def _say(tally: Tally, look: Look, words: tuple[str, ...], owner: str, sharers: tuple[str, ...], places: dict[str, Slot]) -> None:
    seen = f"only {owner} sees it" if owner else "nobody's desk shows it"
    what = f"{' and '.join(words)} set for {some(f'{leg} at {place}' for leg, place in places.items())}"
    told = f"{what}: {', '.join(sharers)} {'hears' if len(sharers) == 1 else 'hear'} it so, and {seen}."
    where = (*places, *places.values(), *sharers)
    tally.found(look.period, told[0].upper() + told[1:], *where, numbers=(("preamps", len(places)),))
