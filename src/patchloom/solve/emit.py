"""The state of a finished try as a `Setting`: plugs, mixes, selections, routes.

Comes in: a `Placed`, the aims and units.  Goes out: frozen model objects, everything in order of address.
Next: `answer.py` adds clock, owners, gain and phantom.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.address import Slot, Span
from patchloom.model.patch import Route, Selection
from patchloom.solve.attempt import Placed
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim
from patchloom.solve.state import State
from patchloom.solve.unit import Unit

__all__ = ["entries", "routes", "selections"]


def entries(fabric: Fabric, placed: Placed, units: Sequence[Unit], feeds: bool) -> dict[str, Slot]:
    """Return leg to the slot it enters by, for feeds or for sources, in the order of the legs' ids."""
    found = {}
    for unit in units:
        if unit.feed == feeds and not unit.spare:
            for name in unit.legs:
                leg = placed.net.legs.get(name)
                if leg is not None and leg.origin is not None:
                    found[name] = fabric.place(*leg.origin)
    return dict(sorted(found.items()))


def selections(fabric: Fabric, net: State) -> list[Selection]:
    """Return every choice set, runs of single slots that keep step joined, by address."""
    rows: list[tuple[str, str, int, int, str, str, int, str, bool, bool]] = []
    for run, (source, _, tap) in net.run_source.items():
        into, from_ = fabric.runs[run], fabric.runs[source]
        length = min(into.length, from_.length)
        d1, b1 = fabric.banks[into.bank]
        d2, b2 = fabric.banks[from_.bank]
        rows.append((d1, b1, into.first, length, d2, b2, from_.first, tap, False, False))
    for alternate, table in ((False, net.taken), (True, net.alternates)):
        for (segment, offset), (source, source_offset, _, tap) in table.items():
            into_slot, from_slot = fabric.place(segment, offset), fabric.place(source, source_offset)
            rows.append((*into_slot, 1, *from_slot, tap, alternate, True))
    rows.sort()
    found: list[Selection] = []
    single = False
    for d1, b1, n1, length, d2, b2, n2, tap, alternate, alone in rows:
        if alone and single and found:
            last = found[-1]
            if (
                last.into[:2] == (d1, b1)
                and last.into.last == n1 - 1
                and last.from_[:2] == (d2, b2)
                and last.from_.last == n2 - 1
                and last.tap == tap
                and last.alternate == alternate
            ):
                found[-1] = Selection(
                    into=last.into._replace(last=n1), from_=last.from_._replace(last=n2), tap=tap, alternate=alternate
                )
                continue
        single = alone
        found.append(
            Selection(
                into=Span(d1, b1, n1, n1 + length - 1), from_=Span(d2, b2, n2, n2 + length - 1), tap=tap, alternate=alternate
            )
        )
    return found


def routes(fabric: Fabric, placed: Placed, aims: Sequence[Aim]) -> list[Route]:
    """Return every leg delivered, in the order of the aims."""
    found = []
    for number in sorted(placed.arrived):
        aim = aims[number]
        segment, offset, which = placed.arrived[number]
        goal = aim.goals[which]
        hops = placed.net.hops(placed.net.legs[aim.leg], (segment, offset), aim.alternate)
        slots = [fabric.place(*place) for place in hops]
        if goal.tail != BOUND:
            slots.extend(fabric.place(tail, offset) for tail in goal.tail)
        found.append(Route(leg=aim.leg, to=aim.to, entry=aim.entry, hops=tuple(slots), alternate=aim.alternate))
    return found
