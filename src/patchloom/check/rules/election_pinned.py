"""A clock domain runs over a packet network, and who leads is left to an election.

What it says: every clock domain in which clock passes a link of a packet format, and for which the rig names no leader.
The patch names one; on the network the devices elect theirs.
Why: the election falls to whoever has the lowest number, perhaps to a laptop that is shut in the break.
When it is no fault: all devices but one are set never to lead; name that one as the leader.
What data it needs: `domains.leader`, `formats.packet_ms`; it is the missing leader itself that is the finding.
What to do: give one device the preferred place and the next one the second, and write both down.
Source: IEEE 1588 elects the best clock by priorities that can be set (from memory); the rest is common practice.
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

__all__ = ["election_pinned"]


def election_pinned(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each domain on a packet network without a leader of the rig's."""
    tally = Tally("election-pinned", show, patch)
    for look in looks(rig, show, patch):
        for domain in look.setting.clock:
            links = _packets(look, domain)
            known = look.rig.domains.get(domain.id)
            tally.seen += len(links)
            if links and known is not None and not known.leader:
                told = f"Domain {domain.id} takes its clock over a packet network ({some(links)}), and the rig names no leader."
                tally.found(look.period, told, domain.id, *links, numbers=(("links", len(links)),))
    yield from tally.told("no clock passes a packet network")


def _packets(look: Look, domain: ClockDomain) -> list[str]:
    """Return the links of a packet format followers take their clock over."""
    links = look.ground.links
    found = []
    for row in domain.followers:
        spoken = look.rig.formats.get(links[row.link].format) if row.link in links else None
        if spoken is not None and spoken.packet_ms is not None:
            found.append(row.link)
    return list(dict.fromkeys(found))
