"""A rig of what was drawn for it: desks in a tree, boxes on them, a port and a link for each join.

Comes in: kinds, sizes, who hangs on whom, as small numbers.  Goes out: a `Rig`.  Next: `strategies`.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from patchloom.model.base import Table
from patchloom.model.rig import Device, Domain, Link, Rig, Type
from patchloom.testing.kit import PORTS, box_type, desk_type

__all__ = ["Box", "Desk", "joined"]

Desk = tuple[str, int, str]
"""How its channels choose, which of the desks before it hangs on, the format of that link."""
Box = tuple[int, int, int, int, str]
"""Inputs, which desk it hangs on, whether on another too (0 no), sockets phantom is switched for together, the format."""


# Rows are frozen, and the same few come again and again.
_link = cache(lambda key, ends, spoke: Link(id=key, join=ends, format=spoke))
_placed = cache(lambda key, kind: Device(id=key, type=kind))
_domain = cache(lambda rate: Domain(id="main", rate=rate))


def joined(
    shapes: list[Desk],
    stages: list[Box],
    by: int,
    channels: int,
    spoken: dict[str, Any],
    rate: int,
) -> Rig:
    """Return a rig: `by` slots a block, so many channels on each desk, `spoken` the formats by name, the rate in Hz."""
    joining = _Joining(tuple(spoken))
    names = []
    for number, (kind, _, _) in enumerate(shapes):
        recorder = kind == "recorder" and number > 0
        names.append(
            (f"REC{number}" if recorder else f"DESK{number + 1}", "slots" if kind == "recorder" and not number else kind)
        )
    for number, (_, parent, spoke) in enumerate(shapes):
        hosts = [name for name, kind in names[:number] if kind != "recorder"]
        if hosts:
            joining.join(hosts[parent % len(hosts)], names[number][0], spoke)
    hosts = [name for name, kind in names if kind != "recorder"]
    for number, (_, home, second, _, spoke) in enumerate(stages, 1):
        key = f"BOX{number}"
        joining.join(hosts[home % len(hosts)], key, spoke, box=True)
        if second and len(hosts) > 1:
            others = [name for name in hosts if name != hosts[home % len(hosts)]]
            joining.join(others[(second - 1) % len(others)], key, spoke, box=True)
    return joining.rig(names, stages, by, channels, spoken, rate)


class _Joining:
    """Links, and the ports they take."""

    def __init__(self, formats: tuple[str, ...]) -> None:
        self.formats = formats
        self.links: list[Link] = []
        self.ports: dict[str, int] = {}
        self.first: dict[str, str] = {}

    def join(self, upper: str, lower: str, spoke: str, *, box: bool = False) -> None:
        """Join two devices by one link, where both have a port left."""
        if self.ports.get(upper, 0) >= len(PORTS) or self.ports.get(lower, 0) >= (2 if box else len(PORTS)):
            return
        ends = []
        for key in (lower, upper):
            number = self.ports.get(key, 0)
            self.ports[key] = number + 1
            ends.append(f"{key}.{('main', 'mirror')[number] if box and key == lower else PORTS[number]}")
            self.first.setdefault(key, spoke)
        self.links.append(_link(f"K{len(self.links) + 1}", tuple(ends), spoke))

    def rig(
        self,
        names: list[tuple[str, str]],
        stages: list[Box],
        by: int,
        channels: int,
        spoken: dict[str, Any],
        rate: int,
    ) -> Rig:
        """Return the rig, types of one name made one."""
        kinds: dict[str, Type] = {}
        devices: dict[str, Device] = {}
        for key, kind in names:
            wired = 0
            if kind == "wired" and key in self.first:
                wide = spoken[self.first[key]].each_way(_domain(rate).hertz)
                wired = min(channels, wide[0]) if wide else 0
            devices[key] = _device(key, desk_type(kind, self.ports.get(key, 0), channels, by, self.formats, wired), kinds)
        for number, (size, _, _, phantom, _) in enumerate(stages, 1):
            key = f"BOX{number}"
            if key in self.ports:
                devices[key] = _device(key, box_type(size, self.ports[key], phantom, self.formats), kinds)
        used = {link.format: spoken[link.format] for link in self.links}
        for kind_of in kinds.values():
            used.update({name: spoken[name] for port in kind_of.ports.values() for name in port.speaks})
        return Rig(
            name="drawn",
            domains=Table({"main": _domain(rate)}),
            formats=Table(used),
            types=Table(kinds),
            devices=Table(devices),
            links=tuple(self.links),
        )


def _device(key: str, kind: Type, kinds: dict[str, Type]) -> Device:
    """Return a device of a type, entering the type; a second one of that name gets a number."""
    name, number = kind.id, 1
    while kinds.setdefault(name, kind) is not kind:
        number += 1
        name = f"{kind.id}-v{number}"
    return _placed(key, name)
