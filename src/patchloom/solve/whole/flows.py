"""Who enters where, and how each crowd flows to each of its targets: the columns of the exact programme.

Comes in: fabric, plan, crowds.  Goes out: `Flows`, a programme with columns and the rows of every flow.
Next: `programme.py` adds what all crowds share.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.whole.crowd import FED, INSIDE, Crowd, Place, Target, alone, leading_to, switch
from patchloom.solve.whole.grain import Grain
from patchloom.solve.whole.highs import Programme
from patchloom.solve.whole.lattice import Lattice, TooWide

__all__ = ["SLOTWISE", "TO_HUB", "Cell", "Flows", "pairs_of", "times"]

Arc = tuple[int, int, int]
"""From node, to node, copy that brings it; or one of the two below."""
SLOTWISE, TO_HUB = -1, -2
"""An arc from the hub of a row to a node that takes a slot, and one from a node to a hub, which takes nothing."""


class Cell(NamedTuple):
    """Slots of one node that are alike: their places in order, the phantom group they belong to."""

    node: int
    group: Place | None
    places: tuple[Place, ...]


class Flows:
    """A programme under way: columns, and the rows of every flow."""

    def __init__(
        self,
        fabric: Fabric,
        plan: Plan,
        found: list[Crowd],
        reserved: frozenset[Place],
        fixed_run: dict[int, int],
        most: int | None = None,
        lenient: bool = False,
    ) -> None:
        self.fabric, self.plan, self.crowds, self.reserved = fabric, plan, found, reserved
        if any(row.alternate and row.by > 1 for row in fabric.rows):
            raise TooWide
        entered = {segment for crowd in found for segment, _ in crowd.allowed}
        self.grain = Grain(fabric, alone(fabric, found), entered, _marks(fabric, found), fixed_run)
        self.lattice = Lattice(self.grain, _uses(fabric, found))
        self.programme = Programme(most)
        self.cells: list[Cell] = []
        self.enters: dict[tuple[int, int], int] = {}
        """(crowd, cell) to how many enter there."""
        # Who is wanted twice in one place may have to come there by the same block twice; with leaks to look at, one is enough.
        self._most = 1 if any(crowd.strict for crowd in found) else max(map(times, found), default=1)
        self.brought = [self.programme.column(float(self._most)) for _ in self.lattice.copies]
        """Copy to how often it is brought."""
        self.holds: dict[tuple[int, int, int], int] = {}
        """(crowd, hub, node) to how many are carried there slot by slot."""
        self.flows: dict[tuple[int, int, Arc], int] = {}
        """(crowd, target, arc) to how many go that way to that target."""
        self.more: dict[int, int] | None = {} if lenient else None
        """Kind of run to how many more there would have to be, where that is allowed at a price."""
        self.extra: dict[tuple[int, int], int] = {}
        self.lost: list[tuple[Crowd, Target | None]] = []
        """Crowds with a target no way leads to, or with no place at all."""
        self._sunk: dict[tuple[int, Target, int], list[int]] = {}
        """(crowd, target asked for more than once, node) to how many arrive there, for each time."""
        self._cells_of: dict[frozenset[Place], list[int]] = {}
        self._arcs: dict[tuple[bool, str], list[Arc]] = {}
        self._by_node: dict[int, list[tuple[int, int]]] = {}
        self._known_ways: dict[tuple[bool, tuple[int, ...], Target], tuple[set[int], set[int], dict[int, list[Arc]]]] = {}
        self._lead: dict[tuple[int, int], list[tuple[int, int]]] = {}
        self._shares: dict[tuple[int, tuple[int, ...]], dict[int, list[tuple[int, float]]]] = {}
        """(node, copies of which one has to be brought) to who enters the node and needs one."""
        self._served: dict[tuple[int, int], dict[int, list[list[Arc]]]] = {}
        """(crowd, target) that only blocks lead to: node entered by to the ways to a node that meets the target."""
        self._make()

    # making

    def _make(self) -> None:
        self._make_cells()
        for number, crowd in enumerate(self.crowds):
            self._enter(number, crowd)
            for which, target in enumerate(crowd.targets):
                self._flow(number, crowd, which, target)
        self._apart()

    def _make_cells(self) -> None:
        fabric = self.fabric
        sets = list(dict.fromkeys(crowd.allowed for crowd in self.crowds))
        users: dict[Place, list[int]] = {}
        for number, allowed in enumerate(sets):
            for place in allowed:
                users.setdefault(place, []).append(number)
        node_of = {}
        for (segment, offset), node in self.lattice.at.items():
            for step in range(self.lattice.nodes[node].length):
                node_of[segment, offset + step] = node
        grouped: dict[tuple[int, Place | None, tuple[int, ...]], list[Place]] = {}
        for place in sorted(users, key=lambda at: (fabric.seg_bank[at[0]], fabric.seg_first[at[0]] + at[1])):
            key = (node_of[place], switch(fabric, self.plan, place), tuple(users[place]))
            grouped.setdefault(key, []).append(place)
        for (node, group, numbers), places in grouped.items():
            for number in numbers:
                self._cells_of.setdefault(sets[number], []).append(len(self.cells))
            self.cells.append(Cell(node, group, tuple(places)))

    def _enter(self, number: int, crowd: Crowd) -> None:
        terms: list[tuple[int, float]] = []
        for cell in self._cells_of.get(crowd.allowed, ()):
            room = len(self.cells[cell].places) // crowd.size if crowd.size == 1 else pairs_of(self.fabric, self.cells[cell])
            if room:
                column = self.enters[number, cell] = self.programme.column(float(min(room, crowd.count)))
                self._by_node.setdefault(self.cells[cell].node, []).append((number, column))
                terms.append((column, 1.0))
        if not terms:
            self.lost.append((crowd, None))
        self.programme.row(terms, low=crowd.count, high=crowd.count)

    def arcs(self, feed: bool, allow: str) -> list[Arc]:
        """Return every arc a leg may take that passes no tap but those it may."""
        known = self._arcs.get((feed, allow))
        if known is None:
            fabric, lattice = self.fabric, self.lattice
            known = self._arcs[feed, allow] = []
            for copy in lattice.copies:
                bank = fabric.runs[copy.source].bank
                if fabric.raw_tap(bank, fabric.rows[copy.row], allow, feed) is not None:
                    known.extend((here, there, copy.number) for here, there in copy.arcs)
            for row, (hub, takers) in lattice.hubs.items():
                found = [
                    at.number
                    for at in lattice.nodes
                    if any(
                        row in fabric.singles_from[segment]
                        and fabric.raw_tap(fabric.seg_bank[segment], fabric.rows[row], allow, feed) is not None
                        for segment, _ in at.images
                    )
                ]
                known.extend((at, hub, TO_HUB) for at in found)
                known.extend((hub, there, SLOTWISE) for there in takers)
        return known

    def _flow(self, number: int, crowd: Crowd, which: int, target: Target) -> None:
        """Make the flow of one crowd to one target over the nodes that lie on some way there."""
        sinks, useful, ahead = self._ways(crowd, target)
        starts = [cell for cell in self._cells_of.get(crowd.allowed, ()) if (number, cell) in self.enters]
        reached = {self.cells[cell].node for cell in starts} & useful
        todo = sorted(reached)
        for node in todo:
            for arc in ahead.get(node, ()):
                if arc[1] not in reached:
                    reached.add(arc[1])
                    todo.append(arc[1])
        if not reached & sinks:
            self.lost.append((crowd, target))
        if crowd.targets.count(target) == 1 and all(self._by_blocks(arc) for node in reached for arc in ahead.get(node, ())):
            self._serve(number, which, sinks & reached, reached, ahead, starts)
        else:
            self._conserve(number, crowd, which, sinks & reached, reached, ahead, starts)

    def _by_blocks(self, arc: Arc) -> bool:
        """Return whether an arc is a block that comes to nodes of its own."""
        return arc[2] >= 0 and self.lattice.nodes[arc[1]].copy == arc[2]

    def _serve(
        self, number: int, which: int, sinks: set[int], reached: set[int], ahead: dict[int, list[Arc]], starts: list[int]
    ) -> None:
        """Let a crowd enter a node only where a block is brought from there to a target: whole blocks need no flow.

        A block brings whatever stands in it, so nothing is counted on the way; that makes the programme many times smaller.
        """
        programme, crowd = self.programme, self.crowds[number]
        ways = self._served[number, which] = {}
        for cell in starts:
            node = self.cells[cell].node
            if node not in reached:
                programme.row([(self.enters[number, cell], 1.0)], high=0.0)
            elif node not in ways:
                ways[node] = _ways_down(node, sinks, ahead)
        for node, found in ways.items():
            ends = tuple(way[-1][2] for way in found if way)
            if len(ends) < len(found):
                continue  # it is met right there
            enters = [(column, float(crowd.size)) for who, column in self._by_node[node] if who == number]
            room = self.lattice.nodes[node].length
            most = float(min(crowd.count * crowd.size, room - room % crowd.size))
            programme.row([*enters, *((self.brought[end], -most) for end in ends)], high=0.0)
            self._shares.setdefault((node, ends), {})[number] = enters

    def ways_taken(self, values: list[int]) -> Iterator[tuple[int, int, Arc]]:
        """Yield (crowd, target, arc) for every arc some member of a crowd takes to a target."""
        for key, column in self.flows.items():
            if values[column]:
                yield key
        for (number, which), ways in self._served.items():
            for node, found in ways.items():
                if any(values[column] for who, column in self._by_node[node] if who == number):
                    way = next(way for way in found if not way or values[self.brought[way[-1][2]]])
                    yield from ((number, which, arc) for arc in way)

    def _ways(self, crowd: Crowd, target: Target) -> tuple[set[int], set[int], dict[int, list[Arc]]]:
        """Return the nodes a target is met at, those some way leads from to there, and the arcs ahead of each; found once."""
        key = (crowd.feed, crowd.strict, target)
        known = self._known_ways.get(key)
        if known is None:
            sinks = self._sinks(crowd, target)
            banned = {*target.without, *crowd.strict}
            into: dict[int, list[Arc]] = {}
            for arc in self.arcs(crowd.feed, target.allow):
                if not banned or self._passes(arc[1], banned):
                    into.setdefault(arc[1], []).append(arc)
            useful, todo = set(sinks), sorted(sinks)
            ahead: dict[int, list[Arc]] = {}
            for node in todo:
                if node not in sinks and self._sums(node):
                    continue
                for arc in into.get(node, ()):
                    if not self._passes(arc[0], banned):
                        continue
                    ahead.setdefault(arc[0], []).append(arc)
                    if arc[0] not in useful:
                        useful.add(arc[0])
                        todo.append(arc[0])
            known = self._known_ways[key] = (sinks, useful, ahead)
        return known

    def _conserve(
        self,
        number: int,
        crowd: Crowd,
        which: int,
        sinks: set[int],
        reached: set[int],
        ahead: dict[int, list[Arc]],
        starts: list[int],
    ) -> None:
        programme, most = self.programme, float(crowd.count)
        target = crowd.targets[which]
        again = crowd.targets.count(target) > 1
        balance: dict[int, list[tuple[int, float]]] = {node: [] for node in sorted(reached)}
        several = len(crowd.targets) > 1
        for node in sorted(reached):
            for arc in ahead.get(node, ()):
                here, there, copy = arc
                if there not in reached:
                    continue
                if copy >= 0:
                    length = self.lattice.nodes[here].length // crowd.size
                    flow = programme.column(float(min(most, length)), loose=True)
                    programme.row([(flow, 1.0), (self.brought[copy], -float(min(most, length)))], high=0.0)
                    self._lead.setdefault((here, copy), []).append((number, which))
                elif copy == TO_HUB:
                    flow = programme.column(most, loose=True)
                else:
                    held = self.holds.get((number, here, there))
                    if held is None:
                        held = self.holds[number, here, there] = programme.column(most * times(crowd))
                    flow = programme.column(most, loose=True) if several else held
                    if several:
                        programme.row([(flow, 1.0), (held, -1.0)], high=0.0)
                self.flows[number, which, arc] = flow
                balance[here].append((flow, -1.0))
                balance[there].append((flow, 1.0))
        for cell in starts:
            node = self.cells[cell].node
            if node in balance:
                balance[node].append((self.enters[number, cell], 1.0))
            else:
                programme.row([(self.enters[number, cell], 1.0)], high=0.0)
        for node, terms in balance.items():
            if again and node in sinks:
                sunk = programme.column(most, loose=True)
                self._sunk.setdefault((number, target, node), []).append(sunk)
                programme.row([*terms, (sunk, -1.0)], low=0.0, high=0.0)
                continue
            programme.row(terms, low=0.0, high=None if node in sinks else 0.0)

    def _apart(self) -> None:
        """Let no more of a crowd arrive at a node than it has slots there, each seen in so many places, where that is known."""
        if any(crowd.strict for crowd in self.crowds):
            return  # there a block is counted as brought once
        told: dict[int, list[tuple[int, int]]] = {}
        for block in self.lattice.copies:
            for here, there in block.arcs:
                if self.lattice.nodes[there].copy < 0:
                    told.setdefault(there, []).append((here, block.number))
        held = {(who, there) for who, _, there in self.holds}
        for (number, target, node), columns in self._sunk.items():
            root = self.root_of(node)
            # What a block brings to a node told apart is as many as it can hold; of who entered behind it, each once.
            brings: list[tuple[int, float]] = []
            for here, brought in told.get(root, ()):
                first = self.root_of(here)
                once = first not in told and (number, first) not in held
                many = self.lattice.nodes[here].length
                brings.append((self.brought[brought], float(min(many, self.crowds[number].count) if once else many)))
            wanted = {segment for segment, _ in target.where}
            images = float(sum(1 for segment, _ in self.lattice.nodes[node].images if segment in wanted))
            copy = self.lattice.nodes[node].copy
            length = float(self.lattice.nodes[node].length)
            if copy >= 0:
                if all(who != number or there != root for who, _, there in self.holds):
                    length = min(length, float(self.crowds[number].count))
                terms = [(column, 1.0) for column in columns]
                self.programme.row([*terms, (self.brought[copy], -images * length)], high=0.0)
                images *= self._most
            slots = [column for who, column in self._by_node.get(root, ()) if who == number]
            slots += [column for (who, _, there), column in self.holds.items() if who == number and there == root]
            comes = [*((column, -images) for column in slots), *((column, -images * most) for column, most in brings)]
            self.programme.row([*((column, 1.0) for column in columns), *comes], high=0.0)

    def sinks_of(self, number: int, which: int, values: list[int]) -> set[int]:
        """Return the nodes at which the flow of a crowd to one of its targets may end, by the values of the columns."""
        crowd = self.crowds[number]
        target = crowd.targets[which]
        sinks = self._ways(crowd, target)[0]
        if crowd.targets.count(target) == 1:
            return sinks
        time = crowd.targets[:which].count(target)
        ends = {node: self._sunk.get((number, target, node), ()) for node in sinks}
        return {node for node, columns in ends.items() if len(columns) > time and values[columns[time]]}

    def root_of(self, node: int) -> int:
        """Return the node of the rig itself whose content a copy holds."""
        while self.lattice.nodes[node].copy >= 0:
            copy = self.lattice.copies[self.lattice.nodes[node].copy]
            node = next(here for here, there in copy.arcs if there == node)
        return node

    def _sums(self, node: int) -> bool:
        """Return whether what comes to a node is mixed there, and so goes no further."""
        images = self.lattice.nodes[node].images
        kind = self.fabric.kind[self.fabric.seg_bank[images[0][0]]] if images else None
        return kind is not None and kind.does == "sum"

    def _passes(self, node: int, banned: set[int]) -> bool:
        return not banned or all(segment not in banned for segment, _ in self.lattice.nodes[node].images)

    def _sinks(self, crowd: Crowd, target: Target) -> set[int]:
        """Return the nodes at which a target is met."""
        fabric, lattice = self.fabric, self.lattice
        if target.how == FED:
            rows = {row for row, _ in target.where}
            return {
                node.number
                for node in lattice.nodes
                if any(
                    row in rows
                    and fabric.raw_tap(fabric.seg_bank[segment], fabric.rows[row], target.allow, crowd.feed) is not None
                    for segment, _ in node.images
                    for row in fabric.singles_from[segment]
                )
            }
        places = dict(target.where)
        found = set()
        for node in lattice.nodes:
            for segment, offset in node.images:
                wanted = places.get(segment)
                if wanted is not None and (wanted < 0 or offset == wanted):
                    found.add(node.number)
        return found


def _ways_down(node: int, sinks: set[int], ahead: dict[int, list[Arc]]) -> list[list[Arc]]:
    """Return the ways by blocks from a node to the nearest nodes that meet a target; one without arcs where it does itself."""
    found: list[list[Arc]] = []
    todo: list[tuple[int, list[Arc]]] = [(node, [])]
    for at, way in todo:
        if at in sinks:
            found.append(way)
        else:
            todo.extend((arc[1], [*way, arc]) for arc in ahead.get(at, ()))
    return found


def times(crowd: Crowd) -> int:
    """Return how often the target asked for most often is asked for."""
    return max((crowd.targets.count(target) for target in crowd.targets), default=1)


def pairs_of(fabric: Fabric, cell: Cell) -> int:
    """Return how many pairs of neighbours a cell holds, odd slot first."""
    places = set(cell.places)
    return sum(
        1 for segment, offset in cell.places if (fabric.seg_first[segment] + offset) % 2 and (segment, offset + 1) in places
    )


def _uses(fabric: Fabric, found: list[Crowd]) -> Callable[[int], frozenset[int]]:
    """Return a function that says, of a segment signals enter by, which segments lie on a way to what those want."""
    ways: dict[tuple[bool, Target], frozenset[int]] = {}
    wanted: dict[int, dict[tuple[bool, Target], None]] = {}
    for crowd in found:
        for target in crowd.targets:
            key = (crowd.feed, target)
            if key not in ways:
                ways[key] = frozenset(leading_to(fabric, target, crowd.feed))
            for segment in sorted({segment for segment, _ in crowd.allowed}):
                wanted.setdefault(segment, {})[key] = None
    joined: dict[tuple[tuple[bool, Target], ...], frozenset[int]] = {}

    def uses(segment: int) -> frozenset[int]:
        keys = tuple(wanted.get(segment, ())) if segment >= 0 else tuple(ways)
        if keys not in joined:
            joined[keys] = frozenset().union(*(ways[key] for key in keys))
        return joined[keys]

    return uses


def _marks(fabric: Fabric, found: list[Crowd]) -> dict[int, tuple[int, ...]]:
    """Return segment to numbers of what is special there: targets a block may land on, places some may not pass."""
    marks: dict[int, dict[int, None]] = {}
    known: dict[tuple[object, ...], int] = {}
    for crowd in found:
        for target in crowd.targets:
            for key, segments in (
                (("in", target.how, target.where), [at for at, _ in target.where] if target.how == INSIDE else []),
                (("not", target.without), list(target.without)),
                (("never", crowd.strict), list(crowd.strict)),
            ):
                number = known.setdefault(key, len(known))
                for segment in segments:
                    marks.setdefault(segment, {})[number] = None
    return {segment: tuple(sorted(numbers)) for segment, numbers in marks.items()}
