"""Routing rules and the relations signals have: one definition, read by the search and by the judgement.

Comes in: rig and show, rules written in Python.  Goes out: `Rules`; each rule says *no* (a veto, with its reason) or
*dear* (a cost) to a hop or a placement, or says what is wrong between two paths.
Next: `solve/` searches with them, `check/` holds a patch against them, each with code of its own; nothing here searches.

Two kinds of rule:

- *declared*: rows of the show (`routing`, `groups`, `survives`), compiled into `Declared`.
- *written*: a function `(Hop | Placement) -> str | float | None` under `@routing_rule`: a text forbids and says why, a
  number is a cost (a hop along a link costs 1), None is fine.  It must answer the same for the same hop.

A signal *is* wherever a slot carries it, whoever put it there: along a wire, over a link, dragged along in a block.
`forbid` without `positions`, and `apart` with `at`, speak of that.  All others speak of the ways signals are delivered by.
What comes to a port of a device and is not taken in there is not in the device; name the port or the link to forbid that.
A mix is not its parts: a rule about a source says nothing about a mix that contains it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

import attrs

from patchloom.address import Slot, Span, parse
from patchloom.errors import AddressError, PluginError
from patchloom.model.rig import Rig
from patchloom.model.show import Routing, Show, Want

__all__ = ["KINDS", "Declared", "Hop", "Placement", "Places", "RoutingRule", "Rules", "Trail", "routing_rule", "rules_of"]

KINDS = ("forbid", "survive", "require", "prefer", "together", "apart", "disjoint", "one-box", "in-order", "summed")
"""What a declared rule can be."""
_RELATIONS = {
    "same-path": "together",
    "apart": "apart",
    "disjoint": "disjoint",
    "one-box": "one-box",
    "in-order": "in-order",
    "summed": "summed",
}
"""Relation of a group to the kind of rule it is."""


class Hop(NamedTuple):
    """One step of a leg on its way to a list, or to a destination of a feed."""

    leg: str
    to: str
    """List id, or feed id for a destination of that feed."""
    position: str
    """Position of the list, or that mixes the feed."""
    from_: Slot
    into: Slot
    link: str
    """Link it goes over; empty inside a device."""
    tap: str


class Placement(NamedTuple):
    """One leg on the socket it plugs into, or the slot it is mixed on."""

    leg: str
    at: Slot


class Trail(NamedTuple):
    """What one delivery passes: its devices in order, and its links."""

    leg: str
    to: str
    feed: bool
    """Whether it ends at a destination of its feed, not in a list."""
    devices: tuple[str, ...]
    links: tuple[str, ...]
    slots: tuple[Slot, ...]

    def things(self) -> tuple[str, ...]:
        """Return its devices, and its links as `link K1`."""
        return (*self.devices, *(f"link {link}" for link in self.links))


@attrs.frozen
class Places:
    """Devices, links and runs of slots, as they were written."""

    texts: tuple[str, ...]
    links: frozenset[str]
    spans: tuple[Span, ...]

    def holds(self, place: Slot) -> bool:
        """Return whether a slot lies in one of them; what comes to a port and is not taken in there is not in a device."""
        return any(span.holds(place) and (span.bank is not None or not place.bank.endswith(".in")) for span in self.spans)

    def on(self, trail: Trail) -> bool:
        """Return whether a delivery passes one of them."""
        return not self.links.isdisjoint(trail.links) or any(map(self.holds, trail.slots))

    def each(self) -> tuple[Places, ...]:
        """Return them one by one."""
        return tuple(_places((text,), self.links) for text in self.texts)


@attrs.frozen
class Declared:
    """One rule of the show; see `KINDS`."""

    name: str
    """The row's id, or its path where it has none."""
    kind: str
    row: str
    """Path of the row in the show, e.g. `routing[0]`."""
    sides: tuple[frozenset[str], ...]
    """Legs of each signal named, in order."""
    places: Places | None = None
    lists: frozenset[str] | None = None
    """Lists and feeds it holds for; None for everywhere."""
    why: str = ""

    @property
    def legs(self) -> frozenset[str]:
        """Return every leg it speaks of."""
        return frozenset().union(*self.sides)

    @property
    def strict(self) -> bool:
        """Return whether it forbids a signal to be in a place at all, whoever put it there."""
        return self.kind == "forbid" and self.lists is None

    def speaks(self, leg: str, to: str) -> bool:
        """Return whether it speaks of a delivery."""
        return (self.lists is None or to in self.lists) and any(leg in side for side in self.sides)

    def side(self, leg: str) -> int:
        """Return the number of the signal a leg belongs to; -1 when it is none of them."""
        return next((number for number, side in enumerate(self.sides) if leg in side), -1)

    def partners(self, leg: str) -> tuple[str, ...]:
        """Return the legs of the other signals, in order."""
        mine = self.side(leg)
        if mine < 0:
            return ()
        return tuple(other for number, side in enumerate(self.sides) if number != mine for other in sorted(side))

    def misplaced(self, leg: str, at: Slot, other: str, there: Slot) -> str:
        """Return what is wrong with where two legs enter; empty when nothing is."""
        if self.kind == "one-box" and at.device != there.device:
            return f"{leg} enters at {at.device} and {other} at {there.device}; they belong on one box"
        if self.kind == "apart" and self.places is None and at.device == there.device:
            return f"{leg} and {other} both enter at {at.device}"
        if self.kind == "in-order" and at[:2] == there[:2] and (self.side(leg) < self.side(other)) != (at.number < there.number):
            return f"{leg} at {at} and {other} at {there} are not in order"
        return ""

    def words(self) -> str:
        """Return its name and why it is there, for messages."""
        kind = "group" if self.row.startswith("groups") else "rule"
        return f"{kind} {self.name}" + (f" ({self.why.rstrip('.')})" if self.why else "")


@attrs.frozen
class RoutingRule:
    """A rule written in Python: a name, a version, and a function asked about each hop, or about each placement."""

    name: str
    version: str
    on: str
    """`hop` or `placement`."""
    ask: Callable[[Any], str | float | None]
    legs: frozenset[str] | None = None
    """Signals or legs it is asked about; None for all."""

    def speaks(self, leg: str) -> bool:
        """Return whether it is asked about a leg."""
        return self.legs is None or leg in self.legs or leg.partition(".")[0] in self.legs

    def veto(self, what: Hop | Placement) -> str:
        """Return why a hop or a placement is forbidden; empty when it is not."""
        said = self._said(what)
        return said if isinstance(said, str) else ""

    def cost(self, what: Hop | Placement) -> float:
        """Return what a hop or a placement costs more, never less than 0."""
        said = self._said(what)
        return 0.0 if isinstance(said, str) else max(0.0, float(said))

    @property
    def words(self) -> str:
        """Return its name and version, for messages."""
        return f"rule {self.name} {self.version}"

    def _said(self, what: Hop | Placement) -> str | float:
        if (self.on == "hop") != isinstance(what, Hop) or not self.speaks(what.leg):
            return 0.0
        try:
            said = self.ask(what)
        except Exception as error:
            raise PluginError(f"routing {self.words} raised {type(error).__name__} at {what}: {error}") from error
        if said is None or said is False or said == "":
            return 0.0
        if said is True or not isinstance(said, (str, int, float)):
            raise PluginError(f"routing {self.words} answered {said!r}; a text forbids, a number costs, None is fine")
        return said


def routing_rule(
    *, name: str, version: str, on: str = "hop", signals: str | Iterable[str] | None = None
) -> Callable[[Callable[[Any], str | float | None]], RoutingRule]:
    """Return a decorator that makes a routing rule of a function; `on` is `hop` or `placement`.

    The function gets a `Hop` or a `Placement` and returns a text (forbidden, and why), a number (a cost; a hop along a
    link costs 1) or None.  `signals` are ids of signals or legs it is asked about; absent, all.  The rule takes part
    where it is passed: `solve(..., rules=[rule])`, `verify(..., rules=[rule])`.
    """
    if on not in ("hop", "placement"):
        raise ValueError(f"on={on!r}; write hop or placement")
    legs = None if signals is None else frozenset((signals,) if isinstance(signals, str) else signals)

    def make(ask: Callable[[Any], str | float | None]) -> RoutingRule:
        return RoutingRule(name, version, on, ask, legs)

    return make


@attrs.frozen
class Rules:
    """Every rule that takes part, and what hangs on what in the rig."""

    declared: tuple[Declared, ...]
    written: tuple[RoutingRule, ...]
    supplies: dict[str, tuple[str, ...]]
    """Device or link to the tags that go down with it together: `supply A`, `run duct2`."""

    def names(self) -> tuple[str, ...]:
        """Return the rules by name and version, for the patch."""
        shown = tuple(rule.name for rule in self.declared if rule.row.startswith("routing"))
        return (*shown, *(f"{rule.name} {rule.version}" for rule in self.written))

    def leans_on(self, trail: Trail, but: frozenset[str]) -> dict[str, str]:
        """Return what a delivery dies with, by name, and through what; the devices `but` are left out."""
        found: dict[str, str] = {}
        for thing in trail.things():
            if thing not in but:
                found.setdefault(thing, thing)
                for tag in self.supplies.get(thing, ()):
                    found.setdefault(tag, thing)
        return found

    def common_ends(self, one: Trail, other: Trail) -> frozenset[str]:
        """Return the devices two deliveries cannot help sharing: the one both end at, and of feeds the one both begin at."""
        ends = {one.devices[-1]} & {other.devices[-1]}
        if one.feed and other.feed:
            ends |= {one.devices[0]} & {other.devices[0]}
        return frozenset(ends)

    def clash(self, rule: Declared, one: Trail, other: Trail) -> tuple[str, ...]:
        """Return what is wrong between two deliveries; empty when nothing is.

        Deliveries are compared that end in one list, or that both end at destinations of feeds.
        """
        if one.to != other.to and not (one.feed and other.feed):
            return ()
        if rule.places is not None:
            on = [(place.texts[0], place.on(one), place.on(other)) for place in rule.places.each()]
            if rule.kind == "disjoint":
                return tuple(text for text, here, there in on if here and there)
            return tuple(text for text, here, there in on if here != there) if rule.kind == "together" else ()
        if rule.kind == "disjoint":
            ends = self.common_ends(one, other)
            mine, theirs = self.leans_on(one, ends), self.leans_on(other, ends)
            return tuple(name for name, thing in mine.items() if name in theirs and (name == thing or thing not in theirs))
        if rule.kind == "together":
            first, second = one.things(), other.things()
            lone = (*(thing for thing in first if thing not in second), *(thing for thing in second if thing not in first))
            return lone or (() if first == second else ("the order they pass them in",))
        return ()


def rules_of(rig: Rig, show: Show, rules: Sequence[Any] = ()) -> Rules | None:
    """Return the rules a show names and those passed; None when there are none.

    `rules` are `RoutingRule`s, `Routing` rows, or rules that steer by one.  Raises PluginError for anything else.
    """
    rows = list(show.routing)
    written = []
    for passed in rules:
        rule = getattr(passed, "steers", None) or passed  # a rule that judges may steer by another
        if isinstance(rule, Routing):
            rows.append(rule)
        elif isinstance(rule, RoutingRule):
            written.append(rule)
        else:
            name = getattr(rule, "__name__", rule)
            raise PluginError(f"{name!r} is no routing rule; put @routing_rule(name=..., version=...) over the function")
    links = frozenset(link.id for link in rig.links)
    declared = [_routing(show, row, number, links) for number, row in enumerate(rows)]
    for number, group in enumerate(show.groups):
        if group.relation in _RELATIONS:
            path = f"groups[{number}]"
            kind = _RELATIONS[group.relation]
            declared.append(Declared(group.id or path, kind, path, _sides(show, group.of), why=group.notes))
    declared += _survivals(show, links)
    declared = [rule for rule in declared if rule.sides]
    if not declared and not written and not (show.wishes is not None and show.wishes.prefer):
        return None
    return Rules(tuple(declared), tuple(written), _supplies(rig))


def _routing(show: Show, row: Routing, number: int, links: frozenset[str]) -> Declared:
    lists = None
    if row.positions:
        lists = frozenset(
            [item.id for item in show.lists if item.position in row.positions]
            + [feed.id for feed in show.feeds if feed.mixed_at in row.positions]
        )
    places = _places(row.at, links) if row.at else None
    return Declared(row.id, row.rule, f"routing[{number}]", _sides(show, row.signals), places, lists, row.why)


def _sides(show: Show, names: Sequence[str]) -> tuple[frozenset[str], ...]:
    """Return the legs of each signal named that is in use."""
    signals = show.signals()
    found = []
    for name in names:
        item = signals.get(name.partition(".")[0])
        if item is not None:
            found.append(frozenset((name,) if "." in name else item.leg_ids()))
    return tuple(found)


def _survivals(show: Show, links: frozenset[str]) -> list[Declared]:
    """Return a rule for each loss something must outlive."""
    rows = [(f"lists.{item.id}", item.id, _wanted(show, item.wants), item.survives) for item in show.lists if item.survives]
    rows += [(f"feeds.{feed.id}", feed.id, list(feed.leg_ids()), feed.survives) for feed in show.feeds if feed.survives]
    found = []
    for path, key, legs, losses in rows:
        for number, row in enumerate(losses):
            side = frozenset(leg for leg in legs if leg not in row.except_ and leg.partition(".")[0] not in row.except_)
            if side:
                lost = _places((row.loss_of,), links)
                name = f"{key} survives the loss of {row.loss_of}"
                found.append(Declared(name, "survive", f"{path}.survives[{number}]", (side,), lost, frozenset((key,))))
    return found


def _wanted(show: Show, wants: Iterable[Want | None]) -> list[str]:
    signals = show.signals()
    return [leg for want in wants if want is not None and want.signal in signals for leg in signals[want.signal].leg_ids()]


def _places(texts: Iterable[str], links: frozenset[str]) -> Places:
    texts = tuple(texts)
    spans = []
    for text in texts:
        if text not in links:
            try:
                spans.append(parse(text))
            except AddressError:
                continue
    return Places(texts, frozenset(text for text in texts if text in links), tuple(spans))


def _supplies(rig: Rig) -> dict[str, tuple[str, ...]]:
    """Return what else goes down with what a device or a link hangs on.

    A link of several cables goes down with a tag only when all of them have it.
    """
    found: dict[str, tuple[str, ...]] = {key: (f"supply {device.power}",) for key, device in rig.devices.items() if device.power}
    for link in rig.links:
        tags = [
            {f"{word} {tag}" for word, tag in (("run", cable.route), ("supply", cable.power)) if tag} for cable in link.cables
        ]
        common = set.intersection(*tags) if tags else set()
        if common:
            found[f"link {link.id}"] = tuple(sorted(common))
    return found
