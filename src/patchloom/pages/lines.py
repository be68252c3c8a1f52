"""The lines of a show: every leg that is plugged, who hears it on which channel, and the orders people work in.

Comes in: a `View`.  Goes out: legs in order, short texts for cells, what a page touches.  Next: paper plugins.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from patchloom.address import Slot
from patchloom.model.show import List, Show
from patchloom.pages.view import View, list_id

__all__ = ["channel_order", "channels", "head", "list_name", "pair_of", "plugged", "short_length", "touching", "walking_order"]

_LABEL = 12


def plugged(view: View) -> list[tuple[str, Slot]]:
    """Return every source leg that is plugged, with its socket, in the order of the show's sources."""
    order = {leg: place for place, leg in enumerate(leg for row in view.show.sources for leg in row.leg_ids())}
    return sorted(view.setting.plugs.items(), key=lambda item: (order.get(item[0], len(order)), item[0]))


def channels(view: View, row: List, leg: str) -> str:
    """Return the channels of a list that hear a leg, `12` or `12 alt`; several are parted by `+`, none is empty."""
    key, other = list_id(row), f" {view.say('alt')}"
    found = [
        f"{view.mark(route.hops[-1])}{other if route.alternate else ''}"
        for route in view.routes_of(leg)
        if route.to == key and route.hops
    ]
    return "+".join(dict.fromkeys(found))


def head(row: List) -> str:
    """Return the short head of a list's column."""
    return list_id(row).upper()


def list_name(view: View, row: List) -> str:
    """Return what people call a list."""
    return row.name or view.position(row.position).name or list_id(row)


def pair_of(leg: str) -> str:
    """Return the signal whose legs stay together, empty for a leg that stands alone."""
    return leg.split(".")[0] if "." in leg else ""


def _main_list(show: Show) -> List | None:
    """Return the list that channel order goes by: that of a house desk, else the first."""
    house = [row for row in show.lists if show.position(row.position).kind == "foh"]
    return next(iter([*house, *show.lists]), None)


def channel_order(view: View) -> tuple[tuple[str, Slot], ...]:
    """Return the plugged legs in the order of the house desk's channels; what it does not hear comes after."""
    row = _main_list(view.show)
    place: dict[str, int] = {}
    if row is not None:
        for route in view.setting.routes:
            if route.to == list_id(row) and route.hops and not route.alternate:
                place.setdefault(route.leg, route.hops[-1].number)
    lines = plugged(view)
    return tuple(sorted(lines, key=lambda line: place.get(line[0], len(place) + 10_000)))


def walking_order(view: View) -> tuple[tuple[str, Slot], ...]:
    """Return the plugged legs zone by zone in walking order, in each by box and socket; without a zone, last."""
    zones = view.show.stage.zones if view.show.stage is not None else {}
    devices = {key: place for place, key in enumerate(view.rig.devices)}

    def key(line: tuple[str, Slot]) -> tuple[object, ...]:
        leg, at = line
        source = view.source(leg)
        zone = source.zone if source else ""
        row = zones.get(zone)
        order = row.order if row is not None and row.order is not None else len(zones) + 1
        return (not zone, order, zone, devices.get(at.device, 0), at.bank, at.number)

    return tuple(sorted(view.setting.plugs.items(), key=key))


def short_length(view: View, row: List | None = None) -> int:
    """Return how many characters a short name may have: what was asked for, else what the desk says, else twelve."""
    if view.options.short is not None:
        return view.options.short
    if row is None:
        return _LABEL
    run = view.run(row)
    bank = view.bank(run[0].device, run[0].bank) if run else None
    return view.position(row.position).label_length or (bank.label_length if bank else None) or _LABEL


def touching(view: View, legs: Iterable[str], *more: str) -> tuple[str, ...]:
    """Return what a page about some legs touches: `more`, the legs, their signals, the devices they pass, lists they reach."""
    return tuple(dict.fromkeys([*(key for key in more if key), *_of_legs(view, tuple(dict.fromkeys(legs)))]))


def _of_legs(view: View, legs: tuple[str, ...]) -> Iterator[str]:
    for leg in legs:
        yield leg
        yield leg.split(".")[0]
        for route in view.routes_of(leg):
            yield from (at.device for at in route.hops)
