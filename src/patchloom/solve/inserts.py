"""Declared inserts: the send takes its channel before whatever the insert point comes before, the return stays free.

Comes in: rig and show of a period.  Goes out: the show with each send as a fixed choice, the slots nobody else may enter by.
Next: `case.py` cuts the fabric by them, `unit.py` keeps sources away; `unhonoured.py` names the sends no row can take.

How a channel takes its return is no select row: whoever mixes turns the insert on, and the settings checklist says so.
"""

from __future__ import annotations

import attrs

from patchloom.address import Slot, Span, parse
from patchloom.model.base import at_rate
from patchloom.model.rig import Bank, Rig, Select
from patchloom.model.show import Fixed, Insert, Show
from patchloom.solve.fabric import lateness, split_local

__all__ = ["by_hand", "returns", "with_sends"]

_POINT = lateness("insert")


def with_sends(rig: Rig, show: Show) -> Show:
    """Return the show with the send of each insert as a fixed choice, where a row can take it and the user fixed nothing."""
    if not show.inserts:
        return show
    fixed = {row.into for row in show.fixed}
    sends = []
    for insert in show.inserts:
        tap = _tap(rig, insert)
        if tap is not None and insert.send not in fixed:
            sends.append(Fixed(into=insert.send, from_=insert.channel, tap=tap))
    return attrs.evolve(show, fixed=(*show.fixed, *sends)) if sends else show


def returns(show: Show) -> frozenset[Slot]:
    """Return the slots that returns come in by: nothing else is plugged there."""
    return frozenset(_slot(parse(insert.return_)) for insert in show.inserts)


def by_hand(rig: Rig, show: Show) -> list[str]:
    """Return the inserts whose send no select row can take from their channel, by channel."""
    here = [row for row in show.inserts if parse(row.channel).device in rig.devices]
    return [row.channel for row in here if _tap(rig, row) is None]


def _tap(rig: Rig, insert: Insert) -> str | None:
    """Return the latest tap before the insert point by which a row by 1 takes the channel; None where none does."""
    channel, send = parse(insert.channel), parse(insert.send)
    if channel.device != send.device or channel.device not in rig.devices or None in (channel.bank, send.bank):
        return None
    kind = rig.type_of(channel.device)
    bank = kind.banks.get(channel.bank or "")
    if bank is None:
        return None
    for row in kind.select:
        if row.by == 1 and not row.wired and not row.alternate and _holds(rig, send, row.into):
            if any(_holds(rig, channel, text) for text in row.from_):
                found = _before_insert(bank, row)
                if found is not None:
                    return found
    return None


def _before_insert(bank: Bank, row: Select) -> str | None:
    names = [name for name in bank.taps if not row.taps or name in row.taps]
    before = [name for name in names if all(lateness(step) < _POINT for step in bank.taps[name])]
    return max(before, key=lambda name: (len(bank.taps[name]), name)) if before else None


def _holds(rig: Rig, span: Span, text: str) -> bool:
    name, first, last = split_local(text)
    if name != span.bank or span.first is None or span.last is None:
        return False
    bank = rig.type_of(span.device).banks.get(name)
    size = at_rate(bank.slots, rig.domain_of(span.device, bank.clock).hertz) if bank is not None else None
    return (first or 1) <= span.first and span.last <= (last or size or 0)


def _slot(span: Span) -> Slot:
    return Slot(span.device, span.bank or "", span.first or 0)
