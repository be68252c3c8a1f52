"""The two legs of a stereo signal are not neighbours, odd and even, with the left one first.

What it says: where a list, a mix or a destination has a stereo signal on two slots that are not next to each other, stand
the wrong way round, or begin on an even slot. It stops the show where the bank locks pairs.
Why: desks link pairs odd to even, and people expect left on the lower number; a pair on 8 and 9 is opened as two halves of
other pairs (common practice, no source).
When it is no fault: the list says `pairs: any` (or lies in a bank where that is the rule, a recorder's tracks): then an even
start is no fault, two slots apart are. What the user fixed is left alone: a `channel`, a destination just as long as the
feed. What `verify` holds to the slot it says itself.
What data it needs: lists, mixes and destinations; `banks.pairs`.
What to do: leave a gap before the pair, or give it a `channel`; where the order is inherited, plug the pair odd and even.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot, parse
from patchloom.check.look import Delivery, Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["stereo_adjacent"]

_TURNED = "the wrong way round"


def stereo_adjacent(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each list, mix bank or destination with stereo out of place."""
    tally = Tally("stereo-adjacent", show, patch)
    for look in looks(rig, show, patch):
        wrong: dict[tuple[str, str, bool], list[tuple[str, Slot, Slot]]] = {}
        for name, signal, places, odd in _pairs(look):
            tally.seen += 1
            why = _wrong(places, odd)
            if why and not (why == _TURNED and _held(look, name, places[0])):
                bank = look.ground.bank(places[0].device, places[0].bank)
                locked = bank is not None and bank.pairs
                wrong.setdefault((name, why, locked), []).append((signal, *places))
        for (name, why, locked), rows in wrong.items():
            _say(tally, look, name, why, locked, rows)
    yield from tally.told("nothing stereo is delivered or mixed")


def _pairs(look: Look) -> Iterator[tuple[str, str, tuple[Slot, Slot], bool]]:
    """Yield (list, feed or `mixes of DESK`, signal, its two places, whether it is to begin odd) of everything stereo."""
    wide = {key: item.leg_ids() for key, item in look.signals.items() if len(item.leg_ids()) == 2}
    ends: dict[tuple[str, int, str], dict[str, Delivery]] = {}
    for row in look.deliveries:
        signal = look.signal_of(row.leg)
        if signal in wide and not row.alternate and not _narrow(row):
            ends.setdefault((row.to, row.entry, signal), {})[row.leg] = row
    for (to, _, signal), rows in ends.items():
        legs = wide[signal]
        if all(leg in rows for leg in legs) and not _fixed(look, rows[legs[0]]):
            places = (rows[legs[0]].end, rows[legs[1]].end)
            yield to, signal, places, _odd(look, to, places[0])
    for feed in look.show.feeds:
        legs = feed.leg_ids()
        if len(legs) == 2 and all(leg in look.setting.mixes for leg in legs):
            places = (look.setting.mixes[legs[0]], look.setting.mixes[legs[1]])
            run = parse(feed.from_ or look.show.desk_of(feed.mixed_at) or places[0].device)
            if not all(run.holds(place) for place in places):
                continue  # mixed elsewhere than asked: verify says so
            yield f"mixes of {places[0].device}", feed.id, places, True


def _narrow(row: Delivery) -> bool:
    return row.want is not None and bool(row.want.fold or row.want.leg or row.want.channel)


def _fixed(look: Look, row: Delivery) -> bool:
    """Return whether a destination leaves no choice."""
    return row.place is not None and sum(len(look.slots(text)) for text in row.place.at) <= 2


def _odd(look: Look, to: str, place: Slot) -> bool:
    bank = look.ground.bank(place.device, place.bank)
    if bank is not None and bank.pairs:
        return True
    item = look.lists.get(to)
    if item is None:
        return True
    return item.pairs == "odd" or (not item.pairs and bank is not None and bank.does == "process")


def _held(look: Look, name: str, place: Slot) -> bool:
    """Return whether verify holds the order of the legs: at destinations, and where slots are chosen one by one."""
    if name in look.signals:
        return True
    rows = look.ground.rows_into(place.device, place.bank) if name in look.lists else ()
    return any(row.by == 1 and not row.wired for row in rows)


def _wrong(places: tuple[Slot, Slot], odd: bool) -> str:
    left, right = places
    if (left.device, left.bank) != (right.device, right.bank):
        return "in two banks"
    if right.number - left.number == -1:
        return _TURNED
    if right.number - left.number != 1:
        return "not next to each other"
    return "on even and odd" if odd and left.number % 2 == 0 else ""


def _say(tally: Tally, look: Look, name: str, why: str, locked: bool, rows: list[tuple[str, Slot, Slot]]) -> None:
    shown = some(f"{signal} ({left}, {right})" for signal, left, right in rows)
    told = f"{name}: stereo stands {why}: {shown}."
    if locked:
        told = f"{told[:-1]}; the bank locks pairs."
    signals = [signal for signal, _, _ in rows]
    chief = name if name in look.lists or name in look.signals else rows[0][1].device
    severity = "stop" if locked else ""
    tally.found(look.period, told, chief, *signals, numbers=(("pairs", len(rows)),), severity=severity)
