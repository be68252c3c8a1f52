"""Where each want must land: the channels of every list, the slots of every destination.

Comes in: a show in one period and the fabric.  Goes out: `Aim`s, one per leg and want, each with the goals that
would do.  Next: `place.py` and `route.py` carry the legs there.

A slot that is wired on from a slot somebody can choose is aimed at through that slot (its *root*): wanting
track 7 of a recorder that takes its link one to one is wanting slot 7 of the link's sending side.  A bank that
nobody can choose slot by slot (blocks only, or wired to sockets) inherits an order; its list is then a set of
places, and the order asked for is a preference.
"""

from __future__ import annotations

from typing import NamedTuple

from patchloom.address import Slot, Span, parse
from patchloom.model.show import Destination, Feed, List, Show, Want
from patchloom.solve.fabric import Fabric
from patchloom.solve.path import BOUND, Goal

__all__ = ["Aim", "aims", "cut_at", "layout", "legs_of", "root", "ways_in"]


class Aim(NamedTuple):
    """One leg wanted at one place."""

    leg: str
    to: str
    """List id, or feed id for a destination of that feed."""
    entry: int
    position: str
    place: Slot | None
    """The slot asked for; None where any of `goals` will do and none is asked for."""
    goals: tuple[Goal, ...]
    """Goals in order of preference, any of which will do; empty when the place does not exist."""
    slots: tuple[Slot, ...]
    """The wanted slot of each goal; of a goal over several segments, the first."""
    allow: str
    alternate: bool
    must: bool
    free: bool
    """Whether the place is chosen slot by slot (or through its root)."""
    partner: int
    """Place of this leg in its signal, from 0."""
    number: int = -1
    """Place in the list of all aims; -1 for one that is in none."""
    priority: int = 0
    """0 for a must; of a wish its priority, 1 the dearest."""


def legs_of(show: Show, signal: str) -> tuple[str, ...]:
    """Return the leg ids of a signal; empty when the show has no such signal."""
    item = show.signals().get(signal)
    return item.leg_ids() if item is not None else ()


def root(fabric: Fabric, segment: int) -> tuple[int, tuple[int, ...]]:
    """Return the segment that, by wires alone, feeds a segment, and the segments from there to it in order."""
    tail: list[int] = []
    for _ in range(64):
        fed = fabric.fed_by[segment]
        if fed is None:
            break
        tail.append(segment)
        segment = fed[0]
    return segment, tuple(reversed(tail))


def layout(item: List, show: Show, first: int, last: int, gaps: bool, hard: bool) -> list[tuple[int, Want, tuple[str, ...], int]]:
    """Return (entry from 1, want, its legs, first slot) for each entry of a list on slots first..last.

    With `gaps` a stereo entry starts on an odd slot, when the whole list still fits; `hard` keeps gaps even then.
    """
    signals = show.signals()
    rows: list[tuple[int, Want | None, tuple[str, ...]]] = []
    for number, want in enumerate(item.wants, start=1):
        if want is None or want.signal not in signals:
            rows.append((number, None, ()))
            continue
        legs = signals[want.signal].leg_ids()
        if want.leg:
            legs = (f"{want.signal}.{want.leg}",)
        elif want.fold:
            # Nothing sums two legs on the way to one channel: `sum` carries the first and is named as not honoured.
            legs = (legs[-1],) if want.fold == "right" else (legs[0],)
        rows.append((number, want, legs))
    taken: set[int] = set()
    for _, want, legs in rows:
        if want is not None and want.channel is not None:
            taken.update(range(want.channel, want.channel + _width(want, legs)))
    laid = _lay(rows, first, last, gaps, taken)
    if gaps and not hard and any(start + _width(want, legs) - 1 > last for _, want, legs, start in laid):
        laid = _lay(rows, first, last, False, taken)
    return laid


def _width(want: Want, legs: tuple[str, ...]) -> int:
    return 1 if want.fold else len(legs)


def _lay(
    rows: list[tuple[int, Want | None, tuple[str, ...]]], first: int, last: int, gaps: bool, fixed: set[int]
) -> list[tuple[int, Want, tuple[str, ...], int]]:
    taken = set(fixed)
    laid = []
    cursor = first
    for number, want, legs in rows:
        if want is None:
            while cursor in taken:
                cursor += 1
            cursor += 1
            continue
        width = _width(want, legs)
        if want.channel is not None:
            laid.append((number, want, legs, want.channel))
            cursor = max(cursor, want.channel + width) if want.channel >= cursor else cursor
            continue
        low, high = cursor, last
        if want.within:
            span = parse(want.within)
            low, high = max(cursor, span.first or first), span.last or last
            if low + width - 1 > high:
                low = span.first or first
        start = low
        while any(number_ in taken for number_ in range(start, start + width)) or (gaps and width == 2 and start % 2 == 0):
            start += 1
        laid.append((number, want, legs, start))
        taken.update(range(start, start + width))
        if start >= cursor:
            cursor = start + width
    return laid


def aims(fabric: Fabric, show: Show) -> list[Aim]:
    """Return every want of a show as aims, lists first, in the order of the show."""
    found: list[Aim] = []
    for item in show.lists:
        found.extend(_list_aims(fabric, show, item, len(found)))
    for feed in show.feeds:
        for number, destination in enumerate(feed.to, start=1):
            found.extend(_feed_aims(fabric, feed, number, destination, len(found)))
    return found


def _list_aims(fabric: Fabric, show: Show, item: List, before: int) -> list[Aim]:
    span = parse(item.at)
    bank = fabric.bank_of[span.device, span.bank or ""]
    first, last = span.first or 1, min(span.last or fabric.size[bank], fabric.size[bank])
    kind = fabric.kind[bank]
    hard = kind is not None and kind.pairs
    gaps = hard or item.pairs == "odd" or (item.pairs == "" and kind is not None and kind.does == "process")
    whole = tuple(sorted({fabric.segment_of[bank][number] for number in range(first, last + 1)}))
    found: list[Aim] = []
    laid = layout(item, show, first, last, gaps, hard)
    numbers = [start if want.fold else start + part for _, want, legs, start in laid for part in range(len(legs))]
    strict = _chosen_singly(fabric, bank, numbers)
    for number, want, legs, start in laid:
        for part, leg in enumerate(legs):
            slot = Slot(span.device, span.bank or "", start if want.fold else start + part)
            found.append(_aim(fabric, item, number, want, leg, slot, part, whole, False, strict, before + len(found)))
        if want.alternate:
            for part, leg in enumerate(legs_of(show, want.alternate)[: 1 if want.fold else len(legs)]):
                slot = Slot(span.device, span.bank or "", start + part)
                found.append(_aim(fabric, item, number, want, leg, slot, part, whole, True, True, before + len(found)))
    return found


def _chosen_singly(fabric: Fabric, bank: int, numbers: list[int]) -> bool:
    """Return whether every slot a list asks for can be chosen slot by slot; else the whole list inherits an order."""
    for segment in {fabric.segment_of[bank][number]: None for number in numbers if number <= fabric.size[bank]}:
        # What the show fixes slot by slot was a choice all the same.
        if not _exact(fabric, fabric.place(segment, 0), False)[1] and not any(map(fabric.is_set, root(fabric, segment)[1])):
            return False
    return True


def _aim(
    fabric: Fabric,
    item: List,
    entry: int,
    want: Want,
    leg: str,
    slot: Slot,
    part: int,
    whole: tuple[int, ...],
    alternate: bool,
    strict: bool,
    number: int,
) -> Aim:
    goal, free = _exact(fabric, slot, alternate)
    singly, free = free, free and strict
    goals: tuple[Goal, ...]
    slots: tuple[Slot, ...] = (slot,)
    if strict and want.within and not parse(want.within).holds(slot):
        goals = ()  # the order of the list puts it outside the run it must land in
    elif free:
        goals = (goal,) if goal is not None else ()
    elif goal is None and (strict or alternate or want.channel is not None):
        goals = ()  # beyond the bank
    elif goal is not None and (want.channel is not None or (not singly and fabric.is_set(goal.segments[0]))):
        goals = (goal,)
    else:
        # Where an order is inherited, a place in it is a mere preference; a run it must land in is none.
        segments = whole
        if want.within:
            span = parse(want.within)
            segments = tuple(s for s in whole if (span.first or 1) <= fabric.seg_first[s] <= (span.last or 10**6))
        goals = (Goal(segments, None, alternate, ()),)
    must, rank = want.priority is None, want.priority or 0
    return Aim(leg, item.id, entry, item.position, slot, goals, slots, want.tap, alternate, must, free, part, number, rank)


def _exact(fabric: Fabric, slot: Slot, alternate: bool) -> tuple[Goal | None, bool]:
    """Return the goal for exactly one slot and whether somebody can choose it slot by slot."""
    place = fabric.find(slot)
    if place is None:
        return None, False
    segment, offset = place
    if alternate:
        return Goal((segment,), offset, True, ()), True
    known = fabric.exact.get(segment)
    if known is None:
        base, tail = root(fabric, segment)
        free = any(not fabric.rows[row].alternate for row in fabric.singles_into[base])
        known = fabric.exact[segment] = ((base,), tail, True) if free else ((segment,), BOUND, False)
    segments, tail, free = known
    return Goal(segments, offset, False, tail), free


def ways_in(fabric: Fabric, aim: Aim) -> list[tuple[int, Goal]]:
    """Return (which goal, goal) for an aim, in order; a slot chosen singly that a block could bring too is asked both ways."""
    found = list(enumerate(aim.goals))
    for number, goal in enumerate(aim.goals):
        if goal.offset is None or goal.alternate or goal.tail == BOUND:
            continue
        if any(not fabric.rows[row].alternate for row, _ in fabric.blocks_into[goal.segments[0]]):
            found.append((number, goal._replace(tail=BOUND)))
    return found


def _feed_aims(fabric: Fabric, feed: Feed, number: int, destination: Destination, before: int) -> list[Aim]:
    slots: list[Slot] = []
    for text in destination.at:
        span = parse(text)
        banks = (
            [span.bank]
            if span.bank
            else [
                name
                for device, name in fabric.banks
                if device == span.device
                and (kind := fabric.kind[fabric.bank_of[device, name]]) is not None
                and kind.socket == "out"
            ]
        )
        for name in banks:
            bank = fabric.bank_of.get((span.device, name))
            if bank is None:
                continue
            last = min(span.last or fabric.size[bank], fabric.size[bank])
            slots.extend(Slot(span.device, name, n) for n in range(span.first or 1, last + 1))
    legs = feed.leg_ids()
    must, rank = destination.priority is None, destination.priority or 0
    if len(slots) != len(legs):
        segments = tuple(dict.fromkeys(place[0] for slot in slots if (place := fabric.find(slot)) is not None))
        # First anywhere; then, where the way there fixes the place in a block, slot by slot.
        goals = (Goal(segments, None, False, ()), *(goal for slot in slots for goal, _ in [_exact(fabric, slot, False)] if goal))
        goals = goals if segments else ()
        return [
            Aim(
                leg,
                feed.id,
                number,
                feed.mixed_at,
                None,
                goals,
                tuple(slots[:1]),
                feed.tap,
                False,
                must,
                True,
                part,
                before + part,
                rank,
            )
            for part, leg in enumerate(legs)
        ]
    found = []
    for part, leg in enumerate(legs):
        goal, free = _exact(fabric, slots[part], False)
        found.append(
            Aim(
                leg,
                feed.id,
                number,
                feed.mixed_at,
                slots[part],
                (goal,) if goal is not None else (),
                (slots[part],),
                feed.tap,
                False,
                must,
                free,
                part,
                before + part,
                rank,
            )
        )
    return found


def cut_at(show: Show) -> list[Span]:
    """Return the addresses a fabric must be cut at, so that no segment lies half inside what a want asks for."""
    texts = [item.at for item in show.lists]
    texts += [want.within for item in show.lists for want in item.wants if want is not None and want.within]
    texts += [text for feed in show.feeds for destination in feed.to for text in destination.at]
    return [parse(text) for text in texts]
