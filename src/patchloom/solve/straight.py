"""Legs that come to a list in several slots, by several blocks: the slot nearest to the one asked for is the one that counts.

Comes in: a finished try.  Goes out: the same, with the way to that slot as the way of the want.
Next: `case.py` makes a setting of it.

Where nobody can choose slot by slot, one block may bring what another has brought.  The desk shows both; the one where the
list has it, or next to it, is the one people look for.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.model.patch import Setting
from patchloom.solve.attempt import Placed
from patchloom.solve.fabric import Fabric
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim

__all__ = ["straighten"]

_Place = tuple[int, int]


def straighten(fabric: Fabric, placed: Placed, wanted: Sequence[Aim], before: Setting | None) -> None:
    """Let every want of an inherited order arrive as near to its own slot as its leg comes; O(wants x hops).

    Lines of a setting before this one stay where they are looked for since then.
    """
    stood = {(route.leg, route.to) for route in before.routes} if before is not None else set()
    net = placed.net
    carried: dict[tuple[int, ...], dict[str, list[_Place]]] = {}
    for number, found in list(placed.arrived.items()):
        aim = wanted[number]
        if aim.free or aim.place is None or aim.alternate or aim.goals[found[2]].offset is not None:
            continue
        if (aim.leg, aim.to) in stood:
            continue
        segments = aim.goals[found[2]].segments
        if segments not in carried:
            carried[segments] = _carried(fabric, net, segments)
        asked = aim.place.number

        def far(place: _Place, asked: int = asked) -> tuple[int, int]:
            there = fabric.place(*place).number
            return abs(there - asked), there

        place = min([found[:2], *carried[segments].get(aim.leg, ())], key=far)
        way = _upstream(fabric, net, aim.leg, place) if place != found[:2] else None
        if way is not None:
            parent = net.legs[aim.leg].parent
            for here, there in zip(way[1:], way, strict=False):
                parent.setdefault(there, here)
            placed.arrived[number] = (*place, found[2])
            placed.kept.pop(number, None)


def _carried(fabric: Fabric, net: Net, segments: Sequence[int]) -> dict[str, list[_Place]]:
    """Return leg to the slots of some segments that carry it."""
    found: dict[str, list[_Place]] = {}
    for segment in segments:
        for offset in range(fabric.seg_length[segment]):
            leg = net.carried(segment, offset)
            if leg is not None:
                found.setdefault(leg, []).append((segment, offset))
    return found


def _upstream(fabric: Fabric, net: Net, leg: str, place: _Place) -> list[_Place] | None:
    """Return the places from one back to where a leg's known ways begin; None where they do not meet."""
    parent = net.legs[leg].parent
    way = [place]
    for _ in range(64):
        segment, offset = way[-1]
        if way[-1] in parent:
            return way
        fed = fabric.fed_by[segment]
        taken = net.taken.get(way[-1])
        run = net.block_at[segment]
        if fed is not None:
            way.append((fed[0], offset))
        elif taken is not None:
            way.append((taken[0], taken[1]))
        elif run >= 0:
            there = fabric.through(segment, offset, run, net.run_source[run][0])
            if there is None:
                return None
            way.append(there)
        else:
            return None
    return None
