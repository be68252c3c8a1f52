"""The next clock leader does not reach everybody who still has something to do.

What it says: for every clock domain, what happens when its leader is gone: the device named next must be there to stay,
and its clock must get to every follower that still brings sources without the lost one.
Why: a fallback that is written down and whose clock goes nowhere is found out at the worst moment.
When it is no fault: what it does not reach is silent anyway without the leader: that is not counted.
What data it needs: the fallback of the clock domain; where none is named, `leader-stays` says so.
What to do: name another one, or join it by a link that passes clock.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, Part, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import ClockDomain, Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["fallback_reaches"]


def fallback_reaches(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each domain whose next leader may go too, or reaches too few."""
    tally = Tally("fallback-reaches", show, patch)
    for look in looks(rig, show, patch):
        for domain in look.setting.clock:
            heir = next((device for device in domain.fallback if device in look.rig.devices), "")
            if heir and heir != domain.leader and domain.followers:
                tally.seen += 1
                _heir(tally, look, domain, heir)
    yield from tally.told("no clock domain with followers names who leads next")


def _heir(tally: Tally, look: Look, domain: ClockDomain, heir: str) -> None:
    if look.rig.devices[heir].leaves:
        told = f"{heir} is to lead domain {domain.id} after {domain.leader}, and leaves before the end itself."
        tally.found(look.period, told, heir, domain.id)
        return
    there = _reached(look, domain, heir)
    alive = _alive(look, domain.leader)
    lost = [row.device for row in domain.followers if row.device in alive and row.device not in there]
    if lost:
        names = list(dict.fromkeys(lost))
        told = f"Without {domain.leader}, {heir} leads domain {domain.id}, and no clock gets from there to {some(names)}."
        tally.found(look.period, told, heir, domain.id, *names, numbers=(("not reached", len(names)),))


def _reached(look: Look, domain: ClockDomain, heir: str) -> set[str]:
    """Return the devices the heir's clock gets to inside its domain, round the lost leader."""
    todo = [Part(heir, part) for part in look.rig.sections(heir) if look.rig.domain_of(heir, part).id == domain.id]
    seen = set(todo)
    while todo:
        for edge in look.clock_ways.get(todo.pop(), ()):
            part = edge.to
            if part in seen or part.device == domain.leader or part.device not in look.rig.devices:
                continue
            if look.rig.domain_of(part.device, part.section).id == domain.id:
                seen.add(part)
                todo.append(part)
    return {part.device for part in seen}


def _alive(look: Look, leader: str) -> set[str]:
    """Return the devices sources still pass on their way to somebody when a device is gone."""
    found: set[str] = set()
    for way in {row.devices for row in look.deliveries if row.leg in look.sources}:
        if leader not in way:
            found.update(way)
    return found
