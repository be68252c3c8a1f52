"""Nobody knows which gains win when a desk takes over a box, or the desk's win in the middle of the show.

What it says: preamps of a box are moved from a desk, and the box's type does not say whether the box keeps its gains or
the desk sends its own when it joins; or the desk's win, and the owner changes from one act to the next.
Why: at the moment of joining, gains may jump by tens of dB, at every position and in everybody's ears (common practice,
no source).
When it is no fault: somebody tried it at this box, muted; then say it in the type (`takeover`).
What data it needs: `types.takeover` of the box; its absence is the finding. Owners by act.
What to do: find out and write it down; mute before joining; have the desk's file hold the right gains first.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.address import Slot
from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["takeover_known"]


def takeover_known(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each type of box that does not say which gains win, and each takeover with a jump."""
    tally = Tally("takeover-known", show, patch)
    unknown: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    before: dict[Slot, str] = {}
    for look in looks(rig, show, patch):
        for box, owners in _boxes(look).items():
            tally.seen += 1
            kind = look.type(box)
            if not kind.takeover:
                boxes, desks = unknown.setdefault(kind.id, ({}, {}))
                boxes.setdefault(box)
                desks.update(dict.fromkeys(owners))
            elif kind.takeover == "desk":
                _handed_over(tally, look, box, before)
        before.update((place, amp.owner) for place, amp in look.amps.items() if amp.owner)
    for name, (boxes, desks) in unknown.items():
        keeps = "keeps its gains or takes" if len(boxes) == 1 else "keep their gains or take"
        told = f"Whether {', '.join(boxes)} ({name}) {keeps} the desk's when {', '.join(desks)} joins is not known."
        tally.found("", told, *boxes, *desks, numbers=(("boxes", len(boxes)),))
    yield from tally.told("no preamp is moved from a desk other than its own")


def _boxes(look: Look) -> dict[str, tuple[str, ...]]:
    """Return, for each box with preamps in use that are moved from a desk elsewhere, their owners."""
    found: dict[str, dict[str, None]] = {}
    for place, amp in look.amps.items():
        desk = look.desks.get(amp.owner)
        if desk is not None and desk != place.device:
            found.setdefault(place.device, {}).setdefault(amp.owner)
    return {box: tuple(owners) for box, owners in found.items()}


def _handed_over(tally: Tally, look: Look, box: str, before: dict[Slot, str]) -> None:
    changed = {
        (before[place], amp.owner): None
        for place, amp in look.amps.items()
        if place.device == box and amp.owner and before.get(place, amp.owner) != amp.owner
    }
    for old, new in changed:
        told = f"{new} takes {box} over from {old}, and its desk sends its own gains: everybody hears the jump."
        tally.found(look.period, told, box, new, old)
