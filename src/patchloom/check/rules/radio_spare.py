"""Radios are in use, and none is named as a spare.

What it says: sources of kind radio in a period, none of which stands in for another one.
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
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["radio_spare"]


def radio_spare(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each period with radios and no spare among or for them."""
    tally = Tally("radio-spare", show, patch)
    for look in looks(rig, show, patch):
        radios = [source for source in look.show.sources if source.kind == "radio"]
        names = {source.id for source in radios}
        tally.seen += len(radios)
        spare = any(row.spare_of and (row.kind == "radio" or row.spare_of in names) for row in look.show.sources)
        if radios and not spare:
            count = len(radios)
            told = (
                f"{count} radios are in use, and none is named as a spare."
                if count > 1
                else (f"{radios[0].id} is a radio, and nothing is named as its spare.")
            )
            tally.found(look.period, told, *(source.id for source in radios), numbers=(("radios", count),))
    yield from tally.told("no radios are in use")
