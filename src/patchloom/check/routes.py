"""Whether the routes, written for people, say what the selections do.

Comes in: a `Scene` whose deliveries are known.  Goes out: items.  Next: `verify`.
"""

from __future__ import annotations

from patchloom.check.deliver import disagreement, diverges
from patchloom.check.scene import Scene
from patchloom.model.patch import Route

__all__ = ["check_routes"]


def check_routes(scene: Scene) -> None:
    """Check every route hop by hop, and that every right delivery has one."""
    for route in scene.setting.routes:
        if _known(scene, route):
            number = diverges(scene, route)
            if number is not None and not _told(scene, route):
                item = disagreement(scene, route, number)
                item.behind.setdefault(f"{route.to}: {route.leg}")
    ends = {(route.leg, route.hops[-1]) for route in scene.setting.routes if route.hops}
    bare = [(leg, node.slot) for leg, _, node in scene.delivered if (leg, node.slot) not in ends]
    if bare:
        leg, place = bare[0]
        more = f", nor for {len(bare) - 1} more" if len(bare) > 1 else ""
        scene.report.add("route-missing", f"No route is written for {leg} to {place}{more}.", *dict.fromkeys(leg for leg, _ in bare),
                         numbers=(("deliveries", len(bare)),))


def _known(scene: Scene, route: Route) -> bool:
    """Return whether a route speaks of something there is; note it where it does not."""
    words = _unknown(scene, route)
    if words:
        scene.report.add("route-unknown", words, route.to, route.leg, key=(route.to, route.entry, route.leg, route.alternate))
    return not words


def _unknown(scene: Scene, route: Route) -> str:
    if not route.hops:
        return f"The route of {route.leg} to {route.to} has no hops."
    for place in route.hops:
        if not scene.ground.known(place.device, place.bank):
            return f"The route of {route.leg} to {route.to} passes {place}, which is not there."
    item = next((item for item in scene.show.lists if item.id == route.to), None)
    if item is not None:
        want = item.wants[route.entry - 1] if 1 <= route.entry <= len(item.wants) else None
        if want is None:
            return f"A route leads {route.leg} to entry {route.entry} of {route.to}, which is empty or not there."
        signal = want.alternate if route.alternate else want.signal
        legs = scene.legs(signal, "" if route.alternate else want.leg)
        return "" if route.leg in legs else f"A route leads {route.leg} to entry {route.entry} of {route.to}, which wants {signal}."
    feed = next((feed for feed in scene.show.feeds if feed.id == route.to), None)
    if feed is None:
        return f"A route leads {route.leg} to {route.to}, which is no list or feed of this period."
    if not 1 <= route.entry <= len(feed.to) or route.leg not in feed.leg_ids():
        return f"A route leads {route.leg} to destination {route.entry} of {route.to}, which has no such leg or destination."
    return ""


def _told(scene: Scene, route: Route) -> bool:
    """Return whether something already found speaks of this delivery: its root, or the want itself."""
    name = f"{route.to}: {route.leg}"
    return any(name in item.behind or (item.where[:1] == (route.to,) and route.leg in item.where) for item in scene.report.items())
