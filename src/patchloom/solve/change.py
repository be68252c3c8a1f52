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
from patchloom.solve.emit import entries, routes
from patchloom.solve.fabric import Fabric
from patchloom.solve.replay import Before, Owed, Replay
from patchloom.solve.route import Net
from patchloom.solve.unit import Unit
from patchloom.solve.wishes import carry_wishes

__all__ = ["Change", "change"]

TRIES = 400
"""Tries at most, each of which puts the setting before back and adds what is owed."""
WORK = 60_000
"""Lines put back at most over all tries."""
PATIENCE = 3
MOST = 3
"""Units at most that let go together."""


class Change(NamedTuple):
    """A try that follows a setting, and what moved in it."""

    placed: Placed
    moves: Moves


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

    def moved(self, run: Replay) -> Moves:
        """Return what moved in a try."""
        after = Setting(
            plugs=entries(self.fabric, run.out, self.plan.units, False),
            mixes=entries(self.fabric, run.out, self.plan.units, True),
            routes=tuple(routes(self.fabric, run.out, self.plan.aims)),
        )
        return moves(self.before.setting, after)


def change(fabric: Fabric, plan: Plan, prepare: Callable[[Net], None], spares: list[Unit], before: Setting) -> Change | None:
    """Return the answer nearest to the one before that the tries found; None where none was found."""
    search = _Search(fabric, plan, prepare, spares, before)
    run = _still(search)
    if run is None:
        run = _fewest(search)
    if run is None:
        return None
    search.settle_spares(run)
    carry_wishes(run, plan)
    run.tidy()
    run.out.failed = None
    return Change(run.out, search.moved(run))


def _still(search: _Search) -> Replay | None:
    """Return a try in which nothing gives way."""
    if search.spares and search.before.spares:
        run = search.stay(spares=True)
        if run is not None:
            return run
    return next((run for order in range(3) if (run := search.stay(False, order)) is not None), None)


def _fewest(search: _Search) -> Replay | None:
    """Return the try with the fewest moves found, dearest counted first."""
    best = search.force()
    cost = search.moved(best).cost if best is not None else None
    for plugs in (False, True):
        for size in range(1, MOST + 1):
            found = None
            for names in _sets(search, size):
                if search.left <= 0:
                    return best
                for order in (0, 1) if plugs else (0,):
                    run = search.release(names, plugs, order)
                    if run is None:
                        continue
                    price = search.moved(run).cost
                    if cost is None or price < cost:
                        best, cost, found = run, price, names
            if found is not None:
                return best
        if cost is not None and cost[0] <= (0 if not plugs else 1):
            return best
    return best


def _sets(search: _Search, size: int) -> Iterator[tuple[str, ...]]:
    """Yield sets of units that stood before, those in the way first."""
    stood = [unit.name for unit in search.plan.units if search.before.origin(unit) is not None]
    first = [name for name in search.in_the_way if name in set(stood)]
    names = [*first, *(name for name in stood if name not in set(first))]
    yield from combinations(names, size)


def _by_need(units: list[Unit], order: int) -> list[Unit]:
    """Return units with few places first, the widest wanted before the rest; in later orders turned round."""
    ordered = sorted(
        units, key=lambda unit: (not unit.bound, not unit.fixed, unit.feed, -len(unit.legs), len(unit.allowed[0]), unit.number)
    )
    return ordered[::-1] if order == 2 else ordered
