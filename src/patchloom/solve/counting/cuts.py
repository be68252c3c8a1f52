"""Counting proofs about what must pass a place: blocks of an intake, slots of a link.

Comes in: fabric, musts and units.  Goes out: `Fact`s; none when counting proves nothing.  Next: `bounds.py`.
"""

from __future__ import annotations

from math import ceil

from patchloom.address import Slot
from patchloom.finding import Fact
from patchloom.solve.counting.graph import smallest_cut
from patchloom.solve.counting.reach import open_ways, reachable, short, unit_of
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["blocks", "cuts"]


def blocks(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for banks that come in by blocks and need more different blocks than they have."""
    entries = unit_of(units)
    for bank, (device, name) in enumerate(fabric.banks):
        segments = sorted(set(fabric.segment_of[bank][1:]))
        runs = sorted({run for segment in segments for _, run in fabric.blocks_into[segment]})
        if not runs or any(fabric.singles_into[segment] or fabric.fed_by[segment] is not None for segment in segments):
            continue  # something comes in without a block, so blocks alone rule nothing out
        by = max(fabric.runs[run].length for run in runs)
        most = min([len(runs), *(most for banks, most, count in fabric.pools if bank in banks and count == "blocks")])
        forced = _forced(fabric, must, entries, bank)
        if not forced:
            continue
        deep = _too_deep(fabric, runs, bank, forced, entries)
        if deep is not None:
            return [deep]
        need = _blocks_needed(fabric, bank, by, forced, entries)
        if need > most:
            lists = sorted(set(forced.values()))
            return [
                short(
                    f"{device}.{name}",
                    f"{', '.join(lists)}: {len(forced)} signals come into {device}.{name} in different blocks of {by}",
                    need,
                    most,
                    sorted(forced),
                )
            ]
    return []


def _blocks_needed(fabric: Fabric, bank: int, by: int, forced: dict[str, str], entries: dict[str, tuple[Unit, set[int]]]) -> int:
    """Return how many different blocks some signals need at least to come into a bank.

    Signals share a block only where they can stand side by side before the first block choice: on sockets or slots
    that one run covers.  Signals that never can are counted apart.
    """
    together = _forming(fabric, bank, by)
    if together is None:
        return ceil(len(forced) / by)
    parts: list[tuple[set[int], int]] = []
    known: dict[tuple[object, ...], set[int]] = {}
    for leg in sorted(forced):
        unit, segments = entries[leg]
        key = (frozenset(segments), unit.feed, unit.allow)
        if key not in known:
            known[key] = {together[segment] for segment in reachable(fabric, segments, bank, unit) if segment in together}
        mine = set(known[key])
        count = 1
        rest = []
        for other, number in parts:
            if other & mine:
                mine |= other
                count += number
            else:
                rest.append((other, number))
        parts = [*rest, (mine, count)]
    return sum(ceil(count / by) for _, count in parts)


def _forming(fabric: Fabric, bank: int, by: int) -> dict[int, int] | None:
    """Return, for each segment whose slots are chosen freely and that blocks alone carry into a bank, what it stands with.

    None when smaller blocks on the way could be put together anew, and nothing can be said.
    """
    runs = sorted(
        {
            source
            for segment in fabric.segment_of[bank][1:]
            for row, _ in fabric.blocks_into[segment]
            for source in fabric.rows[row].sources
        }
    )
    seen_runs, seen = set(runs), set()
    together: dict[int, int] = {}
    todo = list(runs)
    while todo:
        run = todo.pop()
        roots: list[int] = []
        for segment in fabric.runs[run].segments:
            while fabric.fed_by[segment] is not None:
                segment = fabric.fed_by[segment][0]  # type: ignore[index]
            seen.add(segment)
            roots.append(segment)
            for row, _ in fabric.blocks_into[segment]:
                if fabric.rows[row].by < by:
                    return None
                for source in fabric.rows[row].sources:
                    if source not in seen_runs:
                        seen_runs.add(source)
                        todo.append(source)
        _merge(together, roots)
    return {
        segment: name for segment, name in together.items() if fabric.singles_into[segment] or not fabric.blocks_into[segment]
    }


def _merge(together: dict[int, int], roots: list[int]) -> None:
    names = {together.setdefault(root, root) for root in roots}
    if len(names) > 1:
        lowest = min(names)
        for segment, name in together.items():
            if name in names:
                together[segment] = lowest


def _too_deep(
    fabric: Fabric, runs: list[int], bank: int, forced: dict[str, str], entries: dict[str, tuple[Unit, set[int]]]
) -> Fact | None:
    """Return a fact when more blocks are needed to their full depth than runs are that deep (a short last block)."""
    depth: dict[int, int] = {}
    for leg in forced:
        unit, segments = entries[leg]
        places = unit.allowed[unit.legs.index(leg)]
        if len(places) != 1:
            continue
        sources = _source_runs(fabric, bank, segments, unit)
        if len(sources) == 1:
            (source,) = sources
            segment, offset = next(iter(places))
            number = _arrives(fabric, segment, offset, source)
            if number is not None:
                depth[source] = max(depth.get(source, 0), number + 1)
    for deep in sorted(set(depth.values())):
        asked = sum(1 for value in depth.values() if value >= deep)
        there = sum(1 for run in runs if fabric.runs[run].length >= deep)
        if asked > there:
            name = ".".join(fabric.banks[bank])
            return short(
                name,
                f"{', '.join(sorted(set(forced.values())))}: blocks are needed in {name} to their place {deep}",
                asked,
                there,
                sorted(forced),
            )
    return None


def _arrives(fabric: Fabric, segment: int, offset: int, source: int) -> int | None:
    """Return how far into a source run a socket's signal lies when wires alone lead there."""
    todo = [segment]
    for at in todo:
        if at in fabric.runs[source].segments:
            return fabric.seg_first[at] + offset - fabric.runs[source].first
        todo.extend(step.to for step in fabric.fixed[at])
    return None


def _forced(fabric: Fabric, must: list[Aim], entries: dict[str, tuple[Unit, set[int]]], bank: int) -> dict[str, str]:
    """Return legs that cannot reach some list of theirs but through a bank, with that list."""
    forced: dict[str, str] = {}
    cache: dict[tuple[object, ...], set[int]] = {}
    for aim in must:
        if aim.leg in forced or len(aim.goals) != 1:
            continue
        unit, segments = entries[aim.leg]
        goal = aim.goals[0]
        if any(fabric.seg_bank[segment] == bank for segment in segments):
            continue
        if all(fabric.seg_bank[segment] == bank for segment in goal.segments):
            forced[aim.leg] = aim.to
            continue
        key = (goal.segments, goal.offset is None or goal.tail == BOUND, goal.alternate, unit.feed, unit.allow)
        if key not in cache:
            cache[key] = open_ways(fabric, goal, unit.feed, unit.allow, frozenset({bank}))
        if cache[key].isdisjoint(segments):
            forced[aim.leg] = aim.to
    return forced


def _source_runs(fabric: Fabric, bank: int, segments: set[int], unit: Unit) -> frozenset[int]:
    """Return every source run of a bank's block rows in which a signal from some segments can arrive."""
    into = {run for segment in fabric.segment_of[bank][1:] for _, run in fabric.blocks_into[segment]}
    return frozenset(
        source
        for segment in reachable(fabric, segments, bank, unit)
        for row, source in fabric.blocks_from[segment]
        if any(run in into for run in fabric.rows[row].into_runs)
    )


def cuts(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for devices that more different signals must enter than slots on the way carry."""
    entries = unit_of(units)
    ways: list[tuple[object, object]] = []
    capacity: dict[object, int] = dict(enumerate(fabric.seg_length))
    for segment in range(len(fabric.seg_bank)):
        ways.extend((segment, step.to) for step in fabric.fixed[segment])
        for number, source in fabric.blocks_from[segment]:
            for run in fabric.rows[number].into_runs:
                ways.extend((segment, other) for other in fabric.facing(segment, source, run))
    for row in fabric.rows:
        if row.by == 1:
            hub = ("row", row.number)
            capacity[hub] = sum(fabric.seg_length[segment] for segment in row.into)
            ways.extend((segment, hub) for segment in row.sources)
            ways.extend((hub, segment) for segment in row.into)
    targets: dict[str, list[Aim]] = {}
    for aim in must:
        if aim.alternate:
            continue  # it shares the slot of a main input, so it counts against no capacity here
        device = fabric.banks[fabric.seg_bank[aim.goals[0].segments[-1]]][0] if not aim.slots else aim.slots[0].device
        targets.setdefault(device, []).append(aim)
    for device, aims in targets.items():
        legs = dict.fromkeys(aim.leg for aim in aims)
        supply: dict[object, int] = {}
        for leg in legs:
            key = tuple(sorted(entries[leg][1]))
            supply[key] = supply.get(key, 0) + 1
        # Each leg lands once at least on the slots wanted, so the wanted slots are the sinks.
        sinks = sorted({segment for aim in aims for goal in aim.goals for segment in goal.segments})
        value, cut = smallest_cut(capacity, ways, supply, sinks)
        if value < len(legs):
            return [
                _cut_fact(fabric, device, aims, entries, [node for node in cut if node not in _entries_of(supply)])
                or short(device, f"{device} wants {len(legs)} different signals", len(legs), value, legs)
            ]
    return []


def _entries_of(supply: dict[object, int]) -> set[object]:
    """Return the segments signals enter by."""
    return {segment for key in supply for segment in key}  # type: ignore[attr-defined]


def _cut_fact(
    fabric: Fabric, device: str, aims: list[Aim], entries: dict[str, tuple[Unit, set[int]]], cut: list[object]
) -> Fact | None:
    """Return the fact of a cut, told by the signals that have no way around it."""
    banks = frozenset(fabric.seg_bank[node] for node in cut if isinstance(node, int))
    forced = dict.fromkeys(
        aim.leg
        for aim in aims
        if all(
            open_ways(fabric, goal, entries[aim.leg][0].feed, entries[aim.leg][0].allow, banks).isdisjoint(entries[aim.leg][1])
            for goal in aim.goals
        )
    )
    there = sum(fabric.seg_length[node] for node in cut if isinstance(node, int))
    if not banks or len(forced) <= there:
        return None
    limit = ", ".join(dict.fromkeys(_bank_name(fabric, node) for node in cut if isinstance(node, int)))
    return short(limit, f"{device} wants {len(forced)} different signals that come through {limit}", len(forced), there, forced)


def _bank_name(fabric: Fabric, node: object) -> str:
    if isinstance(node, tuple):
        segment = fabric.rows[node[1]].into[0]
    else:
        assert isinstance(node, int)
        segment = node
    slot = Slot(*fabric.banks[fabric.seg_bank[segment]], 1)
    link = next((step.link for step in fabric.fixed[segment] if step.link), "")
    return f"{slot.device}.{slot.bank}" + (f" (link {link})" if link else "")
