"""An act and its scenes: one choice of plugs that serves them all.

Comes in: the periods of one act, a function that solves one of them.  Goes out: their settings, the act's first.
Next: `answer.py` puts the acts in a row.

The act is asked first, and its scenes keep its plugs.  Where a scene cannot, that proves nothing: other plugs might have
done.  So the scene is asked by itself; what is impossible then is so for good.  Else it leads: the act and the other scenes
keep its plugs.  Whoever fails leads next, each scene once; then the question stays open.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from patchloom.errors import Impossible, Undecided
from patchloom.model.patch import Setting, WishValue

__all__ = ["Solved", "act_and_scenes"]

Solved = tuple[Setting, list[WishValue]]
Solve = Callable[[str, Setting | None, bool], Solved]
"""Period, the setting before it, whether its plugs are kept."""

_MOVES = ("sockets moved", "channels moved", "link slots moved")


def act_and_scenes(act: str, inside: Sequence[str], olds: Mapping[str, Setting | None], solve: Solve) -> list[Solved]:
    """Return the settings of an act and its scenes in order; raise Impossible or Undecided, with the period it is about.

    `olds` are the settings each follows, None for one that follows none.
    """
    led: list[str] = []
    leader: Setting | None = None
    while True:
        try:
            return _in_turn(act, inside, olds[act], solve, leader)
        except (Impossible, Undecided) as outcome:
            failed = outcome.period
            if leader is None and failed == act:
                raise
            if failed in (act, *led):
                raise _open(act, led[-1] if failed == act else failed, outcome) from outcome
        led.append(failed)
        # By itself: what is impossible now is so whatever the act does.
        leader = solve(failed, olds[failed], False)[0]


def _in_turn(act: str, inside: Sequence[str], old: Setting | None, solve: Solve, leader: Setting | None) -> list[Solved]:
    """Return all settings; the plugs of the leader, or else of the act, are kept in every other."""
    if leader is None:
        first = solve(act, old, False)
    else:
        setting, rows = solve(act, leader, True)
        first = setting, [row for row in rows if not row.wish.startswith(_MOVES)]
    return [first, *(solve(scene, first[0], True) for scene in inside)]


def _open(act: str, scene: str, outcome: Impossible | Undecided) -> Undecided:
    """Return that an act and its scenes found no plugs in common."""
    known = (f"Act {act} and its scenes keep one choice of plugs, and none was found that serves {scene} and all others.",)
    found = Undecided((*known, *map(str, getattr(outcome, "facts", ()) or getattr(outcome, "known", ()))))
    found.period = scene
    return found
