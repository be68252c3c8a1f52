"""The next answer after one that stands: what is new finds its place, and as little as possible moves.

Comes in: a plan, the setting before.  Goes out: a `Change`: the try, what moved, and how few moves there must be.
Next: `wishes.py` says it in the patch; where nothing was found, `place.py` starts afresh.

What a move is, `patchloom.model.diff` says: sockets before channels before link slots.  In this order:

1. everything that is still asked for stays as it was; what is new takes what is free;
2. if that fails, units let go of their ways, their plugs stay: one unit, then two, ...;
3. if that fails, units let go of their plugs too: one, then two, ...;
4. whoever stands in the way gives way, as in `ripup.py`, and goes back to where it was as far as that is free.

The sets of 2 and 3 are tried in increasing number, the units in each other's way first, up to a fixed number of tries;
so the answer never depends on a clock.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from itertools import combinations
from typing import NamedTuple

from patchloom.model.diff import Moves, moves
from patchloom.model.patch import Setting
from patchloom.solve.attempt import Placed, Plan
from patchloom.solve.changes.replay import Before, Owed, Replay
from patchloom.solve.emit import entries, routes
from patchloom.solve.fabric import Fabric
from patchloom.solve.route import Net
from patchloom.solve.unit import Unit
from patchloom.solve.wishes.carry import carry_wishes

__all__ = ["Change", "MoveRow", "change", "move_rows"]

TRIES = 400
"""Tries at most, each of which puts the setting before back and adds what is owed."""
WORK = 8_000
"""Lines put back at most over all tries."""
SMALL = 24
"""Units up to which it is asked whether any patch holds all plugs, or all but one."""
HOLDS = 120
"""Times at most it is asked whether a patch holds all plugs but some."""
PATIENCE = 3
MOST = 3
"""Units at most that let go together."""


Cost = tuple[int, int, int]
"""Sockets, channels and link slots moved."""
Hold = Callable[[Before, frozenset[str]], Placed | bool]
"""Solves with the plugs of all sources but some held: a try, False where that is impossible, True where it is open."""


MoveRow = tuple[str, float, float | None, str]
"""Name, value, bound and unit of one row of wishes."""


class Change(NamedTuple):
    """A try that follows a setting, and how few moves of each kind there must be."""

    placed: Placed
    floor: Cost


class _Search:
    """The tries at one change."""

    def __init__(self, fabric: Fabric, plan: Plan, prepare: Callable[[Net], None], spares: list[Unit], before: Setting) -> None:
        self.fabric = fabric
        self.plan = plan
        self.prepare = prepare
        self.spares = spares
        self.before = Before(fabric, plan, before)
        self.reach: dict[tuple[int, ...], dict[int, float]] = {}
        self.left = min(TRIES, WORK // (len(before.routes) + 1) + 2)
        self.in_the_way: dict[str, None] = {}
        self.forced = self.before.forced(plan)

    def begin(self, loose: tuple[str, ...] = (), ways: tuple[str, ...] = ()) -> tuple[Replay, Owed]:
        """Return an attempt with the setting before put back, and what is owed."""
        net = Net(self.fabric, self.reach)
        net.quick = False
        self.prepare(net)
        run = Replay(self.fabric, self.plan, net, self.before)
        return run, run.replay(loose, ways)

    def stay(self, spares: bool, order: int = 0) -> Replay | None:
        """Return the try in which nothing gives way; None where something owed finds no place."""
        self.left -= 1
        run, owed = self.begin()
        if spares and not self._keep_spares(run):
            return None
        return self._finish(run, owed, (), order)

    def release(self, names: tuple[str, ...], plugs: bool, order: int) -> Replay | None:
        """Return the try in which some units let go of their ways, or of their plugs too; None where it fails."""
        self.left -= 1
        run, owed = self.begin(names if plugs else (), () if plugs else names)
        return self._finish(run, owed, names, order)

    def _finish(self, run: Replay, owed: Owed, names: tuple[str, ...], order: int) -> Replay | None:
        """Add what is owed: what is new first (or last, in the second order), then those who let go."""
        free = set(names)
        fresh = [unit for unit in owed.units if unit.name not in free]
        mine = [(unit, aim) for unit, aim in owed.aims if unit.name not in free]
        theirs = [(unit, aim) for unit, aim in owed.aims if unit.name in free]
        loose = [unit for unit in owed.units if unit.name in free]
        if order % 2:
            fresh, loose = loose, fresh
        if not all(run.fulfil(unit, aim) for unit, aim in mine):
            return None
        for unit in (*_by_need(fresh, order), *loose):
            if not run.restore(unit) and not run.put(unit):
                return None
        return run if all(run.fulfil(unit, aim) for unit, aim in theirs) else None

    def force(self) -> Replay | None:
        """Return the try in which whoever is in the way gives way and goes back as far as it can; note who was in the way."""
        self.left -= 1
        run, owed = self.begin()
        queue = deque(_by_need(owed.units, 0))
        for unit in dict.fromkeys(unit for unit, aim in owed.aims if not run.fulfil(unit, aim)):
            run.remove(unit)
            queue.append(unit)
            self.in_the_way[unit.name] = None
        patience = PATIENCE * len(self.plan.units)
        while queue:
            unit = queue.popleft()
            if run.restore(unit) or run.put(unit):
                continue
            patience -= 1
            victims = run.force(unit) if patience > 0 else None
            if victims is None:
                return None
            self.in_the_way.update(dict.fromkeys(other.name for other in victims))
            queue.extendleft(reversed(victims))
        return run

    def floor(self) -> Cost:
        """Return how few moves there must be, by counting: what may not stay, and what finds no free socket or mix slot."""
        run, owed = self.begin()
        short = [0, 0]
        for feed in (False, True):
            free, apart = _Matching(), _Matching()
            for unit in owed.units:
                if unit.feed == feed:
                    for places in unit.allowed:
                        open_ = [place for place in sorted(places) if place not in run.net.held]
                        free.add(open_)
                        apart.add([place for place in open_ if run.suits(unit, place)])
            short[feed] = free.left_over or min(apart.left_over, 1)
        return (self.forced[0] + short[0], self.forced[1] + short[1], 0)

    def sets(self, size: int, only_in_the_way: bool) -> Iterator[tuple[str, ...]]:
        """Yield sets of units that stood before, those in the way first."""
        stood = {unit.name: None for unit in self.plan.units if self.before.origin(unit) is not None}
        first = [name for name in self.in_the_way if name in stood]
        rest = [] if only_in_the_way and len(self.plan.units) > SMALL else [name for name in stood if name not in set(first)]
        return combinations([*first, *rest], size)

    def _keep_spares(self, run: Replay) -> bool:
        free = list(self.before.spares)
        for unit in self.spares:
            place = next((place for place in free if run.keep_spare(unit, place)), None)
            if place is None:
                return False
            free.remove(place)
        return True

    def settle_spares(self, run: Replay) -> None:
        """Keep the spare lines that are not kept yet: where they were, else anywhere."""
        if any(unit.name in run.net.legs for unit in self.spares):
            return
        free = list(self.before.spares)
        for unit in self.spares:
            place = next((place for place in free if run.keep_spare(unit, place)), None)
            if place is not None:
                free.remove(place)
            else:
                run.put(unit)

    def moved(self, placed: Placed) -> Moves:
        """Return what moved in a try."""
        after = Setting(
            plugs=entries(self.fabric, placed, self.plan.units, False),
            mixes=entries(self.fabric, placed, self.plan.units, True),
            routes=tuple(routes(self.fabric, placed, self.plan.aims)),
        )
        return moves(self.before.setting, after)


def change(
    fabric: Fabric, plan: Plan, prepare: Callable[[Net], None], spares: list[Unit], before: Setting, hold: Hold
) -> Change | None:
    """Return the answer nearest to the one before that the tries found; None where none was found.

    `hold` says what can be done with plugs held; it is asked on small shows.
    """
    search = _Search(fabric, plan, prepare, spares, before)
    run = _still(search)
    if run is not None:
        return Change(_done(search, run), search.forced)
    fewest = _Fewest(search, hold)
    fewest.look()
    if isinstance(fewest.best, Replay):
        return Change(_done(search, fewest.best), fewest.floor)
    return Change(fewest.best, fewest.floor) if fewest.best is not None else None


def _done(search: _Search, run: Replay) -> Placed:
    """Return a try with its spares and wishes."""
    search.settle_spares(run)
    carry_wishes(run, search.plan)
    run.tidy()
    run.out.failed = None
    return run.out


def move_rows(before: Setting, after: Setting, floor: Cost | None) -> list[MoveRow]:
    """Return what moved, and how few must where that is known, as rows of wishes: name, value, bound, unit."""
    cost = moves(before, after).cost
    floor = floor or (0, 0, 0)
    return [
        ("sockets moved", cost[0], floor[0], "sockets"),
        ("channels moved", cost[1], floor[1], "channels"),
        ("link slots moved", cost[2], floor[2], "slots"),
    ]


def _still(search: _Search) -> Replay | None:
    """Return a try in which nothing gives way."""
    if search.spares and search.before.spares:
        run = search.stay(spares=True)
        if run is not None:
            return run
    return next((run for order in range(3) if (run := search.stay(False, order)) is not None), None)


class _Fewest:
    """The search for the try with the fewest moves, dearest counted first, and how few there must be."""

    def __init__(self, search: _Search, hold: Hold) -> None:
        self.search = search
        self.hold = hold
        self.best: Replay | Placed | None = None
        self.cost: Cost | None = None
        self.floor = search.floor()

    def look(self) -> None:
        """Try what gives way by force, then sets of units that let go of their ways, then of their plugs; then prove."""
        self._offer(self.search.force())
        if self.floor[0] == self.search.forced[0]:
            self._sets(plugs=False)
        if not self._fixed() or self.floor[0] > self.search.forced[0]:
            self._sets(plugs=True)
        self._prove()

    def _fixed(self) -> bool:
        """Return whether no fewer sockets can move than in the best try."""
        return self.cost is not None and self.cost[0] <= self.floor[0]

    def _offer(self, run: Replay | Placed | None) -> bool:
        """Keep a try if it moves less; return whether it moves no more sockets than there must be."""
        if run is None:
            return False
        cost = self.search.moved(run.out if isinstance(run, Replay) else run).cost
        if self.cost is None or cost < self.cost:
            self.best, self.cost = run, cost
        return cost[0] <= self.floor[0]

    def _sets(self, plugs: bool) -> None:
        """Let one unit go, then two ... until so many did that it need not be more."""
        for size in range(1, MOST + 1):
            done = False
            for names in self.search.sets(size, only_in_the_way=self._fixed()):
                for order in (0, 1) if plugs else (0,):
                    if self.search.left > 0:
                        done = self._offer(self.search.release(names, plugs, order)) or done
            if done or self.search.left <= 0:
                return

    def _prove(self) -> None:
        """Ask whether any patch moves fewer: none that may stay, one source, two sources ... as long as there is proof."""
        units = self.search.plan.units
        forced = self.search.forced[0]
        if len(units) > SMALL:
            return
        stood = [unit.name for unit in units if not unit.feed and self.search.before.origin(unit) is not None]
        questions = HOLDS
        for loose in range(MOST):
            if self._fixed() or self.floor[0] > forced + loose:
                continue
            for names in combinations(stood, loose):
                questions -= 1
                verdict = self.hold(self.search.before, frozenset(names)) if questions >= 0 else True
                if isinstance(verdict, Placed):
                    self._offer(verdict)
                if verdict is not False:
                    return
            self.floor = (forced + loose + 1, *self.floor[1:])


def _by_need(units: list[Unit], order: int) -> list[Unit]:
    """Return units with few places first, the widest wanted before the rest; in later orders turned round."""
    ordered = sorted(
        units, key=lambda unit: (not unit.bound, not unit.fixed, unit.feed, -len(unit.legs), len(unit.allowed[0]), unit.number)
    )
    return ordered[::-1] if order == 2 else ordered


class _Matching:
    """Legs matched with places one by one, each new one by an augmenting path."""

    def __init__(self) -> None:
        self.choices: list[list[tuple[int, int]]] = []
        self.holder: dict[tuple[int, int], int] = {}
        self.left_over = 0

    def add(self, places: list[tuple[int, int]]) -> None:
        """Match one more leg; count it where no place can be found for it."""
        self.choices.append(places)
        if not self._match(len(self.choices) - 1, set()):
            self.left_over += 1

    def _match(self, leg: int, seen: set[tuple[int, int]]) -> bool:
        for place in self.choices[leg]:
            if place in seen:
                continue
            seen.add(place)
            if place not in self.holder or self._match(self.holder[place], seen):
                self.holder[place] = leg
                return True
        return False
