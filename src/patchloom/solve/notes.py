"""What a reader should know about an answer: orders that could not be kept.

Comes in: a finished try.  Goes out: sentences.  Next: `answer.py` puts them into the setting.
"""

from __future__ import annotations

from patchloom.solve.attempt import Placed
from patchloom.solve.fabric import Fabric
from patchloom.solve.slot import Aim

__all__ = ["astray", "notes"]


def astray(fabric: Fabric, placed: Placed, wanted: list[Aim]) -> dict[str, list[str]]:
    """Return, by list, the legs of orders nobody can choose slot by slot that landed elsewhere than asked."""
    moved: dict[str, list[str]] = {}
    for number, (segment, offset, which) in sorted(placed.arrived.items()):
        aim = wanted[number]
        if aim.free or aim.place is None or aim.alternate:
            continue
        goal = aim.goals[which]
        place = fabric.place(goal.tail[-1] if goal.tail and goal.tail[0] >= 0 else segment, offset)
        if place != aim.place:
            moved.setdefault(aim.to, []).append(f"{aim.leg} on {place.number} instead of {aim.place.number}")
    return moved


def notes(fabric: Fabric, placed: Placed, wanted: list[Aim]) -> list[str]:
    """Return what a reader should know: orders that could not be kept."""
    return [
        f"The order of {key} could not be kept as written: {'; '.join(rows[:6])}"
        + (f"; and {len(rows) - 6} more." if len(rows) > 6 else ".")
        for key, rows in sorted(astray(fabric, placed, wanted).items())
    ]
