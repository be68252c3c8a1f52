"""One source under two names, or one name for two sources.

What it says: a signal that lists of one period call differently, and a list that calls a signal by the name of another
one that is not on it.  Labels of one list that are equal once cut are `labels-collide`.
Why: "which one is Voice 2?" costs the change-over; a name that means another source at the next desk costs the show.
When it is no fault: two languages, or a position that asked for its own words; sign it off with a waiver.
What data it needs: `sources.name`, `feeds.name`, `lists.wants.name`; absent names are the id.  Entries of one leg have
names of their own.
What to do: name the source once and let every paper take it from there.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["labels_agree"]


def labels_agree(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each signal with several names, and for each name that is another signal's."""
    tally = Tally("labels-agree", show, patch)
    for look in looks(rig, show, patch):
        names = {key: signal.name or key for key, signal in look.signals.items()}
        meant: dict[str, list[str]] = {}
        for key, name in names.items():
            meant.setdefault(name.casefold(), []).append(key)
        calls = _calls(look)
        tally.seen += len(names)
        listed = {item.id: {want.signal for want in item.wants if want is not None} for item in look.show.lists}
        for signal, words in calls.items():
            others = []
            for who, word in words:
                # Two labels alike on one list are `labels-collide`.
                meant_too = [key for key in meant.get(word.casefold(), ()) if key != signal]
                others += [(who, word, key) for key in meant_too[:1] if key not in listed[who]]
            for who, word, other in others:
                told = f"{who} calls {signal} {word!r}, and that is the name of {other}."
                tally.found(look.period, told, who, signal, other, severity="stop")
            if not others:
                _several(tally, look, signal, names[signal], words)
    yield from tally.told("there are no signals")


def _calls(look: Look) -> dict[str, list[tuple[str, str]]]:
    """Return (list, what it calls it) for each signal that a list gives a name of its own."""
    found: dict[str, list[tuple[str, str]]] = {}
    for item in look.show.lists:
        for want in item.wants:
            if want is not None and want.name and not want.leg and want.signal in look.signals:
                found.setdefault(want.signal, []).append((item.id, want.name))
    return found


def _several(tally: Tally, look: Look, signal: str, name: str, words: list[tuple[str, str]]) -> None:
    unlike = [(who, word) for who, word in words if word.casefold() != name.casefold()]
    if unlike:
        told = ", ".join(f"{word!r} at {who}" for who, word in unlike)
        count = len({word.casefold() for _, word in unlike}) + 1
        where = (signal, *(who for who, _ in unlike))
        tally.found(look.period, f"{signal} is {name!r}, and {told}.", *where, numbers=(("names", count),))
