"""Nobody says whose left the left leg of a stereo pair of microphones is.

What it says: a source of microphones with a left and a right leg does not say `left_is`; or its legs are called by the
sides of the stage, SR and SL, without saying what that is seen from the audience.
Why: stage right is on the left of the audience. Overheads the wrong way round are the commonest error nobody hears until
the toms walk against the picture (common practice, no source).
When it is no fault: electrical pairs, keyboards and playback, have a left of their own and are left out.
What data it needs: `sources.kind` (mic; where it is absent it is not checked) and `sources.left_is`, whose absence is the
finding.
What to do: say `left_is: audience` or `left_is: player`.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import Show, Source

__all__ = ["stereo_perspective"]

_HANDS = {"L", "R", "LEFT", "RIGHT"}
_STAGE = {"SR", "SL"}


def stereo_perspective(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each stereo pair of microphones whose left is anybody's."""
    tally = Tally("stereo-perspective", show, patch)
    for look in looks(rig, show, patch):
        for source in look.show.sources:
            names = {leg.upper() for leg in source.legs}
            if len(names) < 2 or not names & (_HANDS | _STAGE) or not _in_use(look, source):
                continue
            if source.kind == "mic":
                tally.seen += 1
                _judge(tally, source, bool(names & _STAGE))
            elif not source.kind and not source.left_is:
                tally.lacks("sources.kind", "a stereo source does not say whether it is microphones", source.id)
    yield from tally.told("no stereo pair of microphones is in use")


def _in_use(look: Look, source: Source) -> bool:
    return any(leg in look.setting.plugs for leg in source.leg_ids())


def _judge(tally: Tally, source: Source, stage: bool) -> None:
    if source.left_is:
        return
    legs = ", ".join(source.legs)
    if stage:
        told = f"The legs of {source.id} are called {legs}, sides of the stage, and nothing says which is the audience's left."
    else:
        told = f"{source.id} has the legs {legs}, and whose left that is, the audience's or the player's, is not said."
    tally.found("", told, source.id, *source.leg_ids())
