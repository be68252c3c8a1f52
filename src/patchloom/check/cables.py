"""How long each source's cable must be, and which of the store's cables are left for it.

Comes in: a look.  Goes out: `Run`s and counts.  Next: the rules on reach and on the pull list.

A run is the straight way on the plan, a fifth more for corners, and two metres for down from the stand and up to the
socket (common practice, no source).  Where a source has no place of its own, that of the thing on the stage it belongs to
counts, then the centre of its zone.  Radios come without a cable from where they are used.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, hypot
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.check.look import Look
from patchloom.model.rig import Rig, Stock
from patchloom.model.show import Source

__all__ = ["SLACK", "UP_AND_DOWN_M", "Places", "Run", "pieces", "runs", "stock_for", "stock_left"]

SLACK = 1.2
"""How much longer a cable is than the straight way (common practice, no source)."""
UP_AND_DOWN_M = 2.0
"""Metres more for down from the stand and up to the socket (common practice, no source)."""

At = tuple[float, ...]


class Run(NamedTuple):
    """One leg's cable from where it is used to its socket."""

    leg: str
    source: Source
    socket: Slot
    plan_m: float | None
    """Straight way on the plan; None where a place is unknown."""
    need_m: float | None
    """What is asked of a cable: what the show says, else from the plan."""
    zone: str
    """The zone whose middle stands for the place of source or box; empty where both places themselves are known."""


def runs(look: Look, places: Places | None = None) -> Iterator[Run]:
    """Yield the cable of every leg that is plugged in by one, in the order of the plugs."""
    places = places or Places(look)
    for leg, socket in look.setting.plugs.items():
        source = look.sources.get(leg)
        bank = look.ground.bank(socket.device, socket.bank)
        if source is None or bank is None or source.kind in ("radio", "talkback") or bank.only_for:
            continue
        here, zone = places.source(source)
        box, around = places.device(socket.device)
        plan = _apart(here, box)
        need = source.cable_m
        if need is None and plan is not None:
            need = plan * SLACK + UP_AND_DOWN_M
        yield Run(leg, source, socket, plan, need, zone or around)


class Places:
    """Where sources and devices stand on the plan of a period, in metres."""

    def __init__(self, look: Look) -> None:
        self._rig = look.rig
        stage = look.show.stage
        self._zones = stage.zones if stage is not None else {}
        self._things = {name: thing.at for thing in (stage.things if stage is not None else ()) for name in thing.sources}

    def source(self, source: Source) -> tuple[At | None, str]:
        """Return where a source is used, and the zone whose middle that is, where nothing nearer is known."""
        known = source.at or self._things.get(source.id)
        return (known, "") if known else (self._zone(source.zone), source.zone)

    def device(self, device: str) -> tuple[At | None, str]:
        """Return where a device stands, and the zone whose middle that is, where it has no place of its own."""
        place = self._rig.devices[device].place if device in self._rig.devices else None
        if place is None or place.at:
            return (place.at if place is not None else None), ""
        return self._zone(place.zone), place.zone

    def _zone(self, zone: str) -> At | None:
        found = self._zones.get(zone)
        return found.at if found is not None else None


def _apart(one: At | None, two: At | None) -> float | None:
    return None if one is None or two is None else hypot(one[0] - two[0], one[1] - two[1])


def stock_left(rig: Rig) -> dict[str, int]:
    """Return how many of each row of the store are left once the links have theirs; below nought where too many are taken."""
    left = {row.id: row.count for row in rig.stock}
    rows = {row.id: row for row in rig.stock}
    for link in rig.links:
        for cable in link.cables:
            if cable.stock in left:
                left[cable.stock] -= pieces(cable.length_m, rows[cable.stock])
    return left


def pieces(length_m: float | None, row: Stock) -> int:
    """Return how many of a row are joined to make a length."""
    return max(1, ceil(length_m / row.length_m)) if length_m and row.length_m else 1


def stock_for(rig: Rig, connector: str) -> list[Stock]:
    """Return the rows with a length whose two ends fit a socket, the shortest first."""
    rows = [
        row
        for row in rig.stock
        if row.length_m is not None and connector and row.connectors and all(end.startswith(connector) for end in row.connectors)
    ]
    return sorted(rows, key=lambda row: (row.length_m or 0, row.id))
