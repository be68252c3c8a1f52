"""A box without a spare line, or with one that does not get to every desk.

What it says: for every stage box with something plugged in, that no input socket is left free; or that free ones are
left and none of them gets to a desk that hears the box and mixes for the stage or the house.  Spares the show declares
are held to that by `verify`.
Why: a free line that is patched through is the two-minute save.
When it is no fault: a second box stands beside it with lines to spare, or the spare is a loose cable to the desk.
What data it needs: nothing but rig and patch.
What to do: keep one line free, better two or one in ten; patch it through to every desk and check it with the others.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["spare_line_per_box"]


def spare_line_per_box(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each box with no free line, or none that gets to desks that hear the box."""
    tally = Tally("spare-line-per-box", show, patch)
    far: dict[str, dict[str, list[str]]] = {}
    for look in looks(rig, show, patch):
        boxes = dict.fromkeys(place.device for place in look.setting.plugs.values() if look.type(place.device).role == "box")
        for box in boxes:
            tally.seen += 1
            for desk in _box(tally, look, box):
                far.setdefault(box, {}).setdefault(desk, []).append(look.period)
    for box, desks in far.items():
        words = (desk + tally.when(acts) for desk, acts in desks.items())
        tally.found("", f"None of the free lines of {box} gets to {', nor to '.join(words)}.", box, *desks)
    yield from tally.told("nothing is plugged into a stage box")


def _box(tally: Tally, look: Look, box: str) -> list[str]:
    """Return the desks that hear a box and that none of its free lines gets to; a box with none is said at once."""
    sockets = [
        place
        for bank in look.type(box).banks.values()
        if bank.socket == "in" and not bank.only_for
        for place in look.slots(f"{box}.{bank.id}")
    ]
    free = [place for place in sockets if look.feeder(place) is None]
    if not free:
        numbers = (("sockets", len(sockets)), ("free", 0))
        tally.found(look.period, f"{box} has no free line: all {len(sockets)} inputs are in use.", box, numbers=numbers)
        return []
    there = _devices(look, free)
    return [desk for desk in _hear(look, box) if desk not in there]


def _hear(look: Look, box: str) -> list[str]:
    """Return the desks that hear something of a box, of those who mix for stage and house."""
    live = {desk for position, desk in look.desks.items() if look.show.position(position).kind in ("foh", "monitor", "other")}
    heard = (row.end.device for row in look.deliveries if row.want and row.hops[0].device == box)
    return [desk for desk in dict.fromkeys(heard) if desk in live]


def _devices(look: Look, places: list[Slot]) -> set[str]:
    """Return the devices something plugged into one of some sockets would get to, as everything is set."""
    seen = set(places)
    todo = list(places)
    while todo:
        for there in look.onward(todo.pop()):
            if there not in seen:
                seen.add(there)
                todo.append(there)
    return {place.device for place in seen}
