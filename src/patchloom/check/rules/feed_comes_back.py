"""A mix comes back into itself, over the desks it passes.

What it says: every circle of mixes in which each is contained in the next and the last one in the first again: over
returns, over what a block drags into channels, over talkback mixed at two desks.  Slots that feed each other without a
mix in between are `signal-loop`.
Why: howl at full level, into loudspeakers and ears.  Turn down before you look; hearing is not repaired.
When it is no fault: an effect loop inside one channel is a declared insert, and is not looked at here.
What data it needs: `feeds.of`.  Absent: all that can reach the mix is assumed to be in it, and a circle that rests on
that is a warning, which says so.
What to do: take the return out of one of the mixes (`not`), or mute it where it is mixed.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["feed_comes_back"]


def feed_comes_back(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each shortest circle of mixes."""
    tally = Tally("feed-comes-back", show, patch)
    for look in looks(rig, show, patch):
        inside = {key: sorted(name for name in row.signals if name in look.mixing) for key, row in look.mixing.items()}
        tally.seen += sum(map(len, inside.values()))
        tally.seen += sum(name in look.mixing for names in look.reach.values() for name in names)
        told: set[str] = set()
        for feed in sorted(inside):
            if feed in look.mixing[feed].feeds and feed not in told:
                ring = _ring(inside, feed)
                told.update(ring)
                _say(tally, look, ring)
    yield from tally.told("no mix comes to a desk that mixes")


def _ring(inside: dict[str, list[str]], start: str) -> list[str]:
    """Return the shortest circle from a feed through those that contain it, itself first."""
    come: dict[str, str] = {}
    todo = [start]
    for here in todo:
        for name in inside[here]:
            if name not in come:
                come[name] = here
                todo.append(name)
        if start in come:
            break
    ring = [come[start]]
    while ring[-1] != start:
        ring.append(come[ring[-1]])
    # From each mix to the one that takes it in: what comes out of `start` goes into the mix that was met last.
    return [start, *(name for name in ring if name != start)]


def _say(tally: Tally, look: Look, ring: list[str]) -> None:
    assumed = [feed for feed in ring if look.mixing[feed].assumed]
    desks = list(dict.fromkeys(look.into.desks[feed] for feed in ring if feed in look.into.desks))
    way = " goes into ".join([*ring, ring[0]])
    told = f"{way}: it comes back to its own source" + (f" ({', '.join(desks)})." if desks else ".")
    numbers = (("mixes", len(ring)),)
    if assumed:
        verb = "does not say what it contains" if len(assumed) == 1 else "do not say what they contain"
        told += f" {', '.join(assumed)} {verb}: all that can reach it is assumed."
        todo = "Say in `of` what it contains, or take the return out."
        tally.found(look.period, told, *ring, *desks, numbers=numbers, severity="warn", todo=todo)
    else:
        tally.found(look.period, told, *ring, *desks, numbers=numbers)
