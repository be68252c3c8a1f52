"""A clock line that is not ended once, at its far end.

What it says: for every link that carries word clock and nothing else, whether the receiving end alone has its
termination on.  A cable that is not the 75 ohm coaxial one of its format is `length-within-medium`'s.
Why: a line ended nowhere rings, one ended twice is too weak; both show as jitter and drop-outs that come and go.
When it is no fault: a device that ends its input by itself and cannot be switched; say so with `ended`.
What data it needs: `links.ended`; absent: not checked.
What to do: switch the termination on at the last device of the line and nowhere else.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from patchloom.check.tally import Tally
from patchloom.finding import Finding
from patchloom.model.patch import Patch
from patchloom.model.rig import Link, Rig
from patchloom.model.show import Show

__all__ = ["clock_line_ended"]

_COAX = "coax-75"
_TOLD = {
    "first": "is ended at the sending end, {0}, and not at {1}",
    "both": "is ended twice, at {0} and at {1}",
    "none": "is ended nowhere",
}
_COUNT = {"first": 1, "both": 2, "none": 0}


def clock_line_ended(rig: Rig, show: Show, patch: Patch) -> Iterator[Finding]:
    """Yield a finding for each clock line that is not ended once."""
    tally = Tally("clock-line-ended", show, patch)
    for link in rig.links:
        if _is_line(rig, link):
            tally.seen += 1
            _ended(tally, link)
    yield from tally.told("no link carries word clock alone")


def _is_line(rig: Rig, link: Link) -> bool:
    spoken = rig.formats.get(link.format)
    return spoken is not None and spoken.pass_ == ("clock",) and spoken.medium == (_COAX,)


def _ended(tally: Tally, link: Link) -> None:
    if not link.ended:
        tally.lacks("links.ended", "where clock lines have their termination on is unknown", link.id)
    elif link.ended != "second":
        words = _TOLD[link.ended].format(*link.join)
        tally.found("", f"{link.id} {words}.", link.id, *link.join, numbers=(("terminations", _COUNT[link.ended]),))
