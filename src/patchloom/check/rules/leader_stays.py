"""A clock leader that may go, or that nobody is named after, while others go on.

What it says: the leader of a domain leaves, or belongs to others, or no fallback is named for it, and something would still
be heard without it: a delivery that passes one of its followers and not the leader itself.
Why: the leader pulls its plug, and the whole domain mutes or clicks until another one leads (common practice, no source).
When it is no fault: a guest that leads its own gear only; a desk through which everything passes anyway, as in a small
house: when it goes, there is nothing left that needs a clock.  A rate converter ends a domain.
What data it needs: the patch; `devices.leaves` and `devices.belongs_to` (absent: it stays, it is the house's),
`domains.fallback`.
What to do: let a device of the house lead, name a fallback and set it at each device, or put a rate converter between.
Source: AES11 describes distributing one reference; who should lead is common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import ClockDomain, Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["leader_stays"]


def leader_stays(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each domain whose leader may go, and for each that names no fallback."""
    tally = Tally("leader-stays", show, patch)
    for look in looks(rig, show, patch):
        for domain in look.setting.clock:
            leader = look.rig.devices.get(domain.leader)
            if leader is not None and domain.followers:
                tally.seen += 1
                silenced = _silenced(look, domain)
                if silenced:
                    _domain(tally, look, domain, silenced)
    yield from tally.told("no device follows another one's clock")


def _silenced(look: Look, domain: ClockDomain) -> tuple[str, ...]:
    """Return the followers that still carry something when the leader is gone, and would lose their clock."""
    ways = {row.devices for row in look.deliveries}
    left = {device for way in ways if domain.leader not in way for device in way}
    return tuple(dict.fromkeys(row.device for row in domain.followers if row.device in left))


def _domain(tally: Tally, look: Look, domain: ClockDomain, silenced: tuple[str, ...]) -> None:
    leader = look.rig.devices[domain.leader]
    others = [device for device in silenced if device in look.rig.devices and _whose(look, device) != leader.belongs_to]
    leads = f"{domain.leader} leads domain {domain.id}"
    told = ""
    if leader.leaves:
        verb = "carries" if len(silenced) == 1 else "carry"
        told = f"{leads} and leaves before the end; {some(silenced)} still {verb} something then."
    elif leader.belongs_to and others:
        verbs = "follows it and does" if len(others) == 1 else "follow it and do"
        told = f"{leads} and belongs to {leader.belongs_to}; {some(others)} {verbs} not."
    numbers = (("followers", len({row.device for row in domain.followers})), ("go on", len(silenced)))
    if told:
        tally.found(look.period, told, domain.leader, domain.id, numbers=numbers)
    if not domain.fallback:
        told = f"No device is named to lead domain {domain.id} after {domain.leader}; {some(silenced)} would be without a clock."
        todo = "Name a fallback, and set the order at each device."
        tally.found(look.period, told, domain.leader, domain.id, numbers=numbers, todo=todo)


def _whose(look: Look, device: str) -> str:
    return look.rig.devices[device].belongs_to
