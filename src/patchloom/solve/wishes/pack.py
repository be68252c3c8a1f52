"""Sources packed closer, so that desks take in fewer blocks: which socket each would have.

Comes in: fabric, plan, a finished try.  Goes out: places to hint at, with the blocks they save; or nothing.
Next: `better.py` solves once more with the hints, and keeps what is really better.

A model of the try, not the try itself: sockets whose slots travel in the same runs form a *home*; what a home costs is
the number of banks that take it in.  Sources change places, with each other or onto free sockets, first freely, then only
for the better (annealing with a seeded generator and a fixed number of steps, so the same input gives the same answer).
Fixed plugs, allowed places, pairs, and phantom groups hold in the model as they do in the search.
"""

from __future__ import annotations

import random
from math import exp

from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.unit import Unit
from patchloom.solve.wishes.blocks import intakes

__all__ = ["pack"]

STEPS = 60
"""Steps for each source."""
WARM = 250
"""What a step may cost with a fair chance in the beginning, in thousandths of a block."""
_WEIGHT = [0, *(round(1000 - 600 * exp(-number / 3)) for number in range(1, 65))]
"""Weight of a home by how many a bank takes from it, in thousandths of a block: few that are left over weigh little."""

_Place = tuple[int, int]
_Home = tuple[int, ...]


def pack(fabric: Fabric, plan: Plan, placed: Placed, seed: int) -> dict[str, _Place] | None:
    """Return leg to place for all sources, with fewer blocks taken in than in the try; None where none were found."""
    model = _Model(fabric, plan, placed)
    if len(model.movable) < 2:
        return None
    return model.anneal(random.Random(seed))


class _Model:
    """Which source is where, and which banks take in each home."""

    def __init__(self, fabric: Fabric, plan: Plan, placed: Placed) -> None:
        self.fabric, self.plan = fabric, plan
        self.places: dict[str, list[_Place]] = {}
        self.at: dict[_Place, Unit] = {}
        self.wants: dict[str, tuple[int, ...]] = {}
        self.count: dict[_Home, dict[int, int]] = {}
        self.power: dict[tuple[int, int], list[int]] = {}
        self.cost = 0
        self.weight = 0
        self.shut: set[_Place] = set()
        self._homes: dict[int, _Home] = {}
        into = intakes(fabric)
        legs = placed.net.legs
        for unit in plan.units:
            own = [legs[name] for name in unit.legs if name in legs]
            if unit.feed or len(own) < len(unit.legs):
                continue
            banks = {fabric.runs[run].bank for leg in own for run in leg.block_holds}
            self.wants[unit.name] = tuple(sorted(banks & into))
            self._put(unit, [leg.origin for leg in own if leg.origin is not None])
        # What holds a socket and is no source (a spare line) stays where it is.
        self.shut = {leg.origin for leg in legs.values() if leg.origin is not None and leg.origin not in self.at}
        self.movable = [
            unit
            for unit in plan.units
            if unit.name in self.wants and not unit.fixed and not unit.bound and not unit.group_key and len(unit.legs) <= 2
        ]
        self._starts = {unit.name: sorted(unit.allowed[0]) for unit in self.movable}

    def anneal(self, draw: random.Random) -> dict[str, _Place] | None:
        """Return the best places found; None where nothing is saved."""
        began = best = self.cost
        found: dict[str, list[_Place]] | None = None
        steps = STEPS * len(self.movable)
        for step in range(steps):
            heat = WARM * (1 - step / steps)
            if self._step(draw, heat) and self.cost < best:
                best, found = self.cost, {name: list(places) for name, places in self.places.items()}
        if found is None or best >= began:
            return None
        legs = {unit.name: unit.legs for unit in self.plan.units}
        return {leg: place for name, places in found.items() for leg, place in zip(legs[name], places, strict=True)}

    def _step(self, draw: random.Random, heat: float) -> bool:
        """Try one exchange; return whether it was made."""
        unit = self.movable[int(draw.random() * len(self.movable))]
        starts = self._starts[unit.name]
        target = self._run(starts[int(draw.random() * len(starts))], len(unit.legs))
        old = self.places[unit.name]
        if not target or target == old or self._home(target[0]) == self._home(old[0]):
            return False
        others = self._others(unit, target)
        if others is None:
            return False
        before = self.weight
        units = [unit, *others]
        was = [self.places[other.name] for other in units]
        for other in units:
            self._take(other)
        now = [target, *([old] if len(others) == 1 and len(others[0].legs) == len(old) else [[place] for place in old])]
        fits = all(self._fits(other, places) for other, places in zip(units, now, strict=False))
        if fits:
            for other, places in zip(units, now, strict=False):
                self._put(other, places)
            fits = all(self._quiet(other) for other in units)
            worse = self.weight - before
            if fits and (worse <= 0 or draw.random() < exp(-worse / max(heat, 1.0))):
                return True
            for other in units:
                self._take(other)
        for other, places in zip(units, was, strict=True):
            self._put(other, places)
        return False

    def _others(self, unit: Unit, target: list[_Place]) -> list[Unit] | None:
        """Return who has to make room, each for one of the unit's places or all of them; None where that cannot be."""
        found: list[Unit] = []
        for place in target:
            if place in self.shut:
                return None
            other = self.at.get(place)
            if other is None:
                continue
            if other.name not in self._starts or other is unit:
                return None
            if other not in found:
                found.append(other)
        if any(len(other.legs) > 1 and len(unit.legs) == 1 for other in found):
            return None
        if any(len(other.legs) > 1 and self.places[other.name] != target for other in found):
            return None
        return found

    def _run(self, start: _Place, width: int) -> list[_Place] | None:
        """Return so many neighbouring places from one on; a pair begins on an odd slot."""
        if width == 1:
            return [start]
        place = self.fabric.place(*start)
        beside = self.fabric.find(place._replace(number=place.number + 1))
        return [start, beside] if place.number % 2 == 1 and beside is not None else None

    def _fits(self, unit: Unit, places: list[_Place]) -> bool:
        if unit.phantom == "need" and any(self.plan.no_phantom(place) for place in places):
            return False
        return len(places) == len(unit.legs) and all(
            place in allowed for place, allowed in zip(places, unit.allowed, strict=True)
        )

    def _home(self, place: _Place) -> _Home:
        """Return the runs that slots of a place's segment travel in, by wires alone; its own when there are none."""
        segment = place[0]
        known = self._homes.get(segment)
        if known is None:
            known = self._homes[segment] = tuple(sorted(set(self.fabric.runs_from(segment))))
        return known

    def _group(self, place: _Place) -> tuple[int, int] | None:
        by = self.plan.phantom_by(place[0])
        if not by or by < 2:
            return None
        return self.fabric.seg_bank[place[0]], (self.fabric.seg_first[place[0]] + place[1] - 1) // by

    def _quiet(self, unit: Unit) -> bool:
        """Return whether no phantom group a unit is in has somebody who needs and somebody who must never have it."""
        for place in self.places[unit.name]:
            need, never = self.power.get(self._group(place) or (-1, -1), (0, 0))
            if need and never:
                return False
        return True

    def _put(self, unit: Unit, places: list[_Place]) -> None:
        self.places[unit.name] = places
        for place in places:
            self.at[place] = unit
            self._count(unit, place, 1)

    def _take(self, unit: Unit) -> None:
        for place in self.places[unit.name]:
            self.at.pop(place, None)
            self._count(unit, place, -1)

    def _count(self, unit: Unit, place: _Place, more: int) -> None:
        banks = self.count.setdefault(self._home(place), {})
        for bank in self.wants[unit.name]:
            had = banks.get(bank, 0)
            banks[bank] = had + more
            self.cost += (had + more > 0) - (had > 0)
            self.weight += _WEIGHT[min(had + more, 64)] - _WEIGHT[min(had, 64)]
        group = self._group(place)
        if group is not None and unit.phantom in ("need", "never"):
            self.power.setdefault(group, [0, 0])[unit.phantom == "never"] += more
