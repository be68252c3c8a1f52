"""Radios are in use, and none is named as a spare.

What it says: the radios of all periods in which none stands in for another one, and nothing stands in for one of them.
Why: a pack dies, a frequency is taken; the spare that is named, plugged and on a channel is the one that helps.
When it is no fault: one radio only, with a cable beside it: name the cabled microphone as its spare.
What data it needs: `sources.kind` and `sources.spare_of`; absent: no spare is named, which is the finding.
What to do: keep a pack or a hand-held with fresh batteries on a channel of its own, and name it with `spare_of`.
Frequencies are licensed and coordinated by those who may: local law takes precedence.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["radio_spare"]


def radio_spare(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield one finding for all radios of periods in which none of them has a spare."""
    tally = Tally("radio-spare", show, patch)
    bare: dict[str, None] = {}
    acts: list[str] = []
    for look in looks(rig, show, patch):
        radios = [source.id for source in look.show.sources if source.kind == "radio"]
        tally.seen += len(radios)
        spare = any(row.spare_of and (row.kind == "radio" or row.spare_of in radios) for row in look.show.sources)
        if radios and not spare:
            bare.update(dict.fromkeys(radios))
            acts.append(look.period)
    if bare:
        names = list(bare)
        many = f"{some(names)} are radios" if len(names) > 1 else f"{names[0]} is a radio"
        tally.found("", f"{many}, and nothing is named as a spare{tally.when(acts)}.", *names, numbers=(("radios", len(names)),))
    yield from tally.told("no radios are in use")
