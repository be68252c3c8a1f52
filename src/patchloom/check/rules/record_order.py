"""Tracks that are not raw, not in the order published, or that write into each other's file.

What it says: for every list that lands in a recorder: an entry that may be taken after something in a channel; tracks
that do not follow the order of the list although a note says so; two entries with one file name.
Why: a recording that cannot be mixed afterwards, or that takes a day to sort.
When it is no fault: a track that is meant to be processed, agreed with whoever mixes it: sign it off with a waiver.
What data it needs: `banks.ends` of the recorder's tracks, `wants.tap`, `sources.file_name`.
What to do: take the tap before everything, keep the order, and send the track list along with the files.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from patchloom.address import parse
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import List, Show, Source

__all__ = ["record_order"]


def record_order(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield findings for lists of tracks that are not raw, not in order, or not told apart."""
    tally = Tally("record-order", show, patch)
    for look in looks(rig, show, patch):
        for item in look.show.lists:
            span = parse(item.at)
            bank = look.ground.bank(span.device, span.bank or "")
            if bank is not None and bank.ends == "record":
                tally.seen += 1
                _raw(tally, look, item)
                _order(tally, look, item)
                _files(tally, look, item)
    yield from tally.told("no list lands on a recorder's tracks")


def _raw(tally: Tally, look: Look, item: List) -> None:
    worked = [
        want for want in item.wants if want is not None and want.tap and want.signal in {row.id for row in look.show.sources}
    ]
    if worked:
        told = some(f"{want.signal} after {want.tap}" for want in worked)
        names = (want.signal for want in worked)
        tally.found(look.period, f"{item.id} lets {told} be recorded.", item.id, *names, numbers=(("tracks", len(worked)),))


def _order(tally: Tally, look: Look, item: List) -> None:
    rows = sorted((row for row in look.by_to.get(item.id, ()) if not row.alternate), key=lambda row: row.entry)
    late = [two for one, two in pairwise(rows) if two.end.number < one.end.number]
    if late and any(item.id in note for note in look.setting.notes):
        names = [f"{row.leg} on track {row.end.number}" for row in late]
        told = f"{item.id} is not recorded in the order of its list: {some(names)} out of turn."
        tally.found(
            look.period, told, item.id, *(row.leg for row in late), numbers=(("out of turn", len(late)),), severity="warn"
        )


def _files(tally: Tally, look: Look, item: List) -> None:
    names: dict[str, list[str]] = {}
    for want in item.wants:
        source = look.signals.get(want.signal) if want is not None else None
        if isinstance(source, Source) and source.file_name:
            names.setdefault(source.file_name.casefold(), []).append(source.id)
    for word, ids in names.items():
        if len(ids) > 1:
            told = f"{item.id} writes {some(ids)} into files of one name, {word!r}."
            tally.found(look.period, told, item.id, *ids, numbers=(("tracks", len(ids)),))
