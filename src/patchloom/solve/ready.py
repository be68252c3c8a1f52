"""What stands before anything is placed: fixed choices, reserved slots, groups, hints of a previous answer.

Comes in: fabric, show, aims, units, perhaps the setting before.  Goes out: units bound to places, a `Net` made ready.
Next: `place.py` places and routes the rest.
"""

from __future__ import annotations

from typing import Any

from patchloom.address import Slot, parse
from patchloom.model.patch import Setting
from patchloom.model.show import Show
from patchloom.solve.attempt import Plan
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND
from patchloom.solve.route import Net
from patchloom.solve.slot import Aim, root
from patchloom.solve.unit import Unit

__all__ = ["fix_slots", "group", "hint", "make_ready"]


def hint(fabric: Fabric, plan: Plan, before: Setting | None, found: list[Unit], keep: bool) -> None:
    """Remember where each leg was before; with `keep`, bind every source to its plug."""
    if before is None:
        return
    for unit in found:
        for number, leg in enumerate(unit.legs):
            was = (before.mixes if unit.feed else before.plugs).get(leg)
            place = fabric.find(was) if was is not None else None
            if place is None or place not in unit.allowed[number]:
                continue
            plan.hints[leg] = place
            if keep and not unit.feed:
                unit.allowed[number] = {place}
        if keep and not unit.feed:
            unit.fixed = all(len(places) == 1 for places in unit.allowed)


def fix_slots(fabric: Fabric, show: Show, found: list[Unit]) -> None:
    """Bind a source's plug where the user has fixed which slot its channel takes, and only one socket leads there."""
    for row in show.fixed:
        into, from_ = parse(row.into), parse(row.from_)
        if into.first is None or into.first != into.last or from_.first is None or into.bank is None or from_.bank is None:
            continue
        source = fabric.find(Slot(from_.device, from_.bank, from_.first))
        if source is None:
            continue
        place = (root(fabric, source[0])[0], source[1])
        wanted = Slot(into.device, into.bank, into.first)
        for unit in found:
            for number, leg in enumerate(unit.legs):
                if place in unit.allowed[number] and any(aim.leg == leg and aim.place == wanted for aim in unit.aims):
                    unit.allowed[number] = {place}
                    unit.choices = sorted({segment for segment, _ in unit.allowed[0]})
                    unit.fixed = all(len(places) == 1 for places in unit.allowed)


def group(show: Show, found: list[Unit]) -> None:
    """Mark the units that have to stand on one box."""
    for number, row in enumerate(show.groups):
        if row.relation == "one-box":
            for unit in found:
                if unit.name in row.of and not unit.feed:
                    unit.group_key = row.id or str(number)


def make_ready(net: Net, fabric: Fabric, show: Show, wanted: list[Aim], before: Setting | None) -> None:
    """Reserve the slots that are asked for exactly, take fixed selections, remember the previous ones."""
    ordered: set[int] = set()
    highest: dict[str, Slot] = {}
    for aim in wanted:
        if len(aim.goals) == 1 and aim.goals[0].offset is not None and not aim.alternate and aim.free:
            net.reserve(aim.goals[0].segments[0], aim.goals[0].offset)
            if aim.place is not None:
                highest[aim.to] = max(highest.get(aim.to, aim.place), aim.place)
        if len(aim.goals) == 1 and aim.goals[0].tail == BOUND and aim.goals[0].offset is not None:
            # Somebody wants exactly this place, so nobody who has a choice lands there.
            net.reserve(aim.goals[0].segments[0], aim.goals[0].offset)
        if not aim.free and aim.place is not None:
            for goal in aim.goals:
                ordered.update(goal.segments)
    net.ordered = frozenset(ordered)
    for item in show.lists:
        # Slots a list leaves empty stay empty: nothing passes through the middle of somebody's channels.
        top = highest.get(item.id)
        for number in range(parse(item.at).first or 1, top.number if top is not None else 0):
            place = fabric.find(Slot(top.device, top.bank, number)) if top is not None else None
            if place is not None:
                net.reserve(*place)
    for row in show.fixed:
        into, from_ = parse(row.into), parse(row.from_)
        run = _run(fabric, into)
        source = _run(fabric, from_)
        if run is not None and source is not None:
            net.fixed_run[run] = source
    for selection in before.selections if before is not None else ():
        run, source = _run(fabric, selection.into), _run(fabric, selection.from_)
        if run is not None and source is not None:
            net.hint_run[run] = source


def _run(fabric: Fabric, span: Any) -> int | None:
    bank = fabric.bank_of.get((span.device, span.bank or ""))
    if bank is None or span.first is None:
        return None
    length = span.last - span.first + 1
    exact = fabric.run_of.get((bank, span.first, length))
    if exact is not None:
        return exact
    return next(
        (number for (b, first, size), number in fabric.run_of.items() if b == bank and first == span.first and size >= length),
        None,
    )
