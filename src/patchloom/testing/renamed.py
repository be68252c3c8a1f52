"""The same rig, show and patch under other names, in another order of rows, or with less asked for.

Comes in: a rig, a show, a patch.  Goes out: the three again, changed in one respect that a rule must not mind, or that it
claims to be monotone in.  Next: `ruling`.

Names are ids of devices, links, types, domains, signals, lists, positions, periods, groups and routing rows.  New ids sort
like the old ones, so that ties which are broken by address stay broken the same way.  Banks, ports and taps are words of a
type, and stay.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import attrs

from patchloom.finding import Finding
from patchloom.model.base import Table, build, dump
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["Trio", "asked_less", "names_for", "reordered", "same_names", "spelled", "told"]

Trio = tuple[Rig, Show, Patch]

_TOKEN = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")
_WORDS = frozenset(
    ("kind", "role", "name", "short", "about", "notes", "note", "why", "who", "rule", "relation", "format", "phantom", "door")
    + ("person", "what", "tap", "level", "powered_by", "mic", "stand", "zone", "colour", "until")
)
"""Fields whose text is words, not an id: it is left as it is."""
_INSIDE = frozenset(("banks", "ports", "select", "taps", "limits", "look_at"))
"""Fields that are a type's own affair, left as they are whatever they hold."""


def spelled(rig: Rig, show: Show, patch: Patch) -> Trio:
    """Return the three with every name written out that is printed as an id when absent."""
    devices = {key: attrs.evolve(row, name=row.name or key) for key, row in rig.devices.items()}
    positions = {key: attrs.evolve(row, name=row.name or key) for key, row in show.positions.items()}
    rig = attrs.evolve(rig, devices=Table(devices), links=tuple(attrs.evolve(row, name=row.name or row.id) for row in rig.links))
    show = attrs.evolve(
        show,
        positions=Table(positions),
        sources=tuple(attrs.evolve(row, name=row.name or row.id) for row in show.sources),
        feeds=tuple(attrs.evolve(row, name=row.name or row.id) for row in show.feeds),
        lists=tuple(attrs.evolve(row, name=row.name or row.id) for row in show.lists),
    )
    return rig, show, patch


# names


def names_for(rig: Rig, show: Show) -> dict[str, str]:
    """Return a new id for each, sorted like the old ones."""
    ids = {
        *rig.devices,
        *rig.types,
        *rig.domains,
        *(row.id for row in rig.links),
        *show.signals(),
        *show.positions,
        *(key for row in show.lists for key in (row.id, row.position)),
        *(row.mixed_at for row in show.feeds),
        *(row.id for row in show.periods),
        *(row.id for row in show.groups),
        *(row.id for row in show.routing),
    }
    return {key: f"n{number:04d}" for number, key in enumerate(sorted(filter(None, ids)))}


def same_names(trio: Trio, names: Mapping[str, str]) -> Trio:
    """Return the three under other ids."""
    rig, show, patch = (_renamed(dump(item), names) for item in trio)
    return build(Rig, rig), build(Show, show), build(Patch, patch)


def _renamed(data: Any, names: Mapping[str, str]) -> Any:
    if isinstance(data, str):
        return _text(data, names)
    if isinstance(data, list):
        return [_renamed(row, names) for row in data]
    if isinstance(data, Mapping):
        return {_text(key, names): _value(key, value, names) for key, value in data.items()}
    return data


def _value(key: str, value: Any, names: Mapping[str, str]) -> Any:
    if key in _INSIDE or (key in _WORDS and isinstance(value, str)):
        return value
    return _renamed(value, names)


def _text(text: str, names: Mapping[str, str]) -> str:
    """Return an id, an address, a leg, or `list: signal` under other names."""
    list_id, colon, rest = text.partition(": ")
    if colon and list_id in names:
        return f"{names[list_id]}: {_text(rest, names)}"
    head, dot, tail = text.partition(".")
    return f"{names.get(head, head)}{dot}{tail}"


def told(row: Finding, names: Mapping[str, str] | None = None) -> tuple[Any, ...]:
    """Return what a finding says beside its words, ids renamed, the order of its places aside."""

    def spoken(value: Any) -> str:
        text = str(value)
        return _TOKEN.sub(lambda found: names.get(found[0], found[0]), text) if names else text

    places = sorted(spoken(place) for place in row.where)
    numbers = sorted((key, spoken(value)) for key, value in row.numbers)
    return (row.rule, row.severity, row.kind, spoken(row.period), tuple(places), tuple(numbers))


# order


def reordered(rig: Rig, show: Show, patch: Patch) -> Trio:
    """Return the three with every row whose order says nothing in another place; lists keep the order of their wants."""
    settings = tuple(
        attrs.evolve(
            row,
            plugs=Table(dict(reversed(list(row.plugs.items())))),
            mixes=Table(dict(reversed(list(row.mixes.items())))),
            selections=row.selections[::-1],
            routes=row.routes[::-1],
            owners=row.owners[::-1],
            gains=row.gains[::-1],
            phantom=row.phantom[::-1],
            clock=row.clock[::-1],
        )
        for row in patch.settings
    )
    return (
        attrs.evolve(rig, links=rig.links[::-1], stock=rig.stock[::-1]),
        attrs.evolve(show, plug=show.plug[::-1], sources=show.sources[::-1], feeds=show.feeds[::-1], owners=show.owners[::-1]),
        attrs.evolve(patch, settings=settings),
    )


# less


def asked_less(rig: Rig, show: Show, patch: Patch) -> tuple[Trio, ...]:
    """Return the three with fewer wants and their routes: the last of the longest list gone; only the first of each left."""
    if any(period.lists for period in show.periods) or not any(row.wants for row in show.lists):
        return ()
    longest = max(show.lists, key=lambda row: len(row.wants))
    kept = {row.id: len(row.wants) - (row is longest) for row in show.lists}
    return _keeping((rig, show, patch), kept), _keeping(
        (rig, show, patch), {row.id: min(1, len(row.wants)) for row in show.lists}
    )


def _keeping(trio: Trio, kept: Mapping[str, int]) -> Trio:
    """Return the three with the first so many wants of each list."""
    rig, show, patch = trio
    lists = tuple(attrs.evolve(row, wants=row.wants[: kept[row.id]]) for row in show.lists)
    settings = tuple(
        attrs.evolve(row, routes=tuple(route for route in row.routes if route.entry <= kept.get(route.to, route.entry)))
        for row in patch.settings
    )
    return rig, attrs.evolve(show, lists=lists), attrs.evolve(patch, settings=settings)
