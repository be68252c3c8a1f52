"""Who feeds each slot in one period: every choice of the patch, held against the select rows.

Comes in: a `Ground`, a `Setting`.  Goes out: `Feeders`, one feeder at most for every slot (the first one where
there are two), and the items for choices the rig does not allow.  Next: `signals` pushes signals through.

A choice that no row allows feeds nothing; the slots it would have fed remember which item is to blame, so
that what is lost behind it is folded there.  Linear in the slots chosen.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from patchloom.address import Slot
from patchloom.check.fitting import Fitting, run_end
from patchloom.check.ground import Ground, Row, Way
from patchloom.check.report import Item, Report
from patchloom.check.side import Feed, Feeder, Move, Side, feeder
from patchloom.model.patch import Selection, Setting

__all__ = ["Feeder", "Feeders"]


class _Plan(NamedTuple):
    """What all choices between two banks at one tap have in common, where the rig has both."""

    table: dict[int, Feed]
    pairs: list[tuple[Row, int, int, int, int, int, Move]]
    """Each `Pair`, with its block and the way taken."""
    most: int
    from_most: int


_new = tuple.__new__
_PLENTY = 1 << 30


class Feeders:
    """The feeders of one period; `blame` says which item a slot's emptiness is folded under."""

    def __init__(self, ground: Ground, setting: Setting, report: Report) -> None:
        self.ground = ground
        self.report = report
        self.blame: dict[tuple[Slot, bool], Item] = {}
        self._sides: dict[tuple[str, str, bool], Side] = {}
        self.fitting = Fitting(ground)
        self._plans: dict[tuple[str, str | None, str, str | None, bool, str], _Plan | None] = {}
        self._moves: dict[tuple[str, str, str, int, str], Move] = {}
        self._rooms: dict[tuple[str, str], int] = {}
        self._most: dict[tuple[str, str], int] = {}
        for choice in setting.selections:
            if not self._plain(choice):
                self._choose(choice)

    # asking

    def side(self, device: str, bank: str, turned: bool = False) -> Side:
        """Return the main (or alternate) inputs of a bank; of one the rig does not have, none is fed."""
        key = (device, bank, turned)
        found = self._sides.get(key)
        if found is None:
            ways = [w for w in self.ground.ways(device, bank) if (w.row is not None and w.row.select.alternate) == turned]
            found = self._sides[key] = Side(device, bank, turned, ways, self.ground.preamp(device, bank) is not None)
        return found

    def of(self, place: Slot, alternate: bool = False) -> Feeder | None:
        """Return the feeder of a slot's main (or alternate) input, None when nothing feeds it."""
        found = self.side(place.device, place.bank, alternate).feed(place.number)
        return None if found is None else feeder(found, place.number)

    def chosen(self, alternate: bool = False) -> Iterator[tuple[Slot, Feeder]]:
        """Yield every slot that a choice, a plug or a mix feeds, with its feeder, `void` ones too."""
        for side in list(self._sides.values()):
            if side.turned == alternate:
                for number, feed in list(side.table.items()):
                    yield Slot(side.device, side.bank, number), feeder(feed, number)

    def tables(self) -> Iterator[tuple[str, str, dict[int, Feed]]]:
        """Yield device, bank, and what feeds its slots by choice, plug or mix, for every bank's main inputs; `void` feeds too."""
        for side in list(self._sides.values()):
            if not side.turned and side.table:
                yield side.device, side.bank, side.table

    def way(self, place: Slot, alternate: bool = False) -> Way | None:
        """Return the run that always feeds a slot, by wire or link; None where nothing does."""
        side = self.side(place.device, place.bank, alternate)
        at = side.always(place.number) if side.starts else -1
        return side.ways[at] if at >= 0 else None

    def forget(self) -> None:
        """Let go of everything, sides and nodes that lead to each other, so that nobody need look for them; ask no more."""
        for side in self._sides.values():
            side.table.clear()
            side.nodes.clear()
            side.feeds.clear()

    # setting

    def enter(self, kind: str, leg: str, place: Slot) -> None:
        """Let a plug or a mix feed a slot, unless something else does already."""
        self._feed(place, False, Feed(kind, leg, None, None, None, None, 0))

    def _feed(self, place: Slot, alternate: bool, feed: Feed) -> None:
        side = self.side(place.device, place.bank, alternate)
        first = side.table.get(place.number)
        way = None if first else self.way(place, alternate)
        if first is None and way is None:
            side.table[place.number] = feed
            return
        words = _words(first, place.number) if first else f"link {way.link.id}" if way and way.link else "a wired row"
        self.collide(place, alternate, words, _words(feed, place.number), feed.choice)

    def collide(self, place: Slot, alternate: bool, one: str, two: str, choice: Selection | None = None) -> None:
        """Note that a slot has two feeders; a run of them under one choice is one finding."""
        key = (str(choice.into), str(choice.from_)) if choice else (str(place), two)
        item = self.report.add(
            "one-feeder", f"{self.ground.say(place)} is fed by {one} and by {two}.", place, numbers=(("feeders", 2),), key=key
        )
        self.blame[place, alternate] = item

    def _plain(self, choice: Selection) -> bool:
        """Return whether a choice had nothing about it, and has been set; whatever it has is looked into by `_choose`."""
        device, bank, first, last = choice.into
        from_device, from_bank, from_first, from_last = choice.from_
        key = (device, bank, from_device, from_bank, choice.alternate, choice.tap)
        try:
            plan = self._plans[key]
        except KeyError:
            plan = self._plans[key] = self._plan(choice)
        if plan is None or first is None or last is None or from_first is None or from_last is None:
            return False
        table, pairs, most, from_most = plan
        shift = from_first - first
        if last > most or from_last > from_most or from_last - last != shift:
            return False
        for row, low, high, from_low, from_high, by, move in pairs:
            if low <= first and last <= high and from_low <= from_first and from_last <= from_high:
                if by > 1 and ((first - low) % by or (from_first - from_low) % by or last != min(first + by - 1, high)):
                    return False
                feed: Feed = _new(Feed, ("select", "", row, None, choice, move, shift))
                if first == last:
                    return table.setdefault(first, feed) is feed
                run = range(first, last + 1)
                if table.keys().isdisjoint(run):
                    table.update(dict.fromkeys(run, feed))
                    return True
                return False
        return False

    def _plan(self, choice: Selection) -> _Plan | None:
        """Return what holds for all choices between two banks; None where each must be looked into."""
        into, source = choice.into, choice.from_
        if into.device != source.device or into.device not in self.ground.rig.devices or not into.bank or not source.bank:
            return None
        most, from_most = self._room(into.device, into.bank), self._room(source.device, source.bank)
        side = self.side(into.device, into.bank, choice.alternate)
        if not most or not from_most or side.starts:
            return None
        pairs = self.fitting.pairs_of(into.device, into.bank, source.bank, choice.alternate)
        if any(self.fitting.tap_words(choice, pair.row) for pair in pairs):
            return None
        return _Plan(side.table, [(*pair, pair.row.by, self._move(choice, pair.row)) for pair in pairs], most, from_most)

    def _room(self, device: str, bank: str) -> int:
        """Return how many slots of a bank can be used at its rate and with its link; 0 for what is not there."""
        key = (device, bank)
        found = self._rooms.get(key)
        if found is None:
            size = self.ground.size(device, bank) if self.ground.known(device, bank) else None
            found = self._rooms[key] = min(size, self._carried(device, bank)) if size else 0
        return found

    def _move(self, choice: Selection, row: Row) -> Move:
        device, bank = choice.from_.device, choice.from_.bank or ""
        key = (device, bank, choice.into.bank or "", row.number, choice.tap)
        found = self._moves.get(key)
        if found is None:
            found = self._moves[key] = Move(device, bank)
        return found

    def _choose(self, choice: Selection) -> None:
        into, source = choice.into, choice.from_
        item = self._absent(choice) or self._bounds(choice)
        if item is None:
            fit = self.fitting.fit(choice)
            item = None if fit.row else self.report.add(fit.rule, fit.why, into, source)
            if fit.row is not None:
                self._check_way(choice, fit.row)
                words = self.fitting.tap_words(choice, fit.row)
                tap_item = self.report.add("tap-unknown", words, into, source) if words else None
                self._set(choice, fit.row, tap_item)
                return
        self._blame(choice, item)

    def _blame(self, choice: Selection, item: Item | None) -> None:
        """Remember which item emptied the slots of a choice, and of the whole runs it touches."""
        into = choice.into
        if (
            item is None
            or into.first is None
            or into.last is None
            or not into.bank
            or not self.ground.known(into.device, into.bank)
        ):
            return
        low, high = into.first, into.last
        for row in self.ground.rows_into(into.device, into.bank):
            first, last = self.ground.bounds(into.device, row.into)
            if row.by > 1 and first <= low <= last:
                low -= (low - first) % row.by
                high = min(max(high, low + row.by - 1), last)
        for number in range(low, min(high, low + 4095) + 1):
            self.blame.setdefault((Slot(into.device, into.bank, number), choice.alternate), item)

    def _set(self, choice: Selection, row: Row, item: Item | None) -> None:
        into, source = choice.into, choice.from_
        assert into.bank
        assert source.bank
        assert into.first
        assert into.last
        assert source.first
        taken = Feed("select", "", row, None, choice, self._move(choice, row), source.first - into.first)
        void = Feed("void", "", row, None, choice, None, 0)
        for step in range(into.last - into.first + 1):
            place = Slot(into.device, into.bank, into.first + step)
            if item is not None:
                self.blame[place, choice.alternate] = item
            # The tail of a block that a link does not carry is empty, and nobody's fault.
            lost = row.by > 1 and step and source.first + step > self._carried(source.device, source.bank)
            self._feed(place, choice.alternate, void if lost else taken)
        if row.by > 1:
            for number in range(into.last + 1, run_end(self.ground, into.device, row, into.first) + 1):
                self._feed(Slot(into.device, into.bank, number), choice.alternate, void)

    # judging one choice

    def _absent(self, choice: Selection) -> Item | None:
        for span in (choice.into, choice.from_):
            if span.device not in self.ground.rig.devices:
                return self.report.add(
                    "device-absent",
                    f"{choice.into} takes {choice.from_}, but {span.device} is not there.",
                    choice.into,
                    choice.from_,
                )
            if span.bank is None or span.first is None or not self.ground.known(span.device, span.bank):
                return self.report.add(
                    "no-such-place",
                    f"{choice.into} takes {choice.from_}, but {span} is no run of slots of this rig.",
                    choice.into,
                    choice.from_,
                )
        if choice.into.device != choice.from_.device:
            return self.report.add(
                "no-select-row",
                f"{choice.into} takes {choice.from_}: a device selects only from its own banks.",
                choice.into,
                choice.from_,
            )
        return None

    def _bounds(self, choice: Selection) -> Item | None:
        for span in (choice.into, choice.from_):
            assert span.bank is not None
            assert span.last is not None
            size = self.ground.size(span.device, span.bank)
            if size is None:
                rate = self.ground.rate(span.device, span.bank)
                return self.report.add(
                    "rate-unsupported",
                    f"{span.device}.{span.bank} does not work at {rate} Hz.",
                    f"{span.device}.{span.bank}",
                    numbers=(("rate Hz", str(rate)),),
                )
            if span.last > size:
                over = self.beyond(Slot(span.device, span.bank, span.last))
                if over is not None:
                    over.idle = False
                return over or self.report.add(
                    "out-of-range",
                    f"{span} goes beyond {span.device}.{span.bank}, which has {size} slots.",
                    span,
                    numbers=(("slot", span.last), ("slots there", size)),
                )
        return None

    def _check_way(self, choice: Selection, row: Row) -> None:
        """Note a choice into what the link does not carry, or from a port nothing is joined to."""
        # A block may drop its tail at the end of a link; single choices may not lie beyond it.
        for span in (choice.into, choice.from_):
            last = (span.last if row.by == 1 else span.first) or 0
            if last > self._carried(span.device, span.bank or ""):
                place = Slot(span.device, span.bank or "", last)
                found = self.beyond(place) or self.unjoined(place)
                if found is not None:
                    found.idle = False

    def _carried(self, device: str, bank: str) -> int:
        """Return how many slots of a port's side its link carries; more than any bank has where that is no question."""
        key = (device, bank)
        if key not in self._most:
            side = self.ground.port(device, bank)
            carry = self.ground.carry_at(device, bank) if side is not None else None
            free = side is None or side[1] == "out"
            self._most[key] = carry.most if carry is not None else _PLENTY if free else 0
        return self._most[key]

    def unjoined(self, place: Slot) -> Item | None:
        """Return the item for a slot of a port's in side that nothing is joined to; None for any other slot."""
        side = self.ground.port(place.device, place.bank)
        if side is None or side[1] != "in" or self.ground.joined.get((place.device, side[0].id)):
            return None
        return self.report.add(
            "link-absent",
            f"{place} is taken, but nothing is joined to {place.device}.{side[0].id}.",
            f"{place.device}.{side[0].id}",
        )

    def beyond(self, place: Slot) -> Item | None:
        """Return the item for a slot the link at its port does not carry; None where it does."""
        side = self.ground.port(place.device, place.bank)
        carry = self.ground.carry_at(place.device, place.bank) if side else None
        if side is None or carry is None or place.number <= carry.most:
            return None
        link, _ = self.ground.joined[place.device, side[0].id][0]
        ends = self.ground.ends[link.id]
        here = 0 if (ends[0].device, ends[0].name) == (place.device, side[0].id) else 1
        sender = here if side[1] == "out" else 1 - here
        item = self.report.add(
            carry.rule, "", link.id, place, key=link.id if carry.rule == "rate-unsupported" else (link.id, sender)
        )
        most = max(place.number, dict(item.numbers).get("slot", 0))
        item.numbers = (("slot", most), ("channels", carry.most))
        way = f"from {ends[sender].device} to {ends[1 - sender].device}"
        item.message = (
            f"Slot {most} of link {link.id} {way} is used, but it carries {carry.most}: {carry.why}."
            if carry.most
            else f"Link {link.id} carries nothing {way}, and slot {most} is used: {carry.why}."
        )
        return item


def _words(feed: Feed, number: int) -> str:
    if feed.kind == "plug":
        return f"{feed.leg}, plugged there"
    if feed.kind == "mix":
        return f"{feed.leg}, mixed there"
    source = feeder(feed, number).source
    return str(source) if source else f"the block from {feed.choice.from_}" if feed.choice else feed.kind
