"""The fewest sets of sockets that have room for some legs, when what shares a block shares such a set.

Comes in: fabric, plan, legs, how many slots a block has.  Goes out: a number no choice of plugs can go below.
Next: `blocks.py` takes it as a bound.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric

__all__ = ["cover", "few"]

LOOKS = 600
"""Choices of sets looked at, at most; what is not looked at is not ruled out."""

_Place = tuple[int, int]


def cover(fabric: Fabric, plan: Plan, legs: Sequence[str], size: int) -> int:
    """Return how many sets of sockets there must be; never too many, perhaps too few.

    A set is all sockets that some runs tie together by wires; one of more than `size` slots counts for several.
    """
    sets = _Sets(fabric, plan, legs)
    options = [sets.options(leg) for leg in legs]
    if not options or not all(options):
        return 0
    room = {key: min(len(places), sum(1 for keys in options if key in keys)) for key, places in sets.open.items()}
    return few(options, room, size)


def few(options: list[list[int]], room: dict[int, int], size: int) -> int:
    """Return how many sets there must be so that each leg finds room in one of its options; perhaps too few, never too many.

    `room` is what a set holds in all; one that is taken once gives `size` slots of it.
    """
    return sum(_few(group, room, size) for group in _apart(options))


def _few(options: list[list[int]], room: dict[int, int], size: int) -> int:
    search = _Cover(options, room, size)
    most = -(-len(options) // size)
    while most < len(options):
        if search.within(most):
            return most
        most += 1
    return most


def _apart(options: list[list[int]]) -> list[list[list[int]]]:
    """Return the legs in groups that have no set in common, each leg by its sets."""
    groups: list[tuple[set[int], list[list[int]]]] = []
    for keys in options:
        met = [group for group in groups if not group[0].isdisjoint(keys)]
        union, legs = set(keys), [keys]
        for group in met:
            union |= group[0]
            legs = [*group[1], *legs]
        groups = [group for group in groups if group not in met]
        groups.append((union, legs))
    return [legs for _, legs in groups]


class _Cover:
    """The search for few sets with room for all legs: whoever finds no room needs one set more of some."""

    def __init__(self, options: list[list[int]], room: dict[int, int], size: int) -> None:
        self.options = options
        self.room = room
        self.size = size
        self.looks = LOOKS
        # Sets that the same legs may be in, with the same room, are alike: only the first of them is tried.
        who: dict[int, list[int]] = {}
        for leg, keys in enumerate(options):
            for key in keys:
                who.setdefault(key, []).append(leg)
        self.alike = {key: (room[key], tuple(legs)) for key, legs in who.items()}

    def within(self, most: int) -> bool:
        """Return whether so many sets may do; True as well where the looks were not enough to say."""
        return self._add({}, most, frozenset())

    def _add(self, chosen: dict[int, int], left: int, out: frozenset[int]) -> bool:
        self.looks -= 1
        if self.looks < 0:
            return True
        lacking = _lacking(self.options, {key: min(self.room[key], times * self.size) for key, times in chosen.items()})
        if lacking is None:
            return True
        if left == 0:
            return False
        more = sorted(
            {key for leg in lacking for key in self.options[leg]}, key=lambda key: (-min(self.size, self.room[key]), key)
        )
        seen: set[tuple[int, tuple[int, ...]]] = set()
        for key in more:
            if key in out or chosen.get(key, 0) * self.size >= self.room[key]:
                continue
            if key not in chosen:
                if self.alike[key] in seen:
                    continue
                seen.add(self.alike[key])
            if self._add({**chosen, key: chosen.get(key, 0) + 1}, left - 1, out):
                return True
            alike = {other for other in more if self.alike[other] == self.alike[key] and other not in chosen}
            out = out | ({key} if key in chosen else alike)
        return False


class _Sets:
    """Sockets tied together by runs, and which of them are open to some legs."""

    def __init__(self, fabric: Fabric, plan: Plan, legs: Sequence[str]) -> None:
        self.fabric, self.plan = fabric, plan
        self._set: dict[int, int] = {}
        self._tied: dict[int, int] = {}
        mine = set(legs)
        fixed = {
            next(iter(allowed))
            for unit in plan.units
            if unit.fixed and not unit.feed
            for leg, allowed in zip(unit.legs, unit.allowed, strict=True)
            if leg not in mine
        }
        self.open: dict[int, set[_Place]] = {}
        for leg in legs:
            for place in sorted(self._allowed(leg)):
                self._of(place[0])
        for leg in legs:
            for place in self._allowed(leg):
                if place not in fixed:
                    self.open.setdefault(self._root(self._of(place[0])), set()).add(place)

    def options(self, leg: str) -> list[int]:
        """Return the sets a leg may be in, in order."""
        found = {self._root(self._of(place[0])) for place in self._allowed(leg)}
        return sorted(key for key in found if key in self.open)

    def _allowed(self, leg: str) -> set[_Place]:
        unit = self.plan.unit_of[leg]
        return unit.allowed[unit.legs.index(leg)]

    def _of(self, segment: int) -> int:
        """Return a run a segment's slots travel in by wires; the negative of the segment when there is none."""
        known = self._set.get(segment)
        if known is None:
            runs = self.fabric.runs_from(segment)
            known = self._set[segment] = runs[0] if runs else -1 - segment
            for run in runs[1:]:
                one, other = self._root(known), self._root(run)
                if one != other:
                    self._tied[max(one, other)] = min(one, other)
        return known

    def _root(self, run: int) -> int:
        while run in self._tied:
            run = self._tied[run]
        return run


def _lacking(options: list[list[int]], room: dict[int, int]) -> list[int] | None:
    """Return legs that have too little room between them; None where all find room.  By augmenting paths."""
    held: dict[int, list[int]] = {key: [] for key in room}

    def enter(leg: int, seen: set[int]) -> bool:
        for key in options[leg]:
            if key not in room or key in seen:
                continue
            seen.add(key)
            if len(held[key]) < room[key]:
                held[key].append(leg)
                return True
            for place, other in enumerate(held[key]):
                if enter(other, seen):
                    held[key][place] = leg
                    return True
        return False

    for leg in range(len(options)):
        seen: set[int] = set()
        if not enter(leg, seen):
            return [leg, *(other for key in sorted(seen) for other in held[key])]
    return None
