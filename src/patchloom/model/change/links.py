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
    """Let links, and the ports at their ends, carry more channels in every direction that carries any.

    `to` is how many more, or [from the first end to the second, from the second to the first].
    """
    there, back = to if isinstance(to, tuple) else (to, to)
    for key in of:
        found = next(row for row in rig.links if row.id == key)
        if not found.format:
            continue  # a run of sockets holds as many as there are
        name = f"{found.format}-for-{key}"
        spoken = rig.formats[found.format]
        wider = attrs.evolve(spoken, id=name, channels=_wider(spoken.channels, there, back))
        rig = attrs.evolve(_links(rig, (key,), format=name), formats=Table({**rig.formats, name: wider}))
        for end, out, into in ((found.join[0], there, back), (found.join[1], back, there)):
            rig = _opened(rig, end, name, out, into)
    return rig, show


def _wider(table: Table, there: int, back: int) -> Table:
    made = {}
    for key, size in table.items():
        first, second = size if isinstance(size, tuple) else (size, size)
        made[key] = (larger(first, there), larger(second, back))
    return Table(made)


def _opened(rig: Rig, end: str, spoken: str, out: int, into: int) -> Rig:
    """Return a rig in which one end of a link speaks a format and holds so many more each way."""
    device, _, port = end.partition(".")

    def change(kind: Type) -> Type:
        found = kind.ports[port]
        size: Any = found.slots
        if size is not None:
            two = size if isinstance(size, Mapping) and {"in", "out"} & set(size) else {"in": size, "out": size}
            size = Table({key: larger(value, out if key == "out" else into) for key, value in two.items()})
        made = attrs.evolve(found, speaks=(*found.speaks, spoken), slots=size)
        return attrs.evolve(kind, ports=Table({**kind.ports, port: made}))

    return retype(rig, device, change)


DOES: dict[str, Callable[[Rig, Show, tuple[str, ...], Any], Pair]] = {
    "carries-all": carries_all,
    "channels": channels,
    "format": format_,
    "link": link,
}
