"""Legs that are interchangeable, counted: who enters where, and what each has to reach.

Comes in: fabric, plan, slots kept.  Goes out: `Crowd`s.  Next: `programme.py` gives each its columns.

Two legs are alike when they may enter by the same places, need the same of phantom and of their group, may pass the same
taps and places, and have the same targets.  A signal of several legs is one member where its legs are alike and are to stay
side by side; else each leg is a member of its own, as nothing but the user's groups makes legs stay together.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from patchloom.solve.attempt import Plan
from patchloom.solve.counting.reach import open_ways
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Goal
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = [
    "FED",
    "INSIDE",
    "ONE",
    "Crowd",
    "Place",
    "Target",
    "alone",
    "asked_exactly",
    "crowds",
    "leading_to",
    "stands_alone",
    "switch",
    "target_of",
]

ONE, INSIDE, FED = 0, 1, 2
"""Target: one slot chosen slot by slot; any slot of some segments (or one slot a block brings); anything some rows take from,
where the slot itself leads no further or is an alternate input."""

Place = tuple[int, int]


class Target(NamedTuple):
    """Where every member of a crowd has to arrive: how, where, past which taps, and what it may not pass on the way."""

    how: int
    where: tuple[Place, ...]
    """(segment, offset), offset -1 where any slot of the segment will do or the slot is chosen slot by slot; (row, -1) of what
    is fed by rows."""
    allow: str
    without: tuple[int, ...]
    bank: int
    """Bank of the first place: targets of one bank stand for one taker."""


class _Part(NamedTuple):
    """What tells legs apart: where one may enter, its targets, segments it may never be in."""

    allowed: frozenset[Place]
    targets: tuple[Target, ...]
    strict: tuple[int, ...]


class Crowd:
    """Members that are alike: the legs of each, and what holds for all of them."""

    __slots__ = ("allowed", "feed", "group", "legs", "phantom", "size", "strict", "targets")

    def __init__(self, unit: Unit, size: int, part: _Part) -> None:
        self.legs: list[tuple[str, ...]] = []
        self.size = size
        self.allowed, self.targets, self.strict = part
        self.feed = unit.feed
        self.phantom = "" if unit.feed or unit.phantom not in ("need", "never") else unit.phantom
        self.group = unit.group_key

    @property
    def count(self) -> int:
        """Return how many members there are."""
        return len(self.legs)


def crowds(
    fabric: Fabric, plan: Plan, reserved: frozenset[Place], joined: bool, single: frozenset[str] = frozenset()
) -> list[Crowd]:
    """Return all crowds, in the order of the show; `joined` keeps the legs of a signal side by side, `single` names loners."""
    found: dict[tuple[object, ...], Crowd] = {}
    open_places: dict[frozenset[Place], frozenset[Place]] = {}
    for unit in plan.units:
        if unit.optional:
            continue
        parts = [_part(fabric, plan, unit, number, reserved, open_places) for number in range(len(unit.legs))]
        together = joined and len(parts) > 1 and all(part == parts[0] for part in parts) and not unit.fixed
        members = [(unit.legs, parts[0])] if together else [((leg,), part) for leg, part in zip(unit.legs, parts, strict=True)]
        for legs, part in members:
            alone = legs if unit.name in single else ()
            key = (len(legs), part, unit.feed, unit.phantom, unit.group_key, alone)
            if key not in found:
                found[key] = Crowd(unit, len(legs), part)
            found[key].legs.append(legs)
    return list(found.values())


def _part(
    fabric: Fabric,
    plan: Plan,
    unit: Unit,
    number: int,
    reserved: frozenset[Place],
    open_places: dict[frozenset[Place], frozenset[Place]],
) -> _Part:
    """Return where a leg may enter, its targets, and where it may never be."""
    leg, whole = unit.legs[number], frozenset(unit.allowed[number])
    if whole not in open_places:
        open_places[whole] = whole - reserved
    allowed = open_places[whole]
    if unit.phantom == "need" and not unit.feed:
        allowed = frozenset(at for at in allowed if switch(fabric, plan, at) is not None or not plan.no_phantom(at))
    strict = tuple(sorted(plan.rules.strict.get(leg, ()))) if plan.rules is not None else ()
    return _Part(allowed, _targets_of(fabric, plan, unit, leg), strict)


def _targets_of(fabric: Fabric, plan: Plan, unit: Unit, leg: str) -> tuple[Target, ...]:
    """Return the targets of a leg in order: equal ones once, but for destinations that each take a slot of their own."""
    found: dict[Target, int] = {}
    for aim in unit.aims:
        if aim.leg == leg and aim.must and aim.goals:
            target = target_of(fabric, plan, unit, aim)
            found[target] = found.get(target, 0) + 1 if aim.place is None else 1
    return tuple(target for target in sorted(found) for _ in range(found[target]))


def target_of(fabric: Fabric, plan: Plan, unit: Unit, aim: Aim) -> Target:
    """Return what a want of a unit asks for: two that are equal ask for the same."""
    without = tuple(sorted(plan.rules.standing(aim.leg, aim.to))) if plan.rules is not None else ()
    goal = aim.goals[0]
    allow = aim.allow or unit.tap
    segment = goal.segments[0]
    bank = fabric.seg_bank[segment]
    rows = tuple((row, -1) for row in fabric.singles_into[segment] if fabric.rows[row].alternate == goal.alternate)
    if goal.alternate:
        return Target(FED, rows, allow, without, bank)
    if goal.offset is None:
        return Target(INSIDE, tuple((at, -1) for at in sorted(goal.segments)), allow, without, bank)
    if goal.tail == BOUND:
        return Target(INSIDE, ((segment, goal.offset),), allow, without, bank)
    if stands_alone(fabric, segment):
        return Target(ONE, ((segment, goal.offset),), allow, without, bank)
    if _ends(fabric, segment):
        return Target(FED, rows, allow, without, bank)
    return Target(ONE, ((segment, -1),), allow, without, bank)


def switch(fabric: Fabric, plan: Plan, place: Place) -> Place | None:
    """Return (bank, number) of the phantom switch a socket shares with others; None where it shares none."""
    by = plan.phantom_by(place[0])
    if not by or by < 2:
        return None
    return fabric.seg_bank[place[0]], (fabric.seg_first[place[0]] + place[1] - 1) // by


def asked_exactly(plan: Plan) -> set[Place]:
    """Return the slots that musts want exactly: nobody else can have those."""
    return {
        (aim.goals[0].segments[0], aim.goals[0].offset)
        for aim in plan.aims
        if aim.must and len(aim.goals) == 1 and aim.goals[0].offset is not None
        if not aim.alternate
    }


def stands_alone(fabric: Fabric, segment: int) -> bool:
    """Return whether a slot wanted exactly in a segment could come slot by slot or by a block."""
    return any(not fabric.rows[row].alternate for row, _ in fabric.blocks_into[segment])


def leading_to(fabric: Fabric, target: Target, feed: bool) -> set[int]:
    """Return every segment from which a target could be reached if nothing were full."""
    if target.how == FED:
        goals = [Goal((at,), None, False, ()) for row, _ in target.where for at in fabric.rows[row].sources]
    else:
        goals = [Goal(tuple(at for at, _ in target.where), None, False, ())]
    found: set[int] = set()
    for goal in goals:
        if not set(goal.segments) <= found:
            found |= open_ways(fabric, goal, feed, target.allow)
    return found


def _ends(fabric: Fabric, segment: int) -> bool:
    """Return whether nothing leads on from a segment, by wires or choices."""
    todo = [segment]
    for at in todo:
        if fabric.singles_from[at] or fabric.blocks_from[at]:
            return False
        todo.extend(way.to for way in fabric.fixed[at])
    return True


def alone(fabric: Fabric, found: Iterable[Crowd]) -> list[Place]:
    """Return (bank, number) of every slot that has to be a stretch of its own."""
    return sorted(
        {
            (fabric.seg_bank[segment], fabric.seg_first[segment] + offset)
            for crowd in found
            for target in crowd.targets
            for segment, offset in target.where
            if target.how != FED and offset >= 0
        }
    )
