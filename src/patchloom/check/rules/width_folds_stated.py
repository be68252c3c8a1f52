"""A stereo signal loses a leg, and nobody asked for that.

What it says: the main and the alternate input of a channel are not equally wide, so that a leg has nowhere to go or a
channel nothing to switch to; or a fold takes the left or right of legs that are called otherwise.
Why: the right hand of the piano is gone, or on switching to the spare one side goes dead (common practice, no source).
When it is no fault: the spare is mono on purpose: give the wide one a `fold`, or take it leg by leg.
What data it needs: lists: `fold`, `leg` and `alternate` of wants, legs of signals. A list that takes a stereo signal
without a fold has room for all its legs; how a mix pans what it contains is the engineer's affair.
What to do: say `fold: sum`, `left` or `right`, or which `leg`; make main and alternate equally wide.
Source: common practice, no source
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.look import Look, looks
from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Rig
from patchloom.model.show import List, Show, Want

__all__ = ["width_folds_stated"]

_SIDES = {"left": ("L", "LEFT"), "right": ("R", "RIGHT")}


def width_folds_stated(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each want that loses a leg unsaid."""
    tally = Tally("width-folds-stated", show, patch)
    for look in looks(rig, show, patch):
        for item in look.show.lists:
            for want in item.wants:
                if want is not None and want.signal in look.signals:
                    _judge(tally, look, item, want)
    yield from tally.told("no stereo signal is wanted narrower than it is")


def _judge(tally: Tally, look: Look, item: List, want: Want) -> None:
    legs = look.signals[want.signal].leg_ids()
    other = look.signals.get(want.alternate) if want.alternate else None
    if len(legs) < 2 and (other is None or len(other.leg_ids()) < 2):
        return
    tally.seen += bool(want.fold or want.leg or other is not None)
    names = [leg.rpartition(".")[2].upper() for leg in legs]
    if len(legs) > 1 and want.fold in _SIDES and not any(name in _SIDES[want.fold] for name in names):
        told = f"{item.id} takes the {want.fold} of {want.signal}, whose legs are {', '.join(legs)}: none is called that."
        tally.found(look.period, told, item.id, want.signal, *legs)
    if other is None:
        return
    width = 1 if want.fold or want.leg else len(legs)
    there = other.leg_ids()
    if len(there) > width:
        lost = ", ".join(there[width:])
        goes = "goes" if len(there) == width + 1 else "go"
        told = (
            f"{item.id} has {want.alternate} on the alternate input of {want.signal}, which is narrower: {lost} {goes} nowhere."
        )
    elif len(there) < width:
        bare = legs[len(there) :]
        has = "has" if len(bare) == 1 else "have"
        told = f"{item.id} has {want.alternate} on the alternate input of {want.signal}; {', '.join(bare)} {has} none."
    else:
        return
    tally.found(look.period, told, item.id, want.signal, other.id, numbers=(("main legs", width), ("alternate legs", len(there))))
