"""A line is plugged, or a mix made, and nobody gets it.

What it says: a source in use that is plugged and arrives on no list; a feed that is mixed and arrives nowhere; a choice
of a single slot that carries something to where nobody wants it.
Why: it costs a socket, a channel of a link, perhaps phantom, and the time of whoever looks for its use (common
practice, no source).
When it is no fault: a declared spare (`spare_of`), a choice the show fixes, what comes along in a block; a line of the
house that lies there for whoever wants it: sign that off with a waiver.
What data it needs: the patch alone.
What to do: take it out, or put it on the list of whoever should get it.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.speak import some
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["unused_but_patched"]


def unused_but_patched(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for what is plugged, for what is mixed, and for what is chosen, and reaches nobody."""
    tally = Tally("unused-but-patched", show, patch)
    for look in looks(rig, show, patch):
        idle = {leg: place for leg, place in look.setting.plugs.items() if leg in look.sources and leg not in look.by_leg}
        tally.seen += len(look.setting.plugs) + len(look.setting.mixes)
        rows = [(leg, place) for leg, place in idle.items() if not look.sources[leg].spare_of]
        _say(tally, look, rows, "plugged", "and on no list")
        mixes = [(leg, place) for leg, place in look.setting.mixes.items() if leg in look.feeds and leg not in look.by_leg]
        _say(tally, look, mixes, "mixed", "and led nowhere")
        _say(tally, look, list(_dead_ends(look)), "chosen", "and wanted by nobody there")
    yield from tally.told("nothing is plugged or mixed")


def _say(tally: Tally, look: Look, rows: list[tuple[str, Slot]], how: str, why: str) -> None:
    if rows:
        told = some(f"{leg} at {look.ground.say(place)}" for leg, place in rows)
        where = [*(leg for leg, _ in rows), *(place for _, place in rows)]
        tally.found(look.period, f"{told}: {how}, {why}.", *dict.fromkeys(where), numbers=(("lines", len(rows)),))


def _dead_ends(look: Look) -> Iterator[tuple[str, Slot]]:
    """Yield what single choices carry past everybody: the last slot of each way, a second channel at one desk left out."""
    fixed = {place for row in look.show.fixed for place in look.slots(row.into)}
    fixed |= {place for row in look.show.inserts for place in look.slots(row.send)}
    used = look.used
    for device, name, table in look.picked():
        legs, bank = look.legs.get((device, name), {}), look.ground.bank(device, name)
        channels = bank is not None and bank.does == "process"
        for number, feed in table.items():
            if feed.row is None or feed.row.by > 1 or (device, name, number) in used or feed.kind != "select":
                continue
            leg, place = legs.get(number, ""), Slot(device, name, number)
            if not leg or place in fixed or leg not in look.by_leg:
                continue
            if not (channels and any(row.end.device == device for row in look.by_leg[leg])):
                yield leg, place
