"""What moved between two answers: sockets, channels, link slots, counted apart.

Comes in: the setting before and the setting after, of one period.  Goes out: `Moves`.
Next: `solve/` keeps them few, papers and the command line say them.

A *line* is one leg delivered to one place: a list, or a destination of its feed.  Only a line that is there before and
after can move; what is asked for no more, or for the first time, does not count.  Dearest first:

- a *socket* moves when somebody has to walk: a source plugs elsewhere, or a feed arrives at another slot of its
  destination;
- a *channel* moves when somebody at a desk has to look elsewhere: a leg lands on another slot of a list, or a feed is
  mixed on another slot;
- a *link slot* moves when nobody sees it: a slot on the way, between the first and the last, carries a leg no more.  The two
  sides of a link count once, and each leg counts its own slots, so a block of eight that moves counts for every leg in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.model.patch import Route, Setting

__all__ = ["Move", "Moves", "lines", "moves"]


class Move(NamedTuple):
    """One leg that is elsewhere; `new` is None for a slot on the way, which is given up and not replaced one to one."""

    leg: str
    old: Slot
    new: Slot | None

    def __str__(self) -> str:
        return f"{self.leg}: {self.old} -> {self.new}" if self.new is not None else f"{self.leg}: no more over {self.old}"


class Moves(NamedTuple):
    """What moved, dearest first."""

    sockets: tuple[Move, ...]
    channels: tuple[Move, ...]
    link_slots: tuple[Move, ...]

    @property
    def cost(self) -> tuple[int, int, int]:
        """Return the three counts; compared in order, fewer is better."""
        return len(self.sockets), len(self.channels), len(self.link_slots)


_Key = tuple[str, str, bool]


def moves(before: Setting, after: Setting) -> Moves:
    """Return what moved from one setting to another; O(hops)."""
    sockets = [Move(leg, old, new) for leg, old in before.plugs.items() if (new := after.plugs.get(leg, old)) != old]
    channels = [Move(leg, old, new) for leg, old in before.mixes.items() if (new := after.mixes.get(leg, old)) != old]
    old_lines, new_lines = _by_line(before.routes), _by_line(after.routes)
    changed: dict[str, dict[Slot, None]] = {}
    for key, old in old_lines.items():
        new = new_lines.get(key)
        if new is None:
            continue
        leg, to, _ = key
        for was, now in _pairs(old, new):
            if was is now or was.hops == now.hops:
                continue
            changed.setdefault(leg, {}).update(dict.fromkeys(_way(was)))
            if was.hops[-1] != now.hops[-1]:
                (sockets if leg.partition(".")[0] == to else channels).append(Move(leg, was.hops[-1], now.hops[-1]))
    used: dict[str, set[Slot]] = {leg: set() for leg in changed}
    for route in after.routes if changed else ():
        if route.leg in changed:
            used[route.leg].update(_way(route))
    slots = [Move(leg, place, None) for leg, places in changed.items() for place in places if place not in used[leg]]
    return Moves(tuple(sockets), tuple(channels), tuple(slots))


def lines(before: Setting, after: Setting) -> Iterator[tuple[Route | None, Route | None]]:
    """Yield each line as it was and as it is: None before for a new one, None after for one that is no more; O(hops)."""
    old_lines, new_lines = _by_line(before.routes), _by_line(after.routes)
    for key, new in new_lines.items():
        pairs = _pairs(old_lines.get(key, []), new)
        kept = {id(now) for _, now in pairs}
        yield from pairs
        yield from ((None, route) for route in new if id(route) not in kept)
    for key, old in old_lines.items():
        kept = {id(was) for was, _ in _pairs(old, new_lines.get(key, []))}
        yield from ((route, None) for route in old if id(route) not in kept)


def _by_line(routes: tuple[Route, ...]) -> dict[_Key, list[Route]]:
    found: dict[_Key, list[Route]] = {}
    for route in routes:
        if route.hops:
            found.setdefault((route.leg, route.to, route.alternate), []).append(route)
    return found


def _pairs(old: list[Route], new: list[Route]) -> list[tuple[Route, Route]]:
    """Return each line before with the line after it goes with: the same last slot first, then in order."""
    if len(old) == len(new) == 1:
        return [(old[0], new[0])]
    at = {route.hops[-1]: route for route in new}
    kept = [(route, at[route.hops[-1]]) for route in old if route.hops[-1] in at]
    ends = {route.hops[-1] for route, _ in kept}
    rest = [route for route in old if route.hops[-1] not in ends], [route for route in new if route.hops[-1] not in ends]
    return [*kept, *zip(*rest, strict=False)]


def _way(route: Route) -> list[Slot]:
    """Return the slots between the first and the last, a link's receiving side left out."""
    return [place for place in route.hops[1:-1] if not place.bank.endswith(".in")]
