"""Whether one leg is at one slot, and if not, what to call that.

Comes in: a `Scene`, the slot, the leg, what a copy may come after.  Goes out: right deliveries in `scene.delivered`,
items for the others, folded under the choice that sends the wrong thing wherever one is to blame.
Next: `wants`, `destinations`.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.check.report import Item
from patchloom.check.scene import Scene, may_come_after
from patchloom.check.signals import Node
from patchloom.model.patch import Route

__all__ = ["Wanted", "blame_route", "disagreement", "diverges", "swapped", "take", "take_from"]


class Wanted:
    """One leg wanted at one slot."""

    __slots__ = ("allow", "alternate", "entry", "feed", "leg", "must", "place", "position", "to")

    def __init__(
        self,
        leg: str,
        to: str,
        entry: int,
        place: Slot,
        position: str,
        allow: str,
        feed: bool,
        must: bool,
        alternate: bool = False,
    ) -> None:
        self.leg = leg
        self.to = to
        self.entry = entry
        self.place = place
        self.position = position
        self.allow = allow
        self.feed = feed
        self.must = must
        self.alternate = alternate

    @property
    def name(self) -> str:
        """Return how patches and findings call it."""
        return f"{self.to}: {self.leg}"


def take(scene: Scene, wanted: Wanted) -> Node | None:
    """Return the node when the leg is at its slot and may be taken there, and remember it as delivered."""
    node = scene.signals.at(wanted.place, wanted.alternate)
    return node if take_from(scene, wanted, node) else None


def take_from(scene: Scene, wanted: Wanted, node: Node) -> bool:
    """Return whether the leg is at the node of its slot, and remember it as delivered; note a tap it may not come by."""
    if node.leg != wanted.leg:
        return False
    if node.after:
        feed_limit = scene.feeds[wanted.leg].tap if wanted.feed else ""
        if not may_come_after(node.after, wanted.allow, wanted.feed) or not may_come_after(node.after, feed_limit, True):
            _tap(scene, wanted, node)
    scene.delivered.append((wanted.leg, wanted.position, node))
    return True


def _tap(scene: Scene, wanted: Wanted, node: Node) -> None:
    rule = "tap-not-allowed" if wanted.feed else "tap-not-raw"
    at = node.tapped or node.slot
    feeder = scene.feeders.of(at)
    tap = feeder.choice.tap if feeder and feeder.choice else ""
    item = scene.report.add(
        rule,
        f"{at} takes {feeder.source if feeder else at} at tap {tap or '(wired)'}, after {', '.join(node.after)}.",
        _choice(scene, at) or at,
        numbers=(("after", ", ".join(node.after)),),
    )
    item.behind.setdefault(wanted.name)


def blame_route(scene: Scene, wanted: Wanted) -> bool:
    """Fold a want under the choice on its route that sends something else; return False where there is none."""
    for route in scene.routes.get((wanted.to, wanted.entry, wanted.leg, wanted.alternate), ()):
        item = _divergence(scene, route)
        if item is not None:
            item.behind.setdefault(wanted.name)
            return True
    return False


def _divergence(scene: Scene, route: Route) -> Item | None:
    """Return the item for the first hop of a route, the last one aside, that the selections do not make."""
    number = diverges(scene, route)
    if number is None or number == len(route.hops) - 1:
        return None
    return disagreement(scene, route, number)


def diverges(scene: Scene, route: Route) -> int | None:
    """Return the first hop of a route that is not fed by the hop before it (or its plug or mix); None when all are."""
    for number, place in enumerate(route.hops):
        feeder = scene.feeders.of(place, route.alternate and number == len(route.hops) - 1)
        if number == 0:
            if feeder is None or feeder.leg != route.leg:
                return 0
        elif feeder is None or feeder.source != route.hops[number - 1]:
            return number
    return None


def disagreement(scene: Scene, route: Route, number: int) -> Item:
    """Return the item for the hop of a route that the selections do not make."""
    place = route.hops[number]
    alternate = route.alternate and number == len(route.hops) - 1
    feeder = scene.feeders.of(place, alternate)
    blamed = scene.feeders.blame.get((place, alternate)) or (scene.signals.at(place, alternate).cause if feeder is None else None)
    if blamed is not None:
        return blamed
    if number == 0:
        other = feeder.leg if feeder is not None else ""
        there = f"{other or feeder.source} is there" if feeder is not None else "it does not enter there"
        return scene.report.add(
            "route-disagrees",
            f"Routes say {route.leg} enters at {place}, and {there}.",
            place,
            route.leg,
            key=tuple(sorted((route.leg, other))),
        )
    if not alternate and place in scene.told:
        return scene.told[place]
    before = route.hops[number - 1]
    chosen = _choice(scene, place)
    if feeder is not None and feeder.source is not None:
        told = f"{place} takes {feeder.source}"
    else:
        told = f"{place} takes nothing"
    key = chosen or f"{place.device}.{place.bank} from {before.device}.{before.bank}"
    item = scene.report.add("route-disagrees", f"{told}, where routes say {before}.", chosen or place, before, key=key)
    if not alternate:
        scene.told[place] = item
    return item


def swapped(scene: Scene, one: Wanted, other: Wanted) -> None:
    """Note two legs that arrive in each other's place; both their lists and feeds are folded under the one finding."""
    legs = sorted((one.leg, other.leg))
    places = sorted((one.place, other.place))
    item = scene.report.add(
        "legs-swapped",
        f"{legs[0]} and {legs[1]} arrive the wrong way round, first seen on {places[0]} and {places[1]}.",
        *legs,
    )
    item.behind.setdefault(f"{one.to}: {legs[0]}")
    item.behind.setdefault(f"{one.to}: {legs[1]}")


def _choice(scene: Scene, place: Slot) -> str:
    feeder = scene.feeders.of(place)
    return str(feeder.choice.into) if feeder is not None and feeder.choice is not None else ""
