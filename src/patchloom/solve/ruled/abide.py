"""Legs carried as the routing rules want it, and whether a finished try keeps every rule.

Comes in: an `Attempt` whose plan has a `Ruled`.  Goes out: legs carried, or not; what a try breaks.
Next: `attempt.py` goes on; `answer.py` asks once more before it believes a try.

A leg that a rule speaks of never repeats the way of a leg alike: it is searched for, with what is banned left out, and
what was found is looked at once more before it stands.  Where a rule names what a way must pass, the leg is carried
there first and then on from there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice, pairwise, product
from typing import TYPE_CHECKING

from patchloom.model.patch import Setting
from patchloom.model.routing import Hop, Places
from patchloom.solve.path import BOUND, Goal, Leg, Step
from patchloom.solve.ruled.rules import Ruled, Way
from patchloom.solve.search import Search
from patchloom.solve.slot import Aim

if TYPE_CHECKING:
    from patchloom.solve.attempt import Attempt, Placed, Plan
    from patchloom.solve.route import Net

__all__ = ["View", "broken", "carry", "keeps", "liked", "stands"]

_Place = tuple[int, int]
_Found = tuple[int, int, int]
CHOICES = 24
"""Choices of places to pass that are tried at most for one delivery."""


class View:
    """What one leg may pass on the way to one aim, as things stand."""

    def __init__(self, ruled: Ruled, leg: Leg, aim: Aim, banned: set[int], through: tuple[frozenset[int], ...]) -> None:
        self.ruled = ruled
        self.leg = leg
        self.aim = aim
        self.banned = banned
        self.through = through
        """Segments one of which has to be passed, for each place to pass."""
        self.passed = 0
        """How many of those a way may begin behind."""

    def search(self, net: Net, leg: Leg, goals: list[Goal]) -> Search:
        """Return a search that keeps the rules."""
        return _Search(net, leg, goals, self)

    def begin(self, leg: Leg, start: dict[int, int]) -> dict[int, int]:
        """Return where a way may begin: where the leg has come by permitted ways, behind what is to be passed."""
        return {segment: offset for segment, offset in start.items() if self._open(leg, (segment, offset))}

    def _open(self, leg: Leg, place: _Place) -> bool:
        chain: set[int] = set()
        at: _Place | None = place
        while at is not None:
            if at[0] in self.banned:
                return False
            chain.add(at[0])
            at = leg.parent.get(at)
        return all(not chain.isdisjoint(segments) for segments in self.through[: self.passed])

    def hop(self, tap: str, before: _Place, here: _Place) -> Hop:
        """Return a step as rules are asked about it."""
        fabric = self.ruled.fabric
        fed = fabric.fed_by[here[0]]
        link = fed[1] if fed is not None and fed[0] == before[0] else ""
        position = self.aim.position
        return Hop(self.leg.name, self.aim.to, position, fabric.place(*before), fabric.place(*here), link, tap)

    def price(self, hop: Hop) -> float | None:
        """Return what a hop costs by the rules written in Python; None where one forbids it."""
        total = 0.0
        for rule in self.ruled.on_hops:
            if rule.veto(hop):
                return None
            total += rule.cost(hop)
        return total


class _Search(Search):
    """A search that leaves out what is banned, and asks the rules written in Python about every hop."""

    __slots__ = ("at", "offsets", "view")

    def __init__(self, net: Net, leg: Leg, goals: list[Goal], view: View) -> None:
        super().__init__(net, leg, goals)
        self.view = view
        self.offsets: dict[int, _Place] = {}
        self.at: _Place | None = None
        begin = view.begin(leg, leg.tree)
        banned = view.banned.union(segment for segment in leg.tree if segment not in begin)
        self.allowed = {segment: cost for segment, cost in self.allowed.items() if segment not in banned}
        self.loose = {segment: goals for segment, goals in self.loose.items() if segment not in banned}
        self.finals = {
            row: kept for row, found in self.finals.items() if (kept := [n for n in found if goals[n].segments[0] not in banned])
        }

    def run(self, start: dict[int, int]) -> dict[int, tuple[float, list[Step], int]]:
        """Return what a search returns, from where the leg may begin."""
        return super().run(self.view.begin(self.leg, start))

    def _push(self, key: int | None, to: int, offset: int, price: float, step: Step | None) -> None:
        shunned = self.net.shunned
        if shunned and step is not None:
            price += shunned.get((self.leg.name, to), 0.0)
        if self.view.ruled.on_hops:
            node = self._key(to, offset)
            before = self.offsets.get(key) if key is not None else None
            if before is not None and step is not None:
                more = self.view.price(self.view.hop(step.tap, before, (to, offset)))
                if more is None:
                    return
                price += more
            if node not in self.settled and price < self.best.get(node, 1e9):
                self.offsets[node] = (to, offset)
        super()._push(key, to, offset, price, step)

    def _singles(self, key: int, segment: int, cost: float) -> None:
        before = self.offsets.get(key)
        finals = self.finals
        if before is not None and finals:
            self.finals = {row: [n for n in found if self._lets(before, row, n)] for row, found in finals.items()}
        super()._singles(key, segment, cost)
        self.finals = finals

    def _lets(self, before: _Place, row: int, number: int) -> bool:
        goal = self.goals[number]
        fabric = self.fabric
        tap = fabric.raw_tap(fabric.seg_bank[before[0]], fabric.rows[row], self.leg.allow, self.leg.feed)
        place = (goal.segments[0], goal.offset or 0)
        return tap is None or self.view.price(self.view.hop(tap, before, place)) is not None


def carry(
    ruled: Ruled, attempt: Attempt, leg: Leg, aim: Aim, plain: Callable[[Leg, Aim], _Found | None], liked: bool = True
) -> _Found | None:
    """Carry a leg to an aim as the rules want it; return where it landed, or None with nothing changed.

    `plain` carries it within what the net lets it pass; with `liked`, what had better be passed is tried first.
    """
    net = attempt.net
    quick, net.quick = net.quick, False
    try:
        for view in _views(ruled, net, leg, aim, liked):
            mark = (len(leg.slot_holds), len(leg.block_holds), len(leg.parent))
            net.view = view
            found = plain(leg, aim) if _pass(net, view, leg) else None
            net.view = None
            if found is not None:
                if keeps(ruled, attempt, leg, aim, found, view.through):
                    return found
                if aim.alternate:
                    net.alternates.pop((found[0], found[1]), None)
            net.undo(leg, mark[0], mark[1], list(leg.parent)[mark[2] :])
        return None
    finally:
        net.view = None
        net.quick = quick


def keeps(ruled: Ruled, attempt: Attempt, leg: Leg, aim: Aim, found: _Found, through: tuple[frozenset[int], ...] = ()) -> bool:
    """Return whether a delivery just made keeps every rule, and remember it when it does."""
    way = Way(leg, aim, (found[0], found[1]), found[2])
    if not stands(ruled, attempt.net, way, through):
        return False
    attempt.net.ways[aim.leg, aim.to, aim.entry, aim.alternate] = way
    return True


def _views(ruled: Ruled, net: Net, leg: Leg, aim: Aim, soft: bool) -> Iterator[View]:
    """Yield what may be passed, the best liked first: what had better be, then what must be."""
    rules = [rule for rule in ruled.by_leg.get(leg.name, ()) if rule.speaks(leg.name, aim.to) and rule.places is not None]
    end = {segment for goal in aim.goals for segment in (*goal.segments, *(goal.tail if goal.tail != BOUND else ()))}
    useful = end.union(*(net.reach(goal, leg.feed) for goal in aim.goals))
    musts = [found for rule in rules if rule.kind == "require" and (found := _options(ruled, rule.places, end, useful))]
    liked = [found for rule in rules if rule.kind == "prefer" and (found := _options(ruled, rule.places, end, useful))]
    hard = ruled.bans(net, leg, aim, soft=False)
    if soft:
        better = ruled.bans(net, leg, aim, soft=True)
        if liked or better != hard:
            for through in islice(product(*musts, *liked), CHOICES):
                yield View(ruled, leg, aim, better, through)
    for through in islice(product(*musts), CHOICES):
        yield View(ruled, leg, aim, hard, through)


def _options(ruled: Ruled, places: Places | None, end: set[int], useful: set[int]) -> list[frozenset[int]]:
    """Return the places to pass in segments, each whole, then segment by segment; none where every way ends in one of them.

    Only segments from which the way can go on are of use.
    """
    found = [ruled.segments(place) for place in places.each()] if places is not None else []
    if any(end <= segments for segments in found):
        return []
    found = [segments & useful for segments in found]
    return [*found, *(frozenset((one,)) for segments in found if len(segments) > 1 for one in sorted(segments))]


def _pass(net: Net, view: View, leg: Leg) -> bool:
    """Carry a leg to each place it has to pass that it has not passed; return whether that worked."""
    for number, segments in enumerate(view.through, start=1):
        view.passed = number
        if view.begin(leg, leg.tree):
            continue
        view.passed = number - 1
        net.look_around()
        open_ = tuple(sorted(segments - view.banned))
        if not open_ or net.route(leg, Goal(open_, None, False, ())) is None:
            return False
        view.passed = number
    return True


def stands(ruled: Ruled, net: Net, way: Way, through: tuple[frozenset[int], ...] = ()) -> bool:
    """Return whether a delivery keeps every rule as things stand."""
    leg, aim = way.leg, way.aim
    places = ruled.places(net, way)
    passed = {place[0] for place in places}
    if not passed.isdisjoint(ruled.bans(net, leg, aim, soft=False)):
        return False
    if any(passed.isdisjoint(segments) for segments in through):
        return False
    trail = None
    for rule in ruled.by_leg.get(leg.name, ()):
        if not rule.speaks(leg.name, aim.to):
            continue
        if rule.kind == "require" and rule.places is not None and passed.isdisjoint(ruled.segments(rule.places)):
            return False
        if rule.kind in ("together", "disjoint"):
            trail = trail or ruled.trail(net, way)
            if any(ruled.rules.clash(rule, trail, other) for other in ruled.trails(net, rule, leg, aim)):
                return False
    return not ruled.on_hops or _asked(ruled, net, way, places)


def _asked(ruled: Ruled, net: Net, way: Way, places: list[_Place]) -> bool:
    view = View(ruled, way.leg, way.aim, set(), ())
    for before, here in pairwise(places):
        fed = net.alternates.get(here) if way.aim.alternate and here == places[-1] else net.taken.get(here)
        run = net.block_at[here[0]]
        tap = fed[3] if fed is not None else net.run_source[run][2] if run >= 0 else ""
        if view.price(view.hop(tap, before, here)) is None:
            return False
    return True


def liked(ruled: Ruled, setting: Setting) -> list[tuple[str, float, float | None, str]]:
    """Return how many of the deliveries that had rather pass some places do, as a row of wishes; none where no rule says so."""
    rules = [rule for rule in ruled.rules.declared if rule.kind == "prefer" and rule.places is not None]
    if not rules:
        return []
    fabric = ruled.fabric
    asked = met = 0
    for route in setting.routes:
        for rule in rules:
            if rule.speaks(route.leg, route.to):
                passed = {place[0] for slot in route.hops if (place := fabric.find(slot)) is not None}
                asked += 1
                met += rule.places is not None and not passed.isdisjoint(ruled.segments(rule.places))
    return [("preferred ways", met, asked, "deliveries")]


def broken(ruled: Ruled, plan: Plan, placed: Placed) -> list[str]:
    """Return the legs of a finished try that break a rule, in order."""
    net = placed.net
    for aim in plan.aims:
        found = placed.arrived.get(aim.number)
        leg = net.legs.get(aim.leg)
        if found is not None and leg is not None and ruled.speaks(aim.leg):
            net.ways[aim.leg, aim.to, aim.entry, aim.alternate] = Way(leg, aim, (found[0], found[1]), found[2])
    wrong = [way.aim.leg for way in net.ways.values() if way.stands(net) and not stands(ruled, net, way)]
    for name, banned in ruled.strict.items():
        if ruled.is_in(net, name, banned):
            wrong.append(name)
    entered = {name: ruled.fabric.place(*leg.origin) for name, leg in net.legs.items() if leg.origin is not None}
    for unit in plan.units:
        for name in unit.legs:
            for rule in ruled.by_leg.get(name, ()) if name in entered else ():
                others = (other for other in rule.partners(name) if other in entered)
                if any(rule.misplaced(name, entered[name], other, entered[other]) for other in others):
                    wrong.append(name)
    return list(dict.fromkeys(wrong))
