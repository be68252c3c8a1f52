"""What could get where if nothing were full: the common ground of the counting proofs.

Comes in: a `Fabric`.  Goes out: sets of segments, and the one way to word a shortage.  Next: `bounds.py`, `cuts.py`.
"""

from __future__ import annotations

from collections.abc import Iterable

from patchloom.finding import Fact
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Goal
from patchloom.solve.unit import Unit

__all__ = ["names", "open_ways", "reachable", "short", "unit_of"]


def short(limit: str, words: str, asked: int, there: int, members: Iterable[str]) -> Fact:
    """Return the fact that more is asked than there is, worded with both numbers and the difference."""
    return Fact(
        limit=limit,
        text=f"{words}: {asked} asked, {there} there, {asked - there} short.",
        asked=asked,
        there=there,
        short=asked - there,
        members=tuple(dict.fromkeys(members)),
    )


def names(ids: list[str]) -> str:
    """Return a few ids as words, the rest counted."""
    return ", ".join(ids) if len(ids) <= 6 else f"{', '.join(ids[:5])} and {len(ids) - 5} more"


def unit_of(units: list[Unit]) -> dict[str, tuple[Unit, set[int]]]:
    """Return for each leg its unit and the segments it may enter by."""
    return {
        leg: (unit, {segment for segment, _ in places})
        for unit in units
        for leg, places in zip(unit.legs, unit.allowed, strict=True)
    }


def open_ways(fabric: Fabric, goal: Goal, feed: bool, allow: str, without: frozenset[int] = frozenset()) -> set[int]:
    """Return the segments a leg could come from to a goal if nothing were full, some banks left out."""
    todo: list[int] = []
    if goal.offset is not None and goal.tail != BOUND:
        _take_single(fabric, goal.segments[0], goal.alternate, feed, allow, todo)
        todo = [segment for segment in todo if fabric.seg_bank[segment] not in without]
        if not goal.alternate and any(not fabric.rows[row].alternate for row, _ in fabric.blocks_into[goal.segments[0]]):
            todo.append(goal.segments[0])  # a block may bring it as well
    else:
        todo.extend(goal.segments)
    seen = set(todo)
    while todo:
        segment = todo.pop()
        ahead: list[int] = []
        fed = fabric.fed_by[segment]
        if fed is not None:
            ahead.append(fed[0])
        else:
            _take_single(fabric, segment, False, feed, allow, ahead)
            for row, run in fabric.blocks_into[segment]:
                for source in fabric.rows[row].sources:
                    if fabric.raw_tap(fabric.runs[source].bank, fabric.rows[row], allow, feed) is not None:
                        ahead.extend(fabric.facing(segment, run, source))
        for other in ahead:
            if other not in seen and fabric.seg_bank[other] not in without:
                seen.add(other)
                todo.append(other)
    return seen


def _take_single(fabric: Fabric, segment: int, alternate: bool, feed: bool, allow: str, into: list[int]) -> None:
    for number in fabric.singles_into[segment]:
        row = fabric.rows[number]
        if row.alternate == alternate:
            into.extend(source for source in row.sources if fabric.raw_tap(fabric.seg_bank[source], row, allow, feed) is not None)


def reachable(fabric: Fabric, segments: set[int], bank: int, unit: Unit) -> set[int]:
    """Return every segment a signal can come to from some segments without passing a bank, if nothing were full."""
    seen = set(segments)
    todo = sorted(segments)
    while todo:
        segment = todo.pop()
        here = fabric.seg_bank[segment]
        ahead = [step.to for step in fabric.fixed[segment]]
        for number in fabric.singles_from[segment]:
            row = fabric.rows[number]
            if not row.alternate and fabric.raw_tap(here, row, unit.allow, unit.feed) is not None:
                ahead.extend(row.into)
        for number, source in fabric.blocks_from[segment]:
            if fabric.raw_tap(here, fabric.rows[number], unit.allow, unit.feed) is not None:
                for run in fabric.rows[number].into_runs:
                    ahead.extend(fabric.facing(segment, source, run))
        for other in ahead:
            if other not in seen and fabric.seg_bank[other] != bank:
                seen.add(other)
                todo.append(other)
    return seen
