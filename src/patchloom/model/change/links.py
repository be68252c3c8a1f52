"""Changes of what joins devices: other formats, more channels, one link more.

Comes in: rig, show, what is changed and to what.  Goes out: the pair with another rig.  Next: `change/__init__.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import attrs

from patchloom.library import formats
from patchloom.model.base import Table, build
from patchloom.model.change.rigs import larger, retype
from patchloom.model.rig import Format, Link, Rig, Type
from patchloom.model.show import Show

__all__ = ["DOES"]

Pair = tuple[Rig, Show]


def _with_format(rig: Rig, name: str) -> Rig:
    """Return a rig that knows a format, from the library where it does not yet."""
    if name in rig.formats or name not in formats():
        return rig
    return attrs.evolve(rig, formats=Table({**rig.formats, name: build(Format, formats()[name], id=name)}))


def _links(rig: Rig, of: tuple[str, ...], **values: Any) -> Rig:
    return attrs.evolve(rig, links=tuple(attrs.evolve(link, **values) if link.id in of else link for link in rig.links))


def format_(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let links speak the format `to`."""
    return _with_format(_links(rig, of, format=to, framing=()), to), show


def link(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Add links: ids `of`, joined and speaking as `to` says: [end, end, format]."""
    first, second, spoken = to
    added = tuple(Link(id=key, join=(first, second), format=spoken) for key in of)
    return _with_format(attrs.evolve(rig, links=(*rig.links, *added)), spoken), show


def carries_all(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let links carry all that their ports and format pass."""
    return _links(rig, of, pass_=None), show


def channels(rig: Rig, show: Show, of: tuple[str, ...], to: Any) -> Pair:
    """Let links, and the ports at their ends, carry `to` channels more in every direction that carries any."""
    for key in of:
        found = next(row for row in rig.links if row.id == key)
        if not found.format:
            continue  # a run of sockets holds as many as there are
        name = f"{found.format}-for-{key}"
        spoken = rig.formats[found.format]
        wider = attrs.evolve(spoken, id=name, channels=_wider(spoken.channels, to))
        rig = attrs.evolve(_links(rig, (key,), format=name), formats=Table({**rig.formats, name: wider}))
        for end in found.join:
            device, _, port = end.partition(".")
            rig = retype(rig, device, lambda kind, port=port: _speaks(kind, port, name, to))  # type: ignore[misc]
    return rig, show


def _wider(table: Table, more: int) -> Table:
    return Table(
        {
            key: tuple(larger(way, more) for way in size) if isinstance(size, tuple) else larger(size, more)
            for key, size in table.items()
        }
    )


def _speaks(kind: Type, name: str, spoken: str, more: int) -> Type:
    port = kind.ports[name]
    size: Any = port.slots
    if isinstance(size, Mapping) and {"in", "out"} & set(size):
        size = Table({key: larger(value, more) for key, value in size.items()})
    elif size is not None:
        size = larger(size, more)
    made = attrs.evolve(port, speaks=(*port.speaks, spoken), slots=size)
    return attrs.evolve(kind, ports=Table({**kind.ports, name: made}))


DOES: dict[str, Callable[[Rig, Show, tuple[str, ...], Any], Pair]] = {
    "carries-all": carries_all,
    "channels": channels,
    "format": format_,
    "link": link,
}
