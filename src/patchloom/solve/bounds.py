"""Counting proofs that no patch exists.

Comes in: fabric, aims and units.  Goes out: `Fact`s; none when counting proves nothing.
Next: `answer.py` raises `Impossible` with them.

Every bound here is a relaxation: it lets signals do more than a rig can.  What fails even so is impossible; what
passes is not thereby possible.  Cheapest first; the first bound that proves something is enough.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from patchloom.address import Slot, parse, spans
from patchloom.finding import Fact
from patchloom.model.show import Show
from patchloom.solve.copper import gives_phantom
from patchloom.solve.fabric import Fabric
from patchloom.solve.graph import smallest_cut
from patchloom.solve.place import Unit
from patchloom.solve.route import BOUND, Goal
from patchloom.solve.slot import Aim

__all__ = ["bounds", "too_long"]


def too_long(show: Show, fabric: Fabric, wanted: list[Aim]) -> list[Fact]:
    """Return facts for lists longer than their bank, and for runs that more is asked into than they hold."""
    facts = []
    for item in show.lists:
        legs = [aim for aim in wanted if aim.to == item.id and not aim.alternate and aim.must]
        span = parse(item.at)
        size = fabric.size[fabric.bank_of[span.device, span.bank or ""]]
        there = min(span.last or size, size) - (span.first or 1) + 1
        places = {(aim.entry, aim.place) for aim in legs}
        asked = len(places)
        if any(not aim.goals for aim in legs):
            asked = max(asked, *(aim.place.number - (span.first or 1) + 1 for aim in legs if aim.place is not None))
        if asked > there:
            facts.append(_short(item.at, f"{item.id} asks for {asked} slots of {item.at}", asked, there, [aim.leg for aim in legs]))
        inside: dict[str, list[Aim]] = {}
        for aim in legs:
            want = item.wants[aim.entry - 1]
            if want is not None and want.within:
                inside.setdefault(want.within, []).append(aim)
        for text, rows in inside.items():
            run = parse(text)
            room = (run.last or 0) - (run.first or 1) + 1
            if run.first is not None and len(rows) > room:
                facts.append(_short(text, f"{item.id} asks for {len(rows)} signals within {text}", len(rows), room,
                                    [aim.leg for aim in rows]))
    for feed_aim in wanted:
        if not feed_aim.goals and feed_aim.must and not any(feed_aim.to == item.id for item in show.lists):
            facts.append(Fact(limit=feed_aim.to, text=f"{feed_aim.leg} has nowhere to go: destination {feed_aim.entry} of "
                              f"{feed_aim.to} names no slot that exists at this rate.", members=(feed_aim.leg,)))
    return facts


def bounds(fabric: Fabric, show: Show, wanted: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return the facts of the first bound that proves a show impossible on a rig; empty when none does."""
    must = [aim for aim in wanted if aim.must and aim.goals]
    for bound in (_sockets, _phantom, _clash, _pools, _ways, _cuts, _blocks):
        facts = bound(fabric, must, units)
        if facts:
            return facts
    return []


def _short(limit: str, words: str, asked: int, there: int, members: Iterable[str]) -> Fact:
    return Fact(limit=limit, text=f"{words}: {asked} asked, {there} there, {asked - there} short.", asked=asked, there=there,
                short=asked - there, members=tuple(dict.fromkeys(members)))


def _sockets(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    legs = [(name, sorted(places)) for unit in units for name, places in zip(unit.legs, unit.allowed, strict=True)]
    return _matching(fabric, legs, "sockets")


def _phantom(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts when the sources that need phantom outnumber the sockets that can give it."""
    legs = []
    for unit in units:
        if unit.phantom == "need" and not unit.feed:
            for name, places in zip(unit.legs, unit.allowed, strict=True):
                legs.append((name, sorted(place for place in places if gives_phantom(fabric.rig, fabric.place(*place)))))
    return _matching(fabric, legs, "sockets with phantom")


def _clash(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts when sources that need and must never have phantom want more switch groups than there are."""
    rows: list[tuple[bool, str, frozenset[tuple[int, int]]]] = []
    size = 1
    for unit in units:
        if unit.feed or unit.phantom not in ("need", "never"):
            continue
        for name, places in zip(unit.legs, unit.allowed, strict=True):
            groups = frozenset(_group(fabric, place) for place in places)
            if all(by > 1 for _, _, by in groups):
                size = max([size, *(by for _, _, by in groups)])
                rows.append((unit.phantom == "need", name, frozenset((bank, number) for bank, number, _ in groups)))
    groups_of = {groups for _, _, groups in rows}
    for union in sorted(groups_of, key=lambda groups: (len(groups), sorted(groups))):
        need = [name for needs, name, groups in rows if needs and groups <= union]
        never = [name for needs, name, groups in rows if not needs and groups <= union]
        asked = ceil(len(need) / size) + ceil(len(never) / size)
        if asked > len(union):
            where = ", ".join(sorted({".".join(fabric.banks[bank]) for bank, _ in union}))
            return [_short(f"phantom of {where}", f"{_names(need)} need phantom, {_names(never)} must never have it, and {where} "
                           f"switches {size} together: groups", asked, len(union), [*need, *never])]
    return []


def _group(fabric: Fabric, place: tuple[int, int]) -> tuple[int, int, int]:
    """Return bank, number and size of the phantom group a socket belongs to; size 1 where it is switched alone or not at all."""
    slot = fabric.place(*place)
    kind = fabric.rig.type_of(slot.device)
    bank = kind.banks[slot.bank]
    by = (kind.preamps[bank.preamp].phantom_by or 1) if bank.preamp else 1
    return fabric.seg_bank[place[0]], (slot.number - 1) // by, by


def _pools(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for shared pools that more exact slots are asked of than they hold."""
    for banks, most, count in fabric.pools:
        wanted = [aim.leg for aim in must if not aim.alternate and len(aim.goals) == 1 and aim.goals[0].offset is not None
                  and aim.goals[0].tail != BOUND and fabric.seg_bank[aim.goals[0].segments[0]] in banks]
        if count == "slots" and len(wanted) > most:
            where = ", ".join(".".join(fabric.banks[bank]) for bank in sorted(banks))
            return [_short(where, f"{where} share a pool of {most} slots", len(wanted), most, wanted)]
    return []


def _matching(fabric: Fabric, legs: list[tuple[str, list[tuple[int, int]]]], what: str) -> list[Fact]:
    """Return a Hall violation: legs that together have fewer sockets than they are; none when all fit."""
    taken: dict[tuple[int, int], int] = {}
    without = [number for number in range(len(legs)) if not _augment(number, legs, taken, {})]
    if not without:
        return []
    stuck, seen = set(without), set()
    todo = list(without)
    while todo:
        for place in legs[todo.pop()][1]:
            if place not in seen:
                seen.add(place)
                holder = taken[place]
                if holder not in stuck:
                    stuck.add(holder)
                    todo.append(holder)
    names = [legs[number][0] for number in sorted(stuck)]
    where = ", ".join(str(span) for span in spans(sorted(fabric.place(*place) for place in seen))) or "nowhere"
    return [_short(where, f"{_names(names)} can only plug into the {what} {where}", len(names), len(seen), names)]


def _augment(number: int, legs: list[tuple[str, list[tuple[int, int]]]], taken: dict[tuple[int, int], int],
             seen: dict[tuple[int, int], bool]) -> bool:
    stack = [(number, iter(legs[number][1]))]
    path: list[tuple[int, int]] = []
    while stack:
        current, places = stack[-1]
        for place in places:
            if place in seen:
                continue
            seen[place] = True
            path.append(place)
            if place not in taken:
                for (leg, _), chosen in zip(stack, path, strict=True):
                    taken[chosen] = leg
                return True
            stack.append((taken[place], iter(legs[taken[place]][1])))
            break
        else:
            stack.pop()
            if path:
                path.pop()
    return False


def _names(names: list[str]) -> str:
    return ", ".join(names) if len(names) <= 6 else f"{', '.join(names[:5])} and {len(names) - 5} more"


def _open_ways(fabric: Fabric, goal: Goal, feed: bool, allow: str, without: frozenset[int] = frozenset()) -> set[int]:
    """Return the segments a leg could come from to a goal if nothing were full, some banks left out."""
    todo: list[int] = []
    if goal.offset is not None and goal.tail != BOUND:
        _take_single(fabric, goal.segments[0], goal.alternate, feed, allow, todo)
        todo = [segment for segment in todo if fabric.seg_bank[segment] not in without]
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
            into.extend(source for source in row.sources
                        if fabric.raw_tap(fabric.seg_bank[source], row, allow, feed) is not None)


def _unit_of(units: list[Unit]) -> dict[str, tuple[Unit, set[int]]]:
    return {leg: (unit, {segment for segment, _ in places}) for unit in units
            for leg, places in zip(unit.legs, unit.allowed, strict=True)}


def _ways(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for wants that no way leads to from anywhere their signal may enter."""
    entries = _unit_of(units)
    cache: dict[tuple[object, ...], set[int]] = {}
    lost: dict[tuple[str, str], list[str]] = {}
    for aim in must:
        if aim.leg not in entries:
            lost.setdefault((aim.to, "nowhere"), []).append(aim.leg)
            continue
        unit, segments = entries[aim.leg]
        found = False
        for goal in aim.goals:
            key = (goal.segments, goal.offset is None or goal.tail == BOUND, goal.alternate, unit.feed, unit.allow)
            if key not in cache:
                cache[key] = _open_ways(fabric, goal, unit.feed, unit.allow)
            found = found or not cache[key].isdisjoint(segments)
        if not found:
            where = ", ".join(sorted({".".join(fabric.banks[fabric.seg_bank[s]]) for s in segments})) or "nowhere"
            lost.setdefault((aim.to, where), []).append(aim.leg)
    return [Fact(limit=f"ways to {to}", text=f"No way leads from {where} to {to} for {_names(legs)}"
                 f" (a source passes on only at a raw tap): {len(legs)} asked, 0 there, {len(legs)} short.",
                 asked=len(legs), there=0, short=len(legs), members=tuple(legs)) for (to, where), legs in lost.items()]


def _blocks(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for banks that come in by blocks and need more different blocks than they have."""
    entries = _unit_of(units)
    for bank, (device, name) in enumerate(fabric.banks):
        segments = sorted(set(fabric.segment_of[bank][1:]))
        runs = sorted({run for segment in segments for _, run in fabric.blocks_into[segment]})
        if not runs or any(fabric.singles_into[segment] for segment in segments):
            continue
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
            return [_short(f"{device}.{name}", f"{', '.join(lists)}: {len(forced)} signals come into {device}.{name} in "
                           f"different blocks of {by}", need, most, sorted(forced))]
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
    for leg in sorted(forced):
        unit, segments = entries[leg]
        mine = {together[segment] for segment in _reachable(fabric, segments, bank, unit) if segment in together}
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
    runs = sorted({source for segment in fabric.segment_of[bank][1:] for row, _ in fabric.blocks_into[segment]
                   for source in fabric.rows[row].sources})
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
    return {segment: name for segment, name in together.items() if fabric.singles_into[segment] or not fabric.blocks_into[segment]}


def _merge(together: dict[int, int], roots: list[int]) -> None:
    names = {together.setdefault(root, root) for root in roots}
    if len(names) > 1:
        lowest = min(names)
        for segment, name in together.items():
            if name in names:
                together[segment] = lowest


def _reachable(fabric: Fabric, segments: set[int], bank: int, unit: Unit) -> set[int]:
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


def _too_deep(fabric: Fabric, runs: list[int], bank: int, forced: dict[str, str], entries: dict[str, tuple[Unit, set[int]]]) -> Fact | None:
    """Return a fact when more blocks are needed to their full depth than runs are that deep (a short last block)."""
    depth: dict[int, int] = {}
    for leg in forced:
        unit, segments = entries[leg]
        sources = _source_runs(fabric, bank, segments, unit)
        places = unit.allowed[unit.legs.index(leg)]
        if len(sources) == 1 and len(places) == 1:
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
            return _short(name, f"{', '.join(sorted(set(forced.values())))}: blocks are needed in {name} to their place {deep}", asked,
                          there, sorted(forced))
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
            cache[key] = _open_ways(fabric, goal, unit.feed, unit.allow, frozenset({bank}))
        if cache[key].isdisjoint(segments):
            forced[aim.leg] = aim.to
    return forced


def _source_runs(fabric: Fabric, bank: int, segments: set[int], unit: Unit) -> frozenset[int]:
    """Return every source run of a bank's block rows in which a signal from some segments can arrive."""
    into = {run for segment in fabric.segment_of[bank][1:] for _, run in fabric.blocks_into[segment]}
    return frozenset(source for segment in _reachable(fabric, segments, bank, unit) for row, source in fabric.blocks_from[segment]
                     if any(run in into for run in fabric.rows[row].into_runs))


def _cuts(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for devices that more different signals must enter than slots on the way carry."""
    entries = _unit_of(units)
    ways: list[tuple[object, object]] = []
    capacity: dict[object, int] = {number: length for number, length in enumerate(fabric.seg_length)}
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
            return [_cut_fact(fabric, device, aims, entries, [node for node in cut if node not in entries_of(supply)])
                    or _short(device, f"{device} wants {len(legs)} different signals", len(legs), value, legs)]
    return []


def entries_of(supply: dict[object, int]) -> set[object]:
    """Return the segments signals enter by."""
    return {segment for key in supply for segment in key}  # type: ignore[attr-defined]


def _cut_fact(fabric: Fabric, device: str, aims: list[Aim], entries: dict[str, tuple[Unit, set[int]]],
              cut: list[object]) -> Fact | None:
    """Return the fact of a cut, told by the signals that have no way around it."""
    banks = frozenset(fabric.seg_bank[node] for node in cut if isinstance(node, int))
    forced = dict.fromkeys(
        aim.leg for aim in aims
        if all(_open_ways(fabric, goal, entries[aim.leg][0].feed, entries[aim.leg][0].allow, banks).isdisjoint(entries[aim.leg][1])
               for goal in aim.goals))
    there = sum(fabric.seg_length[node] for node in cut if isinstance(node, int))
    if not banks or len(forced) <= there:
        return None
    limit = ", ".join(dict.fromkeys(_bank_name(fabric, node) for node in cut if isinstance(node, int)))
    return _short(limit, f"{device} wants {len(forced)} different signals that come through {limit}", len(forced), there, forced)


def _bank_name(fabric: Fabric, node: object) -> str:
    if isinstance(node, tuple):
        segment = fabric.rows[node[1]].into[0]
    else:
        assert isinstance(node, int)
        segment = node
    slot = Slot(*fabric.banks[fabric.seg_bank[segment]], 1)
    link = next((step.link for step in fabric.fixed[segment] if step.link), "")
    return f"{slot.device}.{slot.bank}" + (f" (link {link})" if link else "")
