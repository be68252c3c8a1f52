"""Spare lines: what is kept free, and reaches the desks it must reach.

Comes in: fabric and show.  Goes out: one `Unit` per spare line, and which sockets are kept in the end.
Next: `place.py` keeps them like sources nobody has plugged yet; `wishes.py` counts them.
"""

from __future__ import annotations

from patchloom.address import Slot, parse
from patchloom.model.show import Show, Spare
from patchloom.solve.attempt import Placed
from patchloom.solve.fabric import Fabric
from patchloom.solve.inserts import returns
from patchloom.solve.path import Goal
from patchloom.solve.slot import Aim, root
from patchloom.solve.unit import Unit

__all__ = ["spare_units", "spares_kept"]


def spare_units(fabric: Fabric, show: Show, wanted: list[Aim]) -> list[Unit]:
    """Return a unit for each spare line to keep, with what it has to reach."""
    made: list[Unit] = []
    closed = {place for slot in sorted(returns(show)) if (place := fabric.find(slot)) is not None}
    for spare in show.wishes.spare if show.wishes else ():
        places = {place for text in spare.at for place in _sockets(fabric, text)} - closed
        goals = _spare_goals(fabric, show, spare)
        for number in range(spare.count):
            unit = Unit(f"spare-{len(made) + 1}", (f"spare-{len(made) + 1}",), 10_000 + number, False)
            unit.spare = True
            unit.allowed = [places]
            unit.choices = sorted({segment for segment, _ in places})
            unit.aims = [Aim(unit.name, to, 0, to, None, (goal,), (), "", False, True, False, 0) for to, goal in goals]
            unit.signature = tuple(sorted({to for to, _ in goals}))
            unit.ends = tuple(goal.segments for _, goal in goals)
            made.append(unit)
    return made


def _sockets(fabric: Fabric, text: str) -> list[tuple[int, int]]:
    span = parse(text)
    bank = fabric.bank_of.get((span.device, span.bank or ""))
    if bank is None:
        return []
    last = min(span.last or fabric.size[bank], fabric.size[bank])
    return [
        place for number in range(span.first or 1, last + 1) if (place := fabric.find(Slot(span.device, span.bank or "", number)))
    ]


def _spare_goals(fabric: Fabric, show: Show, spare: Spare) -> list[tuple[str, Goal]]:
    """Return where a spare line must come in for each position it must reach: what its channels can choose from."""
    goals = []
    for position in spare.reaching:
        for item in show.lists:
            if item.position != position:
                continue
            span = parse(item.at)
            bank = fabric.bank_of.get((span.device, span.bank or ""))
            if bank is None:
                continue
            base, _ = root(fabric, fabric.segment_of[bank][span.first or 1])
            rows = [row for row in fabric.singles_into[base] if not fabric.rows[row].alternate]
            segments = sorted({source for row in rows for source in fabric.rows[row].sources}) or list(
                dict.fromkeys(fabric.segment_of[bank][1:])
            )
            goals.append((item.id, Goal(tuple(segments), None, False, ())))
            break
    return goals


def spares_kept(fabric: Fabric, placed: Placed, units: list[Unit]) -> list[str]:
    """Return the sockets kept free, one per spare line."""
    legs = [placed.net.legs.get(unit.name) for unit in units]
    return [str(fabric.place(*leg.origin)) for leg in legs if leg is not None and leg.origin is not None]
