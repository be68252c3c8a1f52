"""How many blocks a setting takes in, and how few any patch can take in, by counting.

Comes in: fabric, aims and units, a finished setting.  Goes out: two numbers.  Next: `measure.py`.

The bound looks at each bank that blocks come into by itself.  Legs that can get where they are wanted only through it
are counted, and each needs one of its blocks.  Where all of them travel by wires and blocks only, what shares a block
plugs into sockets that share one: the fewest sets of such sockets that have room for all legs (`cover`).  Where slots are
chosen on the way, a block can be filled from anywhere: the fewest runs that have room for all legs, each on one of those
it can come in on (`few`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patchloom.model.patch import Setting
from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Goal
from patchloom.solve.slot import Aim
from patchloom.solve.wishes.cover import cover, few
from patchloom.solve.wishes.upstream import Upstream

__all__ = ["blocks_held", "blocks_least", "blocks_taken", "intakes"]

WORK = 3_000_000
"""Segments looked at in all; beyond, the bound is left unknown."""


def intakes(fabric: Fabric) -> set[int]:
    """Return the banks that blocks come into and stay: no port's side, which sends on, and no socket."""
    banks = {fabric.runs[run].bank for row in fabric.rows if row.by > 1 for run in row.into_runs}
    return {bank for bank in banks if (kind := fabric.kind[bank]) is not None and not kind.socket}


def blocks_taken(fabric: Fabric, setting: Setting) -> int:
    """Return how many blocks are taken in."""
    into = intakes(fabric)
    starts = {
        (run.bank, run.first)
        for row in fabric.rows
        if row.by > 1
        for run in map(fabric.runs.__getitem__, row.into_runs)
        if run.bank in into
    }
    return sum(
        1 for row in setting.selections if (fabric.bank_of[row.into.device, row.into.bank or ""], row.into.first or 1) in starts
    )


def blocks_held(fabric: Fabric, before: Setting, after: Setting) -> dict[int, int]:
    """Return how many blocks of each bank carry a line that stands in both settings; to be asked where no link slot moved.

    A slot between the first and the last of such a line is one the line must still pass, or a link slot would have moved.
    """
    into = intakes(fabric)
    stand = {(route.leg, route.to, route.alternate) for route in after.routes}
    held: dict[int, set[int]] = {}
    first = {
        (run.bank, slot): run.first
        for row in fabric.rows
        if row.by > 1
        for run in map(fabric.runs.__getitem__, row.into_runs)
        if run.bank in into
        for slot in range(run.first, run.first + run.length)
    }
    for route in before.routes:
        if (route.leg, route.to, route.alternate) in stand:
            for place in route.hops[1:-1]:
                bank = fabric.bank_of.get((place.device, place.bank), -1)
                if (bank, place.number) in first:
                    held.setdefault(bank, set()).add(first[bank, place.number])
    return {bank: len(runs) for bank, runs in held.items()}


def blocks_least(fabric: Fabric, plan: Plan, aims: Sequence[Aim], held: Mapping[int, int] | None = None) -> int | None:
    """Return a number of blocks that no patch can go below; None where counting would take too long.

    `held` are blocks of each bank that must stay, where a patch before this one stands.
    """
    banks: dict[int, dict[int, int]] = {}
    into = intakes(fabric)
    for row in fabric.rows:
        if row.by > 1 and not row.alternate:
            for run in row.into_runs:
                if fabric.runs[run].bank not in into:
                    continue
                length = fabric.runs[run].length
                known = banks.setdefault(fabric.runs[run].bank, {})
                for source in row.sources:
                    known[source] = max(known.get(source, 0), min(length, fabric.runs[source].length))
    held = held or {}
    work = len(fabric.seg_bank) * sum(len(sources) + len(plan.units) // 8 for sources in banks.values())
    if work > WORK:
        return sum(held.values()) or None
    upstream = Upstream(fabric, sorted({"", *(unit.allow for unit in plan.units)}))
    return sum(max(held.get(bank, 0), _least_into(fabric, plan, aims, bank, banks[bank], upstream)) for bank in sorted(banks))


def _least_into(fabric: Fabric, plan: Plan, aims: Sequence[Aim], bank: int, sources: dict[int, int], upstream: Upstream) -> int:
    around: dict[tuple[bool, tuple[int, ...]], set[int]] = {}
    legs: dict[str, None] = {}
    for aim in aims:
        feed, entries = _entries(plan, aim.leg)
        for goal in aim.goals:
            key = (feed, _ends(fabric, goal, aim.alternate))
            if key not in around:
                around[key] = upstream.of(key[1], feed, bank)
            if entries & around[key]:
                break
        else:
            if aim.goals:
                legs[aim.leg] = None
    if not legs:
        return 0
    # A leg comes into the bank a first time, on a way that has not passed it.
    behind = {(run, feed): upstream.of(fabric.runs[run].segments, feed, bank) for run in sources for feed in (False, True)}
    choices: list[frozenset[int]] = []
    ways: set[int] = set()
    for leg in legs:
        feed, entries = _entries(plan, leg)
        choices.append(frozenset(run for run in sources if entries & behind[run, feed]))
        ways = ways.union(*(behind[run, feed] for run in choices[-1]))
    options = [sorted(runs) for runs in choices if runs]
    least = few(options, sources, max(sources.values())) if options else 0
    mine = set().union(*(_entries(plan, leg)[1] for leg in legs))
    if any(_slotwise(fabric, upstream, segment, mine, bank) for segment in sorted(ways)):
        return least
    return max(least, cover(fabric, plan, list(legs), max(sources.values())))


def _entries(plan: Plan, leg: str) -> tuple[bool, set[int]]:
    """Return whether a leg is a feed's, and the segments it may enter by."""
    unit = plan.unit_of[leg]
    return unit.feed, {segment for segment, _ in unit.allowed[unit.legs.index(leg)]}


def _slotwise(fabric: Fabric, upstream: Upstream, segment: int, entries: set[int], bank: int) -> bool:
    """Return whether slots of a segment can be filled one by one with what enters by some segments and has not passed a bank."""
    if fabric.fed_by[segment] is not None:
        return False
    return any(
        not entries.isdisjoint(upstream.of(upstream.sources(row, feed), feed, bank))
        for row in fabric.singles_into[segment]
        for feed in (False, True)
    )


def _ends(fabric: Fabric, goal: Goal, alternate: bool) -> tuple[int, ...]:
    """Return the segments a leg has to come from: those that can be chosen for an exact slot, or where it may land."""
    if goal.offset is None or goal.tail == BOUND:
        return goal.segments
    rows = [fabric.rows[row] for row in fabric.singles_into[goal.segments[0]]]
    return tuple(dict.fromkeys(source for row in rows if row.alternate == alternate for source in row.sources))
