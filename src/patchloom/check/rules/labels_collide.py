"""Two names on one desk that are equal once cut to what the desk can show.

What it says: in one list, two signals (or two legs) whose labels are the same after truncation.  It is a `stop` where
the short names were typed that way, a warning where they were derived and papers can still number them.
Why: KEYS LEFT and KEYS RIGHT both become KEYS at four characters, and somebody opens the wrong one (common practice,
no source).
When it is no fault: the same signal twice in one list, on purpose; a number or a side that stands last is kept in cutting.
What data it needs: `positions.label_length`, else the bank's `label_length`; absent: 12 characters are assumed.
What to do: give one of them another short name.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patchloom.address import parse
from patchloom.check.look import looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Feed, List, Show, Source, Want

__all__ = ["labels_collide"]

_Label = tuple[str, str, bool]
"""The label as it is shown, folded for comparing; the leg it is for; whether it was typed as a short name."""

_ABSENT = 12
"""Characters of a label where neither the position nor the bank says."""


def labels_collide(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each label that two signals of one list would share."""
    tally = Tally("labels-collide", show, patch)
    for look in looks(rig, show, patch):
        known: dict[tuple[Any, ...], list[_Label]] = {}
        for item in look.show.lists:
            length = _length(look.rig, look.show, item)
            met: dict[str, str] = {}
            clash = False
            rows: list[_Label] = []
            for want in item.wants:
                signal = look.signals.get(want.signal) if want is not None else None
                if want is None or signal is None:
                    continue
                tally.seen += 1
                key = (want.signal, want.name, want.leg, want.fold, length)
                mine = known.get(key)
                if mine is None:
                    mine = [(_cut(words, length).casefold(), leg, typed) for leg, words, typed in _names(want, signal)]
                    known[key] = mine
                rows += mine
                for label, leg, _ in mine:
                    clash |= met.setdefault(label, leg) != leg
            for label, legs in _shared(rows) if clash else ():
                _say(tally, look.period, item, label, legs, length)
    yield from tally.told("no list wants anything")


def _shared(rows: list[_Label]) -> Iterator[tuple[str, dict[str, bool]]]:
    """Yield each label that several legs would have, with those legs and whether each is typed as a short name."""
    labels: dict[str, dict[str, bool]] = {}
    for label, leg, typed in rows:
        labels.setdefault(label, {}).setdefault(leg, typed)
    yield from ((label, legs) for label, legs in labels.items() if len(legs) > 1)


def _say(tally: Tally, period: str, item: List, label: str, legs: dict[str, bool], length: int) -> None:
    """Note a label: a stop where the short names were typed, a warning where papers can still number them."""
    told = f"{item.id} shows {some(legs)} {'both' if len(legs) == 2 else 'all'} as {label!r}, cut to {length} characters."
    numbers = (("characters", length), ("equal", len(legs)))
    tally.found(period, told, item.id, *legs, numbers=numbers, severity="" if all(legs.values()) else "warn")


def _length(rig: Rig, show: Show, item: List) -> int:
    own = show.position(item.position).label_length
    if own is not None:
        return own
    span = parse(item.at)
    kind = rig.type_of(span.device).banks.get(span.bank or "") if span.device in rig.devices else None
    return kind.label_length if kind is not None and kind.label_length else _ABSENT


def _names(want: Want, signal: Source | Feed) -> Iterator[tuple[str, str, bool]]:
    """Yield (leg, the words of its label, whether they were typed as a short name) for the legs of a want."""
    stem = signal.short or want.name or signal.name or signal.id
    for leg in [want.leg] if want.leg else [""] if want.fold or not signal.legs else list(signal.legs):
        yield (f"{signal.id}.{leg}", f"{stem} {leg}", bool(signal.short)) if leg else (signal.id, stem, bool(signal.short))


def _cut(words: str, length: int) -> str:
    """Return words cut to a length; the last one stays whole where it is short, as legs and numbers stand last."""
    if len(words) <= length:
        return words
    head, _, tail = words.rpartition(" ")
    if head and len(tail) <= max(2, length // 3):
        return head.replace(" ", "")[: length - len(tail)] + tail
    return words.replace(" ", "")[:length]
