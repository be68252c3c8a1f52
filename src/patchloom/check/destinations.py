"""Whether every feed arrives where it must, its legs in order.

Comes in: a `Scene`.  Goes out: items, and the deliveries that are right.  Next: `routes`.

A destination that names a run as long as the feed has legs is a fixed place.  One that leaves a choice is met
when each leg arrives in the choice, on slots no other destination of the feed counts, in rising order on one bank.
"""

from __future__ import annotations

from patchloom.address import Slot
from patchloom.check.deliver import Wanted, blame_route, swapped, take
from patchloom.check.scene import Scene
from patchloom.check.signals import Node
from patchloom.model.show import Destination, Feed

__all__ = ["check_destinations"]


def check_destinations(scene: Scene) -> None:
    """Check every destination of every feed of the period."""
    for feed in scene.show.feeds:
        used: set[Slot] = set()
        for number, destination in enumerate(feed.to, 1):
            _check(scene, feed, number, destination, used)


def _check(scene: Scene, feed: Feed, number: int, destination: Destination, used: set[Slot]) -> None:
    legs = feed.leg_ids()
    allowed = scene.slots(destination.at, "out")
    must = destination.priority is None
    fixed = len(allowed) == len(legs)
    lost: list[Wanted] = []
    before = len(scene.delivered)
    for step, leg in enumerate(legs):
        place = allowed[step] if fixed else _place(scene, feed, number, leg, allowed, used)
        wanted = Wanted(leg, feed.id, number, place or Slot("?", "?", 1), feed.mixed_at, feed.tap, True, must)
        if not must and not fixed and wanted.name in scene.setting.unmet:
            continue  # what is given up takes no place from another
        if place is not None and take(scene, wanted) is not None:
            used.add(place)
        elif must or wanted.name not in scene.setting.unmet:
            lost.append(wanted)
    if lost:
        _explain(scene, feed, destination, lost, allowed, fixed)
    elif not fixed and len(scene.delivered) - before == len(legs):
        _order(scene, feed, number)


def _place(scene: Scene, feed: Feed, number: int, leg: str, allowed: list[Slot], used: set[Slot]) -> Slot | None:
    """Return where a leg arrives inside a choice: where its route says, else the first place it is found."""
    choice = dict.fromkeys(allowed)
    for route in scene.routes.get((feed.id, number, leg, False), ()):
        if route.hops and route.hops[-1] in choice and route.hops[-1] not in used and scene.signals.at(route.hops[-1]).leg == leg:
            return route.hops[-1]
    return next((place for place in allowed if place not in used and scene.signals.at(place).leg == leg), None)


def _order(scene: Scene, feed: Feed, number: int) -> None:
    legs = feed.leg_ids()
    count = len(legs)
    places = [node.slot for _, _, node in scene.delivered[-count:]]
    if count > 1 and len({place[:2] for place in places}) == 1 and places != sorted(places):
        scene.report.add(
            "legs-swapped",
            f"{feed.id} arrives with its legs out of order, on "
            f"{', '.join(f'{leg} {place}' for leg, place in zip(legs, places, strict=True))}.",
            feed.id,
            *legs,
            key=(feed.id, number),
        )


def _explain(scene: Scene, feed: Feed, destination: Destination, lost: list[Wanted], allowed: list[Slot], fixed: bool) -> None:
    where = ", ".join(destination.at)
    got = {row.leg: scene.signals.at(row.place).leg for row in lost} if fixed else {}
    rows = {row.leg: row for row in lost}
    for row in lost:
        if not row.must:
            scene.report.add(
                "wish-unsaid", f"{row.name} is a wish, is not carried, and the patch does not say so.", row.to, row.leg
            )
            continue
        strayed = _strayed(scene, row, allowed)
        if strayed is not None:
            scene.report.add(
                "feed-wrong-place", f"{row.leg} is led to {strayed}; its destination is {where}.", feed.id, row.leg, strayed
            )
            continue
        node = scene.signals.at(row.place) if fixed else _routed(scene, row)
        if scene.fold(row.name, node, row.leg):
            continue
        if fixed and got[row.leg] in got and got.get(got[row.leg]) == row.leg:
            swapped(scene, row, rows[got[row.leg]])
        elif blame_route(scene, row):
            continue
        elif fixed and got[row.leg]:
            scene.report.add(
                "wrong-signal", f"{row.place} should have {row.leg} and has {got[row.leg]}.", feed.id, row.leg, row.place
            )
        else:
            there = row.place if fixed else where
            bank = f"{row.place.device}.{row.place.bank}" if fixed else where
            found = scene.report.add("feed-not-delivered", f"{row.leg} does not arrive at {there}.", row.leg, there, key=bank)
            if found.where[0] != row.leg:
                found.behind.setdefault(row.name)


def _strayed(scene: Scene, row: Wanted, allowed: list[Slot]) -> Slot | None:
    """Return where a route and the selections agree to lead a leg, when that is outside its destination."""
    for route in scene.routes.get((row.to, row.entry, row.leg, False), ()):
        last = route.hops[-1] if route.hops else None
        if (
            last is not None
            and last not in allowed
            and scene.ground.known(last.device, last.bank)
            and scene.signals.at(last).leg == row.leg
        ):
            return last
    return None


def _routed(scene: Scene, row: Wanted) -> Node | None:
    for route in scene.routes.get((row.to, row.entry, row.leg, False), ()):
        if route.hops and scene.ground.known(route.hops[-1].device, route.hops[-1].bank):
            return scene.signals.at(route.hops[-1])
    return None
