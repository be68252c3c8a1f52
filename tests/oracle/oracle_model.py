"""The whole question as one CP-SAT model, every slot a variable; `answer` says what it says.

Comes in: a rig, a show.  Goes out: a verdict and the wishes carried.  Next: `answers.py` writes it down.

What a slot carries is a variable for each leg and each set of steps it may have come after.  Wires copy, choices copy
where they are set, entries put in; in a circle a depth keeps signals from feeding themselves.  Nothing of `solve` or
`check` is used, and nothing here loads the engine of the product: two engines do not load in one process.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations
from typing import Any

from oracle_tables import Node, Tables
from oracle_wants import Row, entries, rows

from patchloom.address import Slot
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["answer"]

Load = tuple[str, frozenset[str]]
"""A leg, and what it has come after."""


def answer(rig: Rig, show: Show, limit_s: float = 60.0) -> tuple[str, list[list[Any]], Patch | None]:
    """Return `solved`, `impossible` or `open`, the wishes carried as [list or feed, entry, priority], and the patch."""
    tables = Tables(rig)
    wanted = rows(tables, show)
    if wanted is None:
        return "impossible", [], None
    return _Model(tables, show, wanted).solve(limit_s)


class _Model:
    def __init__(self, tables: Tables, show: Show, wanted: list[Row]) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.m = cp_model.CpModel()
        self.t = tables
        self.show = show
        self.wanted = wanted
        self.enter: dict[tuple[str, Node], Any] = {}
        for leg, nodes in entries(tables, show).items():
            for node in nodes:
                self.enter[leg, node] = self.m.new_bool_var(f"enter {leg} {node}")
            if nodes:
                self.m.add_at_most_one(self.enter[leg, node] for node in nodes)
        self.set = [self.m.new_bool_var(f"set {number}") for number in range(len(tables.choice))]
        self.into: dict[Node, list[int]] = defaultdict(list)
        self.over: dict[Node, list[int]] = defaultdict(list)
        for number, (run, takes, _, _) in enumerate(tables.choice):
            for node in run:
                self.over[node].append(number)
            for node in takes:
                self.into[node].append(number)
        self._loads()
        self._feeders()
        self._circles()
        self._fixed()
        self._pools()
        self._phantom()
        self._boxes()
        self._wants()
        self._entered()

    # what can be where

    def _loads(self) -> None:
        """Find what each slot may carry at all, and give each such load a variable."""
        may: dict[Node, set[Load]] = defaultdict(set)
        todo: list[tuple[Node, Load]] = []
        self.onward: dict[Node, list[tuple[Node, frozenset[str]]]] = defaultdict(list)
        for node, (source, after) in self.t.wire.items():
            if after is not None:
                self.onward[source].append((node, after))
        for _, takes, _, after in self.t.choice:
            for node, source in takes.items():
                self.onward[source].append((node, after))
        for (leg, node), _ in self.enter.items():
            todo.append((node, (leg, frozenset())))
        entered = {(node, leg) for leg, node in self.enter}
        while todo:
            node, load = todo.pop()
            if load in may[node]:
                continue
            may[node].add(load)
            if self.t.sums(node) and (node, load[0]) not in entered:
                continue
            for there, after in self.onward.get(node, ()):
                start = frozenset() if self.t.sums(node) else load[1]
                todo.append((there, (load[0], start | after)))
        self.x: dict[tuple[Node, Load], Any] = {}
        self.loads: dict[Node, list[Load]] = {}
        for node in sorted(may):
            self.loads[node] = sorted(may[node], key=lambda load: (load[0], sorted(load[1])))
            for load in self.loads[node]:
                self.x[node, load] = self.m.new_bool_var(f"{node} {load[0]} {sorted(load[1])}")
            self.m.add_at_most_one(self.x[node, load] for load in self.loads[node])

    def _gives(self, source: Node) -> list[tuple[Load, Any]]:
        """Return what a slot hands on, and the variable that says it does."""
        if self.t.sums(source):
            return [((leg, frozenset()), var) for (leg, node), var in self.enter.items() if node == source]
        return [(load, self.x[source, load]) for load in self.loads.get(source, ())]

    def _feeders(self) -> None:
        nodes = dict.fromkeys([*self.loads, *self.over, *(node for _, node in self.enter)])
        plugged = defaultdict(list)
        for (leg, node), var in self.enter.items():
            plugged[node].append((leg, var))
        for node in nodes:
            if node in self.t.wire:
                for number in self.over.get(node, ()):
                    self.m.add(self.set[number] == 0)
                source, after = self.t.wire[node]
                self._copy(node, source, after, None)
                continue
            every = [self.set[number] for number in self.over.get(node, ())] + [var for _, var in plugged[node]]
            if every:
                self.m.add_at_most_one(every)
            for number in self.into.get(node, ()):
                self._copy(node, self.t.choice[number][1][node], self.t.choice[number][3], self.set[number])
            for leg, var in plugged[node]:
                self.m.add_implication(var, self.x[node, (leg, frozenset())])
            for load in self.loads.get(node, ()):
                ways = [self.set[number] for number in self.into.get(node, ())]
                ways += [var for leg, var in plugged[node] if (leg, frozenset()) == load]
                self.m.add_bool_or([*ways, self.x[node, load].Not()])

    def _copy(self, node: Node, source: Node, after: frozenset[str] | None, chosen: Any) -> None:
        """Let a slot carry exactly what its source hands on, where the choice is set (or always)."""
        when = [] if chosen is None else [chosen.Not()]
        given: dict[Load, list[Any]] = defaultdict(list)
        for load, var in self._gives(source) if after is not None else ():
            assert after is not None
            given[load[0], load[1] | after].append(var)
        for load in self.loads.get(node, ()):
            here = self.x[node, load]
            self.m.add_bool_or([*when, here.Not(), *given.get(load, ())])
            for var in given.get(load, ()):
                self.m.add_bool_or([*when, var.Not(), here])

    def _circles(self) -> None:
        """Give slots that could feed each other in a circle a depth that grows along what is carried."""
        ahead = {node: {there for there, _ in rows} for node, rows in self.onward.items()}
        reach: dict[Node, set[Node]] = {}
        for node in list(ahead):
            seen: set[Node] = set()
            todo = list(ahead[node])
            while todo:
                here = todo.pop()
                if here not in seen:
                    seen.add(here)
                    todo.extend(ahead.get(here, ()))
            reach[node] = seen
        ring = sorted(node for node in reach if node in reach[node])
        depth = {node: self.m.new_int_var(0, len(ring), f"depth {node}") for node in ring}
        steps = [(node, source, None) for node, (source, after) in self.t.wire.items() if after is not None]
        for number, (_, takes, _, _) in enumerate(self.t.choice):
            steps += [(node, source, self.set[number]) for node, source in takes.items()]
        for node, source, chosen in steps:
            if node in depth and source in depth:
                for load in self.loads.get(node, ()):
                    rule = self.m.add(depth[node] >= depth[source] + 1)
                    rule.only_enforce_if([self.x[node, load], *([] if chosen is None else [chosen])])

    # what holds besides

    def _fixed(self) -> None:
        for row in self.show.fixed:
            for node, source in zip(self.t.span(row.into), self.t.span(row.from_), strict=False):
                if node in self.t.wire and self.t.wire[node][0] == source and not row.tap:
                    continue
                fits = [n for n in self.into.get(node, ()) if self.t.choice[n][1][node] == source]
                fits = [n for n in fits if row.tap in ("", self.t.choice[n][2])]
                self.m.add_bool_or([self.set[n] for n in fits])

    def _pools(self) -> None:
        from patchloom.model.base import at_rate

        for device in self.t.rig.devices:
            for limit in self.t.rig.type_of(device).limits:
                banks = [text.partition("[")[0] for text in limit.of]
                most = at_rate(limit.most, self.t.section[device, banks[0]].hertz)
                nodes = [node for text in limit.of for node in self.t.span(f"{device}.{text}") if node not in self.t.wire]
                if most is None:
                    continue
                groups: dict[Any, list[Any]] = defaultdict(list)
                for node in nodes:
                    key = node if limit.count != "blocks" else (node[1], (node[2] - 1) // limit.by)
                    groups[key] += [self.x[node, load] for load in self.loads.get(node, ())]
                used = []
                for key, several in groups.items():
                    var = self.m.new_bool_var(f"used {key}")
                    for one in several:
                        self.m.add_implication(one, var)
                    used.append(var)
                self.m.add(sum(used) <= most)

    def _phantom(self) -> None:
        needs = {leg: self._power(source) for source in self.show.sources for leg in source.leg_ids()}
        on = self.on = {}
        for (leg, node), var in sorted(self.enter.items()):
            if leg not in needs:
                continue
            groups = self.t.powers(node)
            for group in groups:
                on.setdefault(group, self.m.new_bool_var(f"phantom {group}"))
            live = sum(on[group] for group in groups)
            if needs[leg] == "need":
                self.m.add(live == 1).only_enforce_if(var)
            else:
                self.m.add(live <= (0 if needs[leg] == "never" else 1)).only_enforce_if(var)
            switch = self.t.switch(node)
            for (other, there), second in self.enter.items():
                if needs.get(other) == "never" and needs[leg] == "need" and switch and self.t.switch(there) == switch:
                    self.m.add_bool_or([var.Not(), second.Not()])

    def _power(self, source: Any) -> str:
        return "no" if source.phantom == "need" and source.powered_by in ("battery", "mains") else str(source.phantom)

    def _boxes(self) -> None:
        for group in self.show.groups:
            legs = {leg for source in self.show.sources if source.id in group.of for leg in source.leg_ids()}
            mine = [(node[0], var) for (leg, node), var in self.enter.items() if leg in legs]
            for (one, a), (two, b) in combinations(mine, 2):
                if one != two:
                    self.m.add_bool_or([a.Not(), b.Not()])

    # what is wanted

    def _wants(self) -> None:
        self.wish: dict[tuple[int, int, str, int], Any] = {}
        order: dict[tuple[str, int], int] = {}
        landed: dict[str, list[tuple[Node, tuple[str, int], int, Any]]] = defaultdict(list)
        for number, row in enumerate(self.wanted):
            met: Any = None
            if row.priority is not None:
                key = (row.priority, order.setdefault(row.owner, number), *row.owner)
                met = self.wish.setdefault(key, self.m.new_bool_var(f"wish {key}"))
            ways = []
            for node in row.slots:
                fits = [self.x[node, load] for load in self.loads.get(node, ()) if load[0] == row.leg and row.accepts(load[1])]
                if fits:
                    here = self.m.new_bool_var(f"{row.owner} {row.leg} at {node}")
                    self.m.add_bool_or([here.Not(), *fits])
                    ways.append(here)
                    if row.feed and row.owner[0] == row.leg.partition(".")[0]:
                        landed[row.owner[0]].append((node, row.owner, number, (here, row.chosen)))
            self.m.add_bool_or([*ways, *([] if met is None else [met.Not()])])
            if row.chosen:
                self.m.add_at_most_one(ways)
        for several in landed.values():
            for (n1, o1, r1, (a, free1)), (n2, o2, r2, (b, free2)) in combinations(several, 2):
                if r1 == r2 or not (free1 or free2):
                    continue
                crossed = o1 == o2 and n1[:2] == n2[:2] and (r1 < r2) != (n1 < n2)
                if n1 == n2 or crossed:
                    self.m.add_bool_or([a.Not(), b.Not()])

    def _entered(self) -> None:
        """Let every leg of what is carried enter somewhere, those included that are folded away."""
        signals = self.show.signals()
        wishes = {(to, entry): var for (_, _, to, entry), var in self.wish.items()}
        for item in self.show.lists:
            for entry, want in enumerate(item.wants, 1):
                if want is None:
                    continue
                unless = [] if want.priority is None else [wishes[item.id, entry].Not()]
                legs = [f"{want.signal}.{want.leg}"] if want.leg else [*signals[want.signal].leg_ids()]
                legs += signals[want.alternate].leg_ids() if want.alternate else ()
                for leg in legs:
                    self.m.add_bool_or([*(var for (other, _), var in self.enter.items() if other == leg), *unless])

    def solve(self, limit_s: float) -> tuple[str, list[list[Any]], Patch | None]:
        """Return the verdict and the wishes carried: as many of the dearest as can be, then of the next."""
        keys = sorted(self.wish)
        worth = {rank: 1 for rank, *_ in keys}
        for rank in worth:  # one of a rank is worth more than all that are less dear
            less = [other for other, *_ in keys if other > rank]
            for other in dict.fromkeys(less):
                worth[rank] *= less.count(other) + 1
        if keys:
            self.m.maximize(sum(self.wish[key] * worth[key[0]] for key in keys))
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_time_in_seconds = limit_s
        solver.parameters.random_seed = 1
        status = solver.solve(self.m)
        if status == self.cp.INFEASIBLE:
            return "impossible", [], None
        if status != self.cp.OPTIMAL:
            return "open", [], None
        met = [[to, entry, rank] for rank, place, to, entry in keys if solver.value(self.wish[rank, place, to, entry])]
        return "solved", met, self._patch(solver, {(to, entry) for to, entry, _ in met})

    def _patch(self, solver: Any, met: set[tuple[str, int]]) -> Patch:
        """Return what is set, plugged, mixed and switched as a patch; owners, clock and gains are no question here."""
        signals = {leg: item for item in self.show.sources for leg in item.leg_ids()}
        inside = {leg: str(Slot(*node)) for (leg, node), var in self.enter.items() if solver.value(var)}
        chosen = []
        for var, (run, takes, tap, _) in zip(self.set, self.t.choice, strict=True):
            if solver.value(var):
                into = [node for node in run if node in takes]
                first, last = takes[into[0]], takes[into[-1]]
                chosen.append(
                    {
                        "into": f"{into[0][0]}.{into[0][1].rstrip('~')}[{into[0][2]}-{into[-1][2]}]",
                        "from_": f"{first[0]}.{first[1]}[{first[2]}-{last[2]}]",
                        "tap": tap,
                        "alternate": into[0][1].endswith("~"),
                    }
                )
        unmet = [f"{row.owner[0]}: {row.leg}" for row in self.wanted if row.priority is not None and row.owner not in met]
        switches = []
        for first, var in self.on.items():
            kind = self.t.kind[first[:2]]
            by = self.t.rig.type_of(first[0]).preamps[kind.preamp].phantom_by
            last_ = min(first[2] + by - 1, self.t.length[first[:2]])
            switches.append({"at": f"{first[0]}.{first[1]}[{first[2]}-{last_}]", "on": bool(solver.value(var))})
        setting = {
            "period": "",
            "plugs": {leg: place for leg, place in inside.items() if leg in signals},
            "mixes": {leg: place for leg, place in inside.items() if leg not in signals},
            "selections": chosen,
            "unmet": unmet,
            "phantom": switches,
            "notes": [f"{item.id}: the order is what it is" for item in self.show.lists],
        }
        return Patch(settings=(setting,))
