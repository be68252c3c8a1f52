"""One clock leader per domain and the port every follower takes its clock from.

Comes in: a rig in one period.  Goes out: `ClockDomain`s, or `Fact`s that rule a clock tree out.
Next: `emit.py`.

The tree is the one with the fewest hops from the leader (breadth first, ties by address).  A domain with a named
leader keeps it; otherwise the device that reaches the whole domain in the fewest hops leads, never one that leaves
or belongs to others while another can.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.finding import Fact
from patchloom.model.patch import ClockDomain, Follower
from patchloom.model.rig import Rig

__all__ = ["clock_domains"]

Part = tuple[str, str]
"""A device and one clock section of it."""


class _Way(NamedTuple):
    """One way clock can travel: from a part, to a part, over a port of the follower and a link."""

    from_: Part
    to: Part
    port: str
    link: str


def clock_domains(rig: Rig) -> tuple[list[ClockDomain], list[Fact]]:
    """Return the clock domains as they should be set, and the facts that rule some of them out."""
    ways, joined = _ways(rig), _joined(rig)
    members: dict[str, list[Part]] = {key: [] for key in rig.domains}
    for device in rig.devices:
        if rig.type_of(device).digital and device in joined:
            for section in rig.sections(device):
                members[rig.domain_of(device, section).id].append((device, section))
    domains, facts = [], []
    for key, parts in members.items():
        if not parts:
            continue
        found = _domain(rig, key, parts, ways)
        if isinstance(found, Fact):
            facts.append(found)
        else:
            domains.append(found)
    return domains, facts


def _joined(rig: Rig) -> frozenset[str]:
    """Return the devices joined to others by links that carry samples or clock; any other keeps a clock of its own."""
    found = {domain.leader for domain in rig.domains.values()}
    for link in rig.links:
        spoken = rig.formats[link.format] if link.format else None
        if spoken is not None and spoken.digital and ("clock" in spoken.pass_ or "audio" in (spoken.pass_ or ("audio",))):
            found.update(end.split(".")[0] for end in link.join)
    return frozenset(found)


def _ways(rig: Rig) -> dict[Part, list[_Way]]:
    ways: dict[Part, list[_Way]] = {}
    for link in rig.links:
        if not link.format or (link.pass_ is not None and "clock" not in link.pass_):
            continue
        ends = [tuple(end.split(".")[:2]) for end in link.join]
        spoken = rig.formats[link.format]
        for (d1, p1), (d2, p2) in ((ends[0], ends[1]), (ends[1], ends[0])):
            out, into = rig.type_of(d1).ports.get(p1), rig.type_of(d2).ports.get(p2)
            if out is None or into is None:
                continue
            if spoken.one_way and (d1, p1) != ends[0]:
                continue
            if out.ways == "in" or into.ways == "out":
                continue
            if out.passes("out", "clock", spoken) and into.passes("in", "clock", spoken):
                from_ = (d1, out.clock or rig.sections(d1)[0])
                to = (d2, into.clock or rig.sections(d2)[0])
                ways.setdefault(from_, []).append(_Way(from_, to, p2, link.id))
    return ways


def _domain(rig: Rig, key: str, parts: list[Part], ways: dict[Part, list[_Way]]) -> ClockDomain | Fact:
    domain = rig.domains[key]
    able = [part for part in parts if _can_lead(rig, part[0])]
    named = [part for part in parts if part[0] == domain.leader]
    tried = named or sorted(able, key=lambda part: (rig.devices[part[0]].leaves, bool(rig.devices[part[0]].belongs_to), part))
    best: tuple[int, int, int, Part, list[Follower]] | None = None
    reached_most: tuple[int, Part, list[Part]] | None = None
    for part in tried:
        followers, missing = _tree(part, parts, ways)
        if missing:
            if reached_most is None or len(missing) < reached_most[0]:
                reached_most = (len(missing), part, missing)
            continue
        device = rig.devices[part[0]]
        guest = int(device.leaves) + int(bool(device.belongs_to))
        rank = (guest, sum(follower.depth for follower in followers), 0, part, followers)
        if best is None or rank[:4] < best[:4]:
            best = rank
    if best is None:
        return _no_tree(domain.id, domain.leader, reached_most, len(parts))
    _, _, _, leader, followers = best
    return ClockDomain(id=key, rate=domain.rate, leader=leader[0], fallback=domain.fallback, followers=tuple(followers))


def _can_lead(rig: Rig, device: str) -> bool:
    own = rig.devices[device].can_lead
    return rig.type_of(device).can_lead if own is None else own


def _tree(leader: Part, parts: list[Part], ways: dict[Part, list[_Way]]) -> tuple[list[Follower], list[Part]]:
    depth = {leader: 0}
    followers: list[Follower] = []
    inside = set(parts)
    todo = [leader]
    for part in todo:
        for way in sorted(ways.get(part, ())):
            if way.to in inside and way.to not in depth:
                depth[way.to] = depth[part] + 1
                followers.append(
                    Follower(
                        device=way.to[0], section=way.to[1], port=way.port, link=way.link, from_=part[0], depth=depth[way.to]
                    )
                )
                todo.append(way.to)
    return followers, [part for part in parts if part not in depth]


def _no_tree(domain: str, leader: str, most: tuple[int, Part, list[Part]] | None, size: int) -> Fact:
    if most is None:
        return Fact(limit=f"clock {domain}", text=f"No device of clock domain {domain} may lead it.", asked=1, there=0, short=1)
    _, part, missing = most
    names = ", ".join(device for device, _ in missing)
    who = leader or f"any device (nearest: {part[0]})"
    return Fact(
        limit=f"clock {domain}",
        text=f"Clock led by {who} in domain {domain} does not reach {names}: no link on the way passes clock in that direction.",
        asked=size - 1,
        there=size - 1 - len(missing),
        short=len(missing),
        members=tuple(device for device, _ in missing),
    )
