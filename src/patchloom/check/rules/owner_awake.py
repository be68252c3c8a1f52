"""The position that owns preamps in use has nobody at its desk.

What it says: preamps are in use whose owner's desk is said to have nobody at it, or whose owner takes no part in this
act, or whose owner's desk leaves before the end while the preamps stay.
Why: the gains of everybody are frozen, or held by whoever walked away; in the matinee without a monitor desk nobody can
turn a clipping preamp down (common practice, no source).
When it is no fault: the gains are set once, locked, and written down: sign a waiver.
What data it needs: `devices.manned` of the owner's desk, or `positions.person`; `devices.leaves`; the lists of the act.
Where neither says who is there it is not checked.
What to do: give the preamps to a position that is at work, for that act if need be; or say who is at the desk.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["owner_awake"]


def owner_awake(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each owner of preamps in use who is not there to move them."""
    tally = Tally("owner-awake", show, patch)
    for look in looks(rig, show, patch):
        owned: dict[str, dict[str, int]] = {}
        for amp in look.amps.values():
            if amp.owner in look.desks:
                boxes = owned.setdefault(amp.owner, {})
                boxes[amp.at.device] = boxes.get(amp.at.device, 0) + 1
        for owner, boxes in owned.items():
            tally.seen += 1
            _judge(tally, look, owner, boxes)
    yield from tally.told("no preamp in use is owned by a position with a desk")


def _judge(tally: Tally, look: Look, owner: str, boxes: dict[str, int]) -> None:
    desk = look.rig.devices[look.desks[owner]]
    count = sum(boxes.values())
    words = f"{owner} owns {count} preamp{'' if count == 1 else 's'} in use on {', '.join(boxes)}"
    numbers = (("preamps", count),)
    if desk.manned == "no":
        tally.found(look.period, f"{words}, and nobody is at {desk.id}.", owner, desk.id, *boxes, numbers=numbers)
    elif not _at_work(look, owner):
        told = f"{words}, and has neither a list nor a mix."
        tally.found(look.period, told, owner, desk.id, *boxes, numbers=numbers)
    else:
        stay = [box for box in boxes if desk.leaves and not look.rig.devices[box].leaves]
        if stay:
            told = f"{words}; {desk.id} leaves before the end, and {', '.join(stay)} {'stays' if len(stay) == 1 else 'stay'}."
            tally.found(look.period, told, owner, desk.id, *stay, numbers=numbers)
        if not desk.manned and not look.show.position(owner).person:
            tally.lacks("devices.manned", "nobody is named at a desk that owns preamps", desk.id)


def _at_work(look: Look, position: str) -> bool:
    """Return whether a position has anything to do in this act; one that never has a list or a mix only looks after gains."""
    lists = any(row.position == position and any(want is not None for want in row.wants) for row in look.show.lists)
    mixes = any(feed.mixed_at == position for feed in look.show.feeds)
    ever = any(row.position == position for row in look.whole.lists) or any(
        feed.mixed_at == position for feed in look.whole.feeds
    )
    return lists or mixes or not ever
