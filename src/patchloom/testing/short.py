"""What makes a show impossible: one kind of shortage after another, made out of a show that could be carried.

Comes in: a rig and a show that can be patched.  Goes out: an `Infeasible`, whose reason is known without a search.
Next: `strategies.infeasible`.
"""

from __future__ import annotations

from collections.abc import Callable

import attrs

from patchloom.model.base import Table
from patchloom.model.rig import Format, Rig, Type
from patchloom.model.show import List, Plug, Position, Routing, Show, Source, Want
from patchloom.testing.asking import Listening, listening, sockets
from patchloom.testing.last import Infeasible

__all__ = ["SHORT", "shorten"]

_Made = tuple[Rig, Show, str] | None


def shorten(rig: Rig, show: Show, kinds: tuple[str, ...], which: int, pick: int) -> Infeasible:
    """Return a show that cannot be carried: of the kind `which` of `kinds`, or the next of them that can be made, or else
    two sources on one socket.

    Raises ValueError where the rig has not even one socket and one bank to listen at.
    """
    for step in range(len(kinds)):
        kind = kinds[(which + step) % len(kinds)]
        made = SHORT[kind](rig, show, pick)
        if made is not None:
            return Infeasible(made[0], made[1], kind, made[2])
    made = _same_socket(rig, show, pick)
    if made is None:
        raise ValueError("this rig has no input socket, or nobody who could listen; nothing can be asked of it in vain")
    return Infeasible(made[0], made[1], "same-socket", made[2])


def _heard(show: Show) -> list[tuple[List, Want]]:
    """Return the wants, each with its list, as long as they are in use."""
    return [(row, want) for row in show.lists for want in row.wants if want is not None]


def _without_acts(show: Show) -> Show:
    """Return a show of one act, in which everything is in use at once."""
    return attrs.evolve(show, periods=())


def _same_socket(rig: Rig, show: Show, pick: int) -> _Made:
    """Two sources fixed on one socket, both wanted."""
    there = sockets(rig, "in")
    lists = listening(rig)
    if not there or not lists:
        return None
    heard = _heard(show)
    show = _without_acts(show)
    if heard:
        row, want = heard[pick % len(heard)]
        first = next((plug for plug in show.plug if plug.source.partition(".")[0] == want.signal), None)
        if first is None:
            return None
        where = first.into[0] if "[" in first.into[0] else f"{first.into[0]}[1]"
        plugs = tuple(attrs.evolve(plug, into=(where,)) if plug is first else plug for plug in show.plug)
        lists_now = tuple(
            attrs.evolve(item, wants=(*item.wants, Want(signal="rival"))) if item is row else item for item in show.lists
        )
    else:
        where = f"{there[0][0]}.{there[0][1]}[1]"
        plugs = (*(plug for plug in show.plug if plug.source != "first"), Plug(source="first", into=(where,)))
        show = attrs.evolve(show, sources=(*show.sources, Source(id="first", phantom="no")))
        lists_now = (_list(lists[0], ("first", "rival")),)
        show = attrs.evolve(show, positions=Table({**show.positions, lists[0].position: _position(lists[0])}))
    show = attrs.evolve(
        show,
        sources=(*show.sources, Source(id="rival", phantom="no")),
        plug=(*plugs, Plug(source="rival", into=(where,))),
        lists=lists_now,
    )
    return rig, show, f"two sources are fixed on {where}"


def _list(row: Listening, wants: tuple[str, ...]) -> List:
    at = f"{row.device}.{row.bank}"
    return List(id=row.position, position=row.position, at=at, wants=tuple(Want(signal=key) for key in wants))


def _position(row: Listening) -> Position:
    return Position(id=row.position, desk=row.device)


def _bank_full(rig: Rig, show: Show, pick: int) -> _Made:
    """A list of more than its bank has slots."""
    heard = [row for row in show.lists if any(want is not None for want in row.wants)]
    if not heard:
        return None
    row = heard[pick % len(heard)]
    device, _, bank = row.at.partition(".")
    legs = {key: len(item.leg_ids()) for key, item in show.signals().items()}
    asked = sum(legs.get(want.signal, 1) for want in row.wants if want is not None)
    kind = rig.type_of(device)
    if asked < 2 or bank not in kind.banks:
        return None
    name = f"{kind.id}-short"
    smaller = attrs.evolve(kind, id=name, banks=Table({**kind.banks, bank: attrs.evolve(kind.banks[bank], slots=asked - 1)}))
    smaller = attrs.evolve(smaller, select=tuple(attrs.evolve(sel, into=sel.into.partition("[")[0]) for sel in smaller.select))
    smaller = attrs.evolve(smaller, select=tuple(attrs.evolve(sel, wired=sel.wired.partition("[")[0]) for sel in smaller.select))
    devices = Table({**rig.devices, device: attrs.evolve(rig.devices[device], type=name)})
    types = Table({**rig.types, name: smaller})
    rig = attrs.evolve(rig, devices=devices, types=types)
    return rig, _without_acts(show), f"{row.id} asks for {asked} slots of {asked - 1}"


def _cut_off(rig: Rig, show: Show, pick: int) -> _Made:
    """A source fixed on a device nothing joins to whoever wants it."""
    rows = []
    for row, want in _heard(show):
        places = {
            text.partition(".")[0] for plug in show.plug if plug.source.partition(".")[0] == want.signal for text in plug.into
        }
        if len(places) == 1 and row.at.partition(".")[0] not in places:
            rows.append((row, want, next(iter(places))))
    if not rows:
        return None
    row, want, device = rows[pick % len(rows)]
    links = tuple(link for link in rig.links if not any(end.partition(".")[0] == device for end in link.join))
    return attrs.evolve(rig, links=links), show, f"{row.id} wants {want.signal}, and nothing joins {device} any more"


def _ruled_out(rig: Rig, show: Show, pick: int) -> _Made:
    """A source wanted where a routing rule forbids it."""
    rows = _heard(show)
    if not rows:
        return None
    row, want = rows[pick % len(rows)]
    rule = Routing(id="never", rule="forbid", signals=(want.signal,), at=(row.at,), why="drawn")
    return rig, attrs.evolve(show, routing=(*show.routing, rule)), f"{row.id} wants {want.signal}, which is forbidden in {row.at}"


def _narrow(rig: Rig, show: Show, pick: int) -> _Made:
    """A wanted source on a socket whose number no link of its box reaches."""
    rows = []
    for row, want in _heard(show):
        for plug in show.plug:
            device, _, rest = (plug.into[0] if len(plug.into) == 1 else "").partition(".")
            printed = rest.partition("[")[2].rstrip("]")
            if plug.source.partition(".")[0] != want.signal or not printed.isdigit() or int(printed) < 2:
                continue
            wired = [sel for sel in rig.type_of(device).select if sel.wired == rest.partition("[")[0]]
            if device != row.at.partition(".")[0] and wired and len(wired) == len(rig.type_of(device).ports):
                rows.append((row, want, device, int(printed)))
    if not rows:
        return None
    row, want, device, number = rows[pick % len(rows)]
    formats = dict(rig.formats)
    links = []
    for link in rig.links:
        if any(end.partition(".")[0] == device for end in link.join):
            name = f"{link.format}-short"
            channels = Table(dict.fromkeys(rig.formats[link.format].channels, number - 1))
            formats[name] = attrs.evolve(rig.formats[link.format], id=name, channels=channels)
            link = attrs.evolve(link, format=name)
        links.append(link)
    types = Table({key: _speaking(kind, formats) for key, kind in rig.types.items()})
    rig = attrs.evolve(rig, formats=Table(formats), links=tuple(links), types=types)
    return rig, show, f"{row.id} wants {want.signal} of socket {number} of {device}, whose links carry {number - 1}"


def _speaking(kind: Type, formats: dict[str, Format]) -> Type:
    """Return a type whose ports speak the narrow formats too."""
    ports = {
        key: attrs.evolve(port, speaks=(*port.speaks, *(f"{name}-short" for name in port.speaks if f"{name}-short" in formats)))
        for key, port in kind.ports.items()
    }
    return attrs.evolve(kind, ports=Table(ports))


SHORT: dict[str, Callable[[Rig, Show, int], _Made]] = {
    "same-socket": _same_socket,
    "bank-full": _bank_full,
    "cut-off": _cut_off,
    "ruled-out": _ruled_out,
    "narrow-link": _narrow,
}
"""Kinds of shortage: each makes an impossible show, or nothing where what was drawn has no place for it."""
