"""The three graphs beside audio: preamp control, clock, dependence.

Comes in: the rig as documented, the setting.  Goes out: plain dicts in a fixed order.  Next: `look`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from patchloom.address import Slot
from patchloom.check.ground import End, Ground
from patchloom.model.patch import Setting
from patchloom.model.rig import Rig

if TYPE_CHECKING:
    from patchloom.check.look.look import Delivery

__all__ = ["Edge", "Part", "Thing", "clock_set", "clock_ways", "closure", "commands", "control", "dependence", "turned"]


class Part(NamedTuple):
    """One clock section of a device."""

    device: str
    section: str


class Edge(NamedTuple):
    """Where something goes on to (a device, or a `Part`), and over which link."""

    to: Any
    link: str


class Thing(NamedTuple):
    """A node of the graph of dependence.

    `kind` is delivery (`foh: kick`), device, link, cable (`K1/2`, counted from 1), route (tag of the way a cable runs) or
    supply (tag of power).
    """

    kind: str
    name: str


def control(ground: Ground) -> dict[str, tuple[Edge, ...]]:
    """Return where control goes out to from each device, over links and ports that pass it."""
    found: dict[str, list[Edge]] = {device: [] for device in ground.rig.devices}
    for link_id, ends in ground.ends.items():
        for sender in (0, 1):
            if not ground.shut(ground.links[link_id], sender, "control") and ends[sender].device in found:
                found[ends[sender].device].append(Edge(ends[1 - sender].device, link_id))
    return {device: tuple(rows) for device, rows in found.items()}


def commands(rig: Rig, graph: dict[str, tuple[Edge, ...]], start: str) -> dict[str, tuple[str, ...]]:
    """Return each device control gets to from `start`, itself first, with the shortest way; only some hand it on."""
    found: dict[str, tuple[str, ...]] = {start: (start,)}
    todo = [start]
    while todo:
        here = todo.pop(0)
        if here != start and not (here in rig.devices and rig.type_of(here).passes_control):
            continue
        for edge in graph.get(here, ()):
            if edge.to not in found:
                found[edge.to] = (*found[here], edge.link, edge.to)
                todo.append(edge.to)
    return found


def _part(rig: Rig, end: End) -> Part:
    section = end.port.clock if end.port is not None else ""
    return Part(end.device, section or (rig.sections(end.device)[0] if end.device in rig.devices else "main"))


def clock_ways(ground: Ground) -> dict[Part, tuple[Edge, ...]]:
    """Return which part of a device could follow each part, over links and ports that pass clock."""
    rig = ground.rig
    found: dict[Part, list[Edge]] = {Part(device, section): [] for device in rig.devices for section in rig.sections(device)}
    for link_id, ends in ground.ends.items():
        for sender in (0, 1):
            giver = _part(rig, ends[sender])
            if giver in found and not ground.shut(ground.links[link_id], sender, "clock"):
                found[giver].append(Edge(_part(rig, ends[1 - sender]), link_id))
    return {part: tuple(rows) for part, rows in found.items()}


def clock_set(ground: Ground, setting: Setting) -> dict[Part, tuple[Edge, ...]]:
    """Return who follows each part as the patch sets it; leaders without followers are there too."""
    rig = ground.rig
    found: dict[Part, list[Edge]] = {}
    for domain in setting.clock:
        if domain.leader in rig.devices:
            led = [part for part in rig.sections(domain.leader) if rig.domain_of(domain.leader, part).id == domain.id]
            found.setdefault(Part(domain.leader, (led or rig.sections(domain.leader))[0]), [])
        for row in domain.followers:
            ends = ground.ends.get(row.link)
            giver = next((end for end in ends or () if end.device == row.from_), None)
            if giver is None or row.device not in rig.devices:
                continue
            section = row.section or rig.sections(row.device)[0]
            found.setdefault(_part(rig, giver), []).append(Edge(Part(row.device, section), row.link))
    return {part: tuple(sorted(rows)) for part, rows in sorted(found.items())}


def dependence(
    rig: Rig, deliveries: Iterable[Delivery], link_between: Callable[[Slot, Slot], str]
) -> dict[Thing, tuple[Thing, ...]]:
    """Return what each delivery, device and link cannot be without.

    A delivery leans on every device and link it passes, a device on its supply, a link on what all its cables share:
    of several cables one may go, and the link stays.
    """
    found: dict[Thing, dict[Thing, None]] = {}
    for row in deliveries:
        leans = found.setdefault(Thing("delivery", row.name), {})
        for here, there in pairwise((*row.hops, None)):
            assert here is not None
            leans.setdefault(Thing("device", here.device))
            link = link_between(here, there) if there is not None else ""
            if link:
                leans.setdefault(Thing("link", link))
    for device in rig.devices.values():
        found[Thing("device", device.id)] = {Thing("supply", device.power): None} if device.power else {}
    for item in rig.links:
        leans = found[Thing("link", item.id)] = {}
        cables = [Thing("cable", f"{item.id}/{number}") for number in range(1, len(item.cables) + 1)]
        for thing, cable in zip(cables, item.cables, strict=True):
            tags = (Thing("route", cable.route), Thing("supply", cable.power))
            found[thing] = {tag: None for tag in tags if tag.name}
        if len(cables) == 1:
            leans[cables[0]] = None
        elif cables:
            leans.update((tag, None) for tag in found[cables[0]] if all(tag in found[cable] for cable in cables))
    return {thing: tuple(leans) for thing, leans in found.items()}


def turned(graph: dict[Thing, tuple[Thing, ...]]) -> dict[Thing, tuple[Thing, ...]]:
    """Return a graph with every edge turned round."""
    found: dict[Thing, list[Thing]] = {}
    for thing, leans in graph.items():
        for other in leans:
            found.setdefault(other, []).append(thing)
    return {thing: tuple(rows) for thing, rows in found.items()}


def closure(graph: dict[Thing, tuple[Thing, ...]], things: Iterable[Thing]) -> dict[Thing, None]:
    """Return everything that can be got to from things, themselves included."""
    found = dict.fromkeys(things)
    todo = list(found)
    while todo:
        for other in graph.get(todo.pop(), ()):
            if other not in found:
                found[other] = None
                todo.append(other)
    return found
