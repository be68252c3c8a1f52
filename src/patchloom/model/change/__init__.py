"""Changes of a rig and a show, as data: leave a want out, widen a plug, lift a limit, add a link.

Comes in: a rig, a show, `Change` rows.  Goes out: another rig and show; the ones that came in stay as they are.
Next: `solve/explain/` asks what would be so if a fact were gone, and offers `Way`s out of an impossible show.

- `shows` changes what is asked for, `rigs` what is there, `links` what joins it; each names its changes in a table by
  what they `do`.
- A want is named `list: signal` (`foh: keys.L` where one leg is wanted), a destination `feed: address`, a row of the
  show without an id by its path, such as `groups[0]`.
"""

from __future__ import annotations

from typing import Any

import attrs

from patchloom.model.base import many, plain, text, words
from patchloom.model.change import links, rigs, shows
from patchloom.model.rig import Rig
from patchloom.model.show import Show

__all__ = ["DOES", "Change", "Way", "apply"]

DOES = {**shows.DOES, **rigs.DOES, **links.DOES}
"""What a change can do, by name: functions `(rig, show, of, to) -> (rig, show)`."""


@attrs.frozen
class Change:
    """One change of a rig or a show."""

    do: str = text("What it does, a key of `DOES`. Required.")
    of: tuple[str, ...] = words("What it is done to. Required.")
    to: Any = plain("What it becomes, where that is not clear from `do`. Absent: nothing more to say.")


@attrs.frozen
class Way:
    """A way out of an impossible show: what to change, in words and as changes a script can apply."""

    text: str = text("What to do, in a sentence. Required.")
    cost: int = plain("How dear it is; the cheapest is offered first. Required.", 0)
    changes: tuple[Change, ...] = many(Change, "The changes, all of which are made. Required.")

    def apply(self, rig: Rig, show: Show) -> tuple[Rig, Show]:
        """Return the rig and the show with every change made."""
        return apply(rig, show, self.changes)

    def __str__(self) -> str:
        return self.text


def apply(rig: Rig, show: Show, changes: tuple[Change, ...]) -> tuple[Rig, Show]:
    """Return a rig and a show with changes made in order; rows named by their path are released all at once, last."""
    released = tuple(key for change in changes if change.do == "release" for key in change.of)
    for change in changes:
        if change.do != "release":
            rig, show = DOES[change.do](rig, show, change.of, change.to)
    return DOES["release"](rig, show, released, None) if released else (rig, show)
