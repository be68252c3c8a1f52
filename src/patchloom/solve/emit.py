"""The state of a finished try as a `Setting`: plugs, mixes, selections, routes.

Comes in: a `Placed`, the aims and units.  Goes out: frozen model objects, everything in order of address.
Next: `answer.py` adds clock, owners, gain and phantom.
"""

from __future__ import annotations

from collections.abc import Sequence

from patchloom.address import Slot, Span
from patchloom.model.patch import Route, Selection
from patchloom.solve.attempt import Placed
from patchloom.solve.cutting import whole_size
from patchloom.solve.fabric import Fabric, Row, Run, split_local
from patchloom.solve.path import BOUND
from patchloom.solve.slot import Aim
from patchloom.solve.state import State
from patchloom.solve.unit import Unit

__all__ = ["Choice", "entries", "join_choices", "routes", "selections"]


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


_new = tuple.__new__
"""Makes a named tuple without its argument list: half the time, and big shows have tens of thousands."""

Choice = tuple[int, int, int, int, int, str, bool, bool]
"""Bank fed, first slot, length, bank taken from, first slot, tap, whether the alternate input, whether by a row by 1."""


def selections(fabric: Fabric, net: State) -> list[Selection]:
    """Return every choice set, runs of single slots that keep step joined, by address."""
    bank_of, firsts = fabric.seg_bank, fabric.seg_first
    rows: list[Choice] = [(*chosen, False, True) for chosen in fabric.set_slots]
    for run, (source, number, tap) in net.run_source.items():
        into, from_ = fabric.runs[run], fabric.runs[source]
        length = _length(fabric, fabric.rows[number], into, from_)
        rows.append((into.bank, into.first, length, from_.bank, from_.first, tap, False, False))
    for alternate, table in ((False, net.taken), (True, net.alternates)):
        for (segment, offset), (source, source_offset, _, tap) in table.items():
            number = firsts[source] + source_offset
            rows.append((bank_of[segment], firsts[segment] + offset, 1, bank_of[source], number, tap, alternate, True))
    return join_choices(fabric, rows)


def _length(fabric: Fabric, row: Row, into: Run, from_: Run) -> int:
    """Return how many slots a choice moves: a whole run, what a link does not carry of it included."""
    if min(into.length, from_.length) == row.by:
        return row.by
    ends = [_end(fabric, row.source.into, into)]
    ends.extend(_end(fabric, text, from_) for text in row.source.from_ if split_local(text)[0] == fabric.banks[from_.bank][1])
    return min(row.by, *(end for end in ends if end > 0))


def _end(fabric: Fabric, text: str, run: Run) -> int:
    """Return how many slots are left of a row's range from the first slot of a run on; none where the run lies outside."""
    _, first, last = split_local(text)
    size = whole_size(fabric, run.bank)
    return min(last or size, size) - run.first + 1 if run.first >= (first or 1) else 0


def join_choices(fabric: Fabric, rows: list[Choice]) -> list[Selection]:
    """Return choices as selections by address, single slots that keep step joined to runs; O(choices log choices)."""
    banks = fabric.banks
    by_rank = sorted(range(len(banks)), key=banks.__getitem__)
    rank = [0] * len(banks)
    for number, bank in enumerate(by_rank):
        rank[bank] = number
    ordered = sorted([(rank[row[0]], *row[1:]) for row in rows])
    found: list[Selection] = []
    open_: tuple[int, int, int, str, bool] | None = None
    first = last = 0
    for into_rank, number, length, bank, source, tap, alternate, alone in ordered:
        key = (into_rank, bank, source - number, tap, alternate)
        if alone and key == open_ and number == last + 1:
            last += length
            continue
        if open_ is not None:
            found.append(_selection(banks, by_rank, open_, first, last))
        first, last, open_ = number, number + length - 1, key
        if not alone:
            found.append(_selection(banks, by_rank, key, first, last))
            open_ = None
    if open_ is not None:
        found.append(_selection(banks, by_rank, open_, first, last))
    return found


def _selection(
    banks: list[tuple[str, str]], by_rank: list[int], key: tuple[int, int, int, str, bool], first: int, last: int
) -> Selection:
    """Return one choice; `key` is rank of the bank fed, bank taken from, how far apart the numbers are, tap, alternate."""
    into_rank, bank, apart, tap, alternate = key
    into, from_ = banks[by_rank[into_rank]], banks[bank]
    return Selection(_new(Span, (*into, first, last)), _new(Span, (*from_, first + apart, last + apart)), tap, alternate)


def routes(fabric: Fabric, placed: Placed, aims: Sequence[Aim]) -> list[Route]:
    """Return every leg delivered, in the order of the aims; O(routes x hops)."""
    found = []
    legs, place = placed.net.legs, fabric.place
    slots: dict[tuple[int, int], Slot] = {}
    for number in sorted(placed.arrived):
        aim = aims[number]
        known = placed.kept.get(number)
        if known is not None and known[0] is placed.arrived[number] and known[1].entry == aim.entry:
            found.append(known[1])
            continue
        segment, offset, which = placed.arrived[number]
        parent = legs[aim.leg].parent
        hops: list[Slot] = []
        at: tuple[int, int] | None = (segment, offset)
        if aim.alternate:
            hops.append(place(segment, offset))
            at = placed.net.alternates[segment, offset][:2]
        while at is not None:
            slot = slots.get(at)
            if slot is None:
                slot = slots[at] = place(*at)
            hops.append(slot)
            at = parent[at]
        hops.reverse()
        tail = aim.goals[which].tail
        if tail and tail != BOUND:
            hops.extend([place(after, offset) for after in tail])
        found.append(Route(aim.leg, aim.to, aim.entry, tuple(hops), aim.alternate))
    return found
