"""A scene of a desk's memory may change inputs, preamps or outputs although nothing of that changes between acts.

What it says: for every desk whose recall is set to change patch, preamps or outputs tonight, that nothing of the kind
differs on it from one act or scene to the next: then recall can only do harm there.
Why: first-bar silence, or a bang; on a shared preamp, in everybody's ears.
When it is no fault: the change is wanted in a rehearsed scene that is no scene of the show; sign it off with a waiver.
What data it needs: `devices.recalls`; absent for a desk whose type can recall such things: not checked.
What to do: take patch, preamps, phantom and outputs out of what a scene recalls.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["recall_safe"]


def recall_safe(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each desk and kind of thing that recall may change and the show does not."""
    tally = Tally("recall-safe", show, patch)
    rows = looks(rig, show, patch)
    if len(rows) > 1:
        used = dict.fromkeys(desk for look in rows for desk in look.at_desk)
        for desk in used:
            if rig.type_of(desk).recalls or rig.devices[desk].recalls:
                tally.seen += 1
                _desk(tally, rig, desk, [look for look in rows if desk in look.rig.devices])
    yield from tally.told("the show has no acts or scenes to recall, or no desk that recalls more than its mix")


def _desk(tally: Tally, rig: Rig, desk: str, rows: list[Look]) -> None:
    kinds = rig.devices[desk].recalls
    if not kinds:
        tally.lacks("devices.recalls", "what recall is set to change on some desks is unknown", desk)
        return
    for kind in kinds:
        if kind != "none" and not any(_differs(desk, kind, one, two) for one, two in pairwise(rows)):
            told = f"Recall on {desk} may change its {kind}, and nothing of that changes over {len(rows)} acts and scenes."
            tally.found("", told, desk, numbers=(("acts and scenes", len(rows)),))


def _differs(desk: str, kind: str, one: Look, two: Look) -> bool:
    """Return whether what recall could change on a desk differs between two periods."""
    if kind == "preamps":
        before, after = _preamps(one, desk), _preamps(two, desk)
        return any(before[place] != after[place] for place in before if place in after)
    return _choices(one, desk, kind) != _choices(two, desk, kind)


def _preamps(look: Look, desk: str) -> dict[Any, Any]:
    """Return gains and phantom of the sockets a desk's positions own."""
    owned = {place for place, row in look.owner_at.items() if row.owner in look.at_desk.get(desk, ())}
    found: dict[Any, Any] = {row.at: row.gain_db for row in look.setting.gains if row.at in owned}
    for row in look.setting.phantom:
        if row.at.first and next(iter(row.at.slots())) in owned:
            found[row.at] = row.on
    return found


def _choices(look: Look, desk: str, kind: str) -> dict[Any, Any]:
    """Return what is chosen into a desk's output sockets, or into everything else of it."""
    chosen = {}
    for row in look.setting.selections:
        if row.into.device == desk:
            bank = look.ground.bank(desk, row.into.bank or "")
            if (bank is not None and bank.socket == "out") == (kind == "outputs"):
                chosen[row.into, row.alternate] = (row.from_, row.tap)
    return chosen
