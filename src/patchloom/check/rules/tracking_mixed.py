"""Of those who follow the moves of a shared preamp, some are evened out and some are not.

What it says: the show has gain tracking on, and of the lists that hear one box through somebody else's preamps some land
on a device that takes the owner's moves back by its trim, and others do not; or none does, so that the word `on` is
empty.
Why: the owner turns a preamp up by 6 dB; who tracks hears nothing of it, who does not gets a step in the record or the
stream (common practice, no source). A device tracks when its type does and preamp data reaches it: bare audio does not
bring it.
When it is no fault: it was agreed, for instance because the recorder takes the sound as it comes: sign a waiver. With
tracking off nobody is evened out, all alike, and the owner sets the gain once.
What data it needs: `gain.tracking`, `types.tracks_gain` (absent: no), the ports and formats that pass control.
What to do: turn tracking off and set the gain once; or give the others a device and a link that track.
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

__all__ = ["tracking_mixed"]


def tracking_mixed(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each box whose followers do not all track."""
    tally = Tally("tracking-mixed", show, patch)
    if show.gain.tracking == "on":
        for look in looks(rig, show, patch):
            for box, (owner, followers) in _followers(look).items():
                tally.seen += 1
                _judge(tally, look, box, owner, followers)
    yield from tally.told("no list follows the gain of another position's preamp, or tracking is off")


def _followers(look: Look) -> dict[str, tuple[str, dict[str, str]]]:
    """Return, for each box and owner, the lists of others that hear it, with the device each lands on."""
    found: dict[str, tuple[str, dict[str, str]]] = {}
    for amp in look.amps.values():
        home = look.desks.get(amp.owner, "")
        for row in amp.heard:
            if home and row.end.device != home:
                found.setdefault(amp.at.device, (amp.owner, {}))[1].setdefault(row.to, row.end.device)
    return found


def _judge(tally: Tally, look: Look, box: str, owner: str, followers: dict[str, str]) -> None:
    track = [name for name, device in followers.items() if look.type(device).tracks_gain and box in look.commands(device)]
    rest = [name for name in followers if name not in track]
    if not rest:
        return
    if track:
        verb, verbs = "tracks" if len(track) == 1 else "track", "does" if len(rest) == 1 else "do"
        words = f"{', '.join(track)} {verb} the gain {owner} sets at {box}, and {', '.join(rest)} {verbs} not."
    else:
        words = f"Tracking is on, and none of those who follow {owner} at {box} can track: {', '.join(rest)}."
    tally.found(look.period, words, box, *rest, *track, numbers=(("track", len(track)), ("do not", len(rest))))
