"""A clock leader should be there until the end, and somebody should be named to lead after it.

What it says: the leader of a domain leaves or belongs to others while devices of the house follow it, or no
fallback is named for a domain in which anybody follows.
Why: the leader pulls its plug and the whole domain mutes or clicks until another leads (common practice, no source).
When it is no fault: a guest that leads its own gear only, behind a rate converter.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.catalogue import ENTRY
from patchloom.finding import Finding
from patchloom.model.patch import ClockDomain, Patch
from patchloom.model.period import in_period
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["leader_stays"]

_NAME = "leader-stays"


def leader_stays(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each domain whose leader may go, and for each that names no fallback."""
    for setting in patch.settings:
        here, _ = in_period(rig, show, setting.period)
        for domain in setting.clock:
            leader = here.devices.get(domain.leader)
            if leader is None or not domain.followers:
                continue
            others = sorted({row.device for row in domain.followers if _whose(here, row.device) != leader.belongs_to})
            if leader.leaves:
                yield _say(
                    setting.period,
                    domain,
                    f"{domain.leader} leads domain {domain.id} and leaves before the end; {_count(domain)} follow it.",
                )
            elif leader.belongs_to and others:
                yield _say(
                    setting.period,
                    domain,
                    f"{domain.leader} leads domain {domain.id} and belongs to {leader.belongs_to}; "
                    f"{', '.join(others)} follow it and do not.",
                )
            if not domain.fallback:
                yield _say(
                    setting.period,
                    domain,
                    f"No device is named to lead domain {domain.id} after {domain.leader}; {_count(domain)} follow it.",
                )


def _whose(rig: Rig, device: str) -> str:
    return rig.devices[device].belongs_to if device in rig.devices else ""


def _count(domain: ClockDomain) -> str:
    return f"{len({row.device for row in domain.followers})} devices"


def _say(period: str, domain: ClockDomain, message: str) -> Finding:
    entry = ENTRY[_NAME]
    numbers = (("followers", len({row.device for row in domain.followers})),)
    return Finding(_NAME, entry.severity, message, (domain.leader, domain.id), numbers, entry.todo, period)
