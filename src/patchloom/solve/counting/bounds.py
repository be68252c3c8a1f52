"""Counting proofs that no patch exists.

Comes in: fabric, aims and units.  Goes out: `Fact`s; none when counting proves nothing.
Next: `answer.py` raises `Impossible` with them.

Every bound here is a relaxation: it lets signals do more than a rig can.  What fails even so is impossible; what
passes is not thereby possible.  Cheapest first; the first bound that proves something is enough.
"""

from __future__ import annotations

from math import ceil

from patchloom.address import parse, spans
from patchloom.finding import Fact
from patchloom.model.show import List, Show
from patchloom.solve.counting.cuts import blocks, cuts
from patchloom.solve.counting.reach import names, open_ways, short, unit_of
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit

__all__ = ["BOUNDS", "bounds", "too_long"]


def too_long(show: Show, fabric: Fabric, wanted: list[Aim]) -> list[Fact]:
    """Return facts for lists longer than their bank, and for runs that more is asked into than they hold."""
    facts = []
    by_list: dict[str, list[Aim]] = {item.id: [] for item in show.lists}
    for aim in wanted:
        if aim.to in by_list and aim.must and not aim.alternate:
            by_list[aim.to].append(aim)
    for item in show.lists:
        legs = by_list[item.id]
        span = parse(item.at)
        size = fabric.size[fabric.bank_of[span.device, span.bank or ""]]
        there = min(span.last or size, size) - (span.first or 1) + 1
        places = {(aim.entry, aim.place) for aim in legs}
        asked = len(places)
        asked = max([asked, *(aim.place.number - (span.first or 1) + 1 for aim in legs if aim.place is not None)])
        if asked > there:
            facts.append(
                short(item.at, f"{item.id} asks for {asked} slots of {item.at}", asked, there, [aim.leg for aim in legs])
            )
        facts.extend(_outside(item, legs))
        inside: dict[str, list[Aim]] = {}
        for aim in legs:
            want = item.wants[aim.entry - 1]
            if want is not None and want.within:
                inside.setdefault(want.within, []).append(aim)
        for text, rows in inside.items():
            run = parse(text)
            room = (run.last or 0) - (run.first or 1) + 1
            if run.first is not None and len(rows) > room:
                facts.append(
                    short(
                        text, f"{item.id} asks for {len(rows)} signals within {text}", len(rows), room, [aim.leg for aim in rows]
                    )
                )
    for feed_aim in wanted:
        if not feed_aim.goals and feed_aim.must and feed_aim.to not in by_list:
            facts.append(
                Fact(
                    limit=feed_aim.to,
                    text=f"{feed_aim.leg} has nowhere to go: destination {feed_aim.entry} of "
                    f"{feed_aim.to} names {_missing(fabric, show, feed_aim)}.",
                    members=(feed_aim.leg,),
                )
            )
    return facts


def _missing(fabric: Fabric, show: Show, aim: Aim) -> str:
    """Return what is not there of the destination a feed is wanted at."""
    feed = next(feed for feed in show.feeds if feed.id == aim.to)
    devices = list(dict.fromkeys(parse(text).device for text in feed.to[aim.entry - 1].at))
    there = {device for device, _ in fabric.banks}
    if there.isdisjoint(devices):
        return f"{' and '.join(devices)}, not there in this period"
    return "no slot that exists at this rate"


def _outside(item: List, legs: list[Aim]) -> list[Fact]:
    """Return facts for wants whose place in the order of their list is outside the run they must land in."""
    facts = []
    for aim in legs:
        want = item.wants[aim.entry - 1]
        if (
            want is not None
            and want.within
            and aim.place is not None
            and not aim.goals
            and not parse(want.within).holds(aim.place)
        ):
            text = f"{aim.leg} must land within {want.within}, and the order of {item.id} puts it at {aim.place}."
            facts.append(Fact(limit=want.within, text=text, asked=1, there=0, short=1, members=(aim.leg,)))
    return facts


def bounds(fabric: Fabric, show: Show, wanted: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return the facts of the first bound that proves a show impossible on a rig; empty when none does."""
    must = [aim for aim in wanted if aim.must and aim.goals]
    placed = [unit for unit in units if not unit.optional]
    return next((facts for bound in BOUNDS if (facts := bound(fabric, must, placed))), [])


def _sockets(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    for feeds, what in ((False, "plug into the sockets"), (True, "be mixed on")):
        mine = [unit for unit in units if bool(unit.feed) == feeds]
        legs = [(name, sorted(places)) for unit in mine for name, places in zip(unit.legs, unit.allowed, strict=True)]
        facts = _matching(fabric, legs, what)
        if facts:
            return facts
    return []


def _phantom(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts when the sources that need phantom outnumber the sockets that can give it."""
    legs = []
    for unit in units:
        if unit.phantom == "need" and not unit.feed:
            for name, places in zip(unit.legs, unit.allowed, strict=True):
                legs.append((name, sorted(place for place in places if fabric.copper.gives_phantom(fabric.place(*place)))))
    return _matching(fabric, legs, "plug into the sockets with phantom")


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
            return [
                short(
                    f"phantom of {where}",
                    f"{names(need)} need phantom, {names(never)} must never have it, and {where} "
                    f"switches {size} together: groups",
                    asked,
                    len(union),
                    [*need, *never],
                )
            ]
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
        wanted = [
            aim.leg
            for aim in must
            if not aim.alternate
            and len(aim.goals) == 1
            and aim.goals[0].offset is not None
            and aim.goals[0].tail != BOUND
            and fabric.seg_bank[aim.goals[0].segments[0]] in banks
        ]
        if count == "slots" and len(wanted) > most:
            where = ", ".join(".".join(fabric.banks[bank]) for bank in sorted(banks))
            return [short(where, f"{where} share a pool of {most} slots", len(wanted), most, wanted)]
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
    mine = [legs[number][0] for number in sorted(stuck)]
    where = ", ".join(str(span) for span in spans(sorted(fabric.place(*place) for place in seen))) or "nowhere"
    return [short(where, f"{names(mine)} can only {what} {where}", len(mine), len(seen), mine)]


def _augment(
    number: int,
    legs: list[tuple[str, list[tuple[int, int]]]],
    taken: dict[tuple[int, int], int],
    seen: dict[tuple[int, int], bool],
) -> bool:
    stack = [(number, iter(legs[number][1]))]
    path: list[tuple[int, int]] = []
    while stack:
        places = stack[-1][1]
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


def _ways(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for wants that no way leads to from anywhere their signal may enter."""
    entries = unit_of(units)
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
                cache[key] = open_ways(fabric, goal, unit.feed, unit.allow)
            found = found or not cache[key].isdisjoint(segments)
        if not found:
            where = ", ".join(sorted({".".join(fabric.banks[fabric.seg_bank[s]]) for s in segments})) or "nowhere"
            lost.setdefault((aim.to, where), []).append(aim.leg)
    return [
        Fact(
            limit=f"ways to {to}",
            text=f"No way leads from {where} to {to} for {names(legs)}"
            f" (a source passes on only at a raw tap): {len(legs)} asked, 0 there, {len(legs)} short.",
            asked=len(legs),
            there=0,
            short=len(legs),
            members=tuple(legs),
        )
        for (to, where), legs in lost.items()
    ]


def _one_slot(fabric: Fabric, must: list[Aim], units: list[Unit]) -> list[Fact]:
    """Return facts for a slot that several legs want exactly."""
    wanted: dict[tuple[int, int, bool], dict[str, str]] = {}
    for aim in must:
        goal = aim.goals[0]
        if len(aim.goals) == 1 and goal.offset is not None:
            wanted.setdefault((goal.segments[0], goal.offset, goal.alternate), {})[aim.leg] = aim.to
    for (segment, offset, _), legs in wanted.items():
        if len(legs) > 1:
            place = str(fabric.place(segment, offset))
            takers = ", ".join(dict.fromkeys(legs.values()))
            return [short(place, f"{takers}: {names(list(legs))} are all wanted on {place}", len(legs), 1, list(legs))]
    return []


BOUNDS = (_one_slot, _sockets, _phantom, _clash, _pools, _ways, cuts, blocks)
"""The bounds in the order they are tried; each takes fabric, musts and units, and gives facts or none."""
