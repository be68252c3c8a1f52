"""Who owns each preamp, over a way that carries control.

Comes in: a rig and a show in one period, and the sockets in use.  Goes out: `Ownership`s, or `Fact`s.
Next: `gain.py` needs to know who owns what; `emit.py` prints it.

Control starts at the owner's desk, leaves by a port whose out side passes control, and enters the box by a port
whose in side does; devices that hand control on (switches) may stand in between.  A desk owns its own preamps.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.address import Slot, parse, spans
from patchloom.finding import Fact
from patchloom.model.patch import Ownership
from patchloom.model.rig import Preamp, Rig
from patchloom.model.show import Show

__all__ = ["ownerships"]


_DOORS = ("local", "port")
"""What an absent `doors` means."""

Ways = dict[str, list[tuple[str, str]]]
"""Device to the (link, device) pairs it can send control on to, in the order of the links."""


def control_ways(rig: Rig) -> Ways:
    """Return where control can get to in one hop from each device; O(links)."""
    ways: Ways = {}
    for link in rig.links:
        if not link.format or (link.pass_ is not None and "control" not in link.pass_):
            continue
        spoken = rig.formats[link.format]
        ends = [tuple(end.split(".")[:2]) for end in link.join]
        for (d1, p1), (d2, p2) in ((ends[0], ends[1]), (ends[1], ends[0])):
            out, into = rig.type_of(d1).ports.get(p1), rig.type_of(d2).ports.get(p2)
            if out and into and out.passes("out", "control", spoken) and into.passes("in", "control", spoken):
                ways.setdefault(d1, []).append((link.id, d2))
    return ways


def control_paths(rig: Rig, desk: str, ways: Ways) -> dict[str, tuple[str, ...]]:
    """Return, for each device a desk can control, the way there as device, link, device, ... (fewest hops)."""
    reached: dict[str, tuple[str, ...]] = {desk: (desk,)}
    todo = [desk]
    for device in todo:
        if device != desk and not rig.type_of(device).passes_control:
            continue
        for link, other in ways.get(device, ()):
            if other not in reached:
                reached[other] = (*reached[device], link, other)
                todo.append(other)
    return reached


def _controllable(rig: Rig, desk: str, ways: Ways) -> dict[str, tuple[str, ...]]:
    """Return the ways to what a person at a desk can control, by what the desk's type says of itself."""
    kind = rig.type_of(desk)
    paths = control_paths(rig, desk, ways)
    if not kind.controls and kind.role == "desk":
        return paths
    return {
        device: path
        for device, path in paths.items()
        if device == desk or rig.type_of(device).role in kind.controls or rig.devices[device].type in kind.controls
    }


def ownerships(rig: Rig, show: Show, used: Iterable[Slot], legs: dict[Slot, str]) -> tuple[list[Ownership], list[Fact]]:
    """Return the owner of every preamp in use, one per device where the device asks for that; and facts against.

    `legs` says which leg is plugged into each used socket.
    """
    groups: dict[tuple[str, str, int], list[Slot]] = {}
    for place in sorted(used):
        kind = rig.type_of(place.device)
        bank = kind.banks.get(place.bank)
        if bank is None or not bank.preamp:
            continue
        preamp = kind.preamps[bank.preamp]
        if preamp.owner_by == "device":
            key = (place.device, "", 0)
        elif preamp.owner_by == "group":
            key = (place.device, place.bank, (place.number - 1) // (preamp.phantom_by or 8))
        elif preamp.owner_by == "socket":
            key = (place.device, place.bank, place.number)
        else:
            key = (place.device, place.bank, 0)
        groups.setdefault(key, []).append(place)
    if not groups:
        return [], []
    wanted: dict[str, list[str]] = {}
    for item in show.lists:
        for want in item.wants:
            if want is not None:
                wanted.setdefault(want.signal, []).append(item.position)
    positions = list(
        dict.fromkeys(
            [item.position for item in show.lists] + [feed.mixed_at for feed in show.feeds] + [row.owner for row in show.owners]
        )
    )
    ways = control_ways(rig)
    paths = {position: _controllable(rig, desk, ways) for position in positions if (desk := show.desk_of(position))}
    found, facts = [], []
    for places in groups.values():
        rows, fact = _own(rig, show, places, legs, wanted, paths)
        found.extend(rows)
        facts.extend(fact)
    return found, facts


def _own(
    rig: Rig,
    show: Show,
    places: list[Slot],
    legs: dict[Slot, str],
    wanted: dict[str, list[str]],
    paths: dict[str, dict[str, tuple[str, ...]]],
) -> tuple[list[Ownership], list[Fact]]:
    device = places[0].device
    declared = [row.owner for place in places for row in show.owners if any(_holds(text, place) for text in row.preamps)]
    names = list(dict.fromkeys(declared))
    if len(names) > 1:
        return [], [
            Fact(
                limit=f"owner of {device}",
                text=f"{device} takes one owner for {spans(places)[0]}, and the show names {len(names)}: {', '.join(names)}.",
                asked=len(names),
                there=1,
                short=len(names) - 1,
                members=tuple(names),
            )
        ]
    bank = rig.type_of(device).banks[places[0].bank]
    preamp = rig.type_of(device).preamps[bank.preamp or ""]
    if names:
        owner = names[0]
        path = paths.get(owner, {}).get(device)
        if path is None:
            return [], [_unreachable(rig, show, owner, device, len(places))]
        if not _admits(preamp, path):
            return [], [_no_door(owner, device, preamp, path, len(places))]
    else:
        able = [position for position in paths if device in paths[position] and _admits(preamp, paths[position][device])]
        counts = {
            position: sum(position in wanted.get(legs.get(place, "").partition(".")[0], ()) for place in places)
            for position in able
        }
        own = [position for position in able if len(paths[position][device]) == 1]
        ranked = sorted(own or able, key=lambda position: (-counts[position], able.index(position)))
        owner = ranked[0] if ranked else ""
        path = paths[owner][device] if owner else ()
    return [Ownership(preamps=run, owner=owner, door=_door(preamp, path), path=path) for run in spans(places)], []


def _door(preamp: Preamp, path: tuple[str, ...]) -> str:
    """Return by which door control comes that takes a way: device, link, device, ..."""
    return "local" if len(path) <= 1 else "port" if len(path) == 3 or "network" not in preamp.doors else "network"


def _admits(preamp: Preamp, path: tuple[str, ...]) -> bool:
    """Return whether a preamp lets itself be moved from the start of a way: at home always."""
    return len(path) <= 1 or _door(preamp, path) in (preamp.doors or _DOORS)


def _no_door(owner: str, device: str, preamp: Preamp, path: tuple[str, ...], count: int) -> Fact:
    """Return that control arrives at a device by a door its preamps do not have."""
    return Fact(
        limit=f"control of {device}",
        text=f"{owner} cannot own the preamps of {device}: control from {path[0]} comes by the {_door(preamp, path)} door; they "
        f"have {' and '.join(preamp.doors) or 'none'}.",
        asked=count,
        there=0,
        short=count,
        members=(owner, device),
    )


def _holds(text: str, place: Slot) -> bool:
    return parse(text).holds(place)


def _unreachable(rig: Rig, show: Show, owner: str, device: str, count: int) -> Fact:
    desk = show.desk_of(owner)
    if not desk:
        return Fact(limit=f"control of {device}", text=f"{owner} has no desk to control {device} from.", members=(owner, device))
    joins = [link for link in rig.links if {end.split(".")[0] for end in link.join} == {desk, device}]
    if joins:
        words = ", ".join(f"{link.id} ({' - '.join(link.join)})" for link in joins)
        verb = "carry" if len(joins) > 1 else "carries"
        text = f"{owner} cannot own the preamps of {device}: {words} {verb} no control from {desk} to {device}."
    else:
        text = f"{owner} cannot own the preamps of {device}: no way from {desk} to {device} carries control."
    return Fact(
        limit=f"control of {device}",
        text=text,
        asked=count,
        there=0,
        short=count,
        members=(owner, device, *(link.id for link in joins)),
    )
