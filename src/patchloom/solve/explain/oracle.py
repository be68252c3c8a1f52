"""Whether an altered rig and show have a patch: the one question an explanation is made of.

Comes in: a rig and a show.  Goes out: `yes`, `no` or `open`, or the patch or proof itself.
Next: `explain_shrink.py` and `explain_ways.py` ask, again and again.

The solver is asked as it stands, for musts alone.  Most questions are answered no for the reason of the one before, so
the bound that ruled that one out is tried first, which costs no search.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from patchloom.errors import Impossible, Undecided
from patchloom.finding import Fact
from patchloom.model.rig import Rig
from patchloom.model.show import Show
from patchloom.solve.answer import solve
from patchloom.solve.counting.bounds import BOUNDS
from patchloom.solve.cutting import build_fabric
from patchloom.solve.explain.words import CONTROLS
from patchloom.solve.slot import aims, cut_at
from patchloom.solve.unit import units

__all__ = ["Oracle", "Progress"]

TRIES = 8
"""Tries of the search for one altered show before it counts as open."""
SMALL = 16
"""Signals up to which the exact programme may look at every altered show."""
LOOKS = 8
"""Larger altered shows it may look at, in one explanation."""

Progress = Callable[[str], None]


class Oracle:
    """Says whether a rig and a show have a patch: the bound that ruled one out last is tried first, then the solver."""

    def __init__(self, rules: Sequence[Any] = (), progress: Progress | None = None) -> None:
        self.rules = rules
        self.progress = progress
        self.count = 0
        self.looks = LOOKS
        self.last: Any = None

    def __call__(self, rig: Rig, show: Show) -> str:
        """Return `yes` (a patch was found), `no` (there is none) or `open`; for a show of one period."""
        if self.ruled_out(rig, show) is not None:
            return "no"
        found = self.answer(rig, show)
        if isinstance(found, Impossible):
            counted = not found.facts or found.facts[0].limit.split()[0] not in CONTROLS
            counts = _Counts(rig, show)
            self.last = next((bound for bound in BOUNDS if counts.facts(bound)), None) if counted else None
            return "no"
        return "open" if isinstance(found, Undecided) else "yes"

    def ruled_out(self, rig: Rig, show: Show) -> Impossible | None:
        """Return a proof by the bound that ruled a show out last; None where that bound does not."""
        facts = _Counts(rig, show).facts(self.last) if self.last is not None else []
        return Impossible(tuple(facts)) if facts else None

    def answer(self, rig: Rig, show: Show, *, wishes: bool = False) -> Any:
        """Return a patch, or the Impossible or Undecided that stands in its place; its wishes looked at when told to."""
        self.count += 1
        if self.progress:
            self.progress(f"explaining: {self.count} altered shows solved")
        left = TRIES
        small = len(show.sources) + len(show.feeds) <= SMALL

        def patience(line: str) -> None:
            nonlocal left
            left -= line.startswith("try")
            if not line.startswith(("try", "period")) and not small:
                self.looks -= 1
            if left < 0 or self.looks < 0:
                raise Undecided(("left open after a few tries",))

        try:
            return solve(rig, show, None, None, self.rules, patience, musts_only=not wishes)
        except (Impossible, Undecided) as outcome:
            return outcome


class _Counts:
    """What the bounds need to know of a rig and a show."""

    def __init__(self, rig: Rig, show: Show) -> None:
        self.fabric = build_fabric(rig, cut_at(show))
        self.aims = aims(self.fabric, show)
        made = units(self.fabric, show, self.aims, {feed.id: show.desk_of(feed.mixed_at) for feed in show.feeds})
        self.units = [unit for unit in made if not unit.optional]

    def facts(self, bound: Any) -> list[Fact]:
        must = [aim for aim in self.aims if aim.must and aim.goals]
        return bound(self.fabric, must, self.units)  # type: ignore[no-any-return]
