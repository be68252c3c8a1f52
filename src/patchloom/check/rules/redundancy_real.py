"""Two cables for one link that one cut, or one supply, takes down together.

What it says: for every link with several cables, whether two of them run the same way, or hang on the same supply.
Why: a spare in the same loom is cut by the same flight case; a spare switch on the same outlet goes with it.
When it is no fault: the way is short and nothing moves there; sign it off with a waiver.
What data it needs: `links.cables.route`; absent: not checked.  `links.cables.power` is the supply of what stands in the
way; absent: nothing stands there.  What both share anyway, the two ports, is not counted.
What to do: run one of them another way, hang one on another supply.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Link, Rig
from patchloom.model.show import Show

__all__ = ["redundancy_real"]


def redundancy_real(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each two cables of a link that share a way or a supply."""
    tally = Tally("redundancy-real", show, patch)
    for link in rig.links:
        if len(link.cables) > 1:
            tally.seen += 1
            _pairs(tally, link)
    yield from tally.told("no link has a second cable")


def _pairs(tally: Tally, link: Link) -> None:
    for (first, one), (second, two) in combinations(enumerate(link.cables, 1), 2):
        shared = [
            f"{words} {tag!r}"
            for words, tag, other in (("the way", one.route, two.route), ("the supply", one.power, two.power))
            if tag and tag == other
        ]
        if shared:
            told = f"Cables {first} and {second} of {link.id} share {' and '.join(shared)}: one loss takes both."
            tally.found("", told, link.id, numbers=(("cables", len(link.cables)),))
        elif not one.route or not two.route:
            tally.lacks("links.cables.route", "which way the cables of some doubled links run is unknown", link.id)
