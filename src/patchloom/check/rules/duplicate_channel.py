"""One source stands on two channels of one desk, and nothing says that it is meant to.

What it says: a leg that comes in on two channels of one desk for one position, over their main inputs.  One list that wants
a signal twice is complained of by reading; ask for it in a second list, and say there what it is for.
Why: the second one is forgotten and left open, and the voice is 6 dB up or hollow; or it is muted on one of them and
still heard on the other (common practice, no source).
When it is no fault: parallel treatment, layers A and B, a spare pack: give one of the two wants a `name` or `notes` of its
own, and it is declared.  Two positions that share a desk each have their own; a channel may hand a signal on to another desk.
What data it needs: the patch, `lists.wants.name`, `lists.wants.notes`.
What to do: take one of them off, or say what it is for.
Source: common practice, no source
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import chain

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["duplicate_channel"]


def duplicate_channel(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each leg that is on two channels of a desk for one position, undeclared."""
    tally = Tally("duplicate-channel", show, patch)
    for look in looks(rig, show, patch):
        there: dict[tuple[str, str], list[Slot]] = {}
        for desk, banks in sorted(_channels(look).items()):
            tally.seen += sum(len(look.legs[bank]) for bank in banks)
            there.update(_twice(look, desk, banks))
        for (device, leg), places in there.items():
            for position, doubled in _doubled(look, device, places).items():
                more = "the second is" if len(doubled) == 2 else "the others are"
                told = f"{leg} is on {', '.join(map(str, doubled))} of {position}, and no want says what {more} for."
                tally.found(look.period, told, leg, *doubled, position, numbers=(("channels", len(doubled)),))
    yield from tally.told("no channel of a desk carries anything")


def _channels(look: Look) -> dict[str, list[tuple[str, str]]]:
    """Return the banks of channels that carry anything, for each desk somebody works at."""
    rows = {desk: sorted(look.type(desk).banks.values(), key=lambda bank: bank.id) for desk in look.at_desk}
    return {
        desk: [(desk, bank.id) for bank in banks if bank.does == "process" and (desk, bank.id) in look.legs]
        for desk, banks in rows.items()
    }


def _twice(look: Look, desk: str, banks: list[tuple[str, str]]) -> dict[tuple[str, str], list[Slot]]:
    """Return the channels of each leg that is on several of a desk, legs and channels in the order of addresses."""
    count = Counter(chain.from_iterable(look.legs[bank].values() for bank in banks))
    found: dict[tuple[str, str], list[Slot]] = {}
    if count and max(count.values()) > 1:
        for bank in banks:
            for number, leg in sorted(look.legs[bank].items()):
                if count[leg] > 1:
                    found.setdefault((desk, leg), []).append(Slot(*bank, number))
    return found


def _doubled(look: Look, device: str, places: list[Slot]) -> dict[str, list[Slot]]:
    """Return, by position, the channels that carry one leg, where there are several and none is declared."""
    found: dict[str, list[Slot]] = {}
    declared: set[str] = set()
    stray: list[Slot] = []
    for place in places:
        rows = look.used_by.get(place, ())
        wants = [row for row in rows if row.end == place and row.want is not None and not row.alternate]
        for row in wants:
            found.setdefault(row.position, []).append(place)
            if row.want is not None and (row.want.name or row.want.notes):
                declared.add(row.position)
        if not rows:
            stray.append(place)  # one that only hands the signal on to somebody else is no second channel
    whose = {position: sorted((*rows, *stray)) for position, rows in found.items()} or {look.at_desk[device][0]: stray}
    return {position: rows for position, rows in whose.items() if len(rows) > 1 and position not in declared}
