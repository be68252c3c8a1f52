"""A link at a rate where framings differ, and nobody says which one is set.

What it says: for every digital link in use at a rate at which its format carries fewer channels than at most, and which
both ends could frame in several ways, that no framing is set.  Ends that are set differently are `verify`'s.
Why: at high rates one framing halves the channels and another interleaves them; unlike ends swap or lose the top half.
When it is no fault: both ends find the framing by themselves; say the one they find.
What data it needs: `links.framing`, `formats.framings`; it is the missing framing itself that is the finding.
What to do: set both ends alike and write it down.
Source: AES10 has two high-rate framings; the rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.base import at_rate
from patchloom.model.patch import Patch
from patchloom.model.rig import Format, Link, Rig
from patchloom.model.show import Show

__all__ = ["framing_unsaid"]


def framing_unsaid(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each link in use at a high rate whose framing is not set."""
    tally = Tally("framing-unsaid", show, patch)
    for look in looks(rig, show, patch):
        used = look.carrying
        for link in look.rig.links:
            spoken = look.rig.formats.get(link.format)
            if link.id in used and spoken is not None and spoken.digital and spoken.framings:
                _looked_at(tally, look, link, spoken)
    yield from tally.told("no link in use has a choice of framings at its rate")


def _looked_at(tally: Tally, look: Look, link: Link, spoken: Format) -> None:
    ends = look.ground.ends[link.id]
    rate = look.ground.rate(ends[0].device, f"{ends[0].name}.out")
    now, most = _size(at_rate(spoken.channels, rate)), max(map(_size, spoken.channels.values()), default=0)
    both = [word for word in spoken.framings if all(end.port is None or word in (end.port.framings or (word,)) for end in ends)]
    if not now or now >= most or len(both) < 2:
        return
    tally.seen += 1
    if not link.framing:
        told = f"{link.id} runs {spoken.id} at {rate} Hz, where it may be framed as {' or '.join(both)}; none is set."
        tally.found(look.period, told, link.id, *link.join, numbers=(("channels", now), ("of", most)))


def _size(size: Any) -> int:
    """Return how many channels a format carries, of two ways the larger; 0 where it is not given at a rate."""
    return max(size) if isinstance(size, tuple) else int(size or 0)
