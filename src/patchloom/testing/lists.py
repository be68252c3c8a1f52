"""Lists asked for afterwards: in any order where channels choose one by one, else in the order that is delivered.

Comes in: a `Plan` whose signals are carried.  Goes out: `Drawn` lists, and for an act where each entry lands and the
choices that put it there.  Next: `show` and `generate`.
"""

from __future__ import annotations

import attrs

from patchloom.address import Slot
from patchloom.model.show import List, Want
from patchloom.testing.carry import arrives, landing, wanted_at
from patchloom.testing.plan import Node, Pick, Plan, Signal

__all__ = ["Cast", "Drawn", "Entry", "draw_list", "lay"]

Cast = dict[str, str | None]
"""Who plays a source's part in an act: another source, or nobody."""


@attrs.define
class Entry:
    """One entry: a signal, or nothing (empty slots of the width of what is left out)."""

    signal: str = ""
    legs: tuple[str, ...] = ()
    only: str = ""
    fold: str = ""
    channel: int | None = None


@attrs.define
class Drawn:
    """One list as drawn: the row of the show, its entries, the node it lands on."""

    node: Node
    entries: list[Entry]
    pairs: str = ""
    top: int = 0

    def want(self, entry: Entry, cast: Cast) -> tuple[Want | None, ...]:
        """Return the rows of an entry as an act has it; empty slots where nobody plays it."""
        part = cast.get(entry.signal, entry.signal) if entry.signal else None
        if part is None:
            return (None,) * max(1, len(entry.legs))
        return (Want(signal=part, leg=entry.only, fold=entry.fold, channel=entry.channel),)

    def wants(self, cast: Cast) -> tuple[Want | None, ...]:
        """Return the wants of an act."""
        return tuple(row for entry in self.entries for row in self.want(entry, cast))

    def row(self, cast: Cast) -> List:
        """Return the list as a row of the show."""
        return List(
            id=self.node.position,
            position=self.node.position,
            at=f"{self.node.id}.{self.node.lands}",
            pairs=self.pairs,
            wants=self.wants(cast),
        )


def draw_list(plan: Plan, node: Node) -> Drawn | None:
    """Return the list of a node, None where it wants nothing; sets the size of the bank it lands in."""
    signals = wanted_at(plan, node.id)
    if not signals:
        return None
    if node.recorder:
        plan.seen.add("record-lists")
    drawn = _free(plan, node, signals) if node.klass in ("slots", "two-step") else _inherited(plan, node, signals)
    if node.klass == "wired":
        node.size = max(drawn.top, 1)
    elif node.klass == "block":
        node.size = (len(node.taken) + 1) * plan.block + (plan.block // 2 if node.short else 0)
    else:
        node.size = -(-(drawn.top + plan.rng.choice((2, 4, 8))) // 2) * 2
    return drawn


def _free(plan: Plan, node: Node, signals: list[Signal]) -> Drawn:
    rng = plan.rng
    entries = [_entry(plan, node, signal) for signal in signals]
    if rng.random() < 0.7:
        rng.shuffle(entries)
    if plan.wants("gaps"):
        for _ in range(rng.choice((0, 1, 2))):
            entries.insert(rng.randrange(len(entries) + 1), Entry())
            plan.seen.add("gaps")
    drawn = Drawn(node, entries, "any" if rng.random() < 0.2 else "")
    if plan.wants("fixed-channels") and rng.random() < 0.6:
        _fix(plan, drawn)
    starts = lay([(len(row.legs) or 1, row.channel) for row in entries], _odd(drawn))
    drawn.top = max(start + (len(row.legs) or 1) - 1 for start, row in zip(starts, entries, strict=True))
    return drawn


def _entry(plan: Plan, node: Node, signal: Signal) -> Entry:
    rng = plan.rng
    if signal.names and plan.wants("folds") and rng.random() < 0.3:
        plan.seen.add("folds")
        signal.folded.append(node.id)
        if rng.random() < 0.5:
            return Entry(signal.id, signal.legs()[:1], fold="left")
        return Entry(signal.id, signal.legs()[:1], only=signal.names[0])
    return Entry(signal.id, signal.legs())


def _fix(plan: Plan, drawn: Drawn) -> None:
    """Fix the channel of one entry, a little further on than it would be."""
    starts = lay([(len(row.legs) or 1, None) for row in drawn.entries], _odd(drawn))
    number = plan.rng.randrange(len(drawn.entries))
    entry = drawn.entries[number]
    if entry.signal:
        entry.channel = starts[number] + plan.rng.choice((0, 2, 4))
        plan.seen.add("fixed-channels")


def _inherited(plan: Plan, node: Node, signals: list[Signal]) -> Drawn:
    """Return wants in the order delivered, empty slots between them."""
    placed: dict[int, Entry] = {}
    for signal in signals:
        placed[landing(plan, node, signal.legs()[0])] = Entry(signal.id, signal.legs())
    entries: list[Entry] = []
    here = 1
    for number in sorted(placed):
        entries.extend(Entry() for _ in range(here, number))
        entries.append(placed[number])
        here = number + len(placed[number].legs)
    return Drawn(node, entries, top=here - 1)


def _odd(drawn: Drawn) -> bool:
    return not drawn.pairs and not drawn.node.recorder


def lay(rows: list[tuple[int, int | None]], odd: bool) -> list[int]:
    """Return the first slot of each (width, fixed slot): in order, a pair on an odd slot, fixed slots kept free for theirs."""
    held = {slot for width, fixed in rows if fixed is not None for slot in range(fixed, fixed + width)}
    here = 1
    starts = []
    for width, fixed in rows:
        if fixed is None:
            while held & set(range(here, here + width)) or (odd and width == 2 and here % 2 == 0):
                here += 1
        starts.append(here if fixed is None else fixed)
        here = max(here, starts[-1] + width)
    return starts


def choose(plan: Plan, drawn: Drawn, cast: Cast) -> tuple[list[Pick], list[tuple[int, str, Slot]]]:
    """Return the choices that put a list's signals on its channels in an act, and (entry, leg, slot) of each leg."""
    node = drawn.node
    rows: list[tuple[int, int | None]] = []
    kept: list[tuple[int, Entry]] = []
    number = 0
    for entry in drawn.entries:
        wants = drawn.want(entry, cast)
        number += len(wants)
        if wants[0] is None:
            rows.extend((1, None) for _ in wants)
        else:
            kept.append((len(rows), entry))
            rows.append((len(entry.legs), entry.channel))
    starts = lay(rows, _odd(drawn) and node.klass in ("slots", "two-step"))
    picks, landed = [], []
    for place, entry in kept:
        for step, leg in enumerate(entry.legs):
            bank, slot = arrives(plan, node.id, leg)
            if node.klass == "two-step":
                block = node.taken.index((bank, (slot - 1) // plan.block))
                bank, slot = "intake", block * plan.block + (slot - 1) % plan.block + 1
            if node.klass in ("slots", "two-step"):
                picks.append(Pick(node.id, node.lands, starts[place] + step, bank, slot))
            landed.append((place + 1, leg, Slot(node.id, node.lands, starts[place] + step)))
    return picks, landed
