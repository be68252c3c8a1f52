"""Whether every list gets what it wants, where it wants it.

Comes in: a `Scene`.  Goes out: items, and the deliveries that are right.  Next: `routes`, `gain`.

A list's entries take slots in order, as many each as they have legs; a stereo entry starts on an odd slot where
the bank or the list asks for that and there is room.  Where somebody can choose every slot of a list singly, the
order must be kept to the slot; where not, the nearest order will do and a note must say so.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.address import Slot, parse
from patchloom.check.deliver import Wanted, blame_route, swapped, take, take_from
from patchloom.check.scene import Scene
from patchloom.check.signals import Node
from patchloom.model.show import List, Want

__all__ = ["check_lists", "lay_out"]


class _Entry(NamedTuple):
    number: int
    want: Want
    legs: tuple[str, ...]
    width: int


def check_lists(scene: Scene) -> None:
    """Check every list of the period."""
    claimed: dict[tuple[str, str], set[int]] = {}
    for item in scene.show.lists:
        _check_list(scene, item, claimed)


def _entries(scene: Scene, item: List) -> list[_Entry | None]:
    rows: list[_Entry | None] = []
    for number, want in enumerate(item.wants, 1):
        legs = scene.legs(want.signal, want.leg) if want is not None else ()
        if want is None or not legs:
            if want is not None:
                scene.report.add("want-absent", f"{item.id} wants {want.signal}, which is not in use.", item.id, want.signal)
            rows.append(None)
            continue
        if want.fold:
            legs = (legs[-1],) if want.fold == "right" else (legs[0],)
        rows.append(_Entry(number, want, legs, 1 if want.fold else len(legs)))
    return rows


def _check_list(scene: Scene, item: List, claimed: dict[tuple[str, str], set[int]]) -> None:
    span = parse(item.at)
    bank = span.bank or ""
    if not scene.ground.known(span.device, bank):
        scene.report.add("no-such-place", f"List {item.id} lands in {item.at}, which this rig does not have.", item.at, item.id)
        return
    size = scene.ground.size(span.device, bank)
    if size is None:
        scene.report.add(
            "rate-unsupported",
            f"{span.device}.{bank} does not work at {scene.ground.rate(span.device, bank)} Hz.",
            f"{span.device}.{bank}",
            numbers=(("rate Hz", str(scene.ground.rate(span.device, bank))),),
        )
        return
    first, last = span.first or 1, min(span.last or size, size)
    rows = _entries(scene, item)
    odd, hard = _pairs(scene, item, span.device, bank)
    starts = lay_out(rows, first, last, odd, hard)
    musts = ((row, start) for row, start in zip(rows, starts, strict=True) if row is not None and row.want.priority is None)
    over = max((start + row.width - 1 for row, start in musts), default=0)
    if over > last:
        scene.report.add(
            "list-too-long",
            f"{item.id} needs {over - first + 1} slots of {item.at}, which has {last - first + 1}.",
            item.id,
            item.at,
            numbers=(("asked", over - first + 1), ("there", last - first + 1)),
        )
        return  # where nothing fits, no entry has a right place
    numbers = claimed.setdefault((span.device, bank), set())
    if _in_order(scene, item, rows, starts, span.device, bank):
        numbers.update(start + step for row, start in zip(rows, starts, strict=True) if row for step in range(row.width))
        _gaps(scene, item, rows, starts, Slot(span.device, bank, 0), numbers, last)
        return
    wanted = _wanted(scene, item, rows, starts, span.device, bank)
    beyond = [row for row in wanted if row.place.number > last]
    free = _all_singly(scene, [row.place for row in wanted if not row.alternate and row.place.number <= last])
    if free or any(row.alternate for row in beyond):
        for row in beyond:  # wishes, as musts fit
            _unmet(scene, row)
        wanted = [row for row in wanted if row.place.number <= last]
    if free:
        _strict(scene, item, wanted)
        numbers.update(row.place.number for row in wanted)
        _gaps(scene, item, rows, starts, Slot(span.device, bank, 0), numbers, last)
    else:
        _loose(scene, item, wanted, rows, (first, last))


def _pairs(scene: Scene, item: List, device: str, bank: str) -> tuple[bool, bool]:
    kind = scene.ground.bank(device, bank)
    hard = kind is not None and kind.pairs
    odd = hard or item.pairs == "odd" or (not item.pairs and kind is not None and kind.does == "process")
    return odd, hard


def lay_out(rows: list[_Entry | None], first: int, last: int, odd: bool, hard: bool) -> list[int]:
    """Return the first slot of each entry: odd starts for stereo when all still fit (or `hard`), fixed channels kept."""
    starts = _line_up(rows, first, last, odd)
    ends = [start + row.width - 1 for row, start in zip(rows, starts, strict=True) if row is not None]
    return starts if not odd or hard or max(ends, default=0) <= last else _line_up(rows, first, last, False)


def _line_up(rows: list[_Entry | None], first: int, last: int, odd: bool) -> list[int]:
    held = {
        row.want.channel + step for row in rows if row is not None and row.want.channel is not None for step in range(row.width)
    }
    here = first
    starts = []
    for row in rows:
        if row is None:
            while here in held:
                here += 1
            starts.append(here)
            here += 1
        elif row.want.channel is not None:
            starts.append(row.want.channel)
            here = max(here, row.want.channel + row.width)
        elif row.width == 1 and not row.want.within:
            while here in held:
                here += 1
            held.add(here)
            starts.append(here)
            here += 1
        else:
            start = _next_room(row, here, first, last, held, odd)
            held.update(range(start, start + row.width))
            starts.append(start)
            here = max(here, start + row.width) if start >= here else here
    return starts


def _next_room(row: _Entry, here: int, first: int, last: int, held: set[int], odd: bool) -> int:
    low = here
    if row.want.within:
        run = parse(row.want.within)
        low = max(here, run.first or first)
        if low + row.width - 1 > (run.last or last):
            low = run.first or first
    while not held.isdisjoint(range(low, low + row.width)) or (odd and row.width == 2 and low % 2 == 0):
        low += 1
    return low


def _wanted(scene: Scene, item: List, rows: list[_Entry | None], starts: list[int], device: str, bank: str) -> list[Wanted]:
    found = []
    for row, start in zip(rows, starts, strict=True):
        if row is None:
            continue
        want, must = row.want, row.want.priority is None
        feed = row.legs[0] in scene.feeds
        for step, leg in enumerate(row.legs):
            place = Slot(device, bank, start if want.fold else start + step)
            found.append(Wanted(leg, item.id, row.number, place, item.position, want.tap, feed, must))
        if want.alternate:
            legs = scene.legs(want.alternate)
            for step, leg in enumerate(legs[: row.width]):
                place = Slot(device, bank, start + step)
                found.append(Wanted(leg, item.id, row.number, place, item.position, want.tap, leg in scene.feeds, must, True))
    return found


def _all_singly(scene: Scene, places: list[Slot]) -> bool:
    """Return whether somebody can choose what each of a list's slots takes."""
    if not places:
        return True
    device, bank, _ = places[0]
    if _one_row(scene, device, bank, min(places).number, max(places).number):
        return True
    return all(_chosen_singly(scene, place) for place in places)


def _one_row(scene: Scene, device: str, bank: str, low: int, high: int) -> bool:
    """Return whether one select row lets somebody choose each slot of a run, and nothing else feeds the bank."""
    if scene.feeders.side(device, bank).ways:
        return False
    for row in scene.ground.rows_into(device, bank):
        first, last = scene.ground.bounds(device, row.into)
        if not row.wired and row.by == 1 and not row.select.alternate and first <= low and high <= last:
            return True
    return False


def _chosen_singly(scene: Scene, place: Slot) -> bool:
    """Return whether somebody can choose what a slot takes, there or where it is wired on from."""
    ground = scene.ground
    for _ in range(64):
        way = scene.feeders.way(place)
        if way is None:
            break
        place = Slot(way.device, way.bank, way.start + place.number - way.first)
    for row in ground.rows_into(place.device, place.bank):
        low, high = ground.bounds(place.device, row.into)
        if not row.wired and row.by == 1 and not row.select.alternate and low <= place.number <= high:
            return True
    return False


# banks chosen slot by slot


def _in_order(scene: Scene, item: List, rows: list[_Entry | None], starts: list[int], device: str, bank: str) -> bool:
    """Return whether each leg of a list chosen slot by slot is on its slot and nothing is odd; then all are delivered.

    Where it is not so, nothing has been noted, and `_strict` or `_loose` look into it.
    """
    if not _plain(rows) or not _one_row(scene, device, bank, min(starts, default=1), max(starts, default=1)):
        return False
    found: list[tuple[str, str, Node]] = []
    nodes, position = scene.feeders.side(device, bank).nodes, item.position
    for row, start in zip(rows, starts, strict=True):
        if row is None:
            continue
        for number, leg in enumerate(row.legs, start):
            node = nodes.get(number)
            if node is None or node.leg != leg or node.after:
                return False
            found.append((leg, position, node))
    scene.delivered.extend(found)
    return True


def _plain(rows: list[_Entry | None]) -> bool:
    """Return whether all entries are musts with one input and no run they must land in."""
    wants = [row.want for row in rows if row is not None]
    return not any(want.alternate or want.within or want.priority is not None for want in wants)


def _strict(scene: Scene, item: List, wanted: list[Wanted]) -> None:
    lost: list[tuple[Wanted, Node]] = []
    confined = any(want is not None and want.within for want in item.wants)
    at = scene.signals.at
    for row in wanted:
        node = at(row.place, row.alternate)
        unmet = not row.must and row.name in scene.setting.unmet
        if not take_from(scene, row, node):
            lost.append((row, node))
        elif unmet:
            scene.report.add("unmet-but-met", f"The patch calls {row.name} unmet, and it arrives.", row.to, row.leg)
        if confined and row.leg and not unmet and _outside(scene, item, row):
            scene.report.add(
                "outside-within", f"{row.name} must land at {row.place}, outside the run it must land in.", item.id, row.leg
            )
    if lost:
        missed = {row.place for row, _ in lost}
        _explain(scene, item, lost, {row.place for row in wanted} - missed)


def _outside(scene: Scene, item: List, row: Wanted) -> bool:
    want = item.wants[row.entry - 1]
    return want is not None and bool(want.within) and not parse(want.within).holds(row.place)


def _explain(scene: Scene, item: List, lost: list[tuple[Wanted, Node]], right: set[Slot]) -> None:
    """Say what became of wants that do not get their leg, under as few roots as there are; `right` slots are in order."""
    there = {scene.signals.at(place).leg: place for place in reversed(scene.slots([item.at])) if place not in right}
    moved: list[tuple[Wanted, Slot]] = []
    for row, node in lost:
        if not row.must and _unmet(scene, row):
            continue
        twin = _twin(row, lost)
        if scene.fold(row.name, node, row.leg):
            continue
        if twin is not None:
            swapped(scene, row, twin)
        elif blame_route(scene, row):
            continue
        elif row.alternate:
            _alternate(scene, row, node)
        elif row.leg in there:
            moved.append((row, there[row.leg]))
        elif node.leg:
            _together(scene, "wrong-signal", item, row, f"{row.to} wants {row.leg} on {row.place} and gets {node.leg}.")
        else:
            _together(scene, "not-delivered", item, row, f"{row.to} wants {row.leg} on {row.place} and gets nothing.")
    _moved(scene, item, moved)


def _together(scene: Scene, rule: str, item: List, row: Wanted, told: str) -> None:
    """Note a want; all of one list that fail in the same way, with nothing else to blame, are one finding."""
    known = scene.told.get(row.place)
    if known is not None:
        known.behind.setdefault(row.name)
        return
    found = scene.told[row.place] = scene.report.add(rule, told, item.id, row.leg, row.place, key=item.id)
    if found.where[1] != row.leg:
        found.behind.setdefault(row.name)


def _twin(row: Wanted, lost: list[tuple[Wanted, Node]]) -> Wanted | None:
    """Return the other leg of the same entry where the two have changed places."""
    mine = next(node.leg for other, node in lost if other is row)
    for other, node in lost:
        if other.entry == row.entry and other is not row and not row.alternate and other.leg == mine and node.leg == row.leg:
            return other
    return None


def _moved(scene: Scene, item: List, moved: list[tuple[Wanted, Slot]]) -> None:
    for row, place in moved:
        want = item.wants[row.entry - 1]
        if want is not None and want.within and not parse(want.within).holds(place):
            scene.report.add(
                "outside-within", f"{item.id} has {row.leg} on {place}, and must have it inside {want.within}.", item.id, row.leg
            )
    moved = [(row, place) for row, place in moved if scene.report.get("outside-within", (item.id, row.leg)) is None]
    if moved:
        row, place = moved[0]
        more = f", and {len(moved) - 1} more" if len(moved) > 1 else ""
        found = scene.report.add(
            "wrong-channel",
            f"{item.id} wants {row.leg} on {row.place} and has it on {place}{more}.",
            item.id,
            *(row.leg for row, _ in moved),
            numbers=(("entries", len(moved)),),
        )
        for row, _ in moved:
            scene.told.setdefault(row.place, found)


def _alternate(scene: Scene, row: Wanted, node: Node) -> None:
    scene.report.add(
        "alternate-wrong",
        f"The alternate input of {row.place} should take {row.leg} and takes {node.leg or 'nothing'}.",
        row.to,
        row.leg,
        row.place,
    )


def _unmet(scene: Scene, row: Wanted) -> bool:
    """Return whether a wish that is not carried is owned up to; note where it is not."""
    if row.name not in scene.setting.unmet:
        scene.report.add("wish-unsaid", f"{row.name} is a wish, is not carried, and the patch does not say so.", row.to, row.leg)
    return True


def _gaps(
    scene: Scene, item: List, rows: list[_Entry | None], starts: list[int], bank: Slot, claimed: set[int], last: int
) -> None:
    for want, row, start in zip(item.wants, rows, starts, strict=True):
        if want is None and row is None and start <= last and start not in claimed:
            place = bank._replace(number=start)
            feeder = scene.feeders.of(place)
            if feeder is not None and feeder.kind == "select":
                node = scene.signals.at(place)
                scene.report.add(
                    "gap-not-empty", f"{item.id} leaves {place} empty, and it takes {node.leg or feeder.source}.", place, item.id
                )


# banks that inherit an order


def _loose(scene: Scene, item: List, wanted: list[Wanted], rows: list[_Entry | None], bounds: tuple[int, int]) -> None:
    there: dict[str, list[Slot]] = {}
    for place in scene.slots([item.at]):
        leg = scene.signals.at(place).leg
        if leg:
            there.setdefault(leg, []).append(place)
    off: list[tuple[Wanted, Slot]] = []
    for row in wanted:
        want = item.wants[row.entry - 1]
        assert want is not None
        if row.alternate:
            node = scene.signals.at(row.place, True)
            if take(scene, row) is None and not scene.fold(row.name, node, row.leg) and not blame_route(scene, row):
                _alternate(scene, row, node)
            continue
        found = _nearest(there.get(row.leg, []), row, want, bounds)
        if found is None:
            _lost(scene, item, row, there)
            continue
        asked, row.place = row.place, found
        take(scene, row)
        if found != asked:
            off.append((row, asked))
    if off and not any(item.id in note for note in scene.setting.notes):
        row, asked = off[0]
        scene.report.add(
            "order-unsaid",
            f"{item.id} has {row.leg} on {row.place} instead of {asked}, and no note says so.",
            item.id,
            *(row.leg for row, _ in off),
            numbers=(("entries", len(off)),),
        )


def _nearest(places: list[Slot], row: Wanted, want: Want, bounds: tuple[int, int]) -> Slot | None:
    fit = [place for place in places if bounds[0] <= place.number <= bounds[1]]
    if want.channel is not None:
        return row.place if row.place in fit else None
    if want.within:
        fit = [place for place in fit if parse(want.within).holds(place)]
    return min(fit, key=lambda place: (abs(place.number - row.place.number), place), default=None)


def _lost(scene: Scene, item: List, row: Wanted, there: dict[str, list[Slot]]) -> None:
    want = item.wants[row.entry - 1]
    assert want is not None
    if not row.must and _unmet(scene, row):
        return
    node = _where_routed(scene, row)
    if scene.fold(row.name, node, row.leg) or blame_route(scene, row):
        return
    if row.leg in there:
        rule = "wrong-channel" if want.channel is not None else "outside-within"
        scene.report.add(
            rule,
            f"{item.id} has {row.leg} on {there[row.leg][0]}, and must have it "
            f"{f'on {row.place}' if want.channel is not None else f'inside {want.within}'}.",
            item.id,
            row.leg,
        )
        return
    _together(scene, "not-delivered", item, row, f"{item.id} wants {row.leg} in {item.at} and gets it nowhere there.")


def _where_routed(scene: Scene, row: Wanted) -> Node:
    """Return the node a route says the leg lands at, else the one where its order puts it."""
    for route in scene.routes.get((row.to, row.entry, row.leg, False), ()):
        if route.hops and scene.ground.known(route.hops[-1].device, route.hops[-1].bank):
            return scene.signals.at(route.hops[-1])
    return scene.signals.at(row.place)
