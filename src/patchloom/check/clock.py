"""Whether every device in use has a clock, from one leader per domain, over ways that pass clock.

Comes in: a `Scene`.  Goes out: items.  Next: `verify`.  That all joined digital devices must run from one sample
clock is common practice; AES11 describes distributing one.
"""

from __future__ import annotations

from patchloom.check.scene import Scene
from patchloom.check.side import Side
from patchloom.check.signals import Node
from patchloom.model.patch import ClockDomain, Follower
from patchloom.model.rig import Domain

__all__ = ["check_clock"]

_Part = tuple[str, str]


def check_clock(scene: Scene) -> None:
    """Check every clock domain of the period."""
    rows: dict[str, ClockDomain] = {}
    for row in scene.setting.clock:
        if row.id not in scene.rig.domains:
            scene.report.add(
                "clock-unknown-domain", f"The patch sets clock domain {row.id}, which the rig does not have.", row.id
            )
        elif row.id in rows:
            leaders = (rows[row.id].leader, row.leader)
            scene.report.add(
                "clock-two-leaders",
                f"Domain {row.id} is led by {leaders[0]} and by {leaders[1]}.",
                row.id,
                *leaders,
                numbers=(("leaders", 2),),
            )
        else:
            rows[row.id] = row
    needed = _in_use(scene)
    for domain in scene.rig.domains.values():
        parts = [part for part in needed if scene.rig.domain_of(*part).id == domain.id]
        found = rows.get(domain.id)
        if found is not None:
            _check_domain(scene, domain, found, parts)
        elif parts:
            scene.report.add(
                "clock-no-row",
                f"Domain {domain.id} has {len(parts)} devices in use and is not set.",
                domain.id,
                *dict.fromkeys(device for device, _ in parts),
            )


def _in_use(scene: Scene) -> list[_Part]:
    """Return the digital devices and clock sections the patch uses, by address."""
    places = {(place.device, place.bank) for place in (*scene.setting.plugs.values(), *scene.setting.mixes.values())}
    for choice in scene.setting.selections:
        places.add((choice.into.device, choice.into.bank or ""))
    # There is one node a slot, so that where one was met before, all before it were.
    seen: set[int] = set()
    passed: set[Side] = set()
    for _, _, end in scene.delivered:
        if end.way is not None:
            passed.update(end.way)
            continue
        node: Node | None = end
        while node is not None and id(node) not in seen:
            seen.add(id(node))
            places.add(node.slot[:2])
            node = node.up
    places.update((side.device, side.bank) for side in passed)
    # A device that shares no digital line with another keeps its own clock, and nobody hears the difference.
    sharing = {
        end.split(".")[0]
        for link in scene.rig.links
        if link.format and scene.rig.formats[link.format].digital
        for end in link.join
    }
    parts = set()
    for device, bank in places:
        if device in sharing and scene.ground.known(device, bank) and scene.rig.type_of(device).digital:
            side, kind = scene.ground.port(device, bank), scene.ground.bank(device, bank)
            section = (side[0].clock if side else kind.clock if kind else "") or scene.rig.sections(device)[0]
            parts.add((device, section))
    return sorted(parts)


def _check_domain(scene: Scene, domain: Domain, row: ClockDomain, parts: list[_Part]) -> None:
    report = scene.report
    if str(row.rate) != str(domain.rate):
        report.add(
            "clock-rate",
            f"Domain {row.id} is set to {row.rate} Hz; the rig says {domain.rate}.",
            row.id,
            numbers=(("set Hz", row.rate), ("rig Hz", domain.rate)),
        )
    followers = _followers(scene, row)
    if not row.leader:
        report.add("clock-no-leader", f"Domain {row.id} has no leader.", row.id)
    else:
        _check_leader(scene, domain, row, followers)
    _check_fallback(scene, domain, row)
    wrong = {follower.device for follower in followers.values() if not _check_follower(scene, domain, follower)}
    if row.leader:
        missing = [part for part in parts if part not in followers and part[0] != row.leader]
        missing += [part for part in parts if part[0] == row.leader and part not in followers and not _leads(scene, row, part)]
        if missing:
            names = ", ".join(
                device if len(scene.rig.sections(device)) == 1 else f"{device} {section}" for device, section in missing
            )
            report.add(
                "clock-missing",
                f"{names}: in use in domain {row.id}, and neither leading nor following.",
                *dict.fromkeys(device for device, _ in missing),
                numbers=(("devices", len(missing)),),
                key=row.id,
            )
        _check_chains(scene, row, followers, {device for device, _ in missing}, wrong)


def _leads(scene: Scene, row: ClockDomain, part: _Part) -> bool:
    sections = [section for section in scene.rig.sections(part[0]) if scene.rig.domain_of(part[0], section).id == row.id]
    return bool(sections) and sections[0] == part[1]


def _followers(scene: Scene, row: ClockDomain) -> dict[_Part, Follower]:
    found: dict[_Part, Follower] = {}
    for follower in row.followers:
        if follower.device not in scene.rig.devices:
            scene.report.add(
                "device-absent", f"{follower.device} follows in domain {row.id}, but it is not there.", follower.device, row.id
            )
            continue
        part = (follower.device, follower.section or scene.rig.sections(follower.device)[0])
        if part in found:
            scene.report.add(
                "clock-two-inputs",
                f"{follower.device} takes its clock over {found[part].link} and over {follower.link}.",
                follower.device,
                found[part].link,
                follower.link,
                numbers=(("inputs", 2),),
            )
            continue
        found[part] = follower
    return found


def _may_lead(scene: Scene, domain: Domain, device: str) -> str:
    """Return why a device may not lead a domain; empty when it may."""
    if device not in scene.rig.devices:
        return "is not there"
    own, kind = scene.rig.devices[device].can_lead, scene.rig.type_of(device)
    if not (kind.can_lead if own is None else own) or not kind.digital:
        return "cannot lead"
    if all(scene.rig.domain_of(device, section).id != domain.id for section in scene.rig.sections(device)):
        return "is not of this domain"
    return ""


def _check_leader(scene: Scene, domain: Domain, row: ClockDomain, followers: dict[_Part, Follower]) -> None:
    why = _may_lead(scene, domain, row.leader)
    if why:
        scene.report.add("clock-cannot-lead", f"{row.leader} leads domain {row.id} and {why}.", row.leader, row.id)
    elif domain.leader and row.leader != domain.leader and domain.leader in scene.rig.devices:
        scene.report.add(
            "clock-leader-unlike",
            f"{row.leader} leads domain {row.id}; the rig says {domain.leader}.",
            row.id,
            row.leader,
            domain.leader,
        )
    for part, follower in followers.items():
        if part[0] == row.leader and _leads(scene, row, part):
            scene.report.add(
                "clock-loop",
                f"{row.leader} leads domain {row.id} and follows {follower.from_} in it.",
                row.leader,
                row.id,
                follower.from_,
            )


def _check_fallback(scene: Scene, domain: Domain, row: ClockDomain) -> None:
    there = tuple(device for device in domain.fallback if device in scene.rig.devices)
    if domain.fallback and row.fallback not in (domain.fallback, there):
        scene.report.add(
            "clock-fallback-unlike",
            f"Domain {row.id} falls back to {', '.join(row.fallback) or 'nobody'}; the rig says {', '.join(domain.fallback)}.",
            row.id,
            *row.fallback,
        )
        return
    for device in row.fallback:
        why = _may_lead(scene, domain, device)
        if why and device in scene.rig.devices:
            scene.report.add("clock-cannot-lead", f"{device} is next to lead domain {row.id} and {why}.", device, row.id)


def _check_follower(scene: Scene, domain: Domain, row: Follower) -> bool:
    """Return whether a follower's way is one clock can take; note it where it is not."""
    link = scene.ground.links.get(row.link)
    ends = scene.ground.ends.get(row.link)
    number = None
    if ends is not None:
        number = next(
            (n for n in (0, 1) if (ends[n].device, ends[n].name) == (row.device, row.port) and ends[1 - n].device == row.from_),
            None,
        )
    if link is None or ends is None or number is None:
        scene.report.add(
            "clock-not-joined",
            f"{row.device} follows {row.from_} over {row.link} at port {row.port}; no such link joins them.",
            row.device,
            row.link,
            row.from_,
        )
        return False
    shut = scene.ground.shut(link, 1 - number, "clock")
    if shut:
        scene.report.add(
            "clock-not-passed", f"{row.device} follows {row.from_} over {row.link}, but {shut}.", row.device, row.link, row.from_
        )
        return False
    here, there = ends[number], ends[1 - number]
    own = scene.rig.domain_of(row.device, row.section)
    port_section = here.port.clock if here.port else ""
    taken = scene.rig.domain_of(row.device, port_section)
    given = scene.rig.domain_of(row.from_, there.port.clock if there.port else "")
    section = row.section or scene.rig.sections(row.device)[0]
    if (port_section or scene.rig.sections(row.device)[0]) != section:
        scene.report.add(
            "clock-wrong-domain",
            f"{row.device} takes the clock of its section {section} at port {row.port}, which belongs to another section.",
            row.device,
            row.link,
        )
        return False
    if not domain.id == own.id == taken.id == given.id:
        scene.report.add(
            "clock-wrong-domain",
            f"{row.device} (domain {own.id}) follows {row.from_} (domain {given.id}) in domain {domain.id}.",
            row.device,
            row.link,
            row.from_,
        )
        return False
    return True


def _check_chains(scene: Scene, row: ClockDomain, followers: dict[_Part, Follower], missing: set[str], wrong: set[str]) -> None:
    """Follow every follower to the leader; each circle and each broken chain is one item."""
    by_device: dict[str, Follower] = {}
    for part, follower in followers.items():
        by_device.setdefault(part[0], follower)
    depth: dict[str, int | None] = {row.leader: 0}
    for device in by_device:
        chain: list[str] = []
        here = device
        while here not in depth and here in by_device and here not in chain:
            chain.append(here)
            here = by_device[here].from_
        if here in chain:
            ring = sorted(chain[chain.index(here) :])
            scene.report.add("clock-loop", f"{', '.join(ring)} follow each other in a circle in domain {row.id}.", *ring, row.id)
        elif here not in depth and here not in missing and chain[-1] not in wrong:
            scene.report.add(
                "clock-broken", f"{chain[-1]} follows {here}, which has no clock in domain {row.id}.", chain[-1], here, row.id
            )
        start = depth.get(here)
        for name in reversed(chain):
            start = None if start is None else start + 1
            depth[name] = start
    for device, follower in by_device.items():
        right = depth.get(device)
        if right is not None and device != row.leader and follower.depth != right:
            scene.report.add(
                "clock-depth",
                f"{device} is {right} hops from the leader; the patch says {follower.depth}.",
                device,
                row.id,
                numbers=(("hops", right), ("said", follower.depth)),
            )
