"""Whether the routes, written for people, say what the selections do.

Comes in: a `Scene` whose deliveries are known.  Goes out: items.  Next: `verify`.
"""

from __future__ import annotations

from patchloom.check.deliver import disagreement, diverges
from patchloom.check.scene import Scene
from patchloom.model.patch import Route
from patchloom.model.show import Feed, List

__all__ = ["check_routes"]


def check_routes(scene: Scene) -> None:
    """Check every route hop by hop, and that every right delivery has one."""
    lists = {item.id: item for item in scene.show.lists}
    feeds = {feed.id: feed for feed in scene.show.feeds}
    for route in scene.setting.routes:
        agrees = _agrees(scene, route)
        if _known(scene, route, lists, feeds, agrees) and not agrees:
            number = diverges(scene, route)
            if number is not None and not _told(scene, route):
                item = disagreement(scene, route, number)
                item.behind.setdefault(f"{route.to}: {route.leg}")
    ends = {(route.leg, route.hops[-1]) for route in scene.setting.routes if route.hops}
    bare = [(leg, node.slot) for leg, _, node in scene.delivered if (leg, node.slot) not in ends]
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
    start = scene.signals.at(hops[-1], route.alternate)
    for place in hops[-2::-1]:
        up = start.up
        if up is None or up.slot != place:
            return False
        start = up
    return start.up is None and start.feeder is not None and start.feeder.leg == route.leg


def _known(scene: Scene, route: Route, lists: dict[str, List], feeds: dict[str, Feed], agrees: bool) -> bool:
    """Return whether a route speaks of something there is; note it where it does not."""
    words = ("" if agrees else _nowhere(scene, route)) or _stray(scene, route, lists, feeds)
    if words:
        scene.report.add("route-unknown", words, route.to, route.leg, key=(route.to, route.entry, route.leg, route.alternate))
    return not words


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
