"""A source on a socket with phantom, and nobody knows whether it may have it.

What it says: every source in use that comes to a preamp with a phantom switch and whose need is left blank.
Why: somebody will press the switch to try, into a ribbon, an old line output or a laptop.
When it is no fault: never; it costs one question.
What data it needs: `sources.phantom`; the blank is the finding.
What to do: ask whoever brings it, and write need, no or never.
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

__all__ = ["phantom_unresolved"]


def phantom_unresolved(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield one finding a period for all sources there whose phantom is unknown."""
    tally = Tally("phantom-unresolved", show, patch)
    for look in looks(rig, show, patch):
        switched = [row for row in look.amps.values() if row.kind.phantom_by]
        tally.seen += len(switched)
        blank = list(dict.fromkeys(row.source.id for row in switched if row.source.phantom == "unknown"))
        if blank:
            verb, who = ("is", "it") if len(blank) == 1 else ("are", "they")
            told = f"{some(blank)} {verb} plugged where phantom can be switched on, and whether {who} may have it is unknown."
            tally.found(look.period, told, *blank, numbers=(("sources", len(blank)),))
    yield from tally.told("nothing is plugged where phantom can be switched on")
