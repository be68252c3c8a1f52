"""Whether a patch keeps the routing rules of the show, the relations of its groups, and what must outlive a loss.

Comes in: a `Scene` whose deliveries are known, the `Rules` that take part.  Goes out: items.  Next: `verify`.

A signal is pushed from where it enters through everything that takes it: choices, wires, links.  A way is walked back from
where it is delivered.  What a rule says of a hop, a placement or two ways is its own affair (`patchloom.model.routing`).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from typing import NamedTuple

from patchloom.address import Slot, parse
from patchloom.check.ground import Way
from patchloom.check.scene import Scene
from patchloom.check.signals import Node
from patchloom.errors import PluginError
from patchloom.model.routing import Declared, Hop, Placement, Places, RoutingRule, Rules, Trail

__all__ = ["check_routing"]

_MEET = {"disjoint": "not-disjoint", "together": "not-together"}
_ENTER = {"one-box": "not-one-box", "in-order": "not-in-order", "apart": "not-apart"}


class _Delivery(NamedTuple):
    """One right delivery: its way, hop by hop, and what the solver's rules are asked about."""

    trail: Trail
    hops: tuple[Hop, ...]
    alternate: bool
    delay_ms: float | None
    """The sum of the delays on the way; None where some are unknown."""


def check_routing(scene: Scene, rules: Rules | None) -> None:
    """Check every rule that takes part."""
    if rules is None:
        return
    spoken = frozenset().union(*(rule.legs for rule in rules.declared)) if rules.declared else frozenset()
    ends: dict[tuple[str, str], list[tuple[Slot, bool]]] = {}
    for route in scene.setting.routes:
        if route.hops:
            ends.setdefault((route.leg, route.to), []).append((route.hops[-1], route.alternate))
    found = [_delivery(scene, *row, ends) for row in scene.delivered if rules.written or row[0] in spoken]
    judge = _Judge(scene, rules, [row for row in found if row is not None])
    for rule in rules.declared:
        judge.declared(rule)
    for written in rules.written:
        try:
            judge.written(written)
        except PluginError as error:
            scene.report.add("rule-broken", f"The {error}.", written.words)


class _Judge:
    """The rules of one period under judgement."""

    def __init__(self, scene: Scene, rules: Rules, deliveries: list[_Delivery]) -> None:
        self.scene = scene
        self.rules = rules
        self.deliveries = deliveries
        self.entered = {**dict(scene.setting.plugs.items()), **dict(scene.setting.mixes.items())}
        self._onward: dict[Slot, list[Slot]] | None = None

    def declared(self, rule: Declared) -> None:
        """Judge one rule of the show."""
        if rule.strict:
            self._forbidden(rule)
        elif rule.kind in ("forbid", "survive") and rule.places is not None:
            self._passing(rule)
        elif rule.kind == "require":
            self._missing(rule)
        elif rule.kind == "apart" and rule.places is not None:
            self._meeting(rule, rule.places)
        elif rule.kind in _ENTER:
            self._entering(rule)
        elif rule.kind in _MEET:
            self._ways(rule)
        elif rule.kind == "summed":
            self._summed(rule)

    def written(self, rule: RoutingRule) -> None:
        """Judge one rule written in Python."""
        if rule.on == "placement":
            for leg, place in sorted(self.entered.items()):
                why = rule.veto(Placement(leg, place))
                if why:
                    self._vetoed(rule, why, f"{leg} enters at {place}", place, leg)
            return
        for row in self.deliveries:
            for hop in row.hops:
                why = rule.veto(hop)
                if why:
                    over = f" over link {hop.link}" if hop.link else ""
                    self._vetoed(rule, why, f"{hop.leg} goes from {hop.from_} to {hop.into}{over}", hop.into, hop.leg)

    def _vetoed(self, rule: RoutingRule, why: str, told: str, place: Slot, leg: str) -> None:
        item = self.scene.report.add(
            "rule-vetoes",
            f"{told}, and {rule.words} forbids it: {why.rstrip('.')}.",
            place,
            leg,
            key=(rule.name, str(place), leg),
        )
        item.todo = item.todo or ""

    # where signals are

    def _forbidden(self, rule: Declared) -> None:
        for leg in sorted(rule.legs):
            for place, link in self._spread(leg):
                if rule.places is not None and (rule.places.holds(place) or link in rule.places.links):
                    over = f" by link {link}" if link in rule.places.links else ""
                    self.scene.report.add(
                        "passes-forbidden",
                        f"{leg} comes to {self.scene.ground.say(place)}{over}, where {rule.words()} forbids it.",
                        place,
                        leg,
                        rule.name,
                        key=(rule.row, leg.partition(".")[0]),
                    )
                    break

    def _meeting(self, rule: Declared, places: Places) -> None:
        for place in places.each():
            there: list[tuple[int, str]] = []
            for number, side in enumerate(rule.sides):
                legs = [leg for leg in sorted(side) if self._is_in(leg, place)]
                there.extend((number, leg) for leg in legs[:1])
            for (_, one), (_, other) in combinations(there, 2):
                self._met(rule, one, other, f"{one} and {other} are both in {place.texts[0]}", place.texts[0])

    def _is_in(self, leg: str, places: Places) -> bool:
        return any(places.holds(place) or link in places.links for place, link in self._spread(leg))

    def _met(self, rule: Declared, one: str, other: str, told: str, place: str) -> None:
        self.scene.report.add(
            _ENTER[rule.kind],
            f"{told}; {rule.words()} speaks against it.",
            one,
            other,
            place,
            rule.name,
            key=(rule.row, one.partition(".")[0], other.partition(".")[0]),
        )

    def _spread(self, leg: str) -> Iterator[tuple[Slot, str]]:
        """Yield every slot a leg comes to, with the link that brings it there."""
        start = self.entered.get(leg)
        if start is None:
            return
        seen = {start}
        todo = [start]
        yield start, ""
        for here in todo:
            kind = self.scene.ground.bank(here.device, here.bank)
            if kind is not None and kind.does == "sum" and here != start:
                continue
            for there, link in self._takers(here):
                if there not in seen:
                    seen.add(there)
                    todo.append(there)
                    yield there, link

    def _takers(self, here: Slot) -> Iterator[tuple[Slot, str]]:
        """Yield what takes from a slot: by choice, by wire, by link."""
        if self._onward is None:
            self._onward = {}
            for turned in (False, True):
                for place, feeder in self.scene.feeders.chosen(turned):
                    if feeder.source is not None and feeder.kind != "void":
                        self._onward.setdefault(feeder.source, []).append(place)
        for there in self._onward.get(here, ()):
            yield there, ""
        yield from self._always(here)

    def _always(self, here: Slot) -> Iterator[tuple[Slot, str]]:
        ground = self.scene.ground
        banks = {(here.device, row.into.bank): None for row in ground.rows_from(here.device, here.bank) if row.wired}
        name, _, side = here.bank.partition(".")
        for link, number in ground.joined.get((here.device, name), ()):
            other = ground.ends[link.id][1 - number]
            if other.device in self.scene.rig.devices:
                banks[other.device, f"{other.name}.in" if side else other.name] = None
        for device, bank in banks:
            for way in ground.ways(device, bank):
                there = _through(way, here, device, bank)
                if there is not None and self.scene.feeders.way(there) is way:
                    yield there, way.link.id if way.link is not None else ""

    # where signals enter

    def _entering(self, rule: Declared) -> None:
        for one, other in combinations(rule.sides, 2):
            for leg in sorted(one):
                wrong = next((words for other_leg in sorted(other) if (words := self._misplaced(rule, leg, other_leg))), None)
                if wrong is not None:
                    self._met(rule, *wrong)
                    break

    def _misplaced(self, rule: Declared, leg: str, other: str) -> tuple[str, str, str, str] | None:
        at, there = self.entered.get(leg), self.entered.get(other)
        if at is None or there is None:
            return None
        words = rule.misplaced(leg, at, other, there)
        return (leg, other, words, str(there)) if words else None

    # ways

    def _of(self, rule: Declared) -> list[_Delivery]:
        return [row for row in self.deliveries if rule.speaks(row.trail.leg, row.trail.to)]

    def _passing(self, rule: Declared) -> None:
        assert rule.places is not None
        at = ", ".join(rule.places.texts)
        lost: dict[str, list[str]] = {}
        of: dict[str, int] = {}
        for row in self._of(rule):
            if rule.kind == "survive" and row.alternate:
                continue
            of[row.trail.to] = of.get(row.trail.to, 0) + 1
            if rule.places.on(row.trail):
                lost.setdefault(row.trail.to, []).append(row.trail.leg)
        for to, legs in lost.items():
            names = ", ".join(legs[:8]) + (f" and {len(legs) - 8} more" if len(legs) > 8 else "")
            if rule.kind == "survive":
                check = "loss-not-survived"
                words = f"{to} must outlive the loss of {at} and loses {len(legs)} of {of[to]} with it: {names}."
            else:
                check = "passes-forbidden"
                words = f"{len(legs)} of {of[to]} come to {to} through {at}, which {rule.words()} forbids: {names}."
            numbers = (("lost" if rule.kind == "survive" else "forbidden", len(legs)), ("of", of[to]))
            self.scene.report.add(check, words, to, at, *legs, key=(rule.row, to), numbers=numbers)

    def _missing(self, rule: Declared) -> None:
        for row in self._of(rule):
            if rule.places is not None and not rule.places.on(row.trail):
                leg, to = row.trail.leg, row.trail.to
                self.scene.report.add(
                    "misses-required",
                    f"{leg} comes to {to} without passing {', '.join(rule.places.texts)}, as {rule.words()} requires.",
                    to,
                    leg,
                    rule.name,
                    key=(rule.row, to, leg),
                )

    def _ways(self, rule: Declared) -> None:
        for one, other in combinations(self._of(rule), 2):
            sides = rule.side(one.trail.leg), rule.side(other.trail.leg)
            if sides[0] == sides[1]:
                continue
            wrong = self.rules.clash(rule, one.trail, other.trail)
            if wrong:
                legs, to = (one.trail.leg, other.trail.leg), one.trail.to
                told = "both lean on" if rule.kind == "disjoint" else "part at"
                self.scene.report.add(
                    _MEET[rule.kind],
                    f"{legs[0]} and {legs[1]} {told} {', '.join(wrong)} on the way to {to}; {rule.words()} speaks against it.",
                    to,
                    *legs,
                    *wrong,
                    key=(rule.row, to, *(leg.partition(".")[0] for leg in legs)),
                )

    def _summed(self, rule: Declared) -> None:
        for one, other in combinations(self._of(rule), 2):
            known = one.delay_ms is not None and other.delay_ms is not None
            if one.trail.to == other.trail.to and known and one.delay_ms != other.delay_ms:
                legs, to = (one.trail.leg, other.trail.leg), one.trail.to
                self.scene.report.add(
                    "summed-unlike",
                    f"{legs[0]} and {legs[1]} are summed, and come to {to} {one.delay_ms:g} ms and {other.delay_ms:g} ms late.",
                    to,
                    *legs,
                    key=(rule.row, to, *legs),
                    numbers=(("one, ms", one.delay_ms), ("other, ms", other.delay_ms)),
                )


def _through(way: Way, here: Slot, device: str, bank: str) -> Slot | None:
    """Return where a way takes a slot to; None where it does not take it."""
    number = way.first + here.number - way.start
    return Slot(device, bank, number) if (way.device, way.bank) == here[:2] and way.first <= number <= way.last else None


def _delivery(
    scene: Scene, leg: str, position: str, node: Node, ends: dict[tuple[str, str], list[tuple[Slot, bool]]]
) -> _Delivery | None:
    """Return a right delivery as it is walked back from where it ends."""
    to, feed = _receiver(scene, leg, node.slot)
    if not to:
        return None
    node = _said(scene, leg, node, ends.get((leg, to), []))
    chain: list[Node] = []
    at: Node | None = scene.signals.full(node)
    while at is not None:
        chain.append(at)
        at = at.up
    chain.reverse()
    hops = []
    for before, here in pairwise(chain):
        feeder = here.feeder
        link = feeder.link.id if feeder is not None and feeder.link is not None else ""
        tap = feeder.choice.tap if feeder is not None and feeder.choice is not None else ""
        hops.append(Hop(leg, to, position, before.slot, here.slot, link, tap))
    slots = tuple(row.slot for row in chain)
    devices = tuple(dict.fromkeys(slot.device for slot in slots))
    links = tuple(dict.fromkeys(hop.link for hop in hops if hop.link))
    last = node.feeder
    alternate = last is not None and last.choice is not None and last.choice.alternate
    return _Delivery(Trail(leg, to, feed, devices, links, slots), tuple(hops), alternate, _delay(scene, chain))


def _said(scene: Scene, leg: str, node: Node, ends: list[tuple[Slot, bool]]) -> Node:
    """Return the delivery the patch speaks of, where a leg comes to several slots of a list that fixes no order."""
    if not ends or any(place == node.slot for place, _ in ends):
        return node
    said = [found for end in ends if (found := scene.signals.at(*end)).leg == leg]
    return said[0] if said else node


def _receiver(scene: Scene, leg: str, place: Slot) -> tuple[str, bool]:
    """Return the list or feed a slot belongs to that is to get a leg, and whether it is a destination of a feed."""
    signal = leg.partition(".")[0]
    for item in scene.show.lists:
        if parse(item.at).holds(place) and any(
            want is not None and signal in (want.signal, want.alternate) for want in item.wants
        ):
            return item.id, False
    feed = scene.feeds.get(leg)
    if feed is not None and any(parse(text).holds(place) for row in feed.to for text in row.at):
        return feed.id, True
    return "", False


def _delay(scene: Scene, chain: list[Node]) -> float | None:
    """Return the delays of banks, links and conversions on a way, in ms; None where one is unknown.

    A channel that hands a signal on raw takes no time: the copy is taken before anything.
    """
    total = 0.0
    for node, then in zip(chain, (*chain[1:], None), strict=True):
        kind = scene.ground.bank(node.slot.device, node.slot.bank)
        feeder = node.feeder
        raw = then is not None and then.after == node.after
        parts = [kind.latency_ms] if kind is not None and (kind.socket or (kind.does == "process" and not raw)) else []
        if feeder is not None and feeder.link is not None and feeder.link.format in scene.rig.formats:
            parts.append(scene.rig.formats[feeder.link.format].latency_ms)
        if feeder is not None and feeder.row is not None and feeder.row.select.converts:
            parts.append(feeder.row.select.latency_ms)
        if None in parts:
            return None
        total += sum(part for part in parts if part is not None)
    return round(total, 6)
