"""What is set over the plugs chosen: clock, owners, gain, phantom; and what of it rules a patch out.

Comes in: a setting with plugs and routes.  Goes out: the setting complete, and the facts in its way.
Next: `answer.py` raises them, or is done.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.address import Slot
from patchloom.finding import Fact
from patchloom.model.patch import Setting
from patchloom.model.rig import Bank, Preamp, Rig
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric
from patchloom.solve.gain import gains, suits
from patchloom.solve.owner import ownerships
from patchloom.solve.phantom import phantom_sets
from patchloom.solve.unit import Unit

__all__ = ["controls"]


def controls(
    rig: Rig, show: Show, setting: Setting, clock: list[Any], found: list[Unit], fabric: Fabric
) -> tuple[Setting, list[Fact], list[Fact]]:
    """Add clock, owners, gains and phantom to a setting; return it, what rules every patch out, what rules this one out."""
    lists = {item.id: item for item in show.lists}
    heard: dict[tuple[str, Slot], list[tuple[str, Bank]]] = {}
    legs: dict[Slot, str] = {}
    for leg, place in setting.plugs.items():
        if fabric.copper.amplified(place):
            heard[leg, place] = []
            legs[place] = leg
    sources = set(setting.plugs)
    amplified = fabric.copper.banks
    for route in setting.routes:
        if route.leg not in sources:
            continue
        socket = next((place for place in route.hops if place[:2] in amplified), None)
        item = lists.get(route.to)
        if socket is None or item is None:
            continue
        bank = rig.type_of(route.hops[-1].device).banks[route.hops[-1].bank]
        heard.setdefault((route.leg, socket), []).append((item.position, bank))
        legs.setdefault(socket, route.leg)
    owners, facts = ownerships(rig, show, sorted(legs), legs)
    levels, more = gains(rig, show, heard)
    on_from = {place: fabric.copper.ahead(place) for place in setting.plugs.values() if not fabric.copper.amplified(place)}
    phantom, last = phantom_sets(rig, show, setting.plugs, on_from)
    setting = attrs.evolve(setting, clock=tuple(clock), owners=tuple(owners), gains=tuple(levels), phantom=tuple(phantom))
    unit_of = {leg: unit for unit in found for leg in unit.legs}
    proven: list[Fact] = []
    open_: list[Fact] = []
    partial = any("[" in text for row in show.owners for text in row.preamps)
    bad = {fact.limit.partition(" of ")[2] for fact in facts}
    if facts:
        places = sorted({fabric.place(*place) for unit in found if not unit.feed for each in unit.allowed for place in each})
        bad |= {
            fact.limit.partition(" of ")[2] for fact in ownerships(rig, show, places, {})[1] if fact.limit.startswith("control")
        }
    for fact in [*facts, *more, *last]:
        if fact.limit.startswith("gain of "):
            sure = _never_suits(rig, show, fabric, fact, unit_of, heard)
        else:
            sure = _holds_everywhere(fabric, fact, unit_of, legs, set() if partial else bad)
        (proven if sure else open_).append(fact)
    return setting, proven, open_


def _never_suits(
    rig: Rig,
    show: Show,
    fabric: Fabric,
    fact: Fact,
    unit_of: dict[str, Unit],
    heard: dict[tuple[str, Slot], list[tuple[str, Bank]]],
) -> bool:
    """Return whether no gain would suit a leg at any socket it may plug into."""
    leg = fact.members[0]
    unit = unit_of[leg]
    who = next((rows for (key, _), rows in heard.items() if key == leg), [])
    source = next(source for source in show.sources if leg in source.leg_ids())
    seen: list[tuple[Preamp, bool]] = []
    for place in sorted(unit.allowed[unit.legs.index(leg)]):
        slot = fabric.place(*place)
        kind = rig.type_of(slot.device)
        preamp = kind.preamps[name] if (name := kind.banks[slot.bank].preamp) else None
        if preamp is None:
            return False
        known = next((said for other, said in seen if other == preamp), None)
        if known is None:
            known = suits(leg, slot, source, preamp, who, show)
            seen.append((preamp, known))
        if known:
            return False
    return True


def _holds_everywhere(fabric: Fabric, fact: Fact, unit_of: dict[str, Unit], legs: dict[Slot, str], bad: set[str]) -> bool:
    """Return whether a fact about the plugs chosen would hold for any other choice of them.

    `bad` are the devices whose owner is in question as a whole: a source that can only go to them runs into one of them.
    """
    what, _, where = fact.limit.partition(" of ")
    if what == "phantom":
        return all(unit_of[leg].fixed for leg in fact.members if leg in unit_of)
    for slot, leg in legs.items():
        unit = unit_of[leg]
        devices = {fabric.place(*place).device for places in unit.allowed for place in places}
        if slot.device == where and (unit.fixed or devices == {where} or devices <= bad):
            return True
    return False
