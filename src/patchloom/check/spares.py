"""Whether sockets said to be spare are free, and would reach whom they should.

Comes in: a `Scene`.  Goes out: items.  Next: `verify`.  A spare reaches a position when its slot is carried, as
things are set, to a slot that position's channels can choose from (or to a channel itself).
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot, parse, slot
from patchloom.check.report import Item
from patchloom.check.scene import Scene
from patchloom.errors import AddressError

__all__ = ["check_spares"]


def check_spares(scene: Scene) -> None:
    """Check every declared spare."""
    if not scene.setting.spares:
        return
    wishes = scene.show.wishes.spare if scene.show.wishes else ()
    plugged = {place: leg for leg, place in scene.setting.plugs.items()}
    onward = _onward(scene)
    for text in scene.setting.spares:
        try:
            place = slot(text)
        except AddressError:
            place = Slot("", "", 0)
        rows = [row for row in wishes if any(parse(address).holds(place) for address in row.at)]
        kind = scene.ground.bank(place.device, place.bank)
        if kind is None or kind.socket != "in" or place.number > (scene.ground.size(place.device, place.bank) or 0) or not rows:
            scene.report.add("spare-not-free", f"{text} is said to be spare; no spare was asked for there.", text)
        elif place in plugged:
            scene.report.add(
                "spare-not-free",
                f"{scene.ground.say(place)} is said to be spare and holds {plugged[place]}.",
                text,
                plugged[place],
            )
        else:
            _check_reach(scene, place, {position for row in rows for position in row.reaching}, onward)


def _check_reach(scene: Scene, place: Slot, positions: set[str], onward: dict[Slot, list[Slot]]) -> None:
    if not positions:
        return
    reached = {place}
    todo = [place]
    for here in todo:
        for there in (*onward.get(here, ()), *_always(scene, here)):
            if there not in reached:
                reached.add(there)
                todo.append(there)
    for position in sorted(positions):
        if not any(_would_reach(scene, item.at, reached) for item in scene.show.lists if item.position == position):
            lost = _root(scene, position)
            if lost is not None:
                lost.behind.setdefault(f"spare {place} for {position}")
                continue
            scene.report.add(
                "spare-not-reaching",
                f"{scene.ground.say(place)} is kept as a spare for {position}; a source plugged there would "
                f"not reach {position}.",
                place,
                position,
            )


def _root(scene: Scene, position: str) -> Item | None:
    """Return the item of a wrong choice on a position's devices, behind which a spare that does not reach it is folded."""
    devices = {parse(item.at).device for item in scene.show.lists if item.position == position}
    wrong = [(place, item) for (place, _), item in scene.feeders.blame.items()] + list(scene.told.items())
    return next((item for place, item in wrong if place.device in devices), None)


def _onward(scene: Scene) -> dict[Slot, list[Slot]]:
    """Return where each slot is taken by choice."""
    found: dict[Slot, list[Slot]] = {}
    for place, feeder in scene.feeders.chosen():
        if feeder.source is not None:
            found.setdefault(feeder.source, []).append(place)
    return found


def _always(scene: Scene, here: Slot) -> Iterator[Slot]:
    """Yield where a slot is taken without any choice: wired rows and links."""
    ground = scene.ground
    banks = [(here.device, row.into.bank) for row in ground.rows_from(here.device, here.bank) if row.wired]
    name, _, side = here.bank.partition(".")
    for link, number in ground.joined.get((here.device, name), ()):
        other = ground.ends[link.id][1 - number]
        if other.device in scene.rig.devices:
            banks.append((other.device, f"{other.name}.in" if side == "out" else other.name))
    for device, bank in banks:
        for way in ground.ways(device, bank):
            number = way.first + here.number - way.start
            if (way.device, way.bank) == here[:2] and way.first <= number <= way.last:
                yield Slot(device, bank, number)


def _would_reach(scene: Scene, at: str, reached: set[Slot]) -> bool:
    """Return whether a list's bank is reached, or may choose a reached slot, there or where it is wired on from."""
    span = parse(at)
    if not scene.ground.known(span.device, span.bank or ""):
        return False
    banks = {(span.device, span.bank or "")}
    todo = list(banks)
    for device, bank in todo:
        for way in scene.ground.ways(device, bank):
            if (way.device, way.bank) not in banks:
                banks.add((way.device, way.bank))
                todo.append((way.device, way.bank))
    for place in reached:
        if span.holds(place) or ((place.device, place.bank) in banks and place.device != span.device):
            return True
        for device, bank in banks:
            if place.device == device and any(
                not row.wired
                and row.by == 1
                and any(run.bank == place.bank and _holds(scene, device, run, place.number) for run in row.sources)
                for row in scene.ground.rows_into(device, bank)
            ):
                return True
    return False


def _holds(scene: Scene, device: str, run: object, number: int) -> bool:
    low, high = scene.ground.bounds(device, run)  # type: ignore[arg-type]
    return low <= number <= high
