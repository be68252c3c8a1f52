"""Who rides in bundles: legs by the segment they enter by, and whether bundles can honour all that a show asks.

Comes in: fabric, show, aims, units.  Goes out: the legs of each bundle, or None.  Next: `bundle.py` carries them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["Kind", "Place", "Rider", "Target", "enter", "simple"]

Place = tuple[int, int]
Target = tuple[int, bool]
"""A segment legs must come into slot by slot, and whether on the alternate input."""


class Kind(NamedTuple):
    """What the legs of a bundle have in common."""

    origin: int
    allow: str
    feed: bool


class Rider(NamedTuple):
    """One leg: its name, where it enters, its aim for each target."""

    name: str
    place: Place
    aims: dict[Target, Aim]


def simple(fabric: Fabric, show: Show, wanted: Sequence[Aim]) -> bool:
    """Return whether a show asks for nothing but exact slots over rows by 1."""
    if fabric.pools or show.fixed or show.groups or show.routing or show.wishes is not None:
        return False
    if any(row.by > 1 for row in fabric.rows):
        return False
    for aim in wanted:
        if len(aim.goals) != 1 or not aim.must or not aim.free:
            return False
        goal = aim.goals[0]
        if goal.offset is None or goal.tail == BOUND:
            return False
    return True


def enter(fabric: Fabric, found: Sequence[Unit], mixes: Mapping[str, Slot] | None = None) -> dict[Kind, list[Rider]] | None:
    """Return the bundles of a period; None where a plug is free, taken twice, or lacks the phantom it needs.

    `mixes` says where feeds were mixed before: those stay there where they may.
    """
    kinds: dict[Kind, list[Rider]] = {}
    taken: set[Place] = set()
    stand = {unit.name: was for unit in found if unit.feed and (was := _stood(fabric, unit, mixes or {})) is not None}
    kept = {place for places in stand.values() for place in places}
    for unit in found:
        places = stand[unit.name] if unit.name in stand else _places(fabric, unit, taken | kept if kept else taken)
        if places is None:
            return None
        taken.update(places)
        riders = [Rider(name, place, {}) for name, place in zip(unit.legs, places, strict=True)]
        for aim in unit.aims:
            rider = riders[unit.legs.index(aim.leg)]
            goal = aim.goals[0]
            target = (goal.segments[0], goal.alternate)
            if target in rider.aims or target[0] == rider.place[0] or (aim.allow or unit.tap) != unit.allow:
                return None
            rider.aims[target] = aim
        for rider in riders:
            kinds.setdefault(Kind(rider.place[0], unit.allow, unit.feed), []).append(rider)
    return kinds


def _stood(fabric: Fabric, unit: Unit, mixes: Mapping[str, Slot]) -> list[Place] | None:
    """Return where the legs of a feed were mixed, where each may still be."""
    places: list[Place] = []
    for name, allowed in zip(unit.legs, unit.allowed, strict=True):
        place = fabric.find(mixes[name]) if name in mixes else None
        if place is None or place not in allowed:
            return None
        places.append(place)
    return places


def _places(fabric: Fabric, unit: Unit, taken: set[Place]) -> list[Place] | None:
    """Return where the legs of a unit enter: its fixed sockets, or the first mix slots that are free side by side."""
    if unit.fixed:
        places = [next(iter(allowed)) for allowed in unit.allowed]
        if len(set(places)) < len(places) or not taken.isdisjoint(places):
            return None
        if unit.phantom == "need" and not all(fabric.copper.gives_phantom(fabric.place(*place)) for place in places):
            return None
        return places
    if not unit.feed:
        return None
    width = len(unit.legs)
    for segment, offset in sorted(unit.allowed[0]):
        places = [(segment, offset + part) for part in range(width)]
        if width == 2 and (fabric.seg_first[segment] + offset) % 2 == 0:
            continue
        if taken.isdisjoint(places) and all(place in allowed for place, allowed in zip(places, unit.allowed, strict=True)):
            return places
    return None
