"""One source comes to a desk by two ways that are not equally late, and both are heard.

What it says: by how many samples the ways differ and where the first null of the comb lies. It stops the show where a list
has the source itself twice and a mix there contains it; it is a warning where nothing is said to mix both, and where one
of the ways is inside another position's mix, as when a stream adds a voice to a mix that has it already. Two signals that the
show declares to be `summed` and that come unequally late are `summed-unlike`, which `verify` says.
Why: two copies of one sound, summed, cancel from 1/(2 t) upward: 1 ms apart at 500 Hz, 3 samples at 8 kHz (arithmetic).
When it is no fault: one of the two is a declared backup and never open together with the other (an alternate input is not
counted); or the earlier one is delayed at the desk to fit: sign a waiver that says by how much.
What data it needs: `latency_ms` of the banks, formats and converting rows that differ between the ways; `feeds.of`.
Where they are absent it is not checked.
What to do: take it by one way only, or take it out of one of the two (N-1), or delay the earlier one by the samples given.
Source: comb nulls by arithmetic, f = 1 / (2 t); Everest, Master Handbook of Acoustics, has 1 ms at 500 Hz (from secondary
sources)
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Delivery, Late, Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.library.physics import comb_nulls_hz
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["split_paths_aligned"]

_Row = tuple[str, Late]
"""A source, and how far its second way is behind the first."""


def split_paths_aligned(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each desk, and each mix inside a mix, where ways of one source meet out of step."""
    tally = Tally("split-paths-aligned", show, patch)
    for look in looks(rig, show, patch):
        _twice_at_a_desk(tally, look)
        _twice_in_mixes(tally, look)
    yield from tally.told("no source comes to one desk by two ways")


def _twice_at_a_desk(tally: Tally, look: Look) -> None:
    wrong: dict[tuple[str, tuple[str, ...], bool], list[_Row]] = {}
    for (signal, device), rows in look.into.arrivals.items():
        if len(rows) < 2:
            continue
        ways: dict[str, list[Delivery]] = {}
        for row in rows:
            if look.ground.bank(device, row.end.bank) is not None:
                ways.setdefault(row.leg, []).append(row)
        for leg, several in ways.items():
            first, *others = sorted(several, key=lambda row: (row.to, row.hops))
            for other in others:
                apart = _apart(tally, look, leg, first.hops, other.hops)
                if apart is not None:
                    lists = tuple(dict.fromkeys((first.to, other.to)))
                    summed = first.position == other.position and _mixed(look, device, signal)
                    wrong.setdefault((device, lists, summed), []).append((leg, apart))
    for (device, lists, summed), found in wrong.items():
        legs = _legs(found)
        verb = "comes" if len(legs) == 1 else "come"
        told = f"{some(legs)} {verb} to {device} ({', '.join(lists)}) by two ways, {_span(found, 'apart')}"
        told += "; a mix there contains both." if summed else "; nothing is said to mix both."
        severity = "stop" if summed else "warn"
        tally.found(look.period, told, device, *lists, *legs, numbers=_numbers(found), severity=severity)


def _mixed(look: Look, device: str, signal: str) -> bool:
    return any(look.into.desks.get(feed) == device and signal in row.signals for feed, row in look.mixing.items())


def _twice_in_mixes(tally: Tally, look: Look) -> None:
    """Note sources that mixes have twice; mixes of one desk that have the same twice are one finding."""
    known: dict[tuple[str, ...], Late | None] = {}
    wrong: dict[tuple[str, str, tuple[_Row, ...]], list[str]] = {}
    for feed in look.mixing:
        for before, other, found in _twice(tally, look, feed, known):
            wrong.setdefault((before, other, tuple(found)), []).append(feed)
    for (before, other, rows), feeds in wrong.items():
        found = list(rows)
        how, mixes = (f"inside {before}", (before, other)) if before else ("straight", (other,))
        verb = "gets" if len(feeds) == 1 else "get"
        told = f"{some(feeds)} {verb} {some(_legs(found))} {how} and again inside {other}, {_span(found)}."
        tally.found(look.period, told, *feeds, *mixes, *_legs(found), numbers=_numbers(found), severity="warn")


def _twice(
    tally: Tally, look: Look, feed: str, known: dict[tuple[str, ...], Late | None]
) -> Iterator[tuple[str, str, list[_Row]]]:
    """Yield (mix, empty where straight; mix it is in again; sources) of what a mix has twice; `known`: distances met before."""
    inner = look.into.feeds(feed)
    if inner and look.mixing[feed].assumed:
        tally.lacks("feeds.of", "a mix at a desk that gets other mixes does not say what it contains", feed)
        return
    desk = look.into.desks.get(feed, "")
    signals = look.into.signals(feed)
    met: dict[str, str] = {}
    for other in inner:
        wrong: dict[str, list[_Row]] = {}
        for name in look.mixing[other].sources:
            if name in signals and (name, desk) in look.into.arrivals:
                met.setdefault(name, "")
            before = met.setdefault(name, other)
            if before == other:
                continue
            key = (name, desk, before, other)
            if key not in known:
                one = look.into.inside(name, before, feed) if before else look.into.straight(name, feed)
                two = look.into.inside(name, other, feed)
                known[key] = _apart(tally, look, name, one, two) if one and two else None
            apart = known[key]
            if apart is not None:
                wrong.setdefault(before, []).append((name, apart))
        for before, found in wrong.items():
            yield before, other, found


def _apart(tally: Tally, look: Look, name: str, one: tuple[Slot, ...], two: tuple[Slot, ...]) -> Late | None:
    """Return how far two ways are apart; None where they are level, or where it is not known."""
    tally.seen += 1
    apart = look.apart(one, two)
    for field in apart.missing:
        tally.lacks(field, "a source comes by two ways whose delay is not known", name)
    return apart if apart.samples and not apart.missing else None


def _legs(found: list[_Row]) -> list[str]:
    return list(dict.fromkeys(leg for leg, _ in found))


def _span(found: list[_Row], word: str = "") -> str:
    sizes = sorted(abs(float(late.samples)) for _, late in found)
    longest = max((late for _, late in found), key=lambda late: abs(late.samples))
    one = f"{sizes[0]:.4g}" if round(sizes[0], 3) == round(sizes[-1], 3) else f"{sizes[0]:.4g} to {sizes[-1]:.4g}"
    signs = {late.samples > 0 for _, late in found}
    word = word or ("apart" if len(signs) > 1 else "later" if True in signs else "earlier")
    null = comb_nulls_hz(abs(longest.ms))[0]
    return f"{one} samples {word} ({abs(longest.ms):.4g} ms): first null at {null:.0f} Hz"


def _numbers(found: list[_Row]) -> tuple[tuple[str, float], ...]:
    longest = max((late for _, late in found), key=lambda late: abs(late.samples))
    null = comb_nulls_hz(abs(longest.ms))[0]
    return (
        ("samples", round(abs(float(longest.samples)), 3)),
        ("apart ms", round(abs(longest.ms), 6)),
        ("first null Hz", round(null)),
        ("sources", len(_legs(found))),
    )
