"""How far the wishes of a show are met by a setting, and what no patch can beat, by counting.

Comes in: fabric, show, aims and units, a finished setting.  Goes out: `WishValue`s in the order of wishes.
Next: `answer.py` puts them into the patch.

The order is lexicographic, dearest first; each is a row of its own, so each can be tested by itself:

1. `wishes of priority N` carried (more is better), one row for each priority asked; then `preferred places`: legs that
   enter where the show would like them to; `preferred ways`: deliveries that pass where a routing rule prefers it;
2. after a patch before it: `sockets moved`, `channels moved`, `link slots moved` (see `patchloom.model.diff`);
3. `pairs odd/even`: stereo signals on two neighbouring slots, the left one odd, where they enter and where a choice lands them;
4. `spares kept`: declared spare lines that are free and reach the desks they must reach;
5. `blocks taken in`: runs that come into the banks of desks and recorders several slots at once, fewer is better;
6. `links passed`: links on the way of each line, added up, fewer is better;
7. `channels out of order`: legs of lists whose order nobody can choose slot by slot that land elsewhere than asked.

A bound looks at one wish alone, so it holds whatever the dearer ones cost; `proven` says that value and bound are equal.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from heapq import heappop, heappush

from patchloom.address import Slot, parse
from patchloom.model.patch import Setting, WishValue
from patchloom.model.show import Show
from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Goal
from patchloom.solve.ruled.abide import liked
from patchloom.solve.slot import Aim
from patchloom.solve.unit import Unit
from patchloom.solve.wishes.blocks import blocks_least, blocks_taken, intakes
from patchloom.solve.wishes.upstream import Upstream

__all__ = ["measure", "pairs_kept"]

BIG = 4_000
"""Lines above which bounds that look at every place a leg may enter by are left out."""

_Place = tuple[int, int]
_Row = tuple[str, float, float | None, str]


def measure(
    fabric: Fabric,
    show: Show,
    plan: Plan,
    setting: Setting,
    lost: Iterable[tuple[str, int]] = (),
    moved: Iterable[_Row] = (),
    blocks: int | None = None,
    held: Mapping[int, int] | None = None,
) -> list[WishValue]:
    """Return value and bound of every wish that a show has, dearest first; O(lines x hops) and a search for each list.

    `lost` are wishes proven impossible beside the dearer ones, as (list, entry); `moved` the rows of least change; `blocks`
    how few blocks there must be, where that is known already, `held` how many of each bank must stay.
    """
    rows: list[_Row] = [*_priorities(plan, setting, set(lost)), *_preferred(fabric, show, plan, setting), *moved]
    rows += liked(plan.rules, setting) if plan.rules is not None else []
    rows += pairs_kept(fabric, plan, setting)
    asked = sum(row.count for row in show.wishes.spare) if show.wishes is not None else 0
    if asked:
        rows.append(("spares kept", len(setting.spares), asked, "lines"))
    given_up = set(setting.unmet)
    aims = [aim for aim in plan.aims if f"{aim.to}: {aim.leg}" not in given_up]
    if intakes(fabric):
        least = blocks_least(fabric, plan, aims, held) if blocks is None else blocks
        rows.append(("blocks taken in", blocks_taken(fabric, setting), least, "blocks"))
    rows += _links(fabric, plan, aims, setting)
    rows += _order(fabric, plan, aims, setting)
    where = f" ({setting.period})" if setting.period else ""
    return [
        WishValue(wish=name + where, value=value, bound=bound, unit=unit, proven=value == bound)
        for name, value, bound, unit in rows
    ]


def _priorities(plan: Plan, setting: Setting, lost: set[tuple[str, int]]) -> list[_Row]:
    """Return, for each priority, how many wishes are carried; the bound takes away those proven impossible."""
    given_up = set(setting.unmet)
    wishes: dict[tuple[str, int], Aim] = {}
    for aim in plan.aims:
        if not aim.must:
            wishes.setdefault((aim.to, aim.entry), aim)
    rows: list[_Row] = []
    for priority in sorted({aim.priority for aim in wishes.values()}):
        keys = [key for key, aim in wishes.items() if aim.priority == priority]
        carried = sum(1 for key in keys if f"{wishes[key].to}: {wishes[key].leg}" not in given_up)
        rows.append((f"wishes of priority {priority}", carried, len(keys) - len(lost.intersection(keys)), "wishes"))
    return rows


def _preferred(fabric: Fabric, show: Show, plan: Plan, setting: Setting) -> list[_Row]:
    """Return how many legs enter at a place they would rather enter by, and how many may."""
    value = bound = 0
    units = {unit.name: unit for unit in plan.units}
    for row in show.wishes.prefer if show.wishes is not None else ():
        spans = [parse(text) for text in row.at]
        for name in row.signals:
            unit = units.get(name.partition(".")[0])
            for leg, allowed in zip(unit.legs, unit.allowed, strict=True) if unit is not None else ():
                if name not in (leg, leg.partition(".")[0]):
                    continue
                place = (setting.mixes if unit is not None and unit.feed else setting.plugs).get(leg)
                value += place is not None and any(span.holds(place) for span in spans)
                bound += any(span.holds(fabric.place(*there)) for there in sorted(allowed) for span in spans)
    return [("preferred places", value, bound, "legs")] if bound or value else []


def pairs_kept(fabric: Fabric, plan: Plan, setting: Setting) -> list[_Row]:
    """Return how many stereo signals enter, and land where they may choose, on odd and even neighbours."""
    value = bound = 0
    for unit in plan.units:
        if len(unit.legs) == 2:
            table = setting.mixes if unit.feed else setting.plugs
            places = [table[leg] for leg in unit.legs if leg in table]
            value += _odd_even(places)
            bound += _may_pair(fabric, unit)
    landed: dict[tuple[str, int, bool, str], list[Slot]] = {}
    for route in setting.routes:
        if "." in route.leg and route.hops:
            landed.setdefault((route.to, route.entry, route.alternate, route.leg.partition(".")[0]), []).append(route.hops[-1])
    chosen = {
        (aim.to, aim.entry, aim.alternate, aim.leg.partition(".")[0])
        for aim in plan.aims
        if aim.partner and not all(goal.offset is not None for goal in aim.goals)
    }
    for key, places in landed.items():
        if key in chosen:
            value += _odd_even(places)
            bound += 1
    return [("pairs odd/even", value, bound, "pairs")] if bound or value else []


def _odd_even(places: list[Slot]) -> bool:
    return len(places) == 2 and places[0].number % 2 == 1 and places[1] == places[0]._replace(number=places[0].number + 1)


def _may_pair(fabric: Fabric, unit: Unit) -> bool:
    left, right = unit.allowed
    for segment, offset in sorted(left):
        place = fabric.place(segment, offset)
        if place.number % 2 == 1 and fabric.find(place._replace(number=place.number + 1)) in right:
            return True
    return False


def _links(fabric: Fabric, plan: Plan, aims: list[Aim], setting: Setting) -> list[_Row]:
    """Return how many links all lines pass, and the least there can be from where their legs may enter."""
    if not setting.routes:
        return []
    tables: dict[tuple[int, ...], dict[int, int]] = {}
    known: dict[tuple[object, ...], int] = {}
    entries: dict[str, frozenset[int] | int] = {}
    carried = {(route.leg, route.to, route.entry, route.alternate) for route in setting.routes}
    bound = 0
    for aim in aims:
        if (aim.leg, aim.to, aim.entry, aim.alternate) not in carried:
            continue
        enters = entries.get(aim.leg)
        if enters is None:
            enters = entries[aim.leg] = _entries(plan.unit_of[aim.leg], aim.leg)
        key = (enters, tuple((goal.segments, goal.tail) for goal in aim.goals), aim.alternate)
        least = known.get(key)
        if least is None:
            among = {enters} if isinstance(enters, int) else enters
            least = min((_least_to(fabric, goal, aim.alternate, among, tables) for goal in aim.goals), default=0)
            known[key] = least
        bound += least
    return [("links passed", _passed(setting), bound, "links")]


def _entries(unit: Unit, leg: str) -> frozenset[int] | int:
    """Return the segments a leg may enter by; the one when there is one only."""
    found = frozenset(segment for segment, _ in unit.allowed[unit.legs.index(leg)])
    return next(iter(found)) if len(found) == 1 else found


def _passed(setting: Setting) -> int:
    """Return how many links all lines pass: every step from one device to another."""
    count = 0
    for route in setting.routes:
        device = route.hops[0][0]
        for place in route.hops:
            if place[0] != device:
                count += 1
                device = place[0]
    return count


def _least_to(
    fabric: Fabric, goal: Goal, alternate: bool, entries: Iterable[int], tables: dict[tuple[int, ...], dict[int, int]]
) -> int:
    """Return the fewest links from some segments to a goal, its wires included; 0 where no way is known."""
    end = goal.tail[-1] if goal.tail and goal.tail != BOUND else None
    targets = (end,) if end is not None and not alternate else goal.segments
    table = tables.get(targets)
    if table is None:
        table = tables[targets] = _fewest(fabric, targets)
    found = [table[segment] for segment in entries if segment in table]
    return min(found, default=0)


def _fewest(fabric: Fabric, targets: Iterable[int]) -> dict[int, int]:
    """Return for every segment from which some targets can be reached the fewest links on the way."""
    best: dict[int, int] = dict.fromkeys(targets, 0)
    heap = sorted((0, segment) for segment in best)
    rows_seen: set[int] = set()
    settled: set[int] = set()

    def offer(segment: int, links: int) -> None:
        if links < best.get(segment, 1 << 30):
            best[segment] = links
            heappush(heap, (links, segment))

    while heap:
        links, segment = heappop(heap)
        if segment in settled:
            continue
        settled.add(segment)
        fed = fabric.fed_by[segment]
        if fed is not None:
            offer(fed[0], links + (1 if fed[1] else 0))
            continue
        for row in fabric.singles_into[segment]:
            if row not in rows_seen:
                rows_seen.add(row)
                for source in fabric.rows[row].sources:
                    offer(source, links)
        for row, run in fabric.blocks_into[segment]:
            for source in fabric.rows[row].sources:
                for other in fabric.facing(segment, run, source):
                    offer(other, links)
    return best


def _order(fabric: Fabric, plan: Plan, aims: list[Aim], setting: Setting) -> list[_Row]:
    """Return how many legs of inherited orders land elsewhere than asked, and the fewest that must."""
    ends: dict[tuple[str, str, int], Slot] = {(route.leg, route.to, route.entry): route.hops[-1] for route in setting.routes}
    asked = [aim for aim in aims if not aim.free and aim.place is not None and not aim.alternate]
    if not asked:
        return []
    value = sum(1 for aim in asked if ends.get((aim.leg, aim.to, aim.entry), aim.place) != aim.place)
    return [("channels out of order", value, _order_least(fabric, plan, asked) if value else 0, "channels")]


def _order_least(fabric: Fabric, plan: Plan, asked: list[Aim]) -> int:
    """Return how many legs must land elsewhere: each leg looked at alone, wherever it may enter."""
    if len(asked) > BIG:
        return 0
    upstream = Upstream(fabric, sorted({"", *(unit.allow for unit in plan.units)}))
    by_leg: dict[str, list[tuple[set[_Place], list[frozenset[int]]]]] = {}
    for aim in asked:
        place = fabric.find(aim.place) if aim.place is not None else None
        by_leg.setdefault(aim.leg, []).append(upstream.exactly(place) if place is not None else (set(), []))
    least = 0
    for leg, wishes in by_leg.items():
        unit = plan.unit_of[leg]
        allowed = unit.allowed[unit.legs.index(leg)]
        most = 0
        for place in sorted(allowed):
            most = max(most, sum(place in places or any(place[0] in row for row in rows) for places, rows in wishes))
            if most == len(wishes):
                break
        least += len(wishes) - most
    return least
