"""A loudspeaker feed takes another way from one act to the next and arrives earlier or later.

What it says: for every feed of kind pa whose way to a place differs from the act before, by how much it is later there.
Why: loudspeakers were aligned by time to each other; a way that is two milliseconds longer undoes it.
When it is no fault: all loudspeakers change by the same amount; sign it off with a waiver.
What data it needs: `latency_ms` of the banks and formats the two ways do not share; absent: not checked.
What to do: keep the way, or take the difference into the delay of that output.
Source: arithmetic; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Delivery, Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["outputs_stay_aligned"]


def outputs_stay_aligned(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each loudspeaker feed that is later or earlier than in the act before."""
    tally = Tally("outputs-stay-aligned", show, patch)
    before: dict[tuple[str, int, str], Delivery] = {}
    for look in looks(rig, show, patch):
        for row in look.deliveries:
            feed = look.feeds.get(row.leg)
            if row.place is None or feed is None or feed.kind != "pa":
                continue
            key = (row.to, row.entry, row.leg)
            if key in before:
                tally.seen += 1
                _held(tally, look, before[key], row)
            before[key] = row
    yield from tally.told("no loudspeaker feed is led somewhere in two acts")


def _held(tally: Tally, look: Look, old: Delivery, new: Delivery) -> None:
    if old.hops == new.hops:
        return
    later = look.apart(old.hops, new.hops)
    if later.missing:
        for field in later.missing:
            tally.lacks(field, "how late some loudspeaker feeds are is unknown", new.leg)
    elif later.ms:
        word = "later" if later.ms > 0 else "earlier"
        told = f"{new.leg} arrives at {new.end} {abs(later.ms):g} ms {word} than in the act before."
        numbers = (("ms", later.ms), ("samples", round(float(later.samples), 1)))
        tally.found(look.period, told, new.leg, new.end, numbers=numbers)
