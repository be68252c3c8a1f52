"""How late a signal is along its way, and how far two ways are apart.

Comes in: slots in order.  Goes out: `Late`.  Next: `look`, rules on coherence and monitoring.

What counts: a digital device's sockets (a converter stands behind each) and its channels, each by its bank's
`latency_ms`, but for a channel that hands a signal on raw, before anything has touched it; a digital link, by its
format's; a select row that converts, by its own.  A mix counts with the channels it
is made of, and a bank that only carries as nothing, unless they say a delay of their own; analogue devices and cables
count as nothing.  What else is absent is unknown, and named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from patchloom.address import Slot
from patchloom.model.rig import Bank

if TYPE_CHECKING:
    from patchloom.check.look.look import Look

__all__ = ["Late", "Part", "apart", "late"]


class Late(NamedTuple):
    """A delay, or how much later one way is than another."""

    ms: float
    """What is known of it, in milliseconds."""
    samples: Fraction
    """The same in samples at the rate of the last slot."""
    missing: tuple[str, ...]
    """Fields that are absent, such as `types.box.banks.mic.latency_ms`; empty when all is known."""
    parts: tuple[tuple[str, float], ...]
    """What adds to it, in order: (place, link or row, milliseconds)."""


class Part(NamedTuple):
    """One thing on a way that takes time: what it is, the field that says how much, and what it says."""

    what: str
    field: str
    ms: float | None


def late(look: Look, way: tuple[Slot, ...]) -> Late:
    """Return how late a signal is along a way."""
    return _sum(look, way, _timed(look, way), [])


def apart(look: Look, one: tuple[Slot, ...], two: tuple[Slot, ...]) -> Late:
    """Return how much later the second way is than the first; what takes as long on both is left out, known or not."""
    first, second = _timed(look, one), _timed(look, two)
    same = Counter((part.field, part.ms) for part in first) & Counter((part.field, part.ms) for part in second)
    return _sum(look, two, _without(second, same), _without(first, same))


def _timed(look: Look, way: tuple[Slot, ...]) -> list[Part]:
    """Return what takes time on a way, remembered: many mixes share the ways of what is in them."""
    found = look.timed.get(way)
    if found is None:
        found = look.timed[way] = list(_parts(look, way))
    return found


def _without(parts: list[Part], same: Counter[tuple[str, float | None]]) -> list[Part]:
    left = Counter(same)
    kept = []
    for part in parts:
        key = (part.field, part.ms)
        if left[key]:
            left[key] -= 1
        else:
            kept.append(part)
    return kept


def _sum(look: Look, way: tuple[Slot, ...], more: list[Part], less: list[Part]) -> Late:
    missing = tuple(dict.fromkeys(part.field for part in (*more, *less) if part.ms is None))
    exact = sum((Fraction(str(part.ms)) for part in more if part.ms is not None), Fraction(0))
    exact -= sum((Fraction(str(part.ms)) for part in less if part.ms is not None), Fraction(0))
    rate = look.rate(way[-1]) if way and way[-1].device in look.rig.devices else Fraction(0)
    parts = [(part.what, part.ms) for part in more if part.ms is not None]
    parts += [(part.what, -part.ms) for part in less if part.ms is not None]
    return Late(round(float(exact), 6), exact * rate / 1000, missing, tuple(parts))


def _parts(look: Look, way: tuple[Slot, ...]) -> Iterator[Part]:
    before: Slot | None = None
    for place, then in pairwise((*way, None)):
        assert place is not None
        if place.device not in look.rig.devices:
            before = place
            continue
        if before is not None:
            yield from _step(look, before, place)
        bank = look.ground.bank(place.device, place.bank)
        kind = look.rig.type_of(place.device)
        through = bank is not None and bank.does == "process" and not (then is not None and _raw(look, bank, place, then))
        if (
            bank is not None
            and kind.digital
            and (bank.socket or through or (bank.does != "process" and bank.latency_ms is not None))
        ):
            yield Part(f"{place.device}.{place.bank}", f"types.{kind.id}.banks.{bank.id}.latency_ms", bank.latency_ms)
        before = place


def _raw(look: Look, bank: Bank, here: Slot, there: Slot) -> bool:
    """Return whether a slot takes another by a tap that comes after nothing."""
    feeder = look.feeders.of(there)
    if feeder is None or feeder.source != here:
        return False
    tap = feeder.choice.tap if feeder.choice is not None else ""
    taps = [words for name, words in bank.taps.items() if tap in ("", name)]
    return bool(taps) and not any(taps)


def _step(look: Look, here: Slot, there: Slot) -> Iterator[Part]:
    feeder = look.feeders.of(there)
    if feeder is None or feeder.source != here:
        feeder = look.feeders.of(there, True) or feeder
    if feeder is None:
        return
    if feeder.link is not None:
        spoken = look.rig.formats.get(feeder.link.format)
        if spoken is not None and spoken.digital:
            yield Part(feeder.link.id, f"formats.{spoken.id}.latency_ms", spoken.latency_ms)
    elif feeder.row is not None and (feeder.row.select.converts or feeder.row.select.latency_ms is not None):
        kind = look.rig.type_of(there.device).id
        field = f"types.{kind}.select[{feeder.row.number - 1}].latency_ms"
        yield Part(f"{there.device}.{there.bank}", field, feeder.row.select.latency_ms)
