"""A rig cut into segments: banks, wires, links and select rows as one `Fabric`.

Comes in: a rig in one period.  Goes out: its `Fabric`.  Next: `slot.py`, `unit.py`, `route.py` read it.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from typing import Any

from patchloom.address import Span, parse
from patchloom.model.base import at_rate
from patchloom.model.rig import Link, Rig, Select, Type
from patchloom.model.show import Fixed as Set
from patchloom.solve.fabric import Fabric, Fixed, Row, Run, split_local

__all__ = ["build_fabric", "link_slots", "whole_size"]

_Range = tuple[int, int, int]
_Wire = tuple[int, int, int, int, int, str]
_Choice = tuple[Select, _Range, list[_Range]]


def build_fabric(rig: Rig, spans: Iterable[Span] = (), fixed: Iterable[Set] = ()) -> Fabric:
    """Return the fabric of a rig, cut at the ends of `spans` too; O(slots + select rows x blocks).

    Slots the show fixes one by one are wires as good as any: `fixed` says which take which.
    """
    fabric = Fabric(rig)
    cuts: list[set[int]] = []
    wires: list[tuple[int, int, int, int, int, str]] = []  # from bank, first, into bank, first, length, link
    picks: list[tuple[str, Select, Type]] = []
    joined = [(link.id, _ways(rig, link)) for link in rig.links if not _crosses(rig, link)]
    carried = {end: length for _, ways in joined for d1, b1, _, d2, b2, _, length in ways for end in ((d1, b1), (d2, b2))}
    for device in rig.devices:
        _banks_of(fabric, device, cuts, carried)
        kind = rig.type_of(device)
        for row in kind.select:
            if row.wired:
                _wire(fabric, device, row, wires)
            else:
                picks.append((device, row, kind))
    for link, ways in joined:
        for d1, b1, f1, d2, b2, f2, length in ways:
            if (d1, b1) in fabric.bank_of and (d2, b2) in fabric.bank_of:
                from_, into = fabric.bank_of[d1, b1], fabric.bank_of[d2, b2]
                length = min(length, fabric.size[from_] - f1 + 1, fabric.size[into] - f2 + 1)
                if length > 0:
                    wires.append((from_, f1, into, f2, length, link))
    for span in spans:
        asked = fabric.bank_of.get((span.device, span.bank or ""))
        if asked is not None and span.first is not None and span.last is not None:
            cuts[asked] |= {number for number in (span.first, span.last + 1) if number <= fabric.size[asked]}
    for from_, f1, into, f2, length, _ in wires:
        cuts[from_] |= {f1, f1 + length}
        cuts[into] |= {f2, f2 + length}
    choices = [choice for device, row, _ in picks if (choice := _choice(fabric, device, row, cuts))]
    for chosen in fixed:
        _set_slots(fabric, chosen, choices, cuts, wires)
    _spread(cuts, wires)
    _segments(fabric, cuts)
    for from_, f1, into, f2, length, carrier in wires:
        _join(fabric, from_, f1, into, f2, length, carrier)
    for row, intos, froms in choices:
        _row(fabric, row, intos, froms)
    for device in rig.devices:
        for limit in rig.type_of(device).limits:
            banks = frozenset(fabric.bank_of[device, name] for name in limit.of if (device, name) in fabric.bank_of)
            most = at_rate(limit.most, rig.domain_of(device).hertz)
            if most is not None:
                fabric.pools.append((banks, most, limit.count))
    _pooled(fabric)
    return fabric


def _pooled(fabric: Fabric) -> None:
    """Note which segments fill slots of a pool because the show fixes those to take them."""
    for bank, first, *_ in fabric.set_slots:
        if any(bank in banks for banks, _, _ in fabric.pools):
            segment = fabric.segment_of[bank][first]
            while (fed := fabric.fed_by[segment]) is not None:
                segment = fed[0]
                fabric.pooled[segment] = (*fabric.pooled.get(segment, ()), bank)


def _banks_of(fabric: Fabric, device: str, cuts: list[set[int]], carried: dict[tuple[str, str], int]) -> None:
    rig, kind = fabric.rig, fabric.rig.type_of(device)
    rows: list[tuple[str, Any, int]] = []
    for name, bank in kind.banks.items():
        rows.append((name, bank, at_rate(bank.slots, rig.domain_of(device, bank.clock).hertz) or 0))
    for name in kind.ports:
        # A port has the slots its link carries; one that nothing is joined to has none worth searching.
        rows.extend((f"{name}.{way}", None, carried.get((device, f"{name}.{way}"), 0)) for way in ("in", "out"))
    for name, bank, size in rows:
        fabric.bank_of[device, name] = len(fabric.banks)
        fabric.banks.append((device, name))
        fabric.size.append(size)
        fabric.kind.append(bank)
        cuts.append({1, size + 1})


def _local(fabric: Fabric, device: str, text: str) -> tuple[int, int, int] | None:
    known = fabric.parsed.get(text)
    if known is None:
        known = fabric.parsed[text] = split_local(text)
    name, first, last = known
    bank = fabric.bank_of.get((device, name))
    if bank is None:
        return None
    first = first or 1
    last = min(last or fabric.size[bank], fabric.size[bank])
    return (bank, first, last) if last >= first else None


def _wire(fabric: Fabric, device: str, row: Select, wires: list[tuple[int, int, int, int, int, str]]) -> None:
    into, from_ = _local(fabric, device, row.into), _local(fabric, device, row.wired)
    if into and from_ and _may_join(fabric, row, into[0], from_[0]):
        length = min(into[2] - into[1], from_[2] - from_[1]) + 1
        wires.append((from_[0], from_[1], into[0], into[1], length, ""))


def _may_join(fabric: Fabric, row: Select, into: int, from_: int) -> bool:
    """Return whether a row may join two banks: one clock section, or a row that converts."""
    if row.converts or len(fabric.rig.type_of(fabric.banks[into][0]).clocks) < 2:
        return True
    return _section(fabric, into) == _section(fabric, from_)


def _section(fabric: Fabric, bank: int) -> str:
    device, name = fabric.banks[bank]
    kind = fabric.rig.type_of(device)
    place = kind.banks.get(name) or kind.ports[name.partition(".")[0]]
    return place.clock or fabric.rig.sections(device)[0]


def _choice(fabric: Fabric, device: str, row: Select, cuts: list[set[int]]) -> _Choice | None:
    into = _local(fabric, device, row.into)
    if into is None:
        return None
    froms = [
        found
        for text in row.from_
        if (found := _local(fabric, device, text)) is not None and _may_join(fabric, row, into[0], found[0])
    ]
    if not froms:
        return None
    for bank, first, last in [into, *froms]:
        cuts[bank].add(first)
        cuts[bank].add(last + 1)
        if row.by > 1:
            cuts[bank].update(range(first, last + 1, row.by))
    return row, into, froms


def _set_slots(fabric: Fabric, chosen: Set, choices: list[_Choice], cuts: list[set[int]], wires: list[_Wire]) -> None:
    """Make a wire of slots that a show fixes on a row by 1; runs of blocks are set where the search begins."""
    into = _run_range(fabric, parse(chosen.into))
    from_ = _run_range(fabric, parse(chosen.from_))
    if into is None or from_ is None or into[2] - into[1] != from_[2] - from_[1]:
        return
    for row, range_, froms in choices:
        if row.by == 1 and not row.alternate and _holds(range_, into) and any(_holds(other, from_) for other in froms):
            kind = fabric.kind[from_[0]]
            number = Row(-1, 1, row.taps, False, row)
            tap = chosen.tap or fabric.raw_tap(from_[0], number, "", kind is not None and kind.does == "sum")
            if tap is None:
                continue
            length = into[2] - into[1] + 1
            wires.append((from_[0], from_[1], into[0], into[1], length, ""))
            for bank, first, last in (into, from_):
                cuts[bank] |= {first, last + 1}
            fabric.set_slots.append((into[0], into[1], length, from_[0], from_[1], tap))
            return


def _run_range(fabric: Fabric, span: Span) -> _Range | None:
    bank = fabric.bank_of.get((span.device, span.bank or ""))
    if bank is None or span.first is None or span.last is None or span.last > fabric.size[bank]:
        return None
    return bank, span.first, span.last


def _holds(range_: _Range, inside: _Range) -> bool:
    return range_[0] == inside[0] and range_[1] <= inside[1] and inside[2] <= range_[2]


def _spread(cuts: list[set[int]], wires: list[tuple[int, int, int, int, int, str]]) -> None:
    """Carry every cut along wires both ways until nothing new appears."""
    changed = True
    while changed:
        changed = False
        for from_, f1, into, f2, length, _ in wires:
            here = {cut - f1 for cut in cuts[from_] if f1 <= cut <= f1 + length}
            there = {cut - f2 for cut in cuts[into] if f2 <= cut <= f2 + length}
            if here != there:
                both = here | there
                cuts[from_] |= {cut + f1 for cut in both}
                cuts[into] |= {cut + f2 for cut in both}
                changed = True


def _segments(fabric: Fabric, cuts: list[set[int]]) -> None:
    for bank, size in enumerate(fabric.size):
        ends = sorted(cut for cut in cuts[bank] if 1 <= cut <= size + 1)
        owner = [0] * (size + 1)
        for first, after in pairwise(ends):
            number = len(fabric.seg_bank)
            fabric.seg_bank.append(bank)
            fabric.seg_first.append(first)
            fabric.seg_length.append(after - first)
            owner[first:after] = [number] * (after - first)
        fabric.segment_of.append(owner)
    count = len(fabric.seg_bank)
    fabric.fixed = [[] for _ in range(count)]
    fabric.fed_by = [None] * count
    fabric.blocks_from = [[] for _ in range(count)]
    fabric.blocks_into = [[] for _ in range(count)]
    fabric.singles_from = [[] for _ in range(count)]
    fabric.singles_into = [[] for _ in range(count)]


def _join(fabric: Fabric, from_: int, f1: int, into: int, f2: int, length: int, link: str) -> None:
    at = 0
    while at < length:
        source, target = fabric.segment_of[from_][f1 + at], fabric.segment_of[into][f2 + at]
        fabric.fixed[source].append(Fixed(target, link, _toll(fabric.rig, fabric.banks[into][0]) if link else 0.1))
        fabric.fed_by[target] = (source, link)
        at += fabric.seg_length[source]


def _toll(rig: Rig, device: str) -> float:
    """Return the price of coming into a device over a link: more for a desk, much more for one that may leave.

    Everything that ends there pays it alike, so it only tells direct ways from ways through somebody else's desk.
    """
    placed = rig.devices[device]
    price = 1.0 + (8.0 if rig.type_of(device).role == "desk" else 0.0)
    return price + (40.0 if placed.leaves or placed.belongs_to not in ("", "house") else 0.0)


def _range_segments(fabric: Fabric, bank: int, first: int, last: int) -> list[int]:
    found: list[int] = []
    at = first
    while at <= last:
        segment = fabric.segment_of[bank][at]
        found.append(segment)
        at += fabric.seg_length[segment]
    return found


def _runs(fabric: Fabric, span: _Range, by: int) -> list[int]:
    bank, first, last = span
    numbers = []
    for start in range(first, last + 1, by):
        length = min(by, last + 1 - start)
        key = (bank, start, length)
        number = fabric.run_of.get(key)
        if number is None:
            number = fabric.run_of[key] = len(fabric.runs)
            fabric.runs.append(Run(bank, start, length, tuple(_range_segments(fabric, bank, start, start + length - 1))))
        numbers.append(number)
    return numbers


def _row(fabric: Fabric, source: Select, into: _Range, froms: list[_Range]) -> None:
    row = Row(len(fabric.rows), source.by, source.taps, source.alternate, source)
    fabric.rows.append(row)
    row.into = _range_segments(fabric, *into)
    if source.by == 1:
        for span in froms:
            row.sources.extend(_range_segments(fabric, *span))
        for segment in row.sources:
            fabric.singles_from[segment].append(row.number)
        for segment in row.into:
            fabric.singles_into[segment].append(row.number)
        return
    row.into_runs = _runs(fabric, into, source.by)
    for span in froms:
        row.sources.extend(_runs(fabric, span, source.by))
    for run in row.sources:
        for segment in fabric.runs[run].segments:
            fabric.blocks_from[segment].append((row.number, run))
    for run in row.into_runs:
        for segment in fabric.runs[run].segments:
            fabric.blocks_into[segment].append((row.number, run))


def link_slots(rig: Rig, link: Any, rate: Fraction) -> list[tuple[str, str, int, str, str, int, int]]:
    """Return the ways of a link as (device, bank, first, device, bank, first, length) at a rate."""
    a, b = (_end(end) for end in link.join)
    if a[2] or b[2]:
        kind = rig.type_of(a[0]).banks[a[1]].socket
        if kind != "out":
            a, b = b, a
        length = min(_length(rig, a, rate), _length(rig, b, rate))
        return [(a[0], a[1], a[2] or 1, b[0], b[1], b[2] or 1, length)]
    if a[1] not in rig.type_of(a[0]).ports:
        kind = rig.type_of(a[0]).banks[a[1]].socket
        if kind != "out":
            a, b = b, a
        length = min(_length(rig, a, rate), _length(rig, b, rate))
        return [(a[0], a[1], 1, b[0], b[1], 1, length)]
    spoken = rig.formats[link.format]
    pa, pb = rig.type_of(a[0]).ports[a[1]], rig.type_of(b[0]).ports[b[1]]
    each = spoken.each_way(rate)
    if each is None:
        return []
    forward, back = each
    if pa.end == "second" or pb.end == "first":
        forward, back = back, forward
    ways = []
    for (d1, p1, port1), (d2, p2, port2), most in (
        ((a[0], a[1], pa), (b[0], b[1], pb), forward),
        ((b[0], b[1], pb), (a[0], a[1], pa), back),
    ):
        if link.pass_ is not None and "audio" not in link.pass_:
            continue
        if not (port1.passes("out", "audio", spoken) and port2.passes("in", "audio", spoken)):
            continue
        most = min(most, _side(port1, "out", rate, most), _side(port2, "in", rate, most))
        if most > 0:
            ways.append((d1, f"{p1}.out", 1, d2, f"{p2}.in", 1, most))
    return ways


def _ways(rig: Rig, link: Link) -> list[tuple[str, str, int, str, str, int, int]]:
    """Return the ways of a link at the rate of its first end."""
    device, _, rest = link.join[0].partition(".")
    kind = rig.type_of(device)
    name = rest.partition("[")[0]
    section = kind.ports[name].clock if name in kind.ports else kind.banks[name].clock
    return link_slots(rig, link, rig.domain_of(device, section).hertz)


def _crosses(rig: Rig, link: Link) -> bool:
    """Return whether a digital link joins two clock domains, where no sample can pass without a converter."""
    if not link.format or not rig.formats[link.format].digital:
        return False
    domains = []
    for end in link.join:
        device, _, port = end.partition(".")
        found = rig.type_of(device).ports.get(port.partition("[")[0])
        domains.append(rig.domain_of(device, found.clock if found is not None else "").id)
    return domains[0] != domains[1]


def _end(text: str) -> tuple[str, str, int, int]:
    device, _, rest = text.partition(".")
    bank, first, last = split_local(rest)
    return device, bank, first or 0, last or 0


def _length(rig: Rig, end: tuple[str, str, int, int], rate: Fraction) -> int:
    device, bank, first, last = end
    if first:
        return last - first + 1
    return at_rate(rig.type_of(device).banks[bank].slots, rate) or 0


def whole_size(fabric: Fabric, bank: int) -> int:
    """Return how many slots a bank has of its own; a port may have more than its link carries."""
    device, name = fabric.banks[bank]
    if fabric.kind[bank] is not None:
        return fabric.size[bank]
    port, _, way = name.partition(".")
    found = fabric.rig.type_of(device).ports[port]
    return _side(found, way, fabric.rig.domain_of(device, found.clock).hertz, fabric.size[bank])


def _side(port: Any, way: str, rate: Fraction, absent: int) -> int:
    size = port.slots
    if size is None:
        return absent
    if hasattr(size, "get") and ("in" in size or "out" in size):
        size = size.get(way)
        if size is None:
            return absent
    return at_rate(size, rate) or 0
