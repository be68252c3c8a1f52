"""Whether the routes, written for people, say what the selections do.

Comes in: a `Scene` whose deliveries are known.  Goes out: items.  Next: `verify`.
"""

from __future__ import annotations

from operator import itemgetter
from typing import Any, NamedTuple

from patchloom.check.deliver import disagreement, diverges
from patchloom.check.scene import Scene
from patchloom.model.patch import Route
from patchloom.model.show import Feed, List

__all__ = ["check_routes", "follow_routes"]

_FEW = 3
"""Up to so many routes along the same banks are followed one by one."""


class _Alike(NamedTuple):
    """Routes along the same banks: their places among all routes, themselves, the numbers of their slots."""

    places: list[int]
    routes: list[Route]
    numbers: list[tuple[int, ...]]


def follow_routes(scene: Scene) -> None:
    """Follow every route that speaks of something there is: what it leads to need not be walked again."""
    lists = {item.id: item for item in scene.show.lists}
    feeds = {feed.id: feed for feed in scene.show.feeds}
    alike: dict[Any, _Alike] = {}
    legs = {item.id: _plainly(scene, item) for item in scene.show.lists}
    nowhere: tuple[tuple[str, ...], ...] = ()
    for number, route in enumerate(scene.setting.routes):
        rest = legs.get(route.to, nowhere)
        quick = not route.alternate and 0 < route.entry <= len(rest) and route.leg in rest[route.entry - 1]
        words = "" if quick else _stray(scene, route, lists, feeds)
        if words:
            scene.stray[number] = words
        elif not route.hops:
            continue
        else:
            devices, banks, numbers = zip(*route.hops, strict=True)
            rows = alike.get((devices, banks, route.alternate))
            if rows is None:  # the first of its kind is followed by itself, and shows what its banks do with it
                alike[devices, banks, route.alternate] = _Alike([], [], [])
                _follow(scene, number, route)
            else:
                rows.places.append(number)
                rows.routes.append(route)
                rows.numbers.append(numbers)
    alone: list[tuple[int, Route]] = []
    for rows in alike.values():
        nodes = scene.signals.follow_alike(rows.routes, rows.numbers) if len(rows.routes) > _FEW else None
        if nodes is None:
            alone.extend(zip(rows.places, rows.routes, strict=True))
        else:
            scene.followed.update(zip(rows.places, nodes, strict=True))
    for number, route in sorted(alone, key=itemgetter(0)):
        _follow(scene, number, route)


def _follow(scene: Scene, number: int, route: Route) -> None:
    node = scene.signals.follow(route)
    if node is not None:
        scene.followed[number] = node
    elif scene.ground.known(route.hops[-1].device, route.hops[-1].bank):
        scene.signals.at(route.hops[-1], route.alternate)


def _plainly(scene: Scene, item: List) -> tuple[tuple[str, ...], ...]:
    """Return the legs each entry of a list wants, none where it wants one leg only or is empty: those `_stray` looks into."""
    return tuple(scene.legs(want.signal) if want is not None and not want.leg else () for want in item.wants)


def check_routes(scene: Scene) -> None:
    """Check every route hop by hop, and that every right delivery has one."""
    for number, route in enumerate(scene.setting.routes):
        if number in scene.followed:
            continue
        agrees = _agrees(scene, route)
        words = ("" if agrees else _nowhere(scene, route)) or scene.stray.get(number)
        if words:
            key = (route.to, route.entry, route.leg, route.alternate)
            scene.report.add("route-unknown", words, route.to, route.leg, key=key)
        elif not agrees:
            hop = diverges(scene, route)
            if hop is not None and not _told(scene, route):
                item = disagreement(scene, route, hop)
                item.behind.setdefault(f"{route.to}: {route.leg}")
    followed = set(map(id, scene.followed.values()))
    bare = [(leg, node.slot) for leg, _, node in scene.delivered if id(node) not in followed]
    if bare:
        ends = {(route.leg, route.hops[-1]) for route in scene.setting.routes if route.hops}
        bare = [row for row in bare if row not in ends]
    if bare:
        leg, place = bare[0]
        more = f", nor for {len(bare) - 1} more" if len(bare) > 1 else ""
        scene.report.add(
            "route-missing",
            f"No route is written for {leg} to {place}{more}.",
            *dict.fromkeys(leg for leg, _ in bare),
            numbers=(("deliveries", len(bare)),),
        )


def _agrees(scene: Scene, route: Route) -> bool:
    """Return whether a route is, hop by hop, the way the signal takes; quicker than finding where it is not."""
    hops = route.hops
    if not hops or not scene.ground.known(hops[-1].device, hops[-1].bank):
        return False
    start = scene.signals.full(scene.signals.at(hops[-1], route.alternate))
    for place in hops[-2::-1]:
        up = start.up
        if up is None or up.slot != place:
            return False
        start = up
    return start.up is None and start.feeder is not None and start.feeder.leg == route.leg


def _nowhere(scene: Scene, route: Route) -> str:
    if not route.hops:
        return f"The route of {route.leg} to {route.to} has no hops."
    for place in route.hops:
        if not scene.ground.known(place.device, place.bank):
            return f"The route of {route.leg} to {route.to} passes {place}, which is not there."
    return ""


def _stray(scene: Scene, route: Route, lists: dict[str, List], feeds: dict[str, Feed]) -> str:
    item = lists.get(route.to)
    if item is not None:
        want = item.wants[route.entry - 1] if 1 <= route.entry <= len(item.wants) else None
        if want is None:
            return f"A route leads {route.leg} to entry {route.entry} of {route.to}, which is empty or not there."
        signal = want.alternate if route.alternate else want.signal
        legs = scene.legs(signal, "" if route.alternate else want.leg)
        return (
            "" if route.leg in legs else f"A route leads {route.leg} to entry {route.entry} of {route.to}, which wants {signal}."
        )
    feed = feeds.get(route.to)
    if feed is None:
        return f"A route leads {route.leg} to {route.to}, which is no list or feed of this period."
    if not 1 <= route.entry <= len(feed.to) or route.leg not in feed.leg_ids():
        return f"A route leads {route.leg} to destination {route.entry} of {route.to}, which has no such leg or destination."
    return ""


def _told(scene: Scene, route: Route) -> bool:
    """Return whether something already found speaks of this delivery: its root, or the want itself."""
    name = f"{route.to}: {route.leg}"
    return any(
        name in item.behind or (item.where[:1] == (route.to,) and route.leg in item.where) for item in scene.report.items()
    )
