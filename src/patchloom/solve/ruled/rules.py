"""The routing rules of a period in the words of the search: which segments a leg may not enter, as things stand.

Comes in: a fabric, the `Rules` that take part, units.  Goes out: a `Ruled`, which the plan holds; None where there are no
rules, so that nobody pays for what nobody asked.  Next: `abide.py` carries legs by it, `overruled.py` proves with it.

Nearly every rule comes down to segments a leg may not enter: those of a place, a link, a device, a supply.  `strict`
bans (a leg may not be there at all) follow wires and blocks upstream: what would be dragged there is banned as well.
Rules between two signals ban what the other holds already.  What a ban cannot say, `abide.py` checks afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import TYPE_CHECKING

from patchloom.address import Span
from patchloom.model.routing import Declared, Placement, Places, Rules, Trail
from patchloom.model.show import Show
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Leg
from patchloom.solve.slot import Aim
from patchloom.solve.state import State
from patchloom.solve.unit import Unit

if TYPE_CHECKING:
    from patchloom.solve.attempt import Attempt

__all__ = ["Ruled", "Way", "cuts_of"]

_Place = tuple[int, int]
SHUN = 4.0
"""Price of a segment, each time the leg there had to leave it because a signal it has to keep away from found no way."""
PREFER = 3.0
"""Price of each place by which a preferred one is missed."""
_BETWEEN = ("together", "apart", "disjoint", "one-box", "in-order")
_ENTER = ("apart", "one-box", "in-order")


class Way:
    """One delivery as the search knows it, as long as it stands."""

    __slots__ = ("aim", "leg", "place", "which")

    def __init__(self, leg: Leg, aim: Aim, place: _Place, which: int) -> None:
        self.leg = leg
        self.aim = aim
        self.place = place
        self.which = which

    def stands(self, net: State) -> bool:
        """Return whether the leg still goes there."""
        if net.legs.get(self.leg.name) is not self.leg:
            return False
        if self.aim.alternate:
            fed = net.alternates.get(self.place)
            return fed is not None and fed[:2] in self.leg.parent
        return self.place in self.leg.parent


def cuts_of(rules: Rules | None) -> list[Span]:
    """Return the runs of slots rules speak of, for a fabric to be cut at."""
    if rules is None:
        return []
    return [span for rule in rules.declared if rule.places is not None for span in rule.places.spans if span.first is not None]


class Ruled:
    """The rules of one period over one fabric; see the module's docstring."""

    def __init__(self, fabric: Fabric, show: Show, rules: Rules, units: Iterable[Unit]) -> None:
        self.fabric = fabric
        self.rules = rules
        self.on_hops = tuple(rule for rule in rules.written if rule.on == "hop")
        self.on_plugs = tuple(rule for rule in rules.written if rule.on == "placement")
        self._segments: dict[tuple[str, ...], frozenset[int]] = {}
        self._of_device: dict[str, list[int]] = {}
        for segment, bank in enumerate(fabric.seg_bank):
            self._of_device.setdefault(fabric.banks[bank][0], []).append(segment)
        self._of_link: dict[str, list[int]] = {}
        for segment, fed in enumerate(fabric.fed_by):
            if fed is not None and fed[1]:
                self._of_link.setdefault(fed[1], []).append(segment)
        self.by_leg: dict[str, list[Declared]] = {}
        for rule in rules.declared:
            for leg in sorted(rule.legs):
                self.by_leg.setdefault(leg, []).append(rule)
        self.strict = {leg: found for leg in self.by_leg if (found := self._strict(leg))}
        """Leg to the segments it may never be in, nor be dragged along to by a wire."""
        self.kept_apart = {
            leg for leg, found in self.by_leg.items() if any(rule.kind == "apart" and rule.places is not None for rule in found)
        }
        self.beside = {
            leg: [(rule, other) for rule in found if rule.places is None and rule.kind in _ENTER for other in rule.partners(leg)]
            for leg, found in self.by_leg.items()
        }
        """Leg to the legs it has to be plugged beside or away from, with the rule."""
        self.marks = self._marks()
        """Segment to the rules that speak of it: segments that look alike but for a rule are not alike."""
        self.feeds = {feed.id for feed in show.feeds}
        self.prefer = self._preferences(show)
        """Leg to the places it would rather enter by, the dearest first, and how much it matters."""
        self.shut_out: dict[str, set[_Place]] = {}
        """Leg to the places that a rule takes away from it whatever else happens."""
        self._narrow(units)

    # what a place is in segments

    def segments(self, places: Places) -> frozenset[int]:
        """Return the segments a leg is in when it is in some places, or comes over some links."""
        known = self._segments.get(places.texts)
        if known is None:
            found = {segment for link in places.links for segment in self._of_link.get(link, ())}
            for span in places.spans:
                for segment in self._of_device.get(span.device, ()):
                    offsets = range(self.fabric.seg_length[segment])
                    if any(places.holds(self.fabric.place(segment, offset)) for offset in offsets):
                        found.add(segment)
            known = self._segments[places.texts] = frozenset(found)
        return known

    def _strict(self, leg: str) -> frozenset[int]:
        found: set[int] = set()
        for rule in self.by_leg[leg]:
            if rule.strict and rule.places is not None:
                found |= self.segments(rule.places)
        return self.upstream(found)

    def upstream(self, banned: Iterable[int]) -> frozenset[int]:
        """Return segments, and those that lead to them by wires and links alone."""
        found = set(banned)
        todo = sorted(found)
        for segment in todo:
            fed = self.fabric.fed_by[segment]
            if fed is not None and fed[0] not in found and not self._ends_in(fed[0]):
                found.add(fed[0])
                todo.append(fed[0])
        return frozenset(found)

    def _ends_in(self, segment: int) -> bool:
        """Return whether signals that come into a segment end in a mix there."""
        kind = self.fabric.kind[self.fabric.seg_bank[segment]]
        return kind is not None and kind.does == "sum"

    def _marks(self) -> dict[int, tuple[int, ...]]:
        marks: dict[int, list[int]] = {}
        for number, rule in enumerate(self.rules.declared):
            if rule.places is not None:
                for segment in sorted(self.segments(rule.places)):
                    marks.setdefault(segment, []).append(number)
        if self.on_hops:
            return {segment: (-1 - segment,) for segment in range(len(self.fabric.seg_bank))}
        return {segment: tuple(found) for segment, found in marks.items()}

    def _preferences(self, show: Show) -> dict[str, list[tuple[tuple[Span, ...], float]]]:
        from patchloom.address import parse

        found: dict[str, list[tuple[tuple[Span, ...], float]]] = {}
        signals = show.signals()
        for row in show.wishes.prefer if show.wishes is not None else ():
            spans = tuple(parse(text) for text in row.at)
            for name in row.signals:
                item = signals.get(name.partition(".")[0])
                for leg in () if item is None else (name,) if "." in name else item.leg_ids():
                    found.setdefault(leg, []).append((spans, PREFER / max(1, row.priority)))
        return found

    # who is spoken of

    def speaks(self, leg: str) -> bool:
        """Return whether a leg cannot be carried as if there were no rules."""
        return leg in self.by_leg or any(rule.speaks(leg) for rule in self.on_hops)

    def _narrow(self, units: Iterable[Unit]) -> None:
        """Take away from units the places where a rule does not let them enter whatever else happens."""
        for unit in units:
            for number, leg in enumerate(unit.legs):
                banned = self.strict.get(leg, frozenset())
                kept = {place for place in unit.allowed[number] if place[0] not in banned and not self._vetoed(leg, place)}
                if len(kept) < len(unit.allowed[number]):
                    self.shut_out[leg] = unit.allowed[number] - kept
                    unit.allowed[number] = kept
            unit.choices = sorted({segment for segment, _ in unit.allowed[0]})
            unit.fixed = all(len(places) == 1 for places in unit.allowed)

    def _vetoed(self, leg: str, place: _Place) -> bool:
        return any(rule.veto(Placement(leg, self.fabric.place(*place))) for rule in self.on_plugs)

    def attach(self, net: State) -> None:
        """Let a net ask before a block is taken."""
        net.marks = self.marks
        if self.strict or self.kept_apart:
            net.guard = lambda run, source: self._may_take(net, run, source)

    def _may_take(self, net: State, run: int, source: int) -> bool:
        """Return whether a run drags nobody along to where they may not be."""
        for segment in self.fabric.runs[source].segments:
            for offset in range(self.fabric.seg_length[segment]):
                name = net.carried(segment, offset)
                if name is None or (name not in self.strict and name not in self.kept_apart):
                    continue
                there = self.fabric.through(segment, offset, source, run)
                if there is not None and there[0] in self.nowhere(net, name):
                    return False
        return True

    # bans as things stand

    def nowhere(self, net: State, leg: str) -> frozenset[int]:
        """Return the segments a leg may not be in at all now: what is set would drag it to where it may not be."""
        found: set[int] = set(self.strict.get(leg, ()))
        if leg in self.kept_apart:
            for rule in self.by_leg[leg]:
                if rule.kind == "apart" and rule.places is not None:
                    for place in rule.places.each():
                        there = self.segments(place)
                        if any(self.is_in(net, other, there) for other in rule.partners(leg)):
                            found |= there
        if not found:
            return frozenset()
        return self._dragged(net, self.upstream(found))

    def _dragged(self, net: State, banned: frozenset[int]) -> frozenset[int]:
        """Return banned segments and those that blocks taken now would drag a leg from to there."""
        while True:
            more = set(banned)
            for run, (source, _, _) in sorted(net.run_source.items()):
                for segment in self.fabric.runs[run].segments:
                    if segment in more:
                        more.update(self.fabric.facing(segment, run, source))
            if len(more) == len(banned):
                return banned
            banned = self.upstream(more)

    def is_in(self, net: State, name: str, segments: frozenset[int]) -> bool:
        """Return whether a leg is in some segments now, dragged along or not."""
        leg = net.legs.get(name)
        if leg is None:
            return False
        todo = list(leg.parent)
        seen = set(todo)
        for segment, offset in todo:
            if segment in segments:
                return True
            steps = [(way.to, offset) for way in self.fabric.fixed[segment]] if not self._ends_in(segment) or leg.feed else []
            for _, source in self.fabric.blocks_from[segment]:
                for run in net.by_source.get(source, ()):
                    there = self.fabric.through(segment, offset, source, run)
                    if there is not None:
                        steps.append(there)
            todo.extend(step for step in steps if step not in seen)
            seen.update(steps)
        return False

    def standing(self, leg: str, to: str) -> frozenset[int]:
        """Return the segments a leg may not pass on the way to a list or feed, whoever else holds what."""
        found: set[int] = set(self.strict.get(leg, ()))
        for rule in self.by_leg.get(leg, ()):
            if rule.kind in ("forbid", "survive") and rule.places is not None and rule.speaks(leg, to):
                found |= self.segments(rule.places)
        return frozenset(found)

    def bans(self, net: State, leg: Leg, aim: Aim, soft: bool) -> set[int]:
        """Return the segments a leg may not pass now on the way to an aim; with `soft`, nor those it had better not."""
        found = set(self.standing(leg.name, aim.to)) | self.nowhere(net, leg.name)
        for rule in self.by_leg.get(leg.name, ()):
            kinds = ("together", "disjoint", "summed") if soft else ("together", "disjoint")
            if rule.kind in kinds and rule.speaks(leg.name, aim.to):
                for trail in self.trails(net, rule, leg, aim):
                    found |= self._from(rule, trail, leg, aim)
        return found

    def trails(self, net: State, rule: Declared, leg: Leg, aim: Aim) -> list[Trail]:
        """Return the ways of the other signals a rule holds a leg against on the way to an aim."""
        found = []
        partners = set(rule.partners(leg.name))
        for way in net.ways.values():
            if way.aim.leg in partners and way.stands(net) and rule.speaks(way.aim.leg, way.aim.to):
                if way.aim.to == aim.to or (way.aim.to in self.feeds and aim.to in self.feeds):
                    found.append(self.trail(net, way))
        return found

    def trail(self, net: State, way: Way) -> Trail:
        """Return what a delivery passes."""
        places = self.places(net, way)
        slots = tuple(self.fabric.place(*place) for place in places)
        links: list[str] = []
        for before, here in pairwise(places):
            fed = self.fabric.fed_by[here[0]]
            if fed is not None and fed[0] == before[0] and fed[1]:
                links.append(fed[1])
        devices = tuple(dict.fromkeys(slot.device for slot in slots))
        return Trail(way.aim.leg, way.aim.to, way.aim.to in self.feeds, devices, tuple(dict.fromkeys(links)), slots)

    def places(self, net: State, way: Way) -> list[_Place]:
        """Return the (segment, offset) places a delivery passes, the wires behind its goal included."""
        places = net.hops(way.leg, way.place, way.aim.alternate)
        tail = way.aim.goals[way.which].tail
        return places + [(segment, way.place[1]) for segment in tail] if tail and tail != BOUND else places

    def _from(self, rule: Declared, trail: Trail, leg: Leg, aim: Aim) -> set[int]:
        """Return the segments that what another signal passes bans."""
        if rule.places is not None:
            return {
                segment
                for place in rule.places.each()
                if place.on(trail) == (rule.kind == "disjoint")
                for segment in self.segments(place)
            }
        if rule.kind == "disjoint":
            ends = {trail.devices[-1]} & {slot.device for slot in aim.slots}
            if trail.feed and aim.to in self.feeds and leg.origin is not None:
                ends |= {trail.devices[0]} & {self.fabric.place(*leg.origin).device}
            names = self.rules.leans_on(trail, frozenset(ends))
            return self._leaning(names, ends)
        devices = set(trail.devices)
        found = {segment for device, segments in self._of_device.items() if device not in devices for segment in segments}
        found.update(segment for link, segments in self._of_link.items() if link not in trail.links for segment in segments)
        return found

    def _leaning(self, names: dict[str, str], but: set[str]) -> set[int]:
        found: set[int] = set()
        for table, word in ((self._of_device, ""), (self._of_link, "link ")):
            for key, segments in table.items():
                name = f"{word}{key}"
                if name not in but and (name in names or any(tag in names for tag in self.rules.supplies.get(name, ()))):
                    found.update(segments)
        return found

    # placing

    def suits(self, attempt: Attempt, unit: Unit, places: list[_Place]) -> float | None:
        """Return how ill places suit a unit by the rules; None where a rule forbids one of them as things stand."""
        net = attempt.net
        misfit = 0.0
        mine = dict(zip(unit.legs, places, strict=False))
        for leg, place in mine.items():
            if leg not in self.by_leg and leg not in self.prefer and not self.on_plugs:
                continue
            slot = self.fabric.place(*place)
            if (leg in self.strict or leg in self.kept_apart) and place[0] in self.nowhere(net, leg):
                return None
            for rule, other in self.beside.get(leg, ()):
                there = mine.get(other) or (net.legs[other].origin if other in net.legs else None)
                if there is not None and rule.misplaced(leg, slot, other, self.fabric.place(*there)):
                    return None
            misfit += sum(rule.cost(Placement(leg, slot)) for rule in self.on_plugs)
            if net.shunned:
                misfit += net.shunned.get((leg, place[0]), 0.0)
            for spans, price in self.prefer.get(leg, ()):
                misfit += price * next((number for number, span in enumerate(spans) if span.holds(slot)), len(spans))
        return misfit

    def make_way(self, attempt: Attempt, unit: Unit) -> list[Unit]:
        """Return the units that stand and a unit has to keep to or from, in the order of the rule, each shunning where it is."""
        found: dict[str, Unit] = {}
        for leg in unit.legs:
            for rule in self.by_leg.get(leg, ()):
                if rule.kind in _BETWEEN:
                    for name in rule.partners(leg):
                        other = attempt.plan.unit_of.get(name)
                        if other is not None and other is not unit and name in attempt.net.legs:
                            found[other.name] = other
                            for segment in attempt.net.legs[name].tree:
                                key = (name, segment)
                                attempt.net.shunned[key] = attempt.net.shunned.get(key, 0.0) + SHUN
        return list(found.values())
