"""A source and its spare of the same kind are wanted at different gains by one position.

What it says: for every source that stands in for another one of the same kind, and every position that has both on a
list, whether it wants both at the same total gain.
Why: whoever changes over in the middle of a sentence gets a step in level, or feedback.
When it is no fault: the spare is another microphone and needs another gain: then say so in a waiver.
What data it needs: `sources.want_db` of both; absent: not checked.
What to do: set both alike and listen to both before doors.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Source

__all__ = ["spare_gain_matches"]


def spare_gain_matches(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each spare and position where the gains wanted differ."""
    tally = Tally("spare-gain-matches", show, patch)
    for look in looks(rig, show, patch):
        for spare in look.show.sources:
            main = look.signals.get(spare.spare_of)
            if isinstance(main, Source) and main.kind == spare.kind:
                for position in _both(look, main.id, spare.id):
                    tally.seen += 1
                    _pair(tally, look, main, spare, position)
    yield from tally.told("no position has a source and its spare of the same kind")


def _both(look: Look, main: str, spare: str) -> list[str]:
    heard: dict[str, set[str]] = {}
    for item in look.show.lists:
        for want in item.wants:
            if want is not None:
                heard.setdefault(item.position, set()).update(name for name in (want.signal, want.alternate) if name)
    return [position for position, names in heard.items() if {main, spare} <= names]


def _pair(tally: Tally, look: Look, main: Source, spare: Source, position: str) -> None:
    one, two = main.want_db.get(position), spare.want_db.get(position)
    if one is None or two is None:
        bare = [row.id for row, value in ((main, one), (spare, two)) if value is None]
        tally.lacks("sources.want_db", "what gain some spares, or those they stand in for, are wanted at is unknown", *bare)
    elif one != two:
        told = f"{position} wants {main.id} at {one:g} dB and its spare {spare.id} at {two:g} dB."
        tally.found(look.period, told, spare.id, main.id, position, numbers=(("main dB", one), ("spare dB", two)))
