"""Two cables for one link that one cut, or one supply, takes down together.

What it says: for every link with several cables, whether two of them run the same way, or hang on the same supply.  That
signals declared `disjoint` lean on one thing all the same is `not-disjoint`, which `verify` says; here is said what it could
not compare, because nobody wrote it down.
Why: a spare in the same loom is cut by the same flight case; a spare switch on the same outlet goes with it.
When it is no fault: the way is short and nothing moves there; sign it off with a waiver.
What data it needs: `links.cables.route`; absent: not checked.  `links.cables.power` is the supply of what stands in the
way; absent: nothing stands there.  What both share anyway, the two ports, is not counted.  For signals declared `disjoint`,
the `devices.power` of what they pass as well.
What to do: run one of them another way, hang one on another supply.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise

from patchloom.check.look import Delivery, Look, looks
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
    for look in looks(rig, show, patch):
        for name, ways in _declared(look):
            tally.seen += 1
            _unknown(tally, look, name, ways)
    yield from tally.told("no link has a second cable, and no signals are declared to share nothing")


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


def _declared(look: Look) -> Iterator[tuple[str, list[Delivery]]]:
    """Yield (name, deliveries) of signals that are declared to share nothing on their ways."""
    rows: list[tuple[str, tuple[str, ...], tuple[str, ...]]] = []
    rows += [(row.id, row.of, ()) for row in look.show.groups if row.relation == "disjoint"]
    rows += [(row.id, row.signals, row.positions) for row in look.show.routing if row.rule == "disjoint" and not row.at]
    for name, names, positions in rows:
        ids = dict.fromkeys(word.partition(".")[0] for word in names)
        legs = [leg for key in ids if key in look.signals for leg in look.signals[key].leg_ids()]
        ways = [row for leg in legs for row in look.by_leg.get(leg, ()) if not positions or row.position in positions]
        yield name or "disjoint", ways


def _unknown(tally: Tally, look: Look, name: str, ways: list[Delivery]) -> None:
    """Note what is passed on some ways of which nobody knows what it hangs on, or which way it runs."""
    cables = {link.id: link.cables for link in look.rig.links}
    for row in ways:
        if any(not look.rig.devices[key].power for key in row.devices if key != row.end.device and key in look.rig.devices):
            tally.lacks("devices.power", "what devices hang on that signals pass which must share nothing is unknown", name)
        links = dict.fromkeys(look.link_between(here, there) for here, there in pairwise(row.hops))
        if any(not cables[link] or not all(cable.route for cable in cables[link]) for link in links if link in cables):
            tally.lacks("links.cables.route", "which way cables run that carry what must share nothing is unknown", name)
